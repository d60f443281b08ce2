"""One machine: its points, tasks and cutters."""

from __future__ import annotations

from contextlib import suppress
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.keys import (
    BACK,
    CUTTERS,
    DOWN,
    EDIT,
    HAPPENED,
    HELP,
    OPEN,
    ROUND,
    TASKS,
    UP,
    Key,
)
from shopboard.board.machine_view import machine_lines
from shopboard.board.notice import board_notice
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.standing.model import MachineStanding
from shopboard.standing.next_checks import worst_first
from shopboard.up_next.known import known_settles, work_out_settles


class MachineScreen(ShopScreen):
    """The points of one machine with a cursor."""

    leads_only = True
    opens_in_order = True
    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN, UP, DOWN, HAPPENED, TASKS, CUTTERS),
        *(ROUND._replace(footer=False), EDIT, BACK, HELP),
    )

    def keys_now(self) -> tuple[Key, ...]:
        """Show no key for tasks or cutters that the machine has not."""
        standing = self._standing
        if standing is None:
            return self.keys
        none = {"tasks": not standing.tasks, "cutters": not (standing.cutters or standing.changing)}
        return tuple(key for key in self.keys if not none.get(key.action))

    def __init__(self, machine_id: str) -> None:
        super().__init__()
        self._machine_id = machine_id
        self._cursor = -1
        """Number of a point; below 0: on the one to check first."""
        self._led_to = -1
        """Number of the point that was the one to check first when the cursor was put there."""
        self._cannot: dict[str, str] = {}

    @property
    def _standing(self) -> MachineStanding | None:
        return self.open_shop.standing.of_machine(self._machine_id)

    def heading(self) -> str:
        """Name the machine."""
        standing = self._standing
        return standing.machine.name if standing else "no longer in the shop file"

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the machine."""
        standing = self._standing
        if standing is None:
            return [(("  This machine is no longer in the shop file.", ""),)]
        self._settle_cursor(standing)
        open_shop = self.open_shop
        size = (width, room)
        waits = {(one.machine, one.standing.task.id): one.words for one in open_shop.waits()}
        return machine_lines(
            standing,
            self._cursor,
            open_shop.now(),
            open_shop.shop.unit,
            size,
            self._cannot,
            waits,
            self._order(),
            known_settles(open_shop).get(self._first_name, ""),
        )

    def _settle_cursor(self, standing: MachineStanding) -> None:
        """Keep the cursor on a line that is there; at first on what to check first."""
        if self._cursor < 0:
            self._cursor = self._led_to = self._first(standing)
        self._cursor = min(self._cursor, max(len(standing.points or standing.tasks) - 1, 0))

    @property
    def _first_name(self) -> str:
        first = self._standing.first if self._standing is not None else None
        return first.point.full_name if first is not None else ""

    def _order(self) -> list[str]:
        """Give the points to check by their full names, in the order of what is next."""
        return [one.point.full_name for one in worst_first(self.open_shop.standing)]

    def _first(self, standing: MachineStanding) -> int:
        """Give the number of the point to check first on this machine."""
        order = self._order()
        open_here = [one for one in standing.points if one.point.full_name in order]
        first = min(open_here, key=lambda one: order.index(one.point.full_name), default=None)
        return standing.points.index(first) if first is not None else 0

    def _work_out(self) -> None:
        """Find out which points the drawer cannot prove: one at a time, keys come first."""
        standing = self._standing
        with suppress(JournalError):  # the next look says so
            if self.is_attached and work_out_settles(self.open_shop, self._first_name):
                self.repaint()
        for one in standing.points if standing else ():
            if one.point.full_name not in self._cannot and self.is_attached:
                self._cannot[one.point.full_name] = self.board.cannot_be_proven(one.point.full_name)
                if self._cannot[one.point.full_name]:
                    self.repaint()
                self.call_after_refresh(self._work_out)
                return

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def on_screen_resume(self) -> None:
        """Draw anew, with what a proof may have changed since."""
        self._cannot.clear()
        standing = self._standing
        if standing is not None and 0 <= self._cursor < len(standing.points):
            on, first = standing.points[self._cursor], self._first(standing)
            if not on.is_open or first != self._led_to:  # proven, or something happened
                self._cursor = self._led_to = first
        self.call_after_refresh(self._work_out)

    def do_open(self) -> None:
        """Open the point under the cursor; where there are none, the tasks at the one there."""
        standing = self._standing
        if standing is None:
            return
        self._settle_cursor(standing)
        if standing.points:
            self.app.push_screen(doors.PointScreen(standing.points[self._cursor].point.full_name))
        else:
            self.app.push_screen(doors.TasksScreen(self._machine_id, self._cursor))

    def do_digit(self, number: int) -> None:
        """Open the point with that number."""
        standing = self._standing
        if standing is not None and number <= len(standing.points or standing.tasks):
            self._cursor = number - 1
            self.do_open()

    def do_tasks(self) -> None:
        """Show this machine's tasks."""
        self.app.push_screen(doors.TasksScreen(self._machine_id))

    def do_happened(self) -> None:
        """Say what happened to this machine."""
        standing = self._standing
        if standing is not None:
            self.app.push_screen(doors.HappenedScreen(standing.machine))

    def machine_here(self) -> str:
        """It is this one."""
        return self._machine_id

    def tag_here(self) -> str:
        """Say why it is not to be used."""
        return self.tag_of(self._machine_id)

    def do_round(self) -> None:
        """Walk the machine's safety round."""
        from shopboard.board.ways_in import begin_round

        standing = self._standing
        if standing is not None and standing.machine.has_round:
            begin_round(self, self._machine_id)
        else:
            words = "no cutter of this machine is told, nor a safety question of its own"
            self.refuse(f"{words}; e adds one")

    def do_edit(self) -> None:
        """Change what the shop file says of it."""
        self.app.push_screen(doors.EditScreen("machine", self._machine_id))

    def do_cutters(self) -> None:
        """Show the machine's cutters."""
        from shopboard.board.ways_in import show_cutters

        show_cutters(self, self._machine_id)
