"""Tools of the drawer proven: line-flip of a square, three squares, three straightedges."""

from __future__ import annotations

import json
import math

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.contradiction import Recheck
from shopboard.checks.drawn.canvas import as_ascii
from shopboard.checks.job import NotPossibleError
from shopboard.checks.outcome import Outcome
from shopboard.checks.report import outcome_json
from shopboard.checks.steps import AnswerError, Finding
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import in_units
from shopboard.metrology.limits import parse_limits
from tests.builders import SQUARE_6, make_job
from tests.checks.machines import DIALS

ANGLE = Tolerance(-0.0005, 0.0005, "6 thou/ft")
BOW = parse_limits("2 thou")
PROVING = {"square-flip": ANGLE, "three-squares": ANGLE, "three-straightedges": BOW}


def reckoned(name: str, **values: str) -> Outcome:
    return registry.method(name).reckon(values)


# ---------------------------------------------------------------- what is known from elsewhere


@pytest.mark.parametrize(
    ("gap", "at", "thou_per_ft", "deg", "mm_per_m"),
    [
        ("0.010 in", "12 in", 5.0, 0.0238732, 0.416667),
        ("0.4 mm", "300 mm", 8.0, 0.0381972, 0.666667),
    ],
)
def test_two_lines_carry_the_error_once_each_way(
    gap: str, at: str, thou_per_ft: float, deg: float, mm_per_m: float
) -> None:
    """Half the gap over its distance from the edge (derived)."""
    found = outcome_json(reckoned("square-flip", gap=gap, at=at))["error"]
    assert isinstance(found, dict)
    assert found["thou_per_ft"] == pytest.approx(thou_per_ft, rel=1e-6)
    assert found["deg"] == pytest.approx(deg, abs=1e-7)
    assert found["mm_per_m"] == pytest.approx(mm_per_m, rel=1e-6)


def test_the_side_on_which_the_first_line_lies_gives_the_sign() -> None:
    values = {"gap": "0.010 in", "at": "12 in"}
    right = reckoned("square-flip", lies="right", **values).estimate.error
    assert reckoned("square-flip", lies="left", **values).estimate.error == -right


def test_three_squares_come_apart() -> None:
    """Pairs of 20, -6 and 4 seconds are squares of 15, 5 and -11 (derived).

    Redundancy after Evans, Hocken and Estler, CIRP 1996 (from memory).
    """
    found = outcome_json(reckoned("three-squares", ab="20 arcsec", bc="-6 arcsec", ac="4 arcsec"))
    seconds = [found[name]["deg"] * 3600 for name in "abc"]  # type: ignore[index]
    assert seconds == pytest.approx([15, 5, -11], abs=1e-9)
    assert found["error"] == found["a"]
    assert json.dumps(found, allow_nan=False)


def test_three_straightedges_come_apart() -> None:
    """Gaps of 3, 1 and 2 are bows of 2, 1 and 0 (derived, same source)."""
    found = outcome_json(reckoned("three-straightedges", ab="3 thou", bc="1 thou", ac="2 thou"))
    bows = [found[name]["thou"] for name in "abc"]  # type: ignore[index]
    assert bows == pytest.approx([2, 1, 0], abs=1e-9)
    assert found["error"]["thou"] == pytest.approx(2)  # type: ignore[index]


# ---------------------------------------------------------------- the way through

FLIP = {"at": "6 in", "lies": "right", "gap": "0.006 in"}
SQUARES = {
    "length": "6 in",
    "ab_light": "top",
    "ab.goes": "0.002 in",
    "ab.refused": "0.003 in",
    "ac_light": "none",
    "ac.refused": "0.0015 in",
    "bc_light": "bottom",
    "bc.goes": "0.002 in",
    "bc.refused": "0.003 in",
}
EDGES = {
    "ab_light": "ends",
    "ab.goes": "0.002 in",
    "ab.refused": "0.003 in",
    "ac_light": "middle",
    "ac.goes": "0.004 in",
    "ac.refused": "0.005 in",
    "bc_light": "none",
    "bc.refused": "0.0015 in",
}
FILES = {"square-flip": FLIP, "three-squares": SQUARES, "three-straightedges": EDGES}


def from_file(name: str, **changes: str) -> Walk:
    job = make_job(drawer=DIALS, proves="square-6", tolerance=PROVING[name], point="Square of 6 in")
    return walk(registry.method(name), job, {**FILES[name], **changes}, from_file=True)


@pytest.mark.parametrize("name", FILES)
def test_a_file_of_answers_leads_to_the_end(name: str) -> None:
    done = from_file(name)
    assert done.step is None
    outcome = done.findings[0].outcome
    assert outcome.readings["proves"] == "square-6"
    assert "the checks take Square, 6 in as" in outcome.note
    assert all(len(step.title.split()) <= 12 for step, _ in done.answered)
    assert all(len(step.diagram) <= 11 for step, _ in done.answered)


def test_a_proof_that_is_coarser_than_the_grade_says_so() -> None:
    """Two knife lines over 6 in tell some 6 thou/ft; by its grade, 0, the square is within 0.63."""
    coarse = from_file("square-flip").findings[0].outcome
    assert "what it takes now, ± 0.6 thou/ft, is finer" in coarse.note
    found = from_file("square-flip", gap="0.03 in").findings[0].outcome
    assert "is finer" not in found.note  # it contradicts the grade
    job = make_job(
        drawer=DIALS._replace(squares=(SQUARE_6._replace(limit=0.01),)),
        proves="square-6",
        tolerance=PROVING["square-flip"],
    )
    better = walk(registry.method("square-flip"), job, FLIP, from_file=True).findings[0].outcome
    assert "is finer" not in better.note


def test_a_straightedge_is_taken_as_within_both() -> None:
    """It may lie either way up, so a bow of 1 thou known to U is straight within 1 thou and U."""
    outcome = from_file("three-straightedges").findings[0].outcome
    both = abs(outcome.estimate.error) + outcome.estimate.budget.expanded
    assert f"as straight within {both / 0.0254:.1f} thou" in outcome.note


def test_the_working_of_pairs_gives_the_error_of_the_first() -> None:
    """Half of AB and AC less BC: light at the top, none, and light at the bottom."""
    outcome = from_file("three-squares").findings[0].outcome
    expected = math.atan(0.0025 / 6)
    assert outcome.estimate.error == pytest.approx(expected, rel=1e-3)
    assert outcome.lean.startswith("its blade leans toward its stock")
    bow = in_units(from_file("three-straightedges").findings[0].outcome.estimate.error, "length")
    assert bow["thou"] == pytest.approx((-2.5 + 4.5) / 2, abs=1e-6)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"gap": "1 in"}, "more than a tenth"),
        ({"lies": "none"}, "the lines lie on each other"),
        ({"gap": "0"}, "line 1 lies to one side"),
    ],
)
def test_readings_that_contradict_each_other_are_named(changes: dict[str, str], words: str) -> None:
    done = from_file("square-flip", **changes)
    assert isinstance(done.step, Recheck)
    assert words in done.step.refusal
    with pytest.raises(AnswerError, match="it can be again"):
        done.step.accept("keep")


def test_a_gap_that_no_two_squares_show_is_named() -> None:
    done = from_file("three-squares", **{"ab.goes": "0.5 in", "ab.refused": "0.51 in"})
    assert done.step is not None
    assert "ab: the gap is more than a twentieth" in " ".join(done.step.lines)


@pytest.mark.parametrize("name", FILES)
def test_the_best_is_known_before_anything_is_measured(name: str) -> None:
    method = registry.method(name)
    best = method.best(make_job(drawer=DIALS, proves="square-6", tolerance=PROVING[name]))
    assert best.error == pytest.approx(0, abs=1e-12)
    assert best.budget.u > 0


def test_a_drawer_without_the_tool_says_so() -> None:
    with pytest.raises(NotPossibleError, match="calliper"):
        registry.method("square-flip").best(make_job())


def test_a_square_is_proven_over_its_own_blade() -> None:
    """The longer square is proven finer: the same lines over more."""
    long = SQUARE_6._replace(id="long", length=300.0)
    drawer = DIALS._replace(squares=(SQUARE_6, long))
    method = registry.method("square-flip")
    short_u, long_u = (
        method.best(make_job(drawer=drawer, proves=one)).budget.u for one in ("square-6", "long")
    )
    assert long_u == pytest.approx(short_u * 152.4 / 300, rel=0.01)


@pytest.mark.parametrize("name", FILES)
def test_every_step_fits_the_smallest_screen(name: str) -> None:
    """80 by 24: title, words, answers and drawing all there; in ASCII as well."""
    done = from_file(name)
    job = make_job(drawer=DIALS, proves="square-6", tolerance=PROVING[name])
    drawn = 0
    for number, (step, _) in enumerate(done.answered):
        assert all(line.isascii() for line in as_ascii(step.diagram))
        lines = step_lines(step, done.answered[:number], job, "", (80, 21))
        text = "\n".join("".join(part[0] for part in line) for line in lines)
        if not isinstance(step, Finding):  # its words come first, and may take the room
            assert all(line.strip() in text for line in step.diagram), step.key
        assert "…" not in text.partition("before:")[0]
        drawn += len(step.diagram)
    assert drawn
