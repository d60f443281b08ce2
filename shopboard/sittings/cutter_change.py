"""A change of cutter under way at a machine, durable step by step.

Half a change leaves a machine with a loose nut: whoever comes back, after a power cut or on another
day, is told that it is under way, and where. Each entry of the way holds all of it, so that the
newest of a machine is enough to tell. The end records the cutters, what has happened and the end of
the way together or not at all.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import cast

from shopboard.checks.steps import AnswerError
from shopboard.checks.walk import Walk
from shopboard.journal import Entry, NewEntry, Store, new_uid
from shopboard.journal.kinds import CHANGE_WAY, ChangeWay, Did
from shopboard.shop.default_safety import may_have_riving_knife
from shopboard.shop.machine import Sharpness
from shopboard.shop.model import Shop
from shopboard.sittings.sitting import Sitting, ToRecord
from shopboard.upkeep.change_steps import (
    CAME_OFF,
    CLEANED,
    GOES_ON,
    UNPLUGGED,
    ChangeJob,
    follow,
    unplug,
)
from shopboard.upkeep.changing import changing
from shopboard.upkeep.cutter_acts import ActError, why_not
from shopboard.upkeep.cutter_changes import CHANGES, Changed, change, mounted_like
from shopboard.upkeep.cutter_journal import (
    change_entries,
    happening_of,
    refuse_while_changing,
    standings_now,
)
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.safety_questions import plate_and_kerf

GIVEN_UP = "given up"


class CutterSitting(Sitting):
    """One change of cutter, from the plug to the record."""

    called = "change"

    def __init__(
        self, journal: Store, shop: Shop, uid: str, way: ChangeWay, job: ChangeJob
    ) -> None:
        super().__init__(journal, job.machine_id, "", uid)
        self.job = job
        self._way = way
        self.happened = ""
        """What has happened to the machine, once it is recorded; empty: nothing that undoes."""
        self._shop = shop
        self.walk = self._follow({})

    @property
    def is_open(self) -> bool:
        """Whether it has been begun at the machine."""
        return self.step is not None and UNPLUGGED in self.walk.answers

    def goes_on(self, newest: Entry, now: datetime) -> None:
        """Bring back what was answered earlier; stop at an answer that no longer fits.

        Args:
            newest: its newest entry.
            now: the time.
        """
        given = {**self._way.answers}
        if UNPLUGGED in given:  # begun when it was not asked how it goes on: as it was
            given.setdefault(GOES_ON, self.job.on_state)
        self._last, self._written = newest, self._way.n
        while (step := self.walk.step) is not None and step.key in given:
            try:
                walk = self._follow({**self._answers, step.key: given[step.key]})
            except AnswerError:
                break
            if walk.step is None:
                break  # the last step records: it is never behind us
            self._answers, self.walk = walk.answers, walk
        if self.is_open:
            self._plug_after_pause(newest.when, now)

    def _ask_plug_again(self) -> None:
        self.ask_ahead(unplug(self.job.kind, again=True))

    def _follow(self, answers: Mapping[str, str], after: Walk | None = None) -> Walk:  # noqa: ARG002 - it is short
        return follow(self.job, answers)

    def _record(self, taken: ToRecord) -> list[Entry]:
        ends = taken.walk.step is None
        what = GIVEN_UP if taken.did.what == "end" else "done" if ends else _WAS[taken.did.what]
        way = self._as_it_is(what, taken.did, taken.answers)
        if not ends:
            return self._write([way])
        if self._journal.get(way.uid) is not None:  # an earlier try left it there, or another one
            written = self._write([way])
            happened = self._journal.get(f"{self.uid}-done-h")
            self.happened = "" if happened is None else happened.point
            return written
        changes = self._changes(taken.answers)
        written = self._write([way], beside=change_entries(changes, self.uid))
        self.happened = happening_of(changes)
        return written

    def _as_it_is(self, what: str, did: Did, answers: Mapping[str, str]) -> NewEntry:
        """Put together the whole way as it is then."""
        is_open = what in _WAS.values() and UNPLUGGED in answers  # before that nothing is loose
        way = self._way._replace(
            did=did, what=what, open=is_open, n=self._written + 1, answers=answers
        )
        return self._entry(CHANGE_WAY, way)

    def _changes(self, answers: Mapping[str, str]) -> list[Changed]:
        """Give what becomes of the cutters.

        Raises:
            ActError: when they no longer stand as they did when the change began.
        """
        here = standings_now(self._shop, self.machine, self._journal)
        one = next((one for one in here if one.id == self._way.cutter), None)
        off = None if one is None else mounted_like(one, here)
        if one is None or (off.id if off else "") != self._way.off:
            raise ActError("the cutters were changed elsewhere meanwhile: abandon this change")
        came_off = cast(Sharpness, answers.get(CAME_OFF, off.state if off else "sharp"))
        cleaned = answers.get(GOES_ON) == CLEANED
        return change(one, self.job.act, came_off, here, cleaned=cleaned)


_WAS = {"answer": "step", "back": "back"}
"""What each entry of a change that goes on has always called what was done."""


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
        raise ActError(f"{one.cutter.name}: {refusal or 'that changes nothing on the machine'}")
    off = mounted_like(one, standings_now(shop, one.machine, journal))
    way = ChangeWay(
        act=act,
        kind=one.cutter.kind,
        cutter=one.id,
        off=off.id if off else "",
        off_is_done=off is not None and off.state in ("dull", "worn out"),
        on_state="sharp" if act == "new" else one.state,
        edge=one.edge + 1,
    )
    job = _job(shop, one.machine, way)
    if job is None:
        raise ActError(f"{one.cutter.name} is no longer in the shop file")
    return CutterSitting(journal, shop, new_uid(), way, job)


def resume(journal: Store, shop: Shop, machine: str, now: datetime) -> CutterSitting | None:
    """Go on with the change that is under way on a machine; None when there is none.

    One whose cutter the shop file no longer has is given up.

    Raises:
        JournalError: when the journal cannot be read or written.
    """
    newest = journal.latest(CHANGE_WAY.name).get((machine, ""))
    if newest is None or changing({(machine, ""): newest}, machine) is None:
        return None
    way, uid = CHANGE_WAY.read(newest), newest.refers or newest.uid
    job = _job(shop, machine, way)
    if job is None:
        ended, name = Did("end", text="the shop file has no such cutter"), f"{uid}-{way.n}"
        way = way._replace(did=ended, what=GIVEN_UP, open=False, n=way.n + 1)
        taken = journal.get(name) is not None  # how many there are could not be read
        journal.append([CHANGE_WAY.new(new_uid() if taken else name, way, machine, refers=uid)])
        return None
    sitting = CutterSitting(journal, shop, uid, way, job)
    sitting.goes_on(newest, now)
    return sitting


def _job(shop: Shop, machine_id: str, way: ChangeWay) -> ChangeJob | None:
    """Put together what the steps are made from; None when the shop file lacks a cutter."""
    machine = shop.machines_by_id.get(machine_id)
    cutters = {one.id: one for one in machine.cutters} if machine else {}
    cutter, off = cutters.get(way.cutter), cutters.get(way.off)
    missing = off is None and way.off
    if machine is None or cutter is None or missing or way.act not in CHANGES:
        return None
    return ChangeJob(
        machine_id=machine.id,
        kind=cutter.sort,
        act=way.act,
        off=off.name if off else "",
        off_is_done=way.off_is_done,
        on={"take off": "", "new": f"a new one, {cutter.name}"}.get(way.act, cutter.name),
        on_state=way.on_state,
        edge=way.edge,
        sizes=plate_and_kerf(cutter, shop.unit),
        called=cutter.kind,
        pieces=cutter.pieces,
        riving_knife=may_have_riving_knife(machine.kind),
    )
