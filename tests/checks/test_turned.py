"""How far a screw was turned: what is hard to believe is questioned; the sum behind the turn."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from shopboard.checks import registry
from shopboard.checks.advice import correction_lines
from shopboard.checks.contradiction import Recheck
from shopboard.checks.correction_working import correction_working
from shopboard.checks.job import CheckContext
from shopboard.checks.steps import AnswerError, Number, Step
from shopboard.checks.walk import StepError, Walk, walk
from shopboard.metrology.adjuster import Screw, Shim, Slot
from shopboard.metrology.limits import parse_limits
from tests.builders import INCH, SCREW, Person, follow, found, make_job

LEFT = {"left.light": "none", "left.both": "neither"}
OUT = {"light": "top", "goes": "0.012 in", "refused": "0.015 in", "next": "adjust"}
"""13.5 thou over 6 in: over an arm of 18 in that is 40.5 thou, by 20 tpi .81 turn, 292 degrees."""


def at_the_screw(**changes: Any) -> CheckContext:
    return make_job(adjuster=SCREW, **changes)


def typed(job: CheckContext, *said: tuple[str, str]) -> Walk:
    """A check from a file that says this of the turn."""
    return walk(registry.method("square"), job, {**OUT, **LEFT, **dict(said)}, from_file=True)


def asks(done: Walk) -> Step:
    assert done.step is not None
    return done.step


@pytest.mark.parametrize("said", ["3", "3 turns", "1/8", "45 deg", "20 deg", "2 1/2"])
def test_a_turn_that_is_hard_to_believe_is_questioned_before_it_is_used(said: str) -> None:
    """Advised are 292 degrees: three times as much, or a third, is a slip of the unit."""
    step = asks(typed(at_the_screw(), ("left.turned_by", said)))
    assert step.key == "left.turned_sure1"
    assert isinstance(step, Recheck)
    assert step.default == "again"
    assert "292°" in " ".join(step.lines)
    assert ("whole turns" in " ".join(step.lines)) == (said == "3")


@pytest.mark.parametrize("said", ["292 deg", "3/4", "1", "1 1/4", "2", "1/2", "0"])
def test_what_a_hand_may_well_have_done_is_not_questioned(said: str) -> None:
    """And 0: it was not turned."""
    done = walk(
        registry.method("square"),
        at_the_screw(),
        {**OUT, **LEFT, "left.turned_by": said},
        from_file=True,
    )
    assert done.step is None
    assert not any("turned_sure" in key for key in done.answers)


def test_twice_what_is_advised_may_be_typed_and_no_more() -> None:
    """By 0.1 mm a turn it takes 10.3; where it takes fewer than ten, twenty may be typed."""
    for pitch in (0.1, 1.27):
        job = make_job(adjuster=SCREW._replace(pitch=pitch))
        done = follow(job, Person(0.00225, then=(0.0,)))
        step = next(step for step, _ in done.answered if step.key == "left.turned_by")
        assert isinstance(step, Number)
        advised = float(str(step.default).removesuffix(" deg")) / 360
        assert advised == pytest.approx(0.00225 * 18 * INCH / pitch, rel=0.02)
        most = max(20.0, 2 * advised)
        step.accept(f"{0.99 * most:.3f} turns")
        with pytest.raises(AnswerError):
            step.accept(f"{1.01 * most:.3f} turns")


def test_said_again_it_is_what_was_said_last_that_counts() -> None:
    """Three meant 3/8; the same said twice was meant."""
    job = at_the_screw()
    slip = ("left.turned_by", "3"), ("left.turned_sure1", "again")
    assert typed(job, *slip).answers["left.turned_by2"] == "292 deg"  # Enter alone: as advised
    for last, turned in (("5/8", 0.625), ("3", 3.0)):
        answers = {**OUT, **LEFT, **dict(slip), "left.turned_by2": last}
        done = walk(registry.method("square"), job, answers, from_file=True)
        assert done.step is None
        screw = done.findings[1].outcome.readings["screw"]
        assert isinstance(screw, dict)
        assert screw["turns"] == turned
        kept = "Kept on purpose: turned 3 turns (1080°), advised 292°"
        assert (kept in done.findings[1].outcome.note) == (last == "3")
    assert asks(typed(job, *slip, ("left.turned_by2", "1/8"))).key == "left.turned_sure2"


def test_a_file_of_answers_must_say_that_it_is_so() -> None:
    """Nothing is assumed; with the word it goes on."""
    answers = {**OUT, **LEFT, "left.turned_by": "3"}
    done = walk(registry.method("square"), at_the_screw(), answers, from_file=True)
    assert isinstance(done.step, Recheck)
    assert "292°" in done.step.refusal
    kept = {**answers, "left.turned_sure1": "keep"}
    assert walk(registry.method("square"), at_the_screw(), kept, from_file=True).step is None
    with pytest.raises(StepError):
        walk(
            registry.method("square"),
            at_the_screw(),
            {**answers, "left.turned_sure1": "yes"},
            from_file=True,
        )


def test_the_working_shows_how_the_turn_follows_from_screw_and_arm() -> None:
    """13.5 thou over 6 in, times 18 in, is 40.5 thou; by .050 in a turn .81 turn, 292 degrees."""
    done = typed(at_the_screw())
    lines = correction_working(at_the_screw(), done.findings[0].outcome)
    told = " ".join(lines)
    assert "x 18 in (from pivot to screw) = 0.0405 in" in told
    assert "one turn moves it 0.050 in, by its thread" in told
    assert "turn = 0.0405 in / 0.050 in = 0.810 = 292°" in told
    assert "clockwise" in told


def test_the_working_goes_by_what_the_screw_really_did() -> None:
    """2.54 mm a turn, it was seen, twice its thread: half the turns."""
    job = at_the_screw(mm_per_turn=2.54)
    told = " ".join(correction_working(job, typed(job).findings[0].outcome))
    assert "one turn moved it 0.100 in before; by its thread it would 0.050 in" in told
    assert "turn = 0.0405 in / 0.100 in = 0.405" in told


def test_what_is_to_be_turned_says_where_it_goes_by_what_the_screw_did() -> None:
    """By hand 0.0405 in by a thread of 0.050 in is 292 degrees, not the 146 that are told."""
    for job, says in ((at_the_screw(mm_per_turn=2.54), True), (at_the_screw(), False)):
        told = " ".join(correction_lines(job, typed(job).findings[0].outcome))
        assert ("it moves 41 thou, at 100 thou a turn as it moved before." in told) is says, told


@pytest.mark.parametrize(
    ("adjuster", "says"),
    [
        (Slot(24 * INCH), r"x 24 in \(from the snug bolt to that end\) = 0.054 in"),
        (Shim(2 * INCH, "upper", "lower"), r"x 2 in \(between the seats\) = 0.0045 in"),
    ],
)
def test_slots_and_shims_have_their_sum_too(adjuster: Slot | Shim, says: str) -> None:
    """13.5 thou over 6 in, times the length that it turns over."""
    job = make_job(adjuster=adjuster)
    assert re.search(says, " ".join(correction_working(job, typed(job).findings[0].outcome)))


def test_a_length_at_the_screw_itself_has_no_lever() -> None:
    """A gap of 12.5 thou, wanted between 2 and 5: 9 thou too much, by 1 mm a turn 82 degrees."""
    job = make_job(
        tolerance=parse_limits("2 to 5 thou"),
        unit="mm",
        adjuster=Screw(1.0, 0.0, "toward", name="the set screw"),
    )
    answers = {"light": "yes", "goes": "12 thou", "refused": "13 thou"}
    done = walk(registry.method("leaf-gap"), job, answers, from_file=True)
    told = " ".join(correction_working(job, done.findings[0].outcome))
    assert "away from the middle = +0.318 mm less +0.089 mm = +0.229 mm" in told
    assert "with no arm in between" in told
    assert "= 0.229 = 82°" in told


def test_where_nothing_is_moved_there_is_no_sum() -> None:
    """True and not told from the middle: without a correction the working is as it was."""
    job = at_the_screw()
    assert correction_working(make_job(), found(follow(make_job(), Person(0.0)))) == ()
    true = found(follow(job, Person(0.0)))
    assert correction_working(job, true) == () or math.isclose(true.estimate.error, 0, abs_tol=1e-3)
