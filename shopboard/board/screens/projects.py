"""What will be made: the project that is chosen before a glue-up."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board import doors
from shopboard.board.glue_lists import projects_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.to_come import to_come


class ProjectsScreen(ListScreen):
    """The projects of the shop file, those to come before the finished ones."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK, HELP)

    def heading(self) -> str:
        """Say what is listed."""
        return "Before a glue-up: projects"

    def rows(self) -> int:
        """Count the projects."""
        return len(self.open_shop.shop.projects)

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        return projects_lines(*to_come(self.open_shop), self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Show the joints of a project."""
        self.app.push_screen(doors.JointsScreen(to_come(self.open_shop).projects[line].id))
