"""What is recorded stays, once and as it was."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import JournalError, KeptJournal, NewEntry, SqliteJournal, new_uid
from tests.journal.helpers import Clock, check, opened, plainly

ROW = """
SELECT {seq}, {uid}, recorded_utc, {kind}, machine, point, {refers}, '{{"v":2}}', clock_ok, app,
       {prev}, hash FROM entries WHERE seq = 1
"""


def row(**changed: str) -> str:
    """Give the first entry as a SELECT, with other words in it."""
    words = {"seq": "seq", "uid": "uid", "kind": "kind", "refers": "refers", "prev": "prev"}
    return ROW.format(**(words | changed))


LAST = "(SELECT hash FROM entries WHERE seq = 2)"
FIRST_UID = "(SELECT uid FROM entries WHERE seq = 1)"
SECOND_VOID = row(seq="3", uid="'new'", kind="'void'", refers=FIRST_UID, prev=LAST)
ATTACKS = {
    "update": "UPDATE entries SET body = '{}'",
    "update of nothing new": "UPDATE entries SET seq = seq",
    "delete": "DELETE FROM entries",
    "replace": f"REPLACE INTO entries {row()}",
    "insert or replace": f"INSERT OR REPLACE INTO entries {row()}",
    "replace by the uid": f"REPLACE INTO entries {row(seq='3', prev=LAST)}",
    "replace by the number": "REPLACE INTO entries " + row(uid="'new'"),
    "replace of a void": f"REPLACE INTO entries {SECOND_VOID}",
    "upsert": f"INSERT INTO entries {row()} ON CONFLICT (uid) DO UPDATE SET body = '{{}}'",
    "update or replace": "UPDATE OR REPLACE entries SET seq = 2 WHERE seq = 1",
    "entry in between": "INSERT INTO entries " + row(seq="-5", uid="'new'"),
    "entry outside the chain": "INSERT INTO entries " + row(seq="3", uid="'new'"),
}


@pytest.fixture
def with_void(journal: SqliteJournal) -> SqliteJournal:
    (entry,) = journal.append([check()])
    journal.void(entry.uid, "typed wrong")
    return journal


@pytest.mark.parametrize("recursive_triggers", [0, 1])
@pytest.mark.parametrize("attack", ATTACKS.values(), ids=ATTACKS.keys())
def test_the_file_refuses_to_change(
    with_void: SqliteJournal, path: Path, attack: str, recursive_triggers: int
) -> None:
    """Not even another program can change or remove an entry by any statement on the table."""
    with closing(plainly(path)) as db:
        db.execute(f"PRAGMA recursive_triggers = {recursive_triggers}")
        before = db.execute("SELECT * FROM entries").fetchall()
        with pytest.raises(sqlite3.IntegrityError):
            db.execute(attack)
        assert db.execute("SELECT * FROM entries").fetchall() == before
    assert with_void.verify() is None


@pytest.mark.parametrize(
    "statement",
    [
        "DROP TRIGGER entries_no_delete",
        "DROP TABLE entries",
        "DELETE FROM entries",
        "UPDATE entries SET body = ''",
        "PRAGMA journal_mode = OFF",
        "PRAGMA synchronous = OFF",
        "PRAGMA writable_schema = ON",
        "ATTACH ':memory:' AS other",
        "CREATE TABLE other (x)",
        "DELETE FROM sqlite_sequence",
    ],
)
def test_the_program_itself_can_only_add(journal: SqliteJournal, statement: str) -> None:
    """The program's own connection has a second fence, which guards the guards."""
    with pytest.raises(sqlite3.DatabaseError, match=r"not authorized|prohibited"):
        journal._held.db().execute(statement)


def test_the_same_entry_twice_is_recorded_once(store: KeptJournal) -> None:
    """A second press of Enter hands in the same uid: it succeeds and adds nothing."""
    entry = check(error=0.12, words=["a", "ä", "″"])
    first = store.append([entry])
    assert store.append([entry]) == first
    assert store.append([entry, entry]) == first * 2
    assert store.count() == 1


def test_a_repeated_entry_is_told_with_what_became_of_it(store: KeptJournal) -> None:
    """Handing in an entry that was voided since gives it as void."""
    entry = check()
    store.append([entry])
    store.void(entry.uid, "typed wrong")
    assert store.append([entry])[0].void == "typed wrong"


def test_a_uid_cannot_name_two_things(store: KeptJournal) -> None:
    """The same uid with other content is a fault of the caller, and nothing of it is recorded."""
    entry = check(error=1)
    store.append([entry])
    other = NewEntry(entry.uid, "check", "saw", "blade", {"v": 1, "error": 2})
    with pytest.raises(JournalError, match="another entry"):
        store.append([check(), other])
    assert store.count() == 1


def test_entries_come_back_as_they_went_in(store: KeptJournal, clock: Clock) -> None:
    """Every field returns, also after the journal was closed and opened again."""
    body = {"v": 1, "text": '3/4″ "quoted" \x00\n', "n": [1, 2.5, None, True], "deep": {"a": {}}}
    new = NewEntry("id-1", "answer", "säge", "blatt/0°", body, refers="visit-1")
    (told,) = store.append([new])
    with closing(opened(store.path)) as again:
        assert again.get("id-1") == told
    assert (told.seq, told.uid, told.when) == (1, "id-1", clock.now)
    assert (told.kind, told.machine, told.point) == ("answer", "säge", "blatt/0°")
    assert (told.refers, told.body, told.void, told.clock_ok) == ("visit-1", body, None, True)


UNFIT: dict[str, NewEntry] = {
    "no uid": NewEntry("", "check"),
    "long uid": NewEntry("u" * 65, "check"),
    "no kind": NewEntry("u", ""),
    "long machine": NewEntry("u", "check", "m" * 201),
    "long point": NewEntry("u", "check", "m", "p" * 201),
    "nan": NewEntry("u", "check", body={"x": float("nan")}),
    "infinite": NewEntry("u", "check", body={"x": [float("-inf")]}),
    "no json": NewEntry("u", "check", body={"x": object()}),
    "mixed keys": NewEntry("u", "check", body={1: 2, "a": 3}),  # type: ignore[dict-item]
    "long body": NewEntry("u", "check", body={"x": "y" * 300_000}),
    "surrogate": NewEntry("u", "check", body={"x": "\ud800"}),
    "surrogate in a name": NewEntry("u", "check", "\udcff"),
    "NUL in a name": NewEntry("u", "check", "saw\0"),
}


@pytest.mark.parametrize("entry", UNFIT.values(), ids=UNFIT.keys())
def test_what_does_not_fit_is_refused_whole(store: KeptJournal, entry: NewEntry) -> None:
    """A limit is said in words, and no part of the same handing-in is recorded."""
    with pytest.raises(JournalError, match=r"cannot be recorded.*Nothing was recorded"):
        store.append([check(), entry])
    assert store.count() == 0


def test_a_body_nested_without_end_is_refused(store: KeptJournal) -> None:
    """JSON too deep to be read again is not recorded."""
    deep: dict[str, object] = {}
    for _ in range(100_000):
        deep = {"x": deep}
    with pytest.raises(JournalError, match="body"):
        store.append([NewEntry("u", "check", body=deep)])
    while deep:  # taken apart by hand: freeing it whole would recurse
        deep = deep["x"]  # type: ignore[assignment]


def test_no_entries_is_no_work(store: KeptJournal) -> None:
    """Recording nothing succeeds and leaves the journal as it was."""
    assert store.append([]) == []
    assert store.change_mark() == store.change_mark()


def test_uids_differ() -> None:
    """No two uids are the same."""
    assert len({new_uid() for _ in range(1000)}) == 1000
