"""The sentences that tell how a point wanders and when it is due."""

from __future__ import annotations

import itertools
import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.drift import Change, DriftStep, Wander, learn
from shopboard.metrology.drift_words import (
    days_words,
    due_words,
    longer_words,
    running_words,
    step_words,
    wander_words,
)
from shopboard.metrology.due import Due, holds
from shopboard.metrology.spread import Spread
from shopboard.metrology.trend import Slope
from tests.metrology.wandering import HALF, INTERVAL, TOLERANCE, Wanderer

NEAR_MIDDLE = Spread(0.1 * HALF, (), 0.1 * HALF)


def wander_of(steady: float, walk: float, count: int = 8) -> Wander:
    chance = random.Random(3)
    changes = Wanderer(chance, steady, walk, u=0.05).set_each_time([90.0] * count)
    found = learn(changes, TOLERANCE, INTERVAL)
    assert found is not None
    return found


def test_a_steady_wander() -> None:
    """A rate of 1.2 half-widths of 3 thou/ft in 90 days is 1.2 thou/ft a month."""
    wander = wander_of(1.2, 0.05)
    due = holds(wander, NEAR_MIDDLE, TOLERANCE, INTERVAL)
    assert due.days is not None
    assert 50 < due.days < 63
    assert due_words(wander, due, "angle", "inch", by="14 Mar", every="3 months") == (
        "It drifts about 1.2 thou/ft (1.2 to 1.3) a month over 8 changes between checks"
        "; at that rate, 5 % chance"
        f" of being out by 14 Mar: check every {due.days // 7} weeks."
    )


def test_a_wander_to_and_fro() -> None:
    """A walk of 0.8 half-widths in 90 days is 0.8 * 3 * sqrt(30.4 / 90) = 1.4 thou/ft a month."""
    wander = wander_of(0, 0.8, count=12)
    assert not wander.steady
    said = due_words(wander, Due(20, None, True), "angle", "inch", by="14 Mar")
    size = float(said.split("about ")[1].split()[0])
    assert 1.0 < size < 2.0
    assert said == (
        f"It creeps both ways, about {size} thou/ft a month, over 12 changes between checks"
        "; 5 % chance of being"
        " out by 14 Mar: check every 2 weeks."
    )


def test_the_ends_of_a_rates_interval_are_told_the_one_nearer_to_nothing_first() -> None:
    """However it wanders; and left out where they read alike."""
    wander = wander_of(-1.2, 0.3)
    rate, low, high = (  # 1e-3 rad are 12 thou in a foot
        end * 365 / 12 / 1e-3 * 12 for end in (wander.rate, wander.low, wander.high)
    )
    assert low < -1.2 * 3 / 90 * 365 / 12 < high < 0
    said = wander_words(wander, "angle", "inch", interval=True)
    assert f"about {-rate:.1f} thou/ft ({-high:.1f} to {-low:.1f}) a month" in said
    assert "(" not in wander_words(wander, "angle", "inch")
    alike = wander._replace(low=wander.rate, high=wander.rate)
    assert "(" not in wander_words(alike, "angle", "inch", interval=True)


def test_one_change_is_no_to_and_fro() -> None:
    wander = wander_of(0.8, 0.05, count=1)
    assert not wander.steady
    said = wander_words(wander, "angle", "inch")
    assert said.endswith(" a month, either way, over 1 change between checks")
    assert "fro" not in said


@pytest.mark.parametrize(
    ("found", "way"),
    [
        ((7, 9, 14, 18), "drifted the same way each time, about 7.3 thou/ft a year,"),
        ((18, 14, 9, 7), "drifted the same way each time, about 7.3 thou/ft a year,"),
        ((7, 12, 6, 14), "creeps both ways, about"),
        (
            (7, 13, 11.2, 18),
            "drifted the same way each time, about",
        ),  # 1.8 back; 2.1 is u of a change
        ((7, 13, 10.5, 18), "creeps both ways, about"),
    ],
)
def test_a_few_checks_that_all_went_one_way_are_no_to_and_fro(
    found: tuple[float, ...], way: str
) -> None:
    """11 thou/ft in 18 months are 7.3 a year; what goes up and down is to and fro."""
    errors = [math.atan(thou / 12_000) for thou in found]
    u = math.atan(1.5 / 12_000)
    changes = [
        Change(182.5, None, later - earlier, math.hypot(u, u), shared=u if i else 0.0)
        for i, (earlier, later) in enumerate(itertools.pairwise(errors))
    ]
    limit = math.atan(20.9 / 12_000)
    wander = learn(changes, Tolerance(-limit, limit), 365)
    assert wander is not None
    assert not wander.steady  # three changes do not make a rate sure
    assert wander_words(wander, "angle", "inch").startswith(f"It {way}")


def test_a_slow_wander_is_told_by_the_year_and_the_interval_holds() -> None:
    """0.1 half-widths in 90 days are 0.1 thou/ft a month: 1.2 thou/ft a year tells more."""
    wander = wander_of(0.1, 0.001, count=20)
    due = holds(wander, Spread(0.0, (), 0.05 * HALF), TOLERANCE, INTERVAL)
    said = due_words(wander, due, "angle", "inch", by="14 Mar", every="3 months")
    assert said.startswith("It drifts about 1.")
    assert said.endswith(
        " a year over 20 changes between checks; it should stay in tolerance that long:"
        " the shop file's interval of 3 months applies."
    )
    assert due_words(wander, Due(None, None, False), "angle", "inch", by="14 Mar").endswith(
        " over 20 changes between checks; it should stay in tolerance."
    )


def test_by_running() -> None:
    chance = random.Random(2)
    changes = []
    for _ in range(20):
        minutes = 1800 * 3 ** chance.uniform(-1, 1)
        error = HALF * minutes / 1800 + chance.gauss(0, 0.1 * HALF)
        changes.append(Change(90, minutes, error, 0.1 * HALF))
    wander = learn(changes, TOLERANCE, INTERVAL)
    assert wander is not None
    due = Due(90, 1500, by_wander=True)
    said = due_words(wander, due, "angle", "inch", by="14 Mar", every="3 months")
    size = said.split("about ")[1].split()[0]
    assert 0.9 < float(size) < 1.1  # 3 thou/ft in 30 h
    assert said == (
        f"It drifts about {size} thou/ft in 10 h of running over 20 changes between checks"
        "; at that rate, 5 %"
        " chance of being out after 25 h of running: check by then, or after the shop file's 3"
        " months. Hours run explain it over 100 times better than days do."
    )
    alone = due_words(
        wander._replace(odds=7.9), due._replace(days=None), "angle", "inch", by="14 Mar"
    )
    assert "after 25 h of running: check by then. Hours run explain it 7 times better" in alone


def test_few_checks_say_what_was_taken_beforehand() -> None:
    wander = wander_of(1.5, 0.05, count=2)
    said = due_words(wander, Due(30, None, True), "angle", "inch", by="14 Mar", every="3 months")
    assert " over 2 changes between checks; " in said
    assert said.endswith(": check every 4 weeks. So few changes tell it only roughly.")
    assert "assume" not in said  # within 3 months, where it says 4 weeks
    kept = due_words(wander, Due(90, None, False), "angle", "inch", every="3 months")
    assert kept.endswith(
        "applies. With so few checks, assume that it uses up about half of its tolerance's"
        " width in 3 months at most."
    )
    without = learn([Change(90, None, 2 * HALF, 0.05 * HALF)] * 2, TOLERANCE, None)
    said = due_words(without, Due(None, None, False), "angle", "inch")
    assert said.endswith("width in 12 months at most.")


def test_nothing_shows_and_nothing_known() -> None:
    chance = random.Random(1)
    still = Wanderer(chance, 0, 0)
    due = Due(90, None, by_wander=False)
    for count, checks in ((1, "1 change"), (5, "5 changes")):
        wander = learn(still.set_each_time([90.0] * count), TOLERANCE, INTERVAL)
        assert due_words(wander, due, "angle", "inch", by="14 Mar", every="3 months") == (
            f"No creep or drift shows over {checks} between checks, beyond the uncertainty:"
            " the shop file's interval of 3 months applies."
        )
    assert due_words(None, due, "angle", "inch", by="14 Mar", every="3 months") == (
        "Too few checks yet to tell how it moves: the shop file's interval of 3 months applies."
    )
    none = Due(None, None, by_wander=False)
    assert due_words(None, none, "angle", "inch", by="14 Mar") == (
        "Too few checks yet to tell how it moves."
    )


def test_one_sudden_move_alone_is_no_slow_wander() -> None:
    wander = learn([Change(90, None, 500 * HALF, 0.1 * HALF)], TOLERANCE, INTERVAL)
    assert wander is not None
    assert wander.changes == 0
    due = holds(wander, NEAR_MIDDLE, TOLERANCE, INTERVAL)
    assert due == Due(INTERVAL, None, by_wander=False)
    said = due_words(wander, due, "angle", "inch", by="14 Mar")
    assert said == "No creep or drift is known yet."


def test_a_wander_that_quickens() -> None:
    wander = wander_of(1.2, 0.05)
    per_day = 1e-3 / 12  # 1 thou/ft a month, each year, per day and day
    per_day /= 365 / 12 * 365
    faster = wander._replace(quickening=Slope(per_day, per_day / 2, per_day * 2))
    due = Due(50, None, True)
    said = due_words(faster, due, "angle", "inch", by="14 Mar")
    assert said.endswith(
        " It drifts faster than it used to, each year by 1.0 thou/ft a month (0.5 thou/ft to"
        " 2.0 thou/ft): only the newest checks count."
    )
    slower = wander._replace(quickening=Slope(-per_day, -per_day, -per_day))
    assert due_words(slower, due, "angle", "inch", by="14 Mar").endswith(
        " It no longer drifts as it used to: only the newest checks count."
    )


def test_in_millimetres_with_another_risk() -> None:
    said = due_words(
        wander_of(1.2, 0.05), Due(365, None, True), "angle", "mm", by="31 Jan 2027", risk=0.1
    )
    assert said.startswith(
        "It drifts about 0.10 mm/m (0.10 to 0.11) a month over 8 changes between checks"
    )
    assert "10 % chance of being out by 31 Jan 2027: check every 12 months." in said


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (0, "1 day"), (1, "1 day"), (13, "13 days"), (14, "2 weeks"), (45, "6 weeks"),
        (91, "13 weeks"), (92, "3 months"), (364, "11 months"), (365, "12 months"),
        (730, "2 years"), (1500, "4 years"),
    ],
)  # fmt: skip
def test_a_time_is_never_told_longer_than_it_is(days: int, words: str) -> None:
    assert days_words(days) == words


def test_running_is_told_in_whole_hours() -> None:
    assert [running_words(minutes) for minutes in (59, 60, 119, 2520)] == [
        "1 h of running", "1 h of running", "1 h of running", "42 h of running",
    ]  # fmt: skip


def test_steps() -> None:
    step = DriftStep(3, 4e-3 / 12, 1e-4, "belt changed")
    assert step_words(step, "angle", "inch") == (
        "It moved 4.0 thou/ft more than creep or drift explains: belt changed in between,"
        " probably the cause."
    )
    assert step_words(step._replace(cause="", beside="knocked"), "angle", "inch") == (
        "It moved 4.0 thou/ft more than creep or drift explains: knocked in between, perhaps the"
        " cause, though by the shop file it does not upset the point."
    )
    assert step_words(DriftStep(3, -0.1, 1e-4, ""), "length", "mm") == (
        "It moved 0.100 mm more than creep or drift explains, with nothing recorded in between."
    )


@pytest.mark.parametrize(
    ("days", "than", "words"),
    [
        (119, 91, "17 weeks"),  # rounded down it is three months, and so are 91 days
        (182, 91, "5 months"),
        (230, 183, "7 months"),
        (457, 365, "15 months"),
        (950, 730, "31 months"),
        (1461, 730, "4 years"),
        (35, 28, "5 weeks"),
        (18, 14, "18 days"),
        (9, 7, "9 days"),
    ],
)
def test_a_longer_time_is_written_as_one_that_differs(days: int, than: int, words: str) -> None:
    """By hand: a month has 30.44 days, a year 365.25; in the largest unit that tells it apart."""
    assert longer_words(days, than) == words


@given(st.integers(1, 4000))
def test_a_time_a_quarter_longer_never_reads_as_the_same(than: int) -> None:
    assert longer_words(int(than * 1.25) + 1, than) != days_words(than)
