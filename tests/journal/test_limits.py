"""Each limit of an entry, at it and one past it, as the journal's form says in `schema.py`.

What is refused is refused in words that name what is too long, and leaves nothing.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import (
    Damage,
    Entry,
    JournalError,
    KeptJournal,
    NewEntry,
    SqliteJournal,
    new_uid,
    queries,
)
from shopboard.journal.compared import Compared, at_place, on_machine
from shopboard.journal.held import TimeLimit
from tests.journal.helpers import Clock, check, opened, plainly

LONGEST = {"uid": 64, "kind": 32, "machine": 200, "point": 200, "refers": 64}

SAME = "ü"
"""Letters are counted, not bytes."""


@pytest.mark.parametrize("field", LONGEST)
def test_each_text_may_be_as_long_as_its_limit_and_no_longer(
    store: KeptJournal, field: str
) -> None:
    most = LONGEST[field]
    entry = NewEntry(**{"uid": "u", "kind": "check", field: SAME * most})  # type: ignore[arg-type]
    (told,) = store.append([entry])
    assert getattr(told, field) == SAME * most
    with pytest.raises(JournalError) as error:
        store.append([NewEntry(**{"uid": "v", "kind": "k", field: SAME * (most + 1)})])  # type: ignore[arg-type]
    assert f"recorded in the journal: its {field} is longer than {most} char" in error.value.title
    assert error.value.advice == "Nothing was recorded."


def test_a_name_is_128_bits_in_hexadecimal() -> None:
    assert len(bytes.fromhex(new_uid())) == 16


@pytest.mark.parametrize("field", ["uid", "kind"])
def test_what_may_not_be_empty(store: KeptJournal, field: str) -> None:
    with pytest.raises(JournalError, match=f": its {field} is empty"):
        store.append([NewEntry(**{"uid": "u", "kind": "k", field: ""})])  # type: ignore[arg-type]
    store.append([NewEntry("u", "k", "", "", {}, "")])  # all else may be


@pytest.mark.parametrize("field", LONGEST)
@pytest.mark.parametrize("letter", ["\0", "\ud800"])
def test_no_text_holds_what_the_file_could_not_give_back(
    store: KeptJournal, field: str, letter: str
) -> None:
    with pytest.raises(JournalError, match=f": its {field} holds a character that no text may"):
        store.append([NewEntry(**{"uid": "u", "kind": "k", field: f"a{letter}b"})])  # type: ignore[arg-type]


def test_a_body_may_be_as_long_as_its_limit_and_no_longer(store: KeptJournal) -> None:
    room = 262_144 - len('{"x":""}')
    (told,) = store.append([NewEntry("u", "check", body={"x": SAME * room})])
    assert told.body == {"x": SAME * room}
    with pytest.raises(JournalError, match=": its body is longer than 262144 characters"):
        store.append([NewEntry("v", "check", body={"x": SAME * (room + 1)})])
    with pytest.raises(JournalError, match=": its body holds a character that no text may hold"):
        store.append([NewEntry("v", "check", body={"x": "\ud800"})])
    for nothing in (float("nan"), object(), {1: 1, "a": 2}):
        with pytest.raises(JournalError, match=": its body is nothing that JSON can hold"):
            store.append([NewEntry("v", "check", body={"x": nothing})])
    assert store.count() == 1


def test_equal_bodies_are_equal_texts(journal: SqliteJournal, path: Path) -> None:
    """In the file: keys in order, nothing between, letters as they are."""
    journal.append([NewEntry("u", "check", body={"b": [1, "ü"], "a": None})])
    journal.append([NewEntry("u", "check", body={"a": None, "b": [1, "ü"]})])
    with closing(plainly(path)) as db:
        assert db.execute("SELECT body FROM entries").fetchall() == [('{"a":null,"b":[1,"ü"]}',)]


@pytest.mark.parametrize(
    ("refers", "body"),
    [("", {"reason": "a slip"}), ("u", {}), ("u", {"reason": ""}), ("u", {"reason": " \n"})],
)
def test_a_void_names_an_entry_and_says_why(
    store: KeptJournal, refers: str, body: dict[str, object]
) -> None:
    store.append([NewEntry("u", "check")])
    with pytest.raises(JournalError, match="a withdrawal must name an entry and give a reason"):
        store.append([NewEntry("v", "void", body=body, refers=refers)])


@pytest.mark.parametrize(
    ("seq", "shaken", "why", "says"),
    [
        (
            None,
            {0, 1, 7, 8, 99},
            "the journal is damaged",
            "None of its records counts until checked again. Any",
        ),
        (
            7,
            {0, 1},
            "the journal is damaged at entry 7",
            "No record before it counts until checked",
        ),
        (0, set(), "the journal is damaged", "No record is lost; put a good copy in"),
    ],
)
def test_what_damage_shakes(seq: int | None, shaken: set[int], why: str, says: str) -> None:
    """What stands before it may have been undone by it; what stands behind it, not."""
    damage = Damage(seq, "this and that")
    assert {one for one in (0, 1, 7, 8, 99) if damage.shakes(one)} == shaken
    assert damage.why == why
    assert damage.says.startswith("the journal is damaged: this and that.")
    assert says in damage.says


def test_what_is_newest_of_the_damage_is_kept() -> None:
    """Nowhere is newer than all; what is known already, or older, is told to nobody."""
    told: list[Damage] = []
    kept = Compared(told.append)
    assert (kept.damage, kept.found, kept.met) == (None, 0, 0)
    for seq, newest in ((5, 5), (3, 5), (5, 5), (8, 8), (0, 8), (None, None), (9, None)):
        kept.note(Damage(seq, f"{seq}"))
        assert kept.damage == Damage(newest, f"{newest}")
        kept.note(Damage(newest, "found once more"))
        assert kept.damage == Damage(newest, f"{newest}")
    assert [one.seq for one in told] == [5, 8, None]
    assert (kept.found, kept.met) == (3, 14)
    kept.forget()
    assert (kept.damage, kept.found, kept.met) == (None, 4, 14)
    kept.forget()
    assert kept.found == 4  # nothing was forgotten
    kept.note(Damage(0, "loose"))
    assert kept.damage == told[-1] == Damage(0, "loose")


def test_an_index_that_leads_astray_leaves_all_unsure_until_the_place_is_known() -> None:
    told: list[Damage] = []
    kept = Compared(told.append)
    kept.note(Damage(4, "four"))
    kept.go_astray()
    kept.go_astray()
    astray = Damage(None, "an index of it is out of order")
    assert kept.damage == astray
    assert (kept.found, kept.met, kept.located) == (2, 3, False)
    kept.locate(Damage(6, "six"))
    assert (kept.damage, kept.located, kept.met) == (Damage(6, "six"), True, 4)
    kept.note(Damage(None, "nowhere"))
    assert told == [Damage(4, "four"), astray, Damage(6, "six"), Damage(None, "nowhere")]
    kept.forget()
    assert kept.damage is None
    assert not kept.located
    kept.note(Damage(None, "nowhere"))
    kept.go_astray()
    assert kept.damage == Damage(None, "nowhere")  # it says more than the index


def entry(kind: str, machine: str, point: str) -> Entry:
    return Entry(1, "u", Clock().now, kind, machine, point, "", {}, None, clock_ok=True)


def test_what_was_asked_for_is_told_by_kind_and_place() -> None:
    asked = ("check", "saw", "blade")
    fits, here = at_place(*asked), on_machine(*asked[:2])
    assert fits(entry(*asked))
    assert here(entry("check", "saw", "fence"))
    for other in (("moved", "saw", "blade"), ("check", "planer", "blade")):
        assert not fits(entry(*other))
        assert not here(entry(*other))
    assert not fits(entry("check", "saw", "fence"))


def test_a_question_may_take_so_long_and_no_longer() -> None:
    now = [10.0]
    limit = TimeLimit(3.0, lambda: now[0])
    assert (limit.seconds, limit.is_over()) == (3.0, False)
    limit.begin(2.0)
    for after, over in ((0.0, False), (2.0, False), (2.001, True)):
        now[0] = 10.0 + after
        assert limit.is_over() is over
    limit.begin(None)
    now[0] = 1e9
    assert not limit.is_over()


@pytest.mark.parametrize(
    ("statement", "allowed"),
    [
        ("SELECT count(*) FROM entries", True),
        ("PRAGMA data_version", True),
        ("PRAGMA user_version", True),
        ("PRAGMA database_list", True),
        ("PRAGMA integrity_check(1)", True),
        ("WITH RECURSIVE n (x) AS (SELECT 1 UNION SELECT 2 FROM n) SELECT * FROM n", True),
        ("INSERT INTO sqlite_sequence VALUES ('x', 1)", False),
        ("PRAGMA cache_size = 1", False),
        ("SAVEPOINT s", False),
        ("REINDEX", False),
    ],
)
def test_what_the_program_s_own_connection_may_do(
    journal: SqliteJournal, statement: str, allowed: bool
) -> None:
    db = journal._held.db()
    if allowed:
        assert db.execute(statement).fetchall()
    else:
        with pytest.raises(sqlite3.DatabaseError, match=r"not authorized|prohibited"):
            db.execute(statement)


@pytest.mark.parametrize(
    "spoil",
    [
        lambda row: (*row[:7], "{}", *row[8:]),
        lambda row: (*row[:10], bytes(31), *row[11:]),
        lambda row: (*row[:10], "x" * 32, *row[11:]),
        lambda row: (*row[:11], bytes(32), *row[12:]),
        lambda row: (row[0] + 1, *row[1:]),
        lambda row: (None, *row[1:]),
        lambda row: (*row[:8], 0, *row[9:]),
        lambda row: (*row[:9], "0", *row[10:]),
    ],
)
def test_a_row_that_does_not_fit_its_seal_is_no_entry(
    journal: SqliteJournal, spoil: Callable[[tuple[object, ...]], queries.StoredRow]
) -> None:
    journal.append([check(n=1)])
    row = journal._held.db().execute(f"{queries.ENTRY} WHERE e.seq = 1").fetchone()
    assert queries.entry_of(row).body == {"v": 1, "n": 1}
    with pytest.raises((TypeError, ValueError)):
        queries.entry_of(spoil(row))


@pytest.mark.parametrize("body", ["[]", "7", "{} ", ' {"v":1}', '{"v":1}{', "{", ""])
def test_a_sealed_body_that_is_no_object_is_no_entry(store: KeptJournal, body: str) -> None:
    """Whoever wrote it: nothing else was ever recorded."""
    with pytest.raises(ValueError):  # noqa: PT011 - which one says nothing
        queries.unsealed(
            (1, "u", "2026-06-01T08:00:00.000000Z", "k", "", "", "", body, 1, "", b"", b"", None)
        )


def test_the_guards_are_named_and_each_is_asked_for(path: Path) -> None:
    """Without any of them nothing is recorded, and the name of it is told."""
    opened(path).close()
    with closing(plainly(path)) as db:
        guards = dict(db.execute("SELECT name, sql FROM sqlite_master WHERE type = 'trigger'"))
        assert len(guards) == 3
        for name, sql in guards.items():
            db.execute(f"DROP TRIGGER {name}")
            with closing(opened(path)) as journal:
                assert journal.refusal is not None
                assert f"append-only ({name})" in journal.refusal.title
                assert "It can be read" in journal.refusal.advice
            db.execute(sql)
    with closing(opened(path)) as journal:
        assert journal.refusal is None
