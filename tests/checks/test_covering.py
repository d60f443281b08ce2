"""U holds what was planted, of every method that gives a number; the long run is a measurement."""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.metrology.kind import YES_NO_WORDS
from tests.bench.covering import SCENES, Told, least, most, run
from tests.in_turn import part

SEED, TRIALS = 20_261_128, part(160, 3)


def test_every_method_that_gives_a_number_is_simulated() -> None:
    numbers = {name for name in registry.names() if registry.method(name).kind not in YES_NO_WORDS}
    assert {name.partition(",")[0] for name in SCENES} == numbers


@pytest.mark.parametrize("name", SCENES)
def test_a_short_run(name: str) -> None:
    """95 of 100 within U, and at most 5 of 100 wrongly true: as far as so few trials can tell."""
    told = run(name, TRIALS, SEED)
    assert told.held >= least(TRIALS)
    assert told.wrongly <= most(told.called_true)


def test_a_budget_that_leaves_something_out_is_seen() -> None:
    """The same trials with U a third smaller: most methods then hold too little."""
    told = run("diagonals", TRIALS, SEED, share=2 / 3)
    assert isinstance(told, Told)
    assert told.held < least(TRIALS)
