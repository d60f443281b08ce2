"""The inspection sheet of one machine, to print and sign: an HTML page."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.text import first_unfit
from shopboard.commands import saving
from shopboard.commands.errors import UsageError
from shopboard.commands.shared import no_such, shop_called, shop_opened
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

    with closing(shop_opened(options)) as open_shop:
        machine = open_shop.standing.of_machine(options.machine)
        if machine is None:
            raise no_such("machine", options.machine, open_shop.shop.machines_by_id)
        sheet = Sheet(
            shop=shop_called(open_shop),
            machine=machine.machine.name,
            unit=open_shop.shop.unit,
            printed=open_shop.now(),
            rows=gather_rows(
                machine, open_shop.journal, open_shop.shop.reached.get(machine.machine.id)
            ),
            level=open_shop.shop.proof_level,
            who=who,
            out_of_use=why_out_of_use(options.machine, open_shop.journal),
            on_hold=tuple(decided_at(open_shop.journal, open_shop.shop.projects, options.machine)),
        )
        return saving.give(options, [sheet_html(sheet)])
