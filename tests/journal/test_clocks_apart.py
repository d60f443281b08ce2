"""Benches whose clocks differ by hours: order is by number, and the board says what is wrong.

That a computer's clock may be anywhere, and jump, is common practice, no source.
"""

from __future__ import annotations

from contextlib import ExitStack, closing
from datetime import timedelta

from shopboard.base.server_place import JournalPlace
from shopboard.journal import Entry, KeptJournal, kinds, new_uid, open_journal
from shopboard.journal.shop_clock import ShopClock, clock_trouble
from tests.journal.helpers import Clock, check


def bench(place: JournalPlace, hours: int, stack: ExitStack) -> tuple[KeptJournal, Clock]:
    """Open the journal as a bench does whose clock is so many hours off."""
    clock = Clock()
    clock.pass_by(hours=hours)
    return stack.enter_context(closing(open_journal(place, clock))), clock


def one_by(journal: KeptJournal) -> Entry:
    return journal.append([check()])[0]


def test_order_is_by_number_and_only_the_clock_that_is_behind_is_told_as_wrong(
    place: JournalPlace,
) -> None:
    with ExitStack() as stack:
        right, clock = bench(place, 0, stack)
        behind, slow = bench(place, -5, stack)
        entries = [one_by(right), one_by(behind), one_by(right), one_by(behind)]
        assert [one.seq for one in entries] == [1, 2, 3, 4]
        assert [one.clock_ok for one in entries] == [True, False, True, False]
        assert entries[1].when == clock() - timedelta(hours=5)  # as it was told, and marked
        for journal in (right, behind):
            assert journal.latest("check")["saw", "blade"] == entries[3]
            assert journal.recent("check", "saw", "blade") == entries[::-1]
            assert journal.newest_when() == clock()
        assert not ShopClock(clock, right.newest_when()).is_wrong
        wrong = ShopClock(slow, behind.newest_when())
        assert wrong.is_wrong
        assert wrong.now() == clock()  # nothing is made younger there
        assert "The clock looks wrong" in clock_trouble(slow(), wrong.newest)
        assert right.verify() is None


def test_a_clock_that_is_ahead_is_outvoted_by_a_word_of_the_person(place: JournalPlace) -> None:
    """Nobody can tell at first which of the two is right; once it is said, it holds for what was.

    What is recorded with a clock that is still ahead afterwards has to be set right again.
    """
    with ExitStack() as stack:
        right, clock = bench(place, 0, stack)
        ahead, fast = bench(place, 5, stack)
        entries = [one_by(right), one_by(ahead), one_by(right)]
        assert [one.clock_ok for one in entries] == [True, True, False]
        assert right.newest_when() == fast()
        assert ShopClock(clock, right.newest_when()).is_wrong
        said = kinds.CLOCK.new(new_uid(), kinds.Bare())
        assert right.append([said])[0].clock_ok
        assert right.newest_when() == ahead.newest_when() == clock()
        assert one_by(right).clock_ok
        assert not ShopClock(clock, right.newest_when()).is_wrong
        assert right.latest("check")["saw", "blade"].seq == 5
