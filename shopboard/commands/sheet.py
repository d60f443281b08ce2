"""The inspection sheet of one machine, to print and sign; or a blank one, to fill in by pencil."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.text import first_unfit
from shopboard.commands import saving
from shopboard.commands.errors import UsageError
from shopboard.commands.paper_argument import paper_argument
from shopboard.commands.shared import no_such, shop_called, shop_opened
from shopboard.open_shop import OpenShop
from shopboard.reports.paper import paper_for
from shopboard.reports.sheet import Sheet, gather_rows, why_out_of_use
from shopboard.standing.model import MachineStanding

_LONGEST_NAME = 60


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE", help="with --blank also MACHINE.POINT")
    parser.add_argument(
        "--who", metavar="NAME", default="", help="who checked it; left out: a line to write on"
    )
    parser.add_argument(
        "--blank", action="store_true", help="a sheet to fill in by pencil: steps, boxes, sums"
    )
    parser.add_argument("--method", metavar="NAME", help="of a point that has more than one")
    parser.add_argument("--text", action="store_true", help="plain lines instead of HTML")
    paper_argument(parser)
    saving.arguments(parser, "FILE.html")
    parser.epilog = (
        "HTML is printed by any browser, black on white. A blank sheet is for a day without a"
        " computer; --method and MACHINE.POINT go with it."
    )


def run(options: argparse.Namespace) -> int:
    """Print or write the sheet."""
    who = " ".join(options.who.split())
    if len(who) > _LONGEST_NAME or first_unfit(who) is not None:
        raise UsageError(f"--who: a name of plain letters, {_LONGEST_NAME} at the most")
    if options.method and not options.blank:
        raise UsageError("--method goes with --blank")
    with closing(shop_opened(options)) as open_shop:
        name, dot, _ = options.machine.partition(".")
        machine = open_shop.standing.of_machine(name)
        if machine is None or (dot and not options.blank):
            raise no_such("machine", options.machine, open_shop.shop.machines_by_id)
        if options.blank:
            return saving.give(options, _blank(open_shop, machine, options))
        return saving.give(options, [_inspection(open_shop, machine, options, who)])


def _inspection(
    open_shop: OpenShop, machine: MachineStanding, options: argparse.Namespace, who: str
) -> str:
    """Write the inspection sheet."""
    from shopboard.prep.decided import decided_at
    from shopboard.reports.sheet_html import sheet_html
    from shopboard.reports.sheet_text import sheet_text

    shop, journal, ident = open_shop.shop, open_shop.journal, machine.machine.id
    sheet = Sheet(
        shop=shop_called(open_shop),
        machine=machine.machine.name,
        unit=shop.unit,
        printed=open_shop.now(),
        rows=gather_rows(machine, journal, shop.reached.get(ident)),
        level=shop.proof_level,
        who=who,
        out_of_use=why_out_of_use(ident, journal),
        on_hold=tuple(decided_at(journal, shop.projects, ident)),
    )
    if options.text:
        return "".join(f"{line}\n" for line in sheet_text(sheet))
    return sheet_html(sheet, paper_for(shop.unit, options.paper))


def _blank(open_shop: OpenShop, machine: MachineStanding, options: argparse.Namespace) -> list[str]:
    """Write the sheet to fill in, of every point or of one.

    Raises:
        UsageError: when there is no such point, or it has no such method.
    """
    from shopboard.reports.blank_check import blank_check
    from shopboard.reports.blank_html import BlankSheet, blank_html
    from shopboard.reports.blank_text import blank_text
    from shopboard.sittings.point_job import job_for

    every = [one.point for one in machine.points]
    points = [one for one in every if options.machine in (one.machine, one.full_name)]
    if not points and "." in options.machine:
        raise no_such("point", options.machine, [one.full_name for one in every])
    if options.method and (len(points) != 1 or options.method not in points[0].checks):
        ways = ", ".join(points[0].checks) if len(points) == 1 else "name one MACHINE.POINT"
        raise UsageError(f"--method {options.method[:40]}: {ways}")
    shop, journal = open_shop.shop, open_shop.journal
    sheet = BlankSheet(
        shop=shop_called(open_shop),
        machine=machine.machine.name,
        printed=open_shop.now(),
        checks=tuple(
            blank_check(job_for(shop, one, journal), one.full_name, options.method or one.checks[0])
            for one in points
        ),
        out_of_use=why_out_of_use(machine.machine.id, journal),
    )
    if options.text:
        return [f"{line}\n" for line in blank_text(sheet)]
    return [blank_html(sheet, paper_for(shop.unit, options.paper))]
