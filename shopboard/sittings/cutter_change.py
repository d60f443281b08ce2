"""A change of cutter under way at a machine, durable step by step.

Half a change leaves a machine with a loose nut, so each step is on disk before
the next is shown: whoever comes back, after a power cut or on another day, is
told that it is under way, and where. Each entry of the way holds all of it, so
the newest is enough. The end records the cutters, what has happened and the
end of the way together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import cast

from shopboard.checks.steps import AnswerError, Caution, Step
from shopboard.checks.walk import Walk
from shopboard.journal import Entry, JournalLocked, NewEntry, Store, act_on_record, new_uid
from shopboard.shop.machine import Sharpness
from shopboard.shop.model import Shop
from shopboard.upkeep.change_steps import (
    CAME_OFF,
    CLEANED,
    GOES_ON,
    UNPLUGGED,
    ChangeJob,
    follow,
    unplug,
)
from shopboard.upkeep.cutter_acts import ActError, why_not
from shopboard.upkeep.cutter_changes import CHANGES, change, mounted_like
from shopboard.upkeep.cutter_journal import (
    change_entries,
    happening_of,
    refuse_while_changing,
    standings_now,
)
from shopboard.upkeep.cutters import KIND, CutterStanding, changing
from shopboard.upkeep.plug import plug_is_doubtful
from shopboard.upkeep.safety_questions import plate_and_kerf

_FIXED = ("act", "kind", "cutter", "off", "off_is_done", "on_state", "edge")
"""What is settled when a change begins, and stands in each of its entries."""


class CutterSitting:
    """One change of cutter, from the plug to the record."""

    def __init__(
        self, journal: Store, shop: Shop, uid: str, fixed: Mapping[str, object], job: ChangeJob
    ) -> None:
        self.uid = uid
        self.job = job
        self.happened = ""
        """What has happened to the machine, once it is recorded; empty: nothing that undoes."""
        self._fixed = {key: fixed.get(key) for key in _FIXED}
        self._journal, self._shop = journal, shop
        self._written = 0
        self._closed = False
        self._plug_again: Caution | None = None
        self.walk: Walk = follow(job, {})

    @property
    def is_open(self) -> bool:
        """Whether it has been begun at the machine."""
        return not self._closed and UNPLUGGED in self.walk.answers

    @property
    def step(self) -> Step | None:
        """What is asked now; None when the change is recorded or given up."""
        return None if self._closed else self._plug_again or self.walk.step

    def answer(self, text: str) -> None:
        """Take an answer and go on; it is on disk when this returns.

        Raises:
            AnswerError: when the step refuses it, or the cutters no longer stand as they did
                when the change began; nothing is recorded and the step stays.
            JournalError: when it cannot be recorded; the step stays.
        """
        step = self.step
        if step is None:
            raise AnswerError("this change is finished")
        accepted = step.accept(text)
        if self._plug_again is not None:
            self._write("step", self.walk.answers)
            self._plug_again = None
            return
        answers = {**self.walk.answers, step.key: accepted}
        ahead = follow(self.job, answers)
        if ahead.step is None:
            self._finish(answers)
        else:
            self._write("step", answers)
        self.walk = ahead

    def _finish(self, answers: dict[str, str]) -> None:
        """Record cutters, happening and the end of the way in one go."""
        done = self._journal.get(self._next_name())
        if done is not None and done.body.get("what") == "done" and done.body["answers"] == answers:
            act_on_record(self._journal, done.uid)  # an earlier try left it there
            happened = self._journal.get(f"{self.uid}-done-h")
            self.happened = "" if happened is None else happened.point
            self._closed = True
            return
        here = standings_now(self._shop, self.job.machine_id, self._journal)
        one = next((one for one in here if one.id == self._fixed["cutter"]), None)
        off = None if one is None else mounted_like(one, here)
        if one is None or (off.id if off else "") != self._fixed["off"]:
            raise ActError("the cutters were changed elsewhere meanwhile: give this change up")
        came_off = cast(Sharpness, answers.get(CAME_OFF, off.state if off else "sharp"))
        cleaned = answers.get(GOES_ON) == CLEANED
        changes = change(one, self.job.act, came_off, here, cleaned=cleaned)
        self._write("done", answers, change_entries(changes, self.uid), is_open=False)
        self.happened = happening_of(changes)
        self._closed = True

    def back(self) -> None:
        """Take the last answer back.

        Raises:
            AnswerError: at the first step.
            JournalError: when it cannot be recorded.
        """
        if self.step is None:
            raise AnswerError("this change is finished")
        if self._plug_again is not None or not self.walk.answered:
            raise AnswerError("this is the first step")
        answers = self.walk.answers
        del answers[self.walk.answered[-1][0].key]
        self._write("back", answers)
        self.walk = follow(self.job, answers)

    def give_up(self) -> None:
        """End the change unrecorded: everything is on the machine as it was.

        Raises:
            JournalError: when it cannot be recorded.
        """
        if self._written:
            self._write("given up", self.walk.answers, is_open=False)
        self._closed = True

    def _take_up(self, newest: Entry, now: datetime) -> None:
        """Bring back an earlier sitting; stop at an answer that no longer fits."""
        told = newest.body.get("answers")
        given = {**told} if isinstance(told, dict) else {}
        if UNPLUGGED in given:  # begun when it was not asked how it goes on: as it was
            given.setdefault(GOES_ON, self.job.on_state)
        number = newest.body.get("n")
        self._written = number if isinstance(number, int) else 0
        answers: dict[str, str] = {}
        step = self.walk.step
        while step is not None and step.key in given:
            try:
                walk = follow(self.job, {**answers, step.key: str(given[step.key])})
            except AnswerError:
                break
            if walk.step is None:
                break  # the last step records: it is never behind us
            answers, self.walk, step = walk.answers, walk, walk.step
        if UNPLUGGED in answers and plug_is_doubtful(newest.when, now):
            self._plug_again = unplug(self.job.kind, again=True)

    def _next_name(self) -> str:
        return f"{self.uid}-{self._written + 1}" if self._written else self.uid

    def _write(
        self,
        what: str,
        answers: dict[str, str],
        more: Sequence[NewEntry] = (),
        *,
        is_open: bool = True,
    ) -> None:
        """Name entries by change and number: a repeated Enter adds nothing."""
        number = self._written + 1
        uid, head = self._next_name(), "" if number == 1 else self.uid
        is_open = is_open and UNPLUGGED in answers  # before that nothing is loose
        way = {"v": 1, "what": what, "open": is_open, "answers": answers}
        body = {**self._fixed, **way, "n": number}
        entry = NewEntry(uid, KIND, self.job.machine_id, "", body, head)
        known = self._journal.get(uid)
        if known is not None and known.body != body:
            raise JournalLocked(
                "Another program has gone on with this change meanwhile.",
                "Leave it here and go on with it: it stands where the other one left it.",
            )
        self._journal.append([entry, *more])
        self._written = number


def begin(journal: Store, shop: Shop, one: CutterStanding, act: str) -> CutterSitting:
    """Begin a change of cutter; nothing is recorded before its first answer.

    Args:
        journal: the journal.
        shop: the shop.
        one: the cutter that the act is about.
        act: one of CHANGES.

    Raises:
        ActError: when it cannot be done, or when a change is under way already.
        JournalError: when the journal cannot be read.
    """
    refuse_while_changing(one.machine, journal)
    refusal = why_not(one, act)
    if act not in CHANGES or refusal or (act == "new" and not one.mounted):
        raise ActError(f"{one.cutter.name}: {refusal or 'that is no change on the machine'}")
    off = mounted_like(one, standings_now(shop, one.machine, journal))
    fixed: dict[str, object] = {
        "act": act,
        "kind": one.cutter.kind,
        "cutter": one.id,
        "off": off.id if off else "",
        "off_is_done": off is not None and off.state in ("dull", "worn out"),
        "on_state": "sharp" if act == "new" else one.state,
        "edge": one.edge + 1,
    }
    job = _job(shop, one.machine, fixed)
    if job is None:
        raise ActError(f"{one.cutter.name} is no longer in the shop file")
    return CutterSitting(journal, shop, new_uid(), fixed, job)


def resume(journal: Store, shop: Shop, machine: str, now: datetime) -> CutterSitting | None:
    """Go on with the change that is under way on a machine; None when there is none.

    One whose cutter the shop file no longer has is given up.

    Raises:
        JournalError: when the journal cannot be read or written.
    """
    newest = journal.latest(KIND).get((machine, ""))
    if newest is None or changing({(machine, ""): newest}, machine) is None:
        return None
    uid, job = newest.refers or newest.uid, _job(shop, machine, newest.body)
    if job is None:
        body = {**newest.body, "what": "given up", "open": False}
        journal.append([NewEntry(new_uid(), KIND, machine, "", body, uid)])
        return None
    taken_up = CutterSitting(journal, shop, uid, newest.body, job)
    taken_up._take_up(newest, now)  # noqa: SLF001 - the other half of the constructor
    return taken_up


def _job(shop: Shop, machine_id: str, fixed: Mapping[str, object]) -> ChangeJob | None:
    """Put together what the steps are made from; None when the shop file lacks a cutter."""
    machine = shop.machines_by_id.get(machine_id)
    cutters = {one.id: one for one in machine.cutters} if machine else {}
    cutter, off = cutters.get(str(fixed.get("cutter"))), cutters.get(str(fixed.get("off")))
    act, edge = str(fixed.get("act")), fixed.get("edge")
    missing = cutter is None or (off is None and bool(fixed.get("off")))
    if machine is None or cutter is None or missing or act not in CHANGES:
        return None
    return ChangeJob(
        machine_id=machine.id,
        kind=cutter.kind,
        act=act,
        off=off.name if off else "",
        off_is_done=fixed.get("off_is_done") is True,
        on={"take off": "", "new": f"a new one, {cutter.name}"}.get(act, cutter.name),
        on_state=str(fixed.get("on_state", "sharp")),
        edge=edge if isinstance(edge, int) else 1,
        sizes=plate_and_kerf(cutter, shop.unit),
    )
