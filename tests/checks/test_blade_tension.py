"""Blade tension: stretch between two marks, strain to stress, force per strand."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.checks.contradiction import Recheck
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.quantity import QuantityError
from shopboard.metrology.tension import STEEL_MPA, parse_modulus, strand_force, stress
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.units import PSI_PER_MPA
from tests.checks import machines
from tests.cli.program import Program

METHOD = machines.measured("blade-tension")
RANGE = parse_limits("15000 to 20000 psi")
"""Carbon steel bands: 15,000 to 20,000 psi (a blade supplier's note)."""
JOB = machines.dial_job(RANGE)
ANSWERS = {"care": "understood", "over": "5 in", "stretch": "0.003 in"}
INCH = 25.4


def psi(mpa: float) -> float:
    return mpa * PSI_PER_MPA


def test_a_thou_in_five_inches_is_6000_psi() -> None:
    """A 2001 magazine article, as a forum page quotes it: .001 in 5 in = 6000 psi (E 30e6)."""
    assert psi(stress(0.001, 5.0, parse_modulus("30e6 psi"))) == pytest.approx(6000)
    assert psi(stress(0.001, 5.0)) == pytest.approx(5800)


@pytest.mark.parametrize(
    ("want", "modulus", "stretch"),
    [
        (15_000, "30e6 psi", 0.0025),
        (15_000, "29e6 psi", 0.0025862),
        (20_000, "30e6 psi", 0.0033333),
        (25_000, "30e6 psi", 0.0041667),
    ],
)
def test_stretch_for_a_stress(want: float, modulus: str, stretch: float) -> None:
    """Derived, over 5 in."""
    assert psi(stress(stretch, 5.0, parse_modulus(modulus))) == pytest.approx(want, rel=2e-5)


def test_metric() -> None:
    """Derived: 0.05 mm in 100 mm at 206.84 GPa is 15,000 psi, 103.4214 MPa."""
    found = stress(0.05, 100.0, parse_modulus("206.84 GPa"))
    assert psi(found) == pytest.approx(15_000, rel=1e-4)
    assert found == pytest.approx(103.4214, rel=1e-4)


@pytest.mark.parametrize(
    ("text", "gpa"),
    [
        ("29e6 psi", 199.948),
        ("30000000psi", 206.843),
        ("29 Mpsi", 199.948),
        ("29000 ksi", 199.948),
        ("200 GPa", 200.0),
        ("206843 MPa", 206.843),
    ],
)
def test_a_modulus_in_every_unit(text: str, gpa: float) -> None:
    """Derived: 29e6 psi = 199.948 GPa, 30e6 psi = 206.843 GPa."""
    assert parse_modulus(text) / 1000 == pytest.approx(gpa, rel=1e-5)


@pytest.mark.parametrize("text", ["", "29e6", "29 psi", "1e99 GPa", "1.2.3 GPa", "steel"])
def test_what_is_no_modulus_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_modulus(text)


@pytest.mark.parametrize(("width", "pounds"), [(0.5, 312.5), (1.0, 625.0)])
def test_trap_pounds_are_per_strand(width: float, pounds: float) -> None:
    """Two blade suppliers' notes: 1/2 x .025 in at 25,000 psi is 312.5 lbf, 1 x .025 in 625.

    That is one strand; the wheel carries two: 625 and 1250 lbf.
    """
    force = strand_force(25_000 / PSI_PER_MPA, width * INCH, 0.025 * INCH)
    assert force / 4.4482216 == pytest.approx(pounds, rel=1e-6)


def test_trap_the_wheel_carries_two_strands(program: Program) -> None:
    words = ("stretch=5thou", "over=6in", "modulus=30e6 psi", "width=1/2in", "thickness=.025in")
    data = program.bare("reckon", "blade-tension", *words, "--json").json
    assert data["stress"]["psi"] == pytest.approx(25_000)
    assert data["force_per_strand"]["lbf"] == pytest.approx(312.5)
    assert data["force_on_wheel"]["lbf"] == pytest.approx(625.0)
    assert "one strand" in data["note"]


def test_without_width_and_thickness_no_force_is_told(program: Program) -> None:
    data = program.bare("reckon", "blade-tension", "stretch=1thou", "over=5in", "--json").json
    assert "force_per_strand" not in data
    assert data["error"]["psi"] == pytest.approx(5800)
    assert data["error"]["MPa"] == pytest.approx(39.9896, rel=1e-5)
    assert data["note"] == ""


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Stretch a band of two strands round two wheels, of any steel, as far as a band stands.

    The strand between the marks is a chain of springs, each stretched by the force in it.
    """
    modulus = STEEL_MPA * rng.uniform(0.97, 1.03)
    stress = min(rng.uniform(0, 2500) / (rng.uniform(6, 20) * 0.6), 0.0024 * modulus)
    links = np.full(254, 1.0)  # mm each, between the marks
    longer = float((links * (1 + stress / modulus)).sum() - links.sum())
    values = {"stretch": max(machines.dial(rng, longer), 0.0), "over": machines.rule(rng, 254.0)}
    return stress, machines.fed(METHOD, JOB, values).estimate


def test_planted_tension_is_found_within_u_in_95_of_100() -> None:
    """Simulated: U holds it."""
    machines.holds(trial, 61)


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: stretch, distance, modulus and clamps drawn 200,000 times."""
    rng = np.random.default_rng(62)
    count = 200_000
    longer = (
        0.12
        + rng.uniform(-machines.INDICATOR.limit, machines.INDICATOR.limit, count)
        + rng.uniform(-machines.HALF_STEP, machines.HALF_STEP, count)
        + rng.normal(0, 0.001, count)
    )
    u = machines.monte_carlo_u(
        lambda d: d["modulus"] * longer / d["over"],
        {
            "modulus": STEEL_MPA * rng.uniform(0.97, 1.03, count),
            "over": 127 + rng.uniform(-0.5, 0.5, count),
        },
    )
    found = machines.fed(METHOD, JOB, {"stretch": 0.12, "over": 127.0})
    assert found.estimate.budget.u == pytest.approx(u, rel=0.01)


def test_the_modulus_drops_out_of_a_change() -> None:
    """It is the same band before and after: a lasting source."""
    budget = machines.fed(METHOD, JOB, {"stretch": 0.12, "over": 127.0}).estimate.budget
    lasting = [one.name for one in budget.sources if one.lasting]
    assert lasting == ["modulus of the steel"]
    assert budget.u_repeat < budget.u


def test_from_first_step_to_closed_with_the_force_in_one_strand() -> None:
    job = machines.dial_job(RANGE, cutter_near=True, sizes={"width": 12.7, "thickness": 0.635})
    done = machines.walked("blade-tension", job, {**ANSWERS, "unplugged": "plug out"})
    assert done.step is None
    outcome = done.findings[0].outcome
    assert psi(outcome.estimate.error) == pytest.approx(17_400)
    assert outcome.lean == "within the range that the maker gives"
    assert "per strand" in outcome.note
    assert "two" in outcome.note


@pytest.mark.parametrize(("stretch", "words"), [("1 thou", "slacker"), ("5 thou", "tighter")])
def test_out_of_the_makers_range_the_words_say_which_way(stretch: str, words: str) -> None:
    assert words in machines.closed("blade-tension", JOB, {**ANSWERS, "stretch": stretch}).lean


@pytest.mark.parametrize(
    ("stretch", "clockwise", "words"),
    [
        ("1 thou", "", "Tighten the band until the tool shows 3.0 thou; now it shows 1.0 thou."),
        ("5 thou", "", "Slacken the band until the tool shows 3.0 thou; now it shows 5.0 thou."),
        ("1 thou", "away", "Turn the wheel clockwise until the tool shows 3.0 thou"),
        ("1 thou", "toward", "Turn the wheel anticlockwise until the tool shows 3.0 thou"),
        ("5 thou", "away", "Turn the wheel anticlockwise until the tool shows 3.0 thou"),
    ],
)
def test_it_is_set_by_what_the_tool_shows(stretch: str, clockwise: str, words: str) -> None:
    """Derived: the middle of 15,000 to 20,000 psi stretches 5 in by 5 x 17,500 / 29e6 = 3.02 thou.

    A screw's pitch tells nothing of a stress: the spring of frame and band lies between.
    """
    screw = Screw(3.175, 100.0, "away" if clockwise == "away" else "toward", name="the wheel")
    job = machines.dial_job(JOB.tolerance, cutter_near=True, adjuster=screw if clockwise else None)
    given = {**ANSWERS, "over": "5 in", "stretch": stretch, "unplugged": "plug out"}
    after = {
        "next": "adjust",
        "left.unplugged": "plug out",
        "left.over": "5 in",
        "left.stretch": "3 thou",
    }
    done = machines.walked("blade-tension", job, {**given, **after})
    assert done.step is None
    assert done.findings[0].outcome.moves[0].startswith(words)
    keys = [step.key for step, _ in done.answered]
    begin = keys.index("left.lock") + 1
    assert keys[begin : begin + 2] == ["left.over", "left.stretch"]  # the 0 of the clamps holds
    assert not any("turn" in key for key in keys)
    last = done.answered[-1][0]
    assert last.key == "close"
    assert "Both clamps off the band" in last.lines[0]


def test_a_stretch_that_no_band_stands_is_not_recorded() -> None:
    """0.03 for 0.003 would be 174,000 psi."""
    done = machines.walked("blade-tension", JOB, {**ANSWERS, "stretch": "0.03 in"})
    assert isinstance(done.step, Recheck)
    assert "any band can take" in done.step.refusal
    assert not done.findings


def test_a_calliper_will_do_where_there_is_no_indicator() -> None:
    job = machines.dial_job(Tolerance(80.0, 150.0, "80 to 150 MPa", "stress"), unit="mm")
    drawer = job.drawer
    without = type(drawer)(drawer.squares, drawer.feelers, drawer.shims, drawer.others[1:])
    job = machines.dial_job(job.tolerance, unit="mm")
    assert math.isclose(METHOD.best(job).error, 115.0)
    found = machines.closed("blade-tension", job._replace(drawer=without), ANSWERS)
    assert any("calliper" in one.name for one in found.estimate.budget.sources)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("stretch=1thou", "over=0"), "over"),
        (("stretch=0.5in", "over=5in"), "any band"),
        (("stretch=1thou", "over=5in", "modulus=29"), "modulus"),
        (("stretch=1thou", "over=5in", "width=1in"), "thickness"),
        (("stretch=1thou", "over=5in", "tolerance=3 thou"), "kind"),
    ],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "blade-tension", *words)
    assert ran.code == 2
    assert len(ran.err.splitlines()) == 1
    assert says in ran.err
