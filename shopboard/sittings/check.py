"""A check under way at one point, durable answer by answer.

Each answer is in the journal before the next question is asked, so a check can
be left, killed or cut off at any step and goes on where it stood. A finding and
the answer that takes it are recorded together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TYPE_CHECKING

from shopboard.checks import registry
from shopboard.checks.correction_steps import ONWARD, UNPLUGGED, onward, unplug
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.need import Need, need_kept, need_read
from shopboard.checks.possible import need_the_tools
from shopboard.checks.steps import AnswerError, Caution, Choice, Do, Finding, Step
from shopboard.checks.study import Study, can_study, studied
from shopboard.checks.walk import Method, StepError, Walk, walk
from shopboard.journal import Entry, JournalLocked, JournalMissing, NewEntry, Store, new_uid
from shopboard.metrology.conformity import RISK
from shopboard.results.record import check_body
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.point_job import fingerprint, job_for
from shopboard.sittings.waiting import waits_after
from shopboard.upkeep.plug import plug_is_doubtful, was_worked_on_since
from shopboard.upkeep.safety_record import tag_words
from shopboard.upkeep.tags import TAG_STEP, newest_tags, standing_tag, tag_caution
from shopboard.wander.ahead import WanderAhead

if TYPE_CHECKING:
    from shopboard.wander.ahead import Seen

PREPARES = "prepares"
"""In the body of an answer: it only made ready; a check that has no others counts as nothing."""

NOTHING_MEASURED = "nothing was measured"
"""Why a check ended that was opened and left."""

FROM_FILE = "from_file"
"""In the body of a begin: nobody walks this check, its answers come from a file."""

AFTER_PAUSE = "after_pause"
"""In the body of the first entry after a check that was left for longer than `PAUSE`."""

PAUSE = timedelta(minutes=2)
"""A check that is left for longer was left for something else."""

_TAKEN_BACK = "a result that this check went by was taken back"


class CheckSitting:
    """One check of one point, from the first question to the last."""

    def __init__(
        self,
        journal: Store,
        job: CheckContext,
        point: Point,
        method: Method,
        uid: str,
        risk: float = RISK,
    ) -> None:
        self.point = point
        self.risk = risk
        """How likely the point may be out before its next check is due."""
        self.method = method
        self.uid = uid
        self.job = job
        self._journal = journal
        self._answers: list[tuple[str, str]] = []
        self._written = 0
        self._last: Entry | None = None
        """The newest entry of this check."""
        self._closed = False
        self._after_pause = False
        """It was left for a while; the next entry says so."""
        self.following = ""
        """Name of the point of the same machine that may be gone on to without plugging in."""
        self.changes_over = ""
        """Name of the mode that the machine is changed over to before it; empty: it stays."""
        self.goes_on_to_next = False
        """The check ended in going on to that point: plug and tools are as they were."""
        self.carried = False
        """Its plug was pulled and its tools were taken for the point before it."""
        self._wander = WanderAhead(journal, point, risk)
        self._ahead: list[Caution] = []
        """Asked before the check's own steps: the machine's tag, the plug after a pause."""
        self._prepared: set[str] = set()
        """Keys of the answers that only made ready."""
        self.walk: Walk = walk(method, self.job, {})
        self.recorded: dict[str, Entry] = {}
        """The entry of each finding taken, by its step's key."""

    @property
    def step(self) -> Step | None:
        """The question that is asked now; None when the check is closed."""
        step = None if self._closed else next(iter(self._ahead), self.walk.step)
        if self.following and step is not None and step.key == "close":
            return onward(self.following, self.changes_over, plug_is_out=self.plug_is_out)
        return step

    @property
    def plug_is_out(self) -> bool:
        """Whether the answers leave the plug out: once locked, it goes in for a test cut."""
        return _plug_is_out(self.method, self.walk)

    @property
    def last_when(self) -> datetime | None:
        """When something was last recorded in this check."""
        return self._last.when if self._last is not None else None

    @property
    def has_measured(self) -> bool:
        """Whether anything was measured, moved or cut that is not taken back."""
        return any(step.key not in self._prepared for step, _ in self.walk.answered)

    def reached_by(self, beside: Mapping[str, Sequence[str]]) -> None:
        """Take in, by what happened, the other modes of its machine's body that it reaches."""
        self._wander.beside = beside

    def _prepares(self, step: Step) -> bool:
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

    @property
    def is_study(self) -> bool:
        """Whether it is a study of the hand by the point's method."""
        return isinstance(self.method, Study)

    @property
    def number(self) -> int:
        """Number of the step that is asked now, from 1."""
        return len(self.walk.answered) + 1

    def answer(self, text: str, to: Step | None = None) -> None:
        """Take an answer and go on; it is on disk when this returns.

        Args:
            text: the answer.
            to: a step that is assumed when nothing is said to it; None: the step asked now.

        Raises:
            AnswerError: when the step refuses it; nothing is recorded and the step stays.
            JournalError: when it cannot be recorded; the step stays and can be answered again.
        """
        step = to or self.step
        if step is None or self.step is None:
            raise AnswerError("this check is finished")
        if self.is_void:
            raise AnswerError(f"{_TAKEN_BACK}: leave it, and begin the check anew")
        accepted = step.accept(text)
        said: dict[str, object] = {"v": 1, "key": step.key, "text": accepted}
        prepares = self._prepares(step)
        if prepares:
            said[PREPARES] = True
        if self._ahead:
            self._write([self._entry("answer", said)])
            self._ahead.pop(0)
            return
        if step.key == "close" and self.following and accepted != ONWARD:
            self.following = ""  # the machine is cleared then
            return
        before = self.last_when
        following = [*self._answers, (step.key, accepted)]
        after = self.walk if step is self.walk.step else None
        ahead = walk(self.method, self.job, dict(following), after=after)
        entries = [self._entry("answer", said)]
        if isinstance(step, Do) and step.moves:
            entries.append(self._entry("moved", {"v": 1}, len(entries)))
        if isinstance(step, Finding):
            holds = self._wander.holds(step, self._last, self.job.unit)
            body = check_body(step.outcome, step.run, holds)
            entries.append(self._entry("check", body, len(entries)))
        if ahead.step is None:
            entries.append(self._entry("end", {"v": 1, "why": "finished"}, len(entries)))
        written = self._write(entries)
        self._answers, self.walk = following, ahead
        self.goes_on_to_next = accepted == ONWARD
        if prepares:
            self._prepared.add(step.key)
        for entry in written:
            if entry.kind == "check":
                self.recorded[step.key] = entry
        self._weigh_the_wander()
        paused = before is not None and plug_is_doubtful(before, written[-1].when)
        if paused and self.plug_is_out and not isinstance(step, Caution):
            self._ask_plug_again()

    def _ask_plug_again(self) -> None:
        """Ask for the plug before the next step, unless that asks for it itself."""
        if self.walk.step is not None and not isinstance(self.walk.step, Caution):
            self._ahead.append(unplug("unplugged again", "Is the machine still unplugged?"))

    @property
    def is_void(self) -> bool:
        """Tell whether a result of this check was taken back meanwhile: nothing follows from it."""
        newest = (self._journal.get(one.uid) for one in self.recorded.values())
        return any(one is not None and one.void is not None for one in newest)

    def _weigh_the_wander(self) -> None:
        """Let the advice on a result that stands before the person know how the point wanders."""
        step = self.walk.step
        if not isinstance(step, Finding):
            return
        self._know_the_wander(self._wander.seen(step, self._last))

    def _know_the_wander(self, seen: Seen | None) -> None:
        self.job = self.job._replace(wanders=self._wander.told(seen))

    def back(self) -> None:
        """Take the last answer back.

        Raises:
            AnswerError: at the first step, and at a finding: what is recorded stays.
            JournalError: when it cannot be recorded.
        """
        if self.step is None:
            raise AnswerError("this check is finished")
        if self._ahead and self.walk.answered:
            raise AnswerError("answer this first")
        if not self.walk.answered:
            raise AnswerError("this is the first step")
        step, _ = self.walk.answered[-1]
        if isinstance(step, Finding):
            raise AnswerError("the result is recorded; a wrong one is voided in the history")
        self._write([self._entry("back", {"v": 1, "key": step.key})])
        self._answers = [(key, text) for key, text in self._answers if key != step.key]
        self.walk = walk(self.method, self.job, dict(self._answers), after=self.walk.one_back())

    def leave(self) -> str:
        """Leave the check; give why it does not wait and is closed instead, empty where it waits.

        Raises:
            JournalError: when that cannot be recorded.
        """
        if self.step is None:
            return ""
        void = self.is_void
        why = _TAKEN_BACK if void else "" if self.has_measured else NOTHING_MEASURED
        if why:
            self.close_unfinished(why)
        return why

    def carry(self, before: CheckSitting, last: datetime | None, now: datetime) -> None:
        """Take over what was made ready for the point before: the plug is out, the tools are taken.

        Args:
            before: the check that went on to this one.
            last: when something was recorded in it before it was gone on from.
            now: the time; after a pause the plug is asked again.

        Raises:
            JournalError: when it cannot be recorded.
        """
        known = {step.key: (step, text) for step, text in before.walk.answered}
        out = before.plug_is_out and last is not None and not plug_is_doubtful(last, now)
        while self.step is not None and self.step.key in known:
            step, (same, text) = self.step, known[self.step.key]
            if isinstance(step, Caution):
                lies_ready = step.key == UNPLUGGED and out
            else:
                lies_ready = self._prepares(step) and _takes(step, same, text)
            if not lies_ready:
                return
            self.answer(text)
            self.carried = True

    def close_unfinished(self, why: str) -> None:
        """End the visit before its last step; findings taken so far stay.

        Raises:
            JournalError: when it cannot be recorded.
        """
        self._write([self._entry("end", {"v": 1, "why": why})])

    def _entry(self, kind: str, body: Mapping[str, object], ahead: int = 0) -> NewEntry:
        """Name entries by visit and number: a repeated Enter adds nothing."""
        uid = f"{self.uid}-{self._written + ahead + 1}"
        if self._after_pause and not ahead:
            body = {**body, AFTER_PAUSE: True}
        return NewEntry(uid, kind, self.point.machine, self.point.id, body, self.uid)

    def _write(self, entries: list[NewEntry]) -> list[Entry]:
        if self._last is not None and self._journal.get(self._last.uid) is None:
            raise self._journal.refusal or JournalMissing(
                "The journal that is there now does not hold this check.",
                "Put the right one back and answer again. Or leave the check: it is in the other "
                "journal, as far as it was answered.",
            )
        known = self._journal.get(entries[0].uid)
        if known is not None and (known.kind, known.body) != (entries[0].kind, entries[0].body):
            raise JournalLocked(
                "Another program has answered this check meanwhile.",
                "Leave it here and go on with it: it stands where the other one left it.",
            )
        written = self._journal.append(entries)
        self._written += len(entries)
        self._last = written[-1]
        self._after_pause = False
        return written

    def _take_up(self, entries: list[Entry]) -> None:
        """Go on after the entries of an earlier sitting."""
        own = [one for one in entries if one.kind != "void"]
        self._written = len(own)
        self._last = max(own, key=lambda one: one.seq, default=self._last)

    def _replay(self, entries: list[Entry]) -> None:
        """Bring back the answers of an earlier sitting; stop at one that no longer fits."""
        answers: dict[str, str] = {}
        for entry in entries:
            key = str(entry.body.get("key", ""))
            if entry.kind == "answer":
                answers[key] = str(entry.body.get("text", ""))
            elif entry.kind == "back":
                answers.pop(key, None)
        self._take_up(entries)
        self._prepared = {
            str(one.body.get("key", "")) for one in entries if one.body.get(PREPARES) is True
        }
        self._closed = any(entry.kind == "end" for entry in entries)
        try:
            self.walk = walk(self.method, self.job, answers)
        except StepError as error:
            kept = _before(answers, error.step.key)
            self.walk = walk(self.method, self.job, kept)
        self._answers = list(self.walk.answers.items())
        checks = [entry for entry in entries if entry.kind == "check"]
        findings = [step for step, _ in self.walk.answered if isinstance(step, Finding)]
        self.recorded = {step.key: one for step, one in zip(findings, checks, strict=False)}
        if checks and findings and findings[-1].outcome.verdict == "true":
            self._know_the_wander(
                self._wander.with_result(checks[-1])
            )  # as it was when it was shown
            self.walk = walk(self.method, self.job, dict(self._answers))
        self._weigh_the_wander()


def _plug_is_out(method: Method, stands: Walk) -> bool:
    """Tell whether the answers leave the plug out: once locked, it goes in for a test cut."""
    out = False
    for step, _ in stands.answered:
        goes_in = step.key.endswith("lock") and not method.hands_near
        out = isinstance(step, Caution) or (out and not goes_in)
    return out


def _takes(step: Step, same: Step, text: str) -> bool:
    """Tell whether a choice of tools offers first what lies at hand from the point before."""
    if not isinstance(step, Choice) or not isinstance(same, Choice) or step.title != same.title:
        return False
    return text == (step.default if step.default is not None else step.options[0].value)


def has_measured(journal: Store, begun: Entry) -> bool:
    """Tell whether anything was measured, moved or cut in a check that waits."""
    return any(
        entry.kind != "back" and entry.body.get(PREPARES) is not True
        for entry in journal.thread(begun.uid)
    )


def _before(answers: Mapping[str, str], key: str) -> dict[str, str]:
    kept: dict[str, str] = {}
    for name, text in answers.items():
        if name == key:
            break
        kept[name] = text
    return kept


def start(
    journal: Store,
    shop: Shop,
    point: Point,
    method_name: str = "",
    *,
    study: bool = False,
    need: Need | None = None,
    from_file: bool = False,
    uid: str = "",
) -> CheckSitting:
    """Begin a check of a point by its first or a named method.

    Args:
        journal: the journal.
        shop: the shop.
        point: the point.
        method_name: one of the point's methods; empty: the first.
        study: read it ten times, to learn what the hand repeats to.
        need: what the work that it is checked for asks of it.
        from_file: its answers come from a file: how long it takes says nothing.
        uid: name of its first entry; empty: a new one.

    Raises:
        NotPossibleError: when the shop lacks what the check needs, or no hand's repeating shows in
            such a check; nothing is recorded.
        JournalError: when it cannot be recorded.
    """
    name = method_name or point.checks[0]
    job, method = job_for(shop, point, journal, need=need), registry.method(name)
    if method.kind != job.tolerance.kind:
        raise NotPossibleError(
            f"{method.title} measures {method.kind}, the tolerance is of {job.tolerance.kind}:"
            " see `shopboard proofread`"
        )
    if study and not can_study(method, job):
        raise NotPossibleError(
            f"{method.title} tells nothing of what your hand repeats to: take a point that is read"
            " with leaves, an indicator or a rule, and for which nothing is cut"
        )
    need_the_tools(method, job)
    way = studied(method) if study else method
    sitting = CheckSitting(journal, job, point, way, uid or new_uid(), shop.accepted_risk)
    sitting.reached_by(shop.reached.get(point.machine, {}))
    body: dict[str, object] = {"v": 1, "method": name, "job": fingerprint(job)}
    body |= {"name": point.name, **({"study": True} if study else {})}
    body |= {"need": need_kept(need, method.kind)} if need else {}
    body |= {FROM_FILE: True} if from_file else {}
    begun = journal.append([NewEntry(sitting.uid, "begin", point.machine, point.id, body)])
    sitting._last = begun[0]  # noqa: SLF001 - its other half
    _show_tag(sitting, None, journal)
    return sitting


def resume(
    journal: Store, shop: Shop, point: Point, begun: Entry, now: datetime
) -> CheckSitting | None:
    """Go on with an unfinished check; close it and give None when it no longer holds.

    It no longer holds when it is too old, when the shop file changed what it is about, or when a
    result of it was taken back: what is to be turned followed from that.

    Raises:
        NotPossibleError: when the shop lacks what the check needs.
        JournalError: when it cannot be recorded.
    """
    name = str(begun.body.get("method", ""))
    if name not in registry.names():
        return None
    method = registry.method(name)
    need = need_read(begun.body.get("need"), method.kind)
    job = job_for(shop, point, journal, begun.seq, need)
    way = studied(method) if begun.body.get("study") is True else method
    sitting = CheckSitting(journal, job, point, way, begun.uid, shop.accepted_risk)
    sitting.reached_by(shop.reached.get(point.machine, {}))
    sitting._last = begun  # noqa: SLF001 - its other half
    entries = journal.thread(begun.uid)
    newest, last = max((one.seq, one.when) for one in (begun, *entries))
    modes = [one.id for one in shop.modes_beside(point.machine)]
    if begun.body.get("job") != fingerprint(job):
        sitting._written = len(entries)  # noqa: SLF001 - its other half
        sitting.close_unfinished("the shop file has changed since")
        return None
    if any(one.kind == "check" and one.void is not None for one in entries):
        sitting._written = len([one for one in entries if one.kind != "void"])  # noqa: SLF001 - its other half
        sitting.close_unfinished(_TAKEN_BACK)
        return None
    sitting._replay(entries)  # noqa: SLF001 - its other half
    if newest <= waits_after(journal, now):
        sitting.close_unfinished("too old to go on with")
        return None
    read = [one for one in entries if one.body.get("key") == TAG_STEP]
    _show_tag(sitting, read[-1] if read else None, journal)
    if sitting.plug_is_out and (
        plug_is_doubtful(last, now) or was_worked_on_since(journal, modes, newest)
    ):
        sitting._ask_plug_again()  # noqa: SLF001 - its other half
    sitting._after_pause = not timedelta(0) <= now - last <= PAUSE  # noqa: SLF001 - its other half
    return sitting


def _show_tag(sitting: CheckSitting, newest: Entry | None, journal: Store) -> None:
    """Begin with the words of the machine's tag, unless they were read after it went up."""
    why = standing_tag(sitting.point.machine, journal)
    tags = newest_tags(sitting.point.machine, journal, 1) if why else []
    went_up = tags[0].seq if tags and tag_words(tags[0]) else None  # None: it may be lost
    if why and (newest is None or went_up is None or newest.seq < went_up):
        sitting._ahead.append(tag_caution(why))  # noqa: SLF001 - its other half
