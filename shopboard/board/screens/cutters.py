"""The cutters of one machine; a digit opens one."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board import doors
from shopboard.board.cutters_view import cutters_lines
from shopboard.board.keys import BACK, CHANGE_ON, DOWN, HELP, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.board.ways_in import go_on_changing
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_outlook import CutterOutlook, outlooks


class CuttersScreen(ShopScreen):
    """Cutters with a cursor."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, UP, DOWN, CHANGE_ON, BACK, HELP)

    def __init__(self, machine_id: str) -> None:
        super().__init__()
        self._machine_id = machine_id
        self._ahead: tuple[object, tuple[CutterOutlook, ...]] = (None, ())

    @property
    def _standing(self) -> MachineStanding | None:
        return self.open_shop.standing.of_machine(self._machine_id)

    def heading(self) -> str:
        """Name the machine."""
        standing = self._standing
        return f"{standing.machine.name} · cutters" if standing else self._machine_id

    def _outlooks(self, standing: MachineStanding) -> tuple[CutterOutlook, ...]:
        """Look ahead, once until anything is recorded or a minute has gone by."""
        if self._ahead[0] is not standing:
            found = outlooks(standing.cutters, self.open_shop.now(), self.open_shop.journal)
            self._ahead = (standing, found)
        return self._ahead[1]

    def machine_here(self) -> str:
        """It is theirs."""
        return self._machine_id

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine_id)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the cutters."""
        standing = self._standing
        if standing is None or not standing.cutters:
            lines: list[Line] = [(), (("  The shop file names no cutter of this machine.", ""),)]
            if standing is not None and standing.changing is not None:
                lines.append((("  0 ends the change that is in progress.", "danger"),))
            return lines
        self._cursor = min(self._cursor, len(standing.cutters) - 1)
        ahead = self._outlooks(standing)
        size = (width, room)
        return cutters_lines(standing.cutters, ahead, standing.changing, self._cursor, size)

    def do_open(self) -> None:
        """Open the cutter under the cursor."""
        self.do_digit(self._cursor + 1)

    def do_digit(self, number: int) -> None:
        """Open the cutter with that number."""
        standing = self._standing
        if standing is None or number > len(standing.cutters):
            return
        self._cursor, one = number - 1, standing.cutters[number - 1]
        self.app.push_screen(doors.CutterScreen(one.machine, one.id))

    def do_resume(self) -> None:
        """Go on with the change that is under way."""
        go_on_changing(self, self._machine_id)
