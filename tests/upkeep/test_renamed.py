"""A machine, point, task or cutter that changed its id keeps all that is on record of it.

The reference is a journal in which everything was recorded under the new names
from the start: under today's names, the renamed one gives the same answers.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import (
    JournalError,
    NewEntry,
    SqliteJournal,
    Store,
    kinds,
    open_journal,
)
from shopboard.results.references import proven_drawer
from shopboard.shop.machine import HAPPENINGS, Point
from shopboard.shop.model import Shop
from shopboard.shop.renames import renames_of
from shopboard.sittings.check import resume, start
from shopboard.sittings.point_job import learnt_advance
from shopboard.sittings.waiting import unfinished
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import PointStanding
from shopboard.upkeep.happenings import newest_happenings, record_happening
from shopboard.upkeep.renamed import Renamed
from tests.builders import SCREW, Person, make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.results.test_references import DRAWER, FLIP, SQUARE, prove
from tests.sittings.test_check import go_on
from tests.upkeep.life import LIVES, POINTS, Act, live, shop_of

OLD = ("tablesaw.blade-90", "tablesaw.fence", "thicknesser.table", "jointer.guide")
"""What POINTS were called before."""

WAS = {
    "saw": ("tablesaw",),
    "saw.blade": ("blade-90",),
    "planer": ("thicknesser",),
    "planer.bed": ("table",),
    "jointer.fence": ("guide",),
    "wax": ("waxing",),
    "rip": ("ripper",),
}
KINDS = ("check", "moved", "happening", "task", "cutter", "tag", "begin", "end", "void")
Place = tuple[str, str]
AT_POINTS: list[Place] = [(name.split(".")[0], name.split(".")[1]) for name in (*POINTS, *OLD)]
ON: dict[str, list[Place]] = {
    "happening": [(one, what) for one in ("saw", "jointer") for what in HAPPENINGS],
    "task": [(one, task) for one in ("saw", "jointer") for task in ("wax", "waxing")],
    "cutter": [(one, cutter) for one in ("saw", "jointer") for cutter in ("rip", "ripper")],
    "tag": [(one, "") for one in ("saw", "tablesaw", "planer", "thicknesser")],
}
"""Places of the kinds that are not of points."""
PLACES = {kind: ON.get(kind, AT_POINTS) for kind in KINDS}
PLACES["void"] = [*AT_POINTS, *(place for places in ON.values() for place in places)]


def under_todays_names(journal: Store, shop: Shop) -> Store:
    renames = renames_of(shop)
    assert renames is not None
    return Renamed(journal, renames)


@contextmanager
def two() -> Iterator[tuple[SqliteJournal, SqliteJournal, Clock, Clock]]:
    """Give two empty journals, with clocks that go alike."""
    clocks = Clock(), Clock()
    with TemporaryDirectory() as folder, ExitStack() as stack:
        journals = [
            stack.enter_context(closing(open_journal(Path(folder) / name, clock)))
            for name, clock in zip("ab", clocks, strict=True)
        ]
        yield journals[0], journals[1], *clocks


@settings(max_examples=part(25), deadline=None)
@given(LIVES, st.floats(0, 1))
def test_renaming_leaves_every_answer_and_every_standing_unchanged(
    acts: list[Act], share: float
) -> None:
    """Recorded under the old names up to some day, under the new ones from then on."""
    shop, renamed_shop = shop_of(), shop_of(was=WAS)
    split = round(share * len(acts))
    with two() as (old, new, old_clock, new_clock):
        live(new, new_clock, acts)
        names = [OLD if number < split else POINTS for number in range(len(acts))]
        live(old, old_clock, acts, names_at=names.__getitem__)
        found = under_todays_names(old, renamed_shop)
        assert old.count() == new.count()
        half = new.count() // 2
        for mine, theirs in ((found, new), (found.as_of(half), new.as_of(half))):
            assert_same_answers(mine, theirs)
            now = new_clock()
            there = shop_standing(renamed_shop, gather(mine), now)
            here = shop_standing(shop, gather(theirs), now)
            assert [one.state for one in there.machines] == [one.state for one in here.machines]
            for one, other in zip(there.machines, here.machines, strict=True):
                assert [*map(unnamed, one.points)] == [*map(unnamed, other.points)]
                assert [task[1:] for task in one.tasks] == [task[1:] for task in other.tasks]
                assert [cut[2:] for cut in one.cutters] == [cut[2:] for cut in other.cutters]
                assert one.tag == other.tag


def unnamed(one: PointStanding) -> object:
    """Give how a point stands, whatever `was` says of it and of what undid it."""
    undone = one.undone and (one.undone.happening, one.undone.root.full_name)
    return one._replace(undone=None)[1:], undone


def assert_same_answers(mine: Store, theirs: Store) -> None:
    renames = renames_of(shop_of(was=WAS))
    assert renames is not None
    for kind in KINDS:
        assert mine.latest(kind) == theirs.latest(kind)
        for machine in ("saw", "planer", "jointer"):
            for limit in (2, 200):
                entries = mine.machine_entries(kind, machine, limit)
                assert entries == theirs.machine_entries(kind, machine, limit)
        for place in PLACES[kind]:
            today = renames.place(kinds.point_of(kind), *place)
            for limit in (1, 200):
                for void in (True, False):
                    entries = mine.recent(kind, *place, limit, void)
                    assert entries == theirs.recent(kind, *today, limit, void)
            assert mine.between(kind, *place, 3, 12) == theirs.between(kind, *today, 3, 12)
    assert mine.open_checks() == theirs.open_checks()
    for number in range(30):
        assert mine.thread(f"entry-{number}") == theirs.thread(f"entry-{number}")
        assert mine.get(f"entry-{number}") == theirs.get(f"entry-{number}")
    assert mine.newest_when() == theirs.newest_when()
    assert mine.count() == theirs.count()
    assert mine.verify() is None


POINT = make_point("saw.blade", adjuster=SCREW)
BEFORE = POINT._replace(machine="tablesaw", id="blade-90")


@pytest.fixture
def shop() -> Shop:
    """The shop of today."""
    return renamed(POINT, ("tablesaw",), ("blade-90",))


def renamed(point: Point, machine: tuple[str, ...], names: tuple[str, ...]) -> Shop:
    made = make_shop(point._replace(was=names))
    return replace(made, machines=(made.machines[0]._replace(was=machine),))


def test_an_unfinished_check_goes_on_under_its_new_name(
    journal: SqliteJournal, shop: Shop, clock: Clock
) -> None:
    """From the step where it stood, to a result that the new name has."""
    go_on(start(journal, make_shop(BEFORE), BEFORE), Person(0.0), until="record")
    clock.pass_by(hours=1)
    today = under_todays_names(journal, shop)
    waiting = unfinished(today, clock())
    assert list(waiting) == ["saw.blade"]
    sitting = resume(today, shop, shop.points["saw.blade"], waiting["saw.blade"], clock())
    assert sitting is not None
    assert sitting.step is not None
    assert sitting.step.key == "record"
    go_on(sitting, Person(0.0))
    assert unfinished(today, clock()) == {}
    assert [one.verdict for one in gather(today).latest.values()] == ["true"]


def test_an_answer_that_was_given_under_the_old_name_counts_as_given(
    journal: SqliteJournal, shop: Shop, clock: Clock
) -> None:
    """Two hands at one check, of which one already reads the new file."""
    old = go_on(start(journal, make_shop(BEFORE), BEFORE), Person(0.0), until="record")
    today = under_todays_names(journal, shop)
    waiting = unfinished(today, clock())["saw.blade"]
    new = resume(today, shop, shop.points["saw.blade"], waiting, clock())
    assert new is not None
    old.answer("")
    count = journal.count()
    new.answer("")
    assert journal.count() == count
    assert new.recorded["record"].machine == "saw"


def test_what_the_screw_was_seen_to_do_stays_known(
    journal: SqliteJournal, shop: Shop, clock: Clock
) -> None:
    go_on(start(journal, make_shop(BEFORE), BEFORE), Person(0.008, then=(0.002, 0.0)))
    seen = learnt_advance(journal, BEFORE, None)
    assert seen is not None
    today = under_todays_names(journal, shop)
    assert learnt_advance(today, shop.points["saw.blade"], None) == seen


def test_a_proof_of_the_bench_stays_a_proof(journal: SqliteJournal) -> None:
    """The square is known by it, whatever the point that proves it is called now."""
    shop = make_shop(SQUARE, drawer=DRAWER)
    prove(journal, shop, SQUARE, FLIP)
    known = proven_drawer(shop, journal)
    assert known != shop.drawer
    moved = SQUARE._replace(machine="references", id="six", was=("bench.square-6",))
    today = make_shop(moved, drawer=DRAWER)
    assert proven_drawer(today, journal) == today.drawer
    assert proven_drawer(today, under_todays_names(journal, today)) == known


def test_a_running_total_goes_on(journal: SqliteJournal, shop: Shop) -> None:
    record_happening(journal, "tablesaw", "hours run", 90)
    today = under_todays_names(journal, shop)
    entry = record_happening(today, "saw", "hours run", 30)
    assert (entry.machine, entry.body["total"]) == ("saw", 120)
    whats = [one.body["amount"] for one in newest_happenings(today, "saw")]
    assert whats == [30, 90]


def test_a_point_that_went_to_another_machine_leaves_the_first(journal: SqliteJournal) -> None:
    """What else happened to the first machine stays there; however many of its results left."""
    guide, table = make_point("combo.guide"), make_point("combo.table")
    moved = make_point("jointer.guide", was=("combo.guide",))
    for point in ("guide", "guide", "guide", "table", "guide", "guide"):
        journal.append([NewEntry(f"{journal.count()}", "check", "combo", point, {"v": 1})])
    record_happening(journal, "combo", "knocked")
    today = under_todays_names(journal, make_shop(table, moved))
    assert [one.point for one in today.machine_entries("check", "combo", 2)] == ["table"]
    assert [one.uid for one in today.machine_entries("check", "jointer", 2)] == ["5", "4"]
    assert set(today.latest("check")) == {("combo", "table"), ("jointer", "guide")}
    assert set(today.latest("happening")) == {("combo", "knocked")}
    assert [one.uid for one in today.recent("check", guide.machine, guide.id)][:1] == ["5"]


def test_a_task_of_the_same_name_as_an_old_point_stays_a_task(journal: SqliteJournal) -> None:
    journal.append([NewEntry("t", "task", "saw", "blade-90", {"v": 1})])
    shop = make_shop(POINT._replace(was=("blade-90",)))
    assert set(under_todays_names(journal, shop).latest("task")) == {("saw", "blade-90")}


def test_what_is_taken_back_is_taken_back_under_both_names(
    journal: SqliteJournal, shop: Shop
) -> None:
    sitting = go_on(start(journal, make_shop(BEFORE), BEFORE), Person(0.0))
    today = under_todays_names(journal, shop)
    entry = today.void(sitting.recorded["record"].uid, "a slip")
    assert (entry.machine, entry.point) == ("saw", "blade")
    assert gather(today).latest == gather(journal).latest == {}
    with pytest.raises(JournalError, match="withdrawn already"):
        today.void(sitting.recorded["record"].uid, "again")
    assert today.writable
    assert today.refusal is None
    today.close()
