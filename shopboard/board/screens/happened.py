"""What happened to a machine: recorded, it makes due what it undoes."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, HELP, Key
from shopboard.board.paint import Line, said
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.past import record_happening
from shopboard.shop.model import HAPPENINGS, Machine


class HappenedScreen(ShopScreen):
    """A short list; a digit records."""

    keys: ClassVar[tuple[Key, ...]] = (BACK, HELP)

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine

    def heading(self) -> str:
        """Name the machine."""
        return f"{self._machine.name}: what happened?"

    def body(self, width: int, room: int) -> list[Line]:
        """List what can have happened and how many points each undoes."""
        lines: list[Line] = [()]
        for number, what in enumerate(HAPPENINGS, 1):
            undone = sum(1 for point in self._machine.points if what in point.undone_by)
            points = f"{undone} point{'' if undone == 1 else 's'} to check again"
            lines.append(((f"  {number} ", "key"), (f" {what:<16}", "bold"), (f" {points}", "dim")))
        lines += [(), ((f"  It is recorded for {said(self._machine.name)} as of now.", "dim"),)]
        return lines[:room]

    def do_digit(self, number: int) -> None:
        """Record it and go back."""
        if number > len(HAPPENINGS):
            self.refuse("there is no such line")
            return
        what = HAPPENINGS[number - 1]
        try:
            record_happening(self.desk.journal, self._machine.id, what)
        except JournalError as error:
            self.say_error(error)
            return
        self.board.go_back_saying(f"Recorded: {what}.")
