"""A check under way: durable answer by answer, resumed after anything, never recorded twice."""

from __future__ import annotations

import itertools
import math
import re
import shutil
from collections.abc import Iterator, Sequence
from contextlib import closing
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.advice import correction_lines
from shopboard.checks.job import NotPossibleError, Wanders
from shopboard.checks.need import Need
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import AnswerError, Caution, Finding, Step
from shopboard.journal import (
    Entry,
    JournalCannotWrite,
    JournalDiffers,
    JournalError,
    JournalMissing,
    NewEntry,
    SqliteJournal,
    Store,
    new_uid,
    open_journal,
)
from shopboard.metrology.adjuster import Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import Wander
from shopboard.metrology.drift_words import days_words
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.wander import Scale
from shopboard.results.record import read_check
from shopboard.results.remarks import take_back
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.point_job import fingerprint, job_for
from shopboard.sittings.waiting import unfinished
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.happenings import record_happening
from tests.builders import FEELERS, SCREW, SQUARE_6, UPRIGHT, Person, make_point, make_shop
from tests.histories import GROWING, check_over_the_years
from tests.journal.helpers import Clock
from tests.shop_head import metric_head

FEW = FEELERS._replace(leaves=FEELERS.leaves[:5])


class FailingStore:
    """A journal that refuses to record so many times, as a full disk does."""

    def __init__(self, store: Store, failures: int = 1) -> None:
        self._store = store
        self.failures = failures

    def append(self, entries: Sequence[NewEntry], after: int | None = None) -> list[Entry]:
        if self.failures:
            self.failures -= 1
            raise JournalCannotWrite("The disk is full.", "Make room.")
        return self._store.append(entries, after)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._store, name)


def failing(store: Store, failures: int = 1) -> Any:
    return FailingStore(store, failures)


def steps(sitting: CheckSitting, person: Person) -> Iterator[tuple[Step, str]]:
    """Each step of a visit with what the person says to it; answering is up to the test."""
    for _ in range(60):
        if sitting.step is None:
            return
        yield sitting.step, person.answer(sitting.step, sitting.job)
    raise AssertionError("no end after 60 steps")


def go_on(sitting: CheckSitting, person: Person, until: str = "") -> CheckSitting:
    """Answer until a step, or to the end."""
    for step, said in steps(sitting, person):
        if step.key == until:
            break
        sitting.answer(said)
    return sitting


def taken_up(journal: Store, shop: Shop, point: Point, clock: Clock) -> CheckSitting | None:
    """Go on with the newest unfinished check of a point."""
    begun = waiting_in(journal, clock())[point.full_name]
    return resume(journal, shop, point, begun, clock())


def waiting_in(journal: Store, now: datetime) -> dict[str, Entry]:
    """The checks that can be gone on with."""
    return unfinished(journal, now)


def kinds(journal: Store, uid: str) -> list[str]:
    return [entry.kind for entry in journal.thread(uid)]


def test_every_answer_is_on_disk_before_the_next_question(
    journal_path: Path, shop: Shop, point: Point, clock: Clock
) -> None:
    """The journal is opened anew after each answer: same step, same answers, same findings."""
    person = Person(0.008, then=(0.0,))
    with closing(open_journal(journal_path, clock)) as journal:
        sitting = start(journal, shop, point)
        for _, said in steps(sitting, person):
            sitting.answer(said)
            if sitting.step is None:
                break
            with closing(open_journal(journal_path, clock)) as other:
                again = taken_up(other, shop, point, clock)
                assert again is not None
                assert again.walk == sitting.walk
                assert again.recorded == sitting.recorded
                assert again.number == sitting.number
        assert [one.run for one in sitting.walk.findings] == ["as-found", "as-left"]
        assert waiting_in(journal, clock()) == {}
        assert journal.verify() is None


def test_a_resumed_visit_goes_on_and_ends_as_if_never_left(
    journal_path: Path, shop: Shop, point: Point, clock: Clock
) -> None:
    """Killed after every single answer: the recorded results are those of one sitting."""
    person = Person(0.008, then=(0.0,))
    with closing(open_journal(journal_path, clock)) as journal:
        uid = start(journal, shop, point).uid
    for _ in range(60):
        with closing(open_journal(journal_path, clock)) as journal:
            if not waiting_in(journal, clock()):
                break
            sitting = taken_up(journal, shop, point, clock)
            assert sitting is not None
            assert sitting.step is not None
            sitting.answer(person.answer(sitting.step, sitting.job))
    with closing(open_journal(journal_path, clock)) as journal:
        piecewise = [one.body for one in journal.thread(uid) if one.kind == "check"]
        whole = go_on(start(journal, shop, point), person)
        once = [one.body for one in journal.thread(whole.uid) if one.kind == "check"]
        assert len(once) == 2
        # What the screw taught the first visit is known to the second from the start.
        assert [(one["error"], one["verdict"]) for one in piecewise] == [
            (one["error"], one["verdict"]) for one in once
        ]


def test_a_finding_and_the_answer_that_takes_it_are_one(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """Both in one transaction: neither is there when it fails, both when it works."""
    sitting = go_on(start(journal, shop, point), Person(0.0), until="record")
    before = journal.count()
    sitting._journal = failing(journal)
    with pytest.raises(JournalCannotWrite):
        sitting.answer("")
    assert journal.count() == before
    sitting.answer("")
    assert kinds(journal, sitting.uid)[-2:] == ["answer", "check"]
    assert sitting.recorded["record"].kind == "check"


def test_a_move_and_its_answer_are_one(journal: SqliteJournal, shop: Shop, point: Point) -> None:
    """From then on what was measured before no longer holds."""
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until="left.adjust")
    sitting.answer("")
    assert kinds(journal, sitting.uid)[-2:] == ["answer", "moved"]


@pytest.mark.parametrize("failures", [1, 3])
def test_an_answer_that_cannot_be_recorded_leaves_the_step(
    journal: SqliteJournal, shop: Shop, point: Point, failures: int
) -> None:
    """At every step of a check the disk fails; the step stays, and a later try works."""
    sitting, store = start(journal, shop, point), failing(journal, 0)
    sitting._journal = store
    for step, said in steps(sitting, Person(0.008, then=(0.0,))):
        store.failures = failures
        for _ in range(failures):
            with pytest.raises(JournalError):
                sitting.answer(said)
            assert sitting.step == step
        sitting.answer(said)
        assert sitting.step != step
    assert kinds(journal, sitting.uid).count("check") == 2
    assert kinds(journal, sitting.uid)[-1] == "end"


def test_what_cannot_be_recorded_cannot_be_taken_back_either(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """Back is an entry as well."""
    sitting = go_on(start(journal, shop, point), Person(0.0), until="light")
    sitting._journal = failing(journal)
    with pytest.raises(JournalError):
        sitting.back()
    assert sitting.step is not None
    assert sitting.step.key == "light"
    sitting.back()
    assert sitting.step.key == "place"


def test_the_same_answer_handed_in_again_adds_nothing(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Two hands of the same visit press Enter: one answer, one finding."""
    one = go_on(start(journal, shop, point), Person(0.0), until="record")
    other = taken_up(journal, shop, point, clock)
    assert other is not None
    one.answer("")
    count = journal.count()
    other.answer("")
    assert journal.count() == count
    assert other.walk == one.walk
    assert other.recorded == one.recorded


def test_another_answer_to_the_same_step_is_refused_in_words(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Two windows on one visit: the slower one is told, and nothing is overwritten."""
    one = go_on(start(journal, shop, point), Person(0.0), until="light")
    other = taken_up(journal, shop, point, clock)
    assert other is not None
    one.answer("top")
    with pytest.raises(JournalError, match="meanwhile"):
        other.answer("bottom")
    assert other.step is not None
    assert other.step.key == "light"
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert again.walk == one.walk


def test_two_visits_of_two_points_do_not_mix(journal: SqliteJournal, clock: Clock) -> None:
    """One at the saw, one at the jointer, answered in turns: each keeps its own."""
    saw, jointer = make_point(), make_point("jointer.fence")
    shop = make_shop(saw, jointer)
    left, right = start(journal, shop, saw), start(journal, shop, jointer)
    people = {saw.full_name: Person(0.008), jointer.full_name: Person(0.0)}
    while left.step or right.step:
        for sitting in (left, right):
            if sitting.step is not None:
                sitting.answer(people[sitting.point.full_name].answer(sitting.step, sitting.job))
    assert left.walk.findings[0].outcome.verdict == "out"
    assert right.walk.findings[0].outcome.verdict == "true"
    assert set(journal.latest("check")) == {("saw", "blade"), ("jointer", "fence")}
    assert waiting_in(journal, clock()) == {}


def test_back_and_another_answer_lead_elsewhere(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """What is withdrawn is gone for good, across a restart as well."""
    sitting = go_on(start(journal, shop, point), Person(0.008), until="leaf2")
    sitting.back()
    assert sitting.step is not None
    assert sitting.step.key == "leaf1"
    sitting.back()
    sitting.answer("bottom")
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert again.walk == sitting.walk
    assert again.walk.answers["light"] == "bottom"


def test_back_at_the_first_step_stays(journal: SqliteJournal, shop: Shop, point: Point) -> None:
    """Said, not done."""
    sitting = start(journal, shop, point)
    with pytest.raises(AnswerError, match="first step"):
        sitting.back()


def test_a_recorded_finding_cannot_be_backed_over(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """It stands; a wrong one is voided where results are listed."""
    sitting = go_on(start(journal, shop, point), Person(0.008), until="next")
    with pytest.raises(AnswerError, match="recorded"):
        sitting.back()
    assert sitting.step is not None
    assert sitting.step.key == "next"


def test_a_finished_visit_takes_nothing_more(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """Neither an answer nor a step back."""
    sitting = go_on(start(journal, shop, point), Person(0.0))
    count = journal.count()
    with pytest.raises(AnswerError, match="finished"):
        sitting.answer("")
    with pytest.raises(AnswerError, match="finished"):
        sitting.back()
    assert journal.count() == count


def test_a_refused_answer_is_not_recorded(journal: SqliteJournal, shop: Shop, point: Point) -> None:
    """Nothing of it reaches the journal."""
    sitting = start(journal, shop, point)
    count = journal.count()
    with pytest.raises(AnswerError):
        sitting.answer("yes")
    assert journal.count() == count
    assert sitting.number == 1


@pytest.mark.parametrize(
    ("pause", "asked"), [(timedelta(minutes=10), False), (timedelta(minutes=10, seconds=1), True)]
)
def test_after_ten_minutes_the_plug_is_asked_about_again(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock, pause: timedelta, asked: bool
) -> None:
    """Somebody may have used the machine; exactly ten minutes still hold."""
    sitting = go_on(start(journal, shop, point), Person(0.0), until="light")
    waiting = sitting.step
    clock.now += pause
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert isinstance(again.step, Caution) is asked
    if asked:
        with pytest.raises(AnswerError):
            again.answer("")
        again.answer("plug out")
    assert again.step == waiting


def test_the_plug_is_not_asked_about_far_from_a_cutter(
    journal: SqliteJournal, clock: Clock
) -> None:
    """There it has never been out."""
    point = make_point()
    shop = make_shop(point)
    go_on(start(journal, shop, point), Person(0.0), until="light")
    clock.pass_by(hours=3)
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert not isinstance(again.step, Caution)


def test_the_plug_is_asked_about_again_only_where_it_is_out(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A test cut is made with the plug in; it is out from the correction to the lock."""
    point = make_point(checks=("flip",), cutter_near=True, adjuster=Slot(254.0))
    shop = make_shop(point)
    sitting = start(journal, shop, point)
    answers = ("understood", "crosscut", "", "", "fence", "6 in", ".040", ".042", "no", "")
    for said in (*answers, "adjust", "plug out", "", "", "", ""):
        clock.pass_by(minutes=20)
        again = taken_up(journal, shop, point, clock)
        assert again is not None
        assert again.step is not None
        out = again.walk.step is not None and again.walk.step.key in ("left.adjust", "left.lock")
        assert (again.step.key == "unplugged again") is out, again.step.key
        if out:
            again.answer("plug out")
        sitting = again
        sitting.answer(said)
    assert sitting.step is not None
    assert sitting.step.key == "left.open"


def test_the_plug_is_not_asked_about_twice_before_the_first_step(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Nothing answered yet: the check begins with it anyway."""
    start(journal, shop, point)
    clock.pass_by(hours=1)
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert again.step is not None
    assert again.step.key == "unplugged"


def test_found_by_one_and_set_by_another_each_result_tells_its_own(
    tmp_path: Path, shop: Shop, point: Point, clock: Clock
) -> None:
    path, person = tmp_path / "two benches", Person(0.008, then=(0.0,))
    with closing(open_journal(path, clock, who=lambda: "bench 1")) as journal:
        go_on(start(journal, shop, point), person, until="next")
    with closing(open_journal(path, clock, who=lambda: "bench 2")) as journal:
        sitting = taken_up(journal, shop, point, clock)
        assert sitting is not None
        go_on(sitting, person)
        left, found = map(read_check, journal.recent("check", point.machine, point.id))
        assert (found.run, found.by) == ("as-found", "bench 1")
        assert (left.run, left.by) == ("as-left", "bench 2")
        (moved,) = journal.recent("moved", point.machine, point.id)
        assert moved.by == "bench 2"
        assert journal.verify() is None


@pytest.mark.parametrize(("hours", "goes_on"), [(23.999, True), (24, False)])
def test_after_a_day_a_visit_is_closed_as_unfinished(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock, hours: float, goes_on: bool
) -> None:
    """Readings of two days do not belong together; findings taken so far stay."""
    sitting = go_on(start(journal, shop, point), Person(0.008), until="next")
    begun = waiting_in(journal, clock())[point.full_name]
    clock.pass_by(hours=hours)
    assert (point.full_name in waiting_in(journal, clock())) is goes_on
    again = resume(journal, shop, point, begun, clock())
    assert (again is not None) is goes_on
    assert kinds(journal, sitting.uid).count("check") == 1
    assert (kinds(journal, sitting.uid)[-1] == "end") is not goes_on
    assert (point.full_name in waiting_in(journal, clock())) is goes_on


def test_it_waits_by_its_last_answer_whenever_it_was_begun(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """An answer every 20 hours, for five days; other checks are begun and left meanwhile."""
    sitting = start(journal, shop, point)
    other = point._replace(id="other")
    for step, said in itertools.islice(steps(sitting, Person(0.008)), 6):
        clock.pass_by(hours=20)
        start(journal, shop, other)
        again = taken_up(journal, shop, point, clock)
        assert again is not None
        assert again.uid == sitting.uid
        sitting.answer(said)
        assert step is not None
    clock.pass_by(hours=24)
    assert point.full_name not in waiting_in(journal, clock())


YEAR = 365 * 24


@pytest.mark.parametrize(
    "jumps",
    [(YEAR, 0, -YEAR), (YEAR, -YEAR, 0), (0, YEAR, -YEAR), (0, -YEAR, YEAR), (-1, 0, 0)],
)
def test_a_clock_that_jumps_in_mid_check_does_not_lose_it(
    journal: SqliteJournal,
    shop: Shop,
    point: Point,
    clock: Clock,
    jumps: tuple[float, ...],
) -> None:
    """Between its answers; when the clock is right again it waits, and a day later no more."""
    clock.pass_by(hours=2 * YEAR)
    journal.append([NewEntry(new_uid(), "note", body={"v": 1})])
    sitting = start(journal, shop, point)
    said = steps(sitting, Person(0.008))
    for jump in jumps:
        clock.pass_by(hours=jump)
        sitting.answer(next(said)[1])
        clock.pass_by(hours=0.01)
    left_at = sitting.number
    again = taken_up(journal, shop, point, clock)
    assert again is not None
    assert again.number >= left_at  # the plug may be asked again
    clock.pass_by(hours=25)
    assert point.full_name not in waiting_in(journal, clock())


def test_answers_go_into_no_other_journal(
    journal_path: Path, shop: Shop, point: Point, clock: Clock
) -> None:
    """Not into one that is another, nor into an older copy that was said to be the right one."""
    copy = journal_path.with_name("copy")
    with closing(open_journal(journal_path, clock, watched=True)) as journal:
        sitting = start(journal, shop, point)
        said = steps(sitting, Person(0.008))
        sitting.answer(next(said)[1])
        shutil.copyfile(journal_path, copy)
        sitting.answer(next(said)[1])
        step, text = next(said)
        right = journal_path.rename(journal_path.with_name("right"))
        copy.replace(journal_path)
        before = journal.count()
        with pytest.raises(JournalDiffers):
            sitting.answer(text)
        journal.take_as_it_is()
        with pytest.raises(JournalMissing, match="does not hold this check"):
            sitting.answer(text)
        assert journal.count() == before
        assert sitting.step == step
        right.replace(journal_path)
        sitting.answer(text)
        assert sitting.step != step
        assert journal.count() == before + 2


def test_a_clock_that_ran_ahead_closes_nothing_too_early(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Set back by an hour: the age is never negative for who asks with the newest time."""
    go_on(start(journal, shop, point), Person(0.0), until="light")
    newest = journal.newest_when()
    assert newest is not None
    clock.pass_by(hours=-1)
    begun = waiting_in(journal, newest)[point.full_name]
    assert resume(journal, shop, point, begun, max(clock(), newest)) is not None


def test_a_check_begun_anew_closes_the_old_one(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """The newest unfinished one is the one to go on with."""
    old = go_on(start(journal, shop, point), Person(0.0), until="light")
    old.discard("begun anew")
    new = start(journal, shop, point)
    assert waiting_in(journal, clock())[point.full_name].uid == new.uid


CHANGES: list[tuple[str, Any]] = [
    ("tolerance", lambda shop, point: (shop, point._replace(tolerance=Tolerance(-5e-4, 5e-4)))),
    ("lever", lambda shop, point: (shop, point._replace(geometry=UPRIGHT._replace(lever=100.0)))),
    ("tools", lambda shop, point: (replace(shop, drawer=Drawer((SQUARE_6,), (FEW,))), point)),
    ("proof", lambda shop, point: (replace(shop, proof_level=0.9), point)),
    ("unit", lambda shop, point: (replace(shop, unit="mm"), point)),
]


@pytest.mark.parametrize("change", [change for _, change in CHANGES], ids=dict(CHANGES))
def test_a_shop_file_that_changed_closes_the_check(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock, change: Any
) -> None:
    """An answer spoke of the leaf asked for then; its step would ask for another one now."""
    sitting = go_on(start(journal, shop, point), Person(0.0015), until="leaf2")
    changed, there = change(shop, point)
    assert taken_up(journal, changed, there, clock) is None
    assert journal.thread(sitting.uid)[-1].body["text"] == "the shop file has changed since"
    assert waiting_in(journal, clock()) == {}


def test_a_change_elsewhere_in_the_shop_file_leaves_the_check_open(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Another name, another machine, another interval: the answers mean what they meant."""
    sitting = go_on(start(journal, shop, point), Person(0.0015), until="leaf2")
    there = point._replace(name="Blade at 90, renamed", every_days=9, undone_by=("knocked",))
    again = taken_up(journal, make_shop(there, make_point("jointer.fence")), there, clock)
    assert again is not None
    assert again.walk.answers == sitting.walk.answers
    assert again.step == sitting.step


def test_an_empty_drawer_cannot_begin_a_check(journal: SqliteJournal, clock: Clock) -> None:
    """And leaves nothing in the journal."""
    point = make_point()
    with pytest.raises(NotPossibleError):
        start(journal, replace(make_shop(point), drawer=Drawer()), point)
    assert journal.count() == 0
    assert waiting_in(journal, clock()) == {}


def test_what_the_screw_taught_is_known_at_the_next_visit(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """Through the journal: one visit learns, the next one advises by it."""
    assert job_for(shop, point, journal).mm_per_turn is None
    sitting = go_on(start(journal, shop, point), Person(0.003, then=(0.0,)))
    screw = sitting.walk.findings[1].outcome.readings["screw"]
    assert isinstance(screw, dict)
    learnt = screw["nm_per_turn"] / 1e6
    assert job_for(shop, point, journal).mm_per_turn == pytest.approx(learnt)
    uid = sitting.recorded["left.record"].uid
    journal.void(uid, "wrong leaf")
    assert job_for(shop, point, journal).mm_per_turn is None


def test_the_middle_one_of_the_last_three_lessons_counts(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """One bad reading does not spoil what was learnt before."""
    learnt = []
    for said in ("300 deg", "390 deg", "700 deg"):
        person = Person(0.003, then=(0.0,), said={"left.turned_by": said})
        sitting = go_on(start(journal, shop, point), person)
        screw = sitting.walk.findings[1].outcome.readings["screw"]
        assert isinstance(screw, dict)
        learnt.append(screw["nm_per_turn"] / 1e6)
    assert job_for(shop, point, journal).mm_per_turn == pytest.approx(sorted(learnt)[1])


def test_the_entry_says_what_was_found(journal: SqliteJournal, shop: Shop, point: Point) -> None:
    """Machine, point, run, verdict and the words for the side are on record."""
    sitting = go_on(start(journal, shop, point), Person(0.008), until="next")
    entry, outcome = sitting.recorded["record"], sitting.walk.findings[0].outcome
    assert isinstance(outcome, Outcome)
    assert (entry.machine, entry.point, entry.kind) == ("saw", "blade", "check")
    assert entry.body["run"] == "as-found"
    assert entry.body["verdict"] == outcome.verdict == "out"
    assert entry.body["lean"] == "it leans out"
    assert isinstance(sitting.walk.findings[0], Finding)


def test_the_same_result_tried_twice_is_the_same_though_the_first_try_came_through(
    journal: SqliteJournal, clock: Clock
) -> None:
    """The disk kept it, the answer was lost: what it holds by its wander is worked out alike."""
    shop = make_shop(make_point(every_days=365, every="1 year", adjuster=SCREW))
    check_over_the_years(journal, clock, shop, "saw.blade", GROWING)
    clock.pass_by(days=50)
    sitting = go_on(start(journal, shop, shop.points["saw.blade"]), Person(0.0), until="record")
    sitting.answer("")
    (kept,) = journal.recent("check", "saw", "blade", limit=1)
    assert "holds" in kept.body
    record_happening(journal, "saw", "knocked")
    clock.pass_by(days=3)
    again = CheckSitting(
        journal, sitting.job, sitting.point, sitting.method, sitting.uid, shop.accepted_risk
    )
    begun = journal.get(sitting.uid)
    before = [one for one in journal.thread(sitting.uid) if one.seq < kept.seq - 1]
    assert begun is not None
    again.take_up(begun, before)
    again.replay(before)
    again.answer("")
    assert again.recorded["record"] == kept
    assert len(journal.thread(sitting.uid)) == len(before) + 2  # its answer, itself


def test_a_past_that_cannot_be_read_keeps_no_result_from_the_record(
    journal: SqliteJournal, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It holds as long as the shop file says then."""
    shop = make_shop(make_point(every_days=365, every="1 year", adjuster=SCREW))
    check_over_the_years(journal, clock, shop, "saw.blade", GROWING)
    sitting = start(journal, shop, shop.points["saw.blade"])

    def unreadable(*_: object, **__: object) -> list[Entry]:
        raise JournalCannotWrite("The disk is gone.", "Look for it.")

    with monkeypatch.context() as patch:
        patch.setattr(journal, "recent", unreadable)
        go_on(sitting, Person(0.0), until="record").answer("")
    assert "holds" not in sitting.recorded["record"].body


def test_what_a_check_is_made_for_survives_a_kill(
    journal_path: Path, shop: Shop, point: Point, clock: Clock
) -> None:
    """It stands with the beginning: the same need, the same step, whatever died in between."""
    need = Need(3e-4, 0.95, "Staves", "bucket.staves", "over a test board", 1e-4)
    person = Person(0.0004)
    with closing(open_journal(journal_path, clock)) as journal:
        sitting = start(journal, shop, point, need=need)
        for _, said in steps(sitting, person):
            sitting.answer(said)
            if sitting.step is None:
                break
            with closing(open_journal(journal_path, clock)) as other:
                again = taken_up(other, shop, point, clock)
                assert again is not None
                assert again.job.need == need
                assert again.walk == sitting.walk
    with closing(open_journal(journal_path, clock)) as journal:
        plain = start(journal, shop, point)
        assert plain.job.need is None
        again = taken_up(journal, shop, point, clock)
        assert again is not None
        assert again.job.need is None


@pytest.mark.parametrize(
    ("found", "says"),
    [
        (
            (7, 9, 14, 18),
            r"True, at \d+ % of its tolerance; as it moves, 5 % chance of being out in (.+);"
            " set to the middle, it stays in tolerance until its next check is due anyway",
        ),
        ((-18, -14, -9, -5), "True, at|Setting it gains nothing now|Leave it"),
    ],
)  # fmt: skip
def test_the_advice_on_a_true_point_weighs_how_it_wanders(
    journal: SqliteJournal, clock: Clock, found: tuple[int, ...], says: str
) -> None:
    """What may be out soon is never said to be left alone; the day is that of the record."""
    limit = math.atan(20.9 / 12_000)
    tolerance = Tolerance(-limit, limit, "20.9 thou/ft")
    point = make_point(every_days=365, every="1 year", adjuster=SCREW, tolerance=tolerance)
    shop = make_shop(point)
    errors = [math.atan(thou / 12_000) for thou in found]
    check_over_the_years(journal, clock, shop, "saw.blade", errors[:-1], days=182)
    clock.pass_by(days=182)
    person = Person(errors[-1])
    sitting = go_on(start(journal, shop, point), person, until="record")
    step = sitting.step
    assert isinstance(step, Finding)
    assert step.outcome.verdict == "true"
    said = " ".join(correction_lines(sitting.job, step.outcome))
    assert (told := re.match(says, said)), said
    sitting.answer("")
    holds = sitting.recorded["record"].body.get("holds")
    if isinstance(holds, dict) and holds.get("days"):
        assert "Leave it" not in said
        assert told[1] == days_words(holds["days"])
    again = taken_up(journal, shop, point, clock) if sitting.step else None
    assert again is None or again.walk == sitting.walk


def test_how_a_point_wanders_ends_no_check_that_was_begun(
    journal: SqliteJournal, clock: Clock, shop: Shop, point: Point
) -> None:
    """The fingerprint of a check begun by an earlier version, which knew nothing of it, holds."""
    job = job_for(shop, point, journal)
    known = job._replace(wanders=Wanders(Wander("days", 1, 0, 0, 0, 1, 1, False, (), None,
                                                Scale(1, 1), ()), None, 0.05))  # fmt: skip
    assert fingerprint(known) == fingerprint(job)


@pytest.mark.parametrize("until", ["next", "left.adjust", "left.turned_by", "left.light"])
def test_a_result_that_was_taken_back_steers_no_correction(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock, until: str
) -> None:
    """The turn followed from it: neither on the screen nor after a pause does the check go on."""
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until=until)
    assert sitting.step is not None
    assert sitting.step.key == until
    before = len(kinds(journal, sitting.uid))
    journal.void(sitting.recorded["record"].uid, "misread")
    with pytest.raises(AnswerError, match="withdrawn"):
        sitting.answer("")
    assert len(kinds(journal, sitting.uid)) == before
    assert point.full_name not in waiting_in(journal, clock())  # nor is it offered
    begun = next(one for one in journal.open_checks() if one.uid == sitting.uid)
    assert resume(journal, shop, point, begun, clock()) is None
    assert kinds(journal, sitting.uid)[-1] == "end"
    moved = until in ("left.turned_by", "left.light")
    assert job_for(shop, point, journal).was_moved == moved  # the next result is as left then


def test_leaving_a_check_whose_result_was_taken_back_closes_it(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """It cannot be gone on with: nobody is told that it waits."""
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until="left.adjust")
    journal.void(sitting.recorded["record"].uid, "misread")
    assert "withdrawn" in sitting.leave()
    assert kinds(journal, sitting.uid)[-1] == "end"
    assert sitting.uid not in {one.uid for one in journal.open_checks()}


@pytest.mark.parametrize(("until", "moved"), [("next", False), ("left.adjust", True)])
def test_a_result_taken_back_while_it_is_set_leaves_no_older_one_true(
    journal: SqliteJournal, shop: Shop, point: Point, until: str, moved: bool
) -> None:
    """It was true before; with the screw slackened nobody knows. Before that it stands again."""
    go_on(start(journal, shop, point), Person(0.0))
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until=until)
    take_back(journal, sitting.recorded["record"].uid, "misread")
    assert job_for(shop, point, journal).was_moved == moved
    assert sitting.is_void


@pytest.mark.parametrize(("until", "closed"), [("next", True), ("left.adjust", True), ("", False)])
def test_of_a_result_taken_back_it_is_said_and_what_became_of_its_check(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock, until: str, closed: bool
) -> None:
    """Never checked would not be true; and a check that was open is gone, which nobody asked."""
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until=until)
    for one in journal.recent("check", point.machine, point.id):
        told = take_back(journal, one.uid, "misread")
    assert told.startswith("Withdrawn; it stays in the history.")
    assert ("Its open check is closed: begin it anew." in told) == closed
    assert (sitting.uid in {one.uid for one in unfinished(journal, clock()).values()}) is False
    stands = shop_standing(shop, gather(journal), clock()).of_point(point.full_name)
    assert stands is not None
    assert stands.state == "unproven"
    if until == "next":
        assert stands.reason == "not checked since its result was withdrawn"
        go_on(start(journal, shop, point), Person(0.0))
        again = shop_standing(shop, gather(journal), clock()).of_point(point.full_name)
        assert again is not None
        assert again.state == "true"


def test_a_screw_is_known_only_while_both_results_stand(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    """What it did was seen between as found and as left: misread one, and it was not seen."""
    first = go_on(start(journal, shop, point), Person(0.003, then=(0.0,)))
    known = job_for(shop, point, journal).mm_per_turn
    second = go_on(
        start(journal, shop, point),
        Person(0.003, then=(0.0,), said={"left.turned_by": "200 deg"}),
    )
    assert job_for(shop, point, journal).mm_per_turn != known
    journal.void(second.recorded["record"].uid, "misread")
    assert job_for(shop, point, journal).mm_per_turn == known
    journal.void(first.recorded["record"].uid, "misread")
    assert job_for(shop, point, journal).mm_per_turn is None


def test_a_check_is_told_how_many_knives_a_set_has() -> None:
    """Of the machine's own sets, and of those that serve it from another mode of one body."""
    text = f"""{metric_head("The loft")}
[[machine]]
id = "over"
name = "Jointer"
kind = "jointer"
body = "Combination"

[[machine.point]]
id = "knives"

[[machine.cutter]]
id = "set"
name = "Knives"
kind = "knives"
where = "on the machine"
state = "sharp"
pieces = 2
serves = "under"

[[machine]]
id = "under"
name = "Thicknesser"
kind = "planer"
body = "Combination"

[[machine.point]]
id = "bed"

[[machine]]
id = "old"
name = "Old jointer"
kind = "jointer"

[[machine.point]]
id = "knives"
"""
    shop = read_shop_text(text, "shop.toml", registry.names(), registry.facts()).shop
    told = {name: job_for(shop, point, None) for name, point in shop.points.items()}
    assert {name: job.knives for name, job in told.items()} == {
        "over.knives": (2,),
        "under.bed": (2,),
        "old.knives": (),
    }
    for job in told.values():  # one that was begun before this was told goes on
        assert fingerprint(job) == fingerprint(job._replace(knives=(3,)))
