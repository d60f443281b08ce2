"""A check that waits at its point: what goes on with it, and what is asked before it is closed."""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.dates import ago
from shopboard.base.who import by_words
from shopboard.journal import Entry, Store, kinds

if TYPE_CHECKING:
    from shopboard.sittings.check_sitting import CheckSitting


def _by_other(waiting: Entry, journal: Store) -> str:
    """Say which other bench began it; empty where it was this one."""
    by = by_words(waiting.by if waiting.by != journal.by else "")
    return f" {by}" if by else ""


def ways_on(waiting: Entry, journal: Store, now: datetime, ways: list[str]) -> list[str]:
    """Give the choices at a point where a check waits.

    Args:
        waiting: the entry that began it.
        journal: where it is.
        now: the time.
        ways: how the point can be checked, in words.
    """
    told = kinds.BEGIN.read(waiting)
    what = "ten readings" if told.study else "check"
    begun = f"go on with the {what} begun {ago(waiting.when, now)}{_by_other(waiting, journal)}"
    if len(ways) > 1:
        over = [f"start over: {way}" for way in ways]
        return [f"{begun}, by {told.method}", *over, "discard that check"]
    return [begun, "start it over", "discard that check"]


def close_question(old: CheckSitting, waiting: Entry, journal: Store, number: int) -> str:
    """Ask before a check is closed by the line of that number."""
    what = "result, which is not saved" if old.at_result else "readings"
    mine = f"Discard its {what}{_by_other(waiting, journal)}?"
    return f"{mine} {number} once more. Its results stay."
