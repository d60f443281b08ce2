"""Putting a copy in the place of the journal, which is kept aside, whole.

At every moment, whatever the power does, the path leads to the old file or to the new one, and
never does the new one stand beside the rollback file of the old one: SQLite would take that for
its own and undo what was never done.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.synced import sync_folder
from shopboard.journal.backup import (
    CopyState,
    confirm,
    part_of,
    reading,
    reading_back,
    refuse_itself,
    state_of,
    take_after,
    verified_copy,
)
from shopboard.journal.chain import first_damage
from shopboard.journal.errors import (
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalMissing,
)
from shopboard.journal.faults import READ_FAULTS, is_busy, locked, named, unreadable
from shopboard.journal.opening import uri
from shopboard.journal.place import (
    MAGIC,
    AtPath,
    is_empty_file,
    look,
    make_folder,
    reason,
)
from shopboard.journal.remembered import LastSeen, remember
from shopboard.journal.salvage import entries_of
from shopboard.journal.schema import MIGRATIONS

_LOST = """
SELECT recorded_utc, machine, point FROM main.entries
 WHERE uid NOT IN (SELECT uid FROM copy.entries) ORDER BY seq
"""

_AS_IT_WAS = "The journal is as it was."


class Loss(NamedTuple):
    """What of the journal that is there now the copy does not hold."""

    entries: int = 0
    first: str = ""
    """When the first of them was recorded, in UTC."""
    last: str = ""
    """The same of the last."""
    places: tuple[str, ...] = ()
    """Machines and points that they speak of."""
    broken: bool = False
    """Whether the journal is damaged: only what could be read is counted."""
    another: bool = False
    """Whether the copy is of another journal: they share no entry, not even the first."""


class Ready(NamedTuple):
    """A copy that lies beside the journal, verified."""

    part: Path
    path: Path
    """The journal, as named."""
    state: CopyState
    """What the copy holds."""
    now: CopyState | None
    """What the journal holds; None where there is none, or none that is whole."""
    loss: Loss
    there: bool
    """Whether anything is at the journal's path."""
    newer_form: bool
    """Whether a newer version of the program made the copy: here it can only be read."""


@contextmanager
def made_ready(source: Path, path: Path) -> Iterator[Ready]:
    """Lay a verified copy of `source` beside the journal `path`; nothing is changed yet.

    Raises:
        JournalError: `source` is no whole journal, or the path leads to something else.
    """
    refuse_itself(source, path)
    real = Path(os.path.realpath(path))
    there, sound = _what_is_there(real)
    if not there:
        make_folder(real)
    with part_of(real) as part:
        state = _verified(source, part)
        now, loss = _compare(real, part, sound=sound) if there else (None, Loss())
        yield Ready(part, path, state, now, loss, there, _is_newer(part))


def _verified(source: Path, part: Path) -> CopyState:
    """Lay the copy there; say of one that is no good what else there is."""
    listed = "`shopboard restore` without FROM lists the copies kept by age"
    try:
        return verified_copy(source, part)
    except JournalMissing as error:
        if is_empty_file(source):
            raise JournalMissing(
                f"{named(source)} is an empty file.", f"Take another copy: {listed}."
            ) from error
        raise JournalMissing(
            f"There is no file {named(source)}.", f"Put in the stick that it is on; {listed}."
        ) from error
    except JournalForeign as error:
        raise JournalForeign(error.title, f"It was left as it is; {listed}.") from error
    except JournalDamaged as error:
        raise JournalDamaged(
            error.title,
            f"{_AS_IT_WAS} Take another copy: {listed}. `shopboard salvage FROM` makes a new"
            " journal of what can be read of this one.",
        ) from error


def _is_newer(part: Path) -> bool:
    with reading_back(part) as db:
        return bool(db.execute("PRAGMA user_version").fetchone()[0] > len(MIGRATIONS))


def put_in_place(ready: Ready, when: datetime) -> Path | None:
    """Put the copy in the journal's place; give the name under which the old file is kept.

    Raises:
        JournalError: somebody records, or recorded since the copy was made ready, or the folder
            lets nothing be renamed. The journal is as it was.
    """
    real = Path(os.path.realpath(ready.path))
    aside = _free_name(real, when)
    try:
        with _nobody_records(real, ready):
            if ready.there:
                take_after(real, ready.part)
                _keep_aside(real, aside)
            ready.part.replace(real)
    except OSError as error:
        away = _put_back(real, aside)
        cure = f"{_AS_IT_WAS} Give this user the right to write in its folder."
        raise JournalCannotWrite(
            f"The copy could not be put in the place of {named(ready.path)} ({reason(error)}).",
            f"Rename {' and '.join(away)}: that is the journal as it was." if away else cure,
        ) from error
    confirm(real)
    state = ready.state
    remember(
        ready.path,
        LastSeen(state.first_uid, state.entries, state.last_hash.hex(), _told(when)),
    )
    return aside if ready.there else None


def _told(when: datetime) -> str:
    return when.astimezone(UTC).isoformat(timespec="microseconds")


def _what_is_there(real: Path) -> tuple[bool, bool]:
    """Tell whether a file is at the path, and whether it may be a journal that opens.

    Raises:
        JournalError: it belongs to another program, or cannot be read.
    """
    try:
        found = look(real)
    except JournalDamaged:
        return True, False
    except JournalForeign:
        if not real.is_file() or next(entries_of(real), None) is None:
            raise
        return True, False  # it holds entries: the mark that tells it from others is damaged
    if found is AtPath.NOTHING:
        return False, False
    try:
        with real.open("rb") as file:  # SQLite would change a file without it at opening
            return True, file.read(len(MAGIC)) == MAGIC
    except OSError as error:
        raise unreadable(real) from error


def _compare(real: Path, part: Path, *, sound: bool) -> tuple[CopyState | None, Loss]:
    if sound:
        try:
            with reading(real) as db:
                if first_damage(db) is None:
                    now = state_of(db)
                    return now, _lost_of(db, part)._replace(another=_another(now, part))
        except JournalDamaged:
            pass
    return None, _lost_of_a_broken(real, part)


def _another(now: CopyState, part: Path) -> bool:
    with reading_back(part) as db:
        first = state_of(db).first_uid
    return "" not in (first, now.first_uid) and first != now.first_uid


def _lost_of(db: sqlite3.Connection, part: Path) -> Loss:
    db.execute("ATTACH ? AS copy", (uri(part, "ro"),))
    rows = [(when, machine, point) for when, machine, point in db.execute(_LOST)]
    db.execute("DETACH copy")
    return _loss(rows, broken=False)


def _lost_of_a_broken(real: Path, part: Path) -> Loss:
    with reading_back(part) as db:
        there = {uid for (uid,) in db.execute("SELECT uid FROM entries")}
    found = [*entries_of(real)]
    rows = [(one[2], one[4], one[5]) for one in found if one[1] not in there]
    return _loss(rows, broken=True)._replace(another=0 < len(found) == len(rows) and bool(there))


def _loss(rows: list[tuple[str, str, str]], *, broken: bool) -> Loss:
    if not rows:
        return Loss(broken=broken)
    places = dict.fromkeys(".".join(one for one in row[1:] if one) for row in rows)
    named_places = tuple(place for place in places if place)
    times = [when for when, *_ in rows]
    return Loss(len(rows), min(times), max(times), named_places, broken)


@contextmanager
def _nobody_records(real: Path, ready: Ready) -> Iterator[None]:
    """Hold the old file so that nobody records in it, and what a power cut left is undone.

    A file that does not open cannot be recorded in.
    """
    if ready.now is None:
        yield
        return
    with ExitStack() as stack:
        try:
            place = uri(real, "rw")
            db = sqlite3.connect(place, uri=True, timeout=5, isolation_level=None)
            stack.callback(db.close)
            db.execute("PRAGMA journal_mode = TRUNCATE")
            db.execute("BEGIN EXCLUSIVE")
            now = state_of(db)
        except READ_FAULTS as error:
            if is_busy(error):
                raise locked(ready.path) from error
            raise JournalCannotWrite(
                f"The journal {named(ready.path)} cannot be written ({error}).", _AS_IT_WAS
            ) from error
        if now != ready.now:
            raise JournalError(
                f"Somebody recorded in {named(ready.path)} meanwhile.",
                f"{_AS_IT_WAS} Close the board, then try again.",
            )
        if os.name == "nt":  # no open file can be renamed there
            db.close()
        yield


def _keep_aside(real: Path, aside: Path) -> None:
    """Give the old file its further name, with the rollback file that belongs to it.

    That one can only be there with work in it beside a file that does not open: then it goes
    with it before the new file comes.
    """
    rollback = Path(f"{real}-journal")
    with_work = rollback.is_file() and rollback.stat().st_size > 0
    if not _linked(real, aside):
        if with_work:
            rollback.replace(f"{aside}-journal")
        real.replace(aside)
        sync_folder(real.parent)
        return
    if with_work:
        os.link(rollback, f"{aside}-journal")
    sync_folder(real.parent)
    if with_work:
        rollback.unlink()
        sync_folder(real.parent)


def _put_back(real: Path, aside: Path) -> list[str]:
    """Undo what was begun of keeping the old file aside; tell what is to be renamed by hand."""
    away = []
    for kept, name in (
        (Path(f"{aside}-journal"), Path(f"{real}-journal")),
        (aside, real),
    ):
        with suppress(OSError):
            if name.exists() or _linked(kept, name):
                if kept.samefile(name):
                    kept.unlink()
            else:
                kept.replace(name)
        if kept.exists() and not name.exists():
            away.append(f"{named(kept)} to {named(name)}")
    return away


def _linked(real: Path, aside: Path) -> bool:
    """Give a file a further name; False on a disk where none can have two."""
    try:
        os.link(real, aside)
    except FileExistsError:
        raise
    except OSError:
        return False
    return True


def _free_name(real: Path, when: datetime) -> Path:
    """Give a dated name that is not taken."""
    name = f"{real.name}.before-{when.astimezone():%Y-%m-%d-%H%M%S}"
    tries = (real.with_name(f"{name}{f'-{number}' if number else ''}") for number in range(1000))
    return next(one for one in tries if not one.exists())
