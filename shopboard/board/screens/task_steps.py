"""A task done step by step: one step a screen, on disk before the next; waits count down."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual import events

from shopboard.board.keys import BACK_STEP, GO_ON, HELP, LEAVE_TASK, UNDONE, Key
from shopboard.board.paint import Line
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.task_view import MORE, caution_lines, minutes_words, step_lines, wait_lines
from shopboard.checks.correction_steps import MANUAL
from shopboard.journal import JournalError
from shopboard.shop.machine import Task, TaskStep
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.begun import Begun

TICK = 1.0
"""Seconds between looks at a wait's clock."""

CAUTION = (  # common practice, no source
    "Hands come near the cutter. Nothing may turn, nothing may start.",
    "Edges cut at rest, too: keep fingers and cloths clear of them.",
    MANUAL,
)


class TaskStepsScreen(SteadyScreen):
    """Asks for one step after the other."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_TASK, UNDONE, HELP)

    def __init__(self, machine_id: str, task: Task, begun: Begun | None) -> None:
        super().__init__()
        self._machine_id = machine_id
        # One without steps is a single one; nothing of it is recorded before that is done.
        self._to_do = task if task.steps else task._replace(steps=(TaskStep(task.name),))
        self._begun = begun
        self._run: TaskSitting | None = None
        self._plug_is_out = False
        self._gives_up = False

    @property
    def run_of_task(self) -> TaskSitting:
        """The task under way."""
        if self._run is None:
            journal = self.open_shop.journal
            self._run = TaskSitting(journal, self._machine_id, self._to_do, self._begun)
        return self._run

    def on_mount(self) -> None:
        """Let the clock of a wait be seen to run."""
        self.set_interval(TICK, self._tick)

    def _tick(self) -> None:
        if self.run_of_task.waits and self.is_current:
            self.board.ring_when_over()
            self.repaint()

    def shows_wait(self, uid: str) -> bool:
        """Tell whether the wait begun with that entry is this task's."""
        begun = self.run_of_task.begun
        return begun is not None and begun.uid == uid

    def heading(self) -> str:
        """Name machine and task."""
        machine = self.open_shop.shop.machines_by_id.get(self._machine_id)
        return f"{machine.name if machine else self._machine_id} · {self._to_do.name}"

    @property
    def _must_unplug(self) -> bool:
        """Whether the plug must be out before the step is shown: asked once a sitting."""
        return self._to_do.cutter_near and not (self._plug_is_out or self.run_of_task.waits)

    @property
    def _seconds(self) -> float:
        return self.open_shop.seconds_left(self.run_of_task.begun) or 0.0

    def tagged(self) -> str:
        """Say why its machine is not to be used."""
        return self.tag_of(self._machine_id)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the wait, the caution or the step."""
        run = self.run_of_task
        if self._must_unplug:
            return caution_lines(run.begun is not None, CAUTION, width)[:room]
        if run.waits:
            return wait_lines(self._to_do, run.number, self._seconds, (width, room))
        if run.step is None:
            return []
        return step_lines(self._to_do, run.number, (width, room))

    def pressed(self, event: events.Key) -> None:
        """Forget what was to be confirmed when another key comes."""
        if event.key not in UNDONE.names:
            self._gives_up = False
        super().pressed(event)

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._gives_up = False

    def do_go_on(self) -> None:
        """Take the step as done, or go on after a wait."""
        run = self.run_of_task
        if self._must_unplug:
            self.refuse("press 1 when the plug is out")
            return
        if run.waits and self._seconds > 0:
            seconds = self._seconds
            left = minutes_words(-(-seconds // 60) if seconds > 60 else seconds / 60)
            self.refuse(f"{left} left: 1 goes on now, 2 waits {MORE} minutes longer")
            return
        if run.waits:
            self._end_wait(run)
        else:
            self._do(run.do_step)

    def do_digit(self, number: int) -> None:
        """Say that the plug is out; cut a wait short, or make it longer."""
        run = self.run_of_task
        if self._must_unplug:
            self._plug_is_out = number == 1
        elif run.waits and number == 1:
            self._end_wait(run)
        elif run.waits and number == 2:
            self._wait_longer(run)
        else:
            self.refuse("press Enter when the step is done")

    def _end_wait(self, run: TaskSitting) -> None:
        """Go on; after a long wait the plug's state is asked again."""
        self._plug_is_out = self._plug_is_out and not run.was_paused(self.open_shop.clock())
        self._do(run.end_wait)

    def _wait_longer(self, run: TaskSitting) -> None:
        """Make it longer by so much than it is; one that is over, by so much from now."""
        begun = run.begun
        if begun is not None:
            over = min(self._seconds, 0.0) / 60
            self._do(lambda: run.wait_until(begun.wait - over + MORE))

    def _do(self, record: Callable[[], None]) -> None:
        run = self.run_of_task
        try:
            record()
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        if run.done is not None:
            self.board.go_back_saying(f"Done, and on record: {self._to_do.name}.")

    def do_back(self) -> None:
        """Go back one step."""
        run = self.run_of_task
        try:
            if not run.back():
                self.refuse("this is the first step; Esc leaves")
        except JournalError as error:
            self.say_error(error)
        else:
            self.take_in()

    def do_leave(self) -> None:
        """Leave the task; it can be gone on with."""
        begun = self.run_of_task.begun is not None
        words = "The task waits; its clock runs on." if begun else "Nothing was begun."
        self.board.go_back_saying(words)

    def do_undone(self) -> None:
        """Leave the task undone for good; asks once."""
        if not self._gives_up:
            self._gives_up = True
            self.ask_once_more("Leave it undone, and begin anew another time? x once more.")
            return
        try:
            self.run_of_task.leave_undone("left undone")
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        self.board.go_back_saying("Left undone.")
