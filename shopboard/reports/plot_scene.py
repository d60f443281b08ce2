"""What a plot shows of a trace: the results of a time as places and values, and what is left out.

Pure; values are in the shop's unit.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime, timedelta
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.kind import YES_NO_WORDS, Kind
from shopboard.metrology.quantity import Unit
from shopboard.reports.shop_units import in_shop_unit
from shopboard.reports.time_axis import TimeAxis, time_axis
from shopboard.reports.trace import Trace, TraceEvent, drawn_times
from shopboard.results.record import CheckRecord

Span = Literal["all", "year", "quarter"]
SPANS: tuple[Span, ...] = ("all", "year", "quarter")

_DAYS = {"year": 365, "quarter": 91}

_FARTHEST = 1e12
"""In any unit: what lies farther out is no measurement that a plot can show."""


_BEYOND = 0.06
"""How far beyond the limits the picture goes at least, as a share of the tolerance."""


class Dot(NamedTuple):
    """A result as it is drawn: its place in time, its value and how far U reaches."""

    when: datetime
    value: float
    low: float
    high: float
    record: CheckRecord

    @property
    def can_be_shown(self) -> bool:
        """Whether a picture can hold it."""
        return max(abs(self.low), abs(self.high)) < _FARTHEST


class Jump(NamedTuple):
    """A setting as it is drawn: from the value found to the one left, as far as they are known."""

    when: datetime
    found: float | None
    left: float | None


class Scene(NamedTuple):
    """Everything that falls into the time shown, in the order of recording."""

    kind: Kind
    start: datetime
    end: datetime
    dots: tuple[Dot, ...] = ()
    """Results that stand."""
    voids: tuple[Dot, ...] = ()
    """Results withdrawn, as far as they lie among the others."""
    jumps: tuple[Jump, ...] = ()
    events: tuple[tuple[datetime, TraceEvent], ...] = ()
    limits: tuple[float, float] | None = None
    """Today's tolerance; None where there is none."""
    one_sided: bool = False
    """Whether its highest value alone limits: nothing is below 0, which is its lowest."""
    notes: tuple[str, ...] = ()
    """What the picture does not show as it was recorded."""

    @property
    def drawn_limits(self) -> tuple[float, ...]:
        """The limits that a line is drawn at: of one-sided ones the highest alone."""
        return () if self.limits is None else self.limits[self.one_sided :]

    def is_outside(self, value: float) -> bool:
        """Tell whether a value lies outside the limits."""
        if self.limits is None:
            return False
        low, high = self.limits
        return value >= high or (value <= low and not self.one_sided)

    @property
    def ends(self) -> tuple[float, float]:
        """The lowest and the highest value that must be in the picture."""
        if self.kind in YES_NO_WORDS:
            return 0.0, 1.0
        reach: list[float] = []
        if self.limits is not None:  # with a little of what lies outside
            low, high = self.limits
            below = 0.0 if self.one_sided else _BEYOND * (high - low)
            reach += (low - below, high + _BEYOND * (high - low))
        for dot in self.dots or self.voids:
            reach += (dot.low, dot.high)
        return min(reach, default=0.0), max(reach, default=0.0)


def scene_of(trace: Trace, unit: Unit, now: datetime, span: Span) -> Scene:
    """Pick what is shown.

    Args:
        trace: the point's results, settings and happenings.
        unit: the shop's unit.
        now: the time; the right end, unless something is recorded after it.
        span: how much of the time is shown, counted back from the right end.
    """
    times, kind = drawn_times(trace), trace.kind
    every = [_dot(one, times[one.seq], unit) for one in trace.records]
    fit = [one for one in every if one.can_be_shown]
    standing = [one for one in fit if one.record.void is None]
    end = max([now, *times.values()])
    axis = time_axis(_start(standing or fit, end, span), end, 1)
    dots = tuple(one for one in standing if axis.holds(one.when))
    taken_back = [one for one in fit if one.record.void is not None and axis.holds(one.when)]
    limits, one_sided = _limits(trace, unit)
    scene = Scene(
        kind=kind,
        start=axis.start,
        end=axis.end,
        dots=dots,
        voids=tuple(taken_back),
        jumps=_jumps(trace, times, axis, unit),
        events=tuple((times[e.seq], e) for e in trace.events if axis.holds(times[e.seq])),
        limits=limits,
        one_sided=one_sided,
    )
    low, high = scene.ends
    voids = tuple(one for one in taken_back if low <= one.value <= high)
    notes = _notes(trace, scene, len(every) - len(fit), len(taken_back) - len(voids))
    return scene._replace(voids=voids, notes=notes)


def _start(dots: Sequence[Dot], end: datetime, span: Span) -> datetime:
    """Give the left end: that of the span, or the first of what is there."""
    if span in _DAYS:
        return end - timedelta(days=_DAYS[span])
    return min((one.when for one in dots), default=end)


def _dot(record: CheckRecord, when: datetime, unit: Unit) -> Dot:
    reach = 0.0 if record.kind in YES_NO_WORDS else record.expanded
    value, low, high = (
        in_shop_unit(one, record.kind, unit)
        for one in (record.error, record.error - reach, record.error + reach)
    )
    if record.spread.size:  # no size is below 0, however little is known of it
        low = max(low, 0.0)
    return Dot(when, value, min(value, low), max(value, high), record)


def _jumps(
    trace: Trace, times: dict[int, datetime], axis: TimeAxis, unit: Unit
) -> tuple[Jump, ...]:
    def value(error: float | None) -> float | None:
        return None if error is None else in_shop_unit(error, trace.kind, unit)

    return tuple(
        Jump(times[one.seq], value(one.found), value(one.left))
        for one in trace.settings
        if axis.holds(times[one.seq])
    )


def _limits(trace: Trace, unit: Unit) -> tuple[tuple[float, float] | None, bool]:
    """Give today's limits, None where there are none, and whether the highest alone limits."""
    tolerance, kind = trace.tolerance, trace.kind
    if tolerance is None or kind in YES_NO_WORDS:
        return None, False
    is_size = any(one.spread.size for one in trace.records[-1:])
    one_sided = tolerance.is_one_sided(size=is_size)
    low = 0.0 if one_sided else in_shop_unit(tolerance.low, kind, unit)
    return (low, in_shop_unit(tolerance.high, kind, unit)), one_sided


def _notes(trace: Trace, scene: Scene, too_far: int, voids: int) -> tuple[str, ...]:
    typed = trace.tolerance.typed if trace.tolerance and trace.kind not in YES_NO_WORDS else ""
    records = [one.record for one in scene.dots]
    other = [one for one in records if typed and one.tolerance not in ("", typed)]
    counts = (
        (len(other), "judged by another tolerance then"),
        (_wrong_clocks(records), "with the clock wrong, drawn at the time of the one before"),
        (voids, "withdrawn, off the picture"),
        (trace.other_kinds, "of another kind of value, left out"),
        (too_far, "too far out to draw"),
    )
    notes = [f"{count} {what}" for count, what in counts if count]
    return (*notes, *(["older results left out"] if trace.cut else []))


def _wrong_clocks(records: Sequence[CheckRecord]) -> int:
    return sum(1 for one in records if not one.clock_ok)
