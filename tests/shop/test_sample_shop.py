"""The sample shop: what a newcomer reads first is short, right, and held by its own tools."""

from __future__ import annotations

import pytest

from shopboard.base.locations import sample_path
from shopboard.checks.ranking import rank
from shopboard.checks.registry import facts, names
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.shop.machine import Point
from shopboard.shop.reader import read_shop
from shopboard.sittings.point_job import job_for

TEXT = sample_path().read_text(encoding="utf-8")
SHOP = read_shop(sample_path(), names(), facts())


def test_it_is_read_in_five_minutes() -> None:
    """At 250 words a minute (common practice, no source), every value counted as a word."""
    assert len(TEXT.splitlines()) <= 400
    assert len([word for word in TEXT.split() if word[0].isalnum() or word[0] == '"']) <= 1250


def test_it_fits_a_narrow_window() -> None:
    assert max(map(len, TEXT.splitlines())) <= 100


def test_nothing_in_it_is_odd() -> None:
    assert SHOP.warnings == ()


@pytest.mark.parametrize("point", SHOP.shop.points.values(), ids=lambda point: point.full_name)
def test_its_drawer_proves_every_point(point: Point) -> None:
    """By each method that the point names."""
    job = job_for(SHOP.shop, point, None)
    for method in point.checks:
        assert rank(job, (method,))[0].proves, method


def test_it_shows_what_a_shop_file_can_say() -> None:
    """A combination machine, a tool that is proven, a wait, a project and a cutter that serves."""
    machines = SHOP.shop.machines
    points = SHOP.shop.points.values()
    assert len({one.body for one in machines if one.body}) == 1
    assert any(one.proves for one in points)
    assert {type(one.adjuster) for one in points} >= {Screw, Slot}
    assert any(step.wait_minutes for one in machines for task in one.tasks for step in task.steps)
    assert any(one.serves for machine in machines for one in machine.cutters)
    assert {joint.kind for one in SHOP.shop.projects for joint in one.joints} >= {"panel", "frame"}
