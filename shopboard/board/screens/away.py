"""Nothing was recorded for long within a prep day: was nobody there, or was the work that long?"""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from shopboard.board.glyphs import big, in_large
from shopboard.board.keys import BACK, HELP, Key
from shopboard.board.paint import Line, wrap
from shopboard.board.screens.steady import SteadyScreen
from shopboard.prep.pause import record_pause
from shopboard.prep.plan_words import clock, span

_ASKED = "Were you away?"


class AwayScreen(SteadyScreen):
    """One key says it; the times of the day are right again after that."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (BACK, HELP)

    def __init__(self, since: datetime) -> None:
        """Ask it.

        Args:
            since: when something was recorded last.
        """
        super().__init__()
        self._since = since

    def heading(self) -> str:
        """Name the shop and the day."""
        return f"{self.open_shop.shop.name} · prep day"

    @property
    def _lasted(self) -> str:
        return span((self.open_shop.now() - self._since).total_seconds() / 60)

    def body(self, width: int, room: int) -> list[Line]:
        """Ask, and say what each answer does."""
        since = clock(self._since, self.open_shop.now())
        lines: list[Line] = []
        large = in_large(_ASKED, width, 1)
        for one in large:
            lines += [(), *(((f"  {row}", "bold"),) for row in big(one))]
        told = f"Nothing was recorded since {since}, for {self._lasted}."
        told = told if large else f"{_ASKED} {told}"
        lines += [(), *(((f"  {one}", "bold"),) for one in wrap(told, width - 4)), ()]
        for digit, words in (
            ("1", f"yes, since {since}: the plan goes on from now"),
            ("2", "no, I was at it: it takes longer than planned"),
        ):
            lines.append(((f"  {digit} ", "key"), (f" {words}", "bold")))
        ran_on = "What soaks, dries or hazes went on meanwhile, whichever it is."
        return [*lines, (), ((f"  {ran_on}", "dim"),)][:room]

    def on_screen_resume(self) -> None:
        """Draw anew; from here on it can be read."""
        self.shows_anew()

    def expects_quiet(self) -> bool:
        """It is being asked."""
        return True

    def do_digit(self, number: int) -> None:
        """Record the answer, and go back to what the key was pressed on."""
        if self.is_hasty():
            return
        if number > 2:
            self.refuse("press 1 or 2")
            return
        away, lasted = number == 1, self._lasted
        if not self.recorded(
            ("pause", self._since, away),
            lambda uid: record_pause(self.open_shop.journal, self._since, away=away, uid=uid),
        ):
            return
        self.take_in()
        said = f"away for {lasted}, which does not count" if away else f"at it for {lasted}"
        self.board.go_back_saying(f"On record: you were {said}.")
