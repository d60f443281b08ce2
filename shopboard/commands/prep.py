"""The prep day: what is to be done when, shown, printed on one page, begun and ended."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing

from shopboard.commands import saving
from shopboard.commands.acts import act, another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, out_json, say
from shopboard.commands.paper_argument import paper_argument
from shopboard.commands.project import project_named
from shopboard.commands.shared import shop_called, shop_opened
from shopboard.journal import kinds
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import begin_day, end_day, says_the_same
from shopboard.prep.day import Planner
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    NOT_ABOUT_SAFETY,
    WAIT_FOR_IT,
    about,
    clock,
    detail,
    done_by,
    how_near,
    quiet_words,
    span,
    started,
    too_long,
)
from shopboard.reports.paper import paper_for
from shopboard.shop.problems import shorten


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "project", metavar="PROJECT", nargs="?", help="its id; left out: all that is due"
    )
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.add_argument("--begin", action="store_true", help="begin the day: it goes on record")
    parser.add_argument("--end", action="store_true", help="end the day that is in progress")
    parser.add_argument(
        "--allow-two-open",
        action="store_true",
        help="allow two machines apart at once, their cutters out",
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
        " What is left out, and why, is said. It is worked out anew from the records and the"
        " time whenever it is looked at. How long a check takes is what the shop file says"
        " (minutes), else learnt from your last ones, else usual (common practice, no source)."
    )


def run(options: argparse.Namespace) -> int:
    """Plan the day; print it, or write its page."""
    if options.begin and options.end:
        raise UsageError("--begin or --end, not both")
    with (
        act(options) as uid,
        closing(shop_opened(options, records=options.begin or options.end)) as open_shop,
    ):
        if options.project is not None:
            project_named(open_shop.shop, options.project)
        planner = Planner(open_shop)
        day = planner.day
        if options.end:
            if _on_record(open_shop, options):
                return 0
            if day is None:
                raise UsageError("no prep day is in progress")
            end_day(open_shop.journal, day, uid)
            say("The prep day is over; what is left shows on the board.")
            return 0
        _refuse_another(planner, options)
        planner.choose(options.project or "", allow_open=options.allow_two_open)
        plan = planner.plan()
        if options.begin and not _on_record(open_shop, options):
            if day is not None:
                raise UsageError("a prep day is in progress; --end ends it")
            begin_day(
                open_shop.journal,
                options.project or "",
                plan.from_now,
                allow_open=options.allow_two_open,
                uid=uid,
            )
            open_shop.refresh()
            plan = planner.plan()
        if options.to is not None:
            from shopboard.reports.prep_sheet import prep_sheet

            shop = open_shop.shop
            paper = paper_for(shop.unit, options.paper)
            return saving.give(options, [prep_sheet(plan, shop, paper, shop_called(open_shop))])
        if options.json:
            out_json(_plan_json(plan, open_shop, options.allow_two_open))
        else:
            out(*_lines(plan, open_shop))
    return 0


def _on_record(open_shop: OpenShop, options: argparse.Namespace) -> bool:
    """Tell whether an earlier try under the same name did it, and say so.

    Raises:
        UsageError: when the name belongs to something else.
    """
    entry = found(open_shop, options, kinds.PREP.name, "", "")
    if entry is None:
        return False
    project = None if options.end else options.project or ""
    if not says_the_same(entry, project, allow_open=options.allow_two_open):
        raise another(options)
    say_on_record(entry)
    return True


def _refuse_another(planner: Planner, options: argparse.Namespace) -> None:
    """A day under way is shown as it was begun."""
    day = planner.day
    if day is None:
        return
    if options.project is not None and options.project != day.project:
        which = shorten(day.project) if day.project else "all that is due"
        raise UsageError(f"a prep day for {which} is in progress; --end ends it")
    if options.allow_two_open and not day.allow_open:
        raise UsageError("the day in progress was begun without --allow-two-open; --end ends it")


def _lines(plan: DayPlan, open_shop: OpenShop) -> Iterator[str]:
    now = plan.now
    machines = {one.id: one.name for one in open_shop.shop.machines}
    yield f"{shop_called(open_shop)}: prep day {about(plan)}, {started(plan)}"
    if not plan.lines:
        more = plan.tags_hold_up
        yield "Nothing more can be done now." if more else "Nothing is left to do."
    else:
        words = done_by(plan)
        yield f"{words[0].upper()}{words[1:]}. {span(plan.hands_on)} of work."
        if plan.is_too_long:
            yield too_long(plan, len(open_shop.shop.projects))
    yield from filter(None, (quiet_words(plan),))
    for wait in open_shop.waits():
        yield f"waiting  {wait.words} ({machines[wait.machine]}: {wait.standing.task.name})"
    width = max((len(machines[line.piece.machine]) for line in plan.lines), default=0)
    for number, line in enumerate(plan.lines):
        mark = ("now", "next")[number] if number < 2 else ""
        if number == 0 and line.start > now and not line.changing_over(now):
            yield f"{WAIT_FOR_IT} {clock(line.start, now)}."
            mark = "next"
        at = clock(line.begins, now)
        name = machines[line.piece.machine]
        words = f"{line.piece.words} ({detail(line, now, machines)})"
        yield f"{mark:<5} {at:>9}  {name:<{width}}  {words}"
    yield from filter(None, (how_near(plan), *plan.left_out))
    yield NOT_ABOUT_SAFETY


def _plan_json(plan: DayPlan, open_shop: OpenShop, allow_open: bool) -> dict[str, object]:
    """Give a plan as data; times are ISO, with their zone."""
    day, later = plan.day, plan.later
    return {
        "project": plan.project.id if plan.project is not None else None,
        "begun": day.when.isoformat() if day is not None else None,
        "allow_two_open": day.allow_open if day is not None else allow_open,
        "first_said": day.finish.isoformat() if day is not None and day.finish else None,
        "done_by": plan.finish.isoformat() if plan.lines else None,
        "later_minutes": None if later is None else round(later, 1),
        "away_minutes": round(plan.away, 1),
        "work_minutes": round(plan.hands_on, 1),
        "more_than_a_day": plan.is_too_long,
        "shortest_minutes": round(plan.bound, 1),
        "waits": [
            {
                "machine": wait.machine,
                "task": wait.standing.task.id,
                "words": wait.words,
                "seconds": max(0, round(wait.seconds)),
            }
            for wait in open_shop.waits()
        ],
        "plan": [_line_json(line) for line in plan.lines],
        "left_out": [*plan.left_out],
    }


def _line_json(line: PlanLine) -> dict[str, object]:
    piece = line.piece
    return {
        "start": line.start.isoformat(),
        "end": line.end.isoformat(),
        "sort": piece.sort,
        "machine": piece.machine,
        "target": piece.target,
        "name": piece.name,
        "words": piece.words,
        "why": piece.why,
        "steps": [*piece.steps] if piece.of else None,
        "minutes": round(piece.minutes, 2),
        "wait_minutes": piece.wait,
        "change_minutes": line.change,
        "idle_minutes": round(line.idle, 2),
    }
