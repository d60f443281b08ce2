"""A plan of the prep day as plain lines, and as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import chain, repeat
from types import MappingProxyType

from shopboard.commands.output import moment_json
from shopboard.commands.shared import shop_called
from shopboard.open_shop import OpenShop
from shopboard.prep.at_risk import GUARDS_YOU
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import (
    NOT_ABOUT_SAFETY,
    WAIT_FOR_IT,
    about,
    clock,
    closed_words,
    detail,
    done_by,
    goes,
    how_near,
    left_words,
    open_words,
    quiet_words,
    span,
    started,
    time_words,
    too_long,
)


def plan_lines(
    plan: DayPlan, open_shop: OpenShop, risks: Mapping[str, str] = MappingProxyType({})
) -> Iterator[str]:
    """Tell a plan in plain lines.

    Args:
        plan: the plan.
        open_shop: shop, journal and time.
        risks: what is at risk while a piece is not done, by its id, where that is to be said.
    """
    machines = {one.id: one.name for one in open_shop.shop.machines}
    yield f"{shop_called(open_shop)}: prep day {about(plan)}, {started(plan)}"
    yield from filter(None, (closed_words(plan), time_words(plan)))
    if plan.is_done:
        opens = open_words(len(plan.stays_open))
        yield " ".join(filter(None, ("Nothing is left to do.", opens, goes(plan))))
    elif plan.lines:
        words = done_by(plan)
        yield f"{words[0].upper()}{words[1:]}. {span(plan.hands_on)} of work."
        if plan.is_too_long:
            yield too_long(plan, len(open_shop.shop.projects))
    yield from filter(None, (quiet_words(plan), *plan.holds))
    for wait in open_shop.waits():
        by = f"; by {clock(wait.latest, plan.now)} at the latest" if wait.latest else ""
        yield f"waiting  {wait.words} ({machines[wait.machine]}: {wait.standing.task.name}{by})"
    yield from _rows(plan, machines, risks)
    yield from filter(None, (how_near(plan), *plan.left_out))
    yield NOT_ABOUT_SAFETY


def _rows(plan: DayPlan, machines: Mapping[str, str], risks: Mapping[str, str]) -> Iterator[str]:
    """Write what is planned, what does not fit with what that puts at risk, what stays open."""
    now, first = plan.now, plan.first
    pieces = (*(line.piece for line in plan.lines), *(one.piece for one in plan.left))
    names = [*(machines[one.machine] for one in pieces), *(one.where for one in plan.stays_open)]
    times = [clock(line.begins, now) for line in plan.lines]
    width, at = max(map(len, names), default=0), max(map(len, times), default=0)
    waits = first is not None and first.start > now and not first.changing_over(now)
    if first is not None and waits:
        yield f"{WAIT_FOR_IT} {clock(first.start, now)}."

    def row(mark: str, when: str, where: str, words: str) -> str:
        return f"{mark:<5} {when:>{max(at, 9)}}  {where:<{width}}  {words}"

    marks = ("next",) if waits else ("now", "next")
    for line, when, mark in zip(plan.lines, times, chain(marks, repeat("")), strict=False):
        told = detail(line, now, machines)
        words = f"{line.piece.words} ({told}{_further(line, risks.get(line.piece.id, ''), told)})"
        yield row(mark, when, machines[line.piece.machine], words)
    yield from filter(None, (left_words(plan),))
    for one in plan.left:
        risk = f"; {one.risk}" if one.risk else ""
        words = f"{one.piece.words} ({span(one.piece.minutes)}{risk})"
        yield row("left", "-", machines[one.piece.machine], words)
    for stays in plan.stays_open:
        yield row("open", "-", stays.where, stays.words_here)


def _further(line: PlanLine, risk: str, told: str) -> str:
    """Give what of a risk the line does not say anyway; of what is no check it is why it is due."""
    more = "; ".join(one for one in risk.split("; ") if one.removeprefix("stays ") not in told)
    is_check = line.piece.sort == "check" and not more.startswith(GUARDS_YOU)
    then = "till then " if is_check else ""
    return f"; {then}{more}" if more else ""


def plan_json(plan: DayPlan, open_shop: OpenShop, allow_open: bool) -> dict[str, object]:
    """Give a plan as data; times are ISO, with their zone."""
    day, later = plan.day, plan.later
    return {
        "project": plan.project.id if plan.project is not None else None,
        "begun": moment_json(day.when) if day is not None else None,
        "allow_two_open": day.allow_open if day is not None else allow_open,
        "first_said": moment_json(day.finish) if day is not None and day.finish else None,
        "done_by": moment_json(plan.finish) if plan.lines else None,
        "later_minutes": None if later is None else round(later, 1),
        "away_minutes": round(plan.away, 1),
        "work_minutes": round(plan.hands_on, 1),
        "more_than_a_day": plan.is_too_long,
        "shortest_minutes": round(plan.bound, 1) if plan.is_shortest else None,
        "holds": [*plan.holds],
        "opens": moment_json(plan.opens) if plan.opens is not None else None,
        "not_in_time": [
            {
                "sort": one.piece.sort,
                "machine": one.piece.machine,
                "target": one.piece.target,
                "words": one.piece.words,
                "minutes": round(one.piece.minutes, 2),
                "risk": one.risk,
            }
            for one in plan.left
        ],
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
        "stays_open": [
            {
                "sort": one.sort,
                "machine": one.machine or None,
                "target": one.target,
                "what": one.what,
                "why": one.why,
                "remedy": one.remedy or None,
            }
            for one in plan.stays_open
        ],
        "left_out": [*plan.left_out],
    }


def _line_json(line: PlanLine) -> dict[str, object]:
    piece = line.piece
    return {
        "begins": moment_json(line.begins),
        "start": moment_json(line.start),
        "end": moment_json(line.end),
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
        "past_minutes": round(line.past, 2),
        "left_minutes": round(line.left_over, 2),
    }
