"""The numbers behind a plot: a row a result or happening, newest first. Pure.

Below the rows stands everything that is on record of the one under the cursor.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.base.who import by_words
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import PLAIN, Line, Painted, clip, fit, said, wrap
from shopboard.metrology.kind import YES_NO_WORDS, measure_both, value_words
from shopboard.metrology.quantity import Unit
from shopboard.reports.shop_units import bare, shop_unit
from shopboard.reports.tools_used import tools_used
from shopboard.reports.trace import Trace, TraceEvent, drawn_times
from shopboard.results.record import CheckRecord

NumbersRow = CheckRecord | TraceEvent

_WIDE = 110
"""From so many columns on, a row has room for the clock and the tools."""

_VERDICT = 4
"""Number of the column of verdicts."""

_MOST_TOLD = 6
"""Lines about the chosen row at the most."""


def numbers_rows(trace: Trace, since: datetime) -> list[NumbersRow]:
    """Give what was recorded since a time in the order of the rows: the newest first."""
    times = drawn_times(trace)
    rows: list[NumbersRow] = [*trace.records, *trace.events]
    return sorted((one for one in rows if times[one.seq] >= since), key=lambda one: -one.seq)


def numbers_lines(
    rows: Sequence[NumbersRow], cursor: int, unit: Unit, size: tuple[int, int]
) -> list[Line]:
    """Draw the table.

    Args:
        rows: what `numbers_rows` gives.
        cursor: number of the chosen row, from 0.
        unit: the shop's unit.
        size: columns and rows.
    """
    width, room = size
    if not rows:
        return [(), (("  No result yet", "dim"),)]
    told = _told(rows[cursor], unit, width)[: max(0, min(_MOST_TOLD, room - 4))]
    seen = max(1, room - 2 - len(told))
    first = max(0, min(cursor - seen // 2, len(rows) - seen))
    columns = _columns(width, _unit(rows, unit))
    lines: list[Line] = [_cells("  ", [title for title, _ in columns], columns, "bold")]
    for at, one in list(enumerate(rows))[first : first + seen]:
        lines.append(_row(one, at == cursor, unit, columns))
    lines += [()] * (seen + 1 - len(lines))
    lines += [((f"{f'{cursor + 1} of {len(rows)}':>{width - 1}}", "dim"),), *told]
    return [fit(line, width) for line in lines[:room]]


def _unit(rows: Sequence[NumbersRow], unit: Unit) -> str:
    """Give the unit of the errors, which are all of one kind, for the heading."""
    kinds = [one.kind for one in rows if isinstance(one, CheckRecord)]
    symbol = shop_unit(kinds[0], unit) if kinds else ""
    return f", {symbol}" if symbol else ""


def _columns(width: int, unit: str) -> tuple[tuple[str, int], ...]:
    """Give title and width of every column."""
    wide = width >= _WIDE
    before = (
        ("date", 18 if wide else 12),
        ("run", 8),
        ("method", 18 if wide else 12),
        (f"error ± U{unit}", 19),
        ("verdict", 2 + WIDEST_STATE),
    )
    rest = width - 2 - sum(cells + 1 for _, cells in before)
    if not wide:
        return *before, ("tolerance", max(0, rest - 1))
    tolerance = min(24, rest // 3)
    return *before, ("tolerance", tolerance), ("tool", rest - tolerance - 2)


def _cells(
    mark: str,
    texts: Sequence[str],
    columns: Sequence[tuple[str, int]],
    style: str,
    verdict: str = "",
) -> Line:
    """Write texts into their columns, all in one style but for the verdict's."""
    pieces: list[Painted] = [(mark, style)]
    for number, (text, (_, cells)) in enumerate(zip(texts, columns, strict=False)):
        own = verdict if verdict and number == _VERDICT else style
        pieces += fit(((clip(text, cells), own),), cells + 1, style)
    return tuple(pieces)


def _row(one: NumbersRow, here: bool, unit: Unit, columns: Sequence[tuple[str, int]]) -> Line:
    mark, date = "► " if here else "  ", _date(one, columns[0][1])
    if isinstance(one, TraceEvent):
        style = "bar" if here else "due" if one.undoes else "dim"
        words = f"{said(one.what)}{', check again' if one.undoes else ''}"
        return (*_cells(mark, [date], columns, "bar" if here else PLAIN), (words, style))
    void = one.void is not None
    texts = (
        date,
        said(one.run),
        said(one.method),
        _error(one, unit),
        "WITHDRAWN"
        if void
        else f"{STATE_MARKS.get(one.verdict, '?')} {said(state_word(one.verdict))}",
        said(one.tolerance) if one.kind not in YES_NO_WORDS else "",
        ", ".join(map(said, tools_used(one))),
    )
    style = "bar" if here else "struck" if void else PLAIN
    own = one.verdict if style == PLAIN and one.verdict in STATE_MARKS else ""
    return _cells(mark, texts, columns, style, own)


def _error(one: CheckRecord, unit: Unit) -> str:
    """Write error and uncertainty without the unit, which stands in the heading."""
    error, expanded = bare(one, unit)
    return error if one.kind in YES_NO_WORDS else f"{error:>10} ± {expanded or '0'}"


def _date(one: NumbersRow, cells: int) -> str:
    local = one.when.astimezone()
    clock = f" {local:%H:%M}" if cells > 12 else ""
    return f"{local.day:>2} {local:%b} {local.year}{clock}{'' if one.clock_ok else '?'}"


def _told(one: NumbersRow, unit: Unit, width: int) -> list[Line]:
    """Tell everything that is on record of a row."""
    clock = "" if one.clock_ok else " (the clock was wrong)"
    local = one.when.astimezone()
    when = f"{local:%a} {local.day} {local:%b} {local.year} {local:%H:%M}{clock}"
    if isinstance(one, TraceEvent):
        undoes = ": an earlier check no longer counts" if one.undoes else ""
        return [((f"  {when}", "bold"),), ((f"  {said(one.what)}{undoes}", ""),)]
    said_of = value_words if one.has_way else measure_both
    sentences = [f"{when}: {said_of(one.error, one.kind, unit, one.expanded)}"]
    if one.kind not in YES_NO_WORDS:
        sentences[0] += f", k = {one.k:.2f}"
    void = [f"WITHDRAWN: {said(one.void)}"] if one.void is not None else []
    tools = ", ".join(map(said, tools_used(one)))
    judged = said(state_word(one.verdict))
    if one.kind not in YES_NO_WORDS:
        judged += f" by the tolerance at the time, {said(one.tolerance)}"
    sentences += [
        *void,
        f"{judged}{'; ' * bool(one.lean)}{said(one.lean)}",
        *([f"with {tools}"] if tools else []),
        *([by_words(one.by)] if one.by else []),
        *([said(one.note)] if one.note else []),
    ]
    lines: list[Line] = []
    for number, words in enumerate(sentences):
        style = "bold" if number == 0 else ""
        lines += [((f"  {text}", style),) for text in wrap(words, width - 4, 3)]
    return lines
