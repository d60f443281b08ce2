"""How a point wanders, and when its next check is due, in plain sentences."""

from __future__ import annotations

import math
from collections.abc import Callable

from shopboard.base.text import counted
from shopboard.metrology.conformity import RISK
from shopboard.metrology.drift import DriftStep, Wander
from shopboard.metrology.due import Due
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.trend import Slope

_MONTH, _YEAR = 365 / 12, 365.0

_PERIODS = {
    "days": ((_MONTH, "a month"), (_YEAR, "a year")),
    "minutes": ((600.0, "in 10 h of running"), (6000.0, "in 100 h of running")),
}
"""Times over which a wander is told; the first over which its number has two digits is taken."""

_FAR_BETTER = 100
"""Odds beyond that are not told apart."""


def days_words(days: float) -> str:
    """Write a time in whole days, weeks, months or years, never more than it is: ``6 weeks``."""
    if days < 14:
        return counted(max(1, int(days)), "day")
    if days < 3 * _MONTH:
        return counted(int(days / 7), "week")
    if days < 2 * _YEAR:
        return counted(int(days / _MONTH), "month")
    return counted(int(days / _YEAR), "year")


def longer_words(days: float, than: float) -> str:
    """Write a time in whole units so that it reads as longer than another one, which it is."""
    for least, unit, name in ((2 * _YEAR, _YEAR, "year"), (3 * _MONTH, _MONTH, "month")):
        if days >= least and int(days / unit) > round(than / unit):
            return counted(int(days / unit), name)
    if days >= 14 and int(days / 7) > round(than / 7):
        return counted(int(days / 7), "week")
    return counted(int(days), "day")


def running_words(minutes: float) -> str:
    """Write a time of running in whole hours, never more than it is: ``40 h of running``."""
    return f"{max(1, int(minutes / 60))} h of running"


def wander_words(wander: Wander | None, kind: Kind, unit: Unit, *, interval: bool = False) -> str:
    """Say how it wanders, without a full stop.

    ``It creeps both ways, about 2 thou a year, over 9 changes between checks``: a check after
    something was set begins anew, so what is counted are changes.

    Args:
        wander: how the point wanders; None: there was nothing to learn from.
        kind: what sort of value the point's error is.
        unit: the shop's.
        interval: whether a rate is told with its 95 % interval: ``2 thou (1 to 3) a year``.
    """
    if wander is None:
        return "Too few checks yet to tell how it moves"
    if wander.changes == 0:
        return "No creep or drift is known yet"
    seen = f"{counted(wander.changes, 'change')} between checks"
    if not wander.shows:
        return f"No creep or drift shows over {seen}, beyond the uncertainty"
    return f"{_wander(wander, kind, unit, interval=interval)} over {seen}"


def due_words(
    wander: Wander | None,
    due: Due,
    kind: Kind,
    unit: Unit,
    *,
    by: str = "",
    every: str = "",
    risk: float = RISK,
) -> str:
    """Say in a sentence or two what the wander makes of the next check.

    Args:
        wander: how the point wanders.
        due: what follows from it.
        kind: what sort of value the point's error is.
        unit: the shop's.
        by: the day that `due.days` falls on, in words; needed only where the wander sets it.
        every: the shop file's interval as it says it; empty: none.
        risk: accepted probability of being out.
    """
    hold = f": the shop file's interval of {every} applies" if every else ""
    told = wander_words(wander, kind, unit, interval=True)
    if wander is None or not wander.shows or wander.changes == 0:
        return f"{told}{hold}."
    if not due.by_wander:
        stays = "it should stay in tolerance that long" if every else "it should stay in tolerance"
        return f"{told}; {stays}{hold}.{_more(wander, kind, unit)}{_assumed(wander, every)}"
    why = f"{'at that rate, ' if wander.steady else ''}{risk * 100:g} % chance of being out"
    if due.minutes is not None:
        first = running_words(due.minutes)
        latest = f", or after the shop file's {every}" if every else ""
        then = f"after {first}: check by then{latest}"
    else:
        each = days_words(due.days or 1).removeprefix("1 ")
        then = f"by {by}: check every {each}"
    few = " So few changes tell it only roughly." if wander.few else ""
    return f"{told}; {why} {then}.{_more(wander, kind, unit)}{few}"


def step_words(step: DriftStep, kind: Kind, unit: Unit) -> str:
    """Say what a step is, and what may have caused it."""
    moved = f"It moved {measure(step.excess, kind, unit)} more than creep or drift explains"
    if step.cause:
        return f"{moved}: {step.cause} in between, probably the cause."
    if step.beside:
        return (
            f"{moved}: {step.beside} in between, perhaps the cause, though by the shop file it"
            " does not upset the point."
        )
    return f"{moved}, with nothing recorded in between."


def _wander(wander: Wander, kind: Kind, unit: Unit, *, interval: bool) -> str:
    if wander.steady:
        size, time, period = _over(wander, lambda time: measure(wander.rate * time, kind, unit))
        ends = sorted((wander.low, wander.high), key=abs)
        low, high = (measure(end * time, kind, unit).split()[0] for end in ends)
        within = f" ({low} to {high})" if interval and low != high else ""
        return f"It drifts about {size}{within} {period}"
    if wander.one_way:  # few checks do not make its rate sure, but no to and fro either
        size, _, period = _over(wander, lambda time: measure(wander.rate * time, kind, unit))
        return f"It drifted the same way each time, about {size} {period},"
    growth = sum(part.weight * part.growth for part in wander.parts)
    size, _, period = _over(wander, lambda time: measure(math.sqrt(growth * time), kind, unit))
    if wander.changes == 1:  # one change went one way: that is no to and fro
        return f"It moved about {size} {period}, either way,"
    return f"It creeps both ways, about {size} {period},"


def _over(wander: Wander, told: Callable[[float], str]) -> tuple[str, float, str]:
    """Write a size over the first time in which it has two digits, or the longest; name that."""
    sizes = [(told(time), time, period) for time, period in _PERIODS[wander.clock]]
    return next((one for one in sizes if _digits(one[0]) > 1), sizes[-1])


def _more(wander: Wander, kind: Kind, unit: Unit) -> str:
    """Give the sentences that only some wanders need."""
    more = ""
    if wander.clock == "minutes":
        odds = int(wander.odds)
        times = f"over {_FAR_BETTER}" if odds > _FAR_BETTER else f"{odds}"
        more += f" Hours run explain it {times} times better than days do."
    if wander.quickening is not None:
        more += (
            f" {_quickening(wander, wander.quickening, kind, unit)}: only the newest checks count."
        )
    return more


def _assumed(wander: Wander, every: str) -> str:
    """Say what was taken beforehand, where it still shows."""
    if not wander.few:
        return ""
    within = every or days_words(wander.scale.time)
    if wander.clock == "minutes":
        within = running_words(wander.scale.time)
    return (
        " With so few checks, assume that it uses up about half of its tolerance's width in"
        f" {within} at most."
    )


def _quickening(wander: Wander, slope: Slope, kind: Kind, unit: Unit) -> str:
    if slope.slope * wander.rate <= 0:
        return "It no longer drifts as it used to"
    (time, period), (longer, _) = _PERIODS[wander.clock]
    each = "each year" if wander.clock == "days" else "each 100 h of running"
    size, low, high = (
        measure(one * time * longer, kind, unit) for one in (slope.slope, *_inward(slope))
    )
    return f"It drifts faster than it used to, {each} by {size} {period} ({low} to {high})"


def _inward(slope: Slope) -> tuple[float, float]:
    """Give the ends of a slope's interval, the one nearer to 0 first."""
    low, high = sorted((slope.low, slope.high), key=abs)
    return low, high


def _digits(size: str) -> int:
    """Count the digits that say something: ``0.4 thou`` has one, ``1.2 thou`` two."""
    return len("".join(char for char in size.split()[0] if char.isdigit()).lstrip("0"))
