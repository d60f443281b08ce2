"""The tag of a machine: put it up with a reason, clear it with a reason."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from shopboard.board.field import edited, pasted
from shopboard.board.keys import BACK, GO_ON, HELP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.tag_view import choice_lines, large_tag_lines, past_lines, why_lines
from shopboard.checks.steps import AnswerError
from shopboard.journal import JournalError
from shopboard.shop.model import Machine
from shopboard.upkeep.safety_record import DO_NOT_USE, tag_words
from shopboard.upkeep.tags import CLEARED, REASONS, clear_tag, newest_tags, record_tag

_OWN = "in my own words"


class TagScreen(SteadyScreen):
    """A short list of reasons. One key puts the tag up; the same key twice clears it."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK, HELP)

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine
        self._chosen = 0
        self._entry: str | None = None
        """What is typed so far; None: no words are asked for."""

    @property
    def _tag(self) -> str:
        standing = self.desk.standing.of_machine(self._machine.id)
        return standing.tag if standing else ""

    def heading(self) -> str:
        """Name the machine."""
        return f"{self._machine.name}: {'clear its tag' if self._tag else f'tag it {DO_NOT_USE}'}?"

    def body(self, width: int, room: int) -> list[Line]:
        """Show the tag, the reasons, and what is on record."""
        tag, now = self._tag, self.desk.now()
        past = newest_tags(self._machine.id, self.desk.journal)
        lines: list[Line] = [()]
        if tag:
            lines = [*large_tag_lines([]), *why_lines(tag, width), ()]
        asked = "What was put right?" if tag else "Why must nobody use it?"
        if self._entry is not None:
            lines += [((f"  {asked}", "bold"),), ()]
            lines.append((("  > ", "bold"), (f"{self._entry[-(width - 6) :]}_", "bold")))
        else:
            lines += choice_lines(asked, self._reasons(), self._chosen, _OWN, width)
        told = [(one.when, bool(tag_words(one)), str(one.body.get("why", ""))) for one in past]
        lines += [(), *past_lines(told, now, width)]
        return lines[:room]

    def _reasons(self) -> tuple[str, ...]:
        return CLEARED if self._tag else REASONS

    def do_digit(self, number: int) -> None:
        """Put the tag up; clear it when the same digit comes twice."""
        reasons = self._reasons()
        if number > len(reasons) + 1:
            self.refuse("there is no such line")
        elif number == len(reasons) + 1:
            self._entry = ""
        elif self._tag and self._chosen != number:
            self._chosen = number
            self.say(f"{reasons[number - 1]}: press {number} once more to clear the tag.")
        else:
            self._record(reasons[number - 1])

    def _record(self, why: str) -> None:
        machine, journal, tagged = self._machine, self.desk.journal, bool(self._tag)
        try:
            (clear_tag if tagged else record_tag)(machine.id, why, journal)
        except AnswerError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        self.board.go_back_saying(
            f"{machine.name}: the tag is cleared." if tagged else f"{machine.name}: {DO_NOT_USE}."
        )

    def pressed(self, event: events.Key) -> None:
        """Type into the field while words are asked for; hand other keys on."""
        if self._entry is not None and self._typed(event):
            self._notice = ()
            self.repaint()
            return
        super().pressed(event)

    def _typed(self, event: events.Key) -> bool:
        entry = edited(self._entry or "", event.key, event.character, words=True)
        if entry is None:
            return False
        if entry == self._entry:
            self.app.bell()
        self._entry = entry
        return True

    def on_paste(self, event: events.Paste) -> None:
        """Take the first characters of a pasted text."""
        if self._entry is not None:
            self._entry = pasted(self._entry, event.text, words=True)
            self.repaint()

    def do_go_on(self) -> None:
        """Take the words that are typed."""
        if self._entry is None:
            self.refuse("press the number of a reason")
        else:
            self._record(self._entry)

    def do_back(self) -> None:
        """Leave the field, or the screen."""
        if self._entry is None:
            super().do_back()
        else:
            self._entry = None
