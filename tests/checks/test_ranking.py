"""What the drawer can prove: methods ranked by their best, and what would help where none does."""

from __future__ import annotations

import math

import pytest

from shopboard.checks import registry
from shopboard.checks.ranking import at_best, cannot_be_proven, rank
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.limits import parse_limits
from tests.builders import make_job
from tests.checks.machines import DIALS

FINE = Tolerance(-math.radians(0.001), math.radians(0.001), "0.001 deg")


def test_the_finest_method_comes_first() -> None:
    job = make_job(drawer=DIALS, sizes={"width": 600.0})
    ranks = rank(job, ("square", "flip"))
    assert [one.method for one in ranks] == ["flip", "square"]
    assert ranks[0].expanded < ranks[1].expanded
    assert all(one.proves and one.probability > 0.95 and not one.help for one in ranks)
    assert cannot_be_proven(ranks) == ""


def test_a_method_whose_tool_is_missing_comes_last_and_says_so() -> None:
    job = make_job(drawer=DIALS._replace(squares=()))
    ranks = rank(job, ("square", "flip"))
    assert [one.method for one in ranks] == ["flip", "square"]
    assert ranks[1].best is None
    assert "square" in ranks[1].help
    assert at_best(ranks[1], "inch").startswith("cannot be run: ")


def test_a_tolerance_that_no_tool_proves_says_what_would() -> None:
    ranks = rank(make_job(tolerance=FINE), ("square",))
    assert not ranks[0].proves
    words = cannot_be_proven(ranks)
    assert words.startswith("Your tools cannot settle this (")
    assert "it takes a thinner leaf" in words
    assert at_best(ranks[0], "inch").endswith("which cannot prove it true")


def test_what_cannot_be_run_is_nearest_to_no_proof() -> None:
    ranks = rank(make_job(tolerance=FINE), ("timed", "square"))
    assert [(one.method, one.probability > 0) for one in ranks] == [
        ("square", True),
        ("timed", False),
    ]
    assert not ranks[1].proves
    assert cannot_be_proven(ranks).startswith("Your tools cannot settle this (")


def test_an_empty_drawer_proves_nothing() -> None:
    ranks = rank(make_job(drawer=Drawer()), ("square", "flip"))
    assert "Your tools cannot settle this: " in cannot_be_proven(ranks)


def test_what_is_looked_at_needs_no_tool() -> None:
    yes = Tolerance(-0.5, 0.5, "yes", "yes or no")
    ranks = rank(make_job(tolerance=yes, drawer=Drawer()), ("go-no-go",))
    assert (ranks[0].proves, at_best(ranks[0], "inch")) == (True, "")


def test_a_method_of_another_kind_is_none() -> None:
    ranks = rank(make_job(drawer=DIALS), ("timed",))
    assert "measures time" in ranks[0].help


def test_a_one_sided_tolerance_is_ranked_around_its_middle() -> None:
    ranks = rank(make_job(tolerance=parse_limits("0 to 10 s")), ("timed",))
    assert ranks[0].proves


@pytest.mark.parametrize("name", registry.names())
def test_every_method_is_ranked_or_says_what_it_lacks(name: str) -> None:
    """With an empty drawer and with a full one."""
    kind = registry.method(name).kind
    tolerance = Tolerance(-0.5, 0.5, "so", kind)
    for drawer in (Drawer(), DIALS):
        (one,) = rank(make_job(tolerance=tolerance, drawer=drawer), (name,))
        assert one.help or one.proves
