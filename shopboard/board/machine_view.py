"""One machine: its state large, every point with its state and reason, tasks and cutters. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from rich.cells import cell_len

from shopboard.board.board_view import first_words
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big
from shopboard.board.paint import Line, clip, fit, said
from shopboard.board.tasks_view import Waits, state_of, task_rows, why
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
    waits: Waits | None = None,
) -> list[Line]:
    """Draw a machine.

    Args:
        standing: how it stands.
        cursor: number of a point, from 0.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: by a point's full name, why the drawer cannot prove it and what would.
        waits: what is left alone within tasks.
    """
    width, room = size
    lines = large_state(standing.state, _open_work(standing, width))
    lines.append(())
    rest = _tasks(standing, waits or {}) + _cutters(standing)
    if not standing.points and standing.tasks:
        return [fit(line, width) for line in (lines + rest)[:room]]
    listed = _points(standing, cursor, now, unit, width, cannot or {})
    seen = max(2, room - len(lines) - min(len(rest), 6) - 1)
    first = max(0, 2 * (cursor + 1) - seen)
    lines += listed[first : first + seen]
    lines.append(())
    return [fit(line, width) for line in (lines + rest)[:room]]


def _open_work(standing: MachineStanding, width: int) -> list[str]:
    """Say what is to check, where to begin, and what is to do."""
    words = [f"{standing.to_check} to check"] if standing.points else []
    first = standing.first
    if first is not None and standing.to_check > 1:
        room = width - cell_len(big(standing.state)[0]) - 10
        words.append(clip(f"check first: {first_words(standing)}", room))
    if standing.to_do:
        words.append(f"{len(standing.to_do)} to do")
    return words


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


def _tasks(standing: MachineStanding, waits: Waits) -> list[Line]:
    """One line a task, what is under way or due first."""
    lines: list[Line] = []
    for row in task_rows((standing,)):
        mark, words, style = state_of(row.machine, row.standing, waits)
        name, reason = said(row.name), why(row.standing)
        lines.append(((f"  {mark} {words} ", style), (f"{name}  ", ""), (reason, "dim")))
    return lines


def _cutters(standing: MachineStanding) -> list[Line]:
    return [
        (
            ("  cutter ", "dim"),
            (said(cutter.name), ""),
            (f"  {cutter.state}, {cutter.where}", "dim"),
        )
        for cutter in standing.machine.cutters
    ]
