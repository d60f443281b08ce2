"""A check that is made for a piece of work: read and set to what that asks, not only the shop file.

That a glue-up's share of a gap may be tighter than the tolerance of the machine follows from the
geometry of the joint alone; the numbers here are a job's own.
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks import registry
from shopboard.checks.advice import correction_lines
from shopboard.checks.job import CheckContext
from shopboard.checks.need import Need, need_kept, need_read, set_to
from shopboard.checks.steps import Choice, Finding, Number
from shopboard.checks.tools import take_tools
from shopboard.checks.walk import Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import FeelerSet, Square
from tests.builders import DRAWER, INCH, SCREW, Person, follow, make_job

FINE = Square("fine", "Fine square", 6 * INCH, 0.0)
TEN_THOU = Tolerance(-math.atan(10 / 12_000), math.atan(10 / 12_000), "10 thou/ft")


def thou_per_foot(thou: float) -> float:
    return math.atan(thou / 12_000)


def for_staves(thou: float = 4.0, **changes: Any) -> CheckContext:
    """A point that the staves want within so many thou per foot; the shop file allows 10."""
    drawer = DRAWER._replace(squares=(FINE,))
    need = Need(thou_per_foot(thou), 0.95, "Staves", "bucket.staves")
    job = make_job(tolerance=TEN_THOU, adjuster=SCREW, drawer=drawer, need=need)
    return job._replace(**changes)


def asked_next(done: Walk) -> Choice | None:
    step = next((step for step, _ in done.answered if step.key == "next"), None)
    assert step is None or isinstance(step, Choice)
    return step


def first(done: Walk) -> Finding:
    return done.findings[0]


def test_true_for_the_shop_file_is_not_left_where_the_work_wants_more() -> None:
    """5 thou a foot are true of 10, and too much for staves that want 4: it can be set right."""
    job = for_staves()
    done = follow(job, Person(thou_per_foot(5), then=(0.0,)))
    outcome = first(done).outcome
    assert outcome.verdict == "true"
    words = " ".join(correction_lines(job, outcome))
    assert "True, but not good enough for Staves: 4.0 thou/ft" in words  # told, not open
    assert "Leave it" not in words
    question = asked_next(done)
    assert question is not None
    assert question.default == "adjust"
    assert [one.run for one in done.findings] == ["as-found", "as-left"]
    left = " ".join(correction_lines(job, done.findings[1].outcome))
    assert "Good for Staves: 4.0 thou/ft." in left


def test_without_the_work_setting_the_same_point_is_only_offered() -> None:
    question = asked_next(follow(for_staves(need=None), Person(thou_per_foot(5))))
    assert question is None or question.default == "done"


def test_leaves_are_tried_until_the_work_is_decided() -> None:
    """At 3.2 thou a foot one leaf proves the shop file's 10; for 4 it takes finer ones."""
    person = Person(thou_per_foot(3.2))
    coarse = first(follow(for_staves(need=None, adjuster=None), person)).outcome
    fine = first(follow(for_staves(adjuster=None), person)).outcome
    assert fine.estimate.budget.expanded < coarse.estimate.budget.expanded


def test_for_work_those_tools_are_taken_that_prove_most_once_it_is_set_right() -> None:
    """Its gap is nought then: a thinner leaf tells more of it than many that lie close together."""
    close = FeelerSet("close", "Close leaves", tuple(0.03 + 0.005 * at for at in range(12)))
    thin = FeelerSet("thin", "One thin leaf", (0.01, 0.09))
    drawer = DRAWER._replace(squares=(FINE,), feelers=(close, thin))
    assert take_tools(for_staves(need=None, drawer=drawer)).default == "fine with close"
    assert take_tools(for_staves(drawer=drawer)).default == "fine with thin"


def test_what_no_setting_would_prove_is_said() -> None:
    """A leaf of 1.5 thou over 6 inches cannot prove half a thou a foot."""
    job = for_staves(0.5)
    done = follow(job, Person(0.0))
    words = " ".join(correction_lines(job, first(done).outcome))
    assert "Not proven good for Staves" in words or "not proven good for Staves" in words
    assert "no setting would prove that" in words


def test_it_is_set_to_the_aim_within_the_tolerance() -> None:
    """The shop file allows 0 to 10: what is set to is not its middle, 5, which the work forbids."""
    one_sided = TEN_THOU._replace(low=0.0, typed="0 to 10 thou/ft")
    need = Need(thou_per_foot(4), 0.95, "Staves", aim=thou_per_foot(2))
    job = for_staves(tolerance=one_sided, need=need)
    assert job.worked_to.high == pytest.approx(thou_per_foot(4))
    assert job.set_to.middle == pytest.approx(thou_per_foot(2))
    assert job.set_to.low >= 0


def test_where_no_value_suits_both_the_work_counts() -> None:
    far = Tolerance(thou_per_foot(6), thou_per_foot(9), "6 to 9 thou/ft")
    band = Need(thou_per_foot(4), 0.95, "Staves").band(far, "inch")
    assert (band.low, band.high) == (-thou_per_foot(4), thou_per_foot(4))
    assert set_to(None, far) == far


@given(
    st.floats(1e-6, 0.1),
    st.floats(0.5, 0.999),
    st.text(max_size=20),
    st.floats(-0.05, 0.05),
)
def test_it_is_kept_and_read_back(size: float, level: float, whom: str, aim: float) -> None:
    need = Need(size, level, whom, "bucket.staves", "over a test board", aim)
    again = need_read(need_kept(need, "angle"), "angle")
    assert again is not None
    assert again._replace(size=size, level=level, aim=aim) == need
    assert again.size == pytest.approx(size, abs=1e-9)
    assert again.aim == pytest.approx(aim, abs=1e-9)


@pytest.mark.parametrize(
    "changes",
    [{"size": 0}, {"size": "4"}, {"unit": "nm"}, {"level_ppm": 1_000_000}, {"level_ppm": None}],
)
def test_what_is_no_need_is_none(changes: dict[str, object]) -> None:
    """What another program wrote may be anything: then the check is made for nothing special."""
    kept = {**need_kept(Need(1e-3, 0.95, "Staves"), "angle"), **changes}
    assert need_read(kept, "angle") is None
    assert need_read("staves", "angle") is None


def test_a_larger_error_never_meets_a_need_that_a_smaller_one_misses() -> None:
    """Independent of the program's own sums: normal errors drawn by scipy."""
    from scipy.stats import norm

    outcome = first(follow(for_staves(), Person(thou_per_foot(5)))).outcome
    for error in (0.0, 1e-4, 2e-4, 4e-4, 1e-3):
        estimate = replace(outcome).estimate._replace(error=error)
        spread = estimate.spread
        need = Need(thou_per_foot(4), 0.95, "Staves")
        sure = norm.cdf(need.size, error, spread.u) - norm.cdf(-need.size, error, spread.u)
        if abs(sure - 0.95) > 0.05:  # its even parts are not normal
            assert need.is_met(spread) == (sure >= 0.95 and error <= need.size)


def test_the_size_of_the_board_is_asked_with_what_it_takes() -> None:
    """Enter alone means the usual board: it is said beside it that a wider one is wanted."""
    need = Need(thou_per_foot(1), 0.95, "Staves", how="over a test board 9 in wide or more")
    sizes = {"width": 6 * INCH}
    job = make_job(tolerance=TEN_THOU, sizes=sizes, need=need)
    flip = registry.method("flip")
    answers: dict[str, str] = {}
    for _ in range(12):
        step = walk(flip, job, answers).step
        assert step is not None
        if isinstance(step, Number) and step.key == "width":
            assert "over a test board 9 in wide or more" in " ".join(step.lines)
            return
        answers[step.key] = "1" if isinstance(step, Choice) and not step.default else ""
    raise AssertionError("the width was never asked")
