"""A result: verdict and direction first, what to turn, then the error on its scale. Pure."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import zip_longest

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, big, in_large
from shopboard.board.paint import PROSE, Line, beside, fit, said, wrap
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Finding
from shopboard.checks.told import (
    large_moves,
    moves_of,
    number_words,
    scale_of,
    sentences,
    share_words,
)

_WIDEST_SCALE = 110
"""Columns of the scale at the most."""
_REST = "w: the rest of it, and the working"


def result_lines(
    step: Finding, job: CheckContext, size: tuple[int, int], *, tall: bool
) -> list[Line]:
    """Draw what was found, in as many rows as there are; what has no room is under `w`.

    Args:
        step: the finding.
        job: the point.
        size: columns and rows.
        tall: a row is small: the letters take more of the screen.
    """
    width, room = size
    outcome = step.outcome
    head = [(), *_tall_head(step, job, width)] if tall else [(), *_head(step, job, width)]
    if not tall and _goes_beside(step.diagram, outcome, job, width):
        for apart in (True, False):
            lines = [*head, (), *_all_beside(step, job, width, apart=apart)]
            if len(lines) <= room:
                return lines
    told = _moves(outcome, job, width, tall=tall)
    if tall and len(head) + len(told) + 10 > room:
        told = _moves(outcome, job, width, tall=False)
    free = room - len(head) - len(told)
    below = _below(step, job, (width, free), tall=tall)
    parts = [part for part in (head, told, *below) if part]
    for apart in (True, False):
        lines = [line for part in parts for line in (*part, *([()] if apart else []))]
        if len(lines) <= room:
            return lines
    return [*lines[: room - 1], ((f"  {_REST}", "dim"),)]


def result_words(outcome: Outcome, job: CheckContext) -> tuple[str, ...]:
    """Say what to turn, the numbers, and what else is said, a sentence each."""
    rows = (re.split(r"(?<=\S) {3,}", one.strip()) for one in number_words(outcome, job.unit))
    numbers = (", ".join(row) for row in rows)
    others = (words for words, _ in sentences(outcome, job))
    return tuple(map(said, (*moves_of(outcome, job), *numbers, *others)))


def _below(
    step: Finding, job: CheckContext, size: tuple[int, int], *, tall: bool
) -> list[list[Line]]:
    """Draw numbers and sentences, beside the drawing where there is room for it."""
    width, free = size
    drawing = step.large if len(step.large) < free else step.diagram
    beside_it = tall and _goes_beside(drawing, step.outcome, job, width)
    wide = max(map(len, drawing)) + 4 if beside_it else 0
    parts = [
        _numbers(step.outcome, job, width - wide),
        _others(step.outcome, job, width - wide),
    ]
    if not wide:
        return parts
    return [_beside_drawing(parts, drawing, width, apart=True)]


def _goes_beside(drawing: Sequence[str], outcome: Outcome, job: CheckContext, width: int) -> bool:
    """Tell whether there is a drawing, and room for each number beside it: one cut is another."""
    if not drawing:
        return False
    cells = width - max(map(len, drawing)) - 4 - 3
    rows = _number_rows(number_words(outcome, job.unit), cells)
    return max(map(len, rows), default=0) <= cells


def _all_beside(step: Finding, job: CheckContext, width: int, *, apart: bool) -> list[Line]:
    """Draw what to turn, numbers and sentences, all of it beside the drawing, on a small screen."""
    outcome, drawing = step.outcome, step.diagram
    left = width - max(map(len, drawing)) - 4
    parts = [
        _moves(outcome, job, left, tall=False),
        _numbers(outcome, job, left),
        _others(outcome, job, left),
    ]
    return _beside_drawing(parts, drawing, width, apart=apart)


def _beside_drawing(
    parts: Sequence[Sequence[Line]], drawing: Sequence[str], width: int, *, apart: bool
) -> list[Line]:
    """Put the drawing to the right of all parts; apart: with free lines between these."""
    wide = max(map(len, drawing)) + 4
    left = [line for part in parts if part for line in (*part, *([()] if apart else []))]
    rows = [((said(row), ""),) for row in drawing]
    return [
        beside((line, row), (width - wide, wide))
        for line, row in zip_longest(left, rows, fillvalue=())
    ]


def _head(step: Finding, job: CheckContext, width: int) -> list[Line]:
    """Verdict, direction and share on one line, or the direction on lines of its own."""
    outcome = step.outcome
    style, used = _style(outcome), share_words(outcome, job.unit)
    word = f"  {STATE_MARKS[style]} {state_word(style).upper()}" if outcome.verdict else "  "
    aside = f"{step.title} {used}".strip()
    lean = said(" ".join(step.lines))
    if len(word) + len(lean) + len(aside) + 7 <= width:
        line: Line = ((word, style), (f"  {lean}", "bold"))
        return [(*fit(line, width - len(aside) - 2), (aside, ""))]
    first = (*fit(((word, style),), width - len(aside) - 2), (aside, ""))
    return [first, *(((f"  {one}", "bold"),) for one in wrap(lean, width - 4) if one)]


def _style(outcome: Outcome) -> str:
    return outcome.verdict or "unproven"


def _tall_head(step: Finding, job: CheckContext, width: int) -> list[Line]:
    """The verdict five rows high, the direction three."""
    outcome, style = step.outcome, _style(step.outcome)
    aside = [step.title, "", share_words(outcome, job.unit), "", ""]
    lines: list[Line] = []
    if outcome.verdict:
        pairs = zip_longest(STATE_PICTURES[style], big(state_word(style), tall=True), fillvalue="")
        for (picture, letters), words in zip(pairs, aside, strict=True):
            left = fit(((f"  {picture:<4}  {letters}", style),), width - len(words) - 2)
            lines.append((*left, (words, "bold")))
    lean = said(" ".join(step.lines))
    way, _, more = lean.partition("; ")
    large = in_large(way, width, 2)
    more = more if large else lean
    lines += [((f"  {row}", "bold"),) for words in large for row in ("", *big(words))]
    rest = wrap(more, min(width - 4, PROSE)) if more else []
    return [*lines, *([()] if rest else []), *(((f"  {one}", "bold"),) for one in rest)]


_DETAIL = re.compile(r" \(|: |, (?:against|measured) |\.$")
"""Where the detail of a move begins, which smaller letters tell."""


def _moves(outcome: Outcome, job: CheckContext, width: int, *, tall: bool) -> list[Line]:
    """Say what to turn, which way and how far; tall: in large letters first."""
    lines: list[Line] = []
    for words in large_moves(outcome, job) if tall else ():
        for row in in_large(said(_DETAIL.split(words)[0]), width, 2):
            lines += [*(((f"  {part}", "due"),) for part in big(row)), ()]
    for words in moves_of(outcome, job):
        lines += [((f"  {one}", "due"),) for one in wrap(said(words), min(width - 4, PROSE))]
    return lines


def _numbers(outcome: Outcome, job: CheckContext, width: int) -> list[Line]:
    """The error, its uncertainty and its tolerance in numbers, and on a scale."""
    words = number_words(outcome, job.unit)
    lines: list[Line] = [((f"  {row}", ""),) for row in _number_rows(words, width - 3)]
    drawn = scale_of(outcome, job.unit, min(width - 6, _WIDEST_SCALE))
    if drawn is not None:
        styles = ("", "", f"{_style(outcome)}")
        lines += [((f"   {row}", style),) for row, style in zip(drawn, styles, strict=True)]
    return lines


def _number_rows(words: Sequence[str], cells: int) -> list[str]:
    """Put each tolerance under its error where a row has no room for both."""
    if max(map(len, words), default=0) <= cells:
        return [*words]
    under = " " * max(len(one) - len(one.lstrip()) for one in words)
    pairs = (re.split(r"(?<=\S) {3,}", one) for one in words)
    return [row for found, *limits in pairs for row in (found, *(under + one for one in limits))]


def _others(outcome: Outcome, job: CheckContext, width: int) -> list[Line]:
    """What else is said of it."""
    return [
        ((f"  {one}", style),)
        for words, style in sentences(outcome, job)
        for one in wrap(said(words), min(width - 4, PROSE))
    ]
