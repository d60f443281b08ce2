"""A sitting walked on the screen: one step at a time, every answer on disk before the next."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from shopboard.board.field import FieldSort
from shopboard.board.keys import GO_ON, Key
from shopboard.board.paint import Line, said
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import AnswerError, Choice, Step
from shopboard.journal import JournalError
from shopboard.sittings.sitting import Sitting


class SittingScreen(TypingScreen):
    """Asks the steps of a sitting; what differs from one sort to the other is declared."""

    sitting: Sitting
    in_progress = True
    of_the_day = True
    pick: ClassVar[str] = "press the number of your answer"
    """What is said where a key is no answer to a choice."""
    only_enter: ClassVar[str] = "Enter goes on"
    """What is said where a number is none to a step that has no choice."""

    def __init__(self, sitting: Sitting) -> None:
        super().__init__()
        self.sitting = sitting
        self._discards = False
        """Whether the key that ends it waits to be struck once more."""
        self._others = ""
        """Who else went on with it, when the journal was last looked at."""
        self._looked_at: object = None
        """How the journal was then."""

    @property
    def field(self) -> FieldSort | None:
        """None: most steps are chosen."""
        return None

    def keys_now(self) -> tuple[Key, ...]:
        """Show no Enter where only the number of an answer goes on."""
        step = self.sitting.step
        chosen = isinstance(step, Choice) and step.default is None
        return tuple(key for key in self.keys if not (chosen and key is GO_ON))

    def repaint(self) -> None:
        """Draw anew; where the journal changed, look whether somebody else went on with it."""
        if self.open_shop.as_of != self._looked_at:
            self._looked_at = self.open_shop.as_of
            with suppress(JournalError):  # the next look says so
                self._others = self.sitting.others_did()
        super().repaint()

    def standing_notice(self) -> Line:
        """Say that somebody else went on with it."""
        if not self._others:
            return super().standing_notice()
        return ((said(f" ! {self._others} Esc leaves it here."), "out"),)

    def machine_here(self) -> str:
        """It is the one that is sat at."""
        return self.sitting.machine

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self.sitting.machine)

    def told(self) -> Sequence[str]:
        """Give what is said of the step."""
        return self.sitting.step.lines if self.sitting.step is not None else ()

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the step."""
        step = self.sitting.step
        if step is None:
            return []
        self.shows((self.sitting.number, step.key))
        return self.drawn(step, (width, room))

    def drawn(self, step: Step, size: tuple[int, int]) -> list[Line]:
        """Draw what is asked."""
        raise NotImplementedError

    def do_go_on(self) -> None:
        """Take what is typed, or the answer that Enter alone means."""
        step = self.sitting.step
        if not self._entry and self.is_hasty():
            return
        if isinstance(step, Choice) and step.default is None:
            self.refuse(self.pick)
        else:
            self.give(self._entry)

    def do_digit(self, number: int) -> None:
        """Choose an answer; where there is none to choose, say what goes on."""
        if self.is_hasty():
            return
        if isinstance(self.sitting.step, Choice):
            self.give(str(number))
        else:
            self.refuse(self.only_enter)

    def give(self, text: str) -> None:
        """Hand an answer in."""
        step = self.sitting.step
        if isinstance(step, Choice):
            self.takes_choice()
        try:
            self.sitting.answer(text)
        except AnswerError as error:
            self._refused = True
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)
        else:
            self.clear_field()
            self.answered(step)

    def answered(self, step: Step | None) -> None:
        """Say what follows from an answer that is on disk."""

    def take_choice_back(self) -> bool:
        """Go back to the choice that two keys at once answered."""
        if self.sitting.step is None:
            return False
        self.do_back()
        return True

    def do_back(self) -> None:
        """Go back one step; before the first one, leave."""
        if self.sitting.step is not None and not self.sitting.walk.answered:
            self.do_leave()
            return
        try:
            self.sitting.back()
        except AnswerError as error:
            self.refuse(f"{error}; Esc leaves, or its line under *")
        except JournalError as error:
            self.say_error(error)
        else:
            self.clear_field()

    def do_leave(self) -> None:
        """Leave it; what is answered waits."""
        raise NotImplementedError

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._discards = False

    def discard(self, question: str, why: str, said: str) -> None:
        """End it with what is done so far; the first time, ask.

        Args:
            question: asked before.
            why: is kept with its end.
            said: where it leads back to.
        """
        if not self._discards:
            self._discards = True
            self.ask_once_more(question)
            return
        try:
            self.sitting.discard(why)
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        self.board.go_back_saying(said)
