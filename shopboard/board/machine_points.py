"""The points of a machine: each with its state and its numbers, then why. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.nines import out_of_sight
from shopboard.board.paint import WHOLE, Line, fit, said, wrap
from shopboard.board.result_row import short_lean
from shopboard.checks.in_numbers import limits_in
from shopboard.checks.registry import is_size
from shopboard.metrology.kind import YES_NO_WORDS, measure, numbers, own_units
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import UNITS
from shopboard.standing.model import MachineStanding, PointStanding

_NARROWEST_NAME = 14
"""Columns of a name below which the age of the result makes room for it; the point tells that."""

_TITLES = ("error", "tolerance", "checked")
"""Of the columns."""

_MOST_WHY = 4
"""Rows that the reason of a point takes at the most."""


def points_lines(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    size: tuple[int, int],
    cannot: Mapping[str, str],
) -> list[Line]:
    """Draw as many points as there are rows, the one at the cursor among them.

    Args:
        standing: of the machine.
        cursor: number of a point, from 0.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: by a point's full name, why the tools cannot prove it and what would.
    """
    width, room = size
    columns = _columns(standing, now, unit, width)
    free = room - len(columns.titles) - 1
    points = _points(standing, cursor, columns, width, cannot)
    listed = _as_long_as_fits(standing, points, cursor, free)
    shown = _around(listed, cursor, max(2, free))
    more = out_of_sight(shown.start, len(listed) - shown.stop)
    below: list[Line] = [((f"  {more}", "dim"),)] if more else []
    lines = [*columns.titles, *(line for at in shown for line in listed[at]), *below]
    return lines if lines and not lines[-1] else [*lines, *([] if below else [()])]


class _Listed(NamedTuple):
    """A point: what it is and how it stands, a long name on several lines; and why."""

    named: list[Line]
    why: list[Line]

    @property
    def lines(self) -> list[Line]:
        """Both."""
        return [*self.named, *self.why]


def _as_long_as_fits(
    standing: MachineStanding, listed: list[_Listed], cursor: int, room: int
) -> list[list[Line]]:
    """Set points apart where there is room; where there is none, leave out why a point is true."""
    whole = [one.lines for one in listed]
    used = sum(map(len, whole))
    if used + len(listed) <= room:
        return [[*lines, ()] for lines in whole]
    if used <= room:
        return whole
    return [
        told.named if one.state == "true" and number != cursor else told.lines
        for number, (one, told) in enumerate(zip(standing.points, listed, strict=True))
    ]


def _around(listed: Sequence[Sequence[Line]], cursor: int, room: int) -> range:
    """Choose the points that are shown, the one at the cursor among them; each whole."""
    first = last = cursor if listed else 0
    used = len(listed[first]) if listed else 0
    while first > 0 and used + len(listed[first - 1]) <= room:
        first -= 1
        used += len(listed[first])
    while last + 1 < len(listed) and used + len(listed[last + 1]) <= room:
        last += 1
        used += len(listed[last])
    return range(first, min(last + 1, len(listed)))


class _Columns(NamedTuple):
    """What stands beside the names of points, and how wide they are."""

    digits: int
    names: int
    numbers: Sequence[str]
    """Of each point: error, tolerance, age, below each other."""
    titles: Sequence[Line]
    """What these are, where there are any."""


def _columns(standing: MachineStanding, now: datetime, unit: Unit, width: int) -> _Columns:
    digits = len(str(len(standing.points)))
    longest = max((cell_len(said(one.point.name)) for one in standing.points), default=0)
    found = [_numbers(one, now, unit) for one in standing.points]
    if width >= WHOLE:
        return _Columns(digits, longest + 1, [*map(_in_words, found)], [])
    rows = [_TITLES, *found]
    error, limits, age = (max(map(cell_len, column)) for column in zip(*rows, strict=True))
    free = width - (digits + 2 + WIDEST_STATE + 4 + error + limits + 2)
    narrow = free - age - 2 < min(longest + 1, _NARROWEST_NAME)
    names = min(longest + 1, free if narrow else free - age - 2)
    title, *numbers = (
        f"{first:>{error}}  {second:<{limits}}  {'' if narrow else third}".rstrip()
        for first, second, third in rows
    )
    before = " " * (digits + 2 + names + WIDEST_STATE + 4)
    titles: list[Line] = [((f"{before}{title}", "dim"),)] if any(map(str.strip, numbers)) else []
    return _Columns(digits, names, numbers, titles)


def _points(
    standing: MachineStanding,
    cursor: int,
    columns: _Columns,
    width: int,
    cannot: Mapping[str, str],
) -> list[_Listed]:
    """Two or more lines a point: what it is and how it stands, then why."""
    points: list[_Listed] = []
    for number, (one, told) in enumerate(zip(standing.points, columns.numbers, strict=True)):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name, *more = wrap(said(one.point.name), columns.names)
        ready = one.state == "true" and standing.tag  # no green on what nobody may use
        state = f" {STATE_MARKS[one.state]} {state_word(one.state):<{WIDEST_STATE}} "
        shown = f"{mark}{number + 1:<{columns.digits}} "
        named: Line = (
            (shown, style),
            *fit(((name, style),), columns.names, style),
            (state, "" if ready else one.state),
            (told, ""),
        )
        before = " " * len(shown)
        longer = [((before, style), *fit(((one, style),), columns.names, style)) for one in more]
        reason = _reason(one, cannot.get(one.point.full_name, ""), width - 5)
        why: list[Line] = [((f"    {words}", "dim"),) for words in reason]
        points.append(_Listed([named, *longer], why))
    return points or [_Listed([(("  no points in the shop file", "dim"),)], [])]


def _in_words(found: tuple[str, str, str]) -> str:
    """Say what the columns hold, each number with what it is, of which none is the error."""
    error, limits, age = found
    words = (error, limits and f"{_TITLES[1]} {limits}", age and f"{_TITLES[2]} {age}")
    return "".join(f" · {one}" for one in filter(None, words))


def _numbers(one: PointStanding, now: datetime, unit: Unit) -> tuple[str, str, str]:
    """Give error and tolerance in the shop's unit, and the age of the result."""
    limits, record = one.point.tolerance, one.record
    name = own_units(limits.kind, unit)[-1]
    size = record.spread.size if record is not None else is_size(one.point.checks)
    tolerance = "" if limits.kind in YES_NO_WORDS else limits_in(limits, name, size=size)
    if record is not None and record.kind == "note":
        return "", tolerance, record.age(now)
    if record is None or one.used is None or one.state == "unproven":
        return "", tolerance, ""  # what was read before it was moved or undone says nothing of now
    if record.kind in YES_NO_WORDS:
        return measure(record.error, record.kind, unit), tolerance, record.age(now)
    name = own_units(record.kind, unit)[-1]
    found = (record.error, record.expanded, record.kind)
    error, _ = numbers(*found, name, size=record.spread.size)
    return f"{error} {UNITS[name].sign}", tolerance, record.age(now)


def _reason(one: PointStanding, cannot: str, width: int) -> list[str]:
    """Say why it stands so, and what it would take to prove it, to its end."""
    lean = short_lean(one.record) if one.record and one.state in ("true", "near", "out") else ""
    why = said(one.reason)
    reason = " · ".join(part for part in (why, "" if lean in why else lean) if part)
    words = cannot if cannot and one.state != "out" else reason
    return [line for line in wrap(words, width, _MOST_WHY) if line]
