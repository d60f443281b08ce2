"""A check under way: one step a screen, every answer on disk before the next."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from shopboard.board.check_view import step_lines
from shopboard.board.field import noted, pasted, typed
from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE, MINUS, WHY, Key
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Words
from shopboard.journal import JournalError
from shopboard.visit import Visit


class CheckScreen(ShopScreen):
    """Asks the steps of a visit."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE, WHY, HELP)

    def __init__(self, visit: Visit, about: str) -> None:
        super().__init__()
        self._visit = visit
        self._about = about
        self._entry = ""
        self._refused = False
        """What is in the field was refused: a number that is typed next takes its place."""

    def heading(self) -> str:
        """Name machine and point."""
        return self._about

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._visit.point.machine)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the step."""
        step = self._visit.step
        if step is None:
            return []
        visit = self._visit
        return step_lines(step, visit.walk.answered, visit.job, self._entry, (width, room))

    def pressed(self, event: events.Key) -> None:
        """Type into the field where there is one; drop a key that bounced."""
        step = self._visit.step
        typing = isinstance(step, Number | Words)
        twice = isinstance(step, Number) and event.key in MINUS  # a sign, or a step back
        if self.bounced and (twice or not typing):
            return
        if typing and self._typed(event):
            self._notice = ()
            self.repaint()
            return
        super().pressed(event)

    def _typed(self, event: events.Key) -> bool:
        """Take a key into the field; False when it is not meant for it."""
        if event.key in WHY.names[1:] and isinstance(self._visit.step, Number):
            return False  # no number has a star in it
        if event.key == "backspace":
            self._refused = False
            self._entry = self._entry[:-1]
            return True
        if event.key == "ctrl+u":
            self._entry = ""
            return True
        char = "-" if event.key in MINUS else event.character  # the pad's minus may have none
        if self._refused and isinstance(self._visit.step, Number):
            # A new number takes its place; a unit is put behind it.
            self._entry = "" if char and char in "0123456789.-" else self._entry
            self._refused = False
        goes_back = char == "-" and self._entry == self._goes_back_from()
        words = isinstance(self._visit.step, Words)
        asks_for_help = char == "?" and not (words and self._entry)
        if not char or not char.isprintable() or asks_for_help or goes_back:
            return False
        more = (noted if words else typed)(self._entry, char)
        if more is None:
            self.app.bell()
        self._entry = more if more is not None else self._entry
        return True

    def _goes_back_from(self) -> str:
        """Give what the field holds where minus goes back a step.

        Where a number may be below zero, the first minus is its sign; the second one goes back.
        """
        step = self._visit.step
        return "-" if isinstance(step, Number) and step.above < 0 else ""

    def on_paste(self, event: events.Paste) -> None:
        """Take the first characters of a pasted text."""
        step = self._visit.step
        if isinstance(step, Number | Words):
            self._entry = pasted(self._entry, event.text, words=isinstance(step, Words))
            self.repaint()

    def do_go_on(self) -> None:
        """Take what is typed, or the answer that Enter alone means."""
        step = self._visit.step
        if isinstance(step, Choice) and step.default is None:
            self.refuse("press the number of your answer")
            return
        self._answer(self._entry)

    def do_digit(self, number: int) -> None:
        """Choose an answer; where there is none to choose, say what goes on."""
        if isinstance(self._visit.step, Choice):
            self._answer(str(number))
        else:
            self.refuse("Enter goes on")

    def _answer(self, text: str) -> None:
        step = self._visit.step
        try:
            self._visit.answer(text)
        except AnswerError as error:
            self._refused = True
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self._entry = ""
        recorded = self._recorded(step)
        if self._visit.step is None:
            self.board.go_back_saying("The check is closed. Its results are on disk.")
        elif recorded:
            self.say(recorded, "true")

    def _recorded(self, step: object) -> str:
        if not isinstance(step, Finding):
            return ""
        entry = self._visit.recorded.get(step.key)
        if entry is None:
            return ""
        return f"Recorded {entry.when.astimezone():%H:%M}, {step.run}: {step.outcome.verdict}."

    def do_back(self) -> None:
        """Go back one step."""
        try:
            self._visit.back()
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)
        else:
            self._entry = ""

    def do_leave(self) -> None:
        """Leave the check; it can be gone on with."""
        self.board.go_back_saying("The check waits; 1 goes on with it.")

    def do_why(self) -> None:
        """Show the working of the newest finding."""
        from shopboard.board.screens.why import WhyScreen, outcome_why

        step = self._visit.step
        taken = self._visit.walk.findings
        shown = step if isinstance(step, Finding) else taken[-1] if taken else None
        if shown is None:
            self.say("Nothing is worked out yet.")
            return
        lines = outcome_why(shown.outcome, self._visit.job.unit)
        self.app.push_screen(WhyScreen(self._about, lines))
