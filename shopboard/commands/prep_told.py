"""A plan of the prep day as plain lines, and as data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shopboard.commands.shared import shop_called
from shopboard.open_shop import OpenShop
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


def plan_lines(plan: DayPlan, open_shop: OpenShop) -> Iterator[str]:
    """Tell a plan in plain lines."""
    now = plan.now
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
        yield f"waiting  {wait.words} ({machines[wait.machine]}: {wait.standing.task.name})"
    pieces = (*(line.piece for line in plan.lines), *(one.piece for one in plan.left))
    names = [*(machines[one.machine] for one in pieces), *(one.where for one in plan.stays_open)]
    width = max(map(len, names), default=0)
    marks = ["now", "next"]
    if plan.first is not None and plan.first.start > now and not plan.first.changing_over(now):
        yield f"{WAIT_FOR_IT} {clock(plan.first.start, now)}."
        marks = ["next"]
    for number, line in enumerate(plan.lines):
        mark = marks[number] if number < len(marks) else ""
        at = clock(line.begins, now)
        name = machines[line.piece.machine]
        words = f"{line.piece.words} ({detail(line, now, machines)})"
        yield f"{mark:<5} {at:>9}  {name:<{width}}  {words}"
    yield from _left_lines(plan, machines, width)
    for stays in plan.stays_open:
        yield f"{'open':<5} {'-':>9}  {stays.where:<{width}}  {stays.words_here}"
    yield from filter(None, (how_near(plan), *plan.left_out))
    yield NOT_ABOUT_SAFETY


def _left_lines(plan: DayPlan, machines: Mapping[str, str], width: int) -> Iterator[str]:
    """Say what does not fit into the time one has, and what that puts at risk."""
    if plan.left:
        yield left_words(plan)
    for one in plan.left:
        risk = f"; {one.risk}" if one.risk else ""
        words = f"{one.piece.words} ({span(one.piece.minutes)}{risk})"
        yield f"{'left':<5} {'-':>9}  {machines[one.piece.machine]:<{width}}  {words}"


def plan_json(plan: DayPlan, open_shop: OpenShop, allow_open: bool) -> dict[str, object]:
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
        "shortest_minutes": round(plan.bound, 1) if plan.is_shortest else None,
        "holds": [*plan.holds],
        "opens": plan.opens.isoformat() if plan.opens is not None else None,
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
