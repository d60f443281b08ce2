"""Which points of the sample shop hold up which of its joints, by the geometry of the work.

A board is guided by all that it lies on and runs along while its cut is made; what these were
proven against counts with them. That is walked here joint by joint; what is not named must not
hold it up (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import Desk
from shopboard.prep.answers import answers_of
from shopboard.prep.glue_up import Answer
from shopboard.upkeep.happenings import record_happening
from tests.journal.helpers import Clock
from tests.prep.results import result

SAMPLE = Path(__file__).parents[2] / "sample_shop.toml"

SLED = {"saw.sled-fence", "saw.blade", "saw.blade-slot", "saw.sled-stop"}
"""Fence and stop of the sled; the blade, whose lean shows; the slot that the sled runs in."""

JOINTER = {"jointer.fence-outfeed", "jointer.fence-infeed", "jointer.tables", "jointer.knives"}
"""An edge is begun along the fence's infeed end and ended along its outfeed end."""

BAND = {"bandsaw.wheels", "bandsaw.tension", "bandsaw.guides"}
"""A slack band that nothing holds at its sides stands no way when the table is squared to it."""

MATTERS = {
    "top": JOINTER | {"jointer.outfeed-table", "bench.straightedge"},
    "case": SLED,
    "drawers": SLED,
    "door-leaves": BAND | {"bandsaw.table-side", "bandsaw.fence", "planer.bed", "planer.knives"},
    "staves": {"saw.blade"},
    "doors": {"mitre.stop-45", "mitre.blade-table", "mitre.blade-fence", "mitre.stop"},
    "rails": {"mitre.blade-fence", "mitre.blade-table", "mitre.stop"},
    "rim": {"saw.sled-fence", "saw.blade", "saw.blade-slot"},
}


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    """The sample shop, every point measured just now, in the middle of what is allowed."""
    with closing(Desk(SAMPLE, tmp_path / "journal.sqlite3", clock)) as made:
        for name in made.shop.points:
            add(made, name)
        made.refresh()
        yield made


def add(desk: Desk, name: str, error: float | None = None) -> None:
    """Record a result, so fine that it is certain."""
    machine, _, point = name.partition(".")
    tolerance = desk.shop.points[name].tolerance
    said = tolerance.kind in ("yes or no", "note")
    best = 0.0 if said else (tolerance.low + tolerance.high) / 2
    sigma = 0.0 if said else (tolerance.high - tolerance.low) / 500
    body = result(best if error is None else error, sigma, tolerance.kind)
    desk.journal.append([NewEntry(new_uid(), "check", machine, point, body)])


def asked(desk: Desk, name: str) -> Answer:
    desk.refresh()
    joints = (one for project in desk.shop.projects for one in project.joints)
    return answers_of(desk, [one for one in joints if one.id == name])[0]


@pytest.mark.parametrize("name", MATTERS)
def test_each_point_that_matters_holds_a_joint_up_and_no_other(desk: Desk, name: str) -> None:
    assert asked(desk, name).go
    held = set()
    for point in desk.shop.points:
        machine, _, ident = point.partition(".")
        move = desk.journal.append([NewEntry(new_uid(), "moved", machine, ident, {"v": 1})])[0]
        if not asked(desk, name).go:
            held.add(point)
        desk.journal.void(move.uid, "was not touched")
    assert held == MATTERS[name]


def test_a_bandsaw_fence_that_leans_shows_in_the_leaves(desk: Desk) -> None:
    """5.33 mm/m over 6 in: 0.81 mm, where 10 thou (0.25 mm) are wanted."""
    add(desk, "bandsaw.fence", 5.33e-3)
    found = asked(desk, "door-leaves")
    assert not found.go
    assert found.needs.fits[0].likely == pytest.approx(6 * 25.4 * math.tan(5.33e-3), rel=1e-3)


def test_other_knives_that_were_never_checked_hold_up_a_panel(desk: Desk) -> None:
    record_happening(desk.journal, "jointer", "knives changed", shop=desk.shop)
    found = asked(desk, "top")
    assert [one.about for one in found.reasons] == ["jointer.knives"]


def test_the_lean_of_the_blade_opens_each_joint_of_a_rim(desk: Desk) -> None:
    """Two ends that lean 0.334 deg over 3/4 in: 2 x 0.75 in x tan 0.334 deg = 8.7 thou."""
    add(desk, "saw.blade", math.radians(0.334))
    found = asked(desk, "rim")
    assert not found.go
    lean = next(one for one in found.needs.fits[0].shares if one.point == "saw.blade")
    assert lean.likely == pytest.approx(0.0087 * 25.4, rel=0.01)
