"""A wrong clock is noticed, and never decides the order."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

import pytest

from shopboard.journal import JournalError, KeptJournal
from tests.journal.helpers import Clock, check


def test_the_order_is_that_of_recording(store: KeptJournal, clock: Clock) -> None:
    """An entry recorded later counts as newer, though the clock was set back."""
    store.append([check(n=1)])
    clock.pass_by(days=-400)
    (second,) = store.append([check(n=2)])
    assert store.latest("check")["saw", "blade"] == second
    assert [entry.body["n"] for entry in store.recent("check", "saw", "blade")] == [2, 1]


@pytest.mark.parametrize(("minutes", "right"), [(5, True), (-1, True), (-2, True), (-3, False)])
def test_a_clock_behind_the_newest_entry_is_marked(
    store: KeptJournal, clock: Clock, minutes: float, right: bool
) -> None:
    """The network sets clocks back by seconds; more than two minutes is a fault."""
    store.append([check()])
    clock.pass_by(minutes=minutes)
    assert store.append([check()])[0].clock_ok is right


def test_a_clock_that_fell_back_to_its_beginning_is_marked(
    store: KeptJournal, clock: Clock
) -> None:
    """A computer without a clock battery starts in the past, even with an empty store."""
    clock.now = datetime(2025, 12, 31, 23, 59, tzinfo=UTC)
    assert not store.append([check()])[0].clock_ok


def test_marked_entries_do_not_move_the_newest_time(store: KeptJournal, clock: Clock) -> None:
    """While the clock is wrong, every entry says so, and the newest right time stays."""
    assert store.newest_when() is None
    store.append([check()])
    right = clock.now
    clock.pass_by(days=-30)
    for _ in range(3):
        assert not store.append([check()])[0].clock_ok
        clock.pass_by(minutes=1)
    assert store.newest_when() == right


def test_voiding_an_entry_from_the_future_heals_the_clock(store: KeptJournal, clock: Clock) -> None:
    """A clock set a year ahead once would mark a year of entries, were that entry not voided."""
    clock.pass_by(days=365)
    (ahead,) = store.append([check()])
    clock.pass_by(days=-365)
    assert not store.append([check()])[0].clock_ok
    store.void(ahead.uid, "the clock was a year ahead")
    assert store.append([check()])[0].clock_ok


def test_times_are_kept_in_utc(store: KeptJournal, clock: Clock) -> None:
    """A clock that speaks local time is understood, one without a zone is refused."""
    clock.now = clock.now.astimezone(timezone(timedelta(hours=-7)))
    (entry,) = store.append([check()])
    assert entry.when == clock.now
    assert entry.when.tzinfo is UTC
    clock.now = clock.now.replace(tzinfo=None)
    with pytest.raises(JournalError, match="zone"):
        store.append([check()])
