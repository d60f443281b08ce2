"""Knife carry: a rule on the outfeed table, carried by every knife at both ends."""

from __future__ import annotations

import json
import math
from dataclasses import replace

import numpy as np
import pytest

from shopboard.checks.advice import correction_lines, is_met
from shopboard.checks.asked import Pick
from shopboard.checks.need import Need
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Choice
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.carry import carry_of
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from tests.checks.cuts import holds
from tests.checks.machines import closed, measured, rule, walked
from tests.checks.tables import drawn_u, evaluated, fits, refused_at_the_end, table_job, take
from tests.cli.program import Program

METHOD = measured("carry")
THOU = 0.0254
CIRCLE = 3 * 25.4
THREE_THOU = Tolerance(0.0, 3 * THOU, "0 to 3 thou", "length")
JOB = table_job(tolerance=THREE_THOU, sizes={"circle": CIRCLE})
ENDS = [f"knife{number}_{end}" for number in (1, 2, 3) for end in ("front", "back")]


def carried(*mm: float) -> dict[str, str]:
    """Answers: three knives, the carry of each at front and back."""
    return {
        "care": "understood",
        "knives": "three",
        **{key: f"{one:.3f} mm" for key, one in zip(ENDS, mm, strict=True)},
    }


CIRCLED = {"circle": f"{CIRCLE} mm"}


def swept(height: float, tip: float) -> float:
    """Turn a knife in small steps: how far its tip travels above the table's plane, mm."""
    angles = np.linspace(-0.6, 0.6, 24_001)
    up = tip * np.cos(angles) > tip - height
    across = tip * np.sin(angles[up])
    return float(across.max() - across.min()) if up.any() else 0.0


WANTED = JOB.tolerance.middle


def truth(outcome: Outcome, off: float, about: float) -> float:
    """What a result must hold: with its sign where it tells one, else its size on that side."""
    if outcome.adds["side"] == "either":
        off = math.copysign(off, outcome.estimate.error - about)
    return float(about + off)


SETS = ("alike", "nearly alike", "one off", "scattered")


def stood(rng: np.random.Generator, how: str) -> np.ndarray:
    """Stand three knives, each end at a height of its own, mm: as they are in jointers."""
    centre = rng.uniform(0.3, 3.5)
    if how == "one off":
        off = np.zeros(6)
        off[rng.integers(6)] = rng.uniform(-1.5, 1.5)
    else:
        off = {"alike": 0.0, "nearly alike": 0.3, "scattered": 1.0}[how] * rng.normal(size=6)
    heights: np.ndarray = np.abs(centre + off) * THOU
    return heights


def trial(rng: np.random.Generator, how: str = "") -> tuple[float, Estimate]:
    """Turn the head, read the marks with a rule."""
    heights = stood(rng, how or str(rng.choice(SETS)))
    circle = CIRCLE + rng.uniform(-0.5, 0.5)
    read = [rule(rng, swept(h, circle / 2)) + rng.normal(0, 0.3) for h in heights]
    answers = carried(*(max(one, 0.0) for one in read)) | {"circle": f"{CIRCLE} mm"}
    outcome = evaluated(METHOD, JOB, answers)
    return truth(outcome, max(heights - WANTED, key=abs), WANTED), outcome.estimate


def test_the_planted_height_comes_back() -> None:
    """U holds the worst planted height in 95 of 100 trials: knives alike, and knives apart."""
    holds(trial, 600)


def test_the_height_of_a_swept_knife_is_the_sagitta() -> None:
    """The simulation and the formula agree where nothing is misread."""
    for thou in (0.5, 1.0, 3.0):
        carry = swept(thou * THOU, CIRCLE / 2)
        outcome = evaluated(METHOD, JOB, carried(*[carry] * 6) | {"circle": f"{CIRCLE} mm"})
        assert outcome.estimate.error == pytest.approx(thou * THOU, rel=2e-3)


def test_u_agrees_with_a_monte_carlo() -> None:
    """JCGM 101: one knife clearly the worst."""
    answers = carried(3.2, 3.2, 6.0, 3.2, 3.2, 3.2) | {"circle": f"{CIRCLE} mm"}
    taken = take(METHOD, JOB, answers)
    taken = replace(taken, words={**taken.words, "wanted": f"{JOB.tolerance.middle:.6f}"})
    u = METHOD.evaluate(JOB, [taken]).estimate.budget.u
    assert u == pytest.approx(drawn_u(METHOD, JOB, taken), rel=0.05)


def test_an_eighth_is_1_3_thou_on_three_inches() -> None:
    """The trap, in the guided check: every knife carried 1/8 in."""
    outcome = closed("carry", JOB, carried(*[3.175] * 6))
    assert outcome.estimate.error / THOU == pytest.approx(1.3026, abs=1e-4)
    assert outcome.verdict == "true"
    assert outcome.adds["spread"] == {"in": 0.0, "thou": 0.0, "mm": 0.0}


def test_a_set_scattered_to_both_sides_is_told_by_its_size() -> None:
    """Three knives: one as much too high as another is too low; neither is named as the worst."""
    off = 2.4 * THOU
    high, low = (carry_of(WANTED + off, CIRCLE), 0.0)  # 3.9 thou, and 1.5 below the wanted one
    outcome = evaluated(METHOD, JOB, carried(high, 3.2, 3.2, low, 3.2, 3.2) | CIRCLED)
    assert outcome.adds["side"] == "either"
    assert "knife 1 at the front (+3.9 thou" in outcome.lean
    assert "knife 2 at the back (0" in outcome.lean
    assert "it cannot be told which is worse" in outcome.lean


def test_no_knife_within_its_tolerance_is_called_too_low() -> None:
    """0 to 3 thou: 2.4 high and 0.6 low are both as they may be; 3.9 and -0 are not alike."""
    within = carried(*(carry_of(by * THOU, CIRCLE) for by in (2.4, 1.5, 1.5, 0.6, 1.5, 1.5)))
    lean = evaluated(METHOD, JOB, within | CIRCLED).lean
    assert "too" not in lean
    assert lean.startswith("highest: knife 1 at the front")
    assert "; lowest: knife 2 at the back" in lean
    high, low = carry_of(WANTED + 2.4 * THOU, CIRCLE), 0.0  # 3.9 thou is past 3; 0 is not
    past = evaluated(METHOD, JOB, carried(high, 3.2, 3.2, low, 3.2, 3.2) | CIRCLED).lean
    assert past.startswith("too high: knife 1 at the front")
    assert "; lowest: knife 2 at the back" in past


@pytest.mark.parametrize(
    ("knives", "offered"),
    [
        ((), "low two three four"),
        ((2,), "low two"),
        ((2, 4), "low two four"),
        ((1,), "low two three four"),
        ((20,), "low two three four"),
    ],
)
def test_a_set_is_offered_as_many_knives_as_it_has(knives: tuple[int, ...], offered: str) -> None:
    """A set of two was asked about three and four; one whose number is not told, about any."""
    (pick,) = (one for one in METHOD.asked(JOB._replace(knives=knives)) if isinstance(one, Pick))
    assert [value for value, _ in pick.options] == offered.split()


def test_one_knife_that_is_clearly_worst_is_named_with_its_side() -> None:
    outcome = evaluated(METHOD, JOB, carried(9.0, 3.2, 3.2, 3.2, 3.2, 3.2) | CIRCLED)
    assert outcome.adds["side"] == "above"
    assert outcome.lean.startswith("knife 1 at the front is farthest off")


def test_sets_that_find_the_worst_on_different_sides_do_not_cancel() -> None:
    """Derived: a set 2.4 thou too high and one 1.5 too low are off by 1.95, not by 0.45."""
    sets = [
        take(METHOD, JOB, carried(carry_of(one, CIRCLE), *[3.21] * 5) | CIRCLED)
        for one in (WANTED + 2.4 * THOU, WANTED - 1.5 * THOU)
    ]
    outcome = METHOD.evaluate(JOB, sets)
    assert outcome.adds["side"] == "either"
    assert abs(outcome.estimate.error - WANTED) == pytest.approx(1.95 * THOU, rel=0.01)


def test_the_worst_end_is_named_with_its_move() -> None:
    """Carried 6.35 mm: 5.2174 thou, 3.7 above the middle of the tolerance: lower it by that."""
    job = JOB._replace(adjuster=Screw(1.0, 10.0, "toward"))
    outcome = closed("carry", job, carried(3.4, 3.4, 3.4, 6.35, 3.4, 3.4))
    assert outcome.estimate.error / THOU == pytest.approx(5.2174, abs=1e-3)
    assert outcome.verdict == "out"
    assert outcome.lean.startswith("knife 2 at the back is farthest off")
    assert outcome.moves[0].startswith(
        "Lower knife 2 at the back by 3.7 thou: its jack screw clockwise"
    )
    assert len(outcome.moves) == 1


def test_a_high_and_a_low_knife_are_known_as_well_as_two_high_ones() -> None:
    """Derived: 0.5 thou above the wanted 1.5 and 0.5 below it; the side is open, not how far."""
    wanted, circle = JOB.tolerance.middle, JOB.sizes["circle"]
    high, low = (carry_of(wanted + by * THOU, circle) for by in (0.5, -0.5))
    both = closed("carry", JOB, carried(high, high, high, high, high, high)).estimate
    mixed = closed("carry", JOB, carried(high, low, high, low, high, low)).estimate
    assert abs(mixed.error - wanted) == pytest.approx(0.5 * THOU, rel=0.01)
    assert mixed.budget.u <= 1.05 * both.budget.u


def test_for_the_work_the_knives_are_set_to_what_it_takes() -> None:
    """The middle of the tolerance, 1.5 thou, is too much where the work wants half of that."""
    need = Need(1.2 * THOU, 0.95, "Top", "box.top", aim=0.8 * THOU)
    every = carry_of(2 * THOU, CIRCLE)
    outcome = closed("carry", JOB._replace(need=need), carried(*[every] * 6))
    assert len(outcome.moves) == 6
    assert all(one.endswith("by 1.2 thou.") for one in outcome.moves)


def test_no_knife_is_called_too_low_that_the_work_has_lowered() -> None:
    """Half a thou above and below the shop file's 1.5; the work is set to 0.8, below them all."""
    need = Need(1.2 * THOU, 0.95, "Top", "box.top", aim=0.8 * THOU)
    high, low = (carry_of(by * THOU, CIRCLE) for by in (2.0, 1.0))
    answers = carried(high, high, high, high, high, low)
    assert "lowest: knife 3 at the back" in closed("carry", JOB, answers).lean
    outcome = closed("carry", JOB._replace(need=need), answers)
    assert outcome.lean.startswith("highest: knife")
    assert outcome.lean.endswith("lowest: knife 3 at the back (+1.0 thou)")
    assert all(one.startswith("Lower") for one in outcome.moves)


def test_set_to_what_the_work_wants_is_not_the_middle() -> None:
    """Left there, it is where it should be; the tolerance's middle is elsewhere."""
    need = Need(1.6 * THOU, 0.95, "Top", "box.top", aim=0.8 * THOU)
    job = JOB._replace(need=need, adjuster=Screw(0.8, 0.0, "toward"))
    every = carry_of(0.8 * THOU, CIRCLE)
    lines = correction_lines(job, closed("carry", job, carried(*[every] * 6)))
    assert lines[-1].startswith("Leave it. It is true, and as close as can")


def test_no_knife_is_left_while_the_work_asks_for_less() -> None:
    """A third of a thou is not worth setting for the shop file; here it is what is wanting."""
    need = Need(2.0 * THOU, 0.95, "Top", "box.top", aim=1.2 * THOU)
    every = carry_of(1.5 * THOU, CIRCLE)
    assert closed("carry", JOB, carried(*[every] * 6)).moves == ()
    outcome = closed("carry", JOB._replace(need=need), carried(*[every] * 6))
    assert len(outcome.moves) == 6
    assert all(one.startswith("Lower") and one.endswith("by 0.3 thou.") for one in outcome.moves)


def test_every_end_of_four_knives_is_told_its_move() -> None:
    """Eight ends, each too high: none is left standing, or the next cut is as bad as this one."""
    four = {f"knife{number}_{end}": "9 mm" for number in (1, 2, 3, 4) for end in ("front", "back")}
    outcome = closed("carry", JOB, carried(*[9.0] * 6) | four | {"knives": "four"})
    assert len(outcome.moves) == len({one.partition(" by ")[0] for one in outcome.moves}) == 8


def test_what_is_moved_goes_by_the_mean_of_the_sets() -> None:
    """Knife 1 in front found 5 thou high, then 4: it is lowered to the middle from 4.5."""
    sets = [
        take(METHOD, JOB, carried(carry_of(high * THOU, CIRCLE), *[3.21] * 5) | CIRCLED)
        for high in (5.0, 4.0)
    ]
    outcome = METHOD.evaluate(JOB, sets)
    assert outcome.estimate.error == pytest.approx(4.5 * THOU, rel=0.01)
    assert outcome.moves == ("Lower knife 1 at the front by 3.0 thou.",)


def test_the_one_knife_that_may_be_set_is_named() -> None:
    """Off by less than is worth setting, but told: no jack screw of six is meant by its name."""
    wide = JOB._replace(
        tolerance=Tolerance(0.0, 12 * THOU, "0 to 12 thou", "length"),
        adjuster=Screw(0.8, 0.0, "toward"),
    )
    middle, off = carry_of(6 * THOU, CIRCLE), carry_of(8 * THOU, CIRCLE)
    outcome = closed("carry", wide, carried(*[middle] * 3, off, *[middle] * 2))
    (said,) = correction_lines(wide, outcome)[1:]
    assert said.startswith("Lower knife 2 at the back by 2.0 thou: its jack screw clockwise")


def test_the_lowest_knife_is_raised_by_its_own_screw() -> None:
    """4.5 thou below the table, wanted 1.5 above it."""
    answers = {"care": "understood", "knives": "low", "below.goes": ".004", "below.refused": ".005"}
    job = JOB._replace(adjuster=Screw(0.8, 0.0, "toward"))
    outcome = closed("carry", job, answers)
    (said,) = correction_lines(job, outcome)
    assert said.startswith("Raise the lowest knife by 6.0 thou: its jack screw anticlockwise")


def test_in_the_work_shows_the_knife_that_stands_highest() -> None:
    """It cuts the surface: one knife near the table, judged as farthest off, does not hide it."""
    low, high = carry_of(0.5 * THOU, CIRCLE), carry_of(5.0 * THOU, CIRCLE)
    wide = JOB._replace(tolerance=Tolerance(0.0, 6 * THOU, "0 to 6 thou", "length"))
    outcome = closed("carry", wide, carried(low, low, high, high, high, high))
    assert outcome.estimate.error == pytest.approx(0.5 * THOU, abs=1e-3)
    assert outcome.in_work.centre == pytest.approx(5.0 * THOU, abs=1e-3)
    need = Need(3 * THOU, 0.95, "Top", "box.top", aim=THOU)
    assert not is_met(wide._replace(need=need), outcome)


def test_a_low_knife_is_raised() -> None:
    """Barely touched: 0, below the middle."""
    outcome = closed("carry", JOB, carried(3.4, 3.4, 3.4, 3.4, 0.0, 3.4))
    assert outcome.moves == ("Raise knife 3 at the front by 1.5 thou.",)


def test_a_knife_below_the_table_is_read_with_leaves() -> None:
    """It carries nothing: the gap under the rule, downward."""
    answers = {"care": "understood", "knives": "low", "below.goes": ".004", "below.refused": ".005"}
    outcome = closed("carry", JOB, answers)
    assert outcome.estimate.error == pytest.approx(-4.5 * THOU)
    assert outcome.verdict == "out"
    assert "below" in outcome.lean


def test_a_carry_that_the_circle_does_not_allow_is_refused() -> None:
    """2 in on a 3 in circle: that knife is named, nothing is recorded."""
    done = walked("carry", JOB, carried(3.4, 3.4, 3.4, 50.8, 3.4, 3.4))
    refused_at_the_end(done, "knife 2 at the back: a carry of 2.00 in is longer")


def test_one_carry_far_from_the_others_is_refused() -> None:
    """Seven times the rest: read again."""
    done = walked("carry", JOB, carried(3.4, 3.4, 3.4, 24.0, 3.4, 3.4))
    refused_at_the_end(done, "knife 2 at the back: carried far longer")


def test_the_number_of_knives_is_what_the_screen_says() -> None:
    """Every option by its number and by its word is the option that was shown: no figure mixes."""
    pick = next(
        step
        for step, _ in walked("carry", JOB, carried(*[3.4] * 6)).answered
        if step.key == "knives"
    )
    assert isinstance(pick, Choice)
    for number, option in enumerate(pick.options, 1):
        assert pick.accept(str(number)) == option.value == pick.accept(option.value)
    assert [pick.accept(figure) for figure in "234"] == ["two", "three", "four"]


@pytest.mark.parametrize(("word", "knives"), [("two", 2), ("four", 4)])
def test_two_and_four_knives_are_asked_for(word: str, knives: int) -> None:
    """As many carries as there are ends."""
    said = {f"knife{n}_{end}": "3.4 mm" for n in range(1, 5) for end in ("front", "back")}
    done = walked("carry", JOB, {"care": "understood", "knives": word, **said})
    assert done.step is None
    assert sum(key.startswith("knife") for key in done.answers) == 2 * knives


def test_the_plug_comes_first_and_steps_fit() -> None:
    """Near a cutter the plug is asked about before anything else."""
    job = JOB._replace(cutter_near=True)
    done = walked("carry", job, {"unplugged": "plug out", **carried(*[3.4] * 6)})
    assert done.step is None
    assert done.answered[0][0].key == "unplugged"
    fits([step for step, _ in done.answered])
    assert METHOD.best(JOB).error == pytest.approx(1.5 * THOU, rel=1e-6)


@pytest.mark.parametrize(
    ("given", "name", "unit", "value"),
    [
        (("carry=1/8 in", "circle=3 in"), "height", "thou", 1.3026),
        (("carry=1/8 in", "circle=4 in"), "height", "thou", 0.9768),
        (("carry=3 mm", "circle=70 mm"), "height", "mm", 0.0321576),
        (("height=1 thou", "circle=3 in"), "carry", "in", 0.10953),
        (("height=2 thou", "circle=3 in"), "carry", "in", 0.15487),
    ],
)
def test_reckon_both_ways(
    given: tuple[str, ...], name: str, unit: str, value: float, program: Program
) -> None:
    """Derived."""
    told = json.loads(program.bare("reckon", "carry", *given, "--json").out)
    assert told[name][unit] == pytest.approx(value, rel=5e-5)
    assert math.isfinite(told["uncertainty"]["standard"]["mm"])


@pytest.mark.parametrize(
    ("given", "why"),
    [
        (("carry=4 in", "circle=3 in"), "carry: it is longer than the cutting circle allows"),
        (("height=2 in", "circle=3 in"), "height"),
        (("carry=1/8 in", "height=1 thou", "circle=3 in"), "one of them"),
        (("circle=3 in",), "one of them"),
        (("carry=1/8 in",), "circle= is missing"),
        (("carry=1/8 in", "circle=0"), "circle"),
    ],
)
def test_reckon_names_what_is_wrong(given: tuple[str, ...], why: str, program: Program) -> None:
    """One sentence, exit code 2."""
    ran = program.bare("reckon", "carry", *given)
    assert ran.code == 2
    assert why in ran.err
