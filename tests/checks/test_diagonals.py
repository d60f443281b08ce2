"""Diagonals of a panel: skew, the marked corner, and why equal diagonals prove nothing alone."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from shopboard.metrology.uncertainty import Estimate
from tests.checks.cuts import (
    budget_by_monte_carlo,
    contradiction,
    cut_job,
    cut_test,
    found,
    holds,
    read,
)
from tests.checks.machines import closed, rule
from tests.cli.program import Program

METHOD = cut_test("diagonals")
JOB = cut_job()
NAMES = ("d1", "d2", "width", "other_width", "length", "other_length")
SQUARE = {
    "care": "understood",
    "d1": "1081.67 mm",
    "d2": "1081.67 mm",
    "width": "600 mm",
    "other_width": "600 mm",
    "length": "900 mm",
    "other_length": "900 mm",
}


def panel(
    error: float, width: float, length: float, far: complex = 0j
) -> tuple[Sequence[float], float]:
    """Lay out a panel in coordinates; give its six lengths and the error of its marked corner.

    The marked corner is at 0, the length along the real axis, the width at 90 degrees plus `error`.
    The corner across is moved by `far` from where it would make a parallelogram.
    """
    along, across = complex(length), width * np.exp(1j * (math.pi / 2 + error))
    opposite = along + across + far
    lengths = [
        abs(along - across),
        abs(opposite),
        width,
        abs(opposite - along),
        length,
        abs(opposite - across),
    ]
    return [float(one) for one in lengths], error


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant an error and unequal sides; read all six with a rule."""
    width, length = rng.uniform(300, 700), rng.uniform(500, 1200)
    far = complex(rng.normal(0, 2), rng.normal(0, 2))
    lengths, error = panel(rng.uniform(-0.01, 0.01), width, length, far)
    values = dict(zip(NAMES, (rule(rng, one) for one in lengths), strict=True))
    return error, found(METHOD, JOB, read(METHOD, JOB, values)).estimate


def diagonals(program: Program, *given: str) -> Any:
    ran = program.bare("reckon", "diagonals", *given, "--json")
    assert ran.code == 0, ran.err
    return ran.json


@pytest.mark.parametrize(
    ("width", "length", "apart", "unit", "deg"),
    [(24.0, 36.0, 1 / 16, "in", 0.089663), (600.0, 900.0, 2.0, "mm", 0.114768)],
)
def test_the_difference_of_the_diagonals(
    program: Program, width: float, length: float, apart: float, unit: str, deg: float
) -> None:
    """Derived: sin e = (d1^2 - d2^2) / (4 a b); with d1^2 + d2^2 = 2 (a^2 + b^2)."""
    mean = math.sqrt(width**2 + length**2 - apart**2 / 4)
    sizes = {"d1": mean + apart / 2, "d2": mean - apart / 2, "width": width, "length": length}
    data = diagonals(program, *(f"{name}={value:.9f}{unit}" for name, value in sizes.items()))
    assert data["method"] == "diagonals"
    assert data["error"]["deg"] == pytest.approx(deg, abs=1e-6)
    assert data["skew"]["deg"] == pytest.approx(deg, abs=1e-6)
    assert "do not prove square" in data["note"]


def test_the_inverse(program: Program) -> None:
    """Derived: a 24 by 36 in panel 0.1 deg out has diagonals of 43.301454 and 43.231748 in."""
    given = ("d1=43.301454in", "d2=43.231748in", "width=24in", "length=36in")
    assert diagonals(program, *given)["error"]["deg"] == pytest.approx(0.1, rel=1e-5)
    swapped = ("d1=43.231748in", "d2=43.301454in", "width=24in", "length=36in")
    assert diagonals(program, *swapped)["error"]["deg"] == pytest.approx(-0.1, rel=1e-5)


def test_equal_diagonals_do_not_prove_square(program: Program) -> None:
    """Derived: 24 and 24.25 in wide, 36 high, both diagonals 43.336078 in, no corner square."""
    half = (24.25 - 24) / 2
    slant = math.hypot(36, half)
    both = math.hypot(36, 24 + half)
    assert both == pytest.approx(43.336078, abs=1e-6)
    given = {"d1": both, "d2": both, "width": 24, "length": slant}
    blind = diagonals(program, *(f"{name}={value:.9f}in" for name, value in given.items()))
    assert blind["error"]["deg"] == pytest.approx(0.0, abs=1e-9)
    assert "equal diagonals alone do not prove square" in blind["note"]
    all_six = {**given, "other_width": 24.25, "other_length": slant}
    seen = diagonals(program, *(f"{name}={value:.9f}in" for name, value in all_six.items()))
    corner = math.degrees(math.atan(half / 36))
    assert seen["skew"]["deg"] == pytest.approx(0.0, abs=1e-9)
    assert seen["error"]["deg"] == pytest.approx(corner, rel=1e-3)
    assert seen["worst_corner"]["deg"] == pytest.approx(corner, rel=1e-3)
    assert seen["note"] == ""


def test_the_guided_check_reads_all_sides_and_tells() -> None:
    """The same trapezoid on screen: out, with a note that names the difference."""
    sizes = {"width": "24 in", "other_width": "24.25 in"}
    given = {"d1": "43.336 in", "d2": "43.336 in", "length": "36 in", "other_length": "36 in"}
    outcome = closed("diagonals", JOB, {"care": "understood", **sizes, **given})
    assert outcome.verdict == "out"
    assert "Opposite sides differ by 250 thou" in outcome.note
    assert "would not prove it square" in outcome.note


def test_the_planted_error_comes_back() -> None:
    """Panels in coordinates, opposite sides unequal: U holds the marked corner 95 times in 100."""
    holds(trial, 1000)


@pytest.mark.parametrize("d1", [1081.67, 1085.0])
def test_u_agrees_with_a_monte_carlo(d1: float) -> None:
    """JCGM 101: the same model, drawn."""
    values = dict(zip(NAMES, (d1, 1081.67, 600, 601, 900, 900), strict=True))
    taken = read(METHOD, JOB, values)
    u = found(METHOD, JOB, taken).estimate.budget.u
    assert budget_by_monte_carlo(METHOD, JOB, taken) == pytest.approx(u, rel=0.03)


def test_the_whole_check_from_a_file() -> None:
    """Longer across the mark: the marked corner is more than 90."""
    assert closed("diagonals", JOB, SQUARE).lean.startswith("no error detectable")
    more = closed("diagonals", JOB, {**SQUARE, "d1": "1086 mm", "d2": "1077.3 mm"})
    assert more.lean == "the marked corner is more than 90 degrees"
    assert more.verdict == "out"
    less = closed("diagonals", JOB, {**SQUARE, "d1": "1077.3 mm", "d2": "1086 mm"})
    assert less.lean == "the marked corner is less than 90 degrees"


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"other_width": "500 mm"}, "width and other_width"),
        ({"other_length": "1000 mm"}, "length and other_length"),
        ({"d1": "1181.67 mm"}, "too long for these sides"),
        ({"d1": "981.67 mm"}, "too short for these sides"),
    ],
)
def test_readings_that_contradict_are_named(wrong: dict[str, str], says: str) -> None:
    """Six lengths say one thing twice: a misread one shows."""
    assert says in contradiction("diagonals", JOB, {**SQUARE, **wrong})


def test_reckon_refuses_the_same(program: Program) -> None:
    ran = program.bare("reckon", "diagonals", "d1=60in", "d2=40in", "width=24in", "length=36in")
    assert ran.code == 2
    assert "d1: no diagonal is as long as two sides together" in ran.err
    assert program.bare("reckon", "diagonals", "d1=0", "d2=0", "width=0", "length=0").code == 2
