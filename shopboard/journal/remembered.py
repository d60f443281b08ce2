"""What this computer remembers of the journals that were open on it, kept outside of them.

A journal that is away, an older copy and another file in its place look like any
other journal from within; only what was last seen at that path tells them apart.
The memory is a help and no record: it is written whole or not at all, yet not
brought to the disk at once; where it is broken or absent, nothing is known.
"""

from __future__ import annotations

import json
import os
from contextlib import suppress
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.locations import usual_journal
from shopboard.base.private import make_folders
from shopboard.base.server_place import JournalPlace, ServerPlace

MOST_JOURNALS = 200
"""So many are remembered; the one that was open least lately is forgotten first."""

_MOST_BYTES = 4_000_000
"""No memory of so many journals is longer: what is, was not written here."""

_FORM = 1


class LastSeen(NamedTuple):
    """A journal as it was last seen at its path."""

    first_uid: str = ""
    """The uid of its first entry, which every copy and every later state shares; or empty."""

    last: int = 0
    """The number of its last entry."""

    last_hash: str = ""
    """The hash of that entry, in hexadecimal; it seals all entries before it as well."""

    when: str = ""
    """When it was last seen: a time in UTC as ISO 8601."""

    whole_upto: int = 0
    """The number up to which every entry was found to be what was recorded; 0: none was looked at.
    """

    whole_hash: str = ""
    """The hash of that entry, in hexadecimal."""

    sound_file: str = ""
    """What the system tells of the file when each index was last found to fit the table."""

    sound_when: str = ""
    """When that was found: a time in UTC as ISO 8601."""

    damaged: int = 0
    """The number of the newest entry that was found not to be what was recorded; 0: none was."""

    trail: str = ""
    """How the hashes of the last entries begin, in their order: four digits each, hexadecimal."""

    def looked_at_as(self, other: LastSeen) -> LastSeen:
        """Give it with what was found by looking through the journal as in another memory."""
        return self._replace(
            whole_upto=other.whole_upto,
            whole_hash=other.whole_hash,
            damaged=other.damaged,
            sound_file=other.sound_file,
            sound_when=other.sound_when,
        )


def memory_file() -> Path:
    """Give the file that holds the memory; nothing is created."""
    from platformdirs import user_state_path

    return user_state_path("shopboard", appauthor=False) / "journals.json"


def recall(path: JournalPlace) -> LastSeen | None:
    """Give what is remembered of the journal at `path`; None where none was ever open there."""
    return _read(memory_file()).get(_name(path))


def had_entries(path: JournalPlace) -> bool:
    """Tell whether a journal that held anything was ever open at `path` on this computer."""
    known = recall(path)
    return known is not None and known.last > 0


def may_begin(path: JournalPlace, *, told: bool) -> bool:
    """Tell whether a journal may be made where there is none.

    At a place that was named, and where one was before, it may as well be on a stick that is
    not in: there it is made only where that was told.
    """
    return told or (path == usual_journal() and not had_entries(path))


def remember(path: JournalPlace, known: LastSeen) -> None:
    """Remember the journal at `path` so; where that cannot be written, nothing is said.

    What another program remembers of other journals stays.
    """
    file = memory_file()
    journals = _read(file)
    if journals.get(_name(path)) == known:
        return
    journals[_name(path)] = known
    newest = sorted(journals.items(), key=lambda one: one[1].when)[-MOST_JOURNALS:]
    with suppress(OSError):
        _write(file, dict(newest))


def _name(path: JournalPlace) -> str:
    if isinstance(path, ServerPlace):
        return path.words
    try:
        return os.path.abspath(path)  # noqa: PTH100 - as named: a link may lead elsewhere later
    except OSError:  # this folder was removed
        return os.fspath(path)


def _read(file: Path) -> dict[str, LastSeen]:
    try:
        with file.open("rb") as opened:
            text = opened.read(_MOST_BYTES + 1)
        stored = json.loads(text) if len(text) <= _MOST_BYTES else None
    except (OSError, ValueError, RecursionError):
        return {}
    journals = stored.get("journals") if isinstance(stored, dict) else None
    if not isinstance(journals, dict):
        return {}
    read = {name: _known(one) for name, one in journals.items()}
    return {name: one for name, one in read.items() if one is not None}


def _known(stored: object) -> LastSeen | None:
    if not isinstance(stored, dict):
        return None
    known = LastSeen(**{name: stored[name] for name in LastSeen._fields if name in stored})
    fits = all(type(one) is type(usual) for one, usual in zip(known, LastSeen(), strict=True))
    return known if fits and known.last >= 0 and known.whole_upto >= 0 else None


def _write(file: Path, journals: dict[str, LastSeen]) -> None:
    make_folders(file.parent)
    stored = {"form": _FORM, "journals": {name: one._asdict() for name, one in journals.items()}}
    text = json.dumps(stored, separators=(",", ":"))  # as ASCII: a path may hold any bytes
    half = file.with_name(f"{file.name}.{os.getpid()}")
    handle = os.open(half, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    try:
        with os.fdopen(handle, "w", encoding="ascii") as opened:
            opened.write(text)
        half.replace(file)
    except OSError:
        half.unlink(missing_ok=True)
        raise
