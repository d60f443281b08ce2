"""One point through the years: the picture, and one key away the numbers behind it."""

from __future__ import annotations

import sys
from typing import ClassVar

from shopboard.board import doors
from shopboard.board.frame import bar
from shopboard.board.keys import BACK, DOWN, HELP, LAST_SPAN, NEXT_SPAN, NUMBERS, UP, WHY, Key
from shopboard.board.numbers_view import NumbersRow, numbers_lines, numbers_rows
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.reports.plot import plot_lines
from shopboard.reports.plot_scene import SPANS, Span, scene_of
from shopboard.reports.trace import Trace, gather_trace
from shopboard.results.record import CheckRecord


class PlotScreen(ShopScreen):
    """Errors over time; n shows the numbers, + and the arrows change the time."""

    keys: ClassVar[tuple[Key, ...]] = (
        NUMBERS, NEXT_SPAN, LAST_SPAN, UP, DOWN, WHY, BACK, HELP,
    )  # fmt: skip

    def __init__(self, full_name: str, about: str) -> None:
        super().__init__()
        self._full_name = full_name
        self._about = about
        self._span: Span = SPANS[0]
        self._as_numbers = False
        self._read: tuple[object, Trace] | None = None
        self._listed: tuple[Trace, Span, list[NumbersRow]] | None = None

    def heading(self) -> str:
        """Name machine and point."""
        return self._about

    def top(self, width: int) -> Line:
        """Show which of the times is chosen, and the digits of the others."""
        spans = [f"{at} {one}" for at, one in enumerate(SPANS, 1)]
        words = (f"[{one}]" if one.endswith(self._span) else f" {one} " for one in spans)
        return bar(self.heading(), "".join(words), width)

    def _trace(self) -> Trace:
        """Give the point's story, read once until anything is recorded."""
        standing = self.open_shop.standing
        if self._read is None or self._read[0] is not standing:
            trace = gather_trace(self.open_shop.shop, self._full_name, self.open_shop.journal)
            self._read = (standing, trace)
        return self._read[1]

    def _rows(self) -> list[NumbersRow]:
        """Give the rows of the time shown, put together once: a key moves the cursor only."""
        trace, open_shop = self._trace(), self.open_shop
        if self._listed is None or self._listed[0] is not trace or self._listed[1] != self._span:
            since = scene_of(trace, open_shop.shop.unit, open_shop.now(), self._span).start
            self._listed = (trace, self._span, numbers_rows(trace, since))
        return self._listed[2]

    def machine_here(self) -> str:
        """It is the point's."""
        return self._full_name.partition(".")[0]

    def tagged(self) -> str:
        """Say why its machine is not to be used."""
        return self.tag_of(self._full_name.partition(".")[0])

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the picture, or the numbers."""
        unit = self.open_shop.shop.unit
        if self._as_numbers:
            rows = self._rows()
            self._cursor = min(self._cursor, max(len(rows) - 1, 0))
            return numbers_lines(rows, self._cursor, unit, (width, room))
        trace, now = self._trace(), self.open_shop.now()
        return plot_lines(trace, unit, now, (width, room), self._span, plain=_plain())

    def do_numbers(self) -> None:
        """Change between the picture and the numbers."""
        self._as_numbers = not self._as_numbers

    def do_digit(self, number: int) -> None:
        """Choose the time."""
        if number <= len(SPANS):
            self._span, self._cursor = SPANS[number - 1], 0

    def do_next_span(self) -> None:
        """Show the next shorter time, and after the shortest all of it."""
        self.do_digit((SPANS.index(self._span) + 1) % len(SPANS) + 1)

    def do_last_span(self) -> None:
        """Show the next longer time, and after all of it the shortest."""
        self.do_digit((SPANS.index(self._span) - 1) % len(SPANS) + 1)

    def do_why(self) -> None:
        """Show the working of the result under the cursor."""
        rows = self._rows()
        one = rows[self._cursor] if self._as_numbers and rows else None
        if not isinstance(one, CheckRecord):
            self.refuse("choose a result among the numbers first (n)")
            return
        from shopboard.board.why_view import record_why

        self.app.push_screen(
            doors.WhyScreen(self.heading(), record_why(one, self.open_shop.shop.unit))
        )


def _plain() -> bool:
    """Tell whether the terminal has no line drawing."""
    encoding = getattr(sys.__stdout__, "encoding", None) or "utf-8"
    return not encoding.lower().replace("-", "").startswith("utf")
