"""What is at the journal's path, told before SQLite is let near it; and what is said of it."""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.base.dates import day
from shopboard.base.synced import sync_folder
from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalMissing,
    JournalNewer,
    opening,
    place,
)
from shopboard.journal.opening import Terms, open_file, uri
from shopboard.journal.place import AtPath
from shopboard.journal.remembered import LastSeen, remember
from shopboard.journal.schema import MIGRATIONS
from tests.journal.helpers import check, opened, plainly

HEADER = b"SQLite format 3\0" + bytes(52) + (0x53484A31).to_bytes(4, "big") + bytes(28)
"""A hundred bytes; the mark of a program stands in the 69th to 72nd (file format, section 1.3)."""


def test_what_is_at_a_path(path: Path) -> None:
    assert place.look(path) is AtPath.NOTHING
    path.touch()
    assert place.look(path) is AtPath.EMPTY
    path.write_bytes(HEADER)
    assert place.look(path) is AtPath.JOURNAL
    assert len(HEADER) == 100


@pytest.mark.parametrize(
    "spoil",
    [
        lambda data: data[:99],
        lambda data: b"s" + data[1:],
        lambda data: data[:15] + b"\1" + data[16:],
        lambda data: b"x" * 100,
    ],
)
def test_a_destroyed_beginning_is_opened_only_where_sqlite_can_put_it_back(
    path: Path, spoil: Callable[[bytes], bytes]
) -> None:
    """A rollback file with something in it holds the torn page."""
    path.write_bytes(spoil(HEADER))
    rollback = Path(f"{path}-journal")
    for there in (None, b"", b"x"):
        if there is not None:
            rollback.write_bytes(there)
        if there:
            assert place.look(path) is AtPath.JOURNAL
        else:
            with pytest.raises(JournalDamaged, match="or its beginning is destroyed") as error:
                place.look(path)
            assert "left as it is. `shopboard restore FROM` puts" in error.value.advice


@pytest.mark.parametrize("at", [67, 68, 71, 72])
def test_another_program_s_mark(path: Path, at: int) -> None:
    data = bytearray(HEADER)
    data[at] ^= 1
    path.write_bytes(data)
    if at in (67, 72):
        assert place.look(path) is AtPath.JOURNAL
    else:
        with pytest.raises(JournalForeign, match="another program's database") as error:
            place.look(path)
        assert "`shopboard salvage` reads what is left" in error.value.advice


def test_what_can_be_no_journal_is_named(path: Path, tmp_path: Path) -> None:
    path.touch()
    os.mkfifo(tmp_path / "pipe")
    for one, words in (
        (tmp_path, "is a folder, not a journal"),
        (tmp_path / "pipe", "is a device, not a journal"),
        (path / "below", "leads through a file, not a folder"),
    ):
        with pytest.raises(JournalForeign, match=words) as error:
            place.look(one)
        assert "`--journal FILE` names another path" in error.value.advice
    with pytest.raises(JournalCannotRead, match="no file can have such a name") as read:
        place.look(Path("a\0b"))
    assert read.value.advice == "Look whether the disk or card is sound."


@pytest.mark.parametrize(
    ("error", "advice"),
    [(PermissionError(13, "no"), "Give this user the right to read it."), (OSError(5, "io"), "")],
)
def test_why_it_cannot_be_read(
    path: Path, monkeypatch: pytest.MonkeyPatch, error: OSError, advice: str
) -> None:
    path.write_bytes(HEADER)

    def refuse(*_: object, **__: object) -> None:
        raise error

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(JournalCannotRead, match=rf"could not be read \({error.strerror}\)") as told:
        place.look(path)
    assert told.value.advice == (advice or "Look whether the disk or card is sound.")


def test_files_with_and_without_something_in_them(path: Path, tmp_path: Path) -> None:
    nul = Path("a\0b")

    def told() -> tuple[bool, bool, bool]:
        return place.holds_something(path), place.is_empty_file(path), bool(place.identity(path))

    assert told() == (False, False, False)
    path.touch()
    assert told() == (False, True, True)
    path.write_bytes(b"x")
    assert told() == (True, False, True)
    assert not place.is_empty_file(tmp_path)
    assert (place.holds_something(nul), place.is_empty_file(nul), place.identity(nul)) == (
        *(False, False, None),
    )
    stat = path.stat()
    assert place.identity(path) == (stat.st_dev, stat.st_ino)
    with pytest.raises(FileNotFoundError):
        sync_folder(tmp_path / "nothing")


def test_what_forbids_writing_is_told(path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Also of the file and folder that a link leads to."""
    path.write_bytes(HEADER)
    link = path.parent / "folder" / "link"
    link.parent.mkdir()
    link.symlink_to(path)
    denied: list[Path] = []
    monkeypatch.setattr(os, "access", lambda one, asked: not (asked & os.W_OK and one in denied))
    for denied[:], words in (
        ([], None),
        ([path], "the file is read-only"),
        ([path.parent], "its folder is read-only"),
        ([link.parent, link], None),
    ):
        assert place.write_obstacle(link) == words


def test_a_folder_that_cannot_be_made_or_brought_to_the_disk(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path.touch()
    with pytest.raises(JournalCannotWrite, match="for the journal could not be made") as error:
        place.make_folder(path / "below" / "journal")
    assert "name another path" in error.value.advice
    synced: list[Path] = []
    monkeypatch.setattr(place, "sync_folder", synced.append)
    place.make_folder(tmp_path / "a" / "b" / "journal")
    assert {*synced} == {tmp_path, tmp_path / "a"}
    place.make_folder(tmp_path / "a" / "b" / "journal")
    assert len(synced) == 2

    def refuse(_: Path) -> None:
        raise OSError(5, "Input/output error")

    monkeypatch.setattr(place, "sync_folder", refuse)
    with pytest.raises(JournalCannotWrite, match=r"to the disk \(Input/output error\)") as error:
        place.settle_folder(tmp_path)
    assert error.value.advice.startswith("Nothing was recorded.")


def test_a_new_journal_belongs_to_its_owner_alone(path: Path) -> None:
    before = os.umask(0)
    try:
        opened(path).close()
    finally:
        os.umask(before)
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.parametrize(
    ("name", "quoted"),
    [
        ("a b", "a%20b"),
        ("ü", "%C3%BC"),
        ("50%#?&", "50%25%23%3F%26"),
        ("a.-_Z9", "a.-_Z9"),
        ("8:30", "8%3A30"),
    ],
)
def test_a_path_as_uri(tmp_path: Path, name: str, quoted: str) -> None:
    """By RFC 3986: what is not reserved stands for itself, all else by its bytes."""
    assert uri(Path("/shop") / name, "ro") == f"file:///shop/{quoted}?mode=ro"
    with closing(sqlite3.connect(uri(tmp_path / name, "rwc"), uri=True)) as db:
        db.execute("CREATE TABLE t (x)")
    assert (tmp_path / name).exists()


def settings(db: sqlite3.Connection) -> dict[str, object]:
    names = ("journal_mode", "synchronous", "fullfsync", "temp_store", "cell_size_check")
    more = ("trusted_schema", "query_only")
    return {name: db.execute(f"PRAGMA {name}").fetchone()[0] for name in (*names, *more)}


def terms(path: Path, **other: object) -> Terms:
    usual: dict[str, object] = {"create": True, "read_only": False, "wait_seconds": 1.0}
    return Terms(path, **{**usual, "migrations": MIGRATIONS, **other})  # type: ignore[arg-type]


def test_the_settings_that_survive_a_power_cut(path: Path) -> None:
    """https://www.sqlite.org/pragma.html: 2 is FULL, and 2 keeps temporary tables in memory."""
    for _ in range(2):
        db, refusal = open_file(terms(path))
        with closing(db):
            assert refusal is None
            assert settings(db) == {
                "journal_mode": "truncate",
                "synchronous": 2,
                "fullfsync": 1,
                "temp_store": 2,
                "cell_size_check": 1,
                "trusted_schema": 0,
                "query_only": 0,
            }
    db, refusal = open_file(terms(path, read_only=True))
    with closing(db):
        assert isinstance(refusal, JournalCannotWrite)
        assert settings(db)["query_only"] == 1
        assert "it was opened for reading only. Open it again for recording." in str(refusal)


def test_a_folder_that_may_not_be_written_to_is_read(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    opened(path).close()
    monkeypatch.setattr(opening, "write_obstacle", lambda _: "the file is read-only")
    db, refusal = open_file(terms(path))
    with closing(db):
        assert isinstance(refusal, JournalCannotWrite)
        assert "can be read, not written: the file is read-only" in refusal.title
        assert "Give this user the right to write to it and to its folder" in refusal.advice
        assert settings(db)["query_only"] == 1
        with pytest.raises(sqlite3.OperationalError):
            db.execute("DELETE FROM entries")
    path.write_bytes(b"")
    for more in ({"create": False}, {"read_only": True}):
        with pytest.raises(JournalMissing):
            open_file(terms(path, **more))


def test_what_stands_in_for_a_journal_is_empty_and_takes_nothing(path: Path) -> None:
    db, refusal = open_file(terms(path, create=False, stand_in=True))
    with closing(db):
        assert isinstance(refusal, JournalMissing)
        assert db.execute("SELECT count(*) FROM entries").fetchone() == (0,)
        with pytest.raises(sqlite3.OperationalError):
            db.execute("INSERT INTO entries (uid) VALUES (1)")
    for more in ({"create": False, "stand_in": False}, {"read_only": True, "stand_in": False}):
        with pytest.raises(JournalMissing):
            open_file(terms(path, **more))
    path.touch()  # an empty file is something
    with pytest.raises(JournalMissing, match="an empty file"):
        open_file(terms(path, create=False, stand_in=True))
    path.unlink()
    open_file(terms(path, stand_in=True))[0].close()
    assert path.stat().st_size > 0


@pytest.mark.parametrize(
    ("last", "held"), [(0, ""), (1, "held 1 entry."), (340, "held 340 entries.")]
)
def test_what_was_there_before_is_told_of_what_is_missing(path: Path, last: int, held: str) -> None:
    seen = datetime(2026, 3, 2, 8, 0, tzinfo=UTC)
    remember(path, LastSeen("first", last, when=seen.isoformat()))
    for empty in (False, True):
        if empty:
            path.touch()
        told = opening.missing(path)
        assert ("an empty file at" if empty else "no journal at") in told.title
        assert told.title.endswith(held or f"at {path}.")
        assert (f"open there on {day(seen)}, " in told.title) is bool(held)
        assert ("Put in the stick or disk that it is on. Else" in told.advice) is not empty
        for command in ("`shopboard restore FROM`", "--journal FILE", "--new-journal"):
            assert command in told.advice


def test_a_newer_form_is_told_with_its_number(path: Path) -> None:
    opened(path).close()
    for form, kind in ((1, None), (2, JournalNewer)):
        with closing(plainly(path)) as db:
            db.execute(f"PRAGMA user_version = {form}")
        db, refusal = open_file(terms(path))
        with closing(db):
            assert (type(refusal) if refusal else None) is kind
            assert settings(db)["query_only"] == (0 if kind is None else 1)
            if refusal is not None:
                assert "(form 2; this one knows up to 1)" in refusal.title


@pytest.mark.parametrize("statement", ["PRAGMA user_version = 0", "PRAGMA user_version = -1"])
def test_a_file_with_the_mark_and_without_a_form_is_damaged(path: Path, statement: str) -> None:
    opened(path).close()
    with closing(plainly(path)) as db:
        db.execute(statement)
    with pytest.raises(JournalDamaged, match="its beginning is not what was recorded"):
        open_file(terms(path))


def test_a_file_with_the_mark_and_nothing_in_it_is_damaged(path: Path) -> None:
    with closing(plainly(path)) as db:
        db.execute(f"PRAGMA application_id = {0x53484A31}")
        db.execute("PRAGMA user_version = 1")
    with pytest.raises(JournalDamaged, match="its beginning is not what was recorded"):
        open_file(terms(path))


def test_a_second_look_decides_whether_it_is_damage(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A disk that fails once says the same; and a journal that is held is not looked at twice."""
    opened(path).close()
    usual, tries = opening._connected, list[int]()
    for code, times, kind in ((11, 1, None), (11, 2, JournalDamaged), (5, 1, JournalError)):
        error = sqlite3.DatabaseError("malformed")
        error.sqlite_errorcode = code
        tries.clear()

        def connected(
            asked: Terms, obstacle: str | None, error: sqlite3.Error = error, times: int = times
        ) -> opening.Opened:
            tries.append(1)
            if len(tries) <= times:
                raise error
            return usual(asked, obstacle)

        monkeypatch.setattr(opening, "_connected", connected)
        if kind is None:
            open_file(terms(path))[0].close()
            assert len(tries) == 2
        else:
            with pytest.raises(kind):
                open_file(terms(path))
            assert len(tries) == times


def test_what_cannot_be_made_is_told_as_a_writing_and_what_is_there_as_a_reading(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    error = sqlite3.OperationalError("x")
    error.sqlite_errorcode = 10

    def fail(*_: object) -> None:
        raise error

    monkeypatch.setattr(opening, "_connected", fail)
    monkeypatch.setattr(opening, "make_private", lambda _: None)
    with pytest.raises(JournalCannotWrite, match="could not be written") as told:
        open_file(terms(path))
    assert told.value.advice.startswith("Nothing was recorded.")
    path.write_bytes(HEADER)
    with pytest.raises(JournalCannotRead, match="could not be read"):
        open_file(terms(path))


def test_the_folder_of_a_new_journal_reaches_the_disk_before_anything_is_in_it(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    settled: list[tuple[Path, int]] = []
    monkeypatch.setattr(
        opening, "settle_folder", lambda one: settled.append((one, path.stat().st_size))
    )
    with closing(opened(path)) as journal:
        journal.append([check()])
    assert settled == [(path.parent, 0)]
    opened(path).close()
    assert len(settled) == 1
