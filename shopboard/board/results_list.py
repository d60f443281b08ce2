"""The results of a point, newest first: a row each, its numbers below each other. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.who import by_words
from shopboard.board.paint import Line, clip, said, wrap
from shopboard.board.result_row import method_columns, result_row, short_lean, why_withdrawn
from shopboard.metrology.quantity import Unit
from shopboard.results.record import CheckRecord
from shopboard.shop.machine import Point


def results_lines(
    history: Sequence[CheckRecord],
    cursor: int,
    point: Point,
    why: str,
    unit: Unit,
    size: tuple[int, int],
) -> list[Line]:
    """List the results around the cursor, each with what was noted about it.

    Args:
        history: the results, newest first.
        cursor: number of a result, from 0.
        point: the point, as it is today.
        why: what is said above of how it stands.
        unit: the shop's unit.
        size: columns and rows.
    """
    width, seen = size
    first = max(0, cursor - seen + 1)
    methods = method_columns(point.checks, history)
    blocks: list[list[Line]] = []
    for number, record in list(enumerate(history))[first : first + seen]:
        here = number == cursor
        row = result_row(record, here, unit, width, methods, point.tolerance.typed)
        lines = [row, *why_withdrawn(record, row, width)]
        lean = short_lean(record)
        left_out = lean and lean != why and not any(lean in text for text, _ in row)
        if here and left_out and record.void is None:
            lines += [((f"    {one}", "dim"),) for one in wrap(lean, width - 5)]
        by = by_words(record.by)
        if here and by and not any(by in text for text, _ in row):
            lines.append(((f"    {by}", "dim"),))
        if record.remark:
            lines.append(((f"    note: {clip(said(record.remark), width - 11)}", "dim"),))
        blocks.append(lines)
    return in_sight(blocks, cursor - first, seen)


def in_sight(blocks: Sequence[Sequence[Line]], at: int, room: int) -> list[Line]:
    """Join what is told of each result, from where the one at the cursor is seen whole."""
    start = 0
    while start < at and sum(map(len, blocks[start : at + 1])) > room:
        start += 1
    return [line for block in blocks[start:] for line in block]
