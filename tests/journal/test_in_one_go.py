"""A journal of made-up records is there whole, or not at all, and says what it is."""

from __future__ import annotations

from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from shopboard.journal import NewEntry, open_journal
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.journal.kinds import MadeUp
from tests.journal.helpers import Clock

MADE = MadeUp(7, "2026-11-29T12:00:00+00:00", "1")


def test_each_entry_has_the_time_it_is_given_and_the_first_says_what_it_is(
    tmp_path: Path,
) -> None:
    """Two years back, by whatever steps; the chain of seals is that of any journal."""
    path = tmp_path / "made.sqlite3"
    times = iter(datetime(2024, 1, 1 + day, tzinfo=UTC) for day in range(9))
    made = MadeUpJournal(path, lambda: next(times), MADE)
    first = made.append([NewEntry("a", "check", "saw", "blade", {"v": 1})])[0]
    assert made.get("a") == first
    made.append([NewEntry("b", "void", "saw", "blade", {"v": 1, "reason": "misread"}, refers="a")])
    again = made.get("a")
    assert again is not None
    assert again.void == "misread"
    made.keep()
    with closing(open_journal(path, Clock())) as journal:
        told = [journal.get(uid) for uid in ("made-up-7", "a", "b")]
        whens = [one.when for one in told if one is not None]
        assert whens == [datetime(2024, 1, day, tzinfo=UTC) for day in (1, 2, 3)]
        assert journal.last_seq() == 3
        assert journal.verify() is None


def test_what_was_not_kept_is_nowhere(tmp_path: Path) -> None:
    path = tmp_path / "made.sqlite3"
    made = MadeUpJournal(path, lambda: datetime(2024, 1, 1, tzinfo=UTC), MADE)
    made.append([NewEntry("a", "check", "saw", "blade", {"v": 1})])
    made.close()
    with closing(open_journal(path, Clock())) as journal:
        assert journal.last_seq() == 0
