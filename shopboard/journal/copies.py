"""The copies that are kept by age: of the last 7 days, 8 weeks and 12 months that have one.

Days without a copy do not count, so that neither a holiday nor a clock that jumped ahead removes
what is there. Which of two is the newer one is told by their dates and by their entries, and what
either way keeps is kept: a clock may be wrong, and after a restore there are fewer entries. Only
files that bear a name given here, for this very journal, are ever removed.
"""

from __future__ import annotations

import re
import shutil
import sqlite3
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from datetime import datetime, timedelta
from hashlib import sha256
from itertools import islice
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.locations import usual_journal
from shopboard.base.private import make_folders
from shopboard.base.server_place import JournalPlace, ServerPlace
from shopboard.base.synced import sync_folder
from shopboard.journal.backup import (
    MOST_OF_A_NAME,
    CopyState,
    cannot_copy,
    reading,
    state_of,
)
from shopboard.journal.chain import first_damage
from shopboard.journal.errors import JournalError
from shopboard.journal.from_server import back_up_at, state_at
from shopboard.journal.place import reason

DAYS, WEEKS, MONTHS = 7, 8, 12

_AHEAD = timedelta(days=1)
"""So far ahead of the clock a copy's date may lie by time zones and clocks set right."""

_ROOM = 1_000_000
"""Bytes that a copy leaves for the journal on the disk that both are on; as much again as it takes,
if that is more: to record comes first."""

_ROOM_IS_KEPT = "what room is left on that disk is kept for the journal itself"

_STAMP = "%Y-%m-%d-%H%M%S"
_NAME = re.compile(
    r"(?s)(?P<stem>.+)-(?P<stamp>\d{4}-\d\d-\d\d-\d{6})-(?P<count>\d+)-(?P<mark>[0-9a-f]{8})\.sqlite3"
)


class Copy(NamedTuple):
    """A copy with a dated name."""

    path: Path
    made: datetime
    """Local time of its making, by the clock of that day."""
    entries: int
    """How many entries it holds."""


def folder_beside(journal: JournalPlace) -> Path:
    """Give the folder for copies where the shop file names none; a server's are kept here, too."""
    beside = usual_journal() if isinstance(journal, ServerPlace) else journal.absolute()
    return beside.parent / f"{_stem(journal)}-copies"


def _stem(journal: JournalPlace) -> str:
    return journal.name if isinstance(journal, ServerPlace) else journal.stem


def dated_name(journal: JournalPlace, state: CopyState, now: datetime) -> str:
    """Give the name of a copy that is made now: which journal, when, how many entries."""
    stamp = f"{now.astimezone():{_STAMP}}"
    stem = _stem(journal)[:MOST_OF_A_NAME]
    return f"{stem}-{stamp}-{state.entries}-{_mark(state.first_uid)}.sqlite3"


def copies_in(folder: Path, first_uid: str | None) -> list[Copy]:
    """Give the copies of one journal in a folder, the newest first; None: of any journal.

    Raises:
        OSError: the folder is not there, or cannot be read.
    """
    found = []
    for path in folder.iterdir():
        match = _NAME.fullmatch(path.name)
        ours = match and (first_uid is None or match["mark"] == _mark(first_uid))
        if match and ours and path.is_file():
            with suppress(ValueError):
                made = datetime.strptime(match["stamp"], _STAMP).astimezone()
                found.append(Copy(path, made, int(match["count"])))
    return sorted(found, key=lambda one: (one.made, one.entries), reverse=True)


def past_keeping(copies: Sequence[Copy]) -> list[Copy]:
    """Give those of some copies that need not be kept."""
    by_date = sorted(copies, key=lambda one: (one.made, one.entries), reverse=True)
    by_entries = sorted(copies, key=lambda one: (one.entries, one.made), reverse=True)
    kept = {one.path for order in (by_date, by_entries) for one in _kept(order)}
    return [one for one in copies if one.path not in kept]


def _kept(copies: Sequence[Copy]) -> Iterator[Copy]:
    """Give the newest of each of the last days, weeks and months, from copies, the newest first."""
    spans: tuple[tuple[int, Callable[[datetime], object]], ...] = (
        (DAYS, lambda made: made.date()),
        (WEEKS, lambda made: made.isocalendar()[:2]),
        (MONTHS, lambda made: (made.year, made.month)),
    )
    for most, span in spans:
        newest: dict[object, Copy] = {}
        for one in copies:
            newest.setdefault(span(one.made), one)
        yield from islice(newest.values(), most)


def keep_one(
    journal: JournalPlace, folder: Path, now: datetime
) -> tuple[Copy | None, CopyState, bool]:
    """Put a copy into the folder unless its newest one holds all; remove what need not be kept.

    Returns:
        The newest copy (None where nothing was recorded yet), what it holds, and whether it was
        made just now.

    Raises:
        JournalError: there is no whole journal, or no copy can be written.
    """
    state = state_at(journal)
    if not state.entries:
        return None, state, False
    if folder == folder_beside(journal):
        _make(folder)
    for known in _copies_of(folder, state):
        if known.entries == state.entries and _holds(known.path, state):
            return known, state, False
    if _takes_its_room(journal, folder):
        raise cannot_copy(folder / "copy", _ROOM_IS_KEPT)
    target = folder / dated_name(journal, state, now)
    state = back_up_at(journal, target)
    copy = Copy(target, now.astimezone(), state.entries)
    with suppress(OSError, JournalError):  # what cannot be looked into keeps them all
        _remove(_not_needed(copies_in(folder, state.first_uid), target), spared=target)
    return copy, state, True


def _takes_its_room(journal: JournalPlace, folder: Path) -> bool:
    """Tell whether a copy would leave the journal too little room on the disk that both are on."""
    if isinstance(journal, ServerPlace):
        return False
    with suppress(OSError):  # whoever makes the copy is told
        if folder.stat().st_dev == journal.stat().st_dev:
            size = journal.stat().st_size
            return shutil.disk_usage(folder).free < size + max(size, _ROOM)
    return False


def _not_needed(copies: Sequence[Copy], newest: Path) -> list[Copy]:
    """Give those that need not be kept, where the journal is as its newest copy.

    What went another way (the journal may be an older file, put in its place by mistake) is kept
    by its own ages: nothing that the journal goes on to hold stands for it.
    """
    if not past_keeping(copies):
        return []
    with reading(newest) as db:
        held = [one for one in copies if _is_held(db, one)]
    others = [one for one in copies if one not in held]
    return [*past_keeping(held), *past_keeping(others)]


def _is_held(db: sqlite3.Connection, copy: Copy) -> bool:
    """Tell whether an open journal holds all that a copy does."""
    with suppress(JournalError), reading(copy.path) as own:
        end = state_of(own)
        row = db.execute("SELECT hash FROM entries WHERE seq = ?", (end.entries,)).fetchone()
        return row is not None and bool(row[0] == end.last_hash)
    return False


def newest_copy(folder: Path, state: CopyState, now: datetime) -> Copy | None:
    """Give the newest copy of a journal in a folder; None where there is none or no folder.

    One from a day that is still to come is it only where there is no other.
    """
    found = _copies_of(folder, state)
    return next((one for one in found if one.made - now < _AHEAD), next(iter(found), None))


def _copies_of(folder: Path, state: CopyState) -> list[Copy]:
    try:
        return copies_in(folder, state.first_uid)
    except OSError:
        return []


def _mark(first_uid: str) -> str:
    return sha256(first_uid.encode()).hexdigest()[:8]


def _holds(copy: Path, state: CopyState) -> bool:
    """Tell whether a copy ends where the journal does, and is as whole as when it was made."""
    try:
        with reading(copy) as db:
            return state_of(db) == state and first_damage(db) is None
    except JournalError:
        return False


def _make(folder: Path) -> None:
    try:
        if not folder.is_dir():
            make_folders(folder)
            sync_folder(folder.parent)
    except OSError as error:
        raise cannot_copy(folder / "copy", reason(error)) from error


def _remove(copies: Iterable[Copy], spared: Path) -> None:
    for one in copies:
        if one.path != spared:
            with suppress(OSError):  # the next copy tries again
                one.path.unlink()
