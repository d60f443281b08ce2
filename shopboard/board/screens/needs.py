"""What a project needs of the machines, further down page by page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.glue_view import GONE, working_lines
from shopboard.board.keys import BACK, DOWN, HELP, PAGE, UP, Key
from shopboard.board.needs_view import needs_lines, page_of
from shopboard.board.notice import board_notice
from shopboard.board.paint import Line
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.prep.answers import morning_of, needs_of, work_ahead
from shopboard.prep.point_need import need_for
from shopboard.prep.project_needs import ProjectNeeds


class NeedsScreen(SlicedScreen):
    """What a project needs; a digit opens a point."""

    keys: ClassVar[tuple[Key, ...]] = (PAGE, UP, DOWN, BACK, HELP)

    def __init__(self, project_id: str) -> None:
        super().__init__()
        self._project_id = project_id
        self._first = 0
        self._drawn_in = (80, 20)
        self._needs: ProjectNeeds | None = None
        self._worked_out_for: object = None

    def pieces(self) -> Iterator[None]:
        """Work out what it needs."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        if project is None:
            return iter(())
        return work_ahead(self.open_shop, project.joints, morning_of(self.open_shop, project))

    def _found(self) -> ProjectNeeds | None:
        if self._worked_out_for is not self.open_shop.standing:
            project = self.open_shop.shop.projects_by_id.get(self._project_id)
            self._needs = needs_of(self.open_shop, project) if project is not None else None
            self._worked_out_for = self.open_shop.standing
        return self._needs

    def heading(self) -> str:
        """Name the project."""
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        return f"{project.name if project else self._project_id}: what it needs"

    def _lines(self, width: int) -> list[Line]:
        found = self._found()
        if found is None:
            return [(), ((f"  {GONE}", "bold"),)]
        return needs_lines(found, self.open_shop.shop.unit, width)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the page."""
        self._drawn_in = (width, room)
        if not self.is_worked_out():
            return working_lines(width)
        lines = self._lines(width)
        self._first = max(0, min(self._first, len(lines) - room + 1))
        return page_of(lines, self._first, room)

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for the next page only where there is one."""
        width, room = self._drawn_in
        is_long = self.is_worked_out() and len(self._lines(width)) > room
        return tuple(key for key in self.keys if is_long or key is not PAGE)

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def do_up(self) -> None:
        """Move a line up."""
        self._first = max(0, self._first - 1)

    def do_down(self) -> None:
        """Move a line down."""
        self._first += 1

    def do_page(self) -> None:
        """Move on by a page; from the end to the top."""
        width, room = self._drawn_in
        end = self._first + room - 1 >= len(self._lines(width))
        self._first = 0 if end else self._first + room - 2

    def do_digit(self, number: int) -> None:
        """Open the point with that number."""
        found = self._found()
        points = found.points if found is not None else ()
        if number > len(points):
            self.refuse("there is no such point")
            return
        name = points[number - 1].known.full_name
        project = self.open_shop.shop.projects_by_id.get(self._project_id)
        need = need_for(self.open_shop, name, project) if project is not None else None
        self.app.push_screen(doors.PointScreen(name, need))
