"""What a person types of the time that they have; each meaning told by hand."""

from __future__ import annotations

from datetime import datetime, timedelta

import pytest

from shopboard.metrology.quantity import QuantityError
from shopboard.prep.time_had import TimeHad
from shopboard.prep.time_read import read_time

NOW = datetime(2026, 6, 10, 14, 3).astimezone()


def at(hour: int, minute: int = 0) -> TimeHad:
    return TimeHad(until=NOW.replace(hour=hour, minute=minute))


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("45", TimeHad(NOW + timedelta(minutes=45), any_hours=True)),
        ("1 h 30 min", TimeHad(NOW + timedelta(minutes=90), any_hours=True)),
        ("half an hour", TimeHad(NOW + timedelta(minutes=30), any_hours=True)),
        ("an hour", TimeHad(NOW + timedelta(hours=1), any_hours=True)),
        ("24 h", TimeHad(NOW + timedelta(days=1), any_hours=True)),
        ("until 17", at(17)),
        ("17.30", at(17, 30)),  # a number pad has no colon
        ("Until 5:30 PM", at(17, 30)),
        ("2 days", TimeHad(days=2)),
        ("14d", TimeHad(days=14)),
    ],
)
def test_it_is_read_as_it_is_said(typed: str, meant: TimeHad) -> None:
    assert read_time(typed, NOW) == meant


def test_24_00_is_the_end_of_today() -> None:
    assert read_time("24:00", NOW) == TimeHad(NOW.replace(hour=0, minute=0) + timedelta(days=1))


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ("until 99pm", "there is no time 99:00 pm: from 1 to 12 with am or pm"),
        ("13 pm", "there is no time 13:00 pm"),
        ("until 17:75", "there is no time 17:75: from 0:00 to 24:00"),
        ("until 5", 'that is over today: it is 14:03; did you mean "until 17:00"?'),
        ("until 2", "that is over today: it is 14:03$"),
        ("9 am", "that is over today: it is 14:03$"),
        ("0 days", "whole days, from 1 to 14"),
        ("1000 days", "whole days, from 1 to 14"),
        ("1.5 days", "whole days, from 1 to 14"),
        ("25 h", 'more than a day: write "2 days"'),
        ("until noon", 'write a time of today such as "until 17:00"'),
        ("until 2 days", "write a time of today"),
        ("half a day", "whole days, from 1 to 14"),
        ("half as long", 'write "45 min", "2 h", "until 17:00" or "2 days"'),
        ("0", "it must be more than 0"),
        ("1e300 h", "exponents are not accepted"),
        ("99999999999999999999 h", "larger than anything in a shop"),
        ("", '^write "45 min"'),
    ],
)
def test_what_cannot_be_meant_is_refused(typed: str, told: str) -> None:
    with pytest.raises(QuantityError, match=told):
        read_time(typed, NOW)
