"""The sample shop: what a newcomer reads first is short, right, and held by its own tools."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest

from shopboard.base.locations import sample_path
from shopboard.checks.ranking import rank
from shopboard.checks.registry import facts, names
from shopboard.journal import NewEntry, new_uid
from shopboard.metrology.adjuster import Screw, Slot
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of
from shopboard.shop.machine import Point
from shopboard.shop.reader import read_shop
from shopboard.sittings.point_job import job_for
from tests.journal.helpers import Clock
from tests.prep.results import result

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
    assert any(one.pieces > 1 for machine in machines for one in machine.cutters)
    assert any(task.each for one in machines for task in one.tasks)
    assert "# hours = " in TEXT, "the demo is looked at at any hour"
    assert {joint.kind for one in SHOP.shop.projects for joint in one.joints} >= {"panel", "frame"}


def test_its_drawer_lets_every_joint_be_glued_up(tmp_path: Path, clock: Clock) -> None:
    """Every point in the middle of what is allowed, known as well as its best method tells."""
    with closing(OpenShop(sample_path(), tmp_path / "journal.sqlite3", clock)) as at:
        for point in at.shop.points.values():
            best = rank(job_for(at.shop, point, None), point.checks)[0]
            middle = (point.tolerance.low + point.tolerance.high) / 2
            body = result(middle, best.expanded / 2, point.tolerance.kind)
            at.journal.append([NewEntry(new_uid(), "check", point.machine, point.id, body)])
        at.refresh()
        joints = [one for project in at.shop.projects for one in project.joints]
        held = [one.joint.name for one in answers_of(at, joints) if not one.go]
        assert joints
        assert held == []
