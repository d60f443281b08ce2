"""What each source adds to a budget, worked by hand at round numbers, and what readings tell of it.

How well things repeat, seat and close is common practice, no source; how that comes through to the
error is plane geometry and the law of propagation (JCGM 100, 5.1).
"""

from __future__ import annotations

import math

import pytest
from scipy.optimize import brentq
from scipy.stats import norm

from shopboard.checks.indicator import lever_sources
from shopboard.checks.inputs import own_bow, tool_of, tool_sources, tools_spoken_of
from shopboard.checks.job import Geometry, NotPossibleError
from shopboard.checks.mean_of_sets import budget_of_leaves, budget_of_mean
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read, assumed_of, sort_of
from shopboard.checks.proving import proven
from shopboard.checks.settle import chance_by_turning
from shopboard.checks.study import tells_from
from shopboard.checks.walk import walk
from shopboard.checks.working import budget_rows, budget_working, square_working
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, OtherTool
from shopboard.metrology.own_hand import BRACKET, DIAL, LEAF
from shopboard.metrology.sources import FEEL, LEVER, REPEATS, SCATTER, SQUARE
from shopboard.metrology.square import SetUp, SquareReading
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import DRAWER, SQUARE_6, make_job
from tests.checks.cuts import TOOLS, cut_job, cut_test, read
from tests.checks.machines import DIALS, measured
from tests.checks.readings import GOOD, Case, job_of

ROOT_2 = math.sqrt(2)
REPEATED = [
    ("snipe", {"middle": 19.0, "lead": 19.0, "tail": 19.0}, 0.015 * ROOT_2),  # two thicknesses
    ("thickness", {"left": 19.0, "right": 19.0, "width": 300.0}, 0.015 * ROOT_2 / 300),
    ("diagonals", {"width": 600.0, "length": 900.0}, 0.02 / 600),  # seated along the shorter side
    ("frame", {"width": 100 / ROOT_2, "gap": 0.0}, 0.02 / 100 * 2 / 8),  # four corners, eight cuts
    ("drift-angle", {"length": 400.0, "offset": 0.0}, 0.5 / 400),
    ("centres", {"across": 0.0, "up": 0.0}, 0.15 / 2),  # from dent to dent is twice the way
    ("taper", {"head": 38.0, "tail": 38.0, "length": 300.0}, 0.025 * ROOT_2 / 2 / 300),
    ("drilled-angle", {"rise": 150.0, "depth": 40.0}, 0.1 / 40),
    ("wind", {"sticks": 500.0, "across": 150.0, "raised": 0.0}, 0.15 * ROOT_2 / 500),  # both ends
    ("timed", {"time": 4.0}, 0.2),
    ("square-flip", {"at": 150.0, "gap": 0.0}, 0.03 / 150),  # two lines, half of both
    ("five-cut", {"a": 25.0, "b": 25.0, "length": 400.0}, 0.02 / 400 * 2 / 4),  # of four, a quarter
    ("runout", {"low": 0.0, "high": 0.0}, 0.003),
    ("sweep", {"span": 200.0, "front": 0.0, "back": 0.0}, 0.01 / 200),
    ("tram", {"radius": 100.0, "near": 0.0, "far": 0.0}, 0.003 * ROOT_2 / 200),
    ("carry", {"circle": 80.0, "knife1_front": 8.0, "knife2_front": 4.0}, 8 / 160 * 0.3),
    ("blade-tension", {"over": 100.0, "stretch": 0.05}, 0.001 / 100 * 199_948),  # 29e6 psi in MPa
    ("flip", {"width": 150.0, "gap": 0.0}, 0.02 / 150 / 2),
    ("edge-pair", {"thickness": 20.0, "gap": 0.0}, 0.005 / 20 / 2),
    ("three-squares", {"length": 150.0, "ab": 0.0}, 0.002 / 90 * math.sqrt(6) / 2),  # six
]


@pytest.mark.parametrize(("name", "values", "u"), REPEATED, ids=[one[0] for one in REPEATED])
def test_how_well_each_check_repeats(name: str, values: dict[str, float], u: float) -> None:
    assert measured(name).repeats_to(values) == pytest.approx(u, rel=1e-3)


USUAL: dict[str, dict[str, float]] = {
    "blade-tension": {"over": 127.0},
    "carry": {"circle": 75.0},
    "coplanar": {"length": 600.0, "width": 150.0, "front_lip": 0.4, "back_end": 0.4},
    "diagonals": {"width": 600.0, "length": 900.0, "d1": math.hypot(600, 900)},
    "drift-angle": {"length": 400.0, "offset": 0.0},
    "edge-pair": {"thickness": 150.0, "gap": 0.0},
    "five-cut": {"a": 25.0, "b": 25.0, "length": 400.0},
    "flip": {"width": 150.0, "gap": 0.0},
    "frame": {"width": 60.0, "gap": 0.0},
    "snipe": {"middle": 19.0, "lead": 19.0, "tail": 19.0, "lead_length": 0.0},
    "sweep": {"span": 200.0, "front": 0.0, "back": 0.0},
    "taper": {"head": 38.0, "tail": 38.0, "length": 300.0, "between": 400.0},
    "drilled-angle": {"low": 20.0, "high": 20.0, "rise": 150.0, "depth": 38.0},
    "thickness": {"left": 19.0, "right": 19.0, "width": 300.0},
    "tram": {"radius": 100.0, "near": 0.0, "left": 0.0},
    "wind": {"sticks": 500.0, "across": 150.0, "raised": 0.0},
}
"""Sizes, mm, that a check is usually made over where the shop file tells none: common practice."""


@pytest.mark.parametrize("name", USUAL)
def test_what_a_true_point_is_usually_read_over(name: str) -> None:
    values, words = measured(name).perfect(job_of(Case(name, {}, "")))
    assert {key: values[key] for key in USUAL[name]} == pytest.approx(USUAL[name])
    assert set(words.values()) <= {"none", "three", "right", "bed", "bevel"}


LASTS = {"modulus", "straightedge", "square", "lever-slant"}
"""The tool's or the band's own, the same in every reading with it (JCGM 100, F.1.2.4)."""


@pytest.mark.parametrize("name", GOOD)
def test_only_what_belongs_to_the_tool_stays_the_same_in_a_second_reading(name: str) -> None:
    case = Case(name, {}, "")
    answers = {"care": "understood", **GOOD[name], "lever": "30"}
    done = walk(measured(name), job_of(case), answers, from_file=True)
    for one in done.findings[0].outcome.estimate.budget.sources:
        assert one.lasting == (one.id in LASTS), one.id


def test_a_straightedges_bow_lasts_and_is_nought_give_or_take_its_limit() -> None:
    bow = own_bow(cut_job())
    (source,) = bow.sources
    assert (bow.value, source.lasting) == (0.0, True)
    assert source.u == pytest.approx(0.03 / math.sqrt(3))  # TOOLS has one of 0.03 mm


@pytest.mark.parametrize(
    ("name", "use", "values", "words", "half"),
    [
        ("flip", "mitre", {"width": 120.0, "gap": 0.0}, {"open": "none"}, 0.0),
        ("edge-pair", "straightedge", {"thickness": 120.0, "gap": 0.0}, {"open": "none"}, 0.00025),
        ("flip", "on-edge", {"width": 120.0, "gap": 0.0}, {"open": "none"}, 0.0),
    ],
)  # fmt: skip
def test_what_the_gap_is_read_against_counts_for_half(
    name: str, use: str, values: dict[str, float], words: dict[str, str], half: float
) -> None:
    """The gap is twice the error; a square may be off by its grade, 0.01525 mm over 6 in."""
    method, job = cut_test(name, use), cut_job()
    budget = method.evaluate(job, [read(method, job, values, words, (0.0, 0.0381))]).estimate.budget
    own = {one.id: one.u for one in budget.sources if one.id in ("square", "straightedge")}
    if "square" in own:
        assert own == {"square": pytest.approx(SQUARE_6.limit / 2 / math.sqrt(3))}
    else:
        assert own == ({"straightedge": pytest.approx(half / 2 / math.sqrt(3))} if half else {})


def test_how_a_slanting_lever_is_judged() -> None:
    """By eye to 5 degrees: cos changes by sin, a share of tan (derived)."""
    (one,) = lever_sources(-2.0, {}, {"lever": "45"})
    assert one.u == pytest.approx(2 * math.radians(5) / math.sqrt(3))
    assert lever_sources(2.0, {}, {"lever": "square"}) == ()
    assert lever_sources(0.0, {}, {"lever": "45"}) == ()


def test_a_tool_is_off_first_and_read_second() -> None:
    """By half a thousandth of an inch; a straightedge is not read at all."""
    limit, scale = tool_sources("left", "calliper", 0.02)
    assert (limit.id, limit.name) == ("calliper", "left, the calliper")
    assert (scale.id, scale.name) == ("scale", "left, reading it")
    assert (limit.u, scale.u) == pytest.approx((0.02 / math.sqrt(3), 0.0127 / math.sqrt(3)))
    assert [one.id for one in tool_sources("bow", "straightedge", 0.02)] == ["straightedge"]
    with pytest.raises(NotPossibleError, match="this check needs an indicator among your tools"):
        tool_of(make_job(), "indicator")
    with pytest.raises(NotPossibleError, match="this check needs a calliper among your tools"):
        tool_of(make_job(), "calliper")


def test_a_straightedge_over_two_tables_is_off_at_its_three_places() -> None:
    """Each by its limit of 0.02 mm; 0.01 mm at the far end of 584 mm turns a table by 0.017 mrad.

    The lips are near the turning point of both tables: they count twice, once for each.
    """
    done = walk(measured("coplanar"), job_of(Case("coplanar", {}, "")),
                {"care": "understood", **GOOD["coplanar"]}, from_file=True)  # fmt: skip
    budget = done.findings[0].outcome.estimate.budget
    own = {one.name: one.u for one in budget.sources if one.id == "straightedge"}
    end = 0.02 / math.sqrt(3) / (23 * 25.4)
    assert own == {
        "straightedge at the outfeed end": pytest.approx(end, rel=0.02),
        "straightedge at the lips": pytest.approx(2 * end, rel=0.02),
        "straightedge at the infeed end": pytest.approx(end, rel=0.02),
    }


def test_tables_that_are_true_are_bowls_as_deep_as_the_tolerance_allows() -> None:
    """A bowl's corners stand by its depth above the middle, its edges' middles by half of that."""
    method, job = measured("flatness"), job_of(Case("flatness", {}, ""))
    bowls = method.good(job)
    depths = [method.formula(values, words) for values, words in bowls]
    assert depths == pytest.approx([values["rising"] for values, _ in bowls])
    assert len(depths) > 1
    assert 0 < min(depths) < max(depths) <= job.tolerance.high
    assert {word for _, words in bowls for word in words.values()} == {"middle"}


# ---------------------------------------------------------------- several readings

REPEAT, OWN = Source(REPEATS, "how well", 0.3), Source("own", "own", 0.4, lasting=True)
ONE = Budget((REPEAT, OWN))


def us(budget: Budget) -> list[tuple[str, float]]:
    return [(one.id, round(one.u, 6)) for one in budget.sources]


def test_the_mean_of_sets_by_hand() -> None:
    """Of two, what is usual over root 2; if too far apart, half their distance; of three, theirs.

    Three readings 0, 1, 2 have a standard deviation of 1, their mean 1 / root 3, 2 degrees.
    """
    assert budget_of_mean(ONE, [1.0]) is ONE
    assert us(budget_of_mean(ONE, [1.0, 1.1])) == [("own", 0.4), (REPEATS, 0.212132)]
    apart = us(budget_of_mean(ONE, [1.0, 5.0]))
    assert apart[:2] == [("own", 0.4), (REPEATS, 0.212132)]
    assert apart[2][1] == pytest.approx(2 / math.sqrt(3), abs=1e-6)
    three = budget_of_mean(ONE, [0.0, 1.0, 2.0])
    assert us(three) == [("own", 0.4), (SCATTER, 0.57735)]
    assert three.sources[-1].dof == 2


def test_the_mean_of_gaps_read_leaf_by_leaf_by_hand() -> None:
    """What is usual of a hand stands until they differ by more than such readings do."""
    feel = Source(FEEL, "feel", 0.3)
    mean = Budget((feel, OWN))
    assert budget_of_leaves(mean, ONE, [1.0]) is mean
    assert budget_of_leaves(mean, ONE, [1.0, 1.1, 1.2]) is mean
    two = us(budget_of_leaves(mean, ONE, [1.0, 5.0]))
    assert two[:2] == [(FEEL, 0.3), ("own", 0.4)]
    assert two[2][1] == pytest.approx(2 / math.sqrt(3), abs=1e-6)
    assert us(budget_of_leaves(mean, ONE, [0.0, 5.0, 10.0])) == [
        ("own", 0.4),
        (SCATTER, round(5 / math.sqrt(3), 6)),
    ]


def test_what_a_hand_was_taken_to_repeat_to() -> None:
    """Sources of one sort as the root of their squares; brackets as their half-widths."""
    sources = (
        Source("a", "a", 3.0, hand=LEAF),
        Source("b", "b", 4.0, hand=LEAF),
        Source("c", "c", 1.0, hand=DIAL),
        Source("d", "d", 0.0, hand="rule"),
        Source.within("e", "e", 3.0, hand=BRACKET),
        Source.within("f", "f", 4.0, hand=BRACKET),
        Source("g", "g", 9.0),
    )
    assumed, half = assumed_of(Budget(sources))
    assert assumed == {LEAF: pytest.approx(5.0), DIAL: pytest.approx(1.0)}
    assert half == pytest.approx(5.0)
    kept = as_read(Budget(sources), [0.0015, -0.0025], 1e3)
    assert kept == {"errors": [2, -2], "hand": {LEAF: 5000, DIAL: 1000}, "half": 5000}
    assert sort_of(assumed) == LEAF  # 25 of 26
    assert sort_of({LEAF: 2.0, DIAL: 1.0}) == ""  # 4 of 5 are not yet nearly all
    assert sort_of({DIAL: 2.1, LEAF: 1.0}) == DIAL


@pytest.mark.parametrize(("coarse", "times"), [
    (0.0, 0), (0.35, 0), (0.36, 2), (0.8, 2), (0.81, 3), (2.0, 3), (2.1, 4), (4.0, 6),
])  # fmt: skip
def test_how_rough_a_hand_ten_readings_tell(coarse: float, times: int) -> None:
    """Half as much again as the steps are coarse, and a whole number (simulated elsewhere)."""
    assert tells_from(coarse) == times


# ---------------------------------------------------------------- what settles it


def settled(moves: float, after: float, error: float) -> float:
    """How likely a mean that moves so far, normal, is then proven within 1 or out of it: scipy."""

    def sure(mean: float) -> float:
        return float(norm.cdf((1 - mean) / after) - norm.cdf((-1 - mean) / after))

    true = brentq(lambda mean: sure(mean) - 0.95, 0, 3) if sure(0) > 0.95 else -math.inf
    out = brentq(lambda mean: sure(mean) - 0.05, 0, 9)
    inside = norm.cdf((true - error) / moves) - norm.cdf((-true - error) / moves)
    beyond = norm.sf((out - error) / moves) + norm.cdf((-out - error) / moves)
    return float(max(inside, 0.0) + beyond)


@pytest.mark.parametrize(("square", "feel", "error"), [
    (0.4, 0.1, 0.7), (0.4, 0.1, -0.95), (0.2, 0.2, 0.8), (0.5, 0.05, 1.3),
])  # fmt: skip
def test_the_chance_of_turning_over_is_that_of_the_normal_tables(
    square: float, feel: float, error: float
) -> None:
    """The square's own part drops out, the feel is that of two; the lever's stays.

    The mean moves by what the budget loses (JCGM 106, 6).
    """
    lever = 0.05
    own = Source(SQUARE, "square, its own error", square, lasting=True)
    sources = (own, Source(FEEL, "feel", feel), Source(LEVER, "lever", lever))
    outcome = Outcome("x", Estimate(error, Budget(sources)), Tolerance(-1, 1, "1"))
    assert outcome.verdict == "near"
    after = math.hypot(feel / ROOT_2, lever)
    moves = math.sqrt(square**2 + feel**2 / 2)
    chance = chance_by_turning(outcome)
    assert chance == pytest.approx(settled(moves, after, error), abs=0.04)  # in steps of a fifth
    # What the work asks, half of all that, where the shop file allows far more.
    halved = Budget(tuple(one._replace(u=one.u / 2) for one in sources))
    true = Outcome("x", Estimate(error / 2, halved), Tolerance(-9, 9, "9"))
    assert chance_by_turning(true) == 0.0
    wanted = Tolerance(-0.5, 0.5, "0.5")
    assert chance_by_turning(true, wanted) == pytest.approx(chance)


# ---------------------------------------------------------------- written out

SETUP = SetUp(150.0, square_limit=1e-4)


def test_the_sum_of_a_square_by_hand() -> None:
    """0.15 mm over 150 mm is 1 mm/m; a square that is known to show 0.2 mm/m is taken off."""
    reading = SquareReading("top", 0.1, 0.2)
    plain = square_working(SETUP, reading, None, "mm")
    between = "between 0.10 mm (goes) and 0.20 mm (won't)"
    assert plain[0] == f"gap = {between}, light at the top: middle 0.15 mm"
    assert plain[1].startswith("error = atan(gap / reach) = atan(0.15 mm / 150 mm) = +1.00 mm/m")
    assert len(plain) == 2
    known = SetUp(150.0, square_limit=1e-4, square_known=0.0002)
    told = square_working(known, reading, None, "mm")
    assert told[1] == plain[1]
    assert told[2] == "less the square's own +0.20 mm/m = +0.80 mm/m"
    closed = SquareReading("none", 0.0, 0.04)
    assert square_working(SETUP, closed, None, "mm")[0] == (
        "gap = none: 0.04 mm goes at neither end"
    )
    over = SquareReading("bottom", 0.05, 0.15)
    both = square_working(known, reading, over, "mm")
    assert both[1].startswith("turned over, as the first side would see it = between 0.05 mm")
    assert both[2] == "half the sum (the square's own error drops out) = 0.025 mm"
    assert not any(line.startswith("less") for line in both)
    more = square_working(SETUP, reading, None, "mm", [SquareReading("top", 0.2, 0.3)])
    assert more[2] == "mean of 2 = 0.20 mm"
    turned = square_working(SETUP, reading, over, "mm", [reading, over])
    assert [line.partition(" =")[0] for line in turned[:4]] == [
        "gap", "turned over, as the first side would see it",
    ] * 2  # fmt: skip
    assert turned[4] == "mean of 4 (the square's own error drops out) = 0.025 mm"


def test_a_budget_is_written_with_the_share_of_each_source() -> None:
    """3 and 4 make 5: 36 and 64 %; those below half a percent stand together, if several."""
    rows = budget_rows([("lead_length", 3e-3), ("b", 4e-3)], 5e-3, "length", "mm")
    assert [row.split()[-2:] for row in rows] == [["36", "%"], ["64", "%"]]
    assert rows[0].startswith("lead length ")
    small = [("a", 1.0), *((name, 0.07) for name in "bcdef")]
    rows = budget_rows(small, 1.0, "length", "mm")
    assert [row.partition("  ")[0] for row in rows] == ["a", "5 smaller ones, together"]
    assert rows[1].split()[-5:] == ["=", "0.2", "mm", "2", "%"]  # root 5 times 0.07
    assert len(budget_rows(small[:2], 1.0, "length", "mm")) == 2
    at = [("a", 1.0), ("b", math.sqrt(0.005)), ("c", 0.05), ("d", 0.05)]
    assert len(budget_rows(at, 1.0, "length", "mm")) == 3
    assert "0 %" in budget_rows([("a", 0.0)], 0.0, "length", "mm")[0]
    few = Budget((Source("a", "a", 1.0, 4.0),))
    assert "degrees of freedom 4, so k = 2.78 for 95 %" in budget_working(few, "length", "mm")
    many = Budget((Source("a", "a", 1.0),))
    assert "degrees of freedom unlimited, so k = 1.96 for 95 %" in budget_working(
        many, "length", "mm"
    )


# ---------------------------------------------------------------- tools


def spoken(*ids: str) -> dict[str, str]:
    budget = Budget(tuple(Source(one, one, 1.0) for one in ids))
    finer = OtherTool("fine", "Fine dial", "indicator", 3.0, 0.001)
    coarse = OtherTool("coarse", "Coarse dial", "indicator", 3.0, 0.1)
    drawer = DIALS._replace(others=(coarse, finer, *TOOLS.others))
    return tools_spoken_of(drawer, budget)


def test_the_tools_that_a_budget_speaks_of_and_no_others() -> None:
    """The best of each sort, by name; a reckoning's drawer is empty."""
    assert spoken("indicator") == {"fine": "Fine dial"}
    assert spoken("square") == {SQUARE_6.id: SQUARE_6.name}
    assert list(spoken("gap-leaf", "calliper")) == ["leaves", "calliper"]
    assert list(spoken("straightedge")) == ["straightedge"]
    assert spoken("rule", "repeats") == {}
    assert tools_spoken_of(Drawer((), ()), Budget((Source("square", "s", 1.0),))) == {}


NOW = Drawer(
    (SQUARE_6._replace(limit=3e-4, known_error=1e-3, known_u=1e-4),),
    DRAWER.feelers,
    others=(OtherTool("edge", "Long edge", "straightedge", 900.0, 0.02),),
)


def note_of(proves: str, kind: str, error: float, u: float) -> str:
    found = Estimate(error, Budget((Source("a", "a", u),)))
    outcome = Outcome("x", found, None, kind=kind)  # type: ignore[arg-type]
    job = make_job(drawer=NOW, proves=proves, unit="mm", geometry=Geometry("", "", 0.0))
    return proven(job, outcome, kind, "plus", "minus", "").note  # type: ignore[arg-type]


def test_what_the_drawer_takes_once_a_tool_is_proven() -> None:
    """A square's own error with its sign; an edge is straight within error and U, either way."""
    said = note_of(SQUARE_6.id, "angle", 1.2e-3, 1e-4)
    assert said == (f"Once saved, the checks take {SQUARE_6.name} as +1.20 mm/m ± 0.20 mm/m.")
    assert note_of(SQUARE_6.id, "angle", -1.2e-3, 1e-4).count("as -1.20 mm/m ±") == 1
    said = note_of("edge", "length", -0.008, 0.005)
    assert said == "Once saved, the checks take Long edge as straight within 0.018 mm."
    assert note_of("", "angle", 1e-3, 1e-4) == ""


def test_a_proof_that_is_coarser_than_what_was_known_says_so() -> None:
    """Known within its limit and twice u, 0.0005: a proof to 0.001 that agrees tells less."""
    assert "; what it takes now, ± 0.50 mm/m, is finer." in note_of(
        SQUARE_6.id, "angle", 1e-3, 5e-4
    )
    assert "finer" not in note_of(SQUARE_6.id, "angle", 3e-3, 5e-4)  # it contradicts that
    assert "finer" not in note_of(SQUARE_6.id, "angle", 1e-3, 2e-4)
    assert "; what it takes now, ± 0.020 mm, is finer." in note_of("edge", "length", 0.005, 0.01)
    assert "finer" not in note_of("edge", "length", 0.005, 0.005)
