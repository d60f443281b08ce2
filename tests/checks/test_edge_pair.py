"""Edge pair for the jointer's fence: half the angle between two edges, and what is no check."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest

from shopboard.checks.job import Geometry
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.uncertainty import Estimate
from tests.checks import cuts, machines
from tests.cli.program import Program

JOB = cuts.cut_job()
EDGES, ACROSS = cuts.cut_test("edge-pair", "edges"), cuts.cut_test("edge-pair", "straightedge")
ANSWERS = {
    "care": "understood",
    "flush": "flush",
    "open": "fence",
    "thickness": "3/4 in",
    "gap.goes": ".005",
    "gap.refused": ".006",
}


def jointed(error: float, thick: float) -> tuple[complex, complex]:
    """An edge in cross-section, edge down: its ends at the fence face and at the other face.

    The fence stands at 90 degrees plus `error` to the table; the face lies on the fence, the edge
    is cut along the table.
    """
    fence = cmath.rect(1, math.pi / 2 + error)
    upright = cmath.rect(1, -error)  # turns the fence face upright
    assert (fence * upright).real == pytest.approx(0)
    return 0j, upright * thick / math.cos(error)


def between_edges(error: float, thick: float, *, end_for_end: bool) -> float:
    """Stand one board on the other; the gap at the fence faces less that at the other faces.

    End for end, the lower board's edge comes up with its fence face on the same side; rolled over,
    with its fence face on the other side.
    """
    upper = jointed(error, thick)
    lower = tuple(one.conjugate() for one in upper)  # turned in the plane of its faces
    if not end_for_end:
        lower = tuple(thick - one.conjugate() for one in reversed(lower))  # mirrored over its faces
    at_fence = upper[0].imag - lower[0].imag
    at_other = upper[1].imag - lower[1].imag
    return at_fence - at_other


def off_the_straightedge(error: float, lever: float) -> float:
    """Clamp the edges tight; how far the upper board's other face is off a straightedge, mm.

    Positive: it leans toward the fence side.
    """
    upper, lower = jointed(error, 19.0), [one.conjugate() for one in jointed(error, 19.0)]
    turn = (lower[1] - lower[0]) / (upper[1] - upper[0])  # brings the upper edge onto the lower
    way = 1j * turn / abs(turn)
    return -(way * lever).real


def trial(rng: np.random.Generator, use: str) -> tuple[float, Estimate]:
    """Plant an error of the fence; close the boards as wood closes; read."""
    error = rng.uniform(-0.006, 0.006)
    if use == "edges":
        lever, ends = rng.uniform(16, 30), ("fence", "away")
        gap = between_edges(error, lever, end_for_end=True) + rng.normal(0, 0.005)
        gap += lever * rng.uniform(-1, 1) * 0.02 / 75  # as flush as an eye sees
    else:
        lever, ends = rng.uniform(80, 150), ("hollow", "away")
        gap = off_the_straightedge(error, lever) + rng.normal(0, 0.03) + rng.uniform(-0.03, 0.03)
    where = "none" if abs(gap) < 0.0381 else ends[0 if gap > 0 else 1]
    leaves = cuts.feel(rng, 0.0 if where == "none" else abs(gap))
    method = cuts.cut_test("edge-pair", use)
    taken = cuts.read(
        method, JOB, {"thickness": machines.rule(rng, lever)}, {"open": where}, leaves
    )
    return error, cuts.found(method, JOB, taken).estimate


@pytest.mark.parametrize(
    ("gap", "thickness", "deg"),
    [
        ("0.002in", "0.75in", 0.076394),
        ("0.006in", "0.75in", 0.229178),
        ("0.002618in", "0.75in", 0.1),
        ("0.066323mm", "19mm", 0.1),
    ],
)
def test_half_of_the_angle_between_the_edges(
    program: Program, gap: str, thickness: str, deg: float
) -> None:
    """Derived: atan(g / T) / 2; 0.1 deg opens .002618 in at 3/4 in and 0.066323 mm at 19 mm."""
    given = (f"gap={gap}", f"thickness={thickness}")
    data = program.bare("reckon", "edge-pair", *given, "--json").json
    assert data["method"] == "edge-pair"
    assert data["error"]["deg"] == pytest.approx(deg, rel=2e-4)


def test_the_glue_line_that_most_adhesives_want() -> None:
    """Gaps of 2 to 6 thou (a trade magazine on glue lines) are 16 to 48 thou/ft."""
    for gap, thou in ((0.002, 16.0), (0.006, 48.0)):
        error = EDGES.formula({"gap": gap, "thickness": 0.75}, {"open": "fence"})
        assert math.tan(error) * 12_000 == pytest.approx(thou, rel=1e-3)


def test_end_for_end_the_errors_add() -> None:
    """Simulated in cross-section: a fence that leans back leaves the marked faces open."""
    gap = between_edges(math.radians(0.1), 19.0, end_for_end=True)
    assert gap == pytest.approx(0.066323, rel=1e-4)
    assert between_edges(-math.radians(0.1), 19.0, end_for_end=True) == pytest.approx(-gap)
    lean = off_the_straightedge(math.radians(0.1), 150.0)
    assert lean == pytest.approx(150 * math.sin(math.radians(0.2)))


@pytest.mark.parametrize("degrees", [-1.0, -0.1, 0.1, 1.0])
def test_alternate_faces_cancel_and_are_no_check(degrees: float) -> None:
    """Rolled over, the edges close with any fence: so the steps ask for marks on the same side."""
    error = math.radians(degrees)
    assert between_edges(error, 19.0, end_for_end=False) == pytest.approx(0.0, abs=1e-12)
    for method in (EDGES, ACROSS):
        cut, flip = method.to_do(JOB)
        assert "Mark both faces" in " ".join(cut.lines)
        words = " ".join(flip.lines)
        assert "same side" in words
        assert "opposite" in words
        assert "no check" in words


@pytest.mark.parametrize("use", ["edges", "straightedge"])
def test_the_planted_error_comes_back(use: str) -> None:
    """Boards jointed in coordinates: U holds the planted error in 95 of 100 trials."""
    cuts.holds(lambda rng: trial(rng, use), 800)


@pytest.mark.parametrize("method", [EDGES, ACROSS])
@pytest.mark.parametrize("gap", [0.0, 0.06, 0.4])
def test_u_agrees_with_a_monte_carlo(method: object, gap: float) -> None:
    """JCGM 101: the same model, drawn."""
    assert isinstance(method, type(EDGES))
    lever, end = (19.0, "fence") if method is EDGES else (100.0, "hollow")
    cuts.u_agrees(method, JOB, {"thickness": lever}, end, gap)


def test_the_whole_check_from_a_file() -> None:
    """Top and bottom in the shop's words where it has them: light at the top leans back."""
    outcome = machines.closed("edge-pair", JOB, ANSWERS)
    assert outcome.estimate.error == pytest.approx(math.atan(0.0055 / 0.75) / 2)
    assert outcome.lean.startswith("the fence leans back")
    words = Geometry("table", "fence", 101.6, light_at_top="tips back", light_at_bottom="tips in")
    other = machines.closed("edge-pair", cuts.cut_job(geometry=words), {**ANSWERS, "open": "away"})
    assert other.lean == "tips in"


def test_the_straightedge_is_offered_where_there_is_one() -> None:
    given = {**ANSWERS, "use": "straightedge", "open": "hollow", "thickness": "5 in"}
    outcome = machines.closed("edge-pair", JOB, given)
    steps = [step for step, _ in machines.walked("edge-pair", JOB, given).answered]
    assert any("Straightedge: flat on one board" in line for step in steps for line in step.lines)
    assert "thickness: from the joint to the leaf" in outcome.working[0]
    (own,) = [
        one for one in outcome.estimate.budget.sources if one.name == "straightedge, its own error"
    ]
    limit = cuts.STRAIGHTEDGE.limit / (5 * 25.4)  # the joint shows the error twice (derived)
    assert own.u == pytest.approx(limit / 2 / math.sqrt(3))
    without = cuts.cut_job(drawer=Drawer(cuts.TOOLS.squares, cuts.TOOLS.feelers))
    assert "use" not in machines.walked("edge-pair", without, ANSWERS).answers
    assert machines.closed("edge-pair", without, ANSWERS).lean


def test_a_gap_that_no_fence_makes_is_named() -> None:
    wide = {**ANSWERS, "gap.goes": ".200", "gap.refused": ".210"}
    assert "gap" in cuts.contradiction("edge-pair", JOB, wide)
