"""Glue up on hold all the same: why, by a digit or in words of one's own."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from shopboard.board.asked import asked_lines
from shopboard.board.field import FieldSort, field_lines
from shopboard.board.keys import BACK, GO_ON, HELP, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.typing import TypingScreen
from shopboard.board.tag_view import choice_lines
from shopboard.checks.steps import AnswerError, Words
from shopboard.journal import JournalError
from shopboard.prep.decided import REASONS, decide, standing_decision
from shopboard.prep.glue_up import GlueUpAnswer

_OWN = "in my own words"
_ASKED = "Why go on all the same?"
_RECORDED = "It is recorded as your decision, with the reason for the HOLD, which stays a HOLD."


class AnywayScreen(TypingScreen):
    """A short list of reasons; a digit records the decision."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK, HELP)

    def __init__(self, found: GlueUpAnswer) -> None:
        super().__init__()
        self._found = found
        self._in_own_words = False

    def heading(self) -> str:
        """Name the joint."""
        return f"{self._found.joint.name}: glue it up on HOLD?"

    def told(self) -> Sequence[str]:
        """Give what holds it up, what is asked, and what comes of it."""
        return (*(one.words for one in self._found.told), _ASKED, _RECORDED)

    def body(self, width: int, room: int) -> list[Line]:
        """Show what holds it up, and the reasons."""
        lines: list[Line] = [()]
        for one in self._found.told:
            lines += [((f"  {words}", "near"),) for words in wrap(said(one.words), width - 4, 3)]
        lines.append(())
        if self._in_own_words:
            lines += [*asked_lines(_ASKED, (width, room)), ()]
            lines += field_lines(self._entry, "", width)
        else:
            lines += choice_lines(_ASKED, REASONS, 0, _OWN, (width, room))
        lines += [(), *(((f"  {one}", "dim"),) for one in wrap(_RECORDED, width - 4))]
        return lines[:room]

    def keys_now(self) -> tuple[Key, ...]:
        """Show no Enter where only the number of a reason goes on."""
        return tuple(key for key in self.keys if self._in_own_words or key is not GO_ON)

    @property
    def field(self) -> FieldSort | None:
        """Words, when none of the reasons will do."""
        return "words" if self._in_own_words else None

    def on_screen_resume(self) -> None:
        """Draw anew; from here on it can be read."""
        self.shows_anew()

    def do_digit(self, number: int) -> None:
        """Record it with a reason of the list, or ask for words."""
        if self.is_hasty():
            return
        if number > len(REASONS) + 1:
            self.refuse("there is no such line")
        elif number == len(REASONS) + 1:
            self._in_own_words = True
            self.clear_field()
        else:
            self._record(REASONS[number - 1])

    def do_go_on(self) -> None:
        """Take the words that are typed."""
        if not self._in_own_words:
            self.refuse("press the number of a reason")
            return
        try:
            self._record(Words(key="why", title="").accept(self._entry))
        except AnswerError as error:
            self.refuse(str(error))

    def _record(self, why: str) -> None:
        if not self.recorded(
            ("glue-up", self._found.joint.full_name, why),
            lambda uid: decide(self.open_shop.journal, self._found, why, uid),
        ):
            return
        self.take_in()
        decided = None
        with suppress(JournalError):  # it is on record: what cannot be read now takes nothing back
            decided = standing_decision(self.open_shop.journal, self._found.joint)
        self.board.go_back_saying(f"On record: {decided.words if decided else why}.")

    def do_back(self) -> None:
        """Leave the field, or the screen."""
        if not self._in_own_words:
            super().do_back()
        else:
            self._in_own_words = False
