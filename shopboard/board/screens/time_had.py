"""The time one has for the prep day: chosen by a digit, or typed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import ClassVar

from shopboard.base.light_tuple import NamedTuple
from shopboard.board import doors
from shopboard.board.edit_view import EditRow, rows_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.questions import AnswerRead, Prompt
from shopboard.board.screens.listed import ListScreen
from shopboard.metrology.quantity import QuantityError
from shopboard.prep.plan_words import clock, had_words
from shopboard.prep.time_had import TimeHad, windows
from shopboard.prep.time_read import read_time

_LENGTHS = (30, 60, 120, 240)
"""Minutes that are offered."""

_DAYS = (1, 2, 3)
"""Days that are offered."""


class _TimeLine(NamedTuple):
    words: str
    had: TimeHad | None
    """None: it is typed."""


class TimeHadScreen(ListScreen):
    """What time one has: the lines say it, the last asks for another."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, MORE, UP, DOWN, BACK, HELP)

    def __init__(self, take: Callable[[TimeHad], None]) -> None:
        """Ask.

        Args:
            take: is given the time; this screen is left by then.
        """
        super().__init__()
        self._take = take

    def heading(self) -> str:
        """Say what is asked."""
        return "How long do you have?"

    def _choices(self) -> list[_TimeLine]:
        now, hours = self.open_shop.now(), self.open_shop.shop.hours
        today = now.astimezone().date()
        found = [
            _TimeLine(f"until {clock(one.end, now)}", TimeHad(until=one.end))
            for one in (windows(TimeHad(), hours, now, now) if hours else ())
            if one.end is not None and one.start <= now + timedelta(hours=24)
            if one.start.astimezone().date() == today
        ]
        for minutes in _LENGTHS:
            had = TimeHad(until=now + timedelta(minutes=minutes), any_hours=True)
            found.append(_TimeLine(_length_words(minutes), had))
        found += [_TimeLine(had_words(TimeHad(days=one), now), TimeHad(days=one)) for one in _DAYS]
        if hours:
            found.append(_TimeLine("the shop's hours, as many days as it takes", TimeHad()))
        words = "as long as it takes, whatever the hours" if hours else "as long as it takes"
        found.append(_TimeLine(words, TimeHad(any_hours=True)))
        return [*found, _TimeLine("another time: type it", None)]

    def rows(self) -> int:
        """Count the lines."""
        return len(self._choices())

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        rows = [EditRow("thing", "", one.words) for one in self._choices()]
        return rows_lines(rows, self.settle(), (width, room))

    def choose(self, line: int) -> None:
        """Take a line, or ask for another time."""
        one = self._choices()[line]
        if one.had is not None:
            self.app.pop_screen()
            self._take(one.had)
            return
        self.app.push_screen(doors.AskScreen("", self.heading(), self._prompt(), self._typed))

    def _prompt(self) -> Prompt:
        def read(text: str) -> TimeHad:
            return read_time(text, self.open_shop.now())

        def echo(text: str) -> str:
            try:
                return had_words(read(text), self.open_shop.now()) if text.strip() else ""
            except QuantityError as error:
                return str(error)

        lines = ("45 is minutes; 2 h, until 17:00 or 2 days say so.",)
        return Prompt(self.heading(), lines, read, echo, "words")

    def _typed(self, answer: AnswerRead) -> None:
        if isinstance(answer, TimeHad):
            self.app.pop_screen()
            self.app.pop_screen()
            self._take(answer)


def _length_words(minutes: int) -> str:
    if minutes < 60:
        return "half an hour"
    return "1 hour" if minutes == 60 else f"{minutes // 60} hours"
