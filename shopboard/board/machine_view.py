"""One machine: its state large, every point with its state and reason, tasks and cutters. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime

from rich.cells import cell_len

from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big
from shopboard.board.nines import out_of_sight
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.board.tasks_view import WaitWords, state_of, task_rows, why
from shopboard.metrology.kind import YES_NO_WORDS, measure
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import share
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_word, state_words
from shopboard.upkeep.safety_record import round_words

_STATE_COLUMNS = 50
"""Columns that number, state, error, share and age take beside a point's name."""


def machine_lines(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    size: tuple[int, int],
    cannot: Mapping[str, str] | None = None,
    waits: WaitWords | None = None,
    order: Sequence[str] = (),
) -> list[Line]:
    """Draw a machine.

    Args:
        standing: how it stands.
        cursor: number of a point, from 0; of a task, where it has none.
        now: the time.
        unit: the shop's unit.
        size: columns and rows.
        cannot: by a point's full name, why the drawer cannot prove it and what would.
        waits: what is left alone within tasks.
        order: full names of the shop's points that are not true, in the order to check them.
    """
    width, room = size
    lines = _large(standing, width)
    lines.append(_under_way(standing) or _in_order(standing, order))
    at = None if standing.points else cursor
    tasks = _tasks(standing, waits or {}, width, at)
    rest = _round(standing, now) + tasks + _cutters(standing, width)
    if not standing.points and standing.tasks:
        return [fit(line, width) for line in (lines + rest)[:room]]
    listed = _points(standing, cursor, now, unit, width, cannot or {})
    shown = _around(listed, cursor, max(2, room - len(lines) - min(len(rest), 6) - 1))
    lines += [line for at in shown for line in listed[at]]
    more = out_of_sight(shown.start, len(listed) - shown.stop)
    lines.append(((f"  {more}", "dim"),) if more else ())
    return [fit(line, width) for line in (lines + rest)[:room]]


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


def _large(standing: MachineStanding, width: int) -> list[Line]:
    """Its state large, or that it is not to be used and why."""
    words = _open_work(standing, width)
    if not standing.tag:
        return large_state(standing.state, words)
    from shopboard.board.tag_view import large_tag_lines, why_lines

    state = f"{STATE_MARKS[standing.state]} {state_word(standing.state)}"
    return [*large_tag_lines([state, *words]), *why_lines(standing.tag, width)]


def _open_work(standing: MachineStanding, width: int) -> list[str]:
    """Say what is to check, where to begin, and what is to do."""
    words = [f"{standing.to_check} to check"] if standing.points else []
    first = standing.first
    if first is not None and standing.to_check != 1:
        room = width - cell_len(big(state_word(standing.state))[0]) - 12
        words.append(clip(f"{first.comes_first} first: {first_words(standing)}", room))
    work = [f"{len(standing.to_do)} to do"] if standing.to_do else []
    work += [f"{SHARP_MARKS['dull']} cutter {blunt_word(one)}" for one in standing.blunt]
    return [*words, " · ".join(work)] if work else words


def first_words(standing: MachineStanding) -> str:
    """Name the point to check first, with the id of its machine where that is another one."""
    first = standing.first
    if first is None:
        return ""
    elsewhere = first.point.machine != standing.machine.id
    return said(first.point.name) + (f" ({first.point.machine})" if elsewhere else "")


def _round(standing: MachineStanding, now: datetime) -> list[Line]:
    if not standing.machine.has_round:
        return []
    wrong = standing.round is not None and standing.round.wrong
    words = said(f"safety walk: {round_words(standing.round, now)}")
    return [((f"  {'! ' if wrong else ''}{words}", "out" if wrong else "dim"),)]


def large_state(state: str, beside: list[str]) -> list[Line]:
    """Write a state in large letters with a few words beside it."""
    rows, word = [], big(state_word(state))
    for row, (picture, letters) in enumerate(zip(STATE_PICTURES[state], word, strict=True)):
        words = beside[row] if row < len(beside) else ""
        rows.append(((f"  {picture}   {letters}   ", state), (words, "")))
    return list(rows)


def _points(
    standing: MachineStanding,
    cursor: int,
    now: datetime,
    unit: Unit,
    width: int,
    cannot: Mapping[str, str],
) -> list[list[Line]]:
    """Two or three lines a point: what it is and how it stands, then why."""
    longest = max((cell_len(said(one.point.name)) for one in standing.points), default=0)
    digits = len(str(len(standing.points)))
    names = min(longest + 1, width - _STATE_COLUMNS - (digits - 1))
    points: list[list[Line]] = []
    for number, one in enumerate(standing.points):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name = fit(((clip(said(one.point.name), names), style),), names, style)
        state = (f" {STATE_MARKS[one.state]} {state_word(one.state):<{WIDEST_STATE}}", one.state)
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
        return f"{'':>20}  {one.record.age(now)}"
    if one.record is None or one.used is None or one.state == "unproven":
        return ""  # what was read before it was moved or undone says nothing of how it is now
    error = measure(one.record.error, one.record.kind, unit)
    used = "" if one.record.kind in YES_NO_WORDS else share(one.used).replace("over ", ">")
    return f"{error:>14} {used:>6}  {one.record.age(now)}"


def _reason(one: PointStanding, cannot: str, unit: Unit, width: int) -> list[str]:
    """Say why it stands so, on one line; what it would take to prove it is said to its end."""
    limits = one.point.tolerance
    tolerance = (
        f" · tolerance {said(limits.words(unit))}" if limits.kind not in YES_NO_WORDS else ""
    )
    reason = said(one.reason) or (said(one.record.lean) if one.record else "")
    if cannot and one.state != "out":
        return wrap(f"{cannot}{tolerance}", width, 3)
    return [clip(f"{reason}{tolerance}", width)]


def _tasks(
    standing: MachineStanding, waits: WaitWords, width: int, cursor: int | None
) -> list[Line]:
    """One line a task, what is under way or due first; with a cursor each has its digit."""
    lines: list[Line] = []
    for number, row in enumerate(task_rows((standing,))):
        mark, words, style = state_of(row.machine, row.standing, waits)
        apart = "  " if row.standing.begun else " "
        here = number == cursor
        digit = "" if cursor is None else f"{'►' if here else ' '}{number + 1} "
        state, name = (
            f"{'  ' if cursor is None else ''}{mark} {words}{apart}",
            f"{said(row.name)}  ",
        )
        taken = cell_len(digit) + cell_len(state) + cell_len(name) + 1
        reason = clip(why(row.standing), max(width - taken, 1))
        line: Line = ((digit, "bold"), (state, style), (name, ""), (reason, "dim"))
        if here:  # one bar without a hole
            line = fit(tuple((text, "bar") for text, _ in line), width, "bar")
        lines.append(line if digit else line[1:])
    return lines


def _under_way(standing: MachineStanding) -> Line:
    """Warn of a machine on which a cutter may be loose."""
    if standing.changing is None:
        return ()
    words = f"  {standing.changing.what.upper()} IN PROGRESS: 0 goes on with it"
    return ((words, "danger"),)


def _in_order(standing: MachineStanding, order: Sequence[str]) -> Line:
    """Say by their numbers in which order the points are checked."""
    numbers = {one.point.full_name: str(at) for at, one in enumerate(standing.points, 1)}
    here = [numbers[name] for name in order if name in numbers]
    return ((f"  check in this order: {', '.join(here)}", "dim"),) if len(here) > 1 else ()


def _cutters(standing: MachineStanding, width: int) -> list[Line]:
    lines: list[Line] = []
    for one in standing.cutters:
        style = "due" if one.blunt else "dim"
        mark = SHARP_MARKS["dull" if one.blunt else one.state]
        words = f"  {state_words(one)}"
        name = clip(said(one.cutter.name), max(width - len(words) - 12, 12))
        lines.append((("  cutter ", "dim"), (f"{mark} {name}", ""), (words, style)))
    return lines
