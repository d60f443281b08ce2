"""Looking back: what was known then, and what changed since.

The reference is the program itself at that time: as each entry is recorded, how
everything stands is worked out and kept; later the look back must give the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import NewEntry, SqliteJournal, Store, open_journal
from shopboard.shop.model import Shop
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.look_back import ThenStanding, changes, events, stood, taken_back_since
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.happenings import record_happening
from tests.in_turn import part
from tests.journal.helpers import Clock, voided
from tests.upkeep.life import BODIES, ERRING, LIVES, TRUE_BODY, Act, live, shop_of

FAST = settings(max_examples=part(25), deadline=None)
START = datetime(2026, 6, 1, 8, tzinfo=UTC)


@contextmanager
def fresh() -> Iterator[tuple[SqliteJournal, Clock]]:
    """Give an empty journal of its own to each example."""
    clock = Clock()
    with TemporaryDirectory() as folder:
        journal = open_journal(Path(folder) / "j", clock)
        try:
            yield journal, clock
        finally:
            journal.close()


def as_known(standing: ShopStanding) -> object:
    """Give a standing without the marks of what was withdrawn later."""
    return [
        (
            machine.state,
            machine.tasks,
            machine.tag,
            [
                one._replace(record=one.record and one.record._replace(void=None))
                for one in machine.points
            ],
        )
        for machine in standing.machines
    ]


@FAST
@given(LIVES)
def test_at_every_entry_it_stands_as_it_stood_when_that_was_the_last_one(acts: list[Act]) -> None:
    shop = shop_of()
    with fresh() as (journal, clock):
        known: list[tuple[int, datetime, ShopStanding]] = []

        def keep(so_far: Store) -> None:
            now = clock()
            known.append((so_far.count(), now, shop_standing(shop, gather(so_far), now)))

        live(journal, clock, acts, after_each=keep)
        for seq, now, standing in known:
            then = shop_standing(shop, gather(journal.as_of(seq)), now)
            assert as_known(then) == as_known(standing)


@FAST
@given(st.one_of(LIVES, ERRING))
def test_at_the_end_of_the_journal_it_stands_as_it_does_now(acts: list[Act]) -> None:
    """Whatever the clock did in between."""
    shop = shop_of()
    with fresh() as (journal, clock):
        live(journal, clock, acts)
        newest = journal.newest_when()
        now = max(clock(), newest) if newest else clock()
        assert stood(journal, shop, now, now).standing == shop_standing(shop, gather(journal), now)
        end = journal.as_of(journal.count())
        assert gather(end) == gather(journal)


@FAST
@given(LIVES, st.floats(0, 1))
def test_a_moment_leads_to_the_entries_recorded_up_to_it(acts: list[Act], share: float) -> None:
    """With a clock that never erred: those whose time is not later."""
    with fresh() as (journal, clock):
        times: list[datetime] = []
        live(journal, clock, acts, after_each=lambda _: times.append(clock()))
        when = START - timedelta(hours=1) + share * (clock() - START + timedelta(hours=2))
        assert journal.seq_at(when) == sum(1 for one in times if one <= when)


@FAST
@given(ERRING)
def test_a_later_moment_never_leads_to_fewer_entries(acts: list[Act]) -> None:
    with fresh() as (journal, clock):
        live(journal, clock, acts)
        places = [journal.seq_at(START + timedelta(days=day)) for day in range(-500, 21_000, 250)]
        assert places == sorted(places)


def then(journal: Store, shop: Shop, when: datetime) -> ThenStanding:
    return stood(journal, shop, when, when + timedelta(days=365))


def told(journal: Store, shop: Shop, name: str, since: datetime, until: datetime) -> list[str]:
    """The words of what happened to a point."""
    before, after = then(journal, shop, since), then(journal, shop, until)
    found = changes(before.standing, after.standing)
    (change,) = [one for one in found if one.after.point.full_name == name]
    happened = events(journal, shop, change, before.upto, after.upto, until)
    return [one.words for one in happened]


def check(journal: Store, body: dict[str, object], point: str = "blade") -> str:
    return journal.append([NewEntry(f"c{journal.count()}", "check", "saw", point, body)])[0].uid


def test_a_result_taken_back_later_is_shown_as_it_was_known_with_a_mark(
    journal: SqliteJournal, clock: Clock
) -> None:
    shop = shop_of()
    uid = check(journal, BODIES[1])
    clock.pass_by(days=2)
    journal.void(uid, "wrong leaf")
    on = then(journal, shop, START + timedelta(days=1)).standing.of_point("saw.blade")
    assert on is not None
    assert (on.state, taken_back_since(on)) == ("out", "wrong leaf")
    after = then(journal, shop, START + timedelta(days=3)).standing.of_point("saw.blade")
    assert after is not None
    assert (after.state, taken_back_since(after)) == ("unproven", None)


def test_what_happened_in_between_is_told_in_its_order(
    journal: SqliteJournal, clock: Clock
) -> None:
    """Checks with what they found, moves, happenings that undo it, what was withdrawn and why."""
    shop = shop_of()
    check(journal, TRUE_BODY)
    clock.pass_by(days=1)
    record_happening(journal, "saw", "blade changed")
    record_happening(journal, "saw", "machine moved")  # undoes nothing here
    uid = check(journal, BODIES[1])
    journal.append([NewEntry("m", "moved", "saw", "blade", {"v": 1})])
    journal.void(uid, "wrong leaf")
    check(journal, TRUE_BODY)
    words = told(journal, shop, "saw.blade", START, START + timedelta(days=1))
    assert words[0] == "blade changed"
    assert words[1].startswith("checked, as-found: out, +5")
    assert words[2] == "re-set"  # "moved" would read like "machine moved"
    assert words[3] == "result of Tue 2 Jun 2026 withdrawn: wrong leaf"
    assert words[4].startswith("checked, as-found: true, ")
    assert len(words) == 5


def test_what_is_not_told_is_not_told_to_be_taken_back_either(
    journal: SqliteJournal, clock: Clock
) -> None:
    """A remark, which this program never withdraws, as another one could."""
    shop, since = shop_of(), clock()
    check(journal, TRUE_BODY)
    clock.pass_by(days=1)
    place = ("saw", "blade")
    journal.append([NewEntry("r", "remark", *place, {"v": 1, "words": "it hums"})])
    voided(journal, "r", "it was the planer")
    check(journal, TRUE_BODY)
    (words,) = told(journal, shop, "saw.blade", since, clock())
    assert words.startswith("checked, as-found: true, ")


def test_what_it_rests_on_set_anew_is_told(journal: SqliteJournal, clock: Clock) -> None:
    shop = shop_of()
    check(journal, TRUE_BODY)
    check(journal, TRUE_BODY, "fence")
    clock.pass_by(days=1)
    journal.append([NewEntry("m", "moved", "saw", "blade", {"v": 1})])
    assert told(journal, shop, "saw.fence", START, START + timedelta(days=1)) == ["Blade re-set"]


def test_the_calendar_is_told_where_nothing_else_happened(journal: SqliteJournal) -> None:
    shop = shop_of()
    check(journal, TRUE_BODY)
    words = told(journal, shop, "saw.blade", START, START + timedelta(days=31))
    assert words == ["due by the calendar: a check is good for 30 days"]


def test_a_result_that_its_wander_limits_is_not_said_to_hold_the_shop_files_interval(
    journal: SqliteJournal,
) -> None:
    shop = shop_of()
    why = "it wandered about 2 thou/ft a month over 9 checks"
    check(
        journal,
        {**TRUE_BODY, "holds": {"days": 12, "minutes": None, "total_minutes": 0, "why": why}},
    )
    words = told(journal, shop, "saw.blade", START, START + timedelta(days=31))
    assert words == ["due by how it moves: that result was good for 12 days"]


def test_only_what_changed_is_listed(journal: SqliteJournal, clock: Clock) -> None:
    """Another result counts as a change, even of the same state; a happening alone does not."""
    shop = shop_of()
    check(journal, TRUE_BODY)
    check(journal, TRUE_BODY, "fence")
    clock.pass_by(days=1)
    record_happening(journal, "saw", "machine moved")
    before = then(journal, shop, START).standing
    assert changes(before, then(journal, shop, clock()).standing) == []
    check(journal, TRUE_BODY)
    found = changes(before, then(journal, shop, clock()).standing)
    assert [one.after.point.full_name for one in found] == ["saw.blade"]
    assert found[0].before.state == found[0].after.state == "true"


def test_before_the_first_entry_nothing_was_known(journal: SqliteJournal) -> None:
    check(journal, TRUE_BODY)
    found = then(journal, shop_of(), START - timedelta(days=1))
    assert found.upto == 0
    assert found.standing.count("unproven") == 4


@pytest.mark.parametrize("year", [1970, 2099])
def test_entries_of_a_clock_that_was_wrong_for_a_day_keep_their_place(
    journal: SqliteJournal, clock: Clock, year: int
) -> None:
    """A day with the clock in 1970, or in 2099, lies between the days before and after it."""
    shop = shop_of()
    check(journal, TRUE_BODY)
    clock.now = datetime(year, 1, 1, 12, tzinfo=UTC)
    check(journal, BODIES[1])
    clock.now = START + timedelta(days=2)
    check(journal, TRUE_BODY, "fence")
    on = [journal.seq_at(START + timedelta(days=days)) for days in (-1, 1, 3)]
    assert on[0] == 0
    assert on[1] == (2 if year == 1970 else 1)
    assert on[2] == 3
    assert then(journal, shop, START + timedelta(days=3)).standing.of_point("saw.fence")


def test_the_present_has_every_entry_whatever_the_clock_did(
    journal: SqliteJournal, clock: Clock
) -> None:
    """No clock that ever was right: set back from one wrong time to another."""
    shop = shop_of()
    clock.now = datetime(1970, 1, 9, tzinfo=UTC)
    check(journal, TRUE_BODY)
    clock.now = datetime(1970, 1, 1, tzinfo=UTC)
    assert stood(journal, shop, clock(), clock()).upto == 1
