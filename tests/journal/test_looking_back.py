"""The journal as it was: every question gets the answer that it got then.

The reference is the journal itself: each question is asked when an entry has
just been recorded, and asked again of the look back when there are many more.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import (
    Entry,
    JournalCannotWrite,
    KeptJournal,
    NewEntry,
    SqliteJournal,
    Store,
    open_journal,
)
from tests.in_turn import part
from tests.journal.helpers import Clock, check, voided

PLACES = [("saw", "blade"), ("saw", "fence"), ("saw", ""), ("planer", "blade"), ("", "")]

QUESTIONS: dict[str, Callable[[Store], object]] = {
    "latest": lambda journal: {kind: journal.latest(kind) for kind in ("check", "begin", "void")},
    "recent": lambda journal: [journal.recent("check", *place, 3) for place in PLACES],
    "standing": lambda journal: [journal.recent("check", *place, 3, False) for place in PLACES],
    "machine": lambda journal: [
        journal.machine_entries("check", machine, 4) for machine, _ in PLACES
    ],
    "thread": lambda journal: [journal.thread(f"e{n}") for n in range(6)],
    "get": lambda journal: [journal.get(f"e{n}") for n in range(40)],
    "open visits": lambda journal: journal.open_checks(),
    "count": lambda journal: journal.count(),
    "newest time": lambda journal: journal.newest_when(),
}


def unmarked(answer: object) -> object:
    """Leave out why an entry was voided: a look back tells it, the journal then could not know."""
    if isinstance(answer, Entry):
        return answer._replace(void=None)
    if isinstance(answer, dict):
        return {key: unmarked(one) for key, one in answer.items()}
    if isinstance(answer, list):
        return [unmarked(one) for one in answer]
    return answer


STEPS = st.lists(
    st.tuples(
        st.sampled_from(["check", "check", "begin", "end", "void", "clock"]),
        st.integers(0, len(PLACES) - 1),
        st.integers(0, 30),
        st.sampled_from([0.0, 0.5, 30.0, -0.01, -20.0, 400.0]),
    ),
    min_size=2,
    max_size=30,
)
"""What is recorded, where, which entry it speaks of, and how many days pass before."""


@settings(max_examples=part(40), deadline=None)
@given(STEPS)
def test_every_question_is_answered_as_it_was_then(
    steps: list[tuple[str, int, int, float]],
) -> None:
    clock = Clock()
    with TemporaryDirectory() as folder, closing(open_journal(Path(folder) / "j", clock)) as whole:
        answers: list[tuple[int, dict[str, object]]] = []
        voided: set[str] = set()
        for number, (kind, where, which, days) in enumerate(steps):
            clock.now = max(clock.now + timedelta(days=days), datetime(2026, 1, 2, tzinfo=UTC))
            entry = NewEntry(f"e{number}", kind, *PLACES[where])
            if kind in ("void", "end"):
                target = whole.get(f"e{which}")
                if target is None or target.uid in voided or target.kind == "void":
                    continue
                if kind == "void":
                    voided.add(target.uid)
                    entry = entry._replace(body={"v": 1, "reason": "a mistake"})
                entry = entry._replace(refers=target.uid)
            whole.append([entry])
            answers.append((whole.count(), {name: ask(whole) for name, ask in QUESTIONS.items()}))
        for seq, then in answers:
            back = whole.as_of(seq)
            for name, ask in QUESTIONS.items():
                assert unmarked(ask(back)) == unmarked(then[name]), name


def test_what_was_voided_later_stands_and_says_why(store: KeptJournal) -> None:
    (entry,) = store.append([check()])
    store.void(entry.uid, "wrong leaf")
    back = store.as_of(entry.seq)
    assert back.latest("check")["saw", "blade"].void == "wrong leaf"
    assert [one.void for one in back.recent("check", "saw", "blade", 5, False)] == ["wrong leaf"]
    assert store.as_of(2).latest("check") == {}


def test_a_look_back_from_a_look_back_goes_no_further_forward(store: KeptJournal) -> None:
    store.append([check(n=n) for n in range(5)])
    back = store.as_of(3)
    assert back.as_of(5).count() == 3
    assert back.as_of(2).count() == 2
    assert back.seq_at(datetime(2030, 1, 1, tzinfo=UTC)) == 3
    assert [one.seq for one in back.between("check", "saw", "blade", 1, 5)] == [3, 2]


def test_nothing_is_added_to_the_past(store: KeptJournal) -> None:
    (entry,) = store.append([check()])
    back = store.as_of(1)
    assert not back.writable
    with pytest.raises(JournalCannotWrite, match="as it was"):
        back.append([check()])
    with pytest.raises(JournalCannotWrite, match="as it was"):
        back.void(entry.uid, "no")
    assert store.count() == 1
    back.close()
    assert store.count() == 1  # the journal stays open
    assert back.verify() is None


def test_between_gives_one_point_between_two_numbers_newest_first(store: KeptJournal) -> None:
    """The first number is left out, the last one is in; voided ones are among them."""
    store.append([check(point, n=n) for n in range(6) for point in ("blade", "fence")])
    told = store.between("check", "saw", "blade", 3, 9)
    assert [entry.seq for entry in told] == [9, 7, 5]
    store.void(told[0].uid, "no")
    told = store.between("check", "saw", "blade", 3, 9, 2)
    assert [(entry.seq, entry.void) for entry in told] == [(9, "no"), (7, None)]
    assert store.between("check", "saw", "blade", 9, 3) == []
    assert store.between("moved", "saw", "blade", 0, 99) == []


DAY = timedelta(days=1)


def days(journal: Store, clock: Clock, *times: datetime) -> None:
    """Record one check at each time."""
    for one in times:
        clock.now = one
        journal.append([check()])


def test_a_moment_leads_to_the_last_entry_up_to_it(store: KeptJournal, clock: Clock) -> None:
    start = clock.now
    assert store.seq_at(start) == 0
    days(store, clock, start, start + DAY, start + 2 * DAY)
    second = timedelta(microseconds=1)
    assert [store.seq_at(one) for one in (start - second, start, start + DAY - second)] == [
        *(0, 1, 1)
    ]
    assert [store.seq_at(start + n * DAY) for n in (1, 2, 900)] == [2, 3, 3]


def test_a_clock_without_a_battery_does_not_move_what_came_before(
    store: KeptJournal, clock: Clock
) -> None:
    """Entries of 1970 lie where they were recorded: after the first day, before the third."""
    start, wrong = clock.now, datetime(1970, 1, 1, tzinfo=UTC)
    days(store, clock, start, wrong, wrong + DAY, start + 2 * DAY)
    assert [store.seq_at(start + n * DAY) for n in (-1, 0, 1, 2)] == [0, 3, 3, 4]


def test_a_clock_that_was_ahead_does_not_hide_what_came_after(
    store: KeptJournal, clock: Clock
) -> None:
    """A time that is still to come was wrong: what follows it has its own times."""
    start = clock.now
    days(store, clock, start, datetime(2099, 1, 1, tzinfo=UTC), start + DAY, start + 2 * DAY)
    assert [store.seq_at(start + n * DAY) for n in (-1, 0, 1, 2)] == [0, 1, 3, 4]


def test_a_clock_said_to_be_right_is_believed_from_there_on(
    store: KeptJournal, clock: Clock
) -> None:
    """The later times before it are not: neither for the newest time nor for what follows."""
    start = clock.now
    days(store, clock, start, start + 300 * DAY, start + DAY)
    assert store.newest_when() == start + 300 * DAY
    (said,) = store.append([NewEntry("c", "clock")])
    assert said.clock_ok
    assert store.newest_when() == start + DAY
    clock.pass_by(days=1)
    assert store.append([check()])[0].clock_ok
    clock.pass_by(days=-1.5)
    assert not store.append([check()])[0].clock_ok
    clock.now = start + 400 * DAY
    assert [store.seq_at(start + n * DAY) for n in (0, 1, 2, 300)] == [1, 4, 6, 6]


def test_a_clock_before_this_program_was_written_cannot_be_said_to_be_right(
    store: KeptJournal, clock: Clock
) -> None:
    clock.now = datetime(1970, 1, 1, tzinfo=UTC)
    assert not store.append([NewEntry("c", "clock")])[0].clock_ok
    assert store.newest_when() is None


def test_a_visit_that_ended_later_was_open(store: KeptJournal) -> None:
    store.append(
        [NewEntry("v1", "begin"), NewEntry("v2", "begin"), NewEntry("e", "end", refers="v1")]
    )
    voided(store, "v2", "at the wrong machine")
    open_then = [[one.uid for one in store.as_of(seq).open_checks()] for seq in range(5)]
    assert open_then == [[], ["v1"], ["v2", "v1"], ["v2"], []]


def test_a_moment_among_years_of_entries_is_found_at_once(
    journal: SqliteJournal, clock: Clock
) -> None:
    start = clock.now
    for _ in range(100):
        journal.append([check() for _ in range(200)])
        clock.pass_by(days=10)
    best = 1e9
    for _ in range(20):
        began = time.perf_counter()
        assert journal.seq_at(start + timedelta(days=495)) == 10_000
        best = min(best, time.perf_counter() - began)
    assert best < 0.003  # the table walked from there would take ten times as long
