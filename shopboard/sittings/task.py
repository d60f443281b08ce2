"""A task with steps being done, durable step by step; a wait runs on meanwhile.

The newest of its entries says how many steps are done and how long it must still be left alone. Its
time is the clock of the wait after that step.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.steps import AnswerError, Caution, Do, Option, Step
from shopboard.checks.walk import Walk
from shopboard.journal import Entry, NewEntry, Store, kinds, new_uid
from shopboard.journal.kinds import TASK_BEGIN, TASK_END, TASK_STEP, Did, TaskBegun, TaskStepDone
from shopboard.shop.machine import Task, TaskStep
from shopboard.sittings.sitting import Sitting, ToRecord
from shopboard.upkeep.begun import DONE, LONGEST_WAIT, Begun, begun_after, begun_by
from shopboard.upkeep.task_marks import new_task

OVER = "over"
"""Answer to a wait: it was long enough."""


@dataclass(frozen=True, kw_only=True)
class WaitStep(Step):
    """Nothing is to be done for a while; it is cut short, or made longer."""

    def accept(self, text: str) -> str:
        """Take that it is over, or how many minutes it takes from its start."""
        if text in ("", OVER):
            return OVER
        try:
            return f"{round(min(max(float(text), 0.0), LONGEST_WAIT), 3)}"
        except ValueError:
            raise AnswerError("say that it is over, or how many minutes it takes") from None


def unplug(*, again: bool) -> Caution:
    """Ask for the plug's state before hands come near a cutter."""
    return Caution(
        key="unplugged again" if again else "unplugged",
        title="Is the machine still unplugged?" if again else "Unplug the machine first.",
        lines=(  # common practice, no source
            "Your hands will be near the cutter. Nothing may turn, nothing may start.",
            "Edges cut at rest, too: keep fingers and cloths clear of them.",
            MANUAL,
        ),
        options=(Option("plug out", "the plug is out, where I can see it"),),
    )


class TaskSitting(Sitting):
    """One task of one machine, from the first step to the mark that it is done."""

    called = "task"
    at_first = "this is the first step"

    def __init__(self, journal: Store, machine_id: str, task: Task, begun: Begun | None) -> None:
        """Begin a task, or go on with it; nothing is recorded before its first step is done.

        Args:
            journal: where it is recorded.
            machine_id: the task's machine.
            task: the task; one without steps is a single one.
            begun: how far it is; None begins it anew, as do other steps in the shop file.
        """
        self.task = task if task.steps else task._replace(steps=(TaskStep(task.name),))
        self.begun = begun if begun is not None and begun.same else None
        """How far it is; None before its first step is done."""
        super().__init__(journal, machine_id, task.id, self.begun.uid if self.begun else new_uid())
        self.done: Entry | None = None
        """The mark that it is done, once it is recorded."""
        self._stale = begun if begun is not None and not begun.same else None
        if self.begun is not None:
            self._written = self.begun.written + 1
            self._last = journal.get(self._name(-1))
        self.walk = self._follow({})
        self._ask_plug_again()

    @property
    def step(self) -> Step | None:
        """What is asked now; a wait comes before the plug, of which it takes no hold."""
        if self.waits and not self._closed:
            return self.walk.step
        return super().step

    @property
    def waits(self) -> bool:
        """Whether it must be left alone now, or had to be until a moment ago."""
        return self.begun is not None and self.begun.wait > 0 and self.done is None

    def _ask_plug_again(self) -> None:
        """Ask for the plug, once a sitting and after each pause, where hands come near a cutter."""
        if self.task.cutter_near and not self._ahead:
            self.ask_ahead(unplug(again=self.begun is not None))

    def _answer_ahead(self, step: Step, accepted: str) -> None:
        """Begin nothing: it is looked at, and no more, until its first step is done."""

    def _follow(self, answers: Mapping[str, str], after: Walk | None = None) -> Walk:  # noqa: ARG002 - how far it is tells all
        steps, done = self.task.steps, self.begun.steps if self.begun else 0
        dos = [Do(key=str(number), title=one.words) for number, one in enumerate(steps, 1)]
        step: Step | None = dos[done] if done < len(dos) and self.done is None else None
        if self.waits:
            step = WaitStep(key=f"{done}.wait", title=steps[done - 1].words)
        answered = tuple((one, "done") for one in dos[:done])
        return Walk(answered, step, {one.key: text for one, text in answered})

    def _go_on(self, step: Step, accepted: str) -> None:
        done, last = len(self.walk.answered), len(self.task.steps)
        did = self._did("answer", step.key, accepted)
        if isinstance(step, WaitStep):
            over, before = accepted == OVER, self.last_when
            wait = 0.0 if over else float(accepted)
            self._stand(TaskStepDone(did, done, wait), ends=over and done == last)
            if over:
                self._plug_after_pause(before, self.last_when)
        else:
            ends = done + 1 == last and not self.task.steps[done].wait_minutes
            self._stand(TaskStepDone(did, done + 1), ends=ends)

    def _go_back(self, step: Step) -> None:
        number = len(self.walk.answered)
        self._stand(TaskStepDone(self._did("back", step.key), number - 1, 0.0), ends=False)

    def _record(self, taken: ToRecord) -> list[Entry]:
        """Leave it undone, for good."""
        return self._write([self._entry(TASK_END, taken.did)])

    def _stand(self, state: TaskStepDone, *, ends: bool) -> None:
        """Record how far it is then, and with the last step that it is done."""
        before: list[NewEntry] = []
        if self._stale is not None:
            why, uid = Did("end", text="the shop file has changed since"), self._stale.uid
            name, place = f"{uid}-{self._stale.written + 1}", (self.machine, self.task.id)
            before.append(TASK_END.new(name, why, *place, uid))
        own: list[NewEntry] = []
        if not self._written:
            words = tuple(step.words for step in self.task.steps)
            own.append(self._entry(TASK_BEGIN, TaskBegun(words)))
        own.append(self._entry(TASK_STEP, state, len(own)))
        if ends:
            own.append(self._mark(len(own)))
        written = self._write(own, before)
        self._stale = None
        self._take_in(written[len(before) :])
        self.walk = self._follow({})

    def _mark(self, ahead: int) -> NewEntry:
        """Put together the mark that it is done."""
        name = self._name(ahead)
        known = self._journal.get(name)
        if known is None or known.kind != DONE:
            return new_task(self._journal, self.machine, self.task.id, self.uid, name)
        # An earlier try left it there, with the totals of that moment.
        return kinds.TASK.new(name, kinds.TASK.read(known), known.machine, known.point, self.uid)

    def _take_in(self, written: Sequence[Entry]) -> None:
        for entry in written:
            if entry.kind == DONE:
                self.done, self._closed = entry, True
            elif self.begun is None:
                self.begun = begun_by(self.task, entry)
            else:
                self.begun = begun_after(self.begun, entry, self.task)
