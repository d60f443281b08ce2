"""The head of a screen: how a thing stands, as a filled bar, or that it is not to be used. Pure.

On a small grid a row is large by itself; on a large one the bar is in large letters. What is true
is not filled.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import zip_longest

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import (
    STATE_MARKS,
    STATE_PICTURES,
    TAG_MARK,
    TAG_PICTURE,
    big,
    in_large,
    is_roomy,
    sign,
)
from shopboard.board.paint import Line, fit, said, wrap
from shopboard.board.pane_view import BAR_WIDTH, UNFILLED
from shopboard.upkeep.safety_record import DO_NOT_USE

_BAR = "danger bar"
_BAR_WIDTH = BAR_WIDTH + 2
"""Columns of the bar in ordinary letters: it begins where the words below it do."""
_MOST_WHY = 6
"""Rows that a reason takes at the most."""


def state_head(state: str, beside: Sequence[str], size: tuple[int, int]) -> list[Line]:
    """Say how a thing stands, with a few words beside it.

    Args:
        state: the state.
        beside: the words; on a small grid they are joined.
        size: columns and rows of the whole screen.
    """
    style = state if state in UNFILLED else f"{state} bar"
    word = state_word(state)
    if is_roomy(size):
        rows = sign(word, STATE_PICTURES[state])
        return [
            ((row, style), (f"   {words}", "bold"))
            for row, words in zip_longest(rows, beside[: len(rows)], fillvalue="")
        ]
    shown = word if state in UNFILLED else word.upper()
    bars = [((f"  {STATE_MARKS[state]}  {shown} ", style),)]
    words = wrap(" · ".join(beside), size[0] - _BAR_WIDTH - 3)
    return [
        (*fit(bar, _BAR_WIDTH, style if bar else ""), (f"  {one}", "bold"))
        for bar, one in zip_longest(bars, words, fillvalue=())
    ]


def large_words(words: str, size: tuple[int, int]) -> list[Line]:
    """Write words in large letters, with free lines around; nothing where they have no room."""
    rows = in_large(words, size[0], 2) if is_roomy(size) else []
    lines = [line for row in rows for line in ((), *(((f"  {one}", "bold"),) for one in big(row)))]
    return [*lines, *([()] if lines else [])]


def tag_head(why: str, size: tuple[int, int]) -> list[Line]:
    """Say that a machine is not to be used, and why: a bar from edge to edge."""
    width, words = size[0], said(why)
    rows = [f"  {one}" for one in sign(DO_NOT_USE, TAG_PICTURE)] if is_roomy(size) else []
    if not rows:
        words = f"{TAG_MARK} {DO_NOT_USE}: {words}"
    large = [f"  {one}" for row in in_large(words, width, 2) for one in ("", *big(row))]
    rows += (large if rows else []) or [f"  {one}" for one in wrap(words, width - 4, _MOST_WHY)]
    return [fit(((row, _BAR),), width, _BAR) for row in rows]
