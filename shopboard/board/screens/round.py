"""A safety round under way: one question a screen, every answer on disk before the next."""

from __future__ import annotations

from typing import ClassVar, cast

from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE_ROUND, Key
from shopboard.board.paint import Line
from shopboard.board.round_view import question_lines
from shopboard.board.screens.sitting import SittingScreen
from shopboard.checks.steps import Choice, Step
from shopboard.sittings.safety_round import RoundSitting


class RoundScreen(SittingScreen):
    """Asks the questions of a round."""

    sitting: RoundSitting
    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_ROUND, HELP)
    pick = "press the number of what you see"

    def heading(self) -> str:
        """Name what is looked at."""
        return f"{self.sitting.name}: daily safety walk"

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.sitting.tag or super().tagged()

    def drawn(self, step: Step, size: tuple[int, int]) -> list[Line]:
        """Draw the question."""
        number, questions = self.sitting.number, self.sitting.questions
        before = [one for one in self.sitting.answered if one[0] in questions[: number - 1]]
        return question_lines(cast("Choice", step), (number, len(questions)), before, size)

    def answered(self, step: Step | None) -> None:
        """After the last question, say what was answered."""
        if self.sitting.step is None:
            self._leave(f"{self.sitting.name}: {self.sitting.summary}")

    def _leave(self, words: str) -> None:
        self.take_in()
        self.board.go_back_saying(words)

    def do_leave(self) -> None:
        """Leave the round; it can be gone on with."""
        self._leave("The walk waits; it goes on at the same question.")
