"""Thickness pair for the planer: left and right over the width."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.metrology.adjuster import Screw, Toward
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from shopboard.shop.told_by_words import side_in_name
from tests.checks.cuts import (
    budget_by_monte_carlo,
    calliper,
    contradiction,
    cut_job,
    cut_test,
    found,
    holds,
    read,
)
from tests.checks.machines import closed, rule, walked
from tests.cli.program import Program

METHOD = cut_test("thickness")
FEW = Tolerance(-math.atan(0.004 / 12), math.atan(0.004 / 12), "4 thou over 12 in")
JOB = cut_job(tolerance=FEW)
ANSWERS = {"care": "understood", "left": ".756 in", "right": ".750 in", "width": "12 in"}


def planed(tilt: float, width: float) -> tuple[float, float]:
    """Plane a board in coordinates: its underside on the bed, its face where the knives run.

    The bed is turned by `tilt` so that it falls away from the head at the left. The calliper
    measures square to the underside, at the left and the right edge.
    """
    bed = np.array([math.cos(tilt), math.sin(tilt)])  # from left to right
    up = np.array([-bed[1], bed[0]])
    places = [np.array([0.0, 0.0]), bed * width]
    return tuple((19.0 - place[1]) / up[1] for place in places)


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant a tilt; plane as planers do; read with calliper and rule."""
    tilt, width = rng.uniform(-0.002, 0.002), rng.uniform(150, 330)
    left, right = (one + rng.normal(0, 0.014) for one in planed(tilt, width))
    values = {"left": calliper(rng, left), "right": calliper(rng, right)}
    taken = read(METHOD, JOB, {**values, "width": rule(rng, width)})
    return tilt, found(METHOD, JOB, taken).estimate


def test_one_sided_and_not_on_the_diameter(program: Program) -> None:
    """Derived: 4 thou over a foot is 4 thou/ft, 0.0190986 deg, and not half of that.

    Handbook tapers per foot are on the diameter (Machinery's Handbook, from memory): its table
    gives 0d35'49" with the centre line for 1/4 in per foot; one side, a machinists' page prints
    1.1935 deg.
    """
    small = program.bare(
        "reckon", "thickness", "left=0.754in", "right=0.75in", "width=12in", "--json"
    )
    assert small.json["method"] == "thickness"
    assert small.json["error"]["thou_per_ft"] == pytest.approx(4.0)
    assert small.json["error"]["deg"] == pytest.approx(0.0190986, rel=1e-5)
    assert small.json["difference"]["thou"] == pytest.approx(4.0)
    steep = program.bare("reckon", "thickness", "left=1in", "right=1.25in", "width=12in", "--json")
    assert steep.json["error"]["deg"] == pytest.approx(-1.193489, abs=1e-6)


def test_how_far_to_turn() -> None:
    """Derived: .006 in over 12, bolts 10 in apart, 5/16-24: .005 in, 0.120 turn, 43.2 deg."""
    job = cut_job(
        tolerance=FEW, adjuster=Screw(25.4 / 24, 254.0, "toward", name="Bolzen", side="left")
    )
    stopped = {"next": "adjust", "left.unplugged": "plug out"}  # the machine has just run
    done = walked("thickness", job, {**ANSWERS, **stopped})
    step = next(step for step, _ in done.answered if step.key == "left.adjust")
    words = " ".join(step.lines)
    assert "43°" in words
    assert "5.0 thou" in words
    assert "At the left, bed and head must come closer." in words
    asked = [step.key for step, _ in done.answered]
    assert asked.index("left.unplugged") < asked.index("left.adjust")
    locked = next(step for step, _ in done.answered if step.key == "left.lock")
    assert "guard back on; only then plug in" in " ".join(locked.lines)


@pytest.mark.parametrize(
    ("post", "left", "aim"),
    [
        ("the left post", ".756 in", "At the left, bed and head must come closer."),
        ("the left post", ".744 in", "At the left, bed and head must go further apart."),
        ("the right post", ".756 in", "At the right, bed and head must go further apart."),
        ("the right post", ".744 in", "At the right, bed and head must come closer."),
        (
            "the post",
            ".744 in",
            "Bed and head must come closer at the right, or move further apart at the left.",
        ),
    ],
)
def test_the_aim_is_told_of_the_post_that_is_turned(post: str, left: str, aim: str) -> None:
    """Thicker at the left, there bed and head are too far apart; a post moves its own side."""
    toward: Toward = "toward" if post.endswith("left post") else "away"
    bolt = Screw(25.4 / 24, 254.0, toward, name=post, side=side_in_name(post))
    job = cut_job(tolerance=FEW, adjuster=bolt)
    stopped = {"next": "adjust", "left.unplugged": "plug out"}
    done = walked("thickness", job, {**ANSWERS, "left": left, **stopped})
    step = next(step for step, _ in done.answered if step.key == "left.adjust")
    told = [line for line in step.lines if "bed and head" in line.lower()]
    assert told == [aim]


def test_the_planted_error_comes_back() -> None:
    """Boards planed in coordinates: U holds the planted tilt in 95 of 100 trials."""
    holds(trial, 800)


@pytest.mark.parametrize("left", [19.05, 19.3])
def test_u_agrees_with_a_monte_carlo(left: float) -> None:
    """JCGM 101: the same model, drawn."""
    taken = read(METHOD, JOB, {"left": left, "right": 19.05, "width": 300.0})
    u = found(METHOD, JOB, taken).estimate.budget.u
    assert budget_by_monte_carlo(METHOD, JOB, taken) == pytest.approx(u, rel=0.03)


def test_the_whole_check_from_a_file() -> None:
    outcome = closed("thickness", JOB, {**ANSWERS, "left": ".770 in"})
    assert outcome.lean == "bed and head are further apart at the left"
    assert outcome.verdict == "out"
    other = closed("thickness", JOB, {**ANSWERS, "left": ".730 in"})
    assert other.lean == "bed and head are further apart at the right"


def test_a_difference_that_no_planer_makes_is_named() -> None:
    assert "left and right" in contradiction("thickness", JOB, {**ANSWERS, "left": "1.756 in"})


def test_reckon_refuses_the_same(program: Program) -> None:
    assert program.bare("reckon", "thickness", "left=3in", "right=1in", "width=12in").code == 2
    assert program.bare("reckon", "thickness", "left=1in", "right=1in", "width=0in").code == 2
