"""Shim or screw moves that level a plane."""

from __future__ import annotations

import json

import pytest

from tests.cli.program import Program

FOUR = "screws=0 in,0 in; 0,14; 20,0; 20,14"
PLANE = "plane=1.5 thou, .10 thou/in, -.25 thou/in"


def test_the_worked_moves_and_turns(program: Program) -> None:
    """Derived: -1.5, +2, -3.5, 0 thou; -9.72, 12.96, -22.68 and 0 degrees at 18 threads an inch."""
    told = json.loads(program.bare("reckon", "level", PLANE, FOUR, "pitch=18 tpi", "--json").out)
    moves = [one["move"]["thou"] for one in told["screws"]]
    assert moves == pytest.approx([-1.5, 2.0, -3.5, 0.0], abs=1e-9)
    turns = [one["turns"] for one in told["screws"]]
    assert turns == pytest.approx([-0.027, 0.036, -0.063, 0.0], abs=1e-9)
    degrees = [one["degrees"] for one in told["screws"]]
    assert degrees == pytest.approx([-9.72, 12.96, -22.68, 0.0], abs=1e-9)
    assert told["residual"]["thou"] == pytest.approx(0.0, abs=1e-9)
    # A hand sets sixtieths of a turn, .92593 thou: 2, 2, 4 and 0 of them, off by -.35185 at most.
    assert told["residual_set_by_hand"]["thou"] == pytest.approx(2 * 1000 / 18 / 60 - 1.5)


def test_a_screw_is_left_unless_the_height_counts(program: Program) -> None:
    """A plane that is level but high: nothing to move, or all four down."""
    high = "plane=3 thou, 0, 0"
    told = json.loads(program.bare("reckon", "level", high, FOUR, "--json").out)
    assert [one["move"]["thou"] for one in told["screws"]] == [0, 0, 0, 0]
    told = json.loads(program.bare("reckon", "level", high, FOUR, "keep=height", "--json").out)
    assert [one["move"]["thou"] for one in told["screws"]] == pytest.approx([-3.0] * 4)
    assert "turns" not in told["screws"][0]


@pytest.mark.parametrize(
    ("values", "why"),
    [
        (("plane=1 thou,0", FOUR), "plane"),
        (("plane=1 thou,.1,0", FOUR), "no unit"),
        ((PLANE, "screws=0in,0in;1,1"), "too few"),
        ((PLANE, "screws=0in,0in;1,1;2,2"), "one line"),
        ((PLANE, FOUR, "pitch=fast"), "pitch"),
        ((PLANE,), "screws= is missing"),
    ],
)
def test_what_is_wrong_is_named(values: tuple[str, ...], why: str, program: Program) -> None:
    """One sentence, exit code 2."""
    ran = program.bare("reckon", "level", *values)
    assert ran.code == 2
    assert why in ran.err
