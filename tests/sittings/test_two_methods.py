"""As found by one method, as left by another: a result after a move is none as found."""

from __future__ import annotations

import pytest

from shopboard.checks.job import NotPossibleError
from shopboard.journal import SqliteJournal
from shopboard.metrology.conformity import Tolerance
from shopboard.results.record import read_all
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.point_job import job_for
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from tests.builders import Person, make_shop
from tests.checks.machines import DIALS
from tests.journal.helpers import Clock
from tests.sittings.test_check import go_on, waiting_in

CLOSED = {"test": "1", "open": "none", "width": "12 in", "gap.refused": ".0015 in"}


@pytest.fixture
def point(point: Point) -> Point:
    return point._replace(checks=("square", "flip"))


@pytest.fixture
def shop(point: Point) -> Shop:
    return make_shop(point, drawer=DIALS)


def flipped(journal: SqliteJournal, shop: Shop, point: Point) -> None:
    """Do a flip test cut that closes all along."""
    sitting = start(journal, shop, point, "flip")
    while sitting.step is not None:
        step = sitting.step
        sitting.answer(CLOSED.get(step.key, step.unasked or "1"))


def results(journal: SqliteJournal, point: Point) -> list[tuple[str, str, str]]:
    """Each result's run, method and verdict, the oldest first."""
    found = read_all(journal.recent("check", point.machine, point.id))
    return [(one.run, one.method, one.verdict) for one in reversed(found)]


def test_as_found_by_one_and_as_left_by_another(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """Found out with the square, set right, left there, proven by a cut."""
    sitting = go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until="left.turned_by")
    sitting.discard("begun again by another method")
    flipped(journal, shop, point)
    assert results(journal, point) == [("as-found", "square", "out"), ("as-left", "flip", "true")]
    assert shop_standing(shop, gather(journal), clock()).all_true


def test_without_a_move_the_other_method_finds_it_again(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    go_on(start(journal, shop, point), Person(0.008), until="next")
    flipped(journal, shop, point)
    assert [run for run, _, _ in results(journal, point)] == ["as-found", "as-found"]


def test_the_next_check_after_an_as_left_is_as_found(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    go_on(start(journal, shop, point), Person(0.008, then=(0.0,)))
    flipped(journal, shop, point)
    assert [run for run, _, _ in results(journal, point)] == ["as-found", "as-left", "as-found"]


def test_a_move_of_its_own_does_not_close_a_check_that_is_gone_on_with(
    journal: SqliteJournal, shop: Shop, point: Point, clock: Clock
) -> None:
    """What was moved since it was begun is no news to it."""
    go_on(start(journal, shop, point), Person(0.008, then=(0.0,)), until="left.turned_by")
    assert job_for(shop, point, journal).was_moved
    begun = waiting_in(journal, clock())[point.full_name]
    again = resume(journal, shop, point, begun, clock())
    assert again is not None
    assert not again.job.was_moved
    assert again.step is not None
    assert again.step.key == "left.turned_by"


def test_a_method_that_measures_something_else_is_not_begun(
    journal: SqliteJournal, shop: Shop, point: Point
) -> None:
    wrong = point._replace(tolerance=Tolerance(-0.1, 0.1, "4 thou", "length"))
    with pytest.raises(NotPossibleError, match="measures angle, the tolerance is of length"):
        start(journal, make_shop(wrong, drawer=DIALS), wrong)
    assert journal.count() == 0
