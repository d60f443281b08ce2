"""The prep day: what is to be done when, shown, printed on one page, begun and ended."""

from __future__ import annotations

import argparse
from contextlib import closing
from functools import partial

from shopboard.commands import saving
from shopboard.commands.acts import act, another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json, say
from shopboard.commands.paper_argument import paper_argument
from shopboard.commands.prep_told import plan_json, plan_lines
from shopboard.commands.prep_withdraw import withdraw_newest
from shopboard.commands.project import project_named
from shopboard.commands.shared import (
    shop_called,
    shop_opened,
    withdraw_argument,
)
from shopboard.journal import kinds
from shopboard.metrology.quantity import QuantityError
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import PrepDay, begin_day, change_time, end_day, says_the_same
from shopboard.prep.cost import day_cost
from shopboard.prep.cost_words import taken_words
from shopboard.prep.day import Planner
from shopboard.prep.left_words import as_left, how_much, left_lines
from shopboard.prep.time_had import TimeHad
from shopboard.prep.time_read import read_time
from shopboard.reports.paper import paper_for
from shopboard.shop.problems import shorten
from shopboard.shop.project import Project


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "project", metavar="PROJECT", nargs="?", help="its id; left out: all that is due"
    )
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.add_argument("--begin", action="store_true", help="begin the day: it goes on record")
    parser.add_argument("--end", action="store_true", help="end the day that is in progress")
    withdraw_argument(
        parser,
        "withdraw what was said last of the prep day (begun, away, its time, ended), and why",
    )
    parser.add_argument(
        "--allow-two-open",
        action="store_true",
        help="allow two machines apart at once, their cutters out",
    )
    time = parser.add_mutually_exclusive_group()
    time.add_argument(
        "--for",
        dest="time",
        metavar="TIME",
        help='the time you have, "45 min", "2 h" or "2 days": what is worth doing in it',
    )
    time.add_argument(
        "--until",
        metavar="CLOCK",
        help="the same, up to a time of today such as 17:00; pauses before it stay free",
    )
    time.add_argument(
        "--any-hours",
        action="store_true",
        help="as long as it takes, whatever the shop's hours",
    )
    parser.add_argument(
        "--change-time",
        action="store_true",
        help="of the day in progress: that is the time you have now; it goes on record",
    )
    parser.add_argument("--sheet", metavar="FILE.html", dest="to", help="write a page to print")
    parser.add_argument("--replace", action="store_true", help="write over FILE.html")
    paper_argument(parser)
    uid_argument(parser)
    parser.epilog = (
        "The plan is the shortest that can be found which leaves few waits too long (wax cannot"
        " be buffed off hours later), with few walks and few changes of mode. On each machine"
        " what makes dirt comes before wax, tasks before the change of a dull cutter, that"
        " before the checks it upsets, and what a point depends on before the point; a square is"
        " proven before the checks that use it. A project asks only for what its joints need."
        " What does not fit into the time you have, or into the shop's hours, is put off: what is"
        " worth most comes first (what guards you, the project's first cuts, what costs it most by"
        " the minute, a dull cutter with the checks that its change undoes, upkeep)."
        " What is left out, and why, is said. It is worked out anew from the records and the"
        " time whenever it is looked at. How long a check takes is what the shop file says"
        " (minutes), else learnt from your last ones, else usual (common practice, no source)."
    )


def run(options: argparse.Namespace) -> int:
    """Plan the day; print it, or write its page."""
    _refuse_mixed(options)
    records = bool(options.begin or options.end or options.change_time or options.take_back)
    with (
        act(options, records=records) as uid,
        closing(shop_opened(options, records=records)) as open_shop,
    ):
        named = options.project is not None
        project = project_named(open_shop.shop, options.project) if named else None
        planner = Planner(open_shop)
        if options.take_back is not None:
            withdraw_newest(open_shop, options, uid)
            return 0
        if options.end:
            _end(open_shop, options, planner, uid)
            return 0
        _refuse_another(planner, options, project)
        _choose(open_shop, options, planner, uid)
        plan = planner.plan()
        if options.to is not None:
            from shopboard.reports.prep_sheet import prep_sheet

            shop = open_shop.shop
            paper = paper_for(shop.unit, options.paper)
            return saving.give(options, [prep_sheet(plan, shop, paper, shop_called(open_shop))])
        if options.json:
            out_json(plan_json(plan, open_shop, options.allow_two_open))
        else:
            shut = plan.day is not None and plan.opens is not None
            risks = {one.piece.id: one.risk for one in planner.undone()} if shut else {}
            out(*plan_lines(plan, open_shop, risks))
    return 0


def _refuse_mixed(options: argparse.Namespace) -> None:
    """Refuse options that say two things at once."""
    back = options.take_back is not None
    if options.begin + options.end + options.change_time + back > 1:
        raise UsageError("only one of --begin, --end, --change-time and --withdraw")
    timed = options.any_hours or options.time is not None or options.until is not None
    if (options.end or back) and timed:
        which = "--end" if options.end else "--withdraw"
        raise UsageError(f"{which} takes no time: --for, --until and --any-hours do not go with it")


def _end(open_shop: OpenShop, options: argparse.Namespace, planner: Planner, uid: str) -> None:
    """Put on record that the day is over, and say what it leaves undone."""
    if _on_record(open_shop, options):
        return
    day = planner.day
    if day is None:
        raise UsageError("no prep day is in progress")
    journal = open_shop.journal
    took = taken_words(day_cost(journal, open_shop.shop, day, journal.last_seq()))
    left = as_left(planner.undone())
    end_day(journal, day, uid, left)
    say(f"The prep day is over: it {took}.")
    if left:
        machines = {one.id: one.name for one in open_shop.shop.machines}
        say(f"Left undone: {how_much(left)} of work.", *left_lines(left, machines))
    say("Ended by mistake: shopboard prep --withdraw REASON, and it goes on.")


def _choose(open_shop: OpenShop, options: argparse.Namespace, planner: Planner, uid: str) -> None:
    """Say what is planned, and put on record what is to be."""
    had, day = _had(options, open_shop), planner.day
    choose = partial(planner.choose, options.project or "", allow_open=options.allow_two_open)
    choose(had=had)
    if options.begin:
        _begin(open_shop, options, planner, had, uid)
    elif options.change_time:
        _change_time(open_shop, options, day, had, uid)
    else:
        return
    choose()  # the time one has is on record now


def _begin(
    open_shop: OpenShop,
    options: argparse.Namespace,
    planner: Planner,
    had: TimeHad | None,
    uid: str,
) -> None:
    """Put on record that the day begins."""
    if _on_record(open_shop, options):
        return
    if planner.day is not None:
        raise UsageError("a prep day is in progress; --end ends it")
    plan = planner.plan()
    begin_day(
        open_shop.journal,
        options.project or "",
        plan.from_now,
        allow_open=options.allow_two_open,
        had=had or TimeHad(),
        planned=plan.by_machine,
        put_off=len(plan.left),
        order=plan.order,
        uid=uid,
    )
    open_shop.refresh()


def _change_time(
    open_shop: OpenShop,
    options: argparse.Namespace,
    day: PrepDay | None,
    had: TimeHad | None,
    uid: str,
) -> None:
    """Put on record what time one has for the day in progress."""
    if _on_record(open_shop, options):
        return
    if day is None or had is None:
        missing = "a prep day in progress" if day is None else "--for, --until or --any-hours"
        raise UsageError(f"--change-time needs {missing}")
    change_time(open_shop.journal, day, had, uid)
    open_shop.refresh()


def _had(options: argparse.Namespace, open_shop: OpenShop) -> TimeHad | None:
    """Give the time one has, by the options; None: nothing is said of it."""
    typed = options.time if options.time is not None else options.until
    if typed is None:
        return TimeHad(any_hours=True) if options.any_hours else None
    clock = "until " if options.until is not None else ""
    try:
        return read_time(f"{clock}{typed}", open_shop.now())
    except QuantityError as error:
        raise UsageError(f"{shorten(typed)}: {error}") from None


def _on_record(open_shop: OpenShop, options: argparse.Namespace) -> bool:
    """Tell whether an earlier try under the same name did it, and say so.

    Raises:
        UsageError: when the name belongs to something else.
    """
    entry = found(open_shop, options, kinds.PREP.name, "", "")
    if entry is None:
        return False
    project = None if options.end else options.project or ""
    said = kinds.PREP.read(entry)
    same = said.what == "time"
    if not options.change_time:
        same = says_the_same(entry, project, allow_open=options.allow_two_open)
    had = _had(options, open_shop) or TimeHad()
    # so long from now is another time at each try
    sort = (had.until is None, had.days, had.any_hours)
    if not same or (not options.end and sort != (said.until is None, said.days, said.any_hours)):
        raise another(options)
    say_on_record(entry)
    return True


def _refuse_another(planner: Planner, options: argparse.Namespace, project: Project | None) -> None:
    """A day under way is shown as it was begun; its project may have another id since."""
    day = planner.day
    if day is None:
        return
    if project is not None and day.project not in (project.id, *project.was):
        which = shorten(day.project) if day.project else "all that is due"
        raise UsageError(f"a prep day for {which} is in progress; --end ends it")
    if options.allow_two_open and not day.allow_open:
        raise UsageError("the day in progress was begun without --allow-two-open; --end ends it")
