"""A new journal from the ruins of another: every entry whose seal still fits, in the old order.

The broken file is only read. Uids, times and words stay; numbers and seals are made anew, because
a chain with gaps is none. The last entry says from where it was salvaged and what is missing.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import closing
from datetime import datetime
from itertools import groupby
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.server_place import JournalPlace
from shopboard.journal import carve
from shopboard.journal.backup import NOTHING_LEFT, confirm, part_of, to_the_disk
from shopboard.journal.chain import GENESIS, SealedFields, first_damage, seal
from shopboard.journal.commit import insert, record
from shopboard.journal.draft import draft
from shopboard.journal.entry import NewEntry, new_uid
from shopboard.journal.errors import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalMissing,
)
from shopboard.journal.faults import damage_fault, named, primary_code
from shopboard.journal.kinds import CHECK, SALVAGED, VOID, CameBack, Lost
from shopboard.journal.opening import Terms, open_file
from shopboard.journal.place import reason
from shopboard.journal.schema import MIGRATIONS

_MOST_NAMED = 400
"""Gaps that the last entry names one by one."""

_A_WHILE = 1_000
"""Entries after which it is told how far it is."""

_UNKNOWN = ("", "", "")

Whose = tuple[str, str]
"""Machine and point."""


class Salvaged(NamedTuple):
    """What came of it."""

    found: int
    """Entries that came back."""
    lost: tuple[Lost, ...]
    """Those that did not, in their order."""
    added: int
    """Entries that were put behind them."""


RowSaid = Callable[[int, int, str], object]
"""Is told from time to time how much is done, of how much, and of what."""

Further = Callable[[Sequence[Lost], Mapping[Whose, int]], Sequence[NewEntry]]
"""Gives entries to be added, from what is lost and the number of each place's newest check."""


class _Found(NamedTuple):
    sure: list[tuple[int, int, int]]
    """Old number, which of the files, place in it."""
    unsure: dict[int, SealedFields]
    checked: dict[Whose, int]


def salvage(
    broken: Path,
    target: Path,
    now: Callable[[], datetime],
    further: Further,
    said: RowSaid = lambda _done, _of, _what: None,
    called: JournalPlace | None = None,
) -> Salvaged:
    """Make the journal `target`, which must not be there, from what can be read of `broken`.

    Args:
        broken: the file; it is only read.
        target: the new journal.
        now: the clock.
        further: gives what is recorded behind what came back.
        said: is told how far it is.
        called: from where it is told to be salvaged; None: that file.

    Raises:
        JournalError: nothing can be read, or the new journal cannot be written.
    """
    files = _files(broken)
    found = _look_for(files, said)
    if not found.sure:
        raise JournalDamaged(
            f"Nothing in {named(called or broken)} can be read as an entry of a journal.",
            "It was left as it is. `shopboard restore FROM` puts a copy in its place.",
        )
    lost = tuple(_lost(files, found))
    if os.path.lexists(target):
        raise _there(target)
    with part_of(target) as part:
        count, added = _write(part, files, found, called or broken, lost, now, further, said)
        try:
            os.link(part, target)  # never takes the name of another file
        except FileExistsError as error:
            raise _there(target) from error
        except OSError:  # a stick without links
            _rename(part, target)
        confirm(target)
    return Salvaged(count, lost, added)


def entries_of(path: Path) -> Iterator[SealedFields]:
    """Give what can be read of a journal that is broken, as far as its seals fit.

    Raises:
        JournalError: the file cannot be read at all.
    """
    files = _files(path)
    for _, which, at in _look_for(files, lambda _done, _of, _what: None).sure:
        row = carve.row_at(files[which], at, carve.page_sizes(files[which]))
        if row is not None:
            yield row.fields


def _files(broken: Path) -> list[carve.Bytes]:
    """Give the file, and the rollback file where a recording was cut short: it holds pages, too."""
    try:
        rollback = Path(os.path.realpath(broken) + "-journal")
        files = [carve.opened(broken)]
        if rollback.is_file():
            files.append(carve.opened(rollback))
            files.append(carve.rolled_back(*files))
    except FileNotFoundError as error:
        raise JournalMissing(f"There is no file {named(broken)}.", "Look at the path.") from error
    except (OSError, ValueError) as error:
        raise JournalCannotRead(
            f"{named(broken)} could not be read ({reason(error)}).",
            "Look whether the disk or card is sound.",
        ) from error
    return files


def _look_for(files: Sequence[carve.Bytes], said: RowSaid) -> _Found:
    sure: list[tuple[int, int, int]] = []
    unsure: dict[int, SealedFields] = {}
    checked: dict[Whose, int] = {}
    for which, data in enumerate(files):
        for at, row in carve.rows(data):
            number, *_ = row.fields
            if not row.sure:
                unsure[number] = row.fields
                continue
            sure.append((number, which, at))
            if row.fields[3] == CHECK.name:
                place = (row.fields[4], row.fields[5])
                checked[place] = max(number, checked.get(place, 0))
            if len(sure) % _A_WHILE == 0:
                said(at, len(data), "bytes")
    return _Found(sorted(sure), unsure, checked)


def _lost(files: Sequence[carve.Bytes], found: _Found) -> Iterator[Lost]:
    there = {number for number, _, _ in found.sure}
    most = sum(map(carve.most_entries, files))
    times = {number: when for data in files for number, when in carve.times(data)}
    times = {number: when for number, when in times.items() if number <= most}
    last = max(*there, *times, *map(carve.counted, files))
    gone = [number for number in range(1, last + 1) if number not in there]
    if not gone:
        return
    places, certain = _places(files, found, set(gone))
    lying = _lying(files, found)
    for known, group in groupby(gone, lambda one: one if one in places or one in times else 0):
        run = [*group]
        for first, final in [(known, known)] if known else _runs(run):
            after = times.get(first) or lying(first, -1)
            before = times.get(final) or lying(final, 1)
            yield Lost(first, final, *places.get(first, _UNKNOWN), after, before, first in certain)


def _places(
    files: Sequence[carve.Bytes], found: _Found, gone: set[int]
) -> tuple[dict[int, tuple[str, str, str]], set[int]]:
    """Give where lost entries belong, as an index or else a broken row says; which surely do."""
    places = {n: place for data in files for n, place in carve.places(data) if n in gone}
    certain = {number for number, place in places.items() if _of(found, number) in (None, place)}
    for number in gone.intersection(found.unsure).difference(places):
        places[number] = _of(found, number) or _UNKNOWN
    return places, certain


def _of(found: _Found, number: int) -> tuple[str, str, str] | None:
    """Give kind, machine and point as a row says whose seal does not fit."""
    fields = found.unsure.get(number)
    return None if fields is None else (fields[3], fields[4], fields[5])


def _runs(numbers: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Give the first and last of each row of numbers without a gap."""
    for _, group in groupby(enumerate(numbers), lambda one: one[1] - one[0]):
        run = [number for _, number in group]
        yield run[0], run[-1]


def _lying(files: Sequence[carve.Bytes], found: _Found) -> Callable[[int, int], str]:
    """Give what tells the time of the nearest entry that came back, before or after a number."""
    from bisect import bisect

    numbers = [number for number, _, _ in found.sure]

    def lying(number: int, way: int) -> str:
        at = bisect(numbers, number) + (0 if way > 0 else -1)
        if not 0 <= at < len(numbers):
            return ""
        _, which, place = found.sure[at]
        row = carve.row_at(files[which], place, carve.page_sizes(files[which]))
        return row.fields[2] if row is not None else ""

    return lying


def _write(
    part: Path,
    files: Sequence[carve.Bytes],
    found: _Found,
    broken: JournalPlace,
    lost: tuple[Lost, ...],
    now: Callable[[], datetime],
    further: Further,
    said: RowSaid,
) -> tuple[int, int]:
    os.close(_made(part))
    terms = Terms(part, create=True, read_only=False, wait_seconds=5.0, migrations=MIGRATIONS)
    try:
        db, refusal = open_file(terms)
        with closing(db):
            if refusal is not None:
                raise refusal
            db.execute("BEGIN IMMEDIATE")
            count = _add_rows(db, files, found, said)
            db.execute("COMMIT")
            entries = [_told(broken, count, lost), *further(lost, found.checked)]
            record(db, [draft(one) for one in entries], now)
            damage = first_damage(db)
        to_the_disk(part)
    except (sqlite3.Error, JournalCannotWrite) as error:
        cause = error.__cause__ if isinstance(error, JournalCannotWrite) else error
        full = cause is not None and primary_code(cause) == sqlite3.SQLITE_FULL
        raise _cannot_make(part, "the disk is full" if full else str(cause or error)) from error
    except OSError as error:
        raise _cannot_make(part, reason(error)) from error
    if damage is not None:
        raise damage_fault(part, damage.what)
    return count, len(entries)


def _made(part: Path) -> int:
    try:
        return os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600)
    except OSError as error:
        raise _cannot_make(part, reason(error)) from error


def _cannot_make(part: Path, why: str) -> JournalCannotWrite:
    return JournalCannotWrite(
        f"The new journal could not be written to {named(part.parent)}: {why}.",
        f"{NOTHING_LEFT} The broken file was left as it is. Name a file on another disk:"
        " `shopboard salvage FROM TO`.",
    )


def _add_rows(
    db: sqlite3.Connection, files: Sequence[carve.Bytes], found: _Found, said: RowSaid
) -> int:
    sizes = [carve.page_sizes(data) for data in files]
    seen: set[str] = set()
    voided: set[str] = set()
    number, prev = 0, GENESIS
    for _, which, at in found.sure:
        row = carve.row_at(files[which], at, sizes[which])
        if row is None or row.fields[1] in seen:
            continue  # the same page may be there twice
        _, uid, _, kind, _, _, refers, *_ = row.fields
        if kind == VOID.name and refers in voided:
            continue
        seen.add(uid)
        voided |= {refers} if kind == VOID.name else set()
        number += 1
        fields: SealedFields = (number, *row.fields[1:])
        insert(db, fields, prev)
        if number % _A_WHILE == 0:
            said(number, len(found.sure), "entries")
        prev = seal(prev, fields)
    return number


def _told(broken: JournalPlace, count: int, lost: Sequence[Lost]) -> NewEntry:
    told = CameBack(
        source=named(broken)[-1000:],
        found=count,
        missing=tuple(lost[:_MOST_NAMED]),
        missing_in_all=sum(one.last - one.first + 1 for one in lost),
    )
    return SALVAGED.new(new_uid(), told)


def _there(target: Path) -> JournalCannotWrite:
    return JournalCannotWrite(
        f"{named(target)} is there already.", "It was left as it is. Name another file."
    )


def _rename(part: Path, target: Path) -> None:
    try:
        part.replace(target)
    except OSError as error:
        raise _cannot_make(target, reason(error)) from error
