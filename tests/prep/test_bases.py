"""What a point rests on counts on the day that is asked about, too: a metric shop of its own."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of, needs_of
from shopboard.prep.glue_up import GlueUpAnswer
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
def open_shop(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    """The loft on 1 June, all measured just now and true: the bases hold until 15 June."""
    shop = tmp_path / "shop.toml"
    shop.write_text(SHOP, encoding="utf-8")
    with closing(OpenShop(shop, tmp_path / "journal.sqlite3", clock)) as made:
        for name in ("saw.trunnion", "saw.wing", "saw.blade"):
            add(made, name)
        yield made


def asked(open_shop: OpenShop) -> GlueUpAnswer:
    return answers_of(open_shop, open_shop.shop.projects[0].joints)[0]


def test_a_base_that_is_due_by_the_start_day_is_told_and_planned(
    open_shop: OpenShop, clock: Clock
) -> None:
    """A GO of today, while the project says that nothing proves it on the day of its wood."""
    assert asked(open_shop).go
    project = open_shop.shop.projects[0]
    (joint,) = needs_of(open_shop, project).joints
    assert joint.stands == "not proven"
    assert joint.unknown[0].why == "depends on Trunnion, due on Mon 15 Jun 2026"
    found = wanted(open_shop, project)
    assert not found.to_check  # checked on 1 June they would be due again by the 20th
    then = "due again by Sat 20 Jun 2026. To settle it: check it then, not now."
    assert [one.words for one in found.notes] == [f"Saw, Trunnion: {then}", f"Saw, Wing: {then}"]
    clock.pass_by(days=8)
    open_shop.refresh()
    assert {*wanted(open_shop, project).to_check} == {"saw.trunnion", "saw.wing"}
    add(open_shop, "saw.trunnion")
    add(open_shop, "saw.wing")
    assert needs_of(open_shop, project).joints[0].stands == "fits"
    clock.pass_by(days=11, hours=1)  # the day has come
    open_shop.refresh()
    assert asked(open_shop).go


def test_a_base_measured_by_a_clock_that_was_ahead_has_no_age(
    open_shop: OpenShop, clock: Clock
) -> None:
    """It may be older than its two weeks, whatever the point that rests on it is worth."""
    clock.pass_by(days=300)
    add(open_shop, "saw.wing")
    clock.pass_by(days=-300)
    open_shop.journal.append([NewEntry(new_uid(), "clock", body={"v": 1})])
    add(open_shop, "saw.trunnion")
    add(open_shop, "saw.blade")
    found = asked(open_shop)
    assert not found.go
    assert "depends on Wing, measured while the clock was wrong" in found.reasons[0].words
    assert found.reasons[0].points == ("saw.wing",)
    add(open_shop, "saw.wing")
    assert asked(open_shop).go


def test_two_bases_are_asked_for_and_not_the_point_that_waits_for_them(
    open_shop: OpenShop, clock: Clock
) -> None:
    clock.pass_by(days=15)
    open_shop.refresh()
    (reason,) = asked(open_shop).reasons
    assert reason.points == ("saw.trunnion", "saw.wing")
    assert reason.to_do == "check first Saw: Trunnion, then 1 more"
    words = "Saw: Blade upright waits: true by itself; depends on Trunnion"
    assert reason.words.startswith(words)  # as on the board, not "is due"


@pytest.mark.parametrize("how", ["out", "near", "moved", "never checked"])
def test_what_is_not_only_too_old_is_asked_for_now_though_it_is_due_again_by_then(
    open_shop: OpenShop, how: str
) -> None:
    """A base to set right is not left until the morning on which the wood is cut."""
    if how == "moved":
        open_shop.journal.append([NewEntry(new_uid(), "moved", "saw", "wing", {"v": 1})])
        open_shop.refresh()
    elif how == "never checked":
        (entry,) = open_shop.journal.recent("check", "saw", "wing", 1)
        open_shop.journal.void(entry.uid, "wrong leaf")
        open_shop.refresh()
    else:
        add(open_shop, "saw.wing", 0.003 if how == "out" else 0.0015)
        add(open_shop, "saw.blade")
    stands = open_shop.standing.of_point("saw.wing")
    assert stands is not None
    assert stands.state == (how if how in ("out", "near") else "unproven")
    found = wanted(open_shop, open_shop.shop.projects[0])
    assert "saw.wing" in found.to_check
    assert not [note for note in found.notes if "Wing" in note]
