"""What a point rests on counts on the day that is asked about, too: a metric shop of its own."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import CLOCK, NewEntry, new_uid
from shopboard.open_shop import Desk
from shopboard.prep.answers import answers_of, needs_of
from shopboard.prep.glue_up import Answer
from shopboard.prep.wanted import wanted
from tests.journal.helpers import Clock
from tests.prep.test_known import add
from tests.shop_head import metric_head

SHOP = (
    metric_head("The sail loft")
    + """\

[[machine]]
id = "saw"
name = "Saw"
kind = "table saw"

[[machine.point]]
id = "trunnion"
name = "Trunnion"
check = "square"
datum = "table"
face = "plate"
lever = "120 mm"
tolerance = "1.5 mm/m"
every = "2 weeks"

[[machine.point]]
id = "wing"
name = "Wing"
check = "square"
datum = "table"
face = "plate"
lever = "120 mm"
tolerance = "1.5 mm/m"
every = "2 weeks"

[[machine.point]]
id = "blade"
name = "Blade upright"
check = "square"
datum = "table"
face = "plate"
lever = "120 mm"
tolerance = "1.5 mm/m"
rests_on = ["trunnion", "wing"]
shows_in = "bevel"

[[project]]
id = "tub"
name = "Tub"
start = 2026-06-20

[[project.joint]]
id = "staves"
name = "Staves"
kind = "stave ring"
pieces = 12
thickness = "18 mm"
[project.joint.fit]
gap = "1 mm"
"""
)


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset() if hasattr(time, "tzset") else None
    yield
    monkeypatch.undo()
    time.tzset() if hasattr(time, "tzset") else None


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    """The loft on 1 June, all measured just now and true: the bases hold until 15 June."""
    shop = tmp_path / "shop.toml"
    shop.write_text(SHOP, encoding="utf-8")
    with closing(Desk(shop, tmp_path / "journal.sqlite3", clock)) as made:
        for name in ("saw.trunnion", "saw.wing", "saw.blade"):
            add(made, name)
        yield made


def asked(desk: Desk) -> Answer:
    return answers_of(desk, desk.shop.projects[0].joints)[0]


def test_a_base_that_is_due_by_the_start_day_is_told_and_planned(desk: Desk, clock: Clock) -> None:
    """A GO of today, while the project says that nothing proves it on the day of its wood."""
    assert asked(desk).go
    project = desk.shop.projects[0]
    (joint,) = needs_of(desk, project).joints
    assert joint.stands == "not proven"
    assert joint.unknown[0].why == "rests on Trunnion, due on Mon 15 Jun 2026"
    found = wanted(desk, project)
    assert not found.to_check  # checked on 1 June they would be due again by the 20th
    then = "is due again by Sat 20 Jun 2026: check it then, not now."
    assert found.notes == (f"Saw: Trunnion {then}", f"Saw: Wing {then}")
    clock.pass_by(days=8)
    desk.refresh()
    assert {*wanted(desk, project).to_check} == {"saw.trunnion", "saw.wing"}
    add(desk, "saw.trunnion")
    add(desk, "saw.wing")
    assert needs_of(desk, project).joints[0].stands == "fits"
    clock.pass_by(days=11, hours=1)  # the day has come
    desk.refresh()
    assert asked(desk).go


def test_a_base_measured_by_a_clock_that_was_ahead_has_no_age(desk: Desk, clock: Clock) -> None:
    """It may be older than its two weeks, whatever the point that rests on it is worth."""
    clock.pass_by(days=300)
    add(desk, "saw.wing")
    clock.pass_by(days=-300)
    desk.journal.append([NewEntry(new_uid(), CLOCK, body={"v": 1})])
    add(desk, "saw.trunnion")
    add(desk, "saw.blade")
    found = asked(desk)
    assert not found.go
    assert "rests on Wing, measured while the clock was wrong" in found.reasons[0].words
    assert found.reasons[0].points == ("saw.wing",)
    add(desk, "saw.wing")
    assert asked(desk).go


def test_two_bases_are_asked_for_and_not_the_point_that_waits_for_them(
    desk: Desk, clock: Clock
) -> None:
    clock.pass_by(days=15)
    desk.refresh()
    (reason,) = asked(desk).reasons
    assert reason.points == ("saw.trunnion", "saw.wing")
    assert reason.to_do == "check first Saw: Trunnion, then 1 more"
    words = "Saw: Blade upright waits: true by itself; rests on Trunnion"
    assert reason.words.startswith(words)  # as on the board, not "is due"
