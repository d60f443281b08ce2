"""A prep day is about to end: what it leaves undone, with what that puts at risk; asks once."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, DOWN, END_DAY, HELP, PAGE, UP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.paged import PagedScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.journal import JournalError
from shopboard.journal.kinds import LeftUndone
from shopboard.prep.begun_day import PrepDay, end_day
from shopboard.prep.left_words import how_much, left_lines


class EndDayScreen(PagedScreen, SteadyScreen):
    """Lists what is left; the key that opened it ends the day."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (
        END_DAY._replace(word="end the day", help="End the prep day; what is left goes on record."),
        *(PAGE, UP, DOWN, BACK, HELP),
    )

    of_the_day = True

    def __init__(self, day: PrepDay, left: tuple[LeftUndone, ...], took: str) -> None:
        """Ask.

        Args:
            day: the day.
            left: what it leaves undone.
            took: what it took so far, in a sentence.
        """
        super().__init__()
        self._day, self._left, self._took = day, left, took

    def heading(self) -> str:
        """Ask."""
        return "End this prep day?"

    def lines(self, width: int) -> list[Line]:
        """Say how much is left, then each of it."""
        left = self._left
        asked = (
            "ends the day, with what is left undone" if left else "ends the day: nothing is left"
        )
        lines: list[Line] = [(), (("  x / ", "key"), (f" once more {asked}", "bold")), ()]
        lines += [((f"  {one}", ""),) for one in wrap(said(self._took), width - 4)]
        if not left:
            return lines
        lines += [(), ((f"  LEFT UNDONE: {how_much(left)} of work", "due"),)]
        names = {one.id: one.name for one in self.open_shop.shop.machines}
        for told in left_lines(left, names):
            first, *more = wrap(said(told), width - 8)
            lines += [((f"  {first}", "bold"),), *(((f"      {one}", ""),) for one in more)]
        return lines

    def on_screen_resume(self) -> None:
        """Draw anew; from here on it can be read."""
        self.shows_anew()

    def expects_quiet(self) -> bool:
        """It is about to end: whether one was away no longer matters to its times."""
        return True

    def do_end_day(self) -> None:
        """End it, and say what it took and left."""
        if self.is_hasty():
            return
        try:
            end_day(self.open_shop.journal, self._day, left=self._left)
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        left = how_much(self._left)
        took = self._took.removeprefix("The day ").rstrip(".")
        self.app.pop_screen()
        self.board.go_back_saying(
            f"The prep day is over: it {took}{f'; left undone: {left}' if left else ''}."
        )
