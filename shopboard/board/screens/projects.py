"""What will be made: the project and the joint that are chosen before a glue-up."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from shopboard.board.glue_view import joints_lines, projects_lines, unanswered_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, NEEDS, OPEN, UP, Key
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.board import board_notice
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.prep.glue_up import Answer
from shopboard.shop.project import Project

GONE = "It is no longer in the shop file."


def show_projects(screen: ShopScreen) -> None:
    """Show the projects; of one alone, its joints at once."""
    projects = screen.desk.shop.projects
    if not projects:
        screen.refuse("no project is in the shop file: the sample shop shows how one is written")
    elif len(projects) == 1:
        screen.app.push_screen(JointsScreen(projects[0].id))
    else:
        screen.app.push_screen(ProjectsScreen())


def project_of(screen: ShopScreen, ident: str) -> Project | None:
    """Find a project; None when it has gone from the shop file meanwhile."""
    return next((one for one in screen.desk.shop.projects if one.id == ident), None)


class _List(SlicedScreen):
    """A list with a cursor, whose lines have digits."""

    def __init__(self) -> None:
        super().__init__()
        self._cursor = 0

    def rows(self) -> int:
        """Count the lines."""
        raise NotImplementedError

    def pieces(self) -> Iterator[None]:
        """Work out nothing."""
        return iter(())

    def choose(self, line: int) -> None:
        """Open what a line is about."""
        raise NotImplementedError

    def settle(self) -> int:
        """Keep the cursor on a line that is there."""
        self._cursor = max(0, min(self._cursor, self.rows() - 1))
        return self._cursor

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def do_up(self) -> None:
        """Move up."""
        self._cursor = max(0, self._cursor - 1)

    def do_down(self) -> None:
        """Move down."""
        self._cursor += 1
        self.settle()

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for more lines only where there are more."""
        return without_more(self.keys, self.rows())

    def do_more(self) -> None:
        """Give the digits to the next nine lines."""
        self._cursor = next_nine(self._cursor, self.rows())

    def do_digit(self, number: int) -> None:
        """Open the line with that digit."""
        line = line_of(number, self._cursor)
        if line >= self.rows():
            self.refuse("there is no such line")
            return
        self._cursor = line
        self.choose(line)

    def do_open(self) -> None:
        """Open the line under the cursor."""
        if self.settle() < self.rows():
            self.choose(self._cursor)


class ProjectsScreen(_List):
    """The projects of the shop file."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK, HELP)

    def heading(self) -> str:
        """Say what is listed."""
        return "Before a glue-up: projects"

    def rows(self) -> int:
        """Count the projects."""
        return len(self.desk.shop.projects)

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        return projects_lines(self.desk.shop.projects, self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Show the joints of a project."""
        self.app.push_screen(JointsScreen(self.desk.shop.projects[line].id))


class JointsScreen(_List):
    """The joints of a project, each with its answer."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, NEEDS, BACK, HELP)

    def __init__(self, project_id: str) -> None:
        super().__init__()
        self._project_id = project_id
        self._answers: tuple[Answer, ...] = ()
        self._answered_for: object = None
        self._decided: frozenset[str] = frozenset()

    def heading(self) -> str:
        """Name the project."""
        project = project_of(self, self._project_id)
        return f"Before a glue-up: {project.name if project else self._project_id}"

    def rows(self) -> int:
        """Count the joints."""
        project = project_of(self, self._project_id)
        return len(project.joints) if project is not None else 0

    def pieces(self) -> Iterator[None]:
        """Work out the answers."""
        from shopboard.prep.answers import work_ahead

        project = project_of(self, self._project_id)
        return work_ahead(self.desk, project.joints if project is not None else ())

    def body(self, width: int, room: int) -> list[Line]:
        """List them with their answers, which are worked out once until anything changes."""
        from shopboard.prep.answers import answers_of
        from shopboard.prep.decided import standing_decision

        project = project_of(self, self._project_id)
        if project is None:
            return [(), ((f"  {GONE}", "bold"),)]
        if not self.is_worked_out():
            return unanswered_lines(project.joints, self.settle(), (width, room))
        if self._answered_for is not self.desk.standing:
            self._answers = answers_of(self.desk, project.joints)
            self._answered_for = self.desk.standing
            journal = self.desk.journal
            on_hold = (one.id for one in project.joints if standing_decision(journal, one))
            self._decided = frozenset(on_hold)
        return joints_lines(self._answers, self.settle(), (width, room), self._decided)

    def choose(self, line: int) -> None:
        """Give the answer for a joint."""
        from shopboard.board.screens.glue_up import AnswerScreen

        project = project_of(self, self._project_id)
        if project is not None:
            self.app.push_screen(AnswerScreen(project.id, project.joints[line].id))

    def do_needs(self) -> None:
        """Show what the project needs."""
        from shopboard.board.screens.needs import NeedsScreen

        self.app.push_screen(NeedsScreen(self._project_id))
