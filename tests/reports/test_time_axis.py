"""The dates below a plot: at their true places, in local time, never on top of each other."""

from __future__ import annotations

import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from shopboard.reports.time_axis import time_axis
from tests.in_turn import part

ZONES = ("UTC", "Europe/Berlin", "America/St_Johns", "Pacific/Apia")


@pytest.fixture(params=ZONES)
def zone(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[ZoneInfo]:
    """Let local time be that of a zone; some change their clocks twice a year."""
    if not hasattr(time, "tzset"):
        pytest.skip("this system sets no time zone for one program")
    monkeypatch.setenv("TZ", request.param)
    time.tzset()
    yield ZoneInfo(request.param)
    monkeypatch.undo()
    time.tzset()


SPANS = st.one_of(
    st.timedeltas(timedelta(minutes=1), timedelta(days=3)),
    st.timedeltas(timedelta(days=3), timedelta(days=800)),
    st.timedeltas(timedelta(days=800), timedelta(days=365 * 60)),
)
ENDS = st.datetimes(datetime(2000, 1, 1), datetime(2060, 1, 1))  # noqa: DTZ001


@given(ENDS, SPANS, st.integers(28, 190))
@example(datetime(2012, 1, 1), timedelta(days=3), 28)  # noqa: DTZ001  Apia had no 30 December 2011
@settings(
    max_examples=part(100),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_every_date_stands_at_its_own_column(
    zone: ZoneInfo, end: datetime, span: timedelta, columns: int
) -> None:
    """Read back: a label with its neighbours gives a local time that falls into its column."""
    end = end.replace(tzinfo=UTC)
    axis = time_axis(end - span, end, columns)
    ticks = axis.ticks()
    seconds = (axis.end - axis.start).total_seconds() / columns
    for tick in ticks:
        assert 0 <= tick.column < columns
        first = (axis.start + timedelta(seconds=seconds * tick.column)).astimezone(zone)
        last = (axis.start + timedelta(seconds=seconds * (tick.column + 1))).astimezone(zone)
        days = {(first + timedelta(hours=h)).date() for h in range(int(seconds // 3600) + 2)}
        days |= {first.date(), last.date()}
        if ":" in tick.label:
            hour = int(tick.label[:2])
            assert any((first + timedelta(minutes=m)).hour == hour for m in range(0, 130, 10))
        elif tick.label.isdigit():
            assert any((d.year, d.month, d.day) == (int(tick.label), 1, 1) for d in days)
        elif " " in tick.label:
            assert any(f"{d.day} {d:%b}" == tick.label for d in days)
        else:
            assert any(d.day == 1 and f"{d:%b}" == tick.label for d in days)
    for before, after in pairwise(ticks):
        if ":" in f"{before.label}{after.label}":
            assert before.column <= after.column  # an hour may be missing: its label is left out
        else:
            assert before.column + len(before.label) < after.column


@pytest.mark.parametrize("columns", [31, 71, 151])
@pytest.mark.parametrize("days", [0.01, 1, 3, 14, 91, 365, 1500, 3653, 20000, 100000])
def test_there_is_a_date_below_every_span(days: float, columns: int) -> None:
    """At least two, so that the reader has a scale; from hours to centuries."""
    end = datetime(2026, 6, 1, 8, tzinfo=UTC)
    assert len(time_axis(end - timedelta(days=days), end, columns).ticks()) >= 2


def test_the_calendar_may_end() -> None:
    """Nothing fails at either end of what a date can be."""
    for end in (datetime(9999, 12, 31, 12, tzinfo=UTC), datetime(1, 1, 5, tzinfo=UTC)):
        assert isinstance(time_axis(end - timedelta(days=2), end, 80).ticks(), list)
