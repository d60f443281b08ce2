"""Every key of a screen, and what the words and marks of the board mean."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.glyphs import STATE_MARKS, TAG_MARK
from shopboard.board.keys import CLOSE, DOWN, HELP, UP, Key
from shopboard.board.paint import Line, wrap
from shopboard.board.screens.base import ShopScreen

_STATES = (
    ("true", "proven within its tolerance"),
    ("near", "measured, not proven either way"),
    ("out", "proven out of its tolerance"),
    ("due", "was true, but too old, undone or doubted since; of a task: to be done"),
    ("waits", "true by itself, but what it rests on is not: that comes first"),
    ("noted", "a note stands; it judges nothing"),
    ("unproven", "never checked, or moved since"),
    ("kept", "has no points to check, and no task is due"),
)


def _beside(name: str, style: str, words: str, width: int) -> list[Line]:
    """Put words beside what they explain; what is too long for the window goes on below."""
    first, *more = wrap(words, width - len(name) - 2)
    blank = " " * len(name)
    rest: list[Line] = [((f"{blank} {one}", ""),) for one in more]
    return [((name, style), (f" {first}", "")), *rest]


_ARROWS = ("↑", "↓", "←", "→")


class HelpScreen(ShopScreen):
    """Shows keys; any declared back key leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (CLOSE, UP, DOWN, HELP)

    def __init__(self, about: str, shown: tuple[Key, ...], *, digits: bool) -> None:
        """Show.

        Args:
            about: what the screen is about.
            shown: its keys.
            digits: whether it has lines that a digit chooses.
        """
        super().__init__()
        self._digits = digits
        self._about = about
        self._shown = shown
        self._first = 0

    def heading(self) -> str:
        """Say whose keys these are."""
        return f"Keys: {self._about}"

    def body(self, width: int, room: int) -> list[Line]:
        """List the keys, then the states."""
        arrows = [key.label for key in self._shown if key.label in _ARROWS]
        told = [(key.label, key.help) for key in self._shown if key.label not in _ARROWS]
        told += [(" ".join(arrows), "Move the cursor.")] if arrows else []
        told += [("1 - 9", "Choose the line with that number.")] if self._digits else []
        lines: list[Line] = []
        for label, words in told:
            lines += _beside(f"  {label:>7} ", "key", words, width)
        lines.append(())
        for state, meaning in _STATES:
            lines += _beside(f"  {STATE_MARKS[state]} {state:<9}", state, meaning, width)
        tagged = "tagged by hand, or its tag may be lost; until cleared"
        lines += _beside(f"  {TAG_MARK} DO NOT USE ", "danger", tagged, width)
        lines.append(())
        for words in (
            "The worst point makes the machine; a machine is never an average.",
            "Times are this computer's local time, wherever they were recorded.",
        ):
            lines += [((f"  {one}", "dim"),) for one in wrap(words, width - 3)]
        if len(lines) <= room:
            return lines
        self._first = max(0, min(self._first, len(lines) - room + 1))
        more = len(lines) - self._first - (room - 1)
        below = f"↓  {more} more lines" if more else "↑  the end"
        return [*lines[self._first :][: room - 1], ((f"  {below}", "key"),)]

    def do_down(self) -> None:
        """Show what is below."""
        self._first += self.size.height // 2

    def do_up(self) -> None:
        """Show what is above."""
        self._first -= self.size.height // 2

    def do_help(self) -> None:
        """Leave by the key that came here."""
        self.do_back()
