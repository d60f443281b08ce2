"""The sums that only `reckon` knows: screw, rim speed, knife marks."""

from __future__ import annotations

import math
from typing import Any

import pytest

from tests.cli.program import Program


def reckoned(program: Program, *words: str) -> Any:
    ran = program.bare("reckon", *words, "--json")
    assert (ran.code, ran.err) == (0, "")
    return ran.json


@pytest.mark.parametrize(
    ("thread", "degrees"),
    [
        ("#8-32", 11.520),
        ("#10-24", 8.640),
        ("#10-32", 11.520),
        ("1/4-20", 7.200),
        ("1/4-28", 10.080),
        ("5/16-18", 6.480),
        ("5/16-24", 8.640),
        ("3/8-16", 5.760),
        ("3/8-24", 8.640),
        ("7/16-14", 5.040),
        ("1/2-13", 4.680),
        ("5/8-11", 3.960),
        ("3/4-10", 3.600),
        ("1-8", 2.880),
        ("M5", 11.430),
        ("M6", 9.144),
        ("M8", 7.315),
    ],
)
def test_degrees_for_a_thou(program: Program, thread: str, degrees: float) -> None:
    """Threads of Mechanical Engineer's Data Handbook, 8.2.7; metric ISO 261 (two charts)."""
    data = reckoned(program, "screw", f"thread={thread}", "move=0.001in")
    assert data["degrees"] == pytest.approx(degrees, abs=5e-4)
    assert data["turns"] == pytest.approx(degrees / 360, abs=2e-6)


@pytest.mark.parametrize(
    ("thread", "degrees"),
    [("M5", 45.0), ("M8", 28.8), ("M10", 24.0), ("M12", 20.571), ("M8x1", 36)],
)
def test_degrees_for_a_tenth_of_a_millimetre(program: Program, thread: str, degrees: float) -> None:
    """ISO 261 pitches (two charts)."""
    data = reckoned(program, "screw", f"thread={thread}", "move=0.1mm")
    assert data["degrees"] == pytest.approx(degrees, abs=5e-4)


@pytest.mark.parametrize(
    ("thread", "move", "turns"), [("20 tpi", "3 thou", 0.06), ("5/16-24", "0.005in", 0.12)]
)
def test_worked_examples(program: Program, thread: str, move: str, turns: float) -> None:
    """Derived: a fence 3 thou out on 20 threads; a planer bed 5 thou out on 5/16-24."""
    assert reckoned(program, "screw", f"thread={thread}", f"move={move}")["turns"] == pytest.approx(
        turns
    )


def test_a_screws_json_has_the_fixed_form(program: Program) -> None:
    """Its main value is the move, a length, exact; M8 advances 1.25 mm."""
    data = reckoned(program, "screw", "thread=M8", "move=0.5mm")
    assert list(data)[:8] == [
        "schema", "method", "error", "uncertainty", "tolerance", "probability", "verdict", "note",
    ]  # fmt: skip
    assert data["error"]["mm"] == pytest.approx(0.5)
    assert data["uncertainty"]["standard"]["mm"] == 0
    assert data["advance_per_turn"]["mm"] == pytest.approx(1.25)
    assert math.isfinite(data["uncertainty"]["k"])


def test_rim_speed(program: Program) -> None:
    """Derived: 10 in at 4000 turns: 10,471.976 ft/min, 53.1976 m/s, 119.00 mph."""
    data = reckoned(program, "rim-speed", "diameter=10in", "rpm=4000")
    for told in (data["error"], data["speed"]):
        assert told["ft_per_min"] == pytest.approx(10471.976, abs=5e-4)
        assert told["m_per_s"] == pytest.approx(53.1976, abs=5e-5)
        assert told["mph"] == pytest.approx(119.0, abs=5e-3)
    plain = program.bare("reckon", "rim-speed", "diameter=10in", "rpm=4000")
    assert "10472.0 ft/min" in plain.out


def test_knife_marks(program: Program) -> None:
    """FDMC, "Knife marks per inch": 5000 x 3 / (12 x 20) = 62.5; height derived, 2.1333e-5 in."""
    words = ("rpm=5000", "knives=3", "feed=20 ft/min", "circle=3in")
    data = reckoned(program, "knife-marks", *words)
    assert data["marks_per_inch"] == pytest.approx(62.5)
    assert data["marks_per_cm"] == pytest.approx(5000 * 3 / (20 * 30.48))  # a foot is 30.48 cm
    assert data["pitch"]["in"] == pytest.approx(0.016)
    assert data["error"]["mm"] == pytest.approx(0.4064)
    assert data["mark_height"]["in"] == pytest.approx(2.1333e-5, rel=5e-5)
    assert data["note"] == ""


def test_trap_one_proud_knife_makes_all_the_marks(program: Program) -> None:
    """5000 turns, 20 ft/min: 20.8 marks to the inch; slower heads fall below 20, and it is said."""
    alone = reckoned(program, "knife-marks", "rpm=5000", "knives=1", "feed=20fpm")
    assert alone["marks_per_inch"] == pytest.approx(20.8333, abs=1e-4)
    assert "mark_height" not in alone
    spiral = reckoned(program, "knife-marks", "rpm=5000", "knives=100", "feed=20fpm")
    assert spiral["marks_per_inch"] == pytest.approx(100 * 20.8333, abs=0.01)
    assert alone["note"] == ""
    coarse = reckoned(program, "knife-marks", "rpm=4500", "knives=1", "feed=6 m/min")
    assert "20 marks" in coarse["note"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("screw", "thread=M7", "move=1mm"), ["thread=M7"]),
        (("screw", "thread=1/4-20", "move=1"), ["move", "unit"]),
        (("screw", "move=1mm"), ["thread"]),
        (("rim-speed", "diameter=10in", "rpm=0"), ["rpm"]),
        (("rim-speed", "diameter=10", "rpm=4000"), ["diameter", "unit"]),
        (("knife-marks", "rpm=5000", "knives=2.5", "feed=20fpm"), ["knives", "whole"]),
        (("knife-marks", "rpm=5000", "knives=0", "feed=20fpm"), ["knives"]),
        (("knife-marks", "rpm=5000", "knives=101", "feed=20fpm"), ["knives", "100"]),
        (("knife-marks", "rpm=5000", "knives=2", "feed=20"), ["feed"]),
        (("knife-marks", "rpm=1", "knives=1", "feed=60 m/min", "circle=3in"), ["circle"]),
    ],
)
def test_what_cannot_be_is_refused(
    program: Program, words: tuple[str, ...], says: list[str]
) -> None:
    ran = program.bare("reckon", *words)
    assert ran.code == 2
    assert len(ran.err.splitlines()) == 1
    assert all(word in ran.err for word in says)
