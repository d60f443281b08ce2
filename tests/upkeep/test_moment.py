"""A past day as a person writes it, in any time zone, over leap days and changes of the clocks.

The days on which clocks change are those of the IANA time zone database, asked
through Python's zoneinfo; the program itself asks the system's C library.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.upkeep.moment import Moment, MomentError, read_moment

ZONES = ("UTC", "America/New_York", "Europe/Berlin", "Australia/Lord_Howe", "America/Havana")
"""Lord Howe moves its clocks by half an hour; in Havana they change at midnight."""

NOW = datetime(2026, 11, 25, 15, tzinfo=UTC)
INSTANT = timedelta(microseconds=1)
Live = Callable[[str], ZoneInfo]

pytestmark = pytest.mark.skipif(not hasattr(time, "tzset"), reason="no way to set the time zone")


@pytest.fixture
def live_in(monkeypatch: pytest.MonkeyPatch) -> Iterator[Live]:
    """Let the computer's local time be that of a zone."""

    def live(zone: str) -> ZoneInfo:
        monkeypatch.setenv("TZ", zone)
        time.tzset()
        return ZoneInfo(zone)

    yield live
    monkeypatch.undo()
    time.tzset()


def read(text: str, now: datetime) -> Moment | str:
    """Read a moment; give the words of a refusal."""
    try:
        return read_moment(text, now)
    except MomentError as error:
        return str(error)


def day_ends(day: date, zone: ZoneInfo) -> datetime:
    """The instant before the local date becomes another one, found by looking at every minute."""
    start = datetime(day.year, day.month, day.day, 12, tzinfo=zone).astimezone(UTC)
    last = max(
        minute
        for minute in (start + timedelta(minutes=n) for n in range(24 * 60))
        if minute.astimezone(zone).date() == day
    )
    return last + timedelta(minutes=1) - INSTANT


@pytest.mark.parametrize("zone", ZONES)
@pytest.mark.parametrize(
    "day",
    [
        *(date(2026, 3, 7), date(2026, 3, 8), date(2026, 3, 9)),  # America, forward
        *(date(2026, 10, 31), date(2026, 11, 1), date(2026, 11, 2)),  # America, back
        *(date(2026, 3, 28), date(2026, 3, 29), date(2026, 10, 25)),  # Europe
        *(date(2026, 4, 4), date(2026, 4, 5), date(2026, 10, 4)),  # Australia
        *(date(2024, 2, 28), date(2024, 2, 29), date(2026, 2, 28), date(2025, 12, 31)),
    ],
)
def test_a_day_ends_when_the_local_date_changes(live_in: Live, zone: str, day: date) -> None:
    """Whether it has 23, 23.5, 24, 24.5 or 25 hours."""
    with_zone = live_in(zone)
    found = read_moment(day.isoformat(), NOW)
    assert found.when == day_ends(day, with_zone)
    assert found.words.startswith("the end of ")
    assert f" {day.day} " in found.words


@pytest.mark.parametrize(
    ("zone", "typed", "utc"),
    [
        ("America/New_York", "2026-11-01 01:30", "2026-11-01 06:31"),  # twice: the later one
        ("America/New_York", "2026-03-08 02:30", "2026-03-08 07:31"),  # never: as if not yet forth
        ("Europe/Berlin", "2026-10-25 02:30", "2026-10-25 01:31"),
        ("Europe/Berlin", "2026-03-29 02:30", "2026-03-29 01:31"),
        ("Australia/Lord_Howe", "2026-04-05 01:45", "2026-04-04 15:16"),
        ("Australia/Lord_Howe", "2026-10-04 02:15", "2026-10-03 15:46"),
        ("UTC", "2026-05-01T14:30", "2026-05-01 14:31"),
        ("UTC", "2026.5.1 9:05", "2026-05-01 09:06"),
    ],
)
def test_a_minute_is_read_with_its_end(live_in: Live, zone: str, typed: str, utc: str) -> None:
    live_in(zone)
    end = datetime.fromisoformat(f"{utc}Z")
    assert read_moment(typed, NOW).when == end - INSTANT


@pytest.mark.parametrize(
    ("typed", "day"),
    [
        ("1", date(2026, 11, 24)),
        ("12", date(2026, 11, 13)),
        ("12 days", date(2026, 11, 13)),
        ("1 day ago", date(2026, 11, 24)),
        ("yesterday", date(2026, 11, 24)),
        ("366", date(2025, 11, 24)),
        ("20260501", date(2026, 5, 1)),
        ("2026/5/1", date(2026, 5, 1)),
        ("  2026-05-01 ", date(2026, 5, 1)),
    ],
)
@pytest.mark.parametrize("zone", ZONES)
def test_days_ago_are_days_of_the_calendar(live_in: Live, zone: str, typed: str, day: date) -> None:
    """12 days ago, across the end of summer time, is still that date."""
    with_zone = live_in(zone)
    assert read_moment(typed, NOW.replace(hour=12)).when == day_ends(day, with_zone)


@pytest.mark.parametrize("typed", ["now", "today", "0", "2026-11-25", "2026-11-25 15:00"])
def test_today_is_up_to_now(live_in: Live, typed: str) -> None:
    live_in("UTC")
    assert read_moment(typed, NOW).when == NOW


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "nothing is not a day"),
        ("abc", "abc is not a day"),
        ("2026", "2026 is not a day"),
        ("2026-05", "2026-05 is not a day"),
        ("2026-5/1", "is not a day"),
        ("1.5.2026", "is not a day"),
        ("-3", "is not a day"),
        ("2026-02-29", "there is no day 2026-02-29"),
        ("2026-13-01", "there is no day"),
        ("0000-01-01", "there is no day"),
        ("2026-05-01 24:00", "there is no time 24:00"),
        ("2026-05-01 12:60", "there is no time"),
        ("2026-11-26", "still to come: today is Wed 25 Nov 2026"),
        ("2026-11-25 15:01", "still to come"),
        ("9999-12-31", "no records from 9999"),
        ("٢٠٢٦-٠٥-٠١", "is not a day"),
        ("\x1b[2J", "is not a day"),
    ],
)
def test_what_is_no_past_day_is_refused_with_what_is(live_in: Live, typed: str, says: str) -> None:
    live_in("UTC")
    with pytest.raises(MomentError) as refused:
        read_moment(typed, NOW)
    words = str(refused.value)
    assert says in words
    assert first_unfit(words) is None


@pytest.mark.parametrize("zone", ["America/New_York", "Asia/Tokyo"])
@pytest.mark.parametrize("typed", ["0001-01-01", "1969-12-31", "99999"])
def test_days_before_there_were_computers_are_read_or_refused_in_words(
    live_in: Live, zone: str, typed: str
) -> None:
    live_in(zone)
    found = read(typed, NOW)
    if isinstance(found, str):
        assert "there are no records" in found
    else:
        assert found.when < datetime(1970, 1, 2, tzinfo=UTC)


@pytest.mark.parametrize("year", [1970, 2099])
def test_a_clock_that_is_wrong_still_counts_its_days(live_in: Live, year: int) -> None:
    live_in("Europe/Berlin")
    now = datetime(year, 6, 15, 12, tzinfo=UTC)
    assert read_moment("14", now).when == datetime(year, 6, 1, 22, tzinfo=UTC) - INSTANT + (
        timedelta(hours=1) if year == 1970 else timedelta(0)
    )


@given(st.text(max_size=30), st.datetimes(datetime(1971, 1, 1), datetime(2100, 1, 1)))  # noqa: DTZ001
def test_any_text_gives_a_past_moment_or_words(text: str, now: datetime) -> None:
    here = now.replace(tzinfo=UTC)
    found = read(text, here)
    if isinstance(found, str):
        assert first_unfit(found) is None
    else:
        assert found.when <= here
