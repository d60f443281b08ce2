"""The results of a point under a cursor: their working, a note about one, one withdrawn."""

from __future__ import annotations

from shopboard.board import doors
from shopboard.board.keys import GRAPH, NOTE_RESULT, OPEN, VOID, WHY, Key
from shopboard.board.screens.steady import SteadyScreen
from shopboard.results.record import CheckRecord
from shopboard.results.remarks import note_result

_ABOVE = 9
"""Rows that are never results: the bars, the state in large letters, the choices."""


class ResultsScreen(SteadyScreen):
    """A screen that shows the results of a point; it declares the keys."""

    _leads = ""
    """Where Enter leads, as the body says it; empty: to what the cursor is on."""

    def __init__(self, full_name: str) -> None:
        super().__init__()
        self._full_name = full_name
        self._read: tuple[object, int, list[CheckRecord]] = (None, 0, [])

    def keys_now(self) -> tuple[Key, ...]:
        """Leave out what is done with a result where there is none."""
        _, _, history = self._read  # as the body found it: a look at the journal may fail here
        idle = () if history else (WHY, GRAPH, VOID, NOTE_RESULT)
        keys = (key for key in self.keys if key not in idle)
        return tuple(self._leading(key) if key.action == OPEN.action else key for key in keys)

    def _leading(self, enter: Key) -> Key:
        """Name Enter by where it leads."""
        if not self._leads:
            return enter
        word = "back" if self._leads == "back" else "go on"
        return enter._replace(word=word, help="Go on to the next check, or back.")

    def _history(self) -> list[CheckRecord]:
        """Give the results, read once until anything is recorded or more of them are wanted.

        The cursor is on one of them then.

        Raises:
            JournalError: when the journal cannot be read.
        """
        standing, wanted = self.open_shop.standing, self._cursor + self.size.height - _ABOVE
        read_for, read, found = self._read
        if read_for is not standing or read < wanted:
            found = self.open_shop.history(self._full_name, wanted)
            self._read = (standing, wanted, found)
        self._cursor = min(self._cursor, max(len(found) - 1, 0))
        return found

    def do_why(self) -> None:
        """Show the working of the result under the cursor."""
        history = self._history()
        if not history:
            self.say("There is no result yet.")
            return
        from shopboard.board.why_view import record_why

        lines = record_why(history[self._cursor], self.open_shop.shop.unit)
        self.app.push_screen(doors.WhyScreen(self.heading(), lines))

    def do_graph(self) -> None:
        """Show the point through the years."""
        self.app.push_screen(doors.PlotScreen(self._full_name, self.heading()))

    def do_note(self) -> None:
        """Note something about the result under the cursor."""
        history = self._history()
        if not history:
            self.refuse("there is no result yet to note anything about")
            return
        from shopboard.board.questions import about_result

        record = history[self._cursor]
        screen = doors.AskScreen(
            record.machine,
            self.heading(),
            about_result(record, self.open_shop.shop.unit),
            lambda words: self._noted(record, str(words)),
        )
        self.app.push_screen(screen)

    def _noted(self, record: CheckRecord, words: str) -> None:
        if self.recorded(
            ("remark", record.uid, words),
            lambda uid: note_result(self.open_shop.journal, record, words, uid),
        ):
            self.board.go_back_saying("Noted with the result.")

    def do_void(self) -> None:
        """Withdraw the result under the cursor."""
        history = self._history()
        if not history or history[self._cursor].void is not None:
            self.refuse("there is no result here to withdraw")
            return
        self.app.push_screen(doors.VoidScreen(history[self._cursor]))
