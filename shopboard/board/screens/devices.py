"""Which phones and tablets may open the board in a browser: paired here, and withdrawn."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.devices_view import devices_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, NEW_CODE, TAKE_BACK, UP, Key
from shopboard.board.nines import without_more
from shopboard.board.paint import Line, wrap
from shopboard.board.screens.listed import ListScreen
from shopboard.web.devices import Device, Devices, DevicesError, devices_file

_ANEW = 1.0
"""Seconds between two pictures: one pairs, or the code's time goes by, without a key."""


class DevicesScreen(ListScreen):
    """A list with a cursor; above it the code, while one is good."""

    keys: ClassVar[tuple[Key, ...]] = (
        NEW_CODE,
        TAKE_BACK._replace(help="Withdraw the device under the cursor; twice."),
        *(MORE, UP, DOWN, BACK, HELP),
    )

    def __init__(self) -> None:
        super().__init__()
        self._chosen = ""
        """Id of the device that is withdrawn at the same key once more."""

    @property
    def _devices(self) -> Devices:
        return Devices(devices_file(), self.open_shop.clock)

    def _found(self) -> tuple[Device, ...]:
        try:
            return self._devices.welcome()
        except DevicesError:
            return ()  # the body says so

    def heading(self) -> str:
        """Say what is listed."""
        return "Phones and tablets"

    def rows(self) -> int:
        """Count the lines."""
        return len(self._found())

    def keys_now(self) -> tuple[Key, ...]:
        """Show what withdraws only where there is one."""
        rows = self.rows()
        return tuple(one for one in without_more(self.keys, rows) if rows or one.role != "strike")

    def on_mount(self) -> None:
        """Draw anew while it is looked at."""
        self.set_interval(_ANEW, self.repaint)

    def body(self, width: int, room: int) -> list[Line]:
        """Show the code and the list."""
        try:
            devices, code = self._devices.welcome(), self._devices.code()
        except DevicesError as error:
            return [(), *(((f"  {line}", "out"),) for line in wrap(str(error), width - 4))]
        now = self.open_shop.clock()
        return devices_lines(devices, code, self.settle(), now, (width, room))

    def choose(self, line: int) -> None:
        """Go to the line."""
        self._cursor = line
        self.repaint()

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = ""

    def do_new_code(self) -> None:
        """Show a new code."""
        try:
            self._devices.new_code()
        except DevicesError as error:
            self.refuse(str(error))
        else:
            self.repaint()

    def do_take_back(self) -> None:
        """Withdraw the device under the cursor; asks once."""
        devices = self._found()
        if not devices:
            return
        one = devices[self.settle()]
        if self._chosen != one.id:
            self._chosen = one.id
            self.ask_once_more(f"Withdraw {one.name}? It must pair anew. / or v once more.")
            return
        self._chosen = ""
        try:
            self._devices.withdraw(one.id)
        except DevicesError as error:
            self.refuse(str(error))
        else:
            self.say(f"Withdrawn: {one.name} comes in no more.")
