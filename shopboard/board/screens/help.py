"""Every key of a screen, and the help by topic that a digit opens."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.frame import bar
from shopboard.board.hits import of_nines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, PAGE_ON, UP, Key
from shopboard.board.nines import digit_of, line_of, next_nine
from shopboard.board.paint import Line, beside, clip, wrap
from shopboard.board.screens.paged import PagedScreen
from shopboard.handbook.topics import TOPICS, title_of

_ARROWS = ("↑", "↓", "←", "→")


def _beside(name: str, words: str, width: int) -> list[Line]:
    """Put words beside a key; what is too long for the window goes on below."""
    first, *more = wrap(words, width - len(name) - 2)
    rest: list[Line] = [((f"{'':<{len(name)}} {one}", ""),) for one in more]
    return [((name, "key"), (f" {first}", "")), *rest]


def _topic(at: int, cursor: int, cells: int) -> Line:
    """Draw a topic with its digit, if it has one just now."""
    digit = f"  {digit_of(at, cursor):>1} "
    return of_nines(((digit, "key"), (clip(title_of(TOPICS[at]), cells), "")), at, cursor)


class HelpScreen(PagedScreen):
    """Shows the keys of a screen, then the topics; the key that came here leaves it."""

    keys: ClassVar[tuple[Key, ...]] = (PAGE_ON, MORE, UP, DOWN, BACK, HELP)

    def __init__(
        self, about: str, shown: tuple[Key, ...], *, digits: bool, more: Sequence[str] = ()
    ) -> None:
        """Show.

        Args:
            about: what the screen is about.
            shown: its keys.
            digits: whether it has lines that a digit chooses.
            more: what is told of what the cursor is on, line by line.
        """
        super().__init__()
        self._digits = digits
        self._about = about
        self._shown = shown
        self._more = more

    def heading(self) -> str:
        """Say whose keys these are."""
        return f"Keys: {self._about}"

    def top(self, width: int) -> Line:
        """Say where the rest of the help is: in a small window it is below the lower edge."""
        return bar(self.heading(), "below: help by topic", width)

    def lines(self, width: int) -> list[Line]:
        """List the keys, then the topics."""
        arrows = [key.label for key in self._shown if key.label in _ARROWS]
        told = [(key.label, key.help) for key in self._shown if key.label not in _ARROWS]
        told += [(" ".join(arrows), "Move the cursor.")] if arrows else []
        told += [("1 - 9", "Choose the line with that number.")] if self._digits else []
        lines: list[Line] = []
        for label, words in told:
            lines += _beside(f"  {label:>7} ", words, width)
        lines += [()] if self._more else []
        for one in self._more:
            indent = " " * (len(one) - len(one.lstrip()) + 2)
            lines += [((f"{indent}{part}", ""),) for part in wrap(one.strip(), width - len(indent))]
        return [*lines, (), (("  Help by topic: press its digit", "bold"),), *self._topics(width)]

    def _topics(self, width: int) -> list[Line]:
        """List the topics in two columns, the digits at nine of them."""
        wide = (width - 2) // 2
        rows = (len(TOPICS) + 1) // 2
        drawn: list[Line] = [_topic(at, self._cursor, wide - 4) for at in range(len(TOPICS))]
        drawn += [()] * (2 * rows - len(drawn))
        return [beside((drawn[at], drawn[at + rows]), (wide, wide)) for at in range(rows)]

    def do_more(self) -> None:
        """Show the topics; where they stand there, give the digits to the next ones."""
        if self._first == self._most:
            self._cursor = next_nine(self._cursor, len(TOPICS))
        self._first = self._most

    def do_digit(self, number: int) -> None:
        """Open a topic."""
        at = line_of(number, self._cursor)
        if at >= len(TOPICS):
            self.refuse("there is no such topic")
            return
        self.app.push_screen(doors.TopicScreen(TOPICS[at]))

    def do_help(self) -> None:
        """Leave by the key that came here."""
        self.do_back()
