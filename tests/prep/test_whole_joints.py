"""Which points of the sample shop hold up which of its joints, by the geometry of the work.

A board is guided by all that it lies on and runs along while its cut is made; what these were
proven against counts with them. That is walked here joint by joint; what is not named must not
hold it up (common practice, no source).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.upkeep.happenings import record_happening
from tests.journal.helpers import Clock, voided
from tests.own_folders import own_folders
from tests.prep.results import result
from tests.whole_shop import WHOLE_SHOP

SLED = {"saw.sled-fence", "saw.blade", "saw.blade-slot", "saw.sled-stop"}
"""Fence and stop of the sled; the blade, whose lean shows; the slot that the sled runs in."""

JOINTER = {"jointer.fence-outfeed", "jointer.fence-infeed", "jointer.tables", "jointer.knives"}
"""An edge is begun along the fence's infeed end and ended along its outfeed end."""

BAND = {"bandsaw.wheels", "bandsaw.tension", "bandsaw.guides"}
"""A slack band that nothing holds at its sides stands no way when the table is squared to it."""

KNIVES = {"planer.snipe"}
"""It is said to show in no cut, but comes anew with each set of knives."""

MATTERS = {
    "top": JOINTER | {"jointer.outfeed-table", "bench.straightedge"},
    "case": SLED,
    "drawers": SLED,
    "door-leaves": BAND
    | {"bandsaw.table-side", "bandsaw.fence", "planer.bed", "planer.knives"}
    | KNIVES,
    "staves": {"saw.blade"},
    "doors": {"mitre.stop-45", "mitre.blade-table", "mitre.blade-fence", "mitre.stop"},
    "rails": {"mitre.blade-fence", "mitre.blade-table", "mitre.stop"},
    "rim": {"saw.sled-fence", "saw.blade", "saw.blade-slot"},
}


@pytest.fixture
def open_shop(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    with measured(tmp_path / "journal.sqlite3", clock) as made:
        yield made


@contextmanager
def measured(journal: Path, clock: Clock) -> Iterator[OpenShop]:
    """The whole shop, every point measured just now, in the middle of what is allowed."""
    with closing(OpenShop(WHOLE_SHOP, journal, clock)) as made:
        for name in made.shop.points:
            add(made, name)
        made.refresh()
        yield made


def add(open_shop: OpenShop, name: str, error: float | None = None) -> None:
    """Record a result, so fine that it is certain."""
    machine, _, point = name.partition(".")
    tolerance = open_shop.shop.points[name].tolerance
    said = tolerance.kind in ("yes or no", "note")
    best = 0.0 if said else (tolerance.low + tolerance.high) / 2
    sigma = 0.0 if said else (tolerance.high - tolerance.low) / 500
    body = result(best if error is None else error, sigma, tolerance.kind)
    open_shop.journal.append([NewEntry(new_uid(), "check", machine, point, body)])


def asked(open_shop: OpenShop, name: str) -> GlueUpAnswer:
    open_shop.refresh()
    joints = (one for project in open_shop.shop.projects for one in project.joints)
    return answers_of(open_shop, [one for one in joints if one.id == name])[0]


@pytest.fixture(scope="module")
def held(tmp_path_factory: pytest.TempPathFactory) -> dict[str, set[str]]:
    """Which joints each point holds up that was moved alone: all joints are asked at once."""
    home = tmp_path_factory.mktemp("joints")
    with ExitStack() as stack:
        patch = stack.enter_context(pytest.MonkeyPatch.context())
        for name, folder in own_folders(home).items():
            patch.setenv(name, folder)
        at = stack.enter_context(measured(home / "journal.sqlite3", Clock()))
        joints = [one for project in at.shop.projects for one in project.joints]
        assert all(one.go for one in answers_of(at, joints))
        found: dict[str, set[str]] = {one.id: set() for one in joints}
        for point in at.shop.points:
            machine, _, ident = point.partition(".")
            move = at.journal.append([NewEntry(new_uid(), "moved", machine, ident, {"v": 1})])[0]
            at.refresh()
            for answer in answers_of(at, joints):
                if not answer.go:
                    found[answer.joint.id].add(point)
            voided(at.journal, move.uid, "was not touched")
    return found


@pytest.mark.parametrize("name", MATTERS)
def test_each_point_that_matters_holds_a_joint_up_and_no_other(
    held: dict[str, set[str]], name: str
) -> None:
    assert held[name] == MATTERS[name]


def test_a_bandsaw_fence_that_leans_shows_in_the_leaves(open_shop: OpenShop) -> None:
    """5.33 mm/m over 6 in: 0.81 mm, where 10 thou (0.25 mm) are wanted."""
    add(open_shop, "bandsaw.fence", 5.33e-3)
    found = asked(open_shop, "door-leaves")
    assert not found.go
    assert found.needs.fits[0].likely == pytest.approx(6 * 25.4 * math.tan(5.33e-3), rel=1e-3)


def test_other_knives_that_were_never_checked_hold_up_a_panel(open_shop: OpenShop) -> None:
    record_happening(open_shop.journal, "jointer", "knives changed", shop=open_shop.shop)
    found = asked(open_shop, "top")
    assert [one.about for one in found.reasons] == ["jointer.knives"]


def test_the_lean_of_the_blade_opens_each_joint_of_a_rim(open_shop: OpenShop) -> None:
    """Two ends that lean 0.334 deg over 3/4 in: 2 x 0.75 in x tan 0.334 deg = 8.7 thou."""
    add(open_shop, "saw.blade", math.radians(0.334))
    found = asked(open_shop, "rim")
    assert not found.go
    lean = next(one for one in found.needs.fits[0].shares if one.point == "saw.blade")
    assert lean.likely == pytest.approx(0.0087 * 25.4, rel=0.01)
