"""A study of the hand: ten readings, one result, and what they tell; against plain statistics."""

from __future__ import annotations

import math
import random
import statistics
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.checks import registry
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import hand_words
from shopboard.checks.steps import Choice, Finding, Number
from shopboard.checks.study import (
    COARSEST,
    coarseness,
    foreword,
    studied,
    study_method,
    study_words,
    tells_from,
)
from shopboard.checks.walk import walk
from shopboard.journal import SqliteJournal, open_journal
from shopboard.metrology.instruments import Drawer, FeelerSet
from shopboard.metrology.own_hand import LEAF, OwnHand, learnt, pairs_of
from shopboard.results.own_hand import own_hands
from shopboard.results.record import read_check
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from tests.builders import Person, make_job, make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.results.test_own_hand import DIAL, SHOP, SWEEP

SQUARE = make_shop(make_point(cutter_near=True))


@pytest.fixture
def journal(tmp_path: Path) -> Iterator[SqliteJournal]:
    with closing(open_journal(tmp_path / "journal.sqlite3", Clock())) as opened:
        yield opened


def read_at_the_dial(sitting: CheckSitting, fronts: list[float], most: int = 200) -> Outcome | None:
    """Answer a study of a sweep, whose front reads these, one after the other."""
    outcome, left = None, iter(fronts)
    while most and (step := sitting.step) is not None:
        most -= 1
        said = "done"
        if isinstance(step, Choice):
            said = step.default or step.options[0].value
        elif isinstance(step, Number):
            front = step.key.endswith("front")
            said = f"{next(left):.4f} mm" if front else (step.default or "0 mm")
        elif isinstance(step, Finding):
            outcome = step.outcome
        sitting.answer(said)
    return outcome


def test_ten_readings_are_one_result_their_mean_with_their_scatter(journal: SqliteJournal) -> None:
    """GUM 4.2.3 (JCGM 100): the mean of n readings is known to s / sqrt(n), n - 1 degrees."""
    rng = random.Random(11)
    fronts = [round(rng.gauss(0.08, 0.03), 4) for _ in range(10)]
    sitting = start(journal, SHOP, SWEEP, study=True)
    outcome = read_at_the_dial(sitting, fronts)
    assert outcome is not None
    assert outcome.estimate.error * 250 == pytest.approx(statistics.fmean(fronts), rel=1e-5)
    scatter = outcome.estimate.budget.sources[-1]
    assert scatter.dof == 9
    assert scatter.u * 250 == pytest.approx(statistics.stdev(fronts) / 10**0.5, rel=1e-5)
    entries = journal.recent("check", "saw", "slot")
    assert len(entries) == 1
    assert "With a dial you repeat to 2." in read_check(entries[0]).note
    (hand,) = own_hands(journal, SHOP)
    assert (hand.sort, hand.pairs) == ("dial", 9)
    usual = 0.010  # mm that a sweep is taken to repeat to
    assert hand.ratio * usual == pytest.approx(statistics.stdev(fronts), rel=0.25)
    assert hand.counts


def test_readings_that_agree_leave_what_is_usual(journal: SqliteJournal) -> None:
    outcome = read_at_the_dial(start(journal, SHOP, SWEEP, study=True), [0.08] * 10)
    assert outcome is not None
    assert (
        "They agree as well as the divisions can tell: the usual value stays in use."
        in outcome.note
    )
    assert own_hands(journal, SHOP) == ()


def test_the_verdict_is_the_shops_and_each_gap_is_read_as_finely_as_leaves_allow(
    journal: SqliteJournal,
) -> None:
    """The bracket of a whole check may be coarse; that of a study is the finest of these leaves."""
    point = SQUARE.points["saw.blade"]
    sitting, person = start(journal, SQUARE, point, study=True), Person(0.0003)
    outcome = None
    while (step := sitting.step) is not None:
        outcome = step.outcome if isinstance(step, Finding) else outcome
        sitting.answer(person.answer(step, sitting.job))
    assert outcome is not None
    assert outcome.verdict == "true"
    assert outcome.level == SQUARE.proof_level
    gap = outcome.readings["gap_nm"]
    assert isinstance(gap, list)
    assert gap[1] - gap[0] <= 25_400  # one thou: these leaves, stacked, have steps of half and one


def test_a_study_that_was_left_goes_on_as_one(journal: SqliteJournal) -> None:
    sitting = start(journal, SHOP, SWEEP, study=True)
    read_at_the_dial(sitting, [0.08, 0.09, 0.07], most=12)
    begun = journal.get(sitting.uid)
    assert begun is not None
    again = resume(journal, SHOP, SWEEP, begun, Clock()())
    assert again is not None
    assert again.step is not None
    assert sitting.step is not None
    assert again.step == sitting.step
    assert "of 10" in again.step.lines[0]


def test_what_is_cut_or_only_looked_at_tells_nothing_of_the_hand(journal: SqliteJournal) -> None:
    shop: Shop = make_shop(make_point(checks=("flip",), sizes={"width": 90.0, "length": 90.0}))
    with pytest.raises(NotPossibleError, match="says nothing about how well your hand repeats"):
        start(journal, shop, shop.points["saw.blade"], study=True)


def test_no_figure_is_told_of_a_hand_that_is_not_gone_by() -> None:
    """Who is told the likeliest figure takes it for a finding, however little speaks for it.

    A gap at the edge of a leaf goes now and then: that looks like many times what is usual.
    """
    few = OwnHand("leaf", 9.5, 3.5, 9)
    assert "9.5" not in hand_words(few)
    assert "feeler leaves" in hand_words(few)
    assert "the usual value stays in use." in hand_words(few)
    assert "to 2.0 times what is usual" in hand_words(few._replace(ratio=2.0, dof=9.0))


def told_of(coarse: float, rough: float, trials: int = part(60)) -> float:
    """Simulated: how often ten readings of a hand so rough are gone by; in units of a usual one."""
    rng, told = random.Random(f"{coarse} {rough}"), 0
    for _ in range(trials):
        at, step = rng.uniform(0, 2 * coarse), 2 * coarse
        felt = (at + rng.gauss(0, rough) for _ in range(10))
        errors = [(math.floor(one / step) + 0.5) * step for one in felt]
        hand = learnt(LEAF, pairs_of(errors, [coarse] * 10, 1.0))
        told += hand is not None and hand.counts
    return told / trials


@pytest.mark.parametrize("coarse", [0.2, 0.5, 0.8, 1.25, 1.8, 2.5, 3.2])
def test_what_is_said_before_the_ten_readings_is_what_they_tell(coarse: float) -> None:
    """So rough a hand is told in most trials, a usual one hardly where that is said."""
    times = tells_from(coarse)
    assert told_of(coarse, times or 1.0) > 0.7
    if times > 1:
        assert told_of(coarse, 1.0) < 0.5
    if times > 2:
        assert told_of(coarse, 1.0) < 0.1


def test_beyond_the_coarsest_they_tell_of_no_hand() -> None:
    """Steps of nine times what a hand repeats to, as of 0.05 mm leaves and a usual hand."""
    assert told_of(2 * COARSEST, 1.0) == 0
    assert told_of(2 * COARSEST, 4.0) < 0.2


def leaves_of(step: float, most: int = 1) -> FeelerSet:
    thick = tuple(round(0.03 + step * at, 4) for at in range(int(0.4 / step)))
    return FeelerSet("leaves", "Leaves", thick, 0.003, most, "mm")


def with_leaves(step: float) -> CheckContext:
    drawer = make_job().drawer._replace(feelers=(leaves_of(step),))
    return make_job(drawer=drawer, unit="mm")


def test_before_the_first_reading_it_says_how_little_they_tell() -> None:
    """Steps of 0.01 mm, a hand that is taken to repeat to 0.004 mm: half a step is 1.25 of it."""
    square, job = registry.method("square"), with_leaves(0.01)
    way = studied(square)
    first = walk(way, job, {"tools": ""}).step
    assert first is not None
    assert first.key == "place"
    words = " ".join(first.lines)
    assert "Reading 1 of 10." in words
    assert "whether your readings scatter 3 times the usual" in words
    then = walk(way, job, {"tools": "", "place": ""}).step
    assert then is not None
    assert "rough" not in " ".join(then.lines)
    assert "whether your readings scatter 3 times the usual" in study_words(square, job)


def test_where_the_steps_are_fine_nothing_is_held_back() -> None:
    square, job = registry.method("square"), with_leaves(0.0025)
    assert foreword(square, job) == ()
    assert study_words(square, job).endswith("what your own hand repeats to")


def test_where_they_tell_nothing_ten_readings_are_not_offered() -> None:
    square, job = registry.method("square"), with_leaves(0.05)
    assert study_method(job, ("square",)) == ""
    assert foreword(square, job) == (
        "They say nothing about your hand here: the leaves are too far apart.",
    )


def test_of_two_methods_that_which_reads_finer_is_offered() -> None:
    """Leaves of 0.03 mm, or an indicator."""
    drawer = Drawer(make_job().drawer.squares, (leaves_of(0.03),), (), (DIAL,))
    job = make_job(drawer=drawer, unit="mm")
    names = ("square", "sweep")
    coarse = {name: coarseness(registry.method(name), job) for name in names}
    assert coarse["sweep"] < coarse["square"]
    assert study_method(job, names) == study_method(job, names[::-1]) == "sweep"
