"""A check under way at one point, durable answer by answer.

A finding and the answer that takes it are recorded together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from shopboard.checks.correction_steps import ASK_NEXT, CLOSE, ONWARD, onward, unplug
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import Caution, Do, Finding, Step
from shopboard.checks.study import Study
from shopboard.checks.walk import Method, StepError, Walk, walk
from shopboard.journal import Entry, Store
from shopboard.journal.kinds import (
    ANSWER,
    BACK,
    BEGIN,
    CHECK,
    END,
    MOVED,
    VOID,
    CheckBegun,
    Did,
    PointMoved,
)
from shopboard.metrology.conformity import RISK
from shopboard.shop.machine import Point
from shopboard.sittings.sitting import Sitting, ToRecord
from shopboard.upkeep.plug import was_worked_on_since
from shopboard.wander.ahead import WanderAhead

if TYPE_CHECKING:
    from shopboard.wander.ahead import Seen

FINISHED = "finished"
"""Why a check ended that was gone through to its last step."""

NOTHING_MEASURED = "nothing was measured"
"""Why a check ended that was opened and left."""

TAKEN_BACK = "a result that this check relied on was withdrawn"

PAUSE = timedelta(minutes=2)
"""A check that is left for longer was left for something else."""


class CheckSitting(Sitting):
    """One check of one point, from the first question to the last."""

    called = "check"
    went_on = "answered"

    def __init__(
        self,
        journal: Store,
        job: CheckContext,
        point: Point,
        method: Method,
        uid: str,
        risk: float = RISK,
        reaches: Mapping[str, Sequence[str]] | None = None,
    ) -> None:
        """Ask from the first step on; nothing is recorded by that.

        Args:
            journal: where it is recorded.
            job: what it is told of its point.
            point: the point.
            method: how it is checked.
            uid: name of its first entry.
            risk: how likely the point may be out before its next check is due.
            reaches: by what happened, the other modes of its machine's body that it reaches.
        """
        super().__init__(journal, point.machine, point.id, uid)
        self.point = point
        self.method = method
        self.job = job
        self.following = ""
        """Name of the point of the same machine that may be gone on to without plugging in."""
        self.changes_over = ""
        """Name of the mode that the machine is changed over to before it; empty: it stays."""
        self.goes_on_to_next = False
        """The check ended in going on to that point: plug and tools are as they were."""
        self.carried = False
        """Its plug was pulled for the point before it."""
        self.carried_tools = False
        """Its tools were taken for the point before it, too."""
        self._wander = WanderAhead(journal, point, risk, reaches or {})
        self._prepared: set[str] = set()
        """Keys of the answers that only made ready."""
        self.walk = self._follow({})
        self.recorded: dict[str, Entry] = {}
        """The entry of each finding taken, by its step's key."""

    @property
    def step(self) -> Step | None:
        """The question that is asked now; None when the check is closed."""
        if self.following and self.is_at_close:
            return onward(self.following, self.changes_over, plug_is_out=self.plug_is_out)
        return super().step

    @property
    def is_at_close(self) -> bool:
        """Whether all is measured, and the machine is to be cleared."""
        step = super().step
        return step is not None and step.key == CLOSE

    @property
    def plug_is_out(self) -> bool:
        """Whether the answers leave the plug out: once locked, it goes in for a test cut."""
        out = False
        for step, _ in self.walk.answered:
            goes_in = step.key.endswith("lock") and not self.method.hands_near
            out = isinstance(step, Caution) or (out and not goes_in)
        return out

    @property
    def has_measured(self) -> bool:
        """Whether anything was measured, moved or cut that is not withdrawn."""
        return any(step.key not in self._prepared for step, _ in self.walk.answered)

    @property
    def is_study(self) -> bool:
        """Whether it is a study of the hand by the point's method."""
        return isinstance(self.method, Study)

    @property
    def kind_words(self) -> str:
        """Call it by what it is, within a sentence."""
        return "the set of ten readings" if self.is_study else "the check"

    @property
    def at_result(self) -> bool:
        """Whether a result is shown that is not on record yet."""
        return not self._closed and isinstance(self.walk.step, Finding)

    @property
    def is_void(self) -> bool:
        """Tell whether a result of this check was withdrawn meanwhile: nothing follows from it."""
        newest = (self._journal.get(one.uid) for one in self.recorded.values())
        return any(one is not None and one.void is not None for one in newest)

    def leave(self) -> str:
        """Leave the check; one that measured nothing is closed, and one that can go on no more.

        Raises:
            JournalError: when that cannot be recorded.
        """
        if self.step is None:
            return ""
        why = TAKEN_BACK if self.is_void else "" if self.has_measured else NOTHING_MEASURED
        if why:
            self.discard(why)
        return why

    def begin(self, begun: CheckBegun) -> None:
        """Record that it begins.

        Raises:
            JournalError: when it cannot be recorded.
        """
        self._write([self._entry(BEGIN, begun)])

    def take_up(self, begun: Entry, thread: Sequence[Entry]) -> None:
        """Stand behind what is on record of it; its answers are not looked at yet.

        Args:
            begun: the entry that began it.
            thread: what refers to that one, oldest first.
        """
        own = [begun, *(one for one in thread if one.kind != VOID.name)]
        self._written, self._last = len(own), max(own, key=lambda one: one.seq)
        self._closed = any(one.kind == END.name for one in own)

    def replay(self, thread: Sequence[Entry]) -> None:
        """Bring back what was answered; stop at an answer that no longer fits.

        Raises:
            NotPossibleError: when the shop lacks what the check needs.
        """
        answers = self._answers_in(thread)
        try:
            self.walk = self._follow(answers)
        except StepError as error:
            keys = list(answers)
            kept = keys[: keys.index(error.step.key)]
            self.walk = self._follow({key: answers[key] for key in kept})
        self._answers = self.walk.answers
        checks = [one for one in thread if one.kind == CHECK.name]
        findings = [step for step, _ in self.walk.answered if isinstance(step, Finding)]
        self.recorded = {step.key: one for step, one in zip(findings, checks, strict=False)}
        if checks and findings and findings[-1].outcome.verdict == "true":
            self._know_the_wander(self._wander.with_result(checks[-1]))  # as when it was shown
            self.walk = self._follow(self._answers)
        self._weigh_the_wander()

    def _answers_in(self, entries: Sequence[Entry]) -> dict[str, str]:
        answers: dict[str, str] = {}
        for entry in entries:
            if entry.kind == ANSWER.name:
                did = ANSWER.read(entry)
                answers[did.key] = did.text
                self._prepared |= {did.key} if did.prepares else set()
            elif entry.kind == BACK.name:
                answers.pop(BACK.read(entry).key, None)
        return answers

    def goes_on(self, now: datetime, modes: Sequence[str], seq: int) -> None:
        """Go on with it at the machine.

        Args:
            now: the time.
            modes: ids of its machine, and of those that share a plug with it.
            seq: number of the newest entry that is about it.

        Raises:
            JournalError: when the journal cannot be read.
        """
        last = self.last_when
        if self.plug_is_out and was_worked_on_since(self._journal, modes, seq):
            self._ask_plug_again()
        elif self.plug_is_out:
            self._plug_after_pause(last, now)
        self._after_pause = last is not None and not timedelta(0) <= now - last <= PAUSE

    def is_closed_there(self) -> bool:
        """Whether the journal holds its end: another bench may have closed it."""
        return any(one.kind == END.name for one in self._journal.thread(self.uid))

    def _why_no_answer(self) -> str:
        return f"{TAKEN_BACK}: leave it, and start the check again" if self.is_void else ""

    def _why_not_back(self, step: Step, text: str) -> str:  # noqa: ARG002 - it is of any answer
        stays = "the result is recorded; withdraw a wrong one in the history"
        return stays if isinstance(step, Finding) else ""

    def _go_on(self, step: Step, accepted: str) -> None:
        if step.key == CLOSE and self.following and accepted != ONWARD:
            self.following = ""  # the machine is cleared then
            return
        before = self.last_when
        super()._go_on(step, accepted)
        self.goes_on_to_next = accepted == ONWARD
        if self.plug_is_out and not isinstance(step, Caution):
            self._plug_after_pause(before, self.last_when)

    def _follow(self, answers: Mapping[str, str], after: Walk | None = None) -> Walk:
        return walk(self.method, self.job, answers, after=after)

    def _record(self, taken: ToRecord) -> list[Entry]:
        did, step, ends = taken.did, taken.step, taken.walk.step is None
        if did.what == "end":
            return self._write([self._entry(END, did)])
        if did.what == "back" or step is None:
            return self._write([self._entry(BACK, did)])
        said = did._replace(prepares=self.prepares(step))
        entries = [self._entry(ANSWER, said)]
        if isinstance(step, Do) and step.moves:
            entries.append(self._entry(MOVED, PointMoved(), len(entries)))
        if isinstance(step, Finding):
            kept = self._wander.kept(step, self._last, self.job.unit)
            entries.append(self._entry(CHECK, kept, len(entries)))
        if ends:
            entries.append(self._entry(END, Did("end", text=FINISHED), len(entries)))
        return self._write(entries)

    def _took(self, taken: ToRecord, written: Sequence[Entry]) -> None:
        prepares = taken.step is not None and self.prepares(taken.step)
        super()._took(taken, written)
        if taken.step is None or taken.did.what != "answer":
            return
        if prepares:
            self._prepared.add(taken.step.key)
        for entry in written:
            if entry.kind == CHECK.name:
                self.recorded[taken.step.key] = entry
        self._weigh_the_wander()

    def prepares(self, step: Step) -> bool:
        """Tell whether a step only makes ready: the plug, the tools, the square in its place."""
        if isinstance(step, Caution):
            return True
        if isinstance(step, Do):
            return self.method.hands_near and not step.moves  # else something is cut for it
        method = self.method
        if not isinstance(method, GuidedCheck):
            return False
        asked = method.prepare(self.job, self.walk.used)
        return asked is not None and asked.key == step.key

    def _ask_plug_again(self) -> None:
        """Ask for the plug before the next step, unless that asks for it itself."""
        if self.walk.step is not None and not isinstance(self.walk.step, Caution):
            self._ahead.append(unplug("unplugged again", "Is the machine still unplugged?"))

    def _weigh_the_wander(self) -> None:
        """Let the advice on a result that stands before the person know how the point wanders."""
        if isinstance(self.walk.step, Finding):
            self._know_the_wander(self._wander.seen(self.walk.step, self._last))

    def _know_the_wander(self, seen: Seen | None) -> None:
        self.job = self.job._replace(wanders=self._wander.told(seen))


def has_measured(journal: Store, begun: Entry) -> bool:
    """Tell whether anything was measured, moved or cut in a check that waits.

    What led to a result that stands is over: where only the machine is to be cleared, nothing was.
    """
    since = _since_result(journal.thread(begun.uid))
    return any(entry.kind != BACK.name and not ANSWER.read(entry).prepares for entry in since)


def _since_result(thread: Sequence[Entry]) -> Sequence[Entry]:
    """Give what came after the newest result that stands and was left at that; else all of it."""
    found = [at for at, one in enumerate(thread) if one.kind == CHECK.name and one.void is None]
    rest = [*thread[found[-1] + 1 :]] if found else [*thread]
    if found and any(one.kind == BACK.name for one in rest):
        return thread  # it was gone back on
    return [one for one in rest if not (found and _leaves_it(one))]


def _leaves_it(entry: Entry) -> bool:
    """Tell whether an answer leaves a point as it was found."""
    said = ANSWER.read(entry)
    return entry.kind == ANSWER.name and said.key.endswith(ASK_NEXT) and said.text == "done"
