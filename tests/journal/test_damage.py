"""Damage is found and named; it is never taken for an answer, nor mended silently."""

from __future__ import annotations

import random
import sqlite3
from collections import Counter
from contextlib import closing, suppress
from pathlib import Path

import pytest

from shopboard.journal import (
    Damage,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalMissing,
    NewEntry,
    SqliteJournal,
)
from shopboard.journal.faults import damage_fault, unreadable
from tests.journal.helpers import check, opened, plainly

FLIPS = 250


def _raw(path: Path, *statements: str) -> None:
    """Change the file behind the guards' backs, as a failing disk would."""
    with closing(plainly(path)) as db:
        for name in ("entries_no_update", "entries_no_delete", "entries_insert"):
            db.execute(f"DROP TRIGGER {name}")
        db.execute("PRAGMA ignore_check_constraints = ON")
        for statement in statements:
            db.execute(statement)


@pytest.fixture
def filled(path: Path) -> Path:
    with closing(opened(path)) as journal:
        journal.append([check(n=n, text="gap between leaf and square") for n in range(40)])
    return path


def test_a_whole_journal_verifies(journal: SqliteJournal) -> None:
    """Empty, short, and asked for more entries than there are: no damage."""
    assert journal.verify() is None
    assert journal.verify(500) is None
    journal.append([check() for _ in range(10)])
    for newest in (None, 0, 1, 3, 10, 500):
        assert journal.verify(newest) is None


@pytest.mark.parametrize(
    ("statement", "seq", "what"),
    [
        ("UPDATE entries SET body = replace(body, 'gap', 'gab') WHERE seq = 7", 7, "not what was"),
        ("UPDATE entries SET clock_ok = 0 WHERE seq = 1", 1, "not what was"),
        ("UPDATE entries SET machine = 'bandsaw' WHERE seq = 40", 40, "not what was"),
        ("UPDATE entries SET prev = zeroblob(32) WHERE seq = 9", 9, "not what was"),
        (
            "UPDATE entries SET body = CAST(x'7b22ff227d' AS TEXT) WHERE seq = 8",
            8,
            "cannot be read",
        ),
        ("DELETE FROM entries WHERE seq = 20", 20, "missing"),
        ("DELETE FROM entries WHERE seq > 38", None, "missing at the end"),
        ("DELETE FROM entries", None, "missing at the end"),
    ],
)
def test_a_changed_entry_is_named(filled: Path, statement: str, seq: int | None, what: str) -> None:
    """The first entry that is not what was recorded is given by its number."""
    _raw(filled, statement)
    with closing(opened(filled)) as journal:
        damage = journal.verify()
    assert damage is not None
    assert damage.seq == seq
    assert what in damage.what


def test_a_short_look_finds_new_damage_only(filled: Path) -> None:
    """The look at the newest entries is cheap, and blind to what is older."""
    _raw(filled, "UPDATE entries SET body = '{}' WHERE seq = 30")
    with closing(opened(filled)) as journal:
        assert journal.verify(5) is None
        assert journal.verify(10) is None
        damage = journal.verify(11)
    assert damage is not None
    assert damage.seq == 30


@pytest.mark.parametrize(
    "body", ["'[1]'", "'{'", "CAST(x'7b22ff227d' AS TEXT)", f"'{'[' * 100_000}'", "'7'"]
)
def test_an_unreadable_entry_is_named_and_no_answer(filled: Path, body: str) -> None:
    """Of a body that is no JSON object any more nothing is shown, nor what was there before it."""
    _raw(filled, f"UPDATE entries SET body = {body} WHERE seq = 40")
    told: list[Damage] = []
    with closing(opened(filled, told=told.append)) as journal:
        assert journal.latest("check") == {}
        assert journal.damage == Damage(40, "entry 40 is not what was recorded")
        assert told == [journal.damage]
        assert len(journal.recent("check", "saw", "blade")) == 39
        assert told == [journal.damage]


def test_a_time_that_is_none_is_damage(filled: Path) -> None:
    """The newest time is not gone by where it is destroyed; recording goes on without it."""
    with closing(opened(filled)) as journal:
        _raw(filled, "UPDATE entries SET recorded_utc = substr(recorded_utc, 1, 26)||'?'")
        assert journal.newest_when() is None
        assert journal.damage is not None
        entry = journal.append([check()])[0]
        assert entry.clock_ok
        assert journal.latest("check") == {("saw", "blade"): entry}


def test_a_lost_table_is_damage(filled: Path) -> None:
    """A file with the journal's marks but without its table is no journal to write to."""
    with closing(opened(filled)) as journal:
        with closing(plainly(filled)) as db:
            db.execute("DROP TABLE entries")
            db.execute("CREATE TABLE other (x)")
        with pytest.raises(JournalDamaged):
            journal.count()
        assert journal.verify() is not None


def test_every_flipped_bit_is_found_or_harmless(filled: Path, tmp_path: Path) -> None:
    """Flip bits all over the file: no changed answer passes unseen.

    What was recorded is read back unchanged, or the damage is found, or a
    `JournalError` says that the file cannot be opened. Never anything else.
    """
    copy = tmp_path / "flipped"
    with closing(opened(filled)) as journal:
        journal.append([check(n=n, text="gap between leaf and square " * 9) for n in range(100)])
    raw, good = filled.read_bytes(), _everything(filled)
    chance, told = random.Random(20260601), Counter[str]()
    for _ in range(FLIPS):
        flipped = bytearray(raw)
        flipped[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
        copy.write_bytes(flipped)
        told[_judgement(copy, good)] += 1
    assert told["changed unseen"] == 0, told
    assert told["found"] > FLIPS / 4, told


def _judgement(path: Path, good: list[object]) -> str:
    try:
        with closing(opened(path, read_only=True)) as journal:
            if journal.verify() is not None:
                return "found"
            answers = [*journal.recent("check", "saw", "blade"), *journal.latest("check").values()]
            return "harmless" if answers == good else "changed unseen"
    except JournalError:
        return "cannot be opened"


def _everything(path: Path) -> list[object]:
    with closing(opened(path)) as journal:
        return [*journal.recent("check", "saw", "blade"), *journal.latest("check").values()]


def test_recording_on_flipped_bits_never_fails_otherwise(filled: Path, tmp_path: Path) -> None:
    """Recording into a damaged file works or raises a `JournalError`; nothing else comes out."""
    copy = tmp_path / "flipped"
    raw, chance = filled.read_bytes(), random.Random(7)
    for _ in range(FLIPS // 2):
        flipped = bytearray(raw)
        for _ in range(5):
            flipped[chance.randrange(len(raw))] ^= 1 << chance.randrange(8)
        copy.write_bytes(flipped)
        with (
            suppress(JournalError),
            closing(opened(copy, wait_seconds=0.1)) as journal,
        ):
            journal.append([check(), NewEntry("v", "begin")])
            journal.open_checks()
            journal.newest_when()
        for rest in tmp_path.glob("flipped*"):
            rest.unlink()


def test_structure_damage_is_told_by_sqlite(filled: Path) -> None:
    """An index that lost a key would hide an entry from the board; the whole check sees it."""
    with closing(plainly(filled)) as db:
        db.execute("PRAGMA writable_schema = ON")
        db.execute(
            "UPDATE sqlite_master SET sql = replace(sql, 'machine, point', 'point, machine')"
            " WHERE name = 'entries_place'"
        )
    with closing(opened(filled)) as journal:
        damage = journal.verify()
    assert damage is not None
    assert damage.seq is None
    assert "structure" in damage.what


def test_every_fault_of_the_file_names_the_command_that_helps(path: Path) -> None:
    """What a person reads on the screen is what is typed next."""
    unread, nowhere = unreadable(path), path.with_name("nowhere")
    assert "`shopboard restore FROM" in unread.advice
    with pytest.raises(JournalMissing) as missing:
        opened(nowhere, create=False)
    assert "`shopboard restore FROM`" in missing.value.advice
    path.write_text("no journal, though it is long enough to be looked at as one" * 9)
    with pytest.raises(JournalDamaged) as damaged:
        opened(path)
    for command in ("restore FROM", "salvage"):
        assert f"`shopboard {command}`" in damaged.value.advice
        assert f"`shopboard {command}`" in damage_fault(path, "entry 1 is missing").advice
    with closing(sqlite3.connect(nowhere)) as db:
        db.execute("CREATE TABLE t (a)")
    with pytest.raises(JournalForeign) as foreign:
        opened(nowhere)
    assert "`--journal FILE`" in foreign.value.advice
