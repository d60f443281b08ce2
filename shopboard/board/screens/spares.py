"""Which sharp cutter does the work of a dull one: said once, the plan goes by it from then on."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board import doors
from shopboard.board.edit_view import EditRow, rows_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.edit import opened
from shopboard.board.screens.listed import ListScreen
from shopboard.prep.due_changes import UnsaidSpare, unsaid_spares
from shopboard.shop.problems import ShopFileError
from shopboard.writing.wishes import NotMeantError, settings_as


class SparesScreen(ListScreen):
    """Each line is written into the shop file, once its change was seen."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK, HELP)

    @property
    def _found(self) -> tuple[UnsaidSpare, ...]:
        return unsaid_spares(self.open_shop.standing.machines)

    def heading(self) -> str:
        """Say what is asked."""
        return "Which one does the work of a dull one?"

    def rows(self) -> int:
        """Count the lines."""
        return len(self._found)

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        rows = [
            EditRow("thing", "", f"{one.sharp.cutter.name} does the work of {one.dull.cutter.name}")
            for one in self._found
        ]
        if not rows:
            return [(), (("  Nothing left to answer here.", ""),)]
        return rows_lines(rows, self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Show the line that says so in the shop file."""
        one = self._found[line]
        try:
            file = opened(self.open_shop.shop_file)
            thing = file.thing("cutter", f"{one.sharp.machine}.{one.sharp.id}")
            if thing is None:
                self.refuse("it is no longer in the shop file")
                return
            wish = settings_as(file.data, thing, {"spare_for": [one.dull.id]})
            result = file.changed(thing, wish)
        except (NotMeantError, ShopFileError) as error:
            self.refuse(str(error).splitlines()[0])
            return
        self.app.push_screen(doors.ChangedScreen(file, result, leaves=1))
