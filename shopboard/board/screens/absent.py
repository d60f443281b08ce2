"""No journal where it was looked for: it is waited for, looked for elsewhere, or begun."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar

from shopboard.base.exit_codes import JOURNAL
from shopboard.base.locations import is_something_at
from shopboard.board.keys import HELP, QUIT, RELOAD, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.journal.place import is_empty_file
from shopboard.journal.remembered import recall
from shopboard.journal.watch import entries, last_seen


class AbsentScreen(ShopScreen):
    """Asks, because a journal that is begun beside the right one hides what is recorded there."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (RELOAD, HELP, QUIT)

    def __init__(self) -> None:
        super().__init__()
        self._sure = False
        """Whether beginning one was chosen once; the second time it is done."""

    def heading(self) -> str:
        """Say what is the matter."""
        return "shopboard: no journal there"

    def body(self, width: int, room: int) -> list[Line]:
        """Say where, what was there, and what can be done."""
        path = self.board.journal_file
        known = recall(path)
        words = [("No journal at", ""), (said(str(path)), "bold")]
        if known is not None and known.last:
            held = f"The one that was open there {last_seen(known)} had {entries(known.last)}."
            words.append((held, "out"))
        else:
            words.append(("This computer has not had one open there before.", ""))
        if isinstance(path, Path) and not is_something_at(path.parent):
            words.append(("Its folder is not there either: is a stick or a disk missing?", "out"))
        if isinstance(path, Path) and is_empty_file(path):
            words.append(("There is an empty file: what was in it is gone.", "out"))
        words.append(("It opens as soon as it is there.", ""))
        lines: list[Line] = [()]
        for text, style in words:
            lines += [((f"  {line}", style),) for line in wrap(text, width - 4)]
        for number, choice in ((1, "look elsewhere"), (2, "begin a new, empty journal there")):
            lines += [(), ((f"  {number} ", "key"), (f" {choice}", "bold"))]
        return lines[:room]

    def forget_chosen(self) -> None:
        """Forget that beginning one was chosen."""
        self._sure = False

    def do_digit(self, number: int) -> None:
        """Say how to look elsewhere, or begin one, once it was asked for twice."""
        if number == 1:
            self._sure = False
            self.say(
                "Leave with q, then name it: `shopboard --journal FILE`, or set SHOPBOARD_JOURNAL."
            )
        elif number == 2 and not self._sure:
            self._sure = True
            self.ask_once_more("2 once more begins an empty journal there.", "due")
        elif number == 2:
            self._sure = False
            try:
                self.board.begin_journal()
            except JournalError as error:
                self.refuse(f"{error.title} {error.advice}")

    def do_reload(self) -> None:
        """Look whether it is there now."""
        self._sure = False
        self.board.look_again()

    def do_quit(self) -> None:
        """Leave."""
        self.app.exit(return_code=JOURNAL)
