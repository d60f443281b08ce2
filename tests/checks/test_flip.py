"""Flip test cut: half the angle of the gap, in its three uses."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from shopboard.checks.job import Geometry
from shopboard.checks.outcome import Outcome
from shopboard.checks.walk import StepError, walk
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.uncertainty import Estimate
from tests.builders import SQUARE_6
from tests.checks import cuts, machines
from tests.cli.program import Program

JOB = cuts.cut_job()
CROSSCUT, ON_EDGE, MITRE = (cuts.cut_test("flip", use) for use in ("crosscut", "on-edge", "mitre"))
ANSWERS = {
    "care": "understood",
    "open": "fence",
    "width": "6 in",
    "gap.goes": ".004",
    "gap.refused": ".005",
}


def flipped(error: float, width: float, taper: float = 0.0) -> float:
    """Cut a board in coordinates, roll the right half over, close the cut; the gap at the fence.

    The fence edge lies on the real axis, the far edge runs away from it by `taper`. The corner of
    the left half at the fence is 90 degrees plus `error`. Negative: the gap at the far edges.
    """
    along = cmath.rect(1, math.pi / 2 - error)  # the cut, from the fence on
    far = along * width / (along.imag - taper * along.real)  # where it meets the far edge
    # Rolled over about its long axis, the right half's far edge must lie on the real axis.
    near_end, far_end = far.conjugate(), 0j
    level = cmath.rect(1, math.atan(taper))
    near_end, far_end = near_end * level, far_end * level
    shift = near_end.imag
    near_end, far_end = near_end - 1j * shift, far_end - 1j * shift
    slope = (far_end.real - near_end.real) / (far_end.imag - near_end.imag)
    at_fence = near_end.real - 0.0
    at_far = near_end.real + slope * far.imag - far.real
    return at_fence - at_far


def corner(error: float, lever: float, square: float) -> float:
    """Close two mitres in coordinates and stand a square inside: the gap over the lever.

    Each mitre's point is 45 degrees plus `error`; the square shows `square` rad of light at the
    tip on a true corner. Negative: light at the heel.
    """
    face = cmath.rect(1, math.radians(45) + error)
    inner = [60j + 100, 60j + 200]  # the inner edge of the first board, its toe at 0
    mirrored = [(one / face).conjugate() * face for one in inner]  # the second, turned over
    start = 60j + 60 / math.tan(math.radians(45) + error)  # where both inner edges meet
    way = (mirrored[1] - mirrored[0]) / abs(mirrored[1] - mirrored[0])
    blade = cmath.rect(1, math.pi / 2 - square)
    tip = start + lever * blade
    return ((tip - start) / way).imag * -1


def seen(gap: float, ends: tuple[str, str]) -> str:
    """What a person says is open: nothing that the thinnest leaf does not fit into."""
    return "none" if abs(gap) < 0.0381 else ends[0 if gap > 0 else 1]


def trial(rng: np.random.Generator, use: str, ends: tuple[str, str]) -> tuple[float, Estimate]:
    """Plant an error, seat and close as boards do, read with leaves and rule."""
    method, error = cuts.cut_test("flip", use), rng.uniform(-0.004, 0.004)
    width = rng.uniform(100, 300)
    closes = 0.015
    if use == "mitre":
        closes = 0.02  # the seats of both boards are in it
        gap = corner(error, 140, rng.uniform(-1, 1) * JOB.drawer.squares[0].limit)
        width = 140.0
    else:
        seat = rng.normal(0, 0.01) / 300
        gap = flipped(error + seat, width, rng.uniform(-0.05, 0.05) / 600)
    gap += rng.normal(0, closes)
    where = seen(gap, ends)
    leaves = cuts.feel(rng, 0.0 if where == "none" else abs(gap))
    taken = cuts.read(method, JOB, {"width": machines.rule(rng, width)}, {"open": where}, leaves)
    return error, cuts.found(method, JOB, taken).estimate


@pytest.mark.parametrize(
    ("gap", "width", "thou", "deg", "mm_per_m"),
    [("0.010in", "12in", 5.0, 0.0238732, 0.416667), ("0.4mm", "300mm", 8.0, 0.0381972, 0.666667)],
)
def test_half_of_the_gap_over_the_width(
    program: Program, gap: str, width: str, thou: float, deg: float, mm_per_m: float
) -> None:
    """Derived: 0.010 in at 12 in is 5.0 thou/ft, 0.0238732 deg; 0.4 mm at 300 is 0.666667 mm/m."""
    ran = program.bare("reckon", "flip", f"gap={gap}", f"width={width}", "--json")
    assert ran.json["method"] == "flip"
    assert ran.json["error"]["thou_per_ft"] == pytest.approx(thou, rel=1e-6)
    assert ran.json["error"]["deg"] == pytest.approx(deg, rel=1e-5)
    assert ran.json["error"]["mm_per_m"] == pytest.approx(mm_per_m, rel=1e-5)


def test_a_face_is_one_sided(program: Program) -> None:
    """Handbook tapers per foot are on the diameter (Machinery's Handbook, from memory).

    A gap of 1/2 in per foot is an error of 1/4 in per foot one side: 1d11'37", as a machinists'
    page prints for one side (1.1935 deg), and not the 0d35'49" that the handbook's table gives as
    the angle of a 1/4 in taper with its centre line.
    """
    error = program.bare("reckon", "flip", "gap=0.5in", "width=12in", "--json").json["error"]
    assert error["deg"] == pytest.approx(1.1935, abs=1e-3)
    assert error["thou_per_ft"] == pytest.approx(250, rel=1e-3)


@pytest.mark.parametrize("word", ["away", "top", "heel"])
def test_the_other_end_is_minus(program: Program, word: str) -> None:
    """The sign comes from the end that is open."""
    given = ("reckon", "flip", "gap=0.01in", "width=12in")
    ran = program.bare(*given, f"open={word}", "--json")
    assert ran.json["error"]["thou_per_ft"] == pytest.approx(-5.0)


def test_rolled_over_the_errors_add() -> None:
    """Simulated: the gap is twice the error, at the fence for a corner over 90 degrees."""
    assert flipped(0.002, 150) / 150 == pytest.approx(0.004, rel=1e-4)
    assert flipped(-0.002, 150) / 150 == pytest.approx(-0.004, rel=1e-4)
    assert flipped(0.0, 150, 0.001) / 150 == pytest.approx(0.001, rel=1e-3)  # a taper goes in whole
    assert corner(0.002, 140, 0.0) / 140 == pytest.approx(0.004, rel=1e-4)
    assert corner(0.0, 140, 0.001) / 140 == pytest.approx(0.001, rel=1e-4)


@pytest.mark.parametrize(
    ("use", "ends"),
    [
        ("crosscut", ("fence", "away")),
        ("on-edge", ("table", "top")),
        ("mitre", ("tip", "heel")),
    ],
)
def test_the_planted_error_comes_back(use: str, ends: tuple[str, str]) -> None:
    """Boards cut in coordinates: U holds the planted error in 95 of 100 trials."""
    cuts.holds(lambda rng: trial(rng, use, ends), 800)


@pytest.mark.parametrize("method", [CROSSCUT, ON_EDGE])
def test_a_tapered_board_is_in_the_budget_by_what_it_adds(method: object) -> None:
    """Simulated: a board as far out of parallel as the steps allow, 0.05 mm over 600 mm."""
    assert isinstance(method, type(CROSSCUT))
    added = math.atan(flipped(0.0, 150.0, 0.05 / 600) / 150.0) / 2
    taken = cuts.read(method, JOB, {"width": 150.0}, {"open": "none"}, cuts.between(0.0))
    (source,) = (
        one
        for one in cuts.found(method, JOB, taken).estimate.budget.sources
        if one.name == "edges of the board out of parallel"
    )
    assert source.u * math.sqrt(3) == pytest.approx(added, rel=1e-3)


@pytest.mark.parametrize("method", [CROSSCUT, ON_EDGE, MITRE])
@pytest.mark.parametrize("gap", [0.0, 0.05, 0.5])
def test_u_agrees_with_a_monte_carlo(method: object, gap: float) -> None:
    """JCGM 101: the same model, drawn."""
    assert isinstance(method, type(CROSSCUT))
    ends = method.asked(JOB)[0].options  # type: ignore[union-attr]
    cuts.u_agrees(method, JOB, {"width": 150.0}, ends[0][0], gap)


def test_the_whole_check_from_a_file() -> None:
    """From the caution to the close; the sign and the words follow from the open end."""
    outcome = machines.closed("flip", JOB, ANSWERS)
    assert outcome.estimate.error == pytest.approx(math.atan(0.0045 / 6) / 2)
    assert outcome.lean.startswith("more than 90 degrees")
    other = machines.closed("flip", JOB, {**ANSWERS, "open": "away"})
    assert other.estimate.error == pytest.approx(-outcome.estimate.error)
    assert other.lean.startswith("less than 90 degrees")


@pytest.mark.parametrize(("use", "end"), [("on-edge", "table"), ("mitre", "tip")])
def test_the_other_uses_from_a_file(use: str, end: str) -> None:
    outcome = machines.closed("flip", JOB, {**ANSWERS, "use": use, "open": end})
    assert outcome.estimate.error == pytest.approx(math.atan(0.0045 / 6) / 2)
    assert outcome.lean
    assert outcome.readings["sets"]


def test_the_square_is_in_the_budget_of_the_mitres_alone() -> None:
    """Half its limit: the corner shows the error twice. Without a square it is not offered."""
    names = [one.name for one in closed_with("mitre").estimate.budget.sources]
    assert "square, its own error" in names
    assert "square, its own error" not in [
        one.name for one in closed_with("crosscut").estimate.budget.sources
    ]
    other = SQUARE_6._replace(id="worse", name="Worse square", limit=2 * SQUARE_6.limit)
    both = cuts.cut_job(drawer=cuts.TOOLS._replace(squares=(other, SQUARE_6)))
    lines = [line for step in MITRE.to_do(both) for line in step.lines]
    assert f"Use this square: {SQUARE_6.name}." in lines
    bare = cuts.cut_job(drawer=Drawer((), cuts.TOOLS.feelers))
    with pytest.raises(StepError, match="mitre"):
        walk(cuts.cut_test("flip"), bare, {"care": "understood", "use": "mitre"}, from_file=True)


def closed_with(use: str) -> Outcome:
    given = {key: said for key, said in ANSWERS.items() if key != "gap.goes"}
    return machines.closed(
        "flip", JOB, {**given, "use": use, "open": "none", "gap.refused": ".0015"}
    )


def test_where_a_square_is_used_too_its_side_stays() -> None:
    """One point, two methods: the half on the square's side stays, so that plus means the same."""
    here = Geometry("table, right of the blade", "blade", 76.2, light_at_top="it leans left")
    job = cuts.cut_job(geometry=here)
    step = walk(cuts.cut_test("flip"), job, {"care": "understood"}, from_file=False).step
    assert step is not None
    assert step.key == "use"
    done = machines.walked("flip", job, {**ANSWERS, "open": "table"})
    flip = next(step for step, _ in done.answered if step.key == "flip")
    assert "table, right of the blade" in " ".join(flip.lines)
    assert done.findings[0].outcome.lean == "it leans left"


def test_a_gap_that_no_cut_makes_is_named() -> None:
    """2 in over 6: read again, nothing is recorded."""
    wide = {**ANSWERS, "gap.goes": "1.9 in", "gap.refused": "1.96 in"}
    assert "gap: it is more than a fifth of the width" in cuts.contradiction("flip", JOB, wide)


def test_reckon_refuses_the_same(program: Program) -> None:
    ran = program.bare("reckon", "flip", "gap=3in", "width=6in")
    assert ran.code == 2
    assert "gap" in ran.err
    assert program.bare("reckon", "flip", "gap=0in", "width=0in").code == 2


def test_a_correction_is_proven_by_a_second_cut() -> None:
    """As found, turned, as left; what the screw did is learnt."""
    job = cuts.cut_job(adjuster=Screw(25.4 / 20, 18 * 25.4, "toward"), cutter_near=True)
    wide = {**ANSWERS, "gap.goes": ".040", "gap.refused": ".042", "next": "adjust"}
    answers = {
        **wide,
        "left.unplugged": "plug out",
        "left.open": "none",
        "left.width": "6 in",
        "left.gap.refused": ".0015",
    }
    done = machines.walked("flip", job, answers)
    assert done.step is None
    assert [one.run for one in done.findings] == ["as-found", "as-left"]
    assert done.answered[0][0].key == "care"  # a test cut needs the plug in
