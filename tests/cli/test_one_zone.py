"""All times of the data stand in one zone, whether a record or the plan tells them."""

from __future__ import annotations

import re
import time
from collections.abc import Iterator

import pytest

from tests.cli.program import Program
from tests.two_shops import COMBINATION, METRIC

HOURS = 'hours = "8:00 to 17:00"\n\n[[drawer'


@pytest.fixture(autouse=True)
def _five_hours_west(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "EST5")  # POSIX: five hours behind UTC, all the year
    time.tzset() if hasattr(time, "tzset") else None
    yield
    monkeypatch.undo()
    time.tzset() if hasattr(time, "tzset") else None


@pytest.mark.skipif(not hasattr(time, "tzset"), reason="this system has one zone")
@pytest.mark.parametrize("shop", [METRIC, COMBINATION])
def test_a_record_and_the_plan_tell_their_times_in_one_zone(program: Program, shop: str) -> None:
    program.write("shop.toml", shop.replace("[[drawer", HOURS, 1))
    assert program("prep", "--begin", "--for", "2 days").code == 0
    assert program("tag", "saw", "the guard is off").code == 0
    assert program("happened", "saw", "knocked").code == 0
    for command in (("prep",), ("status",), ("tasks",), ("history",), ("cutters",), ("changes",)):
        text = program(*command, "--json").out
        zones = re.findall(r'T\d\d:\d\d:\d\d(?:\.\d+)?([^"]+)"', text)
        assert {*zones} <= {"-05:00"}, command
        if command == ("prep",):
            assert len(zones) > 4
