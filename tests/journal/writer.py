"""A program that records and says so: one line for each entry, after `append` returned.

The tests kill it, starve it and cut its power; what it printed is the history
against which the journal is held afterwards. A line ``u7`` is an acknowledged
entry; ``!u7 JournalCannotWrite`` is one that was refused.

Usage: writer.py PLACE START COUNT [--unsafe] [--retry | --on] [--wait SECONDS]
"""

from __future__ import annotations

import argparse
import os
import sys
import time
from datetime import UTC, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from shopboard.base.locations import journal_path
from shopboard.journal import JournalError, NewEntry, SqliteJournal, Store, open_journal


def main() -> None:
    """Record COUNT entries, numbered from START."""
    parser = argparse.ArgumentParser()
    parser.add_argument("place", type=journal_path)
    parser.add_argument("start", type=int)
    parser.add_argument("count", type=int)
    parser.add_argument("--unsafe", action="store_true", help="never wait for the disk")
    parser.add_argument("--retry", action="store_true", help="after a refusal, once more")
    parser.add_argument("--on", action="store_true", help="the same again until it is recorded")
    parser.add_argument("--wait", type=float, default=20.0)
    asked = parser.parse_args()
    journal = None
    for _ in range(2 if asked.retry else 1):
        try:
            journal = journal or open_journal(asked.place, _now, wait_seconds=asked.wait)
        except JournalError as error:
            say(f"!open {type(error).__name__} {error}")
    if journal is None:
        return
    if asked.unsafe and isinstance(journal, SqliteJournal):
        _forget_the_disk(journal)
    for number in range(asked.start, asked.start + asked.count):
        done = _record(journal, number)
        while not done and (asked.on or asked.retry):
            time.sleep(0.1 if asked.on else 0.0)
            done = _record(journal, number) or asked.retry
    journal.close()


def _now() -> datetime:
    return datetime.now(UTC)


def _record(journal: Store, number: int) -> bool:
    uid = f"u{number}"
    entry = NewEntry(uid, "answer", "saw", "blade", {"v": 1, "text": f"{number} " * 40}, "visit")
    try:
        journal.append([entry])
    except JournalError as error:
        say(f"!{uid} {type(error).__name__} {error}")
        return False
    say(uid)
    return True


def say(line: str) -> None:
    """Write a line past every buffer: what was said must survive a kill."""
    os.write(1, f"{line}\n".encode())


def _forget_the_disk(journal: SqliteJournal) -> None:
    """Break the promise on purpose, to show that the tests would notice."""
    db = journal._held.db()
    db.set_authorizer(None)
    db.execute("PRAGMA synchronous = OFF")


if __name__ == "__main__":
    main()
