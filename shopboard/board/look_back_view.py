"""How every point stood on a past day, beside how it stands now. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from itertools import groupby

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.board.field import field_lines
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, fit, plain, said, wrap
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.quantity import Unit
from shopboard.standing.model import PointStanding

_DETAILS = 6
"""Rows that tell of the point under the cursor, at the least."""


class LookBackRow(NamedTuple):
    """A point then and now."""

    machine: str
    """The machine's name."""
    before: PointStanding
    after: PointStanding
    changed: bool


class ToldSince(NamedTuple):
    """What is told of the point under the cursor."""

    stands: Sequence[str]
    """How it stood and stands."""
    happened: Sequence[str]
    """What happened between, in order."""


def ask_lines(entry: str, understood: str, size: tuple[int, int]) -> list[Line]:
    """Ask for the day.

    Args:
        entry: what is typed so far.
        understood: what it means, or what is wrong with it.
        size: columns and rows.
    """
    width, room = size
    lines: list[Line] = [
        (),
        (("  Which day? A day such as 2026-05-01, or 12 for 12 days ago.", "bold"),),
        (("  A moment such as 2026-05-01 14:30 will do, too.", ""),),
        (),
        *field_lines(said(entry), said(understood), width),
        (),
    ]
    words = (
        "It shows how every point stood at the end of that day, as it was known then: only what"
        " was recorded by then counts. Tolerances and intervals are today's."
        " Times are this computer's local time, wherever they were recorded."
    )
    lines += [((f"  {one}", "dim"),) for one in wrap(words, width - 4)]
    return [fit(line, width) for line in lines[:room]]


def then_lines(
    rows: Sequence[LookBackRow],
    cursor: int,
    about: tuple[str, str],
    told: ToldSince,
    when: datetime,
    unit: Unit,
    size: tuple[int, int],
) -> list[Line]:
    """Draw the points, and below them what is known of the one under the cursor.

    Args:
        rows: the points that are listed.
        cursor: number of a row, from 0.
        about: what is shown, and what the key 1 does.
        told: of the point under the cursor.
        when: the moment that is looked back to, for ages.
        unit: the shop's unit.
        size: columns and rows.
    """
    width, room = size
    head, choice = about
    lines: list[Line] = [((f" {one}", "dim"),) for one in wrap(head, width - 2, 2)]
    lines.append(((" 1 ", "key"), (f" {choice}", "bold")))
    listed, at = _listed(rows, cursor, when, unit, width)
    name = rows[cursor].before.point.name if cursor < len(rows) else ""
    cut = said(name) not in plain(listed[at])
    stands = [name, *told.stands] if cut else told.stands
    left = room - len(lines) - 1
    most = max(_DETAILS, left - len(listed), left // 2)
    below = _below(stands, told.happened, width - 4, min(most, left - 3))
    seen = max(3, left - max(_DETAILS, len(below)))
    first = max(0, min(at - seen // 2, len(listed) - seen))
    shown = listed[first : first + seen]
    lines += [*shown, *([()] * (seen - len(shown))), ()]
    lines += [((f"  {one}", ""),) for one in below]
    return [fit(line, width) for line in lines[:room]]


def _below(stands: Sequence[str], happened: Sequence[str], width: int, most: int) -> list[str]:
    """Tell of the point in so many rows: where not all that happened has room, the newest."""
    lines = [one for words in stands for one in wrap(said(words), width, 2) if one]
    told = [wrap(said(words), width) for words in happened]
    for first in range(len(told)):
        rows = sum(map(len, told[first:])) + bool(first)
        if len(lines) + rows <= most or first == len(told) - 1:
            more = [f"{first} earlier: `shopboard changes` lists them"] if first else []
            lines += [clip(one, width) for one in more] + [
                one for each in told[first:] for one in each
            ]
            break
    if len(lines) > most > 0:
        lines = [*lines[: most - 1], clip(f"{lines[most - 1]} …", width)]
    return lines


def _listed(
    rows: Sequence[LookBackRow], cursor: int, when: datetime, unit: Unit, width: int
) -> tuple[list[Line], int]:
    """Write the rows under the names of their machines; give the cursor's line as well."""
    if not rows:
        return [(("  Every point stands the same now.", "bold"),)], 0
    told = [_before(row, when, unit) for row in rows]
    values, ages = (max(map(cell_len, column)) for column in zip(*told, strict=True))
    columns = (values + 1, ages + 1)
    longest = max(cell_len(said(row.before.point.name)) for row in rows)
    since = max(cell_len(_since(row)) for row in rows)
    names = max(min(width - sum(columns) - WIDEST_STATE - 3 - since, longest + 2), 12)
    lines: list[Line] = []
    at = 0
    numbered = enumerate(rows)
    for machine, group in groupby(numbered, key=lambda pair: pair[1].machine):
        lines.append(((f" {clip(said(machine), width - 2)}", "bold"),))
        for number, row in group:
            if number == cursor:
                at = len(lines)
            lines.append(_row(row, number == cursor, told[number], columns, names))
    return lines, at


def _before(row: LookBackRow, when: datetime, unit: Unit) -> tuple[str, str]:
    """Give value and age of the result that counted then."""
    record = row.before.record
    if record is None:
        return "", ""
    value = record.words(unit)
    age = "withdrawn" if record.void is not None else record.age(when).replace(" ago", " old")
    return f"{value:.12}" if record.kind in YES_NO_WORDS else value, age


def _row(
    row: LookBackRow, here: bool, told: tuple[str, str], columns: tuple[int, int], names: int
) -> Line:
    """Write a row: the point, how it stood, what was measured and when, how it stands now."""
    before, after = row.before, row.after
    style = "bar" if here else ""
    name = f"{'►' if here else ' '} {clip(said(before.point.name), names - 2)}"
    (value, age), (values, ages) = told, columns
    return (
        *fit(((name, style),), names, style),
        (f" {STATE_MARKS[before.state]} {state_word(before.state):<{WIDEST_STATE}}", before.state),
        *fit(((f"{value:>{values - 1}} ", ""),), values),
        *fit(((age, "dim"),), ages),
        (_since(row), after.state if row.changed else "dim"),
    )


def _since(row: LookBackRow) -> str:
    """Say how it stands now, or that it stands the same."""
    state = row.after.state
    return f"  → {STATE_MARKS[state]} {state_word(state)}" if row.changed else "  ="
