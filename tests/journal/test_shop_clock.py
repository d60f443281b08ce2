"""What time it is in the shop, and who wrote last."""

from __future__ import annotations

import platform
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from shopboard.base.dates import day
from shopboard.base.server_place import JournalPlace
from shopboard.journal import KeptJournal, open_journal
from shopboard.journal.computer import written_elsewhere
from shopboard.journal.shop_clock import ShopClock
from tests.journal.helpers import Clock, check

NEWEST = datetime(2026, 6, 1, 8, 0, tzinfo=UTC)
FIRST_DAY, END = datetime(2026, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)
MOMENT = timedelta(microseconds=1)


def clock(shows: datetime, newest: datetime | None = NEWEST) -> ShopClock:
    return ShopClock(lambda: shows, newest)


@pytest.mark.parametrize(
    ("shows", "now", "clock_now", "wrong"),
    [
        (NEWEST, NEWEST, NEWEST, False),
        (NEWEST + timedelta(days=9), NEWEST + timedelta(days=9), NEWEST + timedelta(days=9), False),
        (NEWEST - timedelta(seconds=120), NEWEST, NEWEST - timedelta(seconds=120), False),
        (NEWEST - timedelta(seconds=121), NEWEST, NEWEST - timedelta(seconds=121), True),
        (FIRST_DAY, NEWEST, FIRST_DAY, True),
        (FIRST_DAY - MOMENT, NEWEST, NEWEST, True),
        (END - MOMENT, END - MOMENT, END - MOMENT, False),
        (END, END, END, True),
        (END + timedelta(days=9), END, END + timedelta(days=9), True),
    ],
)
def test_a_clock_makes_nothing_younger_and_is_told_to_be_wrong(
    shows: datetime, now: datetime, clock_now: datetime, wrong: bool
) -> None:
    """Two minutes behind is what the network sets right; before 2026 there was no program."""
    told = clock(shows)
    assert (told.now(), told.clock_now(), told.is_wrong) == (now, clock_now, wrong)


def test_where_nothing_was_recorded_the_clock_alone_tells() -> None:
    for shows, wrong in ((FIRST_DAY, False), (FIRST_DAY - MOMENT, True), (END, True)):
        told = clock(shows, None)
        assert (told.now(), told.clock_now(), told.is_wrong) == (shows, shows, wrong)


def test_who_wrote_last_is_told_where_it_was_another_computer(
    place: JournalPlace, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(platform, "node", lambda: "bench")
    with closing(open_journal(place, Clock())) as journal:
        journal.append([check()])
        assert written_elsewhere(journal, None) == ""  # nobody said who
    first, last = Clock(), Clock()
    last.pass_by(days=3)
    for name, now, told in (("bench", first, ""), ("the\x1blaptop", last, "laptop")):
        with closing(open_journal(place, now, computer=named(name))) as journal:
            journal.append([check()])
            _says(journal, None, told, now.now)
            _says(journal, now.now + timedelta(days=2), told, now.now + timedelta(days=2))
            _says(journal, now.now - timedelta(days=2), told, now.now)


def named(name: str) -> Callable[[], str]:
    return lambda: name


def _says(journal: KeptJournal, newest: datetime | None, name: str, when: datetime) -> None:
    told = written_elsewhere(journal, newest)
    assert bool(told) is bool(name)
    if name:
        assert f"{name}), on {day(when)}." in told
        assert "\x1b" not in told
