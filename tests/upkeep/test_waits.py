"""How long a task must still be left alone, by clocks that run, stand, jump and go back."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.upkeep.begun import Begun
from shopboard.upkeep.wait_watch import WaitWatch, left_words, ran_over

START = datetime(2026, 6, 1, 8, tzinfo=UTC)
SOAKING = Begun("b", START, 1, START, 10.0, START)


class Clocks:
    """The computer's clock, and the seconds that never go back."""

    def __init__(self) -> None:
        self.clock = START
        self.seconds = 1000.0

    def watch(self) -> WaitWatch:
        """Look at them as a program does that starts now."""
        return WaitWatch(lambda: self.clock, lambda: self.seconds)

    def pass_by(self, seconds: float) -> None:
        self.clock += timedelta(seconds=seconds)
        self.seconds += seconds


def test_a_wait_runs_down_and_stays_over() -> None:
    """By the time at which its step was recorded."""
    clocks = Clocks()
    watch = clocks.watch()
    for gone, left in ((0, 600), (1, 599), (598, 1), (1, 0), (60, -60)):
        clocks.pass_by(gone)
        assert watch.left(SOAKING) == pytest.approx(left)


def test_where_there_is_no_wait_nothing_is_left() -> None:
    """Before the first step, and after a wait is ended."""
    watch = Clocks().watch()
    assert watch.left(Begun("b", START)) is None
    assert watch.left(SOAKING._replace(wait=0.0)) is None


def test_it_runs_on_over_a_restart() -> None:
    """The other program's start does not matter."""
    clocks = Clocks()
    clocks.watch().left(SOAKING)
    clocks.pass_by(240)
    clocks.seconds = 3.0  # a computer that was started anew counts from its start
    assert clocks.watch().left(SOAKING) == pytest.approx(360)


def test_a_clock_that_stands_or_goes_back_does_not_stop_a_wait() -> None:
    """From when this program first saw it, it takes no longer than it was meant to."""
    clocks = Clocks()
    clocks.clock = START - timedelta(days=100)
    watch = clocks.watch()
    assert watch.left(SOAKING) == pytest.approx(600)
    clocks.seconds += 599
    assert watch.left(SOAKING) == pytest.approx(1)
    clocks.seconds += 1
    assert watch.left(SOAKING) == pytest.approx(0)


def test_a_longer_wait_keeps_its_clock() -> None:
    """What has gone by is not waited for twice."""
    clocks = Clocks()
    watch = clocks.watch()
    watch.left(SOAKING)
    clocks.pass_by(300)
    assert watch.left(SOAKING._replace(wait=15.0)) == pytest.approx(600)


@given(st.lists(st.floats(0, 1e5), max_size=12), st.floats(-1e6, 1e6))
def test_while_a_program_looks_a_wait_never_grows(steps: list[float], jump: float) -> None:
    """Whatever the clock does in between."""
    clocks = Clocks()
    watch = clocks.watch()
    before = watch.left(SOAKING)
    assert before is not None
    clocks.clock += timedelta(seconds=max(jump, 0.0))
    for gone in steps:
        clocks.pass_by(gone)
        left = watch.left(SOAKING)
        assert left is not None
        assert left <= before + 1e-6
        before = left


@pytest.mark.parametrize(
    ("seconds", "words"),
    [
        (-5, "Soak: time is up"),
        (0, "Soak: time is up"),
        (0.5, "Soak: 1 min left"),
        (60, "Soak: 1 min left"),
        (61, "Soak: 2 min left"),
        (360, "Soak: 6 min left"),
        (7140, "Soak: 119 min left"),
        (36_000, "Soak: 10 h left"),
    ],
)
def test_what_is_left_in_words_is_never_too_little(seconds: float, words: str) -> None:
    """Whole minutes, rounded up."""
    assert left_words("Soak", seconds) == words


@pytest.mark.parametrize(
    ("wait", "minutes", "words"),
    [
        (10, 15, "Soak: time is up"),
        (10, 16, "Soak: 16 min too long"),
        (40, 40, "Soak: time is up"),
        (40, 41, "Soak: 41 min too long"),
        (20, 14 * 60 + 5, "Soak: 14 h too long"),
    ],
)
def test_what_is_left_as_long_again_or_a_quarter_of_an_hour_ran_over(
    wait: float, minutes: float, words: str
) -> None:
    """Common practice, no source: what hazes or soaks bears that much and no more."""
    assert left_words("Soak", -60 * minutes, wait) == words
    assert ran_over(wait, -60 * minutes) is ("too long" in words)


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (10, "Cleaner on: time is up"),
        (11, "Cleaner on: 1 min too long"),
        (3 * 60, "Cleaner on: 3 h too long"),
    ],
)
def test_what_says_how_long_it_may_last_bears_no_more(minutes: float, words: str) -> None:
    """Ten minutes and twenty at the most: the shop's own word, not a quarter of an hour."""
    assert left_words("Cleaner on", -60 * minutes, 10, 20) == words
    assert ran_over(10, -60 * minutes, 20) is ("too long" in words)
    assert not ran_over(10, -60 * minutes, 10 + minutes)


def test_a_wait_made_longer_than_it_may_last_is_over_at_once() -> None:
    assert left_words("Cleaner on", -1, 30, 20) == "Cleaner on: 1 min too long"
