"""Every key of a screen, and what the words and marks of the board mean."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.glyphs import STATE_MARKS, TAG_MARK
from shopboard.board.keys import CLOSE, DOWN, HELP, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen

_STATES = (
    ("true", "proven within its tolerance"),
    ("near", "measured, not proven either way"),
    ("out", "proven out of its tolerance"),
    ("due", "was true, but too old, undone or doubted since; of a task: to be done"),
    ("waits", "true by itself, but what it rests on is not: check that"),
    ("noted", "a note stands; it judges nothing"),
    ("unproven", "never checked, or moved since"),
    ("kept", "has no points to check, and no task is due"),
)


_ARROWS = ("↑", "↓", "←", "→")


class HelpScreen(ShopScreen):
    """Shows keys; any declared back key leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (CLOSE, UP, DOWN, HELP)

    def __init__(self, about: str, shown: tuple[Key, ...]) -> None:
        super().__init__()
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
        told.append(("1 - 9", "Choose the line with that number."))
        lines: list[Line] = [
            ((f"  {label:>7} ", "key"), (f"  {words}", "")) for label, words in told
        ]
        lines.append(())
        for state, meaning in _STATES:
            lines.append(((f"  {STATE_MARKS[state]} {state:<9}", state), (f" {meaning}", "")))
        lines.append(
            (
                (f"  {TAG_MARK} DO NOT USE", "danger"),
                ("  tagged by hand, until its tag is cleared", ""),
            )
        )
        lines.append(())
        lines.append(
            (("  The worst point makes the machine; a machine is never an average.", "dim"),)
        )
        words = "  Times are this computer's local time, wherever they were recorded."
        lines.append(((words, "dim"),))
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
