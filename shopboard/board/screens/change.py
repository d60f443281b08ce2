"""A change of cutter under way: one step a screen, each on disk before the next."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board import doors
from shopboard.board.check_view import step_lines
from shopboard.board.keys import ALSO, BACK, BACK_STEP, GIVE_UP, GO_ON, HELP, LEAVE_CHANGE, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.prep_day import prep_day_begun
from shopboard.board.screens.sitting import SittingScreen
from shopboard.checks.steps import Choice, Step
from shopboard.shop.machine import Point
from shopboard.sittings.cutter_change import GIVEN_UP, CutterSitting
from shopboard.standing.next_checks import first_due
from shopboard.upkeep.changing import change_words
from shopboard.upkeep.undone import below, first_of, to_check, undone_at


class ChangeScreen(SittingScreen):
    """Asks the steps of a change; at its end, offers the first check that it made due."""

    sitting: CutterSitting
    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_CHANGE, GIVE_UP)

    def heading(self) -> str:
        """Name the machine and what is under way."""
        job = self.sitting.job
        machine = self.open_shop.shop.machines_by_id.get(job.machine_id)
        name = machine.name if machine else job.machine_id
        return f"{name} · {change_words(job.called or job.kind, job.act)}"

    def keys_now(self) -> tuple[Key, ...]:
        """Show no way back into a change that is recorded, nor out of it."""
        return (GO_ON, BACK, ALSO, HELP) if self._is_recorded else super().keys_now()

    @property
    def _is_recorded(self) -> bool:
        return self.sitting.step is None

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the step, or what was recorded."""
        if not self._is_recorded:
            return super().body(width, room)
        self.shows("recorded")
        return self._recorded(width)[:room]

    def drawn(self, step: Step, size: tuple[int, int]) -> list[Line]:
        """Draw the step."""
        return step_lines(step, self.sitting.walk.answered, None, "", size)

    def _undone(self) -> list[Point]:
        return undone_at(self.open_shop.shop, self.sitting.machine, self.sitting.happened)

    def _first(self) -> Point | None:
        first = first_of(self._undone(), self.open_shop.shop.points)
        return first and first_due(self.open_shop.standing, first)

    @property
    def _of_a_day(self) -> bool:
        """Whether a prep day is in progress: its plan says what is next."""
        return prep_day_begun(self.open_shop) is not None

    def _recorded(self, width: int) -> list[Line]:
        """Say what was recorded, what it made due, and what to check first."""
        happened, shop = self.sitting.happened, self.open_shop.shop
        points, first, every = self._undone(), self._first(), shop.points
        name = said(first.name) if first else ""
        carries = first and any(first.full_name in below(point, every) for point in points)
        names = to_check(shop, self.sitting.machine, happened)
        words = [
            said(f"Recorded: {self._what_was_done()}."),
            said(f"To check: {', '.join(names)}."),
        ]
        if len(names) > 1 or points != [first]:
            words.append(f"First: {name}{', which others of them depend on' if carries else ''}.")
        lines: list[Line] = [()]
        for number, sentence in enumerate(words):
            style = "" if number else "bold"
            lines += [((f"  {text}", style),) for text in wrap(sentence, width - 4, 4)]
        lines.append(())
        nexts = (f"check {name} now (or Enter)", "later: the board will show it")
        if self._of_a_day:
            nexts = ("go on with the plan (or Enter)", f"check {name} now")
        for number, label in enumerate(nexts, 1):
            lines.append(((f"  {number} ", "key"), (f" {label}", "bold")))
        return lines

    def _what_was_done(self) -> str:
        job = self.sitting.job
        return f"{job.off} cleaned, on again" if job.act == "clean" else self.sitting.happened

    def do_go_on(self) -> None:
        """Take the answer that Enter alone means; at the end, go on with what is first."""
        if self._is_recorded:
            self.do_digit(1)
        else:
            super().do_go_on()

    def do_digit(self, number: int) -> None:
        """Choose an answer, or at the end what comes next."""
        if self._is_recorded:
            if not self.is_hasty():
                self._next(number)
        elif isinstance(self.sitting.step, Choice):
            super().do_digit(number)

    def answered(self, step: Step | None) -> None:
        """After the last step, look at what it changed."""
        if self._is_recorded:
            self.board.look_again()
            if self._first() is None:
                self._close()

    def _close(self) -> None:
        self.board.go_back_saying("The change is recorded.")

    def _next(self, number: int) -> None:
        """Open the first check, or go back; in a prep day to its plan."""
        first, of_a_day = self._first(), self._of_a_day
        if number == 1 and of_a_day:
            self._close()
            if not isinstance(self.app.screen, doors.PrepScreen):
                self.app.push_screen(doors.PrepScreen())
        elif number == 1 + of_a_day and first is not None:
            screen = doors.PointScreen(first.full_name)
            self.app.pop_screen()
            self.app.push_screen(screen)
            screen.call_after_refresh(screen.choose, 1)
        elif number == 2:
            self._close()
        else:
            self.refuse("there is no such line")

    def do_back(self) -> None:
        """Go back one step."""
        if self._is_recorded:
            self._close()
        else:
            super().do_back()

    def do_leave(self) -> None:
        """Leave the change; it can be gone on with."""
        if self._is_recorded:
            self._close()
        elif self.sitting.is_open:
            of_plan = isinstance(self.app.screen_stack[-2], doors.PrepScreen)
            way = "its line in the plan" if of_plan else "0 on the list of cutters"
            self.board.go_back_saying(f"The change waits: {way} goes on with it.")
        else:
            self.app.pop_screen()

    def do_give_up(self) -> None:
        """Give the change up; the first time, ask."""
        if self._is_recorded:
            self.refuse("it is recorded; v on the cutter's screen withdraws it")
            return
        self.discard(
            "Is everything on the machine as it was? / or x once more gives the change up.",
            GIVEN_UP,
            "Given up; no change is recorded.",
        )
