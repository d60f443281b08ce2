"""Bringing a journal to the newest form: a checked copy first, then all or nothing."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path

from shopboard.base.private import new_file
from shopboard.journal.chain import first_damage
from shopboard.journal.errors import JournalCannotWrite
from shopboard.journal.faults import damage_fault, is_damage, named, write_fault
from shopboard.journal.place import reason, settle_folder
from shopboard.journal.schema import APPLICATION_ID


def bring_up(db: sqlite3.Connection, path: Path, migrations: Sequence[Sequence[str]]) -> None:
    """Apply each missing migration in a transaction of its own.

    Another program may do the same at this moment: the version is read again
    once the file is ours.
    """
    try:
        while _one_step(db, path, migrations):
            pass
    except sqlite3.Error as error:
        if is_damage(error):
            raise  # the opening looks a second time before it says so
        raise write_fault(error, path, known_absent=True) from error


def _one_step(db: sqlite3.Connection, path: Path, migrations: Sequence[Sequence[str]]) -> bool:
    db.execute("BEGIN IMMEDIATE")
    try:
        version: int = db.execute("PRAGMA user_version").fetchone()[0]
        if version >= len(migrations):
            return False
        if version and db.execute("SELECT EXISTS (SELECT 1 FROM entries)").fetchone()[0]:
            _keep_copy(path, version + 1)
        _apply(db, migrations[version], version + 1)
    finally:
        if db.in_transaction:
            with suppress(sqlite3.Error):
                db.execute("ROLLBACK")
    return True


def _apply(db: sqlite3.Connection, statements: Sequence[str], version: int) -> None:
    # One by one: executescript() would commit the open transaction unasked.
    for statement in statements:
        db.execute(statement)
    if version == 1:
        db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute(f"PRAGMA user_version = {version}")
    db.execute("COMMIT")


def _keep_copy(path: Path, version: int) -> None:
    """Copy the journal beside itself as ``NAME.before-vN``, proven before it gets that name."""
    copy = path.with_name(f"{path.name}.before-v{version}")
    half = copy.with_name(f"{copy.name}.tmp")
    try:
        half.unlink(missing_ok=True)
        new_file(half).close()
        _copy(path, half)
        half.replace(copy)
        settle_folder(copy.absolute().parent)
    except OSError as error:
        raise JournalCannotWrite(
            f"The copy {named(copy)}, to be made before the journal is brought to a newer form, "
            f"could not be written ({reason(error)}).",
            "Nothing was changed. Make room in that folder, then start again.",
        ) from error


def _copy(path: Path, target: Path) -> None:
    # A second connection: SQLite copies nothing out of one that is writing.
    source = sqlite3.connect(path.absolute())
    copy = sqlite3.connect(target.absolute())
    try:
        source.backup(copy)
        damage = first_damage(copy)
    finally:
        copy.close()
        source.close()
    if damage is not None:
        raise damage_fault(path, damage.what)
    with target.open("rb+") as file:
        os.fsync(file.fileno())
