"""What happened to a machine: it makes due what it undoes; the newest can be taken back."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, HELP, TAKE_BACK, Key
from shopboard.board.paint import Line, said
from shopboard.board.screens.base import ShopScreen
from shopboard.health import ago
from shopboard.journal import JournalError
from shopboard.past import newest_happenings, record_happening
from shopboard.shop.model import HAPPENINGS, Machine


class HappenedScreen(ShopScreen):
    """A short list: a digit chooses, the same digit again records."""

    keys: ClassVar[tuple[Key, ...]] = (TAKE_BACK, BACK, HELP)

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine
        self._chosen = 0
        self._listed = [
            what for what in HAPPENINGS if any(what in point.undone_by for point in machine.points)
        ]

    def heading(self) -> str:
        """Name the machine."""
        return f"{self._machine.name}: what happened?"

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine.id)

    def body(self, width: int, room: int) -> list[Line]:
        """List what can have happened, how many points each undoes, and what is on record."""
        lines: list[Line] = [()]
        for number, what in enumerate(self._listed, 1):
            undone = sum(1 for point in self._machine.points if what in point.undone_by)
            points = f"{undone} point{'' if undone == 1 else 's'} to check again"
            mark = "►" if number == self._chosen else " "
            lines.append(((f" {mark}{number} ", "key"), (f" {what:<16}", "bold"), (points, "dim")))
        if not self._listed:
            lines.append((("  Nothing that the shop file names undoes a check here.", ""),))
        lines += [(), (("  On record, newest first:", "dim"),)]
        now = self.desk.now()
        for entry in newest_happenings(self.desk.journal, self._machine.id):
            what = said(str(entry.body.get("what", "")))
            lines.append(((f"  {what:<18} {ago(entry.when, now)}", "dim"),))
        return lines[:room]

    def do_digit(self, number: int) -> None:
        """Choose; the second time, record it and go back."""
        if number > len(self._listed):
            self.refuse("there is no such line")
            return
        what = self._listed[number - 1]
        if self._chosen != number:
            self._chosen = number
            self.say(f"{what}: press {number} once more to record it.")
            return
        try:
            record_happening(self.desk.journal, self._machine.id, what, shop=self.desk.shop)
        except JournalError as error:
            self.say_error(error)
            return
        self.desk.refresh()
        self.board.go_back_saying(f"Recorded: {what}.")

    def do_take_back(self) -> None:
        """Void the newest happening."""
        newest = newest_happenings(self.desk.journal, self._machine.id, 1)
        if not newest:
            self.refuse("nothing is on record to take back")
            return
        from shopboard.upkeep.cutter_acts import ActError
        from shopboard.upkeep.cutter_journal import take_back

        try:
            take_back(newest[0], "recorded by mistake", self.desk.journal)
        except ActError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self.desk.refresh()
        self.say("Taken back, and kept in the journal as void.")
