"""Why: the formula with this check's own numbers, and the uncertainty budget."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from shopboard.base.text import counted
from shopboard.board.keys import CLOSE, DOWN, HELP, UP, Key
from shopboard.board.paint import Line, said, wrap_kept
from shopboard.board.screens.base import ShopScreen


class WhyScreen(ShopScreen):
    """Shows lines of working, a screenful at a time; back leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (CLOSE, UP, DOWN, HELP)

    def __init__(self, about: str, working: tuple[str, ...]) -> None:
        super().__init__()
        self._about = about
        self._working = working
        self._first = 0

    def heading(self) -> str:
        """Say what is explained."""
        return f"Why: {self._about}"

    def body(self, width: int, room: int) -> list[Line]:
        """Write the working; what does not fit is a key away, and said to be."""
        width = min(width, self.size.width)  # what is told counts the lines that are seen
        lines: list[Line] = [()]
        for words in self._working:
            lines += [((f"  {one}", ""),) for one in wrap_kept(said(words), width - 4)]
        if len(lines) <= room:
            return lines
        self._first = max(0, min(self._first, len(lines) - room + 1))
        more = len(lines) - self._first - (room - 1)
        below = _keys("↓", "2", counted(more, "more line")) if more else ((" the end ", "dim"),)
        above = _keys("↑", "8", f"{counted(self._first, 'line')} above") if self._first else ()
        return [*lines[self._first :][: room - 1], ((" ", ""), *below, *above)]

    def told(self) -> Sequence[str]:
        """Tell all of the working."""
        return [*filter(None, map(str.strip, self._working))]

    def do_down(self) -> None:
        """Show what is below."""
        self._first += self.size.height // 2

    def do_up(self) -> None:
        """Show what is above."""
        self._first -= self.size.height // 2

    def do_digit(self, number: int) -> None:
        """Move by the pad's digits that have the arrows on them."""
        if number in (2, 8):
            (self.do_down if number == 2 else self.do_up)()


def _keys(arrow: str, digit: str, words: str) -> Line:
    """Draw two keys that do the same, and what that is."""
    return ((f" {arrow} ", "key"), (" ", ""), (f" {digit} ", "key"), (f" {words}   ", ""))
