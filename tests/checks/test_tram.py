"""Tram: a drill press table swept with an indicator."""

from __future__ import annotations

import math
from collections.abc import Mapping

import numpy as np
import pytest
from scipy import stats

from shopboard.checks.asked import Reading
from shopboard.checks.contradiction import Recheck
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import OtherTool
from shopboard.metrology.uncertainty import Estimate
from tests.checks.machines import (
    DIALS,
    HALF_STEP,
    INDICATOR,
    closed,
    dial_job,
    fed,
    holds,
    measured,
    rule,
    walked,
)
from tests.cli.program import Program

METHOD = measured("tram")
TOLERANCE = Tolerance(-math.atan(0.004 / 8), math.atan(0.004 / 8), "4 thou over 8 in")
JOB = dial_job(TOLERANCE)
ANSWERS = {
    "care": "understood",
    "radius": "4 in",
    "near": "0.010 in",
    "right": "0.004 in",
    "far": "0",
    "left": "0.006 in",
}
RADIUS = 110.0


def swept(near_high: float, right_high: float, run_out: float, lean: float) -> dict[str, float]:
    """Build table and spindle in coordinates, swing the tip round; give the true readings, mm.

    x to the right, y to the far side, z up. The table's plane rises toward the near side and to
    the right by these slopes, seen from the spindle, which itself leans by `lean` in the room; the
    chuck holds the arm `run_out` beside the axis. The tip slides on a line parallel to the axis.
    """
    turn = np.array(
        [
            [math.cos(lean), 0, math.sin(lean)],
            [0, 1, 0],
            [-math.sin(lean), 0, math.cos(lean)],
        ]
    )
    axis = turn @ np.array([0, 0, 1.0])
    on_table = turn @ np.array([0, 0, -200.0])
    normal = turn @ np.array([-right_high, near_high, 1.0])
    read = {}
    for side, angle in {"right": 0.0, "far": 90.0, "left": 180.0, "near": 270.0}.items():
        way = math.radians(angle)
        reach = RADIUS + run_out  # it turns with the spindle: the radius is other, no more
        tip = turn @ np.array([reach * math.cos(way), reach * math.sin(way), 0.0])
        down = ((on_table - tip) @ normal) / (axis @ normal)
        read[side] = float(down + 200)  # the higher the table, the less far down
    return read


def set_to_0(
    rng: np.random.Generator, true: Mapping[str, float], tool: OtherTool
) -> dict[str, float]:
    """Read a dial whose face was turned to 0 on the near side, the others to whole thousandths."""
    shown = {side: mm + rng.uniform(-tool.limit, tool.limit) for side, mm in true.items()}
    step = 2 * HALF_STEP
    return {side: round((mm - shown["near"]) / step) * step for side, mm in shown.items()}


def trial(
    rng: np.random.Generator, tilt: float, tool: OtherTool = INDICATOR
) -> tuple[float, Estimate]:
    """Tilt a table any way under a leaning spindle; sweep it with a dial."""
    job = JOB._replace(drawer=DIALS._replace(others=(tool,)))
    way = rng.uniform(0, math.tau)
    flat = swept(tilt * math.cos(way), tilt * math.sin(way), rng.uniform(0, 0.3), 0.02)
    true = {side: mm + rng.normal(0, 0.003) for side, mm in flat.items()}  # how it repeats
    values = {**set_to_0(rng, true, tool), "radius": rule(rng, RADIUS)}
    return math.atan(tilt), fed(METHOD, job, values).estimate


@pytest.mark.parametrize("limit", [0.0025, 0.01, 0.0254])
@pytest.mark.parametrize(
    "tilt",
    [0.0, 0.00006, 0.00016, 0.0012],
    ids=lambda x: f"{x * 1000} mm/m",
)
def test_planted_tilts_are_found_within_u_in_95_of_100(tilt: float, limit: float) -> None:
    """Simulated: a table tilted any way, a leaning spindle, run-out; near 0 most of all.

    With dials that are finer than their divisions, and coarser.
    """
    holds(lambda rng: trial(rng, tilt, INDICATOR._replace(limit=limit)), 51, 400)


def test_u_near_0_is_that_of_two_axes_together() -> None:
    """Rayleigh distribution, by scipy: 2.45 u of either axis hold 95 of 100, not 1.96 u."""
    level = fed(METHOD, JOB, {"near": 0, "far": 0, "left": 0, "right": 0, "radius": RADIUS})
    budget = level.estimate.budget
    one_axis = math.hypot(*(one.u for one in budget.sources[:-1]))
    assert budget.sources[-1].name == "two axes make one tilt"
    assert budget.expanded / one_axis == pytest.approx(stats.rayleigh.ppf(0.95), rel=5e-3)


def test_the_first_side_is_where_the_dial_is_set_to_0() -> None:
    """So that one reading has no division to be read to, and the tilt is no less than said."""
    first, *others = [
        one for one in METHOD.asked(JOB) if isinstance(one, Reading) and one.tool == "indicator"
    ]
    assert first.key == "near"
    assert "to 0 here" in " ".join(first.lines)
    assert not any("to 0 here" in " ".join(one.lines) for one in others)


def test_a_tolerance_from_0_is_the_same_as_its_highest_alone(program: Program) -> None:
    """A tilt is a size: no half of what is known of it is cut off at 0."""
    words = ("near=1thou", "far=0", "left=0", "right=0", "radius=4in")
    one, other = (
        program.bare("reckon", "tram", *words, f"tolerance={typed}", "--json").json
        for typed in ("0 to 4 thou/ft", "4 thou/ft")
    )
    assert one["probability"] == pytest.approx(other["probability"])
    assert one["tolerance"]["low"]["thou_per_ft"] == 0
    assert 0.9 < one["probability"] < 1


def test_each_axis_is_told_with_its_high_side() -> None:
    """Derived: 10 thou over 8 in is 15 thou a foot near high; 2 over 8 is 3 left high."""
    found = closed("tram", JOB, ANSWERS)
    near_far, left_right = found.adds["near_far"], found.adds["left_right"]
    assert isinstance(near_far, dict)
    assert isinstance(left_right, dict)
    assert near_far["thou_per_ft"] == pytest.approx(15.0)
    assert near_far["high"] == "near"
    assert left_right["thou_per_ft"] == pytest.approx(-3.0)
    assert left_right["high"] == "left"
    assert math.tan(found.estimate.error) * 12_000 == pytest.approx(math.hypot(15, 3))
    assert found.lean == "near side high by 15.0 thou/ft, left side high by 3.0 thou/ft"


def test_the_correction_names_the_worse_axis_first() -> None:
    """In lengths that the indicator will show, whatever the shop file's adjuster is."""
    found = closed("tram", JOB, {**ANSWERS, "next": "done"})
    assert found.adds["worse"] == "near_far"
    assert found.moves == (
        "First the near side down, the far side up: they must come 10.0 thou closer at the tip.",
        "Then the left side down, the right side up: they must come 2.0 thou closer at the tip.",
    )


def test_a_correction_is_led_through_without_an_adjuster() -> None:
    """Move, lock, the same sweep as left; no turns of a screw are asked."""
    left = {f"left.{key}": "0" for key in ("near", "right", "far", "left")}
    answers = {**ANSWERS, "next": "adjust", **left, "left.radius": "4 in", "left.next": "done"}
    done = walked("tram", JOB, answers)
    assert done.step is None
    keys = [step.key for step, _ in done.answered]
    assert keys[keys.index("next") : keys.index("left.mount")] == [
        "next",
        "left.adjust",
        "left.lock",
    ]
    assert [one.run for one in done.findings] == ["as-found", "as-left"]
    assert done.findings[1].outcome.estimate.error == 0


def test_a_screw_of_the_shop_file_is_not_turned_by_a_size_without_a_direction() -> None:
    """The tilt has two axes and one screw has one arm: the axes are named in its place."""
    screw = Screw(pitch=1.27, arm=100.0, clockwise="toward")
    done = walked("tram", dial_job(TOLERANCE, adjuster=screw), {**ANSWERS, "next": "adjust"})
    said = " ".join(line for step, _ in done.answered for line in step.lines)
    assert "near side down" in said
    assert "clockwise" not in said
    assert "left.turned_by" not in done.answers


def test_a_level_table_is_not_known_exactly() -> None:
    """A size has no slope at 0; its uncertainty there must not vanish (it did, by difference)."""
    level = fed(METHOD, JOB, {"near": 0, "far": 0, "left": 0, "right": 0, "radius": RADIUS})
    tilted = fed(METHOD, JOB, {"near": 1, "far": 0, "left": 0.5, "right": 0.5, "radius": RADIUS})
    assert level.estimate.budget.u > tilted.estimate.budget.u > 0


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: four readings and the radius drawn 200,000 times, far from 0."""
    rng = np.random.default_rng(52)
    count = 200_000
    values = {"near": 0.4, "far": 0.0, "left": 0.1, "right": 0.3, "radius": 90.0}
    drawn = {
        side: values[side]
        + rng.uniform(-INDICATOR.limit, INDICATOR.limit, count)
        + rng.uniform(-HALF_STEP, HALF_STEP, count)
        for side in ("near", "far", "left", "right")
    }
    twice = 2 * (90.0 + rng.uniform(-0.5, 0.5, count))
    tilt = np.arctan(
        np.hypot(drawn["near"] - drawn["far"], drawn["right"] - drawn["left"]) / twice
    ) + rng.normal(0, 0.003 * math.sqrt(2) / 180, count)
    found = fed(METHOD, JOB, values).estimate
    assert found.budget.u == pytest.approx(float(np.std(tilt)), rel=0.03)


def test_from_first_step_to_closed() -> None:
    job = dial_job(TOLERANCE, cutter_near=True)
    done = walked("tram", job, {**ANSWERS, "unplugged": "plug out", "next": "done"})
    assert done.step is None
    assert [step.key for step, _ in done.answered][:3] == ["unplugged", "care", "mount"]


@pytest.mark.parametrize(
    ("wrong", "says"),
    [({"far": "0.080 in"}, "middle"), ({"comes_back": "no"}, "slipped")],
)
def test_readings_that_contradict_are_not_recorded(wrong: dict[str, str], says: str) -> None:
    """Four readings of a plane: near and far have the same middle as left and right."""
    done = walked("tram", JOB, {**ANSWERS, **wrong})
    assert isinstance(done.step, Recheck)
    assert says in done.step.refusal
    assert not done.findings


def test_reckoned(program: Program) -> None:
    """Derived: 3 thou and 4 thou over 8 in make 5 over 8: 7.5 thou a foot."""
    words = ("near=3thou", "far=0", "left=0", "right=4thou", "radius=4in")
    more = ("tolerance=4thou over 8in", "--json")
    data = program.bare("reckon", "tram", *words, *more).json
    assert data["error"]["thou_per_ft"] == pytest.approx(7.5)
    assert data["near_far"]["thou_per_ft"] == pytest.approx(4.5)
    assert data["left_right"]["thou_per_ft"] == pytest.approx(6.0)
    assert (data["near_far"]["high"], data["left_right"]["high"]) == ("near", "right")
    assert data["worse"] == "left_right"
    assert data["tolerance"]["thou_per_ft"] == pytest.approx(6.0)


def test_trap_a_lever_over_reads(program: Program) -> None:
    """Derived: cos 20 degrees = 0.9397."""
    words = ("near=8thou", "far=0", "left=4thou", "right=4thou", "radius=4in")
    data = program.bare("reckon", "tram", *words, "lever_angle=20deg", "--json").json
    assert data["error"]["thou_per_ft"] == pytest.approx(12 * 0.939693, rel=1e-5)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("near=1thou", "far=0", "left=0", "right=0", "radius=0"), "radius"),
        (("near=1in", "far=0", "left=1in", "right=0", "radius=4in"), "5 degrees"),
        (("near=1in", "far=0", "left=0", "right=0", "radius=4in"), "middle"),
    ],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "tram", *words)
    assert ran.code == 2
    assert says in ran.err
