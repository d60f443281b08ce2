"""Straightness: a straightedge on a crooked face, leaves at five stations."""

from __future__ import annotations

import json
from itertools import combinations

import numpy as np
import pytest

from shopboard.checks.advice import which_way
from shopboard.checks.job import NotPossibleError
from shopboard.checks.methods.straightness import shape_words
from shopboard.metrology.adjuster import Shim
from shopboard.metrology.instruments import Drawer, FeelerSet, OtherTool
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import FEELERS, LEAVES
from tests.checks.cuts import holds
from tests.checks.machines import closed, measured, walked
from tests.checks.tables import (
    LIMIT,
    THINNEST,
    drawn_u,
    evaluated,
    fits,
    gap,
    refused_at_the_end,
    table_job,
    take,
)
from tests.cli.program import Program

METHOD = measured("straightness")
JOB = table_job()
STATIONS = ("near", "quarter", "middle", "three-quarters", "far")
HOLLOW = {
    "light": "some",
    "near.goes": "0",
    "near.refused": ".0015",
    "quarter.goes": ".005",
    "quarter.refused": ".006",
    "middle.goes": ".008",
    "middle.refused": ".009",
    "three-quarters.goes": ".005",
    "three-quarters.refused": ".006",
    "far.goes": "0",
    "far.refused": ".0015",
}


def band(heights: np.ndarray) -> float:
    """The narrowest band by trying every slope that touches two points."""
    at = np.arange(len(heights))
    pairs = list(combinations(range(len(heights)), 2))
    slopes = [(heights[j] - heights[i]) / (j - i) for i, j in pairs]
    return float(min(np.ptp(heights - slope * at) for slope in slopes))


def resting(heights: np.ndarray, edge: np.ndarray) -> np.ndarray:
    """The gaps under a straightedge that has come to rest on a face: it bears on both sides."""
    high, at = heights - edge, np.arange(5)
    best: np.ndarray | None = None
    for i, j in combinations(range(5), 2):
        line = high[i] + (high[j] - high[i]) / (j - i) * (at - i)
        if np.all(line >= high - 1e-12) and i <= 2 <= j:
            best = line - high
    assert best is not None
    return best


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Make a face, lay a straightedge with a bow of its own on it, feel the gaps."""
    size = rng.choice([0.0, 0.03, 0.1, 0.3])
    curve = (np.arange(5) - 2) ** 2 / 4
    heights = size * (rng.uniform(-1, 1) * curve + 0.3 * rng.uniform(-1, 1, 5))
    edge = rng.uniform(-LIMIT, LIMIT) * (1 - curve)
    gaps = resting(heights, edge)
    if gaps.max() < THINNEST:
        answers = {"light": "none", "nowhere.refused": f"{THINNEST:.4f} mm"}
    else:
        answers = {"light": "some"}
        for key, mm in zip(STATIONS, gaps, strict=True):
            answers |= gap(key, float(mm), rng)
    return band(heights), evaluated(METHOD, JOB, answers).estimate


def test_the_planted_form_comes_back() -> None:
    """U holds the planted band in 95 of 100 trials, from dead straight to a third of a mm."""
    holds(trial, 600)


def test_u_agrees_with_a_monte_carlo() -> None:
    """JCGM 101: a clear hollow, where one band is the narrowest whatever is drawn."""
    taken = take(METHOD, JOB, HOLLOW)
    u = METHOD.evaluate(JOB, [taken]).estimate.budget.u
    assert u == pytest.approx(drawn_u(METHOD, JOB, taken), rel=0.05)


def test_the_whole_check_from_a_file() -> None:
    """A hollow of .0085 in, the middle of its leaves; it touches where the thinnest won't go."""
    outcome = closed("straightness", JOB, HOLLOW)
    assert outcome.estimate.error == pytest.approx(0.0085 * 25.4)
    assert outcome.lean == "hollow, most at the middle"
    assert outcome.verdict == "true"
    assert outcome.adds["minimum_zone"] == outcome.adds["end_point"]


@pytest.mark.parametrize(
    ("gaps", "says"),
    [
        ((0, 20, 36, 20, 0), "Pack the face out by 36 thou at the middle."),
        ((36, 16, 0, 16, 36), "Draw the face back by 36 thou at the middle, or pack out both"),
        ((20, 40, 20, 0, 20), "in waves"),
    ],
)
def test_where_it_must_go_follows_its_shape(gaps: tuple[int, ...], says: str) -> None:
    """Derived: gaps turned over, less the line through both ends; whatever the adjuster is."""
    answers = {"light": "some", "next": "done"}
    for key, thou in zip(STATIONS, gaps, strict=True):
        low = f"{thou - 0.5} thou" if thou else "0"
        answers |= {f"{key}.goes": low, f"{key}.refused": f"{thou + 0.5 if thou else 1.5} thou"}
    shim = Shim(254.0, "the middle", "the ends")
    outcome = closed("straightness", JOB._replace(adjuster=shim), answers)
    assert outcome.verdict == "out"
    assert says in outcome.moves[0]
    assert not closed("straightness", JOB, answers).moves


def test_the_error_of_a_wave_is_the_narrowest_band_and_neither_of_the_others() -> None:
    """By trying every slope: the line through the ends, or of least squares, tells more."""
    answers = {"light": "some"}
    for key, thou in zip(STATIONS, (0, 10, 0, 2, 12), strict=True):
        goes, refused = (f"{thou} thou", f"{thou + 1} thou") if thou else ("0", "1.5 thou")
        answers |= {f"{key}.goes": goes, f"{key}.refused": refused}
    outcome = closed("straightness", JOB, answers)
    truth = band(np.array([0, -10.5, 0, -2.5, -12.5])) * 0.0254
    assert outcome.estimate.error == pytest.approx(truth, abs=1e-9)
    for other in ("end_point", "least_squares"):
        told = outcome.adds[other]
        assert isinstance(told, dict)
        assert told["mm"] > truth + 0.02


def test_an_edge_with_a_bow_is_an_arc() -> None:
    """Simulated: under an arc of a circle, 0.1 mm high, a straight face leaves these gaps."""
    radius, half = (500**2 + 0.1**2) / 0.2, 500.0
    gaps = {
        key: np.sqrt(radius**2 - (half * (at - 2) / 2) ** 2) - (radius - 0.1)
        for at, key in enumerate(STATIONS)
    }
    under = {key: float(one) for key, one in gaps.items()}
    assert METHOD.formula({**under, "bow": 0.1}, {"light": "some"}) == pytest.approx(0, abs=1e-6)
    assert METHOD.formula({**under, "bow": 0.0}, {"light": "some"}) == pytest.approx(0.1)


@pytest.mark.parametrize(
    ("gaps", "doubted"),
    [
        ((0, 0.3, 0, 0.02, 0), False),
        ((0, 0.49, 0, 0, 0), False),
        ((0, 0.51, 0, 0.05, 0), True),
        ((0, 1.9, 0.2, 0, 0), False),
        ((0, 2.1, 0.2, 0, 0), True),
        ((0.07, 0.3, 0.2, 0.3, 0.07), True),
        ((0.05, 0.3, 0.2, 0.3, 0.05), False),
    ],
)
def test_a_gap_of_ten_times_the_next_is_asked_about(gaps: tuple[float, ...], doubted: bool) -> None:
    """Ten times, of 0.05 mm at the least; and one that floats. Common practice, no source."""
    values = dict(zip(STATIONS, gaps, strict=True))
    assert (METHOD.refuse(values, {"light": "some"}) is not None) == doubted


def test_no_light_is_one_question_more() -> None:
    """The thinnest leaf goes in nowhere: 0, give or take that leaf."""
    done = walked("straightness", JOB, {"light": "none"})
    outcome = done.findings[0].outcome
    assert outcome.estimate.error == 0
    assert outcome.lean.startswith("no error detectable")
    assert [key for key in done.answers if key.endswith("refused")] == ["nowhere.refused"]


@pytest.mark.parametrize(
    ("wide", "shape"),
    [
        (("near", "far"), "crowned, most at the middle"),
        (("quarter",), "hollow, most at a quarter of the way"),
        (("near", "three-quarters"), "in waves"),
    ],
)
def test_the_shape_in_words(wide: tuple[str, ...], shape: str) -> None:
    """Where the gaps are says what the face is; one alone is asked about, and kept."""
    answers = {"light": "some", "doubt1": "keep"}
    for key in STATIONS:
        goes, refused = (".020", ".021") if key in wide else ("0", ".0015")
        answers |= {f"{key}.goes": goes, f"{key}.refused": refused}
    assert closed("straightness", JOB, answers).lean.startswith(shape)


@pytest.mark.parametrize(
    ("gaps", "shape"),
    [
        ((0, 12, 8, 4, 0), "hollow, most at a quarter of the way"),
        ((0, 4, 8, 12, 0), "hollow, most at three quarters of the way"),
        ((0, 0, 0, 6, 16), "crowned, most at the middle"),
        ((0, 10, 18, 18, 16), "hollow, most at the middle"),
        ((20, 40, 20, 11, 20), "hollow, most at a quarter of the way"),
        ((20, 40, 20, 9, 20), "in waves, hollow most at a quarter of the way"),
        ((20, 0, 20, 29, 20), "crowned, most at a quarter of the way"),
        ((20, 0, 20, 31, 20), "in waves, crowned most at a quarter of the way"),
        ((0, 4, 8, 12, 16), "straight"),
    ],
)
def test_the_shape_is_told_from_the_line_through_both_ends(
    gaps: tuple[int, ...], shape: str
) -> None:
    """By hand: the gaps (thou) less what the line through the end ones has at each station."""
    told = {key: thou * 0.0254 for key, thou in zip(STATIONS, gaps, strict=True)}
    assert shape_words(told) == shape


def test_a_straightedge_that_floats_is_refused() -> None:
    """A gap at every station: it must touch somewhere. Nothing is recorded."""
    answers = {"light": "some"}
    for key in STATIONS:
        answers |= {f"{key}.goes": ".010", f"{key}.refused": ".012"}
    refused_at_the_end(walked("straightness", JOB, answers), "must touch somewhere")


def test_three_readings_have_k_of_four_and_a_third() -> None:
    """The trap: two degrees of freedom, 4.30 (GUM Table G.2), where scatter is all there is."""
    exact = FeelerSet("leaves", "Leaves", LEAVES, leaf_tolerance=0.0)
    tool = OtherTool("edge", "Straightedge", "straightedge", 900.0, 0.0)
    job = JOB._replace(drawer=Drawer((), (exact,), (), (tool,)))
    sets = []
    for thou in (4.0, 60.0, 150.0):
        wide = {
            f"{key}.{end}": f"{share * thou + by} thou"
            for key, share in (("quarter", 0.75), ("middle", 1), ("three-quarters", 0.75))
            for end, by in (("goes", 0), ("refused", 0.1))
        }
        sets.append(take(METHOD, job, {**HOLLOW, **wide}))
    budget = METHOD.evaluate(job, sets).estimate.budget
    assert budget.k == pytest.approx(4.30, abs=0.01)


def test_steps_fit_the_screen() -> None:
    """Titles of at most twelve words, drawings of at most eleven rows."""
    done = walked("straightness", JOB, HOLLOW)
    fits([step for step, _ in done.answered])


def test_without_a_straightedge_it_is_not_possible() -> None:
    """It says which tool is missing."""
    with pytest.raises(NotPossibleError, match="straightedge"):
        METHOD.best(JOB._replace(drawer=Drawer(feelers=(FEELERS,))))
    assert METHOD.best(JOB).error == 0


def test_reckon_gives_all_three(program: Program) -> None:
    """Derived: 5, 5.2143 and 5 thou; units once a column are enough."""
    points = "points=0 in,0 thou; 6,2; 12,3; 18,5; 24,3; 30,1; 36,0"
    ran = program.bare("reckon", "straightness", points, "tolerance=6 thou", "--json")
    told = json.loads(ran.out)
    assert told["method"] == "straightness"
    assert told["end_point"]["thou"] == pytest.approx(5.0)
    assert told["least_squares"]["thou"] == pytest.approx(5.2143, abs=5e-5)
    assert told["minimum_zone"]["thou"] == pytest.approx(5.0)
    assert told["error"]["thou"] == pytest.approx(5.0)
    assert told["verdict"] == "true"


def test_reckon_knows_how_well_the_heights_are_known(program: Program) -> None:
    """Half a thou either way at each of five stations."""
    points = "points=0in,0thou;1in,4thou;2in,9thou;3in,4thou;4in,0thou"
    ran = program.bare("reckon", "straightness", points, "within=0.5 thou", "--json")
    u = json.loads(ran.out)["uncertainty"]["standard"]["thou"]
    # The band hangs on both ends and the middle: 9 - (0 + 0) / 2.
    assert u == pytest.approx(0.5 / 3**0.5 * (1 + 0.25 + 0.25) ** 0.5, rel=1e-6)


@pytest.mark.parametrize(
    ("points", "why"),
    [
        ("0,0; 1 in,2 thou", ""),
        ("0 in,0 thou; 1", "point 2"),
        ("1 in,1 thou; 1,2; 1,3", "two places"),
        ("0, 1; 1, 2", "no unit"),
        ("0 in,1,5 mm", "decimals have a point"),
        ("1 in,1 thou", "two places"),
    ],
)
def test_reckon_names_the_wrong_point(points: str, why: str, program: Program) -> None:
    """One sentence, exit code 2."""
    ran = program.bare("reckon", "straightness", f"points={points}")
    assert ran.code == (2 if why else 0)
    assert why in ran.err


def test_an_error_that_was_read_is_not_told_as_none() -> None:
    """Smaller than its uncertainty it is told from none by nobody; nothing read is no error."""
    small, nothing = (
        Estimate(error, Budget((Source("leaf", "leaf", 0.05),))) for error in (0.08, 0.0)
    )
    words = [which_way(one, "length", "mm", "hollow", "crowned") for one in (small, nothing)]
    assert words == [
        "an error too small to tell from zero",
        "no error detectable",
    ]
