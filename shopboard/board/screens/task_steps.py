"""A task done step by step: one step a screen, on disk before the next; waits count down."""

from __future__ import annotations

from datetime import timedelta
from typing import ClassVar

from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE_TASK, UNDONE, Key
from shopboard.board.paint import Line
from shopboard.board.screens.sitting import SittingScreen
from shopboard.board.task_view import (
    LEAST,
    MORE,
    calls_words,
    caution_lines,
    minutes_words,
    step_lines,
    wait_lines,
)
from shopboard.checks.steps import Caution, Step
from shopboard.prep.pause import LONG
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.wait_watch import ran_over

TICK = 1.0
"""Seconds between looks at a wait's clock."""


class TaskStepsScreen(SittingScreen):
    """Asks for one step after the other."""

    sitting: TaskSitting
    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_TASK, UNDONE, HELP)
    pick = "press 1 when the plug is out"
    only_enter = "press Enter when the step is done"

    _goes_back = False
    """Whether the way back out of a wait that runs was asked for."""

    def on_mount(self) -> None:
        """Let the clock of a wait be seen to run, of its own or beside a set of tools."""
        self.set_interval(TICK, self._tick)

    def _tick(self) -> None:
        if (self.sitting.waits or self.sitting.task.each) and self.is_current:
            self.board.ring_when_over()
            self.repaint()

    def shows_wait(self, uid: str) -> bool:
        """Tell whether the wait begun with that entry is this task's."""
        begun = self.sitting.begun
        return begun is not None and begun.uid == uid

    def heading(self) -> str:
        """Name machine and task."""
        machine = self.open_shop.shop.machines_by_id.get(self.sitting.machine)
        return f"{machine.name if machine else self.sitting.machine} · {self.sitting.task.name}"

    def expects_quiet(self) -> bool:
        """Nothing is to be done while it waits, nor for a while after that."""
        return self.sitting.waits and self._seconds > -LONG / timedelta(seconds=1)

    @property
    def _seconds(self) -> float:
        return self.open_shop.seconds_left(self.sitting.begun) or 0.0

    @property
    def _at_most(self) -> float | None:
        """Give how long the wait that runs may last at the longest, minutes."""
        return self.sitting.task.steps[self.sitting.number - 2].at_most_minutes

    def drawn(self, step: Step, size: tuple[int, int]) -> list[Line]:
        """Draw the wait, the caution or the step."""
        task, number = self.sitting.task, self.sitting.number
        if self.sitting.waits:
            begun = self.sitting.begun
            wait = begun.wait if begun is not None else 0.0
            return wait_lines(task, number, self._seconds, size, wait, self.open_shop.now())
        if isinstance(step, Caution):
            return caution_lines(step, size[0])[: size[1]]
        return step_lines(task, number, size, self._presses())

    def _presses(self) -> str:
        """Say what has to be gone on with before the next tool of a set is done; empty: nothing.

        Between two tools nothing is half done: the day may go on elsewhere.
        """
        from shopboard.prep.past_closing import over_by
        from shopboard.prep.pieces import laid_down, minutes_of_part, stretches

        task, begun, now = self.sitting.task, self.sitting.begun, self.open_shop.now()
        done = begun.steps if begun is not None else 0
        if self.sitting.waits or self.sitting.done is not None or not laid_down(task, done):
            return ""
        takes = minutes_of_part(task, *stretches(task, done)[0])
        found = over_by(self.open_shop.standing, now + timedelta(minutes=takes))
        if found is None:
            return ""
        return calls_words(self.open_shop.shop.machines_by_id[found.machine].name, found, now)

    def do_go_on(self) -> None:
        """Take the step as done, or go on after a wait."""
        seconds = self._seconds
        if self.sitting.waits and seconds > 0:
            left = minutes_words(-(-seconds // 60) if seconds > 60 else seconds / 60)
            self.refuse(f"{left} left: 1 goes on now, 2 waits longer, 3 began sooner")
        else:
            super().do_go_on()

    def do_digit(self, number: int) -> None:
        """Say that the plug is out; cut a wait short, or make it longer."""
        begun = self.sitting.begun
        if begun is None or not self.sitting.waits or number > 3:
            super().do_digit(number)
        elif number == 1:
            self.give("")
        elif ran_over(begun.wait, self._seconds, self._at_most):
            if number == 3:
                self.do_back()
            else:
                self.refuse("Enter goes on, 3 does it again")
        elif number == 2:  # by so much than it is; one that is over, by so much from now
            self.give(str(begun.wait - min(self._seconds, 0.0) / 60 + MORE))
        elif self._seconds > 0:
            self.give(str(max(begun.wait - MORE, LEAST)))
        else:
            self.refuse(f"Enter goes on, 2 waits {MORE} minutes longer")

    def answered(self, step: Step | None) -> None:
        """Take in what was recorded; after the last step, go back."""
        if not isinstance(step, Caution):
            self.take_in()
        if self.sitting.done is not None:
            self.board.go_back_saying(f"Done and recorded: {self.sitting.task.name}.")
        elif not isinstance(step, Caution) and (presses := self._presses()):
            self.board.go_back_saying(f"Recorded. {presses}")

    def do_back(self) -> None:
        """Go back one step; out of a wait that runs the second time: its clock ends with that."""
        if self.sitting.waits and self._seconds > 0 and not self._goes_back:
            self._goes_back = True
            self.ask_once_more("The clock of this wait is lost with that. - once more goes back.")
            return
        self._goes_back = False
        super().do_back()
        self.take_in()

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        super().forget_chosen()
        self._goes_back = False

    def do_leave(self) -> None:
        """Leave the task; it can be gone on with."""
        words = "Nothing was begun."
        if self.sitting.begun is not None:
            words = "The task waits" + ("; its timer keeps running." if self.sitting.waits else ".")
        self.board.go_back_saying(words)

    def do_undone(self) -> None:
        """Leave the task undone for good; asks once."""
        self.discard(
            "Leave it undone, and begin anew another time? / or x once more.",
            "abandoned",
            "Abandoned.",
        )
