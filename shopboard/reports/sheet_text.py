"""The inspection sheet as plain lines, for any printer; nothing is cut."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from shopboard.base.dates import day
from shopboard.base.text import harmless
from shopboard.metrology.quantity import Unit
from shopboard.reports.sheet import Sheet, SheetRow
from shopboard.reports.sheet_words import decided_words, legend, row_cells

_WIDE = 78


def sheet_text(sheet: Sheet) -> Iterator[str]:
    """Write the sheet in lines of 78 columns."""
    yield f"INSPECTION SHEET: {harmless(sheet.machine)}"
    yield f"{harmless(sheet.shop)}, printed {day(sheet.printed)}"
    yield f"Checked by: {harmless(sheet.who) or '_' * 30}"
    if sheet.out_of_use:
        yield from _wrapped(f"!! DO NOT USE: {sheet.out_of_use}")
    for row in sheet.rows:
        yield from ("", *_row(row, sheet.unit))
    if not sheet.rows:
        yield from ("", "no points in the shop file")
    yield from ("", *_wrapped(decided_words(sheet.on_hold)))
    yield from ("", *_wrapped(legend(sheet.level)))
    yield from ("", f"Signature: {'_' * 30}   Date: {'_' * 15}")


def _row(row: SheetRow, unit: Unit) -> Iterator[str]:
    """Write a point, a line for each column of the printed table."""
    name, tool, tolerance, *others = ("; ".join(cell) for cell in row_cells(row, unit))
    yield from _wrapped(f"{name}; tolerance {tolerance}")
    heads = ("As found", "As left", "Verdict", "When", "Today")
    for head, words in (("Tool", tool), *zip(heads, others, strict=True)):
        if words != "–":
            yield from _wrapped(f"{head + ':':<10}{words}", 2, 12)


def _wrapped(words: str, indent: int = 0, more: int = 0) -> list[str]:
    return textwrap.wrap(
        harmless(words), _WIDE, initial_indent=" " * indent, subsequent_indent=" " * more
    )
