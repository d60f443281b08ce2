"""The points of a machine: each with its state and its numbers, then why. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.nines import out_of_sight
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.metrology.kind import YES_NO_WORDS, measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import share
from shopboard.standing.model import MachineStanding, PointStanding

_STATE_COLUMNS = 51
"""Columns that number, state, error, share and age take beside a point's name."""
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
    titles = _titles(standing, now, unit, width)
    free = room - len(titles) - 1
    listed = _as_long_as_fits(
        standing, _points(standing, cursor, now, unit, width, cannot), cursor, free
    )
    shown = _around(listed, cursor, max(2, free))
    more = out_of_sight(shown.start, len(listed) - shown.stop)
    below: list[Line] = [((f"  {more}", "dim"),)] if more else []
    lines = [*titles, *(line for at in shown for line in listed[at]), *below]
    return lines if lines and not lines[-1] else [*lines, *([] if below else [()])]


def _as_long_as_fits(
    standing: MachineStanding, listed: list[list[Line]], cursor: int, room: int
) -> list[list[Line]]:
    """Set points apart where there is room; where there is none, leave out why a point is true."""
    used = sum(map(len, listed))
    if used + len(listed) <= room:
        return [[*lines, ()] for lines in listed]
    if used <= room:
        return listed
    return [
        lines[:1] if one.state == "true" and number != cursor else lines
        for number, (one, lines) in enumerate(zip(standing.points, listed, strict=True))
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


def _columns(standing: MachineStanding, width: int) -> tuple[int, int]:
    """Give the columns of points' numbers and of their names."""
    longest = max((cell_len(said(one.point.name)) for one in standing.points), default=0)
    digits = len(str(len(standing.points)))
    return digits, min(longest + 1, width - _STATE_COLUMNS - (digits - 1))


def _titles(standing: MachineStanding, now: datetime, unit: Unit, width: int) -> list[Line]:
    """Name the columns of numbers, where there are numbers."""
    if not any(_measured(one, now, unit) for one in standing.points):
        return []
    digits, names = _columns(standing, width)
    before = " " * (digits + 2 + names + WIDEST_STATE + 3)
    return [((f"{before}{'error':>14} {'of tol.':>7}  checked", "dim"),)]


def _points(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    width: int,
    cannot: Mapping[str, str],
) -> list[list[Line]]:
    """Two or more lines a point: what it is and how it stands, then why."""
    digits, names = _columns(standing, width)
    points: list[list[Line]] = []
    for number, one in enumerate(standing.points):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name = fit(((clip(said(one.point.name), names), style),), names, style)
        ready = one.state == "true" and standing.tag  # no green on what nobody may use
        words = f" {STATE_MARKS[one.state]} {state_word(one.state):<{WIDEST_STATE}}"
        state = (words, "" if ready else one.state)
        shown = f"{mark}{number + 1:<{digits}} "
        reasons = _reason(one, cannot.get(one.point.full_name, ""), unit, width - 5)
        points.append(
            [
                ((shown, style), *name, state, (_measured(one, now, unit), "")),
                *(((f"    {words}", "dim"),) for words in reasons),
            ]
        )
    return points or [[(("  no points in the shop file", "dim"),)]]


def _measured(one: PointStanding, now: datetime, unit: Unit) -> str:
    if one.record is not None and one.record.kind == "note":
        return f"{'':>22}  {one.record.age(now)}"
    if one.record is None or one.used is None or one.state == "unproven":
        return ""  # what was read before it was moved or undone says nothing of how it is now
    error = measure(one.record.error, one.record.kind, unit)
    used = "" if one.record.kind in YES_NO_WORDS else share(one.used).replace("over ", ">")
    return f"{error:>14} {used:>7}  {one.record.age(now)}"


def _reason(one: PointStanding, cannot: str, unit: Unit, width: int) -> list[str]:
    """Say why it stands so, and what it would take to prove it, to its end."""
    limits = one.point.tolerance
    own = said(limits.words(unit).partition(" (")[0])  # in the unit of the error above it
    tolerance = "" if limits.kind in YES_NO_WORDS else f"tolerance {own}"
    reason = said(one.reason) or (said(one.record.lean) if one.record else "")
    if cannot and one.state != "out":
        reason = cannot
    words = " · ".join(part for part in (reason, tolerance) if part)
    return [line for line in wrap(words, width, _MOST_WHY) if line]
