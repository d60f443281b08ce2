"""The journal is not the one that was last open there: nothing is recorded before a person says."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, HELP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.base import ShopScreen

_MAY_BE = {
    "older": "An older copy, perhaps, that was put in its place.",
    "empty": "Perhaps it was begun while the right one was away.",
    "other": "Perhaps another stick is in, or another file was put in its place.",
    "fork": "Perhaps a copy in which something was recorded elsewhere.",
}


class DiffersScreen(ShopScreen):
    """Says how it differs, and asks whether it is the right one all the same."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (BACK, HELP)

    def heading(self) -> str:
        """Say what is asked."""
        return "Is this the right journal?"

    def body(self, width: int, room: int) -> list[Line]:
        """Say what was found, what is held back, and what can be done."""
        differs = self.open_shop.journal_differs
        if differs is None:  # meanwhile the right one is back, or was said elsewhere to be this one
            return [(), (("  It is: it matches again.", "true"),)]
        words = [
            (str(self.board.journal_file), "bold"),
            (f"This journal {differs.what}.", "out"),
            (_MAY_BE[differs.how], ""),
            (
                "All of it can be read. Nothing is recorded in it until you say that it is the"
                " right one. Put the right one back, and the board goes on with that.",
                "",
            ),
        ]
        lines: list[Line] = [()]
        for text, style in words:
            lines += [((f"  {line}", style),) for line in wrap(said(text), width - 4)]
        for number, choice in ((1, "not now: look, record nothing"), (2, "it is the right one")):
            lines += [(), ((f"  {number} ", "key"), (f" {choice}", "bold"))]
        return lines[:room]

    def do_digit(self, number: int) -> None:
        """Leave it, or take the journal as it is."""
        if number == 1:
            self.do_back()
        elif number == 2:
            if self.open_shop.journal_differs is not None:
                self.open_shop.take_journal_as_it_is()
            self.board.go_back_saying("This is the journal from now on.")
