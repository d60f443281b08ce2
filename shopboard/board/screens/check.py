"""A check under way: one step a screen, every answer on disk before the next."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from datetime import datetime
from typing import TYPE_CHECKING, ClassVar, Protocol

from shopboard.base.state_words import state_word
from shopboard.base.who import by_words
from shopboard.board import doors
from shopboard.board.check_view import read_as, step_lines
from shopboard.board.field import FieldSort
from shopboard.board.keys import BACK_STEP, GIVE_UP_CHECK, GO_ON, LEAVE, WHY, Key
from shopboard.board.paint import Line
from shopboard.board.result_view import result_words
from shopboard.board.screens.sitting import SittingScreen
from shopboard.checks.steps import Choice, Finding, Number, Step, Words
from shopboard.journal import JournalError
from shopboard.metrology.units import by_unit
from shopboard.shop.machine import Point
from shopboard.sittings.check_sitting import NOTHING_MEASURED, CheckSitting
from shopboard.upkeep.tags import TAG_STEP

if TYPE_CHECKING:
    from shopboard.board.gauges_here import BesideField


def is_length(step: Step | None) -> bool:
    """Tell whether a step asks for a length, which a gauge may read."""
    return isinstance(step, Number) and not step.plain and not step.is_turns


class LeadsOn(Protocol):
    """What brought up a check, and leads on from it."""

    def onward(self, sitting: CheckSitting) -> Point | None:
        """Give the point that may be gone on to before the machine is cleared."""

    def check_closed(self, sitting: CheckSitting, last: datetime | None) -> None:
        """Lead on after its end; `last`: when something was recorded before its last answer."""


class CheckScreen(SittingScreen):
    """Asks the steps of a check."""

    sitting: CheckSitting
    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE, WHY, GIVE_UP_CHECK)

    def __init__(self, sitting: CheckSitting, about: str, leads_on: LeadsOn) -> None:
        """Ask.

        Args:
            sitting: the check.
            about: what it is about, in words.
            leads_on: knows what comes after it.
        """
        super().__init__(sitting)
        self._leads_on = leads_on
        self._beside: BesideField | None = None
        """What the gauge beside the field read when that was drawn."""
        self._about = about
        self._last: datetime | None = None
        """When something was recorded before the answer that is given now."""
        self._has_looked = False
        """Whether it is known which point may be gone on to before the machine is cleared."""

    def on_screen_resume(self) -> None:
        """Draw anew; the words of a tag that was cleared meanwhile are not asked for."""
        if not self.tagged():
            self.sitting.ask_no_more(TAG_STEP)
        self._look_ahead_in_time()

    def _look_ahead_in_time(self) -> None:
        """Look what comes after the check: before that is asked, else once the picture stands."""
        if self.sitting.is_at_close:
            self._look_ahead()
        elif not self._has_looked:
            self.call_after_refresh(self._look_ahead)

    def _look_ahead(self) -> None:
        """Look which point may be gone on to before the machine is cleared."""
        if self._has_looked or not self.is_attached:
            return
        try:
            point = self._leads_on.onward(self.sitting)
        except JournalError:
            return  # the machine is cleared then, where nothing can be read at its last step either
        self._has_looked = True
        self.sitting.following = point.name if point is not None else ""
        over = point is not None and point.machine != self.sitting.point.machine
        machines = self.open_shop.shop.machines_by_id
        self.sitting.changes_over = machines[point.machine].name if point and over else ""

    def heading(self) -> str:
        """Name machine and point."""
        return self._about

    def told(self) -> Sequence[str]:
        """Give what is said of the step; of a result what to turn, and its numbers."""
        step, job = self.sitting.step, self.sitting.job
        if not isinstance(step, Finding) or job is None:
            return super().told()
        return (*super().told(), *result_words(step.outcome, job))

    def understood(self) -> str:
        """Say it as it stands beside the field."""
        step = self.sitting.step
        return read_as(step, self._entry) if isinstance(step, Number) else ""

    def drawn(self, step: Step, size: tuple[int, int]) -> list[Line]:
        """Draw the step."""
        self._beside = self._gauge() if is_length(step) else None
        beside = self._beside.words if self._beside is not None else ""
        before, job = self.sitting.walk.answered, self.sitting.job
        return step_lines(step, before, job, self._entry, size, beside)

    def _gauge(self) -> BesideField | None:
        here = self.board.gauges()
        return here.read() if here is not None else None

    def gauge_moved(self) -> None:
        """Draw anew what stands beside the field once it is another reading."""
        if not is_length(self.sitting.step) or (now := self._gauge()) == self._beside:
            return
        silent = self._beside is None or self._beside.reading is None
        if silent and now is not None and now.reading is not None and not self._entry:
            self._take_complaint_back()  # it was that nothing was there to be taken
        self.repaint()

    def _take_complaint_back(self) -> None:
        """Take off the notice that an answer was refused."""
        if self._refused:
            self._notice, self._refused = (), False

    def sent_by_gauge(self, name: str, words: str) -> None:
        """Take a reading as what is typed; behind what a hand typed it is none."""
        if not is_length(self.sitting.step):
            super().sent_by_gauge(name, words)
        elif self.is_free():
            self._entry = words
            self.give(words)
            self.repaint()

    def do_go_on(self) -> None:
        """Take what is typed; of an empty field that no answer is usual in, what the gauge reads.

        It is the reading that is shown: one that came after it nobody has seen.
        """
        step, shown = self.sitting.step, self._beside
        asks = isinstance(step, Number) and step.default is None and not self._entry
        if asks and is_length(step) and shown is not None and shown.reading is not None:
            if not self.is_hasty():
                self.give(shown.reading.words)
        else:
            super().do_go_on()

    @property
    def field(self) -> FieldSort | None:
        """Number or words, where the step asks for them; in mm no fraction is read."""
        step = self.sitting.step
        if isinstance(step, Number):
            return "decimal" if step.plain else by_unit(step.unit, inch="number", mm="decimal")
        return "words" if isinstance(step, Words) else None

    def give(self, text: str) -> None:
        """Hand an answer in; what comes after the check goes by how long its last step took."""
        self._last = self.sitting.last_when
        super().give(text)

    def answered(self, step: Step | None) -> None:
        """Say what is recorded; after the last step lead on."""
        recorded = self._recorded(step)
        if recorded:
            self.take_in()
            self._has_looked = False
        self._look_ahead_in_time()
        if self.sitting.step is None:
            self.board.go_back_saying("The check is closed. Its results are on disk.")
            self._leads_on.check_closed(self.sitting, self._last)
        elif recorded:
            self.say(recorded, "true")

    def _recorded(self, step: Step | None) -> str:
        entry = self.sitting.recorded.get(step.key) if isinstance(step, Finding) else None
        if entry is None or not isinstance(step, Finding):
            return ""
        found = state_word(step.outcome.verdict or "")
        recorded = f"Recorded {entry.when.astimezone():%H:%M} {by_words(entry.by)}".rstrip()
        return f"{recorded}, {step.run}: {found}."

    def do_leave(self) -> None:
        """Leave the check; it can be gone on with."""
        words = "The check waits; 1 goes on with it."
        with suppress(JournalError):  # what cannot be closed now waits: nobody is held here
            if self.sitting.is_closed_there():
                words = "That check is closed. Its results stay."
            elif self.sitting.is_void:
                words = "A result that it went by was withdrawn: start it over."
            if self.sitting.leave() == NOTHING_MEASURED:
                words = "Nothing was measured: no check is left open."
                if self.sitting.carried:
                    words = f"{words} Take the tools off, guards back, then plug in."
        self.board.go_back_saying(words)

    def do_give_up(self) -> None:
        """Give the check up; the first time, ask."""
        clear = " Take the tools off, guards back, then plug in." if self._near_cutter else ""
        stays = " Its results stay." if self.sitting.recorded else ""
        question = f"Give this check up? / or x once more.{stays}"
        self.discard(question, "discarded", f"Given up: that check is closed.{clear}")

    @property
    def _near_cutter(self) -> bool:
        return self.sitting.point.cutter_near

    def do_why(self) -> None:
        """Show the working of the readings so far, or of the newest finding."""
        from shopboard.board.why_view import outcome_why

        step = self.sitting.step
        taken = self.sitting.walk.findings
        newest = taken[-1].outcome if taken else None
        shown = step.outcome if isinstance(step, Finding) else newest
        if isinstance(step, Choice) and step.so_far is not None:
            shown = step.so_far
        if shown is None:
            self.say("Nothing is worked out yet.")
            return
        lines = outcome_why(shown, self.sitting.job)
        self.app.push_screen(doors.WhyScreen(self._about, lines))
