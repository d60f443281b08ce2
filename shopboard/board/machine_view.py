"""One machine: its state large, every point with its state and reason, tasks and cutters. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from rich.cells import cell_len

from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big
from shopboard.board.paint import Line, clip, fit, said
from shopboard.health import MachineStanding, PointStanding, ago
from shopboard.metrology.kind import SAID, measure
from shopboard.metrology.quantity import Unit
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_words, state_words

_STATE_COLUMNS = 50
"""Columns that number, state, error, share and age take beside a point's name."""


def machine_lines(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    size: tuple[int, int],
    cannot: Mapping[str, str] | None = None,
) -> list[Line]:
    """Draw a machine.

    Args:
        standing: how it stands.
        cursor: number of a point, from 0.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: by a point's full name, why the drawer cannot prove it and what would.
    """
    width, room = size
    blunt = [f"{SHARP_MARKS['dull']} {blunt_words(one)}" for one in standing.blunt]
    lines = large_state(standing.state, [f"{standing.to_check} to check", *blunt])
    lines.append(_under_way(standing))
    rest = _tasks(standing) + _cutters(standing, width)
    listed = _points(standing, cursor, now, unit, width, cannot or {})
    seen = max(2, room - len(lines) - min(len(rest), 6) - 1)
    first = max(0, 2 * (cursor + 1) - seen)
    lines += listed[first : first + seen]
    lines.append(())
    return [fit(line, width) for line in (lines + rest)[:room]]


def large_state(state: str, beside: list[str]) -> list[Line]:
    """Write a state in large letters with a few words beside it."""
    rows = []
    for row, (picture, letters) in enumerate(zip(STATE_PICTURES[state], big(state), strict=True)):
        words = beside[row] if row < len(beside) else ""
        rows.append(((f"  {picture} {letters}   ", state), (words, "")))
    return list(rows)


def _points(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    width: int,
    cannot: Mapping[str, str],
) -> list[Line]:
    """Two lines a point: what it is and how it stands, then why."""
    longest = max((cell_len(said(one.point.name)) for one in standing.points), default=0)
    names = min(longest + 1, width - _STATE_COLUMNS)
    lines: list[Line] = []
    for number, one in enumerate(standing.points):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name = fit(((clip(said(one.point.name), names), style),), names, style)
        state = (f" {STATE_MARKS[one.state]} {one.state:<9}", one.state)
        lines.append(
            ((f"{mark}{number + 1} ", style), *name, state, (_measured(one, now, unit), ""))
        )
        lines.append(
            (
                (
                    "    " + clip(_reason(one, cannot.get(one.point.full_name, "")), width - 5),
                    "dim",
                ),
            )
        )
    return lines or [(("  no points in the shop file", "dim"),)]


def _measured(one: PointStanding, now: datetime, unit: Unit) -> str:
    if one.record is None or one.used is None:
        return ""
    error = measure(one.record.error, one.record.kind, unit)
    used = "" if one.record.kind in SAID else f"{one.used:.0%}"
    return f"{error:>14} {used:>5}  {ago(one.record.when, now)}"


def _reason(one: PointStanding, cannot: str) -> str:
    limits = one.point.tolerance
    tolerance = f" · tolerance {said(limits.typed)}" if limits.kind not in SAID else ""
    reason = said(one.reason) or (said(one.record.lean) if one.record else "")
    if cannot and one.state != "out":
        return f"{cannot}{tolerance}"
    return f"{reason}{tolerance}"


def _tasks(standing: MachineStanding) -> list[Line]:
    return [
        (
            ("  to do  ", "dim"),
            (said(task.name), ""),
            (f"  every {task.every_days} days" if task.every_days else "", "dim"),
        )
        for task in standing.machine.tasks
    ]


def _under_way(standing: MachineStanding) -> Line:
    """Warn of a machine on which a cutter may be loose."""
    if standing.changing is None:
        return ()
    words = f"  {standing.changing.what.upper()} UNDER WAY: c goes on with it"
    return ((words, "danger"),)


def _cutters(standing: MachineStanding, width: int) -> list[Line]:
    lines: list[Line] = []
    for one in standing.cutters:
        style = "due" if one.blunt else "dim"
        mark = SHARP_MARKS["dull" if one.blunt else one.state]
        words = f"  {state_words(one)}"
        name = clip(said(one.cutter.name), max(width - len(words) - 12, 12))
        lines.append((("  cutter ", "dim"), (f"{mark} {name}", ""), (words, style)))
    return lines
