"""Take a result back, with a reason; the result stays on record, marked."""

from __future__ import annotations

from typing import ClassVar

from shopboard.base.dates import day
from shopboard.base.state_words import state_word
from shopboard.board.keys import BACK, HELP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.steady import SteadyScreen
from shopboard.results.record import CheckRecord
from shopboard.results.remarks import take_back

REASONS = (
    "misread, or typed wrong",
    "wrong machine or point",
    "read at the wrong end or side",
    "a tool was dirty or damaged",
    "it was only a trial",
)


class VoidScreen(SteadyScreen):
    """A short list of reasons; a digit records."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (BACK, HELP)

    def __init__(self, record: CheckRecord) -> None:
        super().__init__()
        self._record = record

    def heading(self) -> str:
        """Ask."""
        return "Withdraw this result: why?"

    def machine_here(self) -> str:
        """It is the one that was measured."""
        return self._record.machine

    def tagged(self) -> str:
        """Say why its machine is not to be used."""
        return self.tag_of(self._record.machine)

    def body(self, width: int, room: int) -> list[Line]:
        """Show the result and the reasons."""
        one = self._record
        error = one.words(self.open_shop.shop.unit)
        lines: list[Line] = [
            (),
            ((f"  {day(one.when)}  {one.run}  {error}  {state_word(one.verdict)}", "bold"),),
            (),
        ]
        for number, reason in enumerate(REASONS, 1):
            lines.append(((f"  {number} ", "key"), (f" {reason}", "bold")))
        lines += [(), (("  It stays in the history, marked WITHDRAWN, with the reason.", "dim"),)]
        return lines[:room]

    def on_screen_resume(self) -> None:
        """Draw anew; from here on it can be read."""
        self.shows_anew()

    def do_digit(self, number: int) -> None:
        """Record the void and go back."""
        if self.is_hasty():
            return
        if number > len(REASONS):
            self.refuse("there is no such line")
            return
        uid, reason = self._record.uid, REASONS[number - 1]
        told: list[str] = []
        if self.recorded(
            ("void", uid, reason),
            lambda name: told.append(take_back(self.open_shop.journal, uid, reason, name)),
        ):
            self.board.go_back_saying(told[-1])
