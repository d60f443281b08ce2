"""What was said of prep days: a mistake is withdrawn, and the day follows."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.edit_view import EditRow, rows_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, TAKE_BACK, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.prep.day_said import TAKEN_BACK, Said, said_of_days, withdraw
from shopboard.prep.plan_words import clock


class DaySaidScreen(ListScreen, SteadyScreen):
    """A list, the newest first; a line is withdrawn when it is chosen once more."""

    keys: ClassVar[tuple[Key, ...]] = (
        TAKE_BACK._replace(help="Withdraw the line under the cursor; twice."),
        *(MORE, UP, DOWN, BACK, HELP),
    )

    of_the_day = True

    def __init__(self) -> None:
        super().__init__()
        self._chosen = ""
        """Uid of the entry that is withdrawn when it is chosen once more."""
        self._read: tuple[object, list[Said]] = (None, [])

    def heading(self) -> str:
        """Say what is listed."""
        return "Said of the prep day: withdraw a mistake"

    def expects_quiet(self) -> bool:
        """Nothing of the day's work is done here."""
        return True

    def _found(self) -> list[Said]:
        """Give what was said, read once until anything is recorded."""
        shop, mark = self.open_shop, self.open_shop.journal.change_mark()
        if self._read[0] != mark:
            self._read = mark, said_of_days(shop.journal, shop.shop, shop.now())
        return self._read[1]

    def rows(self) -> int:
        """Count the lines."""
        return len(self._found())

    def body(self, width: int, room: int) -> list[Line]:
        """List them; what can no longer be withdrawn stays to be read."""
        now = self.open_shop.now()
        rows = [
            EditRow(
                "" if one.why_not else "thing", "", f"{clock(one.entry.when, now)}  {one.words}"
            )
            for one in self._found()
        ]
        if not rows:
            return [(), (("  No prep day is on record.", ""),)]
        return rows_lines(rows, self.settle(), (width, room))

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = ""

    def do_take_back(self) -> None:
        """Withdraw the line under the cursor; asks once."""
        if self.rows():
            self.choose(self.settle())

    def choose(self, line: int) -> None:
        """Withdraw a line; asks once."""
        one = self._found()[line]
        if one.why_not:
            self._chosen = ""
            self.refuse(one.why_not)
            return
        if self._chosen != one.entry.uid:
            self._chosen = one.entry.uid
            self.ask_once_more(f"Withdraw: {one.words}? / or v once more.")
            return
        self._chosen = ""
        shop, told = self.open_shop, list[str]()
        if self.recorded(
            ("withdraw", one.entry.uid),
            lambda uid: told.append(withdraw(shop.journal, one, TAKEN_BACK, shop.now(), uid)),
        ):
            self.take_in()
            self.board.go_back_saying(told[-1] if told else "Withdrawn; it stays on record.")
