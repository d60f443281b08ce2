"""Taper of a turned test piece: two diameters over the length between them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
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

METHOD = measured("taper")
JOB = dial_job(Tolerance(-0.001, 0.001, "1 mm/m"))
ANSWERS = {
    "care": "understood",
    "carried": "bed",
    "head": "1.510 in",
    "tail": "1.500 in",
    "length": "12 in",
    "between": "16 in",
}


def turned(off: float, between: float, places: tuple[float, float]) -> list[float]:
    """Turn a piece in coordinates; give its diameters at two places along its axis, mm.

    The bed runs along x, the tool's tip at y = 19 all the way; y toward the tool. The head centre
    stands at the origin, the tail centre `off` nearer the tool. The piece turns about the line
    through both: what is left of it at a place is twice the tip's distance from that line.
    """
    axis = np.array([between, off]) / math.hypot(between, off)
    found = []
    for along in places:
        foot = axis * along
        square_to = np.array([-axis[1], axis[0]])
        # From the axis square outward to the line that the tip draws, y = 19.
        found.append(2 * (19.0 - foot[1]) / square_to[1])
    return found


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant a tail centre off by up to 1.6 mm over 800; turn, measure as one does."""
    between = 800.0
    off = rng.uniform(-1.6, 1.6)
    start, end = 60.0, rng.uniform(360, 740)
    head, tail = (one + rng.normal(0, 0.025) for one in turned(off, between, (start, end)))

    def read(mm: float) -> float:
        shown = mm + rng.uniform(-CALLIPER.limit, CALLIPER.limit)
        return round(shown / (2 * HALF_STEP)) * 2 * HALF_STEP

    values = {
        "head": read(head),
        "tail": read(tail),
        "length": rule(rng, end - start),
        "between": rule(rng, between),
    }
    return math.atan(off / between), fed(METHOD, JOB, values, {"carried": "bed"}).estimate


def test_the_planted_taper_comes_back() -> None:
    """Simulated: a tail centre off its place, a straight way of the tool; U holds the taper."""
    holds(trial, 91, 600)


@pytest.mark.parametrize("off", [1.5, -0.8])
def test_the_tail_point_is_off_by_what_was_planted(off: float) -> None:
    """In coordinates; a handbook's set-over, (D - d) / 2 over the whole length, is the same."""
    head, tail = turned(off, 500.0, (50.0, 450.0))
    values = {"head": head, "tail": tail, "length": 400.0, "between": 500.0}
    told = METHOD.adds(values, {"carried": "bed"})["tail_off"]
    assert isinstance(told, dict)
    assert told["mm"] == pytest.approx(off, rel=1e-4)
    assert (turned(off, 500.0, (0.0, 500.0))[0] - 38.0) / 2 == pytest.approx(0.0, abs=1e-3)


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: diameters, length and the piece drawn 200,000 times."""
    rng = np.random.default_rng(92)
    count = 200_000

    def diameter(mm: float) -> np.ndarray:
        out: np.ndarray = (
            mm
            + rng.uniform(-CALLIPER.limit, CALLIPER.limit, count)
            + rng.uniform(-HALF_STEP, HALF_STEP, count)
            + rng.normal(0, 0.025, count)
        )
        return out

    u = monte_carlo_u(
        lambda d: np.arctan((d["head"] - d["tail"]) / 2 / d["length"]),
        {
            "head": diameter(38.5),
            "tail": diameter(38.0),
            "length": 300 + rng.uniform(-0.5, 0.5, count),
        },
    )
    values = {"head": 38.5, "tail": 38.0, "length": 300.0, "between": 400.0}
    found = fed(METHOD, JOB, values, {"carried": "bed"})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


def test_where_the_bed_led_the_tool_the_tailstock_is_told_how_far() -> None:
    """Derived: 50 thou on the diameter over 12 in are 33.3 thou at a centre 16 in away."""
    found = closed("taper", JOB, ANSWERS | {"head": "1.550 in"})
    assert found.lean == "thicker at the headstock"
    assert found.moves == ("The tail point must move 33 thou away from the tool.",)
    found = closed("taper", JOB, ANSWERS | {"head": "1.450 in"})
    assert found.moves == ("The tail point must move 33 thou toward the tool.",)


def test_a_screw_that_sets_the_tailstock_is_told_in_turns() -> None:
    """Derived: 25 thou over 12 in are 33.3 thou over 16; 20 threads to the inch: 2/3 turn."""
    screw = Screw(25.4 / 20, 406.4, "toward", name="the far screw")
    done = walked(
        "taper",
        JOB._replace(adjuster=screw),
        ANSWERS | {"head": "1.55 in", "next": "adjust", "left.unplugged": "1"},
    )
    step = next(one for one, _ in done.answered if one.key == "left.adjust")
    told = " ".join(step.lines)
    assert "Turn the far screw clockwise" in told
    assert "33.3 thou" in told or "33 thou" in told
    assert "The tail point must move away from the tool." in told


def test_by_hand_no_tailstock_is_blamed() -> None:
    """The axis of a piece is straight wherever its centres stand; the hand alone makes it taper."""
    by_hand = {key: text for key, text in ANSWERS.items() if key != "between"}
    found = closed("taper", JOB, by_hand | {"carried": "hand", "head": "1.550 in"})
    assert found.verdict == "out"
    assert "tail_off" not in found.adds
    assert "tail point" not in " ".join(found.moves)
    assert closed("taper", JOB, by_hand | {"carried": "hand", "head": "1.5 in"}).moves == ()


def test_the_cautions_of_a_lathe_come_first() -> None:
    done = walked("taper", JOB, {})
    assert done.step is not None
    assert done.step.key == "care"
    told = " ".join(done.step.lines)
    for words in ("Face shield", "no gloves", "clears the rest", "Stand aside", "manual"):
        assert words in told


def test_reckoned(program: Program) -> None:
    """Derived: 10 thou on the diameter over a foot are 5 thou/ft on one side."""
    words = ("head=1.51in", "tail=1.5in", "length=12in", "between=16in", "--json")
    data = program.bare("reckon", "taper", *words).json
    assert data["error"]["thou_per_ft"] == pytest.approx(5.0)
    assert data["difference"]["thou"] == pytest.approx(10.0)
    assert data["tail_off"]["thou"] == pytest.approx(5 * 16 / 12)
    assert program.bare("reckon", "taper", "head=3in", "tail=1in", "length=12in").code == 2
