"""A safety round under way: one question a screen, every answer on disk before the next."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE_ROUND, Key
from shopboard.board.paint import Line
from shopboard.board.round_view import question_lines
from shopboard.board.screens.steady import SteadyScreen
from shopboard.checks.steps import AnswerError
from shopboard.journal import JournalError
from shopboard.sittings.safety_round import RoundSitting


class RoundScreen(SteadyScreen):
    """Asks the questions of a round."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_ROUND, HELP)

    def __init__(self, walked: RoundSitting) -> None:
        super().__init__()
        self._round = walked

    def heading(self) -> str:
        """Name what is looked at."""
        return f"{self._round.name}: safety round"

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self._round.tag or self.tag_of(self._round.machine)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the question."""
        step, walked = self._round.step, self._round
        if step is None:
            return []
        self.shows((walked.number, step.key))
        count = (walked.number, len(walked.questions))
        place = walked.number - 1
        before = [one for one in walked.answered if one[0] in walked.questions[:place]]
        return question_lines(step, count, before, (width, room))

    def do_digit(self, number: int) -> None:
        """Choose an answer."""
        if self.is_hasty():
            return
        self._answer(str(number))

    def do_go_on(self) -> None:
        """Take what Enter alone means, where it means something."""
        step = self._round.step
        if self.is_hasty():
            return
        if step is None or step.default is None:
            self.refuse("press the number of what you see")
        else:
            self._answer("")

    def take_choice_back(self) -> bool:
        """Go back to the question that two keys at once answered."""
        self.do_back()
        return True

    def _answer(self, text: str) -> None:
        self.takes_choice()
        try:
            self._round.answer(text)
        except AnswerError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        if self._round.step is None:
            self._leave(f"{self._round.name}: {self._round.summary}")

    def _leave(self, words: str) -> None:
        self.take_in()
        self.board.go_back_saying(words)

    def do_back(self) -> None:
        """Go back one question."""
        try:
            self._round.back()
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)

    def do_leave(self) -> None:
        """Leave the round; it can be gone on with."""
        self._leave("The round waits; it goes on at the same question.")
