"""Four-corner frame: eight errors in the last corner, over the mitre's face."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest

from shopboard.checks.methods.frame import FourCornerFrame
from shopboard.checks.steps import AnswerError, Number
from shopboard.checks.walk import StepError, walk
from shopboard.metrology.uncertainty import Estimate
from tests.checks.cuts import (
    between,
    budget_by_monte_carlo,
    contradiction,
    cut_job,
    cut_test,
    feel,
    found,
    holds,
    read,
)
from tests.checks.machines import closed, rule, walked
from tests.cli.program import Program
from tests.metrology.mitres import last_corner

METHOD = cut_test("frame")
JOB = cut_job()
ANSWERS = {
    "care": "understood",
    "open": "toe",
    "width": "2.5 in",
    "gap.goes": ".049",
    "gap.refused": ".050",
}


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant one error in all mitres, let them seat and close as wood does, read the last gap."""
    sides = int(rng.choice([3, 4, 5, 6, 8]))
    error, width = rng.uniform(-0.002, 0.002), rng.uniform(40, 90)
    gap = last_corner(width, list(error + rng.normal(0, 0.00004, 2 * sides)))
    gap += float(np.sum(rng.normal(0, 0.018, sides)))
    where = "none" if abs(gap) < 0.0381 else "toe" if gap > 0 else "heel"
    words = {"open": where}
    leaves = feel(rng, 0.0 if where == "none" else abs(gap))
    method = FourCornerFrame(sides)
    taken = read(method, JOB, {"width": rule(rng, width)}, words, leaves)
    return error, found(method, JOB, taken).estimate


def frame(program: Program, *given: str) -> Any:
    ran = program.bare("reckon", "frame", *given, "--json")
    assert ran.code == 0
    return ran.json


@pytest.mark.parametrize(
    ("width", "error", "sides", "closing", "gap"),
    [
        ("2.5in", "0.1deg", 4, 0.8, 0.049365),
        ("3.0in", "0.05deg", 4, 0.4, 0.029619),
        ("2in", "0.1deg", 6, 1.2, 0.048367),
    ],
)
def test_every_error_counts_twice_a_side(
    program: Program, width: str, error: str, sides: int, closing: float, gap: float
) -> None:
    """Derived: closing 2 n e; the gap over the face, width / cos(180 deg / n)."""
    data = frame(program, f"width={width}", f"angle_error={error}", f"sides={sides}")
    assert data["closing_deg"] == pytest.approx(closing)
    assert data["gap"]["in"] == pytest.approx(gap, abs=1e-6)
    assert data["gap"]["mm"] == pytest.approx(gap * 25.4, abs=3e-5)


def test_the_way_back(program: Program) -> None:
    """From the gap to the error, and the same additions."""
    data = frame(program, "width=2.5in", "gap=0.049365in")
    assert data["error"]["deg"] == pytest.approx(0.1, rel=1e-5)
    assert data["closing_deg"] == pytest.approx(0.8, rel=1e-5)
    assert data["gap"]["in"] == pytest.approx(0.049365)
    six = frame(program, "width=2in", "gap=0.048367in", "sides=6", "open=heel")
    assert six["error"]["deg"] == pytest.approx(-0.1, rel=1e-4)
    assert six["closing_deg"] == pytest.approx(-1.2, rel=1e-4)


@pytest.mark.parametrize(
    ("error", "end"), [("0deg", "none"), ("0.001deg", "toe"), ("-0.001deg", "heel")]
)
def test_blunt_points_leave_the_toe_open_and_true_ones_nothing(
    program: Program, error: str, end: str
) -> None:
    """As in coordinates, above."""
    assert frame(program, "width=2in", f"angle_error={error}")["open_at"] == end


def test_the_gap_forms_over_the_face_and_not_the_width(program: Program) -> None:
    """Derived: width times root 2 for four sides; each corner alone shows but two errors."""
    data = frame(program, "width=2.5in", "angle_error=0.1deg")
    over_width = 2.5 * math.radians(0.8)
    assert data["gap"]["in"] == pytest.approx(over_width * math.sqrt(2), rel=1e-4)
    assert data["gap_of_each_corner_alone"]["in"] == pytest.approx(0.012341, abs=1e-6)


def test_eight_errors_in_coordinates() -> None:
    """Simulated: the faces of the last corner enclose 8 e; blunt points leave the toe open."""
    gap = last_corner(63.5, [math.radians(0.1)] * 8)
    assert gap == pytest.approx(0.049365 * 25.4, rel=5e-3)
    assert last_corner(63.5, [-math.radians(0.1)] * 8) == pytest.approx(-gap, rel=1e-2)
    assert abs(last_corner(63.5, [0.0] * 8)) < 1e-9
    assert last_corner(50.8, [math.radians(0.1)] * 12) == pytest.approx(0.048367 * 25.4, rel=5e-3)


def test_the_planted_error_comes_back() -> None:
    """Frames of three to eight sides: U holds the planted error in 95 of 100 trials."""
    holds(trial, 800)


@pytest.mark.parametrize("gap", [0.0, 0.06, 1.25])
def test_u_agrees_with_a_monte_carlo(gap: float) -> None:
    """JCGM 101: the same model, drawn."""
    words = {"open": "none" if gap == 0 else "toe"}
    taken = read(METHOD, JOB, {"width": 63.5}, words, between(gap))
    u = found(METHOD, JOB, taken).estimate.budget.u
    assert budget_by_monte_carlo(METHOD, JOB, taken) == pytest.approx(u, rel=0.03)


@pytest.mark.parametrize("sides", [3, 4, 5, 6, 8, 12])
def test_how_well_the_corners_close_is_divided_among_all_mitres(sides: int) -> None:
    """Simulated: each corner closes to 0.02 mm by itself; read as an error of each mitre."""
    gaps = np.random.default_rng(4).normal(0, 0.02, (40_000, sides)).sum(axis=1)
    shown = gaps / (63.5 / math.cos(math.pi / sides)) / (2 * sides)
    told = FourCornerFrame(sides).repeats_to({"width": 63.5, "gap": 0.0})
    assert np.std(shown) < 1.04 * told  # what is told is that of four sides
    if sides == 4:
        assert told == pytest.approx(np.std(shown), rel=0.02)
    assert METHOD.repeats_to({"width": 63.5, "angle_error": 0.0}) == 0


def test_the_whole_check_from_a_file() -> None:
    outcome = closed("frame", JOB, ANSWERS)
    assert math.degrees(outcome.estimate.error) == pytest.approx(0.1, rel=5e-3)
    assert outcome.lean == "each mitre's point is more than 45 degrees"
    assert outcome.adds["open_at"] == "toe"
    six = closed("frame", JOB, {**ANSWERS, "sides": "6", "open": "heel"})
    assert six.lean == "each mitre's point is less than 60 degrees"
    assert six.verdict in ("near", "out", "true")


def test_a_figure_is_the_number_of_sides() -> None:
    """Pressing 4 means four sides; they are asked for before they are cut, and once."""
    step = walk(METHOD, JOB, {"care": "understood"}).step
    assert isinstance(step, Number)
    assert [step.accept(said) for said in ("", "4", "8")] == ["4", "4", "8"]
    for wrong in ("2", "4.5", "101", "six", "-4"):
        with pytest.raises(AnswerError):
            step.accept(wrong)
    with pytest.raises(StepError):
        walked("frame", JOB, {**ANSWERS, "sides": "2"})
    done = walked("frame", JOB, {**ANSWERS, "sides": "6"})
    assert [step.key for step, _ in done.answered][:3] == ["care", "sides", "cut"]
    assert "6 sides, 12 mitres" in done.answered[2][0].lines[0]
    outcome = done.findings[0].outcome
    assert outcome.readings["sides"] == 6
    assert outcome.working[0].startswith("error = asin(gap / (2 face)) / 6")


def test_frames_that_cannot_be_are_named() -> None:
    """Another corner open: at once; a gap too wide: what must be read again."""
    with pytest.raises(StepError, match="before the check goes on") as refused:
        walked("frame", JOB, {**ANSWERS, "others": "no"})
    assert refused.value.step.key == "others"
    wide = {**ANSWERS, "gap.goes": "1.4 in", "gap.refused": "1.5 in"}
    assert "gap:" in contradiction("frame", JOB, wide)


@pytest.mark.parametrize(
    "given",
    [
        ("width=2in",),
        ("width=2in", "gap=1mm", "angle_error=0.1deg"),
        ("width=2in", "gap=1mm", "sides=2"),
        ("width=2in", "gap=1mm", "sides=4.5"),
        ("width=0in", "gap=1mm"),
    ],
)
def test_reckon_refuses_what_is_no_frame(program: Program, given: tuple[str, ...]) -> None:
    ran = program.bare("reckon", "frame", *given)
    assert ran.code == 2
    assert ran.err


def test_the_sides_that_were_said_last_count_whatever_was_reckoned_before() -> None:
    """Plane geometry: 2 n errors over the face, width / cos(180 / n), make the last gap."""
    for sides in (4, 6, 4):
        outcome = closed("frame", cut_job(), {**ANSWERS, "sides": str(sides)})
        face = 2.5 / math.cos(math.pi / sides)
        expected = math.asin(0.0495 / (2 * face)) / sides
        assert outcome.estimate.error == pytest.approx(expected, rel=1e-9)
