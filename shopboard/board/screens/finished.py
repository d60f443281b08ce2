"""Which project is finished."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from shopboard.board.glue_lists import finished_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.to_come import to_come
from shopboard.shop.project import Project


class FinishedScreen(ListScreen, SteadyScreen):
    """A digit chooses; the finished ones stand below the others, and below them another one."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN._replace(word="choose", help="Say that it is finished."), MORE, UP, DOWN),
        *(BACK, HELP),
    )

    def __init__(self, take: Callable[[Project | None], object]) -> None:
        """Ask.

        Args:
            take: takes the project; None: one that is not in the shop file.
        """
        super().__init__()
        self._take = take

    def heading(self) -> str:
        """Say what is asked."""
        return "Project finished"

    def rows(self) -> int:
        """Count the projects, and another one."""
        return len(self.open_shop.shop.projects) + 1

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        return finished_lines(*to_come(self.open_shop), self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Go on with it."""
        projects = to_come(self.open_shop).projects
        self._take(projects[line] if line < len(projects) else None)
