"""Centres of a lathe: two dents in a board, half a turn of the spindle between them."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy import stats
from scipy.spatial.transform import Rotation

from shopboard.checks.contradiction import Recheck
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.uncertainty import Estimate
from tests.checks.machines import (
    CALLIPER,
    HALF_STEP,
    closed,
    dial_job,
    fed,
    holds,
    measured,
    monte_carlo_u,
    rule,
    walked,
)
from tests.cli.program import Program

METHOD = measured("centres")
JOB = dial_job(Tolerance(-0.8, 0.8, "1/32 in", "length"))
BY_RULE = JOB._replace(drawer=Drawer())
ANSWERS = {
    "care": "understood",
    "nearer": "away",
    "across": "0.060 in",
    "higher": "high",
    "up": "0.080 in",
}
"""Derived: 3, 4, 5; half of it is 50 thou."""


def dents(off: np.ndarray, turned: float, wobble: float) -> np.ndarray:
    """Dent a board in coordinates, turn the spindle, dent it again; from first to fresh dent, mm.

    x along the spindle's axis toward the tailstock, y toward the person, z up. The board's plane
    is no nearer to square than `wobble` (rad) and turns with the spindle about the x axis; the
    tail point runs in parallel to x, `off` (y, z) beside the axis, until it meets the board.
    """
    normal = Rotation.from_euler("z", wobble).apply([1.0, 0.0, 0.0])
    on_board = np.array([40.0, 0.0, 0.0])

    def meets(plane: np.ndarray, through: np.ndarray) -> np.ndarray:
        start = np.array([200.0, *off])
        way = ((through - start) @ plane) / plane[0]
        found: np.ndarray = start + np.array([way, 0.0, 0.0])
        return found

    first = meets(normal, on_board)
    turn = Rotation.from_euler("x", turned)
    return meets(turn.apply(normal), turn.apply(on_board)) - turn.apply(first)


def trial(rng: np.random.Generator, by_rule: bool, most: float) -> tuple[float, Estimate]:
    """A point off any way, half a turn by eye, a board that wobbles; dents found as well as goes.

    A point that is off by less than half a dent makes one dent, which is read as it is seen.
    """
    way, off = rng.uniform(0, math.tau), rng.uniform(0, most)
    apart = dents(
        off * np.array([math.cos(way), math.sin(way)]),
        math.pi + rng.uniform(-0.1, 0.1),
        rng.uniform(-0.02, 0.02),
    )
    across, up = apart[1:] + rng.normal(0, 0.15, 2)

    def read(mm: float) -> float:
        if by_rule:
            return max(rule(rng, abs(mm)), 0.0)
        shown = abs(mm) + rng.uniform(-CALLIPER.limit, CALLIPER.limit)
        return max(round(shown / (2 * HALF_STEP)) * 2 * HALF_STEP, 0.0)

    words = {
        "nearer": "toward" if across >= 0 else "away",
        "higher": "high" if up >= 0 else "low",
    }
    values = {"across": read(across), "up": read(up)}
    return off, fed(METHOD, BY_RULE if by_rule else JOB, values, words).estimate


@pytest.mark.parametrize("most", [0.02, 0.3, 2.0])
@pytest.mark.parametrize("by_rule", [False, True])
def test_planted_points_are_found_within_u_in_95_of_100(by_rule: bool, most: float) -> None:
    """Simulated: a board that wobbles, a turn that is no half one to the degree; near 0, too."""
    holds(lambda rng: trial(rng, by_rule, most), 61, 400)


def test_a_crooked_board_changes_nothing_and_half_a_turn_shows_it_doubled() -> None:
    """In coordinates: the point itself stands in the middle between axis-mirrored dents."""
    off = np.array([0.3, -0.4])
    for wobble in (0.0, 0.03):
        apart = dents(off, math.pi, wobble)
        assert np.hypot(*apart[1:]) == pytest.approx(2 * 0.5, rel=1e-9)
        assert apart[1:] == pytest.approx(2 * off)  # the fresh dent lies where the point is


def test_u_is_that_of_a_monte_carlo_far_from_0() -> None:
    """JCGM 101: readings and dents drawn 200,000 times; far off, two axes add nothing."""
    rng = np.random.default_rng(62)
    count = 200_000

    def read(mm: float) -> np.ndarray:
        out: np.ndarray = (
            mm
            + rng.uniform(-CALLIPER.limit, CALLIPER.limit, count)
            + rng.uniform(-HALF_STEP, HALF_STEP, count)
        )
        return out

    u = monte_carlo_u(
        lambda d: np.hypot(d["across"], d["up"]) / 2 + rng.normal(0, 0.075, count),
        {"across": read(12.0), "up": read(16.0)},
    )
    found = fed(METHOD, JOB, {"across": 12.0, "up": 16.0}, {"nearer": "away", "higher": "low"})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


def test_u_near_0_is_that_of_two_axes_together() -> None:
    """Rayleigh distribution, by scipy: 2.45 u of either axis hold 95 of 100, not 1.96 u."""
    budget = fed(METHOD, JOB, {"across": 0.0, "up": 0.0}).estimate.budget
    one_axis = math.hypot(*(one.u for one in budget.sources[:-1]))
    assert budget.expanded / one_axis >= stats.rayleigh.ppf(0.95) - 0.02


def test_where_the_point_is_and_which_way_it_must_go() -> None:
    """Derived: the fresh dent lies where the point is, half as far from the axis."""
    done = walked("centres", JOB, ANSWERS)
    found = done.findings[0].outcome
    assert found.estimate.error == pytest.approx(0.05 * 25.4)
    assert found.verdict == "out"
    assert found.lean == "tail point 30 thou away from you, 40 thou too high"
    assert found.moves[0] == "The tail point must move 30 thou toward you."
    assert found.moves[1] == "The tail point must move 40 thou down."
    assert "manual" in found.moves[2]
    assert found.adds["toward_you"] == pytest.approx({"in": -0.03, "thou": -30, "mm": -0.762})
    level = closed("centres", JOB, ANSWERS | {"across": "0", "up": "0"})
    assert (level.lean, level.moves) == ("one dent", ())


def test_from_first_step_to_closed() -> None:
    """The plug first, then what a lathe does to sleeves; a rule where there is no calliper."""
    job = dial_job(JOB.tolerance, cutter_near=True)
    keys = [step.key for step, _ in walked("centres", job, ANSWERS | {"unplugged": "1"}).answered]
    assert keys[:5] == ["unplugged", "care", "board", "first", "half"]
    assert keys[5:9] == ["nearer", "across", "higher", "up"]
    assert keys[-1] == "close"
    bare = closed("centres", BY_RULE, ANSWERS)
    assert {one.id for one in bare.estimate.budget.sources} >= {"rule"}


def test_dents_that_are_not_of_one_point_are_not_recorded(program: Program) -> None:
    done = walked("centres", JOB, {**ANSWERS, "across": "1.1 in"})
    assert isinstance(done.step, Recheck)
    assert "across" in done.step.refusal
    assert program.bare("reckon", "centres", "across=2in", "up=0").code == 2


def test_reckoned(program: Program) -> None:
    words = ("across=3mm", "up=4mm", "nearer=toward", "higher=low", "--json")
    data = program.bare("reckon", "centres", *words).json
    assert data["error"]["mm"] == pytest.approx(2.5)
    assert data["toward_you"]["mm"] == pytest.approx(1.5)
    assert data["above_axis"]["mm"] == pytest.approx(-2.0)
