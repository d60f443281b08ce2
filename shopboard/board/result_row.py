"""One result of a point in a row, its numbers below those of other rows. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.dates import day
from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.base.who import by_words
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, plain, said, wrap
from shopboard.checks.in_numbers import Found, numbers_in
from shopboard.metrology.kind import YES_NO_WORDS, measure, own_units
from shopboard.metrology.limits import in_own_unit
from shopboard.metrology.quantity import Unit
from shopboard.results.record import CheckRecord

_WIDE = 110
"""Columns from which a row has room for method and clock beside each other."""


def why_withdrawn(record: CheckRecord, row: Line, width: int) -> list[Line]:
    """Say below its row why a result was withdrawn, where that had no room in it."""
    why = said(record.void or "")
    return [] if why in plain(row) else [((f"    {one}", "dim"),) for one in wrap(why, width - 5)]


def method_columns(checks: Sequence[str], history: Sequence[CheckRecord]) -> int:
    """Give the columns for the methods' names: none where there never was more than one."""
    names = {*checks, *(record.method for record in history)}
    return min(max(map(len, names)), 13) if len(names) > 1 else 0


def result_row(
    record: CheckRecord, here: bool, unit: Unit, width: int, methods: int, today: str = ""
) -> Line:
    """Write a result: when, which run, by what method, what was found.

    Args:
        record: the result.
        here: whether the cursor is on it.
        unit: the shop's unit.
        width: columns.
        methods: columns for the method's name; 0 where there is only one.
        today: the tolerance of today, as it was typed: another one is told.
    """
    verdict = record.verdict if record.verdict in STATE_MARKS else "unproven"
    clock = record.when.astimezone()
    doubt = "" if record.clock_ok else " clock?"
    weekday, _, date = day(record.when).partition(" ")
    when = f"{weekday} {date:>11} {clock:%H:%M}{doubt} "
    run = f"{record.run:<8}"
    if methods:  # more than one is in use: each result says which, and the clock makes room
        when = when if width >= _WIDE else f"{date:>11}{doubt}"
        run = f"{run} {clip(record.method, methods):<{methods}}"
    words = f"{'►' if here else ' '} {when} {run} {_error(record, unit)} "
    if record.void is not None:
        style = "bar" if here else "struck"
        why = f": {said(record.void)}"
        return ((f"{words}WITHDRAWN{why if cell_len(words + why) + 9 <= width else ''}", style),)
    state = f"{STATE_MARKS[verdict]} {state_word(verdict):<{WIDEST_STATE}}"
    then, now = (in_own_unit(one, unit) for one in (record.tolerance, today))
    other = record.kind not in YES_NO_WORDS and then != now
    limits = f"; tolerance at the time {said(then)}" if other else ""
    room = width - len(words) - len(state) - 1
    lean = short_lean(record)
    by = f"; {by_words(record.by)}" if record.by else ""
    ways = (f"{lean}{limits}{by}", f"{lean}{by}", lean)
    told = next((one for one in ways if cell_len(one) <= room), "").removeprefix("; ")
    return (words, "bar" if here else ""), (state, verdict), (f" {told}", "dim")


def short_lean(record: CheckRecord) -> str:
    """Say which way it leaned; how far it may be off, as older records tell, stands before it."""
    return said(record.lean).partition(", ± ")[0]


def _error(record: CheckRecord, unit: Unit) -> str:
    """Write what was found, numbers and units below those of other rows."""
    if record.kind == "note":
        return ""
    if record.kind in YES_NO_WORDS:  # a word, no number: the room is for what was said
        return f"{measure(record.error, record.kind, unit):>8}"
    found = Found(record.error, record.expanded, record.kind, None, None, record.spread.size)
    value, expanded, sign = numbers_in(found, own_units(record.kind, unit)[-1])
    known = f"± {expanded}" if expanded else ""
    return f"{value:>8} {f'{known} {sign}':<15}"
