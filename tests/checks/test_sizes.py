"""Run-out, tilt, gap, flatness and straightness are sizes: a tolerance from 0 cuts nothing off."""

from __future__ import annotations

import json
import math
from datetime import UTC, datetime
from typing import Any

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.outcome import Outcome
from shopboard.checks.ranking import rank
from shopboard.checks.steps import Finding
from shopboard.checks.walk import walk
from shopboard.journal import Entry
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.limits import parse_limits
from shopboard.results.record import read_check
from tests.builders import check_body
from tests.checks.machines import DIALS, INDICATOR, dial_job, fed, measured
from tests.checks.tables import STRAIGHTEDGE, table_job
from tests.cli.program import Program

FINE = INDICATOR._replace(limit=0.003)
ALL = DIALS._replace(others=(FINE, STRAIGHTEDGE))
EITHER, FROM_0 = parse_limits("2 thou"), parse_limits("0 to 2 thou")
STATIONS = ("near", "quarter", "middle", "three-quarters", "far")
EDGES = ("front", "back", "left", "right", "rising", "falling", "closing")
HOLLOW = {
    "light": "some",
    **{f"{at}.goes": "0" for at in STATIONS},
    **{f"{at}.refused": ".0015" for at in STATIONS},
    "middle.goes": ".0015",
    "middle.refused": ".002",
}
ANSWERS: dict[str, dict[str, str]] = {
    "runout": {"low": "0", "high": "0.5 thou"},
    "straightness": HOLLOW,
    "flatness": {f"{line}_light": "none" for line in EDGES},
    "leaf-gap": {"goes": "0", "refused": ".0015"},
}


def outcome_of(name: str, tolerance: Tolerance) -> Outcome:
    job = table_job(tolerance=tolerance, drawer=ALL)
    answers = {"care": "understood", **ANSWERS[name]}
    return walk(registry.method(name), job, answers, from_file=True).findings[0].outcome


@pytest.mark.parametrize("name", ANSWERS)
def test_from_0_is_the_same_as_the_highest_alone(name: str) -> None:
    """Probability, verdict, share used and what is aimed at."""
    one, other = outcome_of(name, FROM_0), outcome_of(name, EITHER)
    assert one.estimate.size
    assert one.estimate == other.estimate
    assert one.probability == pytest.approx(other.probability)
    assert one.probability is not None
    assert one.probability > 0.5
    assert one.used == pytest.approx(one.estimate.error / FROM_0.high)


def test_a_signed_length_keeps_its_lower_limit() -> None:
    """Knives 0 to 3 thou above the table: below is not allowed, and half of 0 lies below."""
    method, job = measured("snipe"), dial_job(FROM_0)
    lengths = {"lead_length": 0.0, "tail_length": 0.0}
    found = fed(method, job, {"middle": 19.0, "lead": 19.0, "tail": 19.0, **lengths})
    assert not found.estimate.size
    assert found.probability is not None
    assert found.probability < 0.5


@pytest.mark.parametrize("typed", ["0 to 1.5 thou", "1.5 thou"])
def test_what_runs_true_is_called_true(program: Program, typed: str) -> None:
    """With 0.52 thou of u from an indicator that nobody vouches for; it was 50 % sure from 0 on."""
    words = ("high=0.2thou", "low=0", f"tolerance={typed}", "--json")
    data = program.bare("reckon", "runout", *words).json
    assert data["verdict"] == "true"
    assert data["probability"] == pytest.approx(0.992, abs=5e-3)


def test_reckoned_straight_to_nothing_is_true(program: Program) -> None:
    """Exact heights on one line, allowed 0 to 1 thou: 0 is within, not below."""
    points = "points=0in,0thou;10in,2thou;20in,4thou"
    for method, text in (
        ("straightness", points),
        ("flatness", "points=0in,0in,0thou;9,0,0;0,9,0"),
    ):
        data = program.bare("reckon", method, text, "tolerance=0 to 1 thou", "--json").json
        assert data["error"]["thou"] == pytest.approx(0.0, abs=1e-9)
        assert (data["verdict"], data["probability"]) == ("true", 1.0)


def test_a_gap_between_limits_keeps_both(program: Program) -> None:
    """2 to 5 thou: too tight is out."""
    words = ("goes=.0005in", "refused=.001in", "tolerance=0.002 to 0.005 in", "--json")
    assert program.bare("reckon", "leaf-gap", *words).json["verdict"] == "out"


def test_a_size_stays_one_on_record() -> None:
    """Judged again from the journal, with a tolerance of today, it is the same size."""
    outcome = outcome_of("runout", FROM_0)
    body: dict[str, Any] = json.loads(json.dumps(check_body(outcome, "as-found")))
    when = datetime(2026, 6, 1, 8, tzinfo=UTC)
    record = read_check(Entry(1, "uid-1", when, "check", "saw", "arbor", "visit", body, None, True))
    assert record.spread.size
    verdict, probability = record.verdict_for(FROM_0, 0.95)
    assert probability == pytest.approx(outcome.probability, abs=1e-4)
    assert verdict == outcome.verdict
    del body["size"]  # as recorded before sizes were told apart: as it was judged then
    old = read_check(Entry(1, "uid-1", when, "check", "saw", "arbor", "visit", body, None, True))
    assert old.verdict_for(FROM_0, 0.95)[1] < 0.9


@pytest.mark.parametrize("name", ["runout", "straightness", "flatness"])
def test_the_best_that_a_drawer_can_prove_is_nothing_and_not_half(name: str) -> None:
    """A perfect machine reads 0, and that is what is ranked."""
    ranks = [
        rank(table_job(tolerance=tolerance, drawer=ALL), (name,))[0]
        for tolerance in (FROM_0, EITHER)
    ]
    assert ranks[0].probability == pytest.approx(ranks[1].probability)


def test_the_share_that_is_used_is_shown_from_0() -> None:
    """A run-out of half a thou uses a quarter of 2 thou, not half of its middle."""
    outcome = outcome_of("runout", FROM_0)
    job = table_job(tolerance=FROM_0, drawer=ALL)
    lines = step_lines(
        Finding(key="record", title="As found.", outcome=outcome, run="as-found"),
        [],
        job,
        "",
        (80, 21),
    )
    text = "\n".join("".join(part[0] for part in line) for line in lines)
    assert "25 % of the tolerance" in text
    assert math.isclose(outcome.used or 0.0, 0.25)
