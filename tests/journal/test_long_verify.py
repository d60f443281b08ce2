"""A long journal is looked through on two ways at once, tells how far it is and ends when told to.

The text that is sealed is held against Python's own JSON.
"""

from __future__ import annotations

import json
import os
import sqlite3
import threading
import time
from contextlib import closing
from pathlib import Path
from urllib.parse import quote

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.journal import chain, structure
from shopboard.journal.chain import SealedFields, first_damage, sealed_text
from shopboard.journal.entry import Damage
from tests.journal.helpers import check, opened

TEXT = st.text(st.characters(exclude_categories=["Cs"]))


@given(
    st.tuples(st.integers(0, 2**63 - 1), *([TEXT] * 4), TEXT, TEXT, TEXT, st.integers(0, 1), TEXT)
)
def test_the_sealed_text_is_that_of_the_json_library(fields: SealedFields) -> None:
    expected = json.dumps(fields, ensure_ascii=False, separators=(",", ":"))
    assert sealed_text(fields) == expected.encode()


@pytest.mark.parametrize(
    "wrong", [("1", "", 1), (1.0, "", 1), (1, None, 1), (1, b"", 1), (1, "", "1"), (1, "", 1.0)]
)
def test_a_field_of_another_type_is_never_sealed(wrong: tuple[object, ...]) -> None:
    seq, body, clock_ok = wrong
    fields = (seq, "u", "t", "k", "m", "p", "", body, clock_ok, "a")
    with pytest.raises(TypeError):
        sealed_text(fields)


@pytest.fixture
def long(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A journal of 60 entries that counts as a long one; each 10 are told."""
    monkeypatch.setattr(chain, "_MANY", 50)
    monkeypatch.setattr(chain, "_A_WHILE", 10)
    with closing(opened(tmp_path / "shop.journal")) as journal:
        journal.append([check(n=n) for n in range(60)])
    return tmp_path / "shop.journal"


def test_it_tells_how_far_it_is(long: Path) -> None:
    told: list[tuple[int, int]] = []
    with closing(opened(long)) as journal:
        assert journal.verify(said=lambda done, of: told.append((done, of))) is None
    assert told == [(done, 60) for done in range(10, 61, 10)]


def test_it_ends_when_it_is_interrupted(long: Path) -> None:
    def interrupt(_done: int, _of: int) -> None:
        raise KeyboardInterrupt

    with closing(opened(long)) as journal:
        with pytest.raises(KeyboardInterrupt):
            journal.verify(said=interrupt)
        assert threading.active_count() == 1
        assert journal.verify() is None


def _spoil(path: Path, statement: str) -> None:
    with closing(sqlite3.connect(path)) as db:
        for (name,) in db.execute(
            "SELECT name FROM sqlite_master WHERE type = 'trigger'"
        ).fetchall():
            db.execute(f"DROP TRIGGER {name}")
        db.execute(statement)
        db.commit()


def test_a_changed_letter_is_found_beside_a_whole_structure(long: Path) -> None:
    _spoil(long, "UPDATE entries SET body = replace(body, '1', '2') WHERE seq = 41")
    with closing(sqlite3.connect(long)) as db:
        damage = first_damage(db)
    assert damage is not None
    assert damage.seq == 41


def test_an_index_that_holds_other_keys_is_found_though_the_chain_is_whole(long: Path) -> None:
    with closing(sqlite3.connect(long)) as db:
        db.execute("PRAGMA writable_schema = 1")
        (one, its), (other, others) = db.execute(
            "SELECT name, rootpage FROM sqlite_master WHERE type = 'index' AND sql LIKE '%kind%'"
            " LIMIT 2"
        ).fetchall()
        swapped = "UPDATE sqlite_master SET rootpage = CASE name WHEN ? THEN ? ELSE ? END"
        db.execute(f"{swapped} WHERE name IN (?, ?)", (one, others, its, one, other))
        db.commit()
    with closing(sqlite3.connect(long)) as db:
        damage = first_damage(db)
    assert damage is not None
    assert "structure" in damage.what


def test_where_the_file_cannot_be_opened_twice_it_is_looked_at_once(long: Path) -> None:
    with closing(sqlite3.connect(long)) as db, closing(sqlite3.connect(":memory:")) as copy:
        db.backup(copy)
        assert first_damage(copy) is None


def test_where_its_path_is_no_text_it_is_looked_at_once(long: Path) -> None:
    strange = os.fsencode(long.parent) + b"/caf\xe9.journal"
    long.rename(os.fsdecode(strange))
    uri = f"file:{quote(strange)}?mode=ro"
    with closing(sqlite3.connect(uri, uri=True)) as db:
        assert first_damage(db) is None


def test_nobody_who_records_waits_for_it(long: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Recorded while the chain is compared; what was added meanwhile is no damage."""
    monkeypatch.setattr(structure, "_STEPS", 1)
    with closing(opened(long)) as journal, closing(opened(long, wait_seconds=0.3)) as board:
        found: list[int] = []

        def record(done: int, _of: int) -> None:
            found.append(board.append([check(n=1000 + done)])[0].seq)

        assert journal.verify(said=record) is None
        assert found == [61, 62, 63, 64, 65, 66]
        assert journal.verify() is None


SLOW = """
WITH RECURSIVE n (x) AS (SELECT begun(seq) FROM entries WHERE seq = 1 UNION ALL SELECT x + 1 FROM n
                          LIMIT 10000000)
SELECT count(*) FROM n
"""
"""Takes a second and more, as the look at a long journal does; tells when it reads the file."""


def test_the_look_at_the_structure_gives_way_and_comes_to_an_end(
    long: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    looks: list[str] = []

    def slow(db: sqlite3.Connection) -> Damage | None:
        def begun(seq: int) -> int:
            looks.append("begun")
            return seq

        db.create_function("begun", 1, begun)
        db.execute("SELECT begun(max(seq)) FROM entries" if looks else SLOW).fetchone()
        looks.append("ended")
        return None

    monkeypatch.setattr(structure, "structure_of", slow)
    with closing(opened(long)) as journal, closing(opened(long, wait_seconds=0.3)) as board:

        def record(done: int, of: int) -> None:
            while not looks:
                time.sleep(0.01)
            if done == of:
                board.append([check(n=1000)])

        assert journal.verify(said=record) is None
    assert looks == ["begun", "begun", "ended"]


def test_who_gives_up_does_not_wait_for_those_who_record(
    long: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Though the look is broken off for them over and over: an interrupt may come in between."""
    busy = sqlite3.OperationalError("database is locked")
    busy.sqlite_errorcode = sqlite3.SQLITE_BUSY
    broken_off: list[float] = []

    def always_in_the_way(_: sqlite3.Connection) -> None:
        broken_off.append(time.monotonic())
        time.sleep(0.01)
        raise busy

    monkeypatch.setattr(structure, "structure_of", always_in_the_way)
    with closing(sqlite3.connect(long, isolation_level=None)) as db:
        db.execute("BEGIN")
        db.execute("SELECT max(seq) FROM entries").fetchone()
        with structure.structure_beside(db):
            while len(broken_off) < 3:
                time.sleep(0.01)
            left = time.monotonic()
    assert time.monotonic() - left < 5
