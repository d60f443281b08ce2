"""What a bench is told of a check that another one is in, too, or has closed."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import SqliteJournal, open_journal
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.sitting import OthersWentOn
from tests.journal.helpers import Clock

Two = tuple[CheckSitting, CheckSitting]


@pytest.fixture
def two(journal_path: Path, clock: Clock, shop: Shop, point: Point) -> Iterator[Two]:
    """One check, walked at the north bench and at the south bench."""
    with (
        closing(open_journal(journal_path, clock, who=lambda: "north")) as north,
        closing(open_journal(journal_path, clock, who=lambda: "south")) as south,
    ):
        first = start(north, shop, point)
        first.answer("1")
        (begun,) = north.open_checks()
        second = resume(south, shop, point, begun, clock())
        assert second is not None
        yield first, second


def test_one_that_was_closed_is_not_said_to_be_answered(two: Two) -> None:
    first, second = two
    first.discard("discarded")
    with pytest.raises(OthersWentOn) as error:
        second.answer("1")
    assert error.value.title == "Somebody else (north) has closed this check meanwhile."
    assert "go on with it" not in error.value.advice
    assert second.is_closed_there()


def test_who_else_is_in_it_is_told_before_anything_is_answered(two: Two) -> None:
    first, second = two
    assert (first.others_did(), second.others_did()) == ("", "")
    first.answer("1")
    assert first.others_did() == ""
    assert second.others_did() == "Somebody else (north) has answered this check meanwhile."


def test_a_check_that_is_closed_is_closed_once(two: Two, journal: SqliteJournal) -> None:
    first, _ = two
    first.discard("discarded")
    count = journal.count()
    first.discard("discarded")
    assert journal.count() == count
