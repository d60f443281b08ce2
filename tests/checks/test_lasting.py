"""What is true is weighed by how it wanders: left, set nearer to the middle, or checked soon."""

from __future__ import annotations

import math
import random

import pytest

from shopboard.checks.advice import correction_lines
from shopboard.checks.job import CheckContext, Wanders
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import Change, Wander, learn
from shopboard.metrology.drift_words import days_words
from shopboard.metrology.due import holds
from tests.builders import SCREW, Person, follow, found, make_job


def thou(per_ft: float) -> float:
    return math.atan(per_ft / 12_000)


LIMITS = Tolerance(-thou(21), thou(21), "21 thou/ft")


def wanders(each_90_days: float, every: int, running: float | None = None) -> Wanders:
    """Twelve changes of so many thou/ft in 90 days each, or in so much running in minutes."""
    chance = random.Random(1)
    changes = []
    for _ in range(12):
        ran = running and running * chance.uniform(0.3, 3)
        moved = thou(each_90_days) * (ran / running if running and ran else 1)
        changes.append(Change(90.0, ran, moved + chance.gauss(0, thou(0.3)), thou(0.3)))
    wander = learn(changes, LIMITS, every)
    assert isinstance(wander, Wander)
    return Wanders(wander, every, 0.05)


def job(known: Wanders | None) -> CheckContext:
    return make_job(adjuster=SCREW, tolerance=LIMITS, wanders=known)


def said(error: float, known: Wanders | None) -> str:
    """What is advised where the leaves find about so many thou/ft; it is true in each case."""
    outcome = found(follow(job(known), Person(thou(error))))
    assert outcome.verdict == "true"
    return " ".join(correction_lines(job(known), outcome))


@pytest.mark.parametrize("error", [14, -14])
def test_what_wanders_out_soon_is_good_for_longer_from_the_middle(error: float) -> None:
    """As it stands, and set right: both times are those that such a result would be due by."""
    known = wanders(math.copysign(6, error), 365)
    told = said(error, known)
    outcome = found(follow(job(known), Person(thou(error))))
    spread = outcome.estimate.spread
    stands, fresh = (
        holds(known.wander, spread._replace(centre=centre), LIMITS, 365).days
        for centre in (spread.centre, 0.0)
    )
    assert stands is not None
    assert fresh is not None
    assert 6 * stands < fresh < 365
    assert (
        f"5 % chance of being out in {days_words(stands)}; set to the middle, it is good for"
        in told
    )
    assert f"good for {days_words(fresh)}. Turn" in told


def test_what_is_not_told_from_the_middle_but_wanders_is_checked_soon_not_left() -> None:
    """Setting gains nothing; "leave it" beside "may be out" would be no advice."""
    told = said(0, wanders(20, 365))
    assert told.startswith("Setting it gains nothing now.")
    assert told.endswith("weeks: check by then.")
    assert "Leave it" not in told
    assert said(0, None).startswith("Leave it. It is true")


def test_what_wanders_toward_the_middle_is_good_for_longer_as_it_stands() -> None:
    """From +15 at -2 in 90 days it goes through the middle first; from -15 at +6 as well."""
    for error, rate, every in ((14, -2, 180), (-14, 6, 365)):
        told = said(error, wanders(rate, every))
        assert "it drifts toward the middle by itself: left alone it is good for longer" in told


def test_where_no_wander_limits_it_the_middle_is_better_all_the_same() -> None:
    """Due in two months anyway, or nothing known: no time is made up."""
    for known in (None, wanders(2, 60)):
        told = said(14, known)
        assert "; setting it to the middle makes it good for longer. Turn" in told
        assert "may be out" not in told


def test_a_wander_by_running_is_told_in_hours() -> None:
    told = said(14, wanders(6, 365, running=1800))
    assert "5 % chance of being out after " in told
    assert "it is good for" in told
    assert told.count("h of running") == 2
