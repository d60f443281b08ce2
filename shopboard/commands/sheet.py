"""The inspection sheet of one machine, to print and sign: an HTML page."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.text import first_unfit
from shopboard.commands import saving
from shopboard.commands.errors import UsageError
from shopboard.commands.shared import no_such, open_desk
from shopboard.reports.sheet import Sheet, gather_rows, why_out_of_use
from shopboard.reports.sheet_html import sheet_html

_LONGEST_NAME = 60


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE")
    parser.add_argument(
        "--who", metavar="NAME", default="", help="who checked it; else a line is left to write on"
    )
    saving.arguments(parser, "FILE.html")


def run(options: argparse.Namespace) -> int:
    """Print or write the sheet."""
    who = " ".join(options.who.split())
    if len(who) > _LONGEST_NAME or first_unfit(who) is not None:
        raise UsageError(f"--who: a name of plain letters, {_LONGEST_NAME} at the most")
    from shopboard.prep.decided import decided_at

    with closing(open_desk(options)) as desk:
        machine = desk.standing.of_machine(options.machine)
        if machine is None:
            raise no_such("machine", options.machine, desk.shop.machines_by_id)
        sheet = Sheet(
            shop=desk.shop.name,
            machine=machine.machine.name,
            unit=desk.shop.unit,
            printed=desk.now(),
            rows=gather_rows(machine, desk.journal, desk.shop.reached.get(machine.machine.id)),
            level=desk.shop.proof_level,
            who=who,
            out_of_use=why_out_of_use(options.machine, desk.journal),
            on_hold=tuple(decided_at(desk.journal, desk.shop.projects, options.machine)),
        )
        return saving.give(options, [sheet_html(sheet)])
