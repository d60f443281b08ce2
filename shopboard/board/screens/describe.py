"""A shop is described: one question at a time, each answer on disk before the next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events

from shopboard.board.amount import one_step
from shopboard.board.describe_view import SoFar, question_lines
from shopboard.board.field import FieldSort
from shopboard.board.frame import bar
from shopboard.board.keys import (
    BACK_ANSWER,
    DOWN,
    GO_ON,
    HELP,
    LEAVE_DESCRIBING,
    MINUS,
    MORE,
    UP,
    Key,
)
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import AnswerError
from shopboard.describing.asked import Ticks, Typed, as_ticks
from shopboard.describing.description import Description
from shopboard.describing.draft import DraftError

_ROOMY = 76
"""Columns of a bar that has room for whole words."""


class DescribeScreen(TypingScreen):
    """Asks what the shop file is made of; Enter takes what is offered."""

    makes_the_file = True
    keys: ClassVar[tuple[Key, ...]] = (GO_ON, MORE, UP, DOWN, BACK_ANSWER, LEAVE_DESCRIBING, HELP)

    def __init__(self, description: Description) -> None:
        super().__init__()
        self._description = description
        self._ticks: set[str] = set()
        self._offered = ""
        """What Enter takes."""
        self._begin_question()
        if description.resumed:
            words = "Going on where you left off; - goes back through the answers."
            self._notice = ((words, "bold"),)

    def _begin_question(self) -> None:
        """Set up what the question now asked begins with."""
        question = self._description.question
        self.clear_field()
        self._cursor = 0
        self._ticks = set(question.ticked) if isinstance(question, Ticks) else set()
        self._offered = "" if question is None else question.default or ""
        self._left = self._description.left()

    def top(self, width: int) -> Line:
        """Say what it is about, and how much is left."""
        left, right = self._left, ""
        if left is not None:
            many = " questions" if width >= _ROOMY else ""
            right = f"at least {left} more{many}" if left > 1 else "the last one"
        part = self._description.stand.part
        return bar(f"Describe my shop{f': {part}' if part else ''}", right, width)

    def heading(self) -> str:
        """Say what it is about."""
        return "Describe my shop"

    def told(self) -> Sequence[str]:
        """Give what is asked."""
        question = self._description.question
        return () if question is None else (question.title, *filter(None, question.lines))

    @property
    def field(self) -> FieldSort | None:
        """What is typed is words: there is nothing below zero to be typed, so - goes back."""
        return "words" if isinstance(self._description.question, Typed) else None

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the question."""
        question = self._description.question
        if question is None:
            return []
        self.shows((len(self._description.draft.answers), question.key))
        given = SoFar(self._entry, self._offered, self._ticks, self._cursor)
        return question_lines(question, given, (width, room))

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for further lines where there are more than nine, and none that is typed."""
        question = self._description.question
        listed = 0 if question is None or isinstance(question, Typed) else len(question.options)
        return without_more(self.keys, listed)

    def typed_key(self, event: events.Key, sort: FieldSort) -> bool:
        """Take a key into the field; a digit begins anew after a refusal, + and - step it."""
        char = "-" if event.key in MINUS else event.character or ""
        question = self._description.question
        if isinstance(question, Typed) and question.behind and char and char in "+-":
            told = self._entry or (self._offered if char == "+" else "")
            if (made := one_step(told, char)) is not None:
                self._entry = made
                return True
        number = isinstance(question, Typed) and bool(question.behind)
        number = number or not any(map(str.isalpha, self._entry))
        if self._refused and number and (char.isdigit() or char in "-."):
            self._entry = ""  # it begins anew; of words no letter is lost
        return super().typed_key(event, sort)

    def do_more(self) -> None:
        """Number the next nine lines."""
        question = self._description.question
        if question is not None and not isinstance(question, Typed):
            self._cursor = next_nine(self._cursor, len(question.options))

    def do_up(self) -> None:
        """Move to the line above, to read all that stands beside it."""
        self._cursor = max(0, self._cursor - 1)

    def do_down(self) -> None:
        """Move to the line below."""
        question = self._description.question
        lines = 1 if question is None or isinstance(question, Typed) else len(question.options)
        self._cursor = min(self._cursor + 1, lines - 1)

    def do_go_on(self) -> None:
        """Take what is typed or ticked, or what is offered."""
        if not self._entry and self.is_hasty():
            return
        ticks = isinstance(self._description.question, Ticks)
        self._give(as_ticks(sorted(self._ticks)) if ticks else self._entry or self._offered)

    def do_digit(self, number: int) -> None:
        """Choose or tick a line."""
        question = self._description.question
        if question is None or isinstance(question, Typed) or self.is_hasty():
            return
        line = line_of(number, self._cursor)
        if line >= len(question.options):
            self.refuse("there is no such line")
        elif isinstance(question, Ticks):
            self._cursor = line
            self._ticks ^= {question.options[line].value}
        else:
            self.takes_choice()
            self._give(question.options[line].value)

    def _give(self, text: str) -> None:
        """Hand an answer in."""
        try:
            self._description.answer(text)
        except AnswerError as error:
            self._refused = True
            self.refuse(str(error))
        except DraftError as error:
            self.refuse(f"NOT TAKEN: {error}. The same key tries again.")
        else:
            self._goes_on()

    def _goes_on(self) -> None:
        if self._description.question is not None:
            self._begin_question()
        else:
            self._write()

    def _write(self) -> None:
        """Write the file; where that cannot be, the question before stands again."""
        from shopboard.board.describing import write_described

        if not write_described(self, self._description):
            words = self._notice
            self.do_back()
            self._notice = words

    def take_choice_back(self) -> bool:
        """Go back to the choice that two keys at once answered."""
        self.do_back()
        return True

    def do_back(self) -> None:
        """Go back to the answer before; what was ticked there is ticked. At the first, leave."""
        if not self._description.stand.answered:
            self.do_leave()
            return
        try:
            self._description.back()
        except DraftError as error:
            self.refuse(f"{error}. The same key tries again.")
            return
        self._begin_question()

    def do_leave(self) -> None:
        """Leave; the answers wait."""
        self._description.close()
        self.app.pop_screen()
