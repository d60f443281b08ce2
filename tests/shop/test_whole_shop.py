"""The shop that most tests go by has a little of everything, and every point of it is provable."""

from __future__ import annotations

import subprocess
import sys
from typing import get_args

import pytest

from shopboard.checks.job import CheckContext
from shopboard.checks.ranking import rank
from shopboard.checks.registry import facts, method, names
from shopboard.metrology.conformity import probability_within
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.reach import reaches
from shopboard.shop.kept import Loaded
from shopboard.shop.machine import Point
from shopboard.shop.project import JointKind, ShowsIn
from shopboard.shop.reader import read_shop, read_shop_text
from shopboard.sittings.point_job import job_for
from tests import chair_shop
from tests.whole_shop import WHOLE_SHOP

TEXT = WHOLE_SHOP.read_text(encoding="utf-8")
LOADED: Loaded = read_shop(WHOLE_SHOP, names(), facts())
POINTS = list(LOADED.shop.points.values())
METHODS = [(point, name) for point in POINTS for name in point.checks]
CHAIRS = read_shop_text(chair_shop.SHOP, known_checks=names(), facts=facts()).shop
"""What a cabinet shop has no use for is tried in a chair maker's."""

PROVING = [(point, name) for point, name in METHODS if point.proves]

each_point = pytest.mark.parametrize("point", POINTS, ids=lambda point: point.full_name)


def named(pair: tuple[Point, str]) -> str:
    """Name a point and its method."""
    return f"{pair[0].full_name}-{pair[1]}"


def job_at(point: Point) -> CheckContext:
    """What a check is told about a point of the sample, before anything is recorded."""
    return job_for(LOADED.shop, point, None)


def test_no_warnings() -> None:
    """It is read without a word, also with what follows from the methods looked at."""
    assert LOADED.warnings == ()


def test_read_alike_before_the_methods_are_asked() -> None:
    """The board's first picture comes from a reading that knows no method's facts."""
    assert read_shop(WHOLE_SHOP, names()).shop == LOADED.shop


def test_rich() -> None:
    """Machines for the number pad, points for it on each, some with two ways to check them."""
    assert 8 <= len(LOADED.shop.machines) <= 9
    assert all(len(machine.points) <= 9 for machine in LOADED.shop.machines)
    assert len(POINTS) >= 40
    assert sum(len(point.checks) > 1 for point in POINTS) >= 5


def test_the_first_point_is_the_blade_by_square() -> None:
    """The first check of the README goes there with three keys."""
    assert POINTS[0].full_name == "saw.blade"
    assert POINTS[0].checks[0] == "square"


def test_uses_every_method() -> None:
    """No method is left out, but for those of a turner, which chairs use."""
    turned = {name for point in CHAIRS.points.values() for name in point.checks}
    assert {name for _, name in METHODS} | turned == {*names()}


def test_names_are_not_cut_short_on_a_narrow_window() -> None:
    """A machine's list leaves 30 columns for a name at 80."""
    assert [point.name for point in POINTS if len(point.name) > 30] == []


def test_shows_every_kind() -> None:
    """Each adjuster, each way to lie and to turn, and a tolerance with uneven sides are shown."""
    kinds = {type(point.adjuster).__name__ for point in POINTS}
    assert kinds >= {"Screw", "Slot", "Shim"}
    assert {point.geometry.lies for point in POINTS} == {"upright", "flat"}
    assert {point.geometry.turn for point in POINTS} == {"no", "other side"}
    assert any(point.tolerance.low == 0 for point in POINTS)
    assert any(tool.kind for tool in LOADED.shop.drawer.others)


def test_makes_every_kind_of_joint() -> None:
    """Each kind of joint, each place where a point shows, and a fit of the shop's own.

    Those of a chair are made where chairs are.
    """
    shops = (LOADED.shop, CHAIRS)
    joints = [joint for shop in shops for project in shop.projects for joint in project.joints]
    assert {joint.kind for joint in joints} == set(get_args(JointKind))
    assert {cut for joint in joints for cut in joint.points} == set(get_args(ShowsIn))
    assert any(limit.source == "shop file" for joint in joints for limit in joint.fits.values())
    assert len({project.start for project in LOADED.shop.projects}) > 1
    assert any(joint.alternate for joint in joints)


def test_says_how_long_every_task_takes() -> None:
    tasks = [task for machine in LOADED.shop.machines for task in machine.tasks]
    assert [task.id for task in tasks if task.minutes is None] == []


def test_chains_that_follow_the_trade() -> None:
    """The blade comes before fence and sled, a reference before the table that it proves."""
    points = LOADED.shop.points
    assert points["saw.sled-stop"].rests_on == ("saw.sled-fence",)
    assert points["saw.sled-fence"].rests_on == ("saw.blade", "saw.blade-slot")
    assert points["saw.fence-line"].rests_on == ("saw.blade-slot",)
    assert points["bench.panel"].rests_on == ("saw.fence-line", "saw.sled-fence")
    assert "bench.straightedge" in points["jointer.tables"].rests_on


def test_the_first_check_of_the_readme_stands_alone() -> None:
    """The blade rests on nothing that would have to be proven before it is shown as true."""
    assert LOADED.shop.points["saw.blade"].rests_on == ()


@pytest.mark.parametrize("pair", METHODS, ids=named)
def test_provable_with_the_drawer(pair: tuple[Point, str]) -> None:
    """Each method of each point can prove it with the tools of the drawer."""
    (found,) = rank(job_at(pair[0]), [pair[1]])
    assert found.help == ""
    assert found.probability >= LOADED.shop.proof_level
    assert found.proves


@pytest.mark.parametrize("point", [point for point in POINTS if "square" in point.checks])
def test_provable_without_turning_the_square_over(point: Point) -> None:
    """A square proves a point as it stands; to turn it over is never needed."""
    found = reaches(point.geometry.lever, point.tolerance, LOADED.shop.drawer, can_turn=False)
    assert max(reach.probability for reach in found) >= LOADED.shop.proof_level


@pytest.mark.parametrize("pair", METHODS, ids=named)
def test_a_perfect_point_is_found_true(pair: tuple[Point, str]) -> None:
    """What is best at nothing at all (a bow, a run-out) has no tolerance that begins at 0.

    Where limits have a middle that is wanted, the method aims there, and so does this.
    """
    point, name = pair
    job, tolerance = job_at(point), point.tolerance
    if tolerance.kind in YES_NO_WORDS:
        pytest.skip("looked at, not measured: there is no uncertainty")
    best = method(name).best(job)
    aims_at_the_middle = name in ("square", "sweep", "flip") or tolerance.low > 0
    centre = tolerance.middle if aims_at_the_middle else best.error
    found = probability_within(best.budget.spread_around(centre), tolerance)
    assert found >= LOADED.shop.proof_level


@pytest.mark.parametrize("pair", PROVING, ids=named)
def test_a_proof_is_worth_more_than_the_promise(pair: tuple[Point, str]) -> None:
    """The tool is better known after its check than by what the shop file says of it."""
    point, name = pair
    drawer = LOADED.shop.drawer
    limits = {square.id: square.limit for square in drawer.squares}
    limits |= {tool.id: tool.limit for tool in drawer.others}
    assert method(name).best(job_at(point)).budget.expanded < limits[point.proves]


@each_point
def test_levers_can_be_felt(point: Point) -> None:
    """No lever is longer than the longest blade."""
    assert point.geometry.lever <= max(square.length for square in LOADED.shop.drawer.squares)


def test_fits_a_narrow_window() -> None:
    """No line is longer than 100 characters."""
    assert max(len(line) for line in TEXT.splitlines()) <= 100


def test_a_good_file_costs_no_scanner() -> None:
    """Reading a good file imports neither the scanner nor what makes suggestions."""
    code = (
        "import sys; from pathlib import Path; from shopboard.shop.reader import read_shop;"
        "from shopboard.checks.registry import names;"
        f"read_shop(Path({str(WHOLE_SHOP)!r}), names());"
        "late = {'difflib', 'unicodedata', 'shopboard.shop.places', 'shopboard.shop.syntax',"
        " 'shopboard.shop.locate'}; print(sorted(late & set(sys.modules)))"
    )
    done = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        cwd=WHOLE_SHOP.parent,
        check=True,
    )
    assert done.stdout.strip() == "[]"
