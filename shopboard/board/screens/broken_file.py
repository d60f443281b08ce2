"""A shop file that cannot be used: every problem of it, until it is mended."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from shopboard.base.text import counted
from shopboard.board.keys import HELP, QUIT, RELOAD, Key
from shopboard.board.paint import Line
from shopboard.board.problems_view import problem_lines
from shopboard.board.screens.base import ShopScreen
from shopboard.shop.problems import Problem


class BrokenFileScreen(ShopScreen):
    """The shop file cannot be used and there is no earlier reading of it to show."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (RELOAD, HELP, QUIT)

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__()
        self.problems = tuple(problems)

    def heading(self) -> str:
        """Name the file."""
        return f"{counted(len(self.problems), 'error')} in {self.board.shop_file}"

    def body(self, width: int, room: int) -> list[Line]:
        """Write the problems; the file is read again by itself when it changes."""
        lines = problem_lines(self.board.shop_file, self.problems, width)
        lines = lines[: room - 1]
        return [*lines, (("  Fix and save it; it reloads by itself.", "due"),)]

    def do_reload(self) -> None:
        """Read the file again."""
        self.board.look_again()

    def do_quit(self) -> None:
        """Leave."""
        self.app.exit(return_code=3)
