"""What is gone from the shop file: the names that still have records, and these records."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board import doors
from shopboard.board.keys import BACK, DOWN, HELP, OPEN, UP, WHY, Key
from shopboard.board.paint import Line
from shopboard.board.retired_view import kept_lines, retired_lines
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.results.record import CheckRecord
from shopboard.upkeep.retired import BESIDE_RESULTS, Retired

_MOST = 60
"""Entries of one kind that are read of a machine that is gone."""


class RetiredScreen(ShopScreen):
    """A list with a cursor; Enter shows the records."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, UP, DOWN, BACK, HELP)

    def heading(self) -> str:
        """Say what is listed."""
        return "Retired: no longer in the shop file"

    def body(self, width: int, room: int) -> list[Line]:
        """List what is retired."""
        retired = self.open_shop.retired()
        if not retired:
            return [(), (("  Nothing is retired: every record has its place.", "true"),)]
        self._cursor = min(self._cursor, len(retired) - 1)
        return retired_lines(retired, self._cursor, (width, room))

    def do_open(self) -> None:
        """Show the records of the one under the cursor."""
        try:
            retired = self.open_shop.retired()
        except JournalError:
            return  # the screen says so
        if self._cursor < len(retired):
            self.app.push_screen(KeptScreen(retired[self._cursor]))

    def do_digit(self, number: int) -> None:
        """Show the records of the one with that number."""
        self._cursor = number - 1
        self.do_open()


class KeptScreen(ShopScreen):
    """The records of one that is retired; nothing can be added to them."""

    keys: ClassVar[tuple[Key, ...]] = (UP, DOWN, WHY, BACK, HELP)

    def __init__(self, retired: Retired) -> None:
        super().__init__()
        self._retired = retired

    def heading(self) -> str:
        """Name it."""
        name = f" ({self._retired.name})" if self._retired.name else ""
        return f"Retired: {self._retired.about}{name}"

    def _history(self, wanted: int) -> list[CheckRecord]:
        one = self._retired
        return (
            self.open_shop.history(one.full_name, wanted)
            if one.point and one.sort == "point"
            else []
        )

    def body(self, width: int, room: int) -> list[Line]:
        """List the records."""
        history = self._history(self._cursor + room)
        self._cursor = min(self._cursor, max(len(history) - 1, 0))
        others = []
        one, journal = self._retired, self.open_shop.journal
        if not one.point:
            for kind in BESIDE_RESULTS:
                others += journal.machine_entries(kind, one.machine, _MOST)
        elif one.sort != "point":
            others += journal.recent(one.sort, one.machine, one.point, _MOST)
        others.sort(key=lambda entry: -entry.seq)
        unit = self.open_shop.shop.unit
        return kept_lines(history, others, self._cursor, unit, (width, room))

    def do_why(self) -> None:
        """Show the working of the result under the cursor."""
        try:
            history = self._history(self._cursor + 1)
        except JournalError as error:
            self.say(f"{error.title} {error.advice}", "out")
            return
        if not history:
            self.say("There is no result here.")
            return
        from shopboard.board.why_view import record_why

        lines = record_why(history[self._cursor], self.open_shop.shop.unit)
        self.app.push_screen(doors.WhyScreen(self._retired.full_name, lines))
