"""What is said of a damaged journal, another journal or a wrong clock stands whole at 80x24."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from shopboard.board.frame import framed
from shopboard.board.paint import plain
from shopboard.journal import Damage
from shopboard.journal.faults import WAY_BACK
from shopboard.journal.shop_clock import clock_trouble

LATE, EARLY, BROKEN = (datetime(year, 12, 30, 23, 59, tzinfo=UTC) for year in (2030, 2026, 1970))
DAMAGED = tuple(
    f" ! {damage.says[0].upper()}{damage.says[1:]} {WAY_BACK}"
    for damage in (
        Damage(123456, "entry 123456 is not found where it was recorded"),
        Damage(None, "entries are missing at the end, after number 123456"),
        Damage(0, "an index of it is out of order"),
    )
)
CLOCKS = tuple(
    f" ! {clock_trouble(clock, newest)}"
    for clock, newest in ((EARLY, LATE), (BROKEN, LATE), (BROKEN, None))
)


@pytest.mark.parametrize("words", [*DAMAGED, *CLOCKS])
def test_a_warning_stands_whole_on_the_smallest_usual_terminal(words: str) -> None:
    rows = framed((), [], ((words, "out"),), (), (80, 24))
    assert words.split() == " ".join(map(plain, rows)).split()


@pytest.mark.parametrize("words", DAMAGED)
def test_damage_says_what_it_means_for_the_records_and_what_to_do(words: str) -> None:
    assert "record" in words
    assert "shopboard restore" in words or "good copy" in words


def test_a_clock_that_cannot_be_right_is_not_offered_to_be_said_right() -> None:
    ahead, impossible = clock_trouble(EARLY, LATE), clock_trouble(BROKEN, LATE)
    assert "shopboard clock --right" in ahead
    assert "--right" not in impossible
    assert all("has no sure date" in one for one in (ahead, impossible))
