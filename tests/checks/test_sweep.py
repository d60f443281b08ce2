"""Indicator sweep: front and back on the same tooth, over a span."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.checks.contradiction import Recheck
from shopboard.checks.drawn.canvas import AtStep
from shopboard.checks.job import CheckContext
from shopboard.checks.settle import what_would_settle
from shopboard.checks.steps import Do
from shopboard.checks.walk import StepError
from shopboard.metrology.adjuster import Slot
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from shopboard.shop.told_by_words import is_slot, side_of_datum
from tests.checks import machines
from tests.cli.program import Program

METHOD = machines.measured("sweep")
TOLERANCE = Tolerance(-math.atan(0.003 / 9), math.atan(0.003 / 9), "3 thou over 9 in")
JOB = machines.dial_job(TOLERANCE)
ANSWERS = {"span": "9 in", "front": "0.004 in", "back": "0.001 in"}


def turned(axis: np.ndarray, body: np.ndarray, angle: float) -> np.ndarray:
    """Turn a point of the blade round its arbor (Rodrigues)."""
    out: np.ndarray = (
        body * math.cos(angle)
        + np.cross(axis, body) * math.sin(angle)
        + axis * (axis @ body) * (1 - math.cos(angle))
    )
    return out


def blade(error: float, wobble: float, teeth: tuple[float, float]) -> tuple[float, float]:
    """Build a saw in coordinates and give the true readings in front and at the back, mm.

    x runs from front to back along the slot, y from the blade to the slot, z up. The arbor points
    along y, turned by `error` about z so that the front comes nearer to the slot. The blade, radius
    120, sits on the arbor with a tilted flange: its body wobbles by `wobble` mm at the rim. `teeth`
    are the places round the body, rad, of the tooth read in front and of the one read at the back.
    """
    axis = np.array([math.sin(error), math.cos(error), 0.0])
    ahead = np.array([math.cos(error), -math.sin(error), 0.0])  # along the blade, to the back
    found = []
    for place, want in zip(teeth, (math.pi, 0.0), strict=True):
        rest = 120 * (ahead * math.cos(place) + np.array([0, 0, 1.0]) * math.sin(place))
        rest = rest + axis * wobble * math.cos(place)  # the flange tilts the body
        at = turned(axis, rest, place - want)
        found.append(at)
    front, back = found
    assert front[0] < -119.9
    assert back[0] > 119.9
    return float(front[1]), float(back[1])


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Build a crooked saw whose blade wobbles; read any tooth with dial and rule."""
    error, place = rng.uniform(-0.008, 0.008), rng.uniform(0, math.tau)
    front, back = blade(error, rng.uniform(0, 0.3), (place, place))
    values = {
        "front": machines.dial(rng, front + rng.normal(0, 0.01)),  # the base rides in the slot
        "back": machines.dial(rng, back),
        "span": machines.rule(rng, 240.0),
    }
    return error, machines.fed(METHOD, JOB, values).estimate


def test_derived_front_less_back_over_the_span() -> None:
    """Derived: 3 thou over 9 in is 4 thou a foot, 0.0190986 degrees."""
    found = machines.fed(METHOD, JOB, {"front": 0.1016, "back": 0.0254, "span": 228.6})
    assert math.tan(found.estimate.error) * 12_000 == pytest.approx(4.0)
    assert math.degrees(found.estimate.error) == pytest.approx(0.0190986, rel=1e-5)


@pytest.mark.parametrize(("front", "back", "nearer"), [(4, 1, "front"), (1, 4, "back")])
def test_the_larger_reading_is_nearer_to_the_slot(front: float, back: float, nearer: str) -> None:
    """A reading grows as the plunger goes in; the words follow, nobody is asked for a sign."""
    found = machines.fed(METHOD, JOB, {"front": front / 10, "back": back / 10, "span": 228.6})
    assert found.lean == f"the {nearer} is nearer to the slot"
    assert found.adds["nearer_to_the_slot"] == nearer
    assert (found.estimate.error > 0) == (nearer == "front")


def test_where_no_slot_is_none_is_spoken_of() -> None:
    """On a sliding table the indicator rides along with it."""
    there = JOB.geometry._replace(datum="sliding table", in_slot=False)
    slides = JOB._replace(geometry=there)
    found = machines.fed(METHOD, slides, {"front": 0.4, "back": 0.1, "span": 228.6})
    assert found.lean == "the front is nearer to the indicator"
    assert not any("slot" in one for one in found.aims)


def test_a_crooked_saw_is_found_within_u_in_95_of_100() -> None:
    """Simulated: arbor off by up to half a degree, wobbling blade, any tooth, dial and rule."""
    machines.holds(trial, 31)


def test_trap_the_same_tooth_cancels_the_wobble_and_another_does_not() -> None:
    """Simulated: a true saw with 0.2 mm of wobble; opposite teeth show it all as an error."""
    same = blade(0.0, 0.2, (1.0, 1.0))
    other = blade(0.0, 0.2, (0.0, math.pi))
    assert abs(same[0] - same[1]) < 1e-9
    assert abs(other[0] - other[1]) == pytest.approx(0.4, rel=1e-6)


@pytest.mark.parametrize(
    ("degrees", "true"), [(10, 0.009848), (15, 0.009659), (20, 0.009397), (30, 0.008660)]
)
def test_trap_a_lever_over_reads_by_the_cosine(program: Program, degrees: int, true: float) -> None:
    """Derived: true = reading x cos; 0.010 in read at 10, 15, 20 and 30 degrees."""
    words = ("front=0.010in", "back=0", "span=9in", f"lever_angle={degrees}deg", "--json")
    data = program.bare("reckon", "sweep", *words).json
    assert data["difference"]["in"] == pytest.approx(true, abs=5e-7)


def test_trap_the_lever_is_asked_for_and_taken_off() -> None:
    """Simulated: a lever whose tip swings on an arc at 30 degrees to the surface's normal plane."""
    moved, arm = 0.02, 15.0
    shown = moved / math.cos(math.radians(30))  # the way across the lever turns the pointer
    assert arm > shown
    values = {"front": shown, "back": 0.0, "span": 200.0}
    plain = machines.fed(METHOD, JOB, values).estimate
    slanting = machines.fed(METHOD, JOB, values, {"lever": "30"}).estimate
    assert math.tan(plain.error) * 200 == pytest.approx(moved * 1.1547, rel=1e-4)
    assert math.tan(slanting.error) * 200 == pytest.approx(moved, rel=1e-6)
    assert "angle of the lever" in [one.name for one in slanting.budget.sources]


def test_the_uncertainty_is_that_of_a_monte_carlo() -> None:
    """JCGM 101: the same model drawn 200,000 times."""
    rng = np.random.default_rng(32)
    count = 200_000
    values = {"front": 0.15, "back": 0.02, "span": 150.0}
    drawn = {
        name: values[name]
        + rng.uniform(-machines.INDICATOR.limit, machines.INDICATOR.limit, count)
        + rng.uniform(-machines.HALF_STEP, machines.HALF_STEP, count)
        for name in ("front", "back")
    } | {"span": 150.0 + rng.uniform(-0.5, 0.5, count)}
    u = machines.monte_carlo_u(
        lambda d: (
            np.arctan((d["front"] - d["back"]) / d["span"]) + rng.normal(0, 0.01 / 150, count)
        ),
        drawn,
    )
    assert machines.fed(METHOD, JOB, values).estimate.budget.u == pytest.approx(u, rel=0.01)


def test_an_indicator_that_nobody_vouches_for_is_taken_as_the_standard_allows(
    program: Program,
) -> None:
    """JIS B 7503:2011 (from a catalogue): 10 um within one turn, evenly: u = 5.77 um."""
    data = program.bare("reckon", "sweep", "front=1thou", "back=0", "span=12in", "--json").json
    (limit,) = [
        one["standard_thou_per_ft"]
        for one in data["uncertainty"]["budget"]
        if one["source"] == "front, the indicator"
    ]
    assert limit * 25.4 == pytest.approx(5.7735, rel=1e-4)


def test_what_would_settle_it_is_said() -> None:
    """Not proven either way: reading it makes most of it, and a longer span would help."""
    found = machines.fed(METHOD, JOB, {"front": 0.07, "back": 0.0, "span": 228.6})
    assert found.verdict == "near"
    assert "readings farther apart" in what_would_settle(found)


def test_three_sweeps_say_by_themselves_how_well_they_repeat() -> None:
    """GUM 4.2.3: their scatter over root 3, with two degrees of freedom."""
    sets = {
        "repeat1": "yes",
        "repeat2": "yes",
        **{f"again{n}.span": "9 in" for n in (2, 3)},
        **{f"again{n}.back": "1 thou" for n in (2, 3)},
        "again2.front": "6 thou",
        "again3.front": "2 thou",
    }
    found = machines.closed("sweep", JOB, {**ANSWERS, "care": "understood", **sets})
    assert math.tan(found.estimate.error) * 12_000 == pytest.approx(4.0, rel=1e-6)
    (scatter,) = [one for one in found.estimate.budget.sources if one.dof == 2]
    assert scatter.u == pytest.approx(math.atan(0.002 / 9) / math.sqrt(3), rel=1e-6)


@pytest.mark.parametrize(
    ("front", "back", "verdict"), [(0.10, 0.0, "true"), (0.0, 0.10, "out"), (0.0, 0.0, "near")]
)
def test_a_fence_may_open_at_the_back_and_never_close(
    front: float, back: float, verdict: str
) -> None:
    """One-sided: front nearer to the blade is allowed, back nearer is out, alike is unproven."""
    one_sided = machines.dial_job(Tolerance(0.0, math.atan(0.2 / 600), "0 to 8 thou over 24 in"))
    assert (
        machines.fed(METHOD, one_sided, {"front": front, "back": back, "span": 600}).verdict
        == verdict
    )


def test_from_first_step_to_closed() -> None:
    """From a file of answers: unplug, mount, read, record, close; in the shop's words."""
    job = machines.dial_job(TOLERANCE, cutter_near=True)
    done = machines.walked("sweep", job, {**ANSWERS, "unplugged": "plug out", "care": "understood"})
    keys = [step.key for step, _ in done.answered]
    assert done.step is None
    assert keys == [
        "unplugged", "care", "mount", "tooth", "lever", "span", "front", "back", "comes_back",
        "repeat1", "record", "close",
    ]  # fmt: skip
    assert all(len(step.title.split()) <= 12 for step, _ in done.answered)


def test_without_the_plug_out_nothing_is_read() -> None:
    job = machines.dial_job(TOLERANCE, cutter_near=True)
    step = machines.walked("sweep", job, ANSWERS).step
    assert step is not None
    assert step.key == "unplugged"


def test_a_first_reading_that_does_not_come_back_is_not_recorded() -> None:
    """Something slipped: named, and to be read again."""
    answers = {**ANSWERS, "comes_back": "no", "care": "understood"}
    done = machines.walked("sweep", JOB, answers)
    assert isinstance(done.step, Recheck)
    assert "slipped" in done.step.refusal
    assert not done.findings
    with pytest.raises(StepError, match="it can be again"):
        machines.walked("sweep", JOB, {**answers, "doubt1": "keep"})


def test_a_correction_names_the_end_that_must_move() -> None:
    """24 thou over 24 in at the fence; the back bolt is 30 in from the pivot: 30 thou."""
    job = machines.dial_job(
        Tolerance(-1e-4, 1e-4, "0.1 mm/m"),
        adjuster=Slot(30 * 25.4, "the back of the fence", "to the right", "to the left"),
    )
    answers = {"span": "24 in", "front": "0.034 in", "back": "0.010 in", "care": "understood"}
    done = machines.walked("sweep", job, {**answers, "next": "adjust"})
    text = " ".join(line for step, _ in done.answered for line in step.lines)
    assert "30 thou" in text
    assert "to the right" in text
    assert done.step is not None
    assert done.step.key == "left.span"


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("front=.1in", "back=0", "span=0"), "span"),
        (("front=1in", "back=-1in", "span=9in"), "tenth"),
        (("front=.001in", "back=0", "span=9in", "lever_angle=80deg"), "lever_angle"),
        (("front=.001in", "back=0", "span=9in", "tolerance=10 psi"), "stress"),
        (("front=.001", "back=0", "span=9in"), "unit"),
    ],
)
def test_what_cannot_be_is_refused(program: Program, words: tuple[str, ...], says: str) -> None:
    ran = program.bare("reckon", "sweep", *words)
    assert ran.code == 2
    assert len(ran.err.splitlines()) == 1
    assert says in ran.err


def test_reckoned_with_a_tolerance_over_the_span(program: Program) -> None:
    """3 thou over 9 in either way is 4 thou a foot; the fixed form, and what it adds."""
    words = ("front=4thou", "back=-1thou", "span=9in", "tolerance=0.003in", "--json")
    data = program.bare("reckon", "sweep", *words).json
    assert data["error"]["thou_per_ft"] == pytest.approx(5 / 9 * 12)
    assert data["tolerance"]["thou_per_ft"] == pytest.approx(4.0)
    assert data["difference"]["thou"] == pytest.approx(5.0)
    assert data["nearer_to_the_slot"] == "front"


def test_a_perfect_point_is_0_at_the_best_that_the_drawer_can() -> None:
    best = METHOD.best(JOB)
    assert best.error == 0
    assert best.budget.expanded > 0
    assert machines.closed("sweep", JOB, {**ANSWERS, "care": "understood"}).verdict == "near"


@pytest.mark.parametrize(
    ("datum", "face", "left"),
    [
        ("mitre slot, left of the blade", "blade plate", True),
        ("mitre slot, right of the blade", "blade plate", False),
        ("mitre slot", "fence, set to the right of this slot", True),
        ("mitre slot, left of the blade", "fence, set to the left of this slot", False),
    ],
)
def test_the_slot_is_drawn_on_the_side_that_the_shop_file_names(
    datum: str, face: str, left: bool
) -> None:
    """Seen from above: the dial reaches from the slot to what it touches."""
    side, in_slot = side_of_datum(datum, face), is_slot(datum)
    there = JOB.geometry._replace(datum=datum, face=face, side=side, in_slot=in_slot)
    job = JOB._replace(geometry=there)
    drawn = METHOD.sketch(job, AtStep("mount"), 1)
    slots = [row.index("║") for row in drawn if "║" in row]
    assert all((at < row.index("▒")) is left for at, row in zip(slots, drawn, strict=False))
    assert "slot" in drawn[-2].split()


def test_a_carriage_is_no_slot() -> None:
    """A sliding table carries the indicator: nobody looks for a slot in it."""
    datum = "sliding table, left of the blade"
    there = JOB.geometry._replace(datum=datum, in_slot=is_slot(datum))
    job = JOB._replace(geometry=there)
    step, drawn = _mount(job), METHOD.sketch(job, AtStep("mount"), 1)
    assert step.lines[0].startswith("Carried along by: sliding table, left of the blade")
    assert "slot" not in " ".join((step.title, *step.lines, *drawn))


def _mount(job: CheckContext) -> Do:
    return next(one for one in METHOD.to_do(job) if one.key == "mount")
