"""The devices that may come in, and the code by which a new one pairs: a file of this user's.

Board, server and commands are programs of one user and share it. It is a small database in the
state folder, for the owner alone: SQLite lets one of them write at a time, whole or not at all,
and brings it to the disk. Of a device's secret only its hash is kept.
"""

from __future__ import annotations

import hmac
import secrets
import sqlite3
from collections.abc import Callable, Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.private import make_folders, new_file
from shopboard.base.who import BadNameError
from shopboard.base.who import name_typed as as_recorded

CODE_DIGITS = 8
GOOD_FOR = timedelta(minutes=5)
TRIES = 5
"""Wrong tries at one code, whoever makes them: then it is worth nothing."""

MOST_DEVICES = 50

THERE = "on the computer that serves this page"
"""Where the code is shown: each computer has a list of its own, and lets in by that alone."""

_WAIT = 2.0
"""Seconds for which another program that is writing is waited for."""

_SEEN_EVERY = timedelta(seconds=30)

_TABLES = """
CREATE TABLE IF NOT EXISTS device (
    id TEXT PRIMARY KEY, name TEXT NOT NULL, since TEXT NOT NULL, seen TEXT NOT NULL,
    looks_only INTEGER NOT NULL, hash TEXT NOT NULL, withdrawn TEXT NOT NULL
);
CREATE TABLE IF NOT EXISTS code (
    digits TEXT NOT NULL, made TEXT NOT NULL, until TEXT NOT NULL, tries INTEGER NOT NULL
);
"""


class DevicesError(Exception):
    """The list of devices cannot be read or written; says so in one sentence."""


class NotPairedError(Exception):
    """A device was not let in; says why in one sentence."""


class Device(NamedTuple):
    """A device that may come in."""

    id: str
    name: str
    since: datetime
    seen: datetime
    looks_only: bool
    """Whether it is shown how all stands, and nothing else."""


class PairingCode(NamedTuple):
    """What a new device types."""

    digits: str
    until: datetime
    tries: int
    """Wrong tries that are left."""


def devices_file() -> Path:
    """Give where the list is; nothing is created."""
    from platformdirs import user_state_path

    return user_state_path("shopboard", appauthor=False) / "devices.sqlite3"


def name_typed(text: str) -> str:
    """Give the name of a device in the form in which it is recorded.

    Raises:
        NotPairedError: when it cannot be one.
    """
    try:
        return as_recorded(text, "the name of a device")  # its records say it
    except BadNameError as error:
        raise NotPairedError(str(error)) from None


class Devices:
    """The list; each call reads the file as it is now.

    Every method raises `DevicesError` when the file cannot be read or written.
    """

    def __init__(self, file: Path, now: Callable[[], datetime]) -> None:
        """Hold the file's path; nothing is read yet."""
        self._file = file
        self._now = now

    def welcome(self) -> tuple[Device, ...]:
        """Give those that may come in, the longest known first."""
        with self._open() as db:
            return tuple(one for one, _ in _devices(db))

    def known_by(self, secret: str) -> Device | None:
        """Give the device whose secret that is, and note that it was seen."""
        told = _hash(secret)
        with self._open() as db:
            # each is compared, in constant time: how long it takes tells nothing of any of them
            found = [one for one, kept in _devices(db) if hmac.compare_digest(kept, told)]
        if not found:
            return None
        self.seen_now(found)
        return found[0]

    def seen_now(self, those: Iterable[Device]) -> None:
        """Note that devices are seen, where that is not noted of just now."""
        old = [one.id for one in those if abs(self._now() - one.seen) >= _SEEN_EVERY]
        if old:
            with suppress(DevicesError), self._open(writes=True) as db:  # a help and no record
                rows = [(self._said(), ident) for ident in old]
                db.executemany("UPDATE device SET seen = ? WHERE id = ?", rows)

    def new_code(self) -> PairingCode:
        """Make a new code; the one before is worth nothing from then on."""
        digits = f"{secrets.randbelow(10**CODE_DIGITS):0{CODE_DIGITS}}"
        until = self._now() + GOOD_FOR
        with self._open(writes=True) as db:
            db.execute("DELETE FROM code")
            row = (digits, self._said(), until.isoformat(), TRIES)
            db.execute("INSERT INTO code VALUES (?, ?, ?, ?)", row)
        return PairingCode(digits, until, TRIES)

    def code(self) -> PairingCode | None:
        """Give the code that is good now."""
        with self._open() as db:
            return self._code(db)

    def pair(self, digits: str, name: str, *, looks_only: bool = False) -> str:
        """Let a new device in by the code; give its secret, which is kept nowhere else.

        Raises:
            NotPairedError: when it is not let in.
        """
        digits = "".join(digits.split())
        if not (len(digits) == CODE_DIGITS and digits.isascii() and digits.isdigit()):
            raise NotPairedError(f"the code has {CODE_DIGITS} digits")
        with self._open(writes=True) as db:
            code = self._code(db)
            right = code is not None and hmac.compare_digest(code.digits, digits)
            if right:
                name = self._free(db, name)  # before the code is used: the name is typed again
                db.execute("DELETE FROM code")
                return self._enter(db, name, looks_only=looks_only)
            if code is not None:
                db.execute("UPDATE code SET tries = tries - 1")
        if code is None:
            raise NotPairedError(f"no code is good now: show a new one {THERE}")
        left = code.tries - 1
        if not left:
            raise NotPairedError(f"wrong {TRIES} times: show a new code {THERE}")
        raise NotPairedError(f"that is not the code shown {THERE}; {left} more of {TRIES} tries")

    def add(self, name: str, *, looks_only: bool) -> str:
        """Let a device in without a code; give its secret, which is kept nowhere else.

        Raises:
            NotPairedError: when its name cannot be.
        """
        with self._open(writes=True) as db:
            return self._enter(db, self._free(db, name), looks_only=looks_only)

    def withdraw(self, ident: str) -> None:
        """Let a device in no more: its secret is worth nothing from then on."""
        with self._open(writes=True) as db:
            row = (self._said(), ident)
            db.execute("UPDATE device SET hash = '', withdrawn = ? WHERE id = ?", row)

    def _said(self) -> str:
        return self._now().isoformat()

    def _code(self, db: sqlite3.Connection) -> PairingCode | None:
        row = db.execute("SELECT digits, made, until, tries FROM code").fetchone()
        if row is None:
            return None
        digits, made, until, tries = row
        good = datetime.fromisoformat(made) <= self._now() < datetime.fromisoformat(until)
        return PairingCode(digits, datetime.fromisoformat(until), tries) if good and tries else None

    def _free(self, db: sqlite3.Connection, name: str) -> str:
        """Give a name as it is written, where no other device has it."""
        name, there = name_typed(name), [one for one, _ in _devices(db)]
        if any(one.name.casefold() == name.casefold() for one in there):
            raise NotPairedError("another device has that name: type another, or withdraw that one")
        if len(there) >= MOST_DEVICES:
            raise NotPairedError(f"there are {MOST_DEVICES} devices: withdraw one first")
        return name

    def _enter(self, db: sqlite3.Connection, name: str, *, looks_only: bool) -> str:
        secret, when = secrets.token_urlsafe(32), self._said()
        row = (secrets.token_hex(8), name, when, when, looks_only, _hash(secret), "")
        db.execute("INSERT INTO device VALUES (?, ?, ?, ?, ?, ?, ?)", row)
        return secret

    @contextmanager
    def _open(self, *, writes: bool = False) -> Iterator[sqlite3.Connection]:
        """Open the file for one act; what it writes is on the disk behind it, or nothing is."""
        try:
            with closing(self._connected(writes=writes)) as db, db:
                if writes:
                    db.execute("BEGIN IMMEDIATE")
                yield db
        except (OSError, sqlite3.Error, ValueError) as error:
            why = getattr(error, "strerror", None) or str(error)
            raise DevicesError(f"the list of devices cannot be used: {self._file}: {why}") from None

    def _connected(self, *, writes: bool) -> sqlite3.Connection:
        if not writes and not self._file.exists():
            empty = sqlite3.connect(":memory:")
            empty.executescript(_TABLES)
            return empty
        if not self._file.exists():
            make_folders(self._file.parent)
            with suppress(FileExistsError):
                new_file(self._file).close()
        db = sqlite3.connect(self._file, timeout=_WAIT, isolation_level=None)
        try:
            db.execute("PRAGMA synchronous = FULL")
            if not db.execute("SELECT 1 FROM sqlite_master WHERE name = 'code'").fetchone():
                db.executescript(_TABLES)
        except sqlite3.Error:
            db.close()
            raise
        return db


def _devices(db: sqlite3.Connection) -> list[tuple[Device, str]]:
    """Give those that were not withdrawn, each with the hash of its secret."""
    rows = db.execute(
        "SELECT id, name, since, seen, looks_only, hash FROM device"
        " WHERE withdrawn = '' ORDER BY rowid"
    )
    return [
        (Device(ident, name, _time(since), _time(seen), bool(looks)), kept)
        for ident, name, since, seen, looks, kept in rows
    ]


def _time(text: str) -> datetime:
    return datetime.fromisoformat(text).astimezone(UTC)


def _hash(secret: str) -> str:
    return sha256(secret.encode(errors="replace")).hexdigest()
