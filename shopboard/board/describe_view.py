"""One question of the description of a shop: large, its answers in fixed places. Pure."""

from __future__ import annotations

from collections.abc import Collection

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.asked import asked_lines
from shopboard.board.field import field_lines
from shopboard.board.nines import NINE, digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, clip, said, wrap
from shopboard.describing.asked import Look, OneOf, Question, Ticks, Typed

_ASIDE = 28
"""Columns left of the answers' own words and right of them, at the least."""


class SoFar(NamedTuple):
    """What a person has answered so far, before it is handed in."""

    entry: str
    """What is typed."""
    offered: str
    """What Enter alone takes."""
    ticks: Collection[str]
    cursor: int
    """The line that the cursor is on; the nine around it have digits."""


def question_lines(question: Question, given: SoFar, size: tuple[int, int]) -> list[Line]:
    """Draw a question, as large as columns and rows of `size` allow."""
    width, room = size
    lines = [(), *asked_lines(question.title, size)]
    for words in question.lines:
        lines += [((f"  {one}", ""),) for one in wrap(said(words), width - 4)] if words else [()]
    lines.append(())
    if isinstance(question, Typed):
        return [*lines, *_typed(question, given, width)][:room]
    return [*lines, *_listed(question, given, (width, room - len(lines)))][:room]


def _typed(question: Typed, given: SoFar, width: int) -> list[Line]:
    entry = given.entry
    shown = field_lines(entry, said(question.echo(entry)) if entry.strip() else "", width)
    offered: Line = ((f"  Enter takes: {said(given.offered)}", "dim"),)
    return [*shown, (), *([] if entry.strip() else [offered])]


def _listed(question: Ticks | OneOf, given: SoFar, size: tuple[int, int]) -> list[Line]:
    """List the answers, nine at a time, each with what stands beside it as far as it goes in."""
    width, room = size
    options, beside = question.options, _beside(question)
    first = first_of_nine(given.cursor)
    shown = range(first, min(first + NINE, len(options)))
    wide = max(cell_len(said(one.label)) for one in options)
    wide = min(wide, width - _ASIDE if any(beside) else width - 12)
    below = _below(question, given, len(options) - first - NINE, width)
    rows: list[list[Line]] = []
    cut = False
    for most in (3, 2, 1):
        rows = [_row(question, given, number, (wide, width), most) for number in shown]
        cut = most == 1
        if sum(map(len, rows)) + len(below) <= room:
            break
    lines = [line for row in rows for line in row]
    at = beside[min(given.cursor, len(beside) - 1)] if cut else ""
    whole: list[Line] = [((f"  {one}", ""),) for one in wrap(at, width - 4)] if at else []
    return [*lines, *below, *whole]


def _beside(question: Ticks | OneOf) -> list[str]:
    """Give what stands beside each answer."""
    return [said(one) for one in question.beside] or [""] * len(question.options)


def _row(
    question: Ticks | OneOf, given: SoFar, number: int, cells: tuple[int, int], most: int
) -> list[Line]:
    """Draw one answer: its digit, whether it is ticked, and what stands beside it."""
    wide, width = cells
    option = question.options[number]
    ticked, mark = option.value in given.ticks, ""
    if isinstance(question, Ticks):
        mark = "[x] " if ticked else "[ ] "
    label = clip(said(option.label), wide)
    enter = ""
    if not isinstance(question, Ticks | Look):
        enter = f"{'Enter' if option.value == given.offered else '':7}"
    room = max(width - wide - len(mark) - len(enter) - 9, 8)
    aside = wrap(_beside(question)[number], room, most)
    pad = " " * (wide - cell_len(label) + 2)
    style = "bold" if ticked or not mark else ""
    digit = digit_of(number, given.cursor) or " "
    head: Line = (
        (f"  {digit} ", "key"),
        (f" {mark}{label}{pad}", style),
        (f"{enter}{aside[0]}", "dim"),
    )
    indent = " " * (7 + len(mark) + wide + len(enter))
    return [head, *(((f"{indent}{one}", "dim"),) for one in aside[1:])]


def _below(question: Ticks | OneOf, given: SoFar, further: int, width: int) -> list[Line]:
    """Say that there are further lines, and what Enter takes."""
    first = first_of_nine(given.cursor)
    more = out_of_sight(first, further)
    lines: list[Line] = [((f"     {more}: +", "dim"),)] if more else []
    if isinstance(question, Look):
        words = "Enter: yes.   A digit changes that line."
    elif isinstance(question, Ticks):
        count = f"{len(given.ticks)} ticked" if given.ticks else "nothing ticked"
        words = f"A digit ticks a line, or not.   Enter: done, {count}."
    else:
        return lines
    return [*lines, (), ((f"  {clip(words, width - 4)}", "dim"),)]
