"""Which project is finished: the machines that its joints were cut on are serviced next."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from shopboard.board.glue_lists import finished_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.nines import digit_of
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.shop.project import Project


class FinishedScreen(ListScreen, SteadyScreen):
    """A digit chooses, the same digit again records; below the projects stands another one."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN._replace(word="record", help="Record that it is finished."), MORE, UP, DOWN),
        *(BACK, HELP),
    )

    def __init__(self, take: Callable[[Project | None], object]) -> None:
        """Ask.

        Args:
            take: records the project; None: one that is not in the shop file.
        """
        super().__init__()
        self._take = take
        self._chosen = -1
        """The line that is recorded when it is chosen once more; below 0: none."""

    def heading(self) -> str:
        """Say what is asked."""
        return "Project finished"

    def rows(self) -> int:
        """Count the projects, and another one."""
        return len(self.open_shop.shop.projects) + 1

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        return finished_lines(self.open_shop.shop.projects, self.settle(), (width, room))

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = -1

    def choose(self, line: int) -> None:
        """Ask once; the second time, record it and go back."""
        projects = self.open_shop.shop.projects
        project = projects[line] if line < len(projects) else None
        if line != self._chosen:
            self._chosen = line
            name = project.name if project is not None else "another one"
            digit = digit_of(line, line)
            self.ask_once_more(f"Finished: {name}. {digit} or Enter once more records it.")
            return
        self._take(project)
