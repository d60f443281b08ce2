"""Five-cut test: a wedge of four errors, the fence's move, the calliper's budget."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from shopboard.checks.drawn.canvas import AtStep
from shopboard.metrology.adjuster import Slot
from shopboard.metrology.propagate import Input, propagate
from shopboard.metrology.uncertainty import Estimate, Source
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
from tests.checks.machines import closed, rule
from tests.cli.program import Program

METHOD = cut_test("five-cut")
JOB = cut_job()
ANSWERS = {"care": "understood", "a": "1.0120 in", "b": "1.0080 in", "length": "16 in"}
Polygon = list[complex]


def clip(board: Polygon, at: complex, way: complex, side: int) -> Polygon:
    """Keep what lies left (side 1) or right (side -1) of a line."""
    kept: Polygon = []
    for one, two in zip(board, board[1:] + board[:1], strict=True):
        d1, d2 = (side * ((z - at) / way).imag for z in (one, two))
        if d1 >= 0:
            kept.append(one)
        if d1 * d2 < 0:
            kept.append(one + (two - one) * d1 / (d1 - d2))
    return kept


def on_line(board: Polygon, at: complex, way: complex) -> tuple[complex, complex]:
    """The two ends of the edge that a cut made, the one at the fence first."""
    ends = sorted((z for z in board if abs(((z - at) / way).imag) < 1e-9), key=lambda z: z.imag)
    return ends[0], ends[-1]


def five_cuts(error: float, seats: list[float]) -> tuple[float, float, float, float]:
    """Cut a rough board five times in coordinates; each fresh edge goes to the fence.

    The fence is the real axis, the board lies above it, left of the blade. The blade leaves the
    fence at 90 degrees plus `error`; the board seats askew by `seats`. Gives the strip's width at
    the fence, at the other end, its length, and the angle between its long sides.
    """
    board: Polygon = [0j, 420 + 5j, 430 + 400j, -8 + 410j]
    way = cmath.rect(1, math.pi / 2 - error)
    strip: Polygon = []
    at = 0j
    for number, seat in enumerate(seats):
        if number:
            low, high = on_line(board, at, way)
            turn = abs(high - low) / (high - low) * cmath.rect(1, seat)
            board = [(z - low) * turn for z in board]
        most = min(z.real for z in sorted(board, key=lambda z: z.real)[-2:])
        at = complex(most - (25 if number == 4 else 8), 0)
        strip = clip(board, at, way, -1)
        board = clip(board, at, way, 1)
    inner = on_line(strip, at, way)
    outer = sorted((z for z in strip if z not in inner), key=lambda z: z.imag)
    a, b = abs(outer[0] - inner[0]), abs(outer[-1] - inner[1])
    first = outer[-1] - outer[0]
    return a, b, abs(inner[1] - inner[0]), cmath.phase(way.conjugate() * first)


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant an error, let each cut seat askew, read the strip with calliper and rule."""
    error = rng.uniform(-0.004, 0.004)
    a, b, length, _ = five_cuts(error, list(rng.normal(0, 0.02 / 400, 5)))
    values = {"a": calliper(rng, a), "b": calliper(rng, b), "length": rule(rng, length)}
    return error, found(METHOD, JOB, read(METHOD, JOB, values)).estimate


def test_the_published_example(program: Program) -> None:
    """A hobby how-to on the five-cut test of a table saw sled: 27.89 and 29.25 mm over 400 mm.

    Published: quarter difference -0.34 mm, -0.00085, and -0.4675 mm at a pivot of 550 mm.
    """
    given = ("a=27.89mm", "b=29.25mm", "length=400mm", "pivot=550mm")
    data = program.bare("reckon", "five-cut", *given, "--json").json
    assert data["method"] == "five-cut"
    assert data["error"]["mm_per_m"] == pytest.approx(-0.85, rel=1e-6)
    assert data["error"]["deg"] == pytest.approx(-0.0487014, abs=1e-7)
    assert data["fence_move"]["mm"] == pytest.approx(-0.4675, rel=1e-9)
    assert data["fence_move"]["in"] == pytest.approx(-0.4675 / 25.4)
    assert "away from the work" in data["fence_move_way"]


def test_in_inches(program: Program) -> None:
    """Derived: 1.0120 and 1.0080 over 16 in: 0.750 thou/ft; .00125 in at 20."""
    given = ("a=1.0120in", "b=1.0080in", "length=16in", "pivot=20in")
    data = program.bare("reckon", "five-cut", *given, "--json").json
    assert data["error"]["thou_per_ft"] == pytest.approx(0.750, rel=1e-6)
    assert data["error"]["deg"] == pytest.approx(0.0035810, abs=1e-7)
    assert data["fence_move"]["in"] == pytest.approx(0.00125)
    assert "goes toward the work" in data["fence_move_way"]


def test_without_a_pivot_no_move(program: Program) -> None:
    given = ("a=27.89mm", "b=29.25mm", "length=400mm")
    assert "fence_move" not in program.bare("reckon", "five-cut", *given, "--json").json


def test_the_uncertainty_of_the_example() -> None:
    """Derived (GTC): u 0.012 mm for both widths, 0.5 mm for the length: 0.010660 mm/m."""
    inputs = {
        "a": Input(27.89, (Source("a", "a", 0.012),)),
        "b": Input(29.25, (Source("b", "b", 0.012),)),
        "length": Input(400.0, (Source("length", "length", 0.5),)),
    }
    result = propagate(lambda read: METHOD.formula(read, {}), inputs)
    assert result.budget.u * 1000 == pytest.approx(0.010660, abs=1e-6)


def test_four_errors_not_five() -> None:
    """Derived: edge 1 and edge 5 enclose 4 (90 deg + e) - 360 deg = 4 e exactly: 0.2 for 0.05."""
    *_, wedge = five_cuts(math.radians(0.05), [0.0] * 5)
    assert math.degrees(wedge) == pytest.approx(0.2, abs=1e-9)
    a, b, length, _ = five_cuts(math.radians(0.05), [0.0] * 5)
    assert math.degrees(METHOD.formula({"a": a, "b": b, "length": length}, {})) == pytest.approx(
        0.05, rel=0.01
    )


def test_the_planted_error_comes_back() -> None:
    """Boards cut in coordinates, each seating askew: U holds it in 95 of 100 trials."""
    holds(trial, 800)


@pytest.mark.parametrize("b", [25.0, 26.4])
def test_u_agrees_with_a_monte_carlo(b: float) -> None:
    """JCGM 101: the same model, drawn."""
    taken = read(METHOD, JOB, {"a": 25.0, "b": b, "length": 400.0})
    u = found(METHOD, JOB, taken).estimate.budget.u
    assert budget_by_monte_carlo(METHOD, JOB, taken) == pytest.approx(u, rel=0.03)


def test_the_whole_check_from_a_file() -> None:
    """Which end is wider follows from the numbers; the move is for this shop's adjuster."""
    job = cut_job(adjuster=Slot(20 * 25.4, "the fence's end"))
    outcome = closed("five-cut", job, {**ANSWERS, "b": "1.0500 in"})
    assert outcome.lean.endswith("less than 90 degrees")
    move = outcome.adds["fence_move"]
    assert isinstance(move, dict)
    assert move["in"] == pytest.approx((1.0120 - 1.0500) / (4 * 16) * 20)
    assert "away" in str(outcome.adds["fence_move_way"])
    wider = closed("five-cut", job, {**ANSWERS, "a": "1.0500 in"})
    assert wider.lean.endswith("more than 90 degrees")


def test_three_strips_have_three_readings_worth() -> None:
    """Cut again twice: from three sets on their own scatter counts, k = 4.30 where it dominates."""
    more = {"again2.a": "1.014 in", "again2.b": "1.008 in", "again2.length": "16 in"}
    last = {"again3.a": "1.006 in", "again3.b": "1.008 in", "again3.length": "16 in"}
    yes = {"repeat1": "yes", "repeat2": "yes"}
    outcome = closed("five-cut", JOB, {**ANSWERS, **more, **last, **yes})
    assert outcome.estimate.error == pytest.approx((0.004 + 0.006 - 0.002) / 3 / 64)
    assert outcome.estimate.budget.dof < 12
    assert outcome.estimate.budget.k > 2.1


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"a": "17 in", "length": "16 in"}, "at most"),
        ({"length": "4 in", "a": "5 in"}, "a: the strip is wider than the board"),
        ({"length": "4 in", "b": "5 in"}, "b: the strip is wider than the board"),
        ({"b": "3.0080 in"}, "a and b"),
    ],
)
def test_readings_that_contradict_are_named(wrong: dict[str, str], says: str) -> None:
    """A strip wider than its board, a wedge that no sled cuts: read again, nothing recorded."""
    if says == "at most":
        values = {"a": 431.8, "b": 25.4, "length": 406.4}
        wrong_by_name = METHOD.refuse(values, {})
        assert wrong_by_name is not None
        assert wrong_by_name.why.startswith("a: the strip is wider")
    else:
        assert says in contradiction("five-cut", JOB, {**ANSWERS, **wrong})


def test_the_drawing_numbers_the_sides_as_they_come_to_the_fence() -> None:
    """Turned a quarter after each cut, the edge just cut to the fence: at cut 5 that is edge 4."""
    sides = ["", "", "", ""]  # right, where the blade is; at the fence; left; away from the fence
    for cut in "12345":
        sides = ["", sides[0], sides[1], sides[2]] if cut > "1" else sides
        sides[0] = cut
    drawn = cut_test("five-cut").sketch(JOB, AtStep("fifth"), 1)
    assert sides[1:] == ["4", "3", "2"]
    assert "4" in next(line for line in drawn if "fence" in line and "═" in line)
    assert drawn[3][0] == "3"
    assert "2" in drawn[0]
