"""Recording: one transaction that seals and adds the entries, all of them or none."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from contextlib import suppress
from datetime import UTC, datetime, timedelta
from typing import Any

from shopboard import __version__
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.server_place import JournalPlace
from shopboard.journal import kinds, queries
from shopboard.journal.chain import GENESIS, SealedFields, seal
from shopboard.journal.db import Db
from shopboard.journal.draft import Draft, says_the_same, unfit
from shopboard.journal.entry import Entry
from shopboard.journal.errors import JournalMovedOn, JournalTaken
from shopboard.journal.faults import named

EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)
"""No clock that is right shows a time before this program was written: one that lost its battery
starts at 1970, at 2000 or at the date of its firmware."""

LATEST = datetime(int(queries.TOO_LATE), 1, 1, tzinfo=UTC)
"""No clock that is right shows this time or a later one."""

_SLACK = timedelta(minutes=2)
"""How far back a clock may be set, as the network's time does, and still count as right."""

_INSERT = """
INSERT INTO entries (seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app,
                     prev, hash)
VALUES """

_ROW = "(?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)"

_AT_ONCE = 100
"""Entries that are handed over with one statement: a server may be far away."""


def _begin(db: Db) -> None:
    db.execute("BEGIN IMMEDIATE")  # a reader that turns writer could fail at once


def _confirm(db: Db) -> None:
    version = db.execute("PRAGMA user_version").fetchone()[0]
    db.execute(f"PRAGMA user_version = {version:d}")


class RecordingWay(NamedTuple):
    """How a database is brought to record, where that is its own."""

    begin: Callable[[Db], object] = _begin
    """Begins; from then on nobody else records."""

    confirm: Callable[[Db], object] = _confirm
    """Writes something that changes nothing: then a commit truly reaches the disk."""


IN_FILE = RecordingWay()


class SwappedError(Exception):
    """Another file was put in the journal's place; nothing was recorded in the old one."""


def record(
    db: Db,
    drafts: Sequence[Draft],
    now: Callable[[], datetime],
    in_place: Callable[[], bool] = lambda: True,
    after: int | None = None,
    way: RecordingWay = IN_FILE,
) -> list[Entry]:
    """Record the drafts and give them as entries, once they are on the disk.

    Args:
        db: an open journal.
        drafts: what to record.
        now: the clock.
        in_place: tells, once nobody else can record or restore, whether the file that is open
            still is the one at its path. In another one nothing may be recorded: it is out of
            sight, and its rollback file would lie beside the file that took its place.
        after: number that the last entry must have; None: whichever is the last.
        way: how this database records.

    Raises:
        SwappedError: it is not.
        JournalError: a draft contradicts what is recorded; nothing was recorded.
        Exception: the database's `Error`: it failed; whether it reached the disk is not known.
    """
    try:
        way.begin(db)
        _refuse_unless(in_place())
        if after is not None and not all_recorded(db, drafts):
            _must_be_last(db, after)
        entries, repeated = _add_all(db, drafts, now())
        if repeated:
            # The entry may stand there by a commit that failed half-way and is not
            # on the disk; only a commit that truly writes lets us say that it is.
            way.confirm(db)
        db.execute("COMMIT")
    except BaseException:
        with suppress(db.Error):
            if db.in_transaction:
                db.execute("ROLLBACK")
        raise
    return entries


def _refuse_unless(in_place: bool) -> None:
    if not in_place:
        raise SwappedError


def all_recorded(db: Db, drafts: Sequence[Draft]) -> bool:
    """Tell whether the journal holds an entry of each draft's uid."""
    return all(db.execute(queries.GET, (each.uid,)).fetchone() for each in drafts)


def _must_be_last(db: Db, seq: int) -> None:
    if db.execute(queries.LAST_SEQ).fetchone()[0] != seq:
        raise JournalMovedOn(
            "Another program has recorded something meanwhile.",
            "Nothing was recorded. Try again.",
        )


def _add_all(db: Db, drafts: Sequence[Draft], when: datetime) -> tuple[list[Entry], bool]:
    """Add what is not there; give all as entries, and whether any was there."""
    if when.tzinfo is None:
        raise unfit("the clock gave a time without its zone")
    said_right = any(each.kind == kinds.CLOCK.name for each in drafts)
    clock_ok = EARLIEST <= when < LATEST if said_right else _clock_ok(db, when)
    entries = []
    repeated = False
    for each in drafts:
        known = db.execute(queries.GET, (each.uid,)).fetchone()
        repeated = repeated or known is not None
        entries.append(_same(db, known, each) if known else _add(db, each, when, clock_ok))
    return entries, repeated


def add_as_told(db: Db, drafts: Sequence[Draft], when: datetime) -> list[Entry]:
    """Add the drafts, of a clock that is known to be right, within a transaction of the caller's.

    For records that are made up or brought over: `record` keeps what happens.
    """
    return [_add(db, each, when, clock_ok=True) for each in drafts]


def _add(db: Db, each: Draft, when: datetime, clock_ok: bool) -> Entry:
    if each.kind == kinds.VOID.name:
        _may_void(db, each.refers)
    last = db.execute("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
    seq, prev = (last[0] + 1, last[1]) if last else (1, GENESIS)
    text = queries.as_text(when)
    fields: SealedFields = (
        seq, each.uid, text, each.kind, each.machine, each.point, each.refers, each.body,
        int(clock_ok), __version__,
    )  # fmt: skip
    sealed = insert(db, fields, prev)
    return queries.unsealed((*fields, prev, sealed, None))


def insert(db: Db, fields: SealedFields, prev: bytes) -> bytes:
    """Add the row of an entry behind the one whose seal is `prev`; give its own seal."""
    sealed = seal(prev, fields)
    db.execute(_INSERT + _ROW, (*fields, prev, sealed))
    return sealed


def add_sealed(
    db: Db,
    stretches: Iterable[Sequence[tuple[Any, ...]]],
    begin: Callable[[Db], object],
    path: JournalPlace,
) -> None:
    """Add entries with the seals that they have, all of them or none.

    Args:
        db: an open journal.
        stretches: what follows its last entry, held against its seals.
        begin: begins; from then on nobody else records.
        path: where it is.

    Raises:
        JournalMovedOn: its last entry is another one.
        Exception: the database's `Error`: it failed; whether it reached the disk is not known.
    """
    try:
        begin(db)
        for rows in stretches:
            _must_follow(db, rows[0], path)
            for first in range(0, len(rows), _AT_ONCE):
                some = rows[first : first + _AT_ONCE]
                values = [value for row in some for value in row]
                db.execute(_INSERT + ", ".join([_ROW] * len(some)), values)
        db.execute("COMMIT")
    except BaseException:
        with suppress(db.Error):
            if db.in_transaction:
                db.execute("ROLLBACK")
        raise


def _must_follow(db: Db, row: tuple[Any, ...], path: JournalPlace) -> None:
    last = db.execute("SELECT seq, hash FROM entries ORDER BY seq DESC LIMIT 1").fetchone()
    if tuple(last or (0, GENESIS)) != (row[0] - 1, row[10]):
        raise JournalMovedOn(
            f"Somebody recorded in {named(path)} meanwhile.",
            "Let nobody record there until all is moved.",
        )


def _read(db: Db, row: queries.StoredRow) -> Entry:
    """Make an entry of a row of a query, with the reason where it was voided."""
    void = db.execute(queries.NUMBERED, (row[12],)).fetchone() if row[12] is not None else None
    reason = None if void is None else kinds.VOID.read(queries.entry_of(void)).reason
    return queries.entry_of(row, reason)


def _same(db: Db, known: queries.StoredRow, each: Draft) -> Entry:
    """Give the recorded entry of that uid, if it says the same."""
    alike = known[3:7] == (each.kind, each.machine, each.point, each.refers)
    if not alike or not says_the_same(known[7], each.body):
        refused = unfit(f"another entry with the uid {each.uid} is there, number {known[0]}")
        raise JournalTaken(refused.title, refused.advice)
    return _read(db, known)


def _may_void(db: Db, uid: str) -> None:
    target = db.execute(queries.GET, (uid,)).fetchone()
    if target is None:
        raise unfit(f"there is no entry {uid} to withdraw")
    entry = _read(db, target)
    if entry.kind == kinds.VOID.name:
        raise unfit(f"entry {entry.seq} is a withdrawal itself; record what is right instead")
    if entry.void is not None:
        raise unfit(f"entry {entry.seq} is withdrawn already")


def _clock_ok(db: Db, when: datetime) -> bool:
    if not EARLIEST <= when < LATEST:
        return False
    newest = db.execute(queries.NEWEST_WHEN).fetchone()
    try:
        return newest is None or when >= queries.entry_of(newest).when - _SLACK
    except ValueError:  # it is not what was recorded: its time tells nothing
        return True
