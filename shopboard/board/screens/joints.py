"""The joints of a project, of which one is chosen before a glue-up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.glue_lists import joints_lines, unanswered_lines
from shopboard.board.glue_view import GONE
from shopboard.board.keys import BACK, DOWN, EDIT, HELP, MORE, NEEDS, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.prep.glue_up import GlueUpAnswer


class JointsScreen(ListScreen):
    """The joints of a project, each with its answer."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, NEEDS, EDIT, BACK, HELP)

    def __init__(self, project_id: str) -> None:
        super().__init__()
        self._project_id = project_id
        self._answers: tuple[GlueUpAnswer, ...] = ()
        self._answered_for: object = None
        self._decided: frozenset[str] = frozenset()

    def heading(self) -> str:
        """Name the project."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        return f"Before a glue-up: {project.name if project else self._project_id}"

    def rows(self) -> int:
        """Count the joints."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        return len(project.joints) if project is not None else 0

    def pieces(self) -> Iterator[None]:
        """Work out the answers."""
        from shopboard.prep.answers import work_ahead

        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        return work_ahead(self.open_shop, project.joints if project is not None else ())

    def body(self, width: int, room: int) -> list[Line]:
        """List them with their answers, which are worked out once until anything changes."""
        from shopboard.prep.answers import answers_of
        from shopboard.prep.decided import standing_decision

        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        if project is None:
            return [(), ((f"  {GONE}", "bold"),)]
        if not self.is_worked_out():
            return unanswered_lines(project.joints, self.settle(), (width, room))
        if self._answered_for is not self.open_shop.standing:
            self._answers = answers_of(self.open_shop, project.joints)
            self._answered_for = self.open_shop.standing
            journal = self.open_shop.journal
            on_hold = (one.id for one in project.joints if standing_decision(journal, one))
            self._decided = frozenset(on_hold)
        return joints_lines(self._answers, self.settle(), (width, room), self._decided)

    def choose(self, line: int) -> None:
        """Give the answer for a joint."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        if project is not None:
            self.app.push_screen(doors.GlueUpScreen(project.id, project.joints[line].id))

    def do_edit(self) -> None:
        """Change what the shop file says of the project."""
        self.app.push_screen(doors.EditScreen("project", self._project_id))

    def do_needs(self) -> None:
        """Show what the project needs."""
        self.app.push_screen(doors.NeedsScreen(self._project_id))
