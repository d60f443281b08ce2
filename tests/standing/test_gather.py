"""What is gathered of a journal in which one of each kind was recorded, place by place."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from types import SimpleNamespace

import pytest

from shopboard.journal import Entry, NewEntry, SqliteJournal
from shopboard.results.record import Holds
from shopboard.shop.machine import HOURS_RUN, Task
from shopboard.standing.gather import gather
from shopboard.standing.gathered import gathered_on
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Move, Past
from shopboard.standing.on_record import on_record
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tasks import Done
from tests.builders import make_point, make_shop
from tests.journal.helpers import Clock, voided
from tests.prep.results import proof_of, result
from tests.standing.test_judge import NOW, Told

ROUND = {"v": 1, "round": "r", "of": 3, "number": 1}
ENTRIES: tuple[tuple[str, str, str, dict[str, object]], ...] = (
    ("check", "saw", "blade", result(0.001, 1e-4)),
    ("check", "saw", "fence", {"v": 99}),
    ("check", "bench", "square", proof_of("square-6", 0.0, 1e-5)),
    ("moved", "saw", "blade", {"v": 1}),
    ("happening", "saw", "hours run", {"v": 1, "what": "hours run", "amount": 60.0, "total": 60.0}),
    ("happening", "planer", "knocked", {"v": 1, "what": "knocked"}),
    ("task", "saw", "wax", {"v": 1, "minutes": 60.0, "projects": 2.0}),
    ("cutter", "saw", "rip", {"v": 1, "what": "used", "of": "hours run"}),
    ("tag", "saw", "", {"v": 1, "out_of_use": True, "why": "the guard is off"}),
    ("tag", "planer", "", {"v": 1, "out_of_use": False, "why": "mended"}),
    ("round", "saw", "", dict(ROUND)),
    ("round", "planer", "", {**ROUND, "v": 99}),
)


@pytest.fixture
def recorded(journal: SqliteJournal, clock: Clock) -> dict[tuple[str, str, str], Entry]:
    """One entry an hour, by kind and place."""
    found = {}
    for number, (kind, machine, point, body) in enumerate(ENTRIES):
        clock.pass_by(hours=1)
        entry = NewEntry(f"e{number}", kind, machine, point, body)
        (found[kind, machine, point],) = journal.append([entry])
    return found


def test_each_kind_is_gathered_by_its_place(
    journal: SqliteJournal, recorded: dict[tuple[str, str, str], Entry]
) -> None:
    past = gather(journal)
    assert past.latest.keys() == {("saw", "blade"), ("bench", "square")}
    assert past.unreadable == 1
    assert past.latest["saw", "blade"].uid == recorded["check", "saw", "blade"].uid
    assert past.latest["saw", "blade"].clock_ok
    assert [one.point for one in past.proofs] == ["square"]
    moved = recorded["moved", "saw", "blade"]
    assert past.moves == {("saw", "blade"): Move(moved.seq, moved.when)}
    assert {(one.machine, one.what): (one.seq, one.total) for one in past.happenings} == {
        ("saw", "hours run"): (recorded["happening", "saw", "hours run"].seq, 60.0),
        ("planer", "knocked"): (recorded["happening", "planer", "knocked"].seq, 0.0),
    }
    done, entry = past.tasks["saw", "wax"], recorded["task", "saw", "wax"]
    assert (done.seq, done.when, done.minutes, done.projects) == (entry.seq, entry.when, 60, 2)
    assert past.cutters == {("saw", "rip"): recorded["cutter", "saw", "rip"]}
    assert past.tags == {"saw": "the guard is off"}
    assert past.cleared == {"planer": recorded["tag", "planer", ""].seq}
    assert past.rounds.keys() == {"saw"}
    assert past.damage is None


def test_what_was_recorded_while_the_clock_was_ahead_is_no_later_than_when_it_was_right(
    journal: SqliteJournal, recorded: dict[tuple[str, str, str], Entry], clock: Clock
) -> None:
    """Nobody knows how much earlier; what was recorded since is as told."""
    clock.now = recorded["check", "saw", "blade"].when + timedelta(minutes=1)
    right = clock.now
    journal.append([NewEntry("right", "clock", body={"v": 1})])
    clock.pass_by(hours=99)
    journal.append([NewEntry("later", "moved", "saw", "fence", {"v": 1})])
    past = gather(journal)
    assert past.latest["saw", "blade"].when < right
    assert past.latest["saw", "blade"].clock_ok
    assert past.latest["bench", "square"].when == right
    assert not past.latest["bench", "square"].clock_ok
    assert past.moves["saw", "blade"].when == right
    assert past.moves["saw", "fence"].when == clock.now
    assert {one.when for one in past.happenings} == {right}
    assert past.tasks["saw", "wax"].when == right


def same(one: Past | None, other: Past) -> bool:
    """Compare; the happenings stand in any order."""
    assert one is not None
    happened = sorted(one.happenings) == sorted(other.happenings)
    return happened and one._replace(happenings=()) == other._replace(happenings=())


def test_what_was_recorded_since_is_taken_in_place_by_place(
    journal: SqliteJournal, clock: Clock
) -> None:
    """It comes to what is gathered anew: also where a place had an entry before."""
    past, seq = Past(), 0
    assert gathered_on(journal, past, 0, 0) is past
    for number, (kind, machine, point, body) in enumerate(2 * ENTRIES):
        if body["v"] == 1 and point != "square":
            clock.pass_by(hours=1)
            journal.append([NewEntry(f"e{number}", kind, machine, point, body)])
            new = gathered_on(journal, past, seq, journal.last_seq())
            assert same(new, gather(journal))
            assert new is not None
            past, seq = new, journal.last_seq()
    tagged = NewEntry("t", "tag", "planer", "", {"v": 1, "out_of_use": True, "why": "belt"})
    cleared = NewEntry("c", "tag", "saw", "", {"v": 1, "out_of_use": False, "why": "on again"})
    journal.append([tagged, cleared])
    assert same(gathered_on(journal, past, seq, journal.last_seq()), gather(journal))


@pytest.mark.parametrize("number", [1, 2, 11, None])
def test_what_cannot_be_taken_in_has_all_gathered_anew(
    journal: SqliteJournal, number: int | None
) -> None:
    """A later program's entry, a proof of a tool, the clock set right."""
    kind, machine, point, body = ("clock", "", "", {"v": 1}) if number is None else ENTRIES[number]
    journal.append([NewEntry("e", kind, machine, point, body)])
    assert gathered_on(journal, Past(), 0, 1) is None


def test_very_many_and_what_could_not_be_read_have_it_gathered_anew(
    journal: SqliteJournal,
) -> None:
    moved = [NewEntry(f"m{number}", "moved", "saw", f"p{number}") for number in range(101)]
    journal.append(moved)
    assert gathered_on(journal, Past(), 0, 101) is None
    assert same(gathered_on(journal, Past(), 0, 100), gather(journal.as_of(100)))
    assert gathered_on(journal, Past(unreadable=1), 0, 100) is None
    assert gathered_on(journal, Past(), 101, 100) is None


def test_a_proof_that_was_taken_back_is_none(journal: SqliteJournal) -> None:
    """Beside an older one of the same tool that stands."""
    for uid in ("first", "second"):
        body = proof_of("square-6", 0.0, 1e-5)
        journal.append([NewEntry(uid, "check", "bench", "square", body)])
    assert [one.uid for one in gather(journal).proofs] == ["first", "second"]
    journal.void("second", "the knife slipped")
    assert [one.uid for one in gather(journal).proofs] == ["first"]


def test_what_was_taken_in_before_is_not_taken_in_again(journal: SqliteJournal) -> None:
    """The clock was set right before that: it has nothing gathered anew a second time."""
    journal.append([NewEntry("right", "clock", body={"v": 1}), NewEntry("n", "note")])
    past, seq = gather(journal), journal.last_seq()
    journal.append([NewEntry("m", "moved", "saw", "blade", {"v": 1})])
    assert same(gathered_on(journal, past, seq, journal.last_seq()), gather(journal))


def test_names_on_record_that_the_shop_file_no_longer_has() -> None:
    """Points by their results, tasks that were done and cutters by their entries."""
    saw = make_shop(make_point("saw.blade"))
    told = Told().check("saw.blade").check("saw.fence").check("planer.bed")
    done = {("saw", "wax"): Done(1, NOW)}
    known = on_record(Past(told.latest, tasks=done))
    assert known.gone(saw) == [("saw", "fence"), ("planer", "bed"), ("task", "saw", "wax")]
    waxed = saw.machines[0]._replace(tasks=(Task("wax", "Wax"),))
    assert known.gone(replace(saw, machines=(waxed,)))[2:] == []
    for sort, became, has in (
        ("point", "saw.fence", True),
        ("point", "saw.top", False),
        ("point", "planer", True),
        ("point", "lathe", False),
        ("task", "saw.wax", True),
        ("task", "saw.fence", False),
        ("cutter", "saw.wax", False),
    ):
        assert known.has_results(SimpleNamespace(sort=sort, became=became)) is has  # type: ignore[arg-type]


def test_what_was_recorded_as_the_clock_was_set_right_has_its_age(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Only a time after that is known to be wrong; that it is right can be withdrawn again."""
    journal.append([NewEntry("a", "check", "saw", "blade", result(0.0, 1e-4))])
    clock.pass_by(hours=1)
    journal.append([NewEntry("b", "check", "saw", "fence", result(0.0, 1e-4))])
    clock.pass_by(hours=-1)
    journal.append([NewEntry("c", "clock", body={"v": 1})])
    found = gather(journal).latest
    assert [found["saw", one].clock_ok for one in ("blade", "fence")] == [True, False]
    assert found["saw", "fence"].when == found["saw", "blade"].when
    voided(journal, "c", "it was the other computer")
    assert gather(journal).latest["saw", "fence"].clock_ok


def test_hours_that_were_taken_back_are_left_out_of_what_a_result_holds_by(
    journal: SqliteJournal,
) -> None:
    """It was taken after 60 minutes and holds 120 more; the 60 were another machine's."""
    point = make_point("saw.blade")
    shop = make_shop(point, make_point("planer.bed"))
    holds = {"holds": {"days": None, "minutes": 120, "total_minutes": 60.0, "why": "it wanders"}}
    for machine, hours in (("saw", 60.0), ("planer", 60.0)):
        record_happening(journal, machine, HOURS_RUN, hours, shop=shop)
    for name in ("saw", "planer"):
        point_id = "blade" if name == "saw" else "bed"
        journal.append([NewEntry(name, "check", name, point_id, result(0.0, 1e-4) | holds)])
    record_happening(journal, "saw", HOURS_RUN, 90.0, shop=shop)
    first = journal.recent("happening", "saw", HOURS_RUN)[-1]
    journal.void(first.uid, "the wrong machine")
    past = gather(journal)
    totals = {place: one.holds and one.holds.total_minutes for place, one in past.latest.items()}
    assert totals == {("saw", "blade"): 0.0, ("planer", "bed"): 60.0}
    assert {one.machine: one.total for one in past.happenings} == {"saw": 90.0, "planer": 60.0}
    (saw, planer) = shop_standing(shop, past, NOW).machines
    assert [one.points[0].state for one in (saw, planer)] == ["true", "true"]
    record_happening(journal, "saw", HOURS_RUN, 30.0, shop=shop)
    (saw, planer) = shop_standing(shop, gather(journal), NOW).machines
    assert [one.points[0].state for one in (saw, planer)] == ["due", "true"]


def test_a_machine_that_was_never_run_has_run_no_minute() -> None:
    """Though its result holds no longer than one."""
    told = Told().check("saw.blade")
    place = ("saw", "blade")
    told.latest[place] = told.latest[place]._replace(holds=Holds(None, 1, 0.0, "it wanders"))
    (saw,) = shop_standing(make_shop(make_point("saw.blade")), told.past(), NOW).machines
    assert saw.points[0].state == "true"
