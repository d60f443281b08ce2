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
    lines = large_state(standing.state, [f"{standing.to_check} to check"])
    lines.append(())
    rest = _tasks(standing) + _cutters(standing)
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
    digits = len(str(len(standing.points)))
    names = min(longest + 1, width - _STATE_COLUMNS - (digits - 1))
    lines: list[Line] = []
    for number, one in enumerate(standing.points):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name = fit(((clip(said(one.point.name), names), style),), names, style)
        state = (f" {STATE_MARKS[one.state]} {one.state:<9}", one.state)
        shown = f"{mark}{number + 1:<{digits}} "
        lines.append(((shown, style), *name, state, (_measured(one, now, unit), "")))
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


def _cutters(standing: MachineStanding) -> list[Line]:
    return [
        (
            ("  cutter ", "dim"),
            (said(cutter.name), ""),
            (f"  {cutter.state}, {cutter.where}", "dim"),
        )
        for cutter in standing.machine.cutters
    ]
