"""What is wrong in the shop file: every problem with its place and the line itself."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, DOWN, HELP, UP, Key
from shopboard.board.paint import Line
from shopboard.board.problems_view import problem_lines
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.shop.problems import Problem


class ProblemsScreen(ShopScreen):
    """A list that scrolls."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (UP, DOWN, BACK, HELP)

    def __init__(self) -> None:
        super().__init__()
        self._first = 0

    @property
    def _problems(self) -> tuple[Problem, ...]:
        try:
            hints = self.open_shop.hints()
        except JournalError:
            hints = ()  # the next look says so
        noticed = (hint.problem for hint in hints)
        return (*self.open_shop.problems, *self.open_shop.warnings, *noticed)

    def heading(self) -> str:
        """Name the file."""
        return f"{self.open_shop.shop_file}: {len(self._problems)} to look at"

    def body(self, width: int, room: int) -> list[Line]:
        """Write the problems from the first one shown; they go as they are mended."""
        if not self._problems:
            return [(), (("  Nothing is wrong in the shop file now.", "true"),)]
        lines = problem_lines(self.open_shop.shop_file, self._problems, width)
        self._first = min(self._first, max(len(lines) - room, 0))
        return lines[self._first : self._first + room]

    def do_up(self) -> None:
        """Scroll up."""
        self._first = max(0, self._first - 4)

    def do_down(self) -> None:
        """Scroll down."""
        self._first += 4
