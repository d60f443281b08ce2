"""Clocks that are wrong, that change, and journals that come from elsewhere."""

from __future__ import annotations

import platform
import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard.base.dates import OF_NO_AGE, day
from shopboard.journal import NewEntry
from shopboard.open_shop import OpenShop
from shopboard.sittings.check import start
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import PointStanding
from tests.builders import Person, make_point, make_shop
from tests.cli.program import SHOP
from tests.journal.helpers import Clock
from tests.standing.test_judge import Told

FENCE = "jointer.fence"
UNKNOWN = f"measured {OF_NO_AGE}"
MONTH = 'tolerance = "0.2 deg"\nevery = "30 days"\n'


@pytest.fixture
def shop_file(tmp_path: Path) -> Path:
    """The shop of the command line's tests, with a jointer to be checked every 30 days."""
    head, tail = SHOP.rsplit('tolerance = "0.2 deg"\n', 1)
    path = tmp_path / "shop.toml"
    path.write_text(head + MONTH + tail, encoding="utf-8")
    return path


@pytest.fixture
def open_shop(shop_file: Path, journal_path: Path, clock: Clock) -> Iterator[OpenShop]:
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        yield open_shop


def check(open_shop: OpenShop, error: float = 0.0) -> None:
    sitting, person = (
        start(open_shop.journal, open_shop.shop, open_shop.shop.points[FENCE]),
        Person(error),
    )
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))
    open_shop.refresh()


def fence(open_shop: OpenShop) -> PointStanding:
    open_shop.refresh()
    found = open_shop.standing.of_point(FENCE)
    assert found is not None
    return found


def test_a_clock_set_back_and_forth_while_running_changes_no_standing(
    open_shop: OpenShop, clock: Clock
) -> None:
    """Time stands still while the clock is behind the newest record; it never runs backward."""
    check(open_shop)
    right, shown = clock.now, [open_shop.now()]
    for days in (-1, -400, -20_000, 0, 10, -5, 29):
        clock.now = right + timedelta(days=days)
        assert fence(open_shop).state == "true"
        assert open_shop.clock_is_wrong is (days < 0)
        shown.append(open_shop.now())
    assert min(shown) == right
    clock.now = right + timedelta(days=30)
    assert fence(open_shop).state == "due"


def test_a_check_gone_on_with_while_the_clock_is_set_back_stays_open(
    open_shop: OpenShop, clock: Clock
) -> None:
    sitting, person = (
        start(open_shop.journal, open_shop.shop, open_shop.shop.points[FENCE]),
        Person(0.0),
    )
    assert sitting.step is not None
    sitting.answer(person.answer(sitting.step, sitting.job))
    clock.pass_by(days=-3)
    open_shop.refresh()
    assert list(open_shop.waiting) == [FENCE]
    while sitting.step is not None:
        sitting.answer(person.answer(sitting.step, sitting.job))
    assert fence(open_shop).reason == UNKNOWN


def test_a_clock_in_1970_is_wrong_even_with_an_empty_journal(
    open_shop: OpenShop, clock: Clock
) -> None:
    assert not open_shop.clock_is_wrong
    clock.now = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
    assert open_shop.clock_is_wrong
    check(open_shop)
    assert fence(open_shop).reason == UNKNOWN
    assert "1970" in day(open_shop.history(FENCE)[0].when)


def test_results_of_2099_make_all_due_until_the_clock_is_said_to_be_right(
    open_shop: OpenShop, clock: Clock
) -> None:
    """Then nobody knows how old they are: it could be any day, and they hold thirty."""
    check(open_shop)
    today = clock.now
    clock.now = datetime(2099, 1, 1, tzinfo=UTC)
    check(open_shop)
    clock.now = today + timedelta(days=1)
    assert open_shop.clock_is_wrong
    assert open_shop.now().year == 2099
    open_shop.journal.append([NewEntry("right", "clock", body={"v": 1})])
    found = fence(open_shop)
    assert not open_shop.clock_is_wrong
    assert open_shop.now() == clock.now
    assert (found.state, found.reason) == ("due", UNKNOWN)
    assert found.record is not None
    assert found.record.age(open_shop.now(), "checked") == "checked, age unknown"
    check(open_shop)
    assert fence(open_shop).state == "true"
    assert fence(open_shop).due_on == clock.now + timedelta(days=30)
    assert fence(open_shop).record == open_shop.history(FENCE)[0]
    assert open_shop.history(FENCE)[0].clock_ok


def test_a_leap_day_is_a_day(open_shop: OpenShop, clock: Clock) -> None:
    """28 Feb 2028 and 30 days: 29 days of March would be wrong by one."""
    clock.now = datetime(2028, 2, 28, 12, tzinfo=UTC)
    check(open_shop)
    due = fence(open_shop).due_on
    assert due is not None
    assert due.astimezone(UTC).date().isoformat() == "2028-03-29"
    clock.now = datetime(2028, 2, 29, 12, tzinfo=UTC)
    assert "29 Feb 2028" in day(clock.now)
    assert fence(open_shop).state == "true"


def test_another_computer_is_named_until_this_one_has_recorded(
    shop_file: Path, journal_path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(platform, "node", lambda: "laptop")
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert open_shop.other_computer() == ""
        check(open_shop)
        assert open_shop.other_computer() == ""
    clock.pass_by(days=155)
    monkeypatch.setattr(platform, "node", lambda: "bench\x1b[2J")
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        words = open_shop.other_computer()
        assert words == (
            "This journal was last written on another computer (laptop), on Mon 1 Jun 2026."
        )
        check(open_shop)
        assert open_shop.other_computer() == ""
    monkeypatch.setattr(platform, "node", lambda: "laptop")
    with closing(OpenShop(shop_file, journal_path, clock)) as open_shop:
        assert "(bench<U+001B>[2J)" in open_shop.other_computer()


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="no way to set the time zone")
@pytest.mark.parametrize(
    ("zone", "utc", "shown"),
    [
        ("America/New_York", "2026-03-08 06:59", "2026-03-08 01:59"),
        ("America/New_York", "2026-03-08 07:00", "2026-03-08 03:00"),  # clocks went forward
        ("America/New_York", "2026-11-01 05:30", "2026-11-01 01:30"),
        ("America/New_York", "2026-11-01 06:30", "2026-11-01 01:30"),  # and back: the same again
        ("Europe/Berlin", "2026-03-29 01:00", "2026-03-29 03:00"),
        ("Europe/Berlin", "2026-10-25 01:00", "2026-10-25 02:00"),
        ("Australia/Lord_Howe", "2026-10-03 15:29", "2026-10-04 01:59"),
        ("Australia/Lord_Howe", "2026-10-03 15:30", "2026-10-04 02:30"),  # by half an hour
        ("Australia/Lord_Howe", "2028-02-29 00:00", "2028-02-29 11:00"),
    ],
)
def test_a_journal_shows_the_local_times_of_the_computer_that_reads_it(
    open_shop: OpenShop,
    clock: Clock,
    monkeypatch: pytest.MonkeyPatch,
    zone: str,
    utc: str,
    shown: str,
) -> None:
    """Whatever zone it was recorded in; around the changes of the clocks, too (IANA's data)."""
    clock.now = datetime.fromisoformat(f"{utc}Z")
    check(open_shop)
    with monkeypatch.context() as patch:
        patch.setenv("TZ", zone)
        time.tzset()
        when = open_shop.history(FENCE)[0].when
        assert f"{when.astimezone():%Y-%m-%d %H:%M}" == shown
        assert shown[:4] in day(when)
        assert fence(open_shop).state == "true"
    time.tzset()


def test_a_record_from_the_future_counts_as_made_now() -> None:
    """It is true, and due an interval from now: no later than it would be if made this moment."""
    now = datetime(2026, 6, 1, 8, tzinfo=UTC)
    point = make_point(every_days=30)
    past = Told().check("saw.blade", when=datetime(2099, 1, 1, tzinfo=UTC)).past()
    found = shop_standing(make_shop(point), past, now).of_point("saw.blade")
    assert found is not None
    assert (found.state, found.due_on) == ("true", now + timedelta(days=30))
