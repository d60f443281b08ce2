"""A check under way: one step a screen, every answer on disk before the next."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from typing import ClassVar, Protocol

from textual import events

from shopboard.board import doors
from shopboard.board.check_view import step_lines
from shopboard.board.field import FieldSort
from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE, WHY, Key
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Words
from shopboard.journal import JournalError
from shopboard.shop.machine import Point
from shopboard.sittings.check import NOTHING_MEASURED, CheckSitting


class LeadsOn(Protocol):
    """What brought up a check, and leads on from it."""

    def onward(self, sitting: CheckSitting) -> Point | None:
        """Give the point that may be gone on to before the machine is cleared."""

    def check_closed(self, sitting: CheckSitting, last: datetime | None) -> None:
        """Lead on after its end; `last`: when something was recorded before its last answer."""


class CheckScreen(TypingScreen):
    """Asks the steps of a visit."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE, WHY, HELP)

    def __init__(self, sitting: CheckSitting, about: str, leads_on: LeadsOn) -> None:
        """Ask.

        Args:
            sitting: the check.
            about: what it is about, in words.
            leads_on: knows what comes after it.
        """
        super().__init__()
        self._leads_on = leads_on
        self._sitting = sitting
        self._about = about
        self._look_ahead()

    def _look_ahead(self) -> None:
        """Look which point may be gone on to before the machine is cleared."""
        point = self._leads_on.onward(self._sitting)
        self._sitting.following = point.name if point is not None else ""
        over = point is not None and point.machine != self._sitting.point.machine
        machines = self.open_shop.shop.machines_by_id
        self._sitting.changes_over = machines[point.machine].name if point and over else ""

    def heading(self) -> str:
        """Name machine and point."""
        return self._about

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._sitting.point.machine)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the step."""
        step = self._sitting.step
        if step is None:
            return []
        sitting = self._sitting
        self.shows((sitting.number, step.key))
        return step_lines(step, sitting.walk.answered, sitting.job, self._entry, (width, room))

    @property
    def field(self) -> FieldSort | None:
        """Number or words, where the step asks for them."""
        step = self._sitting.step
        return (
            "number" if isinstance(step, Number) else "words" if isinstance(step, Words) else None
        )

    def keys_now(self) -> tuple[Key, ...]:
        """While something is typed, show no letter that would go into the field.

        Nor Enter, where only the number of an answer does.
        """
        sort, step = self.field, self._sitting.step
        if sort is None:
            chosen = isinstance(step, Choice) and step.default is None
            return tuple(key for key in self.keys if not (chosen and key is GO_ON))
        kept = self.keys if sort == "number" else [key for key in self.keys if key is not WHY]
        return tuple(key._replace(label="*") if key is WHY else key for key in kept)

    def typed_key(self, event: events.Key, sort: FieldSort) -> bool:
        """Take a key into the field; the star asks why: no number has one."""
        star = sort == "number" and event.key in WHY.names[1:]
        return not star and super().typed_key(event, sort)

    def do_go_on(self) -> None:
        """Take what is typed, or the answer that Enter alone means."""
        step = self._sitting.step
        if not self._entry and self.is_hasty():
            return
        if isinstance(step, Choice) and step.default is None:
            self.refuse("press the number of your answer")
            return
        self._answer(self._entry)

    def do_digit(self, number: int) -> None:
        """Choose an answer; where there is none to choose, say what goes on."""
        if self.is_hasty():
            return
        if isinstance(self._sitting.step, Choice):
            self._answer(str(number))
        else:
            self.refuse("Enter goes on")

    def _answer(self, text: str) -> None:
        step, last = self._sitting.step, self._sitting.last_when
        if isinstance(step, Choice):
            self.takes_choice()
        try:
            self._sitting.answer(text)
        except AnswerError as error:
            self._refused = True
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self.clear_field()
        recorded = self._recorded(step)
        if recorded:
            self.take_in()
            self._look_ahead()
        if self._sitting.step is None:
            self.board.go_back_saying("The check is closed. Its results are on disk.")
            self._leads_on.check_closed(self._sitting, last)
        elif recorded:
            self.say(recorded, "true")

    def _recorded(self, step: object) -> str:
        if not isinstance(step, Finding):
            return ""
        entry = self._sitting.recorded.get(step.key)
        if entry is None:
            return ""
        return f"Recorded {entry.when.astimezone():%H:%M}, {step.run}: {step.outcome.verdict}."

    def take_choice_back(self) -> bool:
        """Go back to the choice that two keys at once answered."""
        self.do_back()
        return True

    def do_back(self) -> None:
        """Go back one step."""
        try:
            self._sitting.back()
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)
        else:
            self.clear_field()

    def do_leave(self) -> None:
        """Leave the check; it can be gone on with."""
        words = "The check waits; 1 goes on with it."
        with suppress(JournalError):  # what cannot be closed now waits: nobody is held here
            if self._sitting.is_void:
                words = "A result that it went by was taken back: begin it anew."
            if self._sitting.leave() == NOTHING_MEASURED:
                words = "Nothing was measured: no check is left open."
                if self._sitting.carried:
                    words = f"{words} Take the tools off, guards back, then plug in."
        self.board.go_back_saying(words)

    def do_why(self) -> None:
        """Show the working of the readings so far, or of the newest finding."""
        from shopboard.board.why_view import outcome_why

        step = self._sitting.step
        taken = self._sitting.walk.findings
        newest = taken[-1].outcome if taken else None
        shown = step.outcome if isinstance(step, Finding) else newest
        if isinstance(step, Choice) and step.so_far is not None:
            shown = step.so_far
        if shown is None:
            self.say("Nothing is worked out yet.")
            return
        lines = outcome_why(shown, self._sitting.job)
        self.app.push_screen(doors.WhyScreen(self._about, lines))
