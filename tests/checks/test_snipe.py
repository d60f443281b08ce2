"""Snipe: how deep and how long, at both ends of a planed board."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
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
from tests.checks.machines import closed
from tests.cli.program import Program

METHOD = cut_test("snipe")
JOB = cut_job(tolerance=Tolerance(-0.0762, 0.0762, "3 thou", "length"))
LENGTHS = {"lead_length": 75.0, "tail_length": 75.0}
ANSWERS = {
    "care": "understood",
    "middle": ".750 in",
    "lead": ".740 in",
    "tail": ".747 in",
    "lead_length": "2 1/2 in",
    "tail_length": "2 in",
}


def planed(droop: float, reach: float, board: float) -> tuple[float, float]:
    """Plane a board in coordinates over a table that droops; depth and length of the snipe.

    Until the second roller holds it, for `reach` mm, the board lies on the infeed table, which is
    turned down by `droop` about the edge of the bed: its leading end stands up into the knives, and
    comes down as it is drawn in. The depth is largest at the very end.
    """
    places = np.linspace(0, board, 2001)  # along the board, from its leading end
    lift = np.where(places < reach, (reach - places) * math.tan(droop), 0.0)
    thick = 19.0 - lift
    return float(19.0 - thick[0]), float(places[thick < 19.0][-1]) if droop > 0 else 0.0


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Plant droop at both tables, sometimes alike; measure with a calliper."""
    lead, _ = planed(rng.uniform(0, 0.003), 75, 1000)
    tail, _ = planed(rng.uniform(0, 0.003), 75, 1000)
    if rng.random() < 0.3:
        tail = lead  # which end is deeper is then a matter of chance
    thick = [19.0, 19.0 - lead, 19.0 - tail]
    middle, first, last = (calliper(rng, one + rng.normal(0, 0.014)) for one in thick)
    values = {"middle": middle, "lead": first, "tail": last, **LENGTHS}
    return max(lead, tail), found(METHOD, JOB, read(METHOD, JOB, values)).estimate


def test_the_deeper_end_counts(program: Program) -> None:
    """Derived: middle less end, at both ends; lengths in every unit."""
    given = ("middle=0.750in", "lead=0.742in", "tail=0.747in", "lead_length=60mm")
    data = program.bare("reckon", "snipe", *given, "--json").json
    assert data["method"] == "snipe"
    assert set(data["error"]) == {"in", "thou", "mm"}
    assert data["error"]["thou"] == pytest.approx(8.0)
    assert data["deeper_end"] == "lead"
    assert data["lead_depth"]["thou"] == pytest.approx(8.0)
    assert data["tail_depth"]["thou"] == pytest.approx(3.0)
    assert data["lead_length"]["in"] == pytest.approx(60 / 25.4)
    assert "tail_length" not in data


def test_a_tolerance_of_a_length(program: Program) -> None:
    given = ("middle=0.750in", "lead=0.750in", "tail=0.750in", "tolerance=3thou")
    data = program.bare("reckon", "snipe", *given, "--json").json
    assert data["verdict"] == "true"
    assert data["tolerance"]["thou"] == pytest.approx(3.0)


def test_the_planted_depth_comes_back() -> None:
    """Boards planed in coordinates, both ends alike or not: U holds the depth 95 times in 100."""
    depth, length = planed(0.002, 75, 1000)
    assert depth == pytest.approx(0.15, rel=1e-3)
    assert length == pytest.approx(75, abs=0.6)
    holds(trial, 1000)


@pytest.mark.parametrize("lead", [19.0, 18.8])
def test_u_agrees_with_a_monte_carlo(lead: float) -> None:
    """JCGM 101: the same model, drawn; at the end that was found to be deeper."""
    values = {"middle": 19.0, "lead": lead, "tail": 19.0, **LENGTHS}
    taken = read(METHOD, JOB, values)
    u = found(METHOD, JOB, taken).estimate.budget.u
    assert budget_by_monte_carlo(METHOD, JOB, taken) == pytest.approx(u, rel=0.03)


def test_the_whole_check_from_a_file() -> None:
    """The end tells the table."""
    outcome = closed("snipe", JOB, ANSWERS)
    assert outcome.estimate.error == pytest.approx(0.254)
    assert outcome.verdict == "out"
    assert outcome.lean == "the leading end is cut deeper"
    assert outcome.aims[0] == "The outer end of the infeed table must come up."
    assert outcome.adds["tail_length"] == {
        "in": pytest.approx(2.0),
        "thou": pytest.approx(2000.0),
        "mm": pytest.approx(50.8),
    }
    tail = closed("snipe", JOB, {**ANSWERS, "tail": ".735 in"})
    assert tail.lean == "the trailing end is cut deeper"
    assert "outfeed" in tail.aims[0]


def test_how_far_the_table_droops() -> None:
    """Planted: a droop of 2 mm/m, seen over the 75 mm that it reaches in; 25.4 mm to the inch."""
    depth, length = planed(0.002, 75, 1000)
    board = {"middle": "19 mm", "lead": f"{19 - depth:.4f} mm", "tail": "19 mm"}
    answers = {**ANSWERS, **board, "lead_length": f"{length:.2f} mm", "tail_length": "0"}
    metric = closed("snipe", JOB._replace(unit="mm"), answers).moves[0]
    said = re.search(r"Raise .* the infeed table by about ([\d.]+) mm for every 100 mm of", metric)
    assert said is not None, metric
    assert float(said[1]) == pytest.approx(100 * math.tan(0.002), rel=0.01)
    assert "2.0 thou for every inch" in closed("snipe", JOB, answers).moves[0]


def test_a_snipe_of_no_length_is_set_right_by_trying() -> None:
    answers = {**ANSWERS, "lead": ".745 in", "lead_length": "0"}
    assert closed("snipe", JOB, answers).moves[0].endswith("infeed table a little.")


@pytest.mark.parametrize(
    ("wrong", "says"),
    [({"lead": ".800 in"}, "lead: thicker than the middle"), ({"tail": ".470 in"}, "tail: more")],
)
def test_readings_that_contradict_are_named(wrong: dict[str, str], says: str) -> None:
    """An end thicker than the middle, a step of a quarter inch: read again, nothing recorded."""
    assert says in contradiction("snipe", JOB, {**ANSWERS, **wrong})
