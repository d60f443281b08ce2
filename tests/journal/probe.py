"""A program that tries out what a place lets a journal do, and says so.

Usage: probe.py PATH. Prints ``writable True``, ``count 3``, ``append ok``, or
the name and words of the `JournalError` in place of the answer.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from shopboard.journal import JournalError, NewEntry, SqliteJournal, new_uid, open_journal


def main(path: Path) -> None:
    """Open, count, record."""
    journal = _opened(path)
    if journal is None:
        return
    found = journal
    _tell("writable", lambda: found.writable)
    _tell("count", lambda: found.count())
    _tell("append", lambda: found.append([NewEntry(new_uid(), "check")]) and "ok")
    _tell("verify", lambda: found.verify())


def _opened(path: Path) -> SqliteJournal | None:
    try:
        return open_journal(path, lambda: datetime.now(UTC))
    except JournalError as error:
        _say("open", type(error).__name__, error)
        return None


def _tell(what: str, ask: Callable[[], object]) -> None:
    try:
        _say(what, ask())
    except JournalError as error:
        _say(what, type(error).__name__, error)


def _say(*words: object) -> None:
    sys.stdout.write(" ".join(map(str, words)) + "\n")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
