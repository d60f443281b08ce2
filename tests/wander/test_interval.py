"""A longer interval is advised where the point keeps within its tolerance, and nowhere else.

Held against points that wander by a known law (a random walk, a steady drift, or none), read with
a known uncertainty: what is the chance that such a point is out at the end of the interval that
was advised is worked out by scipy's normal distribution from its law and from where it truly lies,
none of which the program knows.
"""

from __future__ import annotations

import math
from random import Random
from typing import NamedTuple

import pytest
from scipy.stats import norm

from shopboard.results.record import CheckRecord
from shopboard.wander.changes import PointPast
from shopboard.wander.interval import Interval, interval_of
from shopboard.wander.outlook import ENOUGH, outlook
from tests.builders import make_point
from tests.histories import result
from tests.in_turn import part

EVERY = 91
POINT = make_point(every_days=EVERY, every="3 months", undone_by=("knocked",))
HALF = POINT.tolerance.half_width
RISK = 0.05
U = 20e-6
"""rad, standard uncertainty of a result of `histories`."""


class Law(NamedTuple):
    """How a point truly wanders, in half-widths of its tolerance."""

    walk: float = 0.0
    """Standard deviation after one interval."""
    drift: float = 0.0
    """After one interval."""

    def out(self, start: float, days: float) -> float:
        """Give the chance to be out so many days after it lay at a start, all in half-widths."""
        share = days / EVERY
        middle, sigma = start + self.drift * share, self.walk * math.sqrt(share)
        if not sigma:
            return float(abs(middle) > 1)
        return float(norm.sf(1, middle, sigma) + norm.cdf(-1, middle, sigma))


def lived(law: Law, seed: int, checks: int) -> tuple[Interval | None, float]:
    """Check a point so often and set it right whenever it is half-way out.

    Give what is said of its interval, and where it truly lies at last, in half-widths.
    """
    chance = Random(seed)
    records: list[CheckRecord] = []
    moves: list[int] = []
    at, seq = 0.0, 0

    def read(day: float, run: str) -> None:
        nonlocal seq
        seq += 1
        error = at * HALF + chance.gauss(0, U)
        records.append(result(seq, error, day, run)._replace(verdict="true"))

    for number in range(checks):
        if number:
            at += law.drift + chance.gauss(0, law.walk)
        read(EVERY * number, "as-found")
        if abs(records[-1].error) > HALF / 2:
            seq += 1
            moves.append(seq)
            at = chance.gauss(0, 0.02)
            read(EVERY * number + 0.01, "as-left")
    past = PointPast(records, moves)
    return said(past), at


def said(past: PointPast, *more: CheckRecord) -> Interval | None:
    """Give what is said of the interval, with further results that should not count."""
    newest = max(past.records, key=lambda one: one.seq)
    seen = outlook(POINT, past, newest, RISK)
    return interval_of(POINT, seen, [*past.records, *more], RISK)


CALM = (Law(walk=0.1), Law(drift=0.1), Law(walk=0.05, drift=-0.1))
BETWEEN = (Law(walk=0.25), Law(walk=0.2, drift=0.2), Law(walk=0.1, drift=0.3))
RESTLESS = (Law(walk=0.6), Law(drift=0.8), Law(walk=0.5, drift=0.4))


@pytest.mark.parametrize("law", [*CALM, *BETWEEN, *RESTLESS])
def test_what_is_advised_holds_as_often_as_it_says(law: Law) -> None:
    """Over all shops in which anything is advised it is out no more often than the risk."""
    risks, asked = [], part(60)
    for seed in range(asked):
        found, at = lived(law, seed, 14)
        assert found is not None
        if found.days:
            assert EVERY < found.days <= 2 * EVERY
            risks.append(law.out(at, found.days))
    assert sum(risks) <= RISK * max(len(risks), 1)
    if law in CALM:
        assert len(risks) > 0.7 * asked
    elif law in RESTLESS:
        assert len(risks) < 0.1 * asked


def test_too_few_checks_say_nothing() -> None:
    """However calm: eight changes at the least, which takes nine checks."""
    for checks in range(1, ENOUGH + 1):
        found, _ = lived(Law(), 1, checks)
        assert found is not None
        assert not found.is_enough
        assert not found.days
    found, _ = lived(Law(), 1, ENOUGH + 1)
    assert found is not None
    assert found.is_enough


def test_without_an_interval_there_is_nothing_to_make_longer() -> None:
    bare = POINT._replace(every_days=None, every="")
    record = result(1, 0.0, 0)
    seen = outlook(bare, PointPast([record]), record, RISK)
    assert interval_of(bare, seen, [record], RISK) is None


def calm(count: int = 12) -> PointPast:
    """Hardly ever off: a thousandth of the tolerance to and fro."""
    return PointPast(
        [result(n + 1, (-1) ** n * HALF / 1000, EVERY * n, verdict="true") for n in range(count)]
    )


def test_one_result_is_no_change() -> None:
    found = said(calm(1))
    assert found == Interval(0)


def test_what_was_withdrawn_or_is_of_another_kind_says_nothing() -> None:
    """Each would be the worst of the newest: nothing longer would be left to say."""
    past = calm()
    plain = said(past)
    assert plain is not None
    assert plain.days == 2 * EVERY
    far = result(99, 0.99 * HALF, EVERY * 12, verdict="true")
    assert said(past, far) == plain._replace(days=0)
    assert said(past, far._replace(void="slipped")) == plain
    assert said(past, far._replace(kind="length")) == plain


def test_less_than_a_quarter_more_is_not_worth_saying_and_that_much_is() -> None:
    """A drift that uses up the tolerance in so many intervals, hardly uncertain.

    By hand: from the middle, 0.95 of the half-width after `times` of them.
    """
    for times, is_said in ((1.15, False), (1.5, True), (1.8, True)):
        drift = HALF / times
        records, moves = [], []
        for n in range(12):
            records.append(result(3 * n + 1, drift if n else 0.0, EVERY * n, verdict="true"))
            records.append(result(3 * n + 3, 0.0, EVERY * n + 0.01, "as-left", verdict="true"))
            moves.append(3 * n + 2)
        found = interval_of(
            POINT,
            outlook(POINT, PointPast(records, moves), records[-1], RISK),
            [one for one in records if one.run == "as-left"],
            RISK,
        )
        assert found is not None
        assert bool(found.days) == is_said
        if is_said:
            assert 0.9 * times * EVERY < found.days <= times * EVERY
