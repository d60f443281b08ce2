"""What a prep day and a year cost and brought, in words."""

from __future__ import annotations

from collections.abc import Iterator

from shopboard.base.dates import day as day_words
from shopboard.base.text import counted
from shopboard.metrology.drift_words import longer_words
from shopboard.prep.cost import Cost, MachineCost
from shopboard.prep.left_words import how_much, left_lines
from shopboard.prep.plan_words import span
from shopboard.prep.year_cost import PointInterval, Use
from shopboard.wander.outlook import ENOUGH

HOW = (
    "Minutes are what lies between one record and the next, waits, closed hours of the shop and"
    " gaps of an hour left out; of a task of which only that it was done is on record, its own."
)


def taken_words(cost: Cost) -> str:
    """Say what a prep day took and found: ``took 50 min, 40 min planned; 6 checked, 1 out``."""
    planned = "" if cost.planned is None else f", {span(cost.planned)} planned"
    return f"took {span(cost.minutes)}{planned}; {_found(_sum(cost))}"


def use_lines(use: Use, risk: float) -> Iterator[str]:
    """Tell of the day, of the year, and of the intervals; an empty line parts them."""
    if use.day is not None:
        which = "The prep day in progress" if use.in_progress else "The last prep day"
        yield f"{which}, {day_words(use.day.since)}, {taken_words(use.day)}."
        yield from _rows(use.day)
        if use.left:
            yield f"Left undone when it ended: {how_much(use.left)} of work."
            yield from left_lines(use.left, use.machines)
        yield ""
    yield f"Since {day_words(use.year.since)}: {span(use.year.minutes)} of upkeep and checks."
    found = _sum(use.year)
    yield f"Found out: {found.out} of {counted(found.checks, 'check')}."
    yield from _rows(use.year)
    yield HOW
    yield ""
    yield from interval_lines(use, risk)


def interval_lines(use: Use, risk: float) -> Iterator[str]:
    """Say which points could be checked less often, and of how many the record says too little."""
    if use.longer:
        yield (
            "Could be checked less often: by how they drift, even from the worst of their last"
            f" results the chance of being out stays below {risk * 100:g} % that long."
        )
    yield from (f"  {_longer(one)}" for one in use.longer)
    rest = len(use.intervals) - len(use.longer) - use.too_few
    if rest:
        yield f"No longer interval shows for {counted(rest, 'point')}."
    if use.too_few:
        points = counted(use.too_few, "point")
        yield f"Too few checks yet for {points}: it takes {ENOUGH + 1} with nothing set between."


def _longer(one: PointInterval) -> str:
    point, found = one.point, one.found
    checks = counted(found.changes, "change")
    could = longer_words(found.days, point.every_days or 0)
    return f"{one.where}, {point.name}: every {point.every} could be {could} ({checks} seen)"


def _rows(cost: Cost) -> Iterator[str]:
    width = max((len(one.name) for one in cost.rows), default=0)
    for one in cost.rows:
        planned = "" if cost.planned is None else f"  planned {span(one.planned or 0):>10}"
        yield f"  {one.name:<{width}}  {span(one.minutes):>10}{planned}  {_found(one)}".rstrip()


def _found(one: MachineCost) -> str:
    """Say what the checks of a machine found; that nothing was checked, too."""
    if not one.checks:
        return "nothing checked"
    told = ((one.out, "out"), (one.near, "borderline"), (one.set_right, "set right"))
    return ", ".join(
        [f"{one.checks} checked", *(f"{count} {word}" for count, word in told if count)]
    )


def _sum(cost: Cost) -> MachineCost:
    return MachineCost(
        "",
        "",
        cost.minutes,
        cost.planned,
        cost.total(lambda one: one.checks),
        cost.total(lambda one: one.out),
        cost.total(lambda one: one.near),
        cost.total(lambda one: one.set_right),
    )
