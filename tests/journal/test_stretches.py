"""Whatever is damaged, and in however long stretches it is looked at, the same is found.

Which entries are not what was recorded is reckoned here by Python's own `sqlite3`, JSON and hash.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, closing
from pathlib import Path

import pytest

from shopboard.journal import Damage, LookedTo, NewEntry, chain, look, queries, structure
from shopboard.journal.chain import GENESIS, first_damage
from shopboard.journal.compared import Compared, changed, lost, rows_of
from tests.journal.helpers import check, opened, plainly

LAST = 12


def own(db: sqlite3.Connection) -> dict[int, tuple[bytes, bytes, bytes]]:
    """Give of each entry what stood before it, its seal, and the seal that fits it."""
    found = {}
    for *fields, prev, seal in db.execute("SELECT * FROM entries ORDER BY seq"):
        text = json.dumps(fields, ensure_ascii=False, separators=(",", ":")).encode()
        found[fields[0]] = prev, seal, hashlib.sha256(prev + text).digest()
    return found


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """A journal of twelve entries of every kind that has an index of its own, without guards."""
    path = tmp_path_factory.mktemp("whole") / "journal"
    with closing(opened(path)) as journal:
        journal.append([check(n=n) for n in range(4)])
        journal.append([NewEntry(f"b{n}", "begin", "saw", "blade") for n in range(3)])
        journal.append([NewEntry("e0", "end", "saw", "blade", refers="b0")])
        journal.append([NewEntry("a", "answer", "saw", "blade", refers="b1")])
        journal.append([NewEntry("v", "void", body={"reason": "a slip"}, refers="b2")])
        journal.append([check("fence", n=n) for n in range(2)])
    with closing(plainly(path)) as db:
        for guard in ("entries_no_update", "entries_no_delete", "entries_insert"):
            db.execute(f"DROP TRIGGER {guard}")
        assert {*own(db)} == {*range(1, LAST + 1)}
        assert all(seal == fits for _, seal, fits in own(db).values())
    return path.read_bytes()


@pytest.fixture
def db(whole: bytes) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        db.deserialize(whole)
        db.execute("PRAGMA ignore_check_constraints = ON")
        yield db


def resealed(db: sqlite3.Connection, seq: int) -> None:
    """Give an entry the seal that fits it: it was changed by somebody, and the chain breaks."""
    db.execute("UPDATE entries SET hash = ? WHERE seq = ?", (own(db)[seq][2], seq))


SPOILT: dict[str, Callable[[sqlite3.Connection, int], object]] = {
    "body": lambda db, seq: db.execute(
        "UPDATE entries SET body = '{\"x\":1}' WHERE seq = ?", (seq,)
    ),
    "seal": lambda db, seq: db.execute("UPDATE entries SET hash = x'00' WHERE seq = ?", (seq,)),
    "before": lambda db, seq: db.execute("UPDATE entries SET prev = x'00' WHERE seq = ?", (seq,)),
    "gone": lambda db, seq: db.execute("DELETE FROM entries WHERE seq = ?", (seq,)),
    "letters": lambda db, seq: db.execute(
        "UPDATE entries SET body = CAST(x'7b22ff227d' AS TEXT) WHERE seq = ?", (seq,)
    ),
}

NUMBERS = (1, 2, 5, LAST - 1, LAST)


def seen(db: sqlite3.Connection, count: int) -> list[Damage]:
    """Give all that a look finds, in stretches of so many entries."""
    told: list[Damage] = []
    compared = Compared()
    place = look.newest_place(db, compared)
    for _ in range(LAST + 3):
        if place.seq <= 0:
            break
        place = look.look(db, place, count, told.append)
    assert place.seq == 0
    return told


@pytest.mark.parametrize("count", [1, 2, 3, LAST - 1, LAST, LAST + 1, 1000])
def test_a_whole_one_is_found_whole_and_ends_at_its_beginning(
    db: sqlite3.Connection, count: int
) -> None:
    assert seen(db, count) == []
    place = LookedTo(LAST, own(db)[LAST][1])
    assert look.newest_place(db, Compared()) == place
    place = look.look(db, place, count, lambda _: None)
    low = max(LAST - count, 0)
    assert place == LookedTo(low, own(db)[low][1] if low else GENESIS)
    for end in (LookedTo(0), LookedTo(-1), LookedTo(0, GENESIS)):
        assert look.look(db, end, count, lambda _: None) == end


@pytest.mark.parametrize("seq", NUMBERS)
@pytest.mark.parametrize("how", SPOILT)
def test_the_same_is_found_in_stretches_of_any_length(
    db: sqlite3.Connection, how: str, seq: int
) -> None:
    SPOILT[how](db, seq)
    expected = [lost(seq)] if how == "gone" else [changed(seq)]
    if how == "gone" and seq == LAST:
        expected = []  # that entries are missing at the end is told by what SQLite counted
    for count in (1, 2, 3, LAST - 1, LAST, LAST + 1):
        assert seen(db, count) == expected, count


@pytest.mark.parametrize("seq", NUMBERS)
def test_who_seals_a_changed_entry_anew_breaks_the_chain_behind_it(
    db: sqlite3.Connection, seq: int
) -> None:
    """Its own seal fits; that of the next one says that it was another."""
    SPOILT["body"](db, seq)
    resealed(db, seq)
    for count in (1, 2, LAST):
        assert seen(db, count) == ([changed(seq + 1)] if seq < LAST else []), count


def test_a_first_entry_that_has_one_before_it_is_told(db: sqlite3.Connection) -> None:
    db.execute("UPDATE entries SET prev = hash WHERE seq = 1")
    resealed(db, 1)
    for count in (1, 5, LAST):
        assert changed(1) in seen(db, count), count


@pytest.mark.parametrize("count", [1, 2, 5, LAST])
def test_a_row_of_entries_that_is_gone_is_told_by_its_newest(
    db: sqlite3.Connection, count: int
) -> None:
    db.execute("DELETE FROM entries WHERE seq BETWEEN 5 AND 8")
    told = seen(db, count)
    assert told[0] == lost(8)
    assert {*told} <= {lost(n) for n in range(5, 9)}


@pytest.mark.parametrize("seq", NUMBERS)
@pytest.mark.parametrize("how", SPOILT)
def test_the_first_that_is_not_what_was_recorded_among_the_newest(
    db: sqlite3.Connection, how: str, seq: int
) -> None:
    """Of so many as are asked for; the one before them is asked for its seal alone."""
    SPOILT[how](db, seq)
    for newest in (*range(LAST + 2), None):
        damage = first_damage(db, newest)
        start = 0 if newest is None else max(0, LAST - newest)
        if how == "gone" and seq == LAST:
            assert damage == Damage(
                None, f"entries are missing at the end, after number {LAST - 1}"
            )
        elif seq > start:
            assert damage is not None
            assert damage.seq == seq
            what = {"gone": f"entry {seq} is missing"}
            words = what.get(how, f"entry {seq} is not what was recorded")
            assert damage.what in (words, f"entry {seq} holds text that cannot be read")
        elif seq == start and how == "gone":
            assert damage == Damage(seq, f"entry {seq} is missing")
        elif seq == start < LAST and how == "seal":
            assert damage == Damage(seq + 1, f"entry {seq + 1} is not what was recorded")
        else:
            assert damage is None
        assert not db.in_transaction


@pytest.mark.parametrize("many", [LAST, LAST + 1])
def test_it_tells_how_far_it_is_at_each_so_many(
    whole: bytes, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, many: int
) -> None:
    """From how many on it is a long one changes nothing of what is found."""
    path = tmp_path / "journal"
    path.write_bytes(whole)
    monkeypatch.setattr(chain, "_MANY", many)
    monkeypatch.setattr(chain, "_A_WHILE", 5)
    beside: list[bool] = []
    usual = structure.structure_beside

    def watched(db: sqlite3.Connection) -> AbstractContextManager[Callable[[], Damage | None]]:
        beside.append(True)
        return usual(db)

    monkeypatch.setattr(chain, "structure_beside", watched)
    told: list[tuple[int, int]] = []
    with closing(plainly(path)) as db:
        assert first_damage(db, said=lambda *far: told.append(far)) is None
        assert bool(beside) is (many == LAST)
        assert told == [(5, LAST), (10, LAST)]
        assert first_damage(db, 7, said=lambda *far: told.append(far)) is None
        assert told[2:] == [(10, LAST)]
        for seq in reversed(NUMBERS):
            SPOILT["body"](db, seq)
            assert first_damage(db) == changed(seq)


@pytest.mark.parametrize("rollback", [None, b""])
@pytest.mark.parametrize("give_way", [20.0, 0.0])
def test_where_nobody_records_it_is_looked_at_once(
    whole: bytes,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    rollback: bytes | None,
    give_way: float,
) -> None:
    """An empty rollback file is what each recording leaves."""
    path = tmp_path / "journal"
    path.write_bytes(whole)
    if rollback is not None:
        Path(f"{path}-journal").write_bytes(rollback)
    for name, value in (("_STEPS", 1), ("_GIVE_WAY", give_way)):
        monkeypatch.setattr(structure, name, value)
    monkeypatch.setattr(chain, "_MANY", LAST)
    looks: list[int] = []
    usual = structure.structure_of

    def counted(db: sqlite3.Connection) -> Damage | None:
        looks.append(1)
        return usual(db)

    monkeypatch.setattr(structure, "structure_of", counted)
    with closing(plainly(path)) as db:
        assert first_damage(db) is None
    assert looks == [1]


def test_sqlite_s_own_words_are_told_without_stars(db: sqlite3.Connection) -> None:
    db.execute("PRAGMA writable_schema = ON")
    db.execute(
        "UPDATE sqlite_master SET sql = replace(sql, 'machine, point', 'point, machine')"
        " WHERE name = 'entries_place'"
    )
    with closing(sqlite3.connect(":memory:")) as again:
        again.deserialize(db.serialize())
        (told,) = again.execute("PRAGMA integrity_check(1)").fetchone()
        damage = structure.structure_of(again)
    assert damage is not None
    assert damage.seq is None
    words = damage.what.removeprefix("the file's structure is damaged (").removesuffix(")")
    assert words.split() == told.replace("*** in database main ***", "").split()
    assert "*" not in words


def test_a_second_look_at_the_file_waits_for_nobody(whole: bytes, tmp_path: Path) -> None:
    """Who waits to write holds off new readers (file locking, 3.0: PENDING), and waits for us."""
    path = tmp_path / "journal"
    path.write_bytes(whole)
    with (
        closing(plainly(path)) as db,
        closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as writer,
    ):
        db.execute("BEGIN")
        assert db.execute("SELECT max(seq) FROM entries").fetchone() == (LAST,)
        beside = structure._beside(db)
        assert beside is not None
        with closing(beside), pytest.raises(sqlite3.OperationalError):
            beside.execute("DELETE FROM entries")  # it only reads
        writer.execute("BEGIN IMMEDIATE")
        writer.execute("DELETE FROM entries")
        with pytest.raises(sqlite3.OperationalError, match="locked"):
            writer.execute("COMMIT")
        began = time.monotonic()
        assert structure._beside(db) is None
        assert time.monotonic() - began < 0.9


@pytest.mark.parametrize(
    ("told", "raises"),
    [
        ("unable to get the page. error code=10", True),
        ("Page 3: unable to get the page. error code=266", True),
        ("unable to get the page. error code=11", False),
        ("row 1 missing from index", False),
    ],
)
def test_a_page_that_the_disk_did_not_give_is_no_damage(told: str, raises: bool) -> None:
    """Its code is 10, or one of those made of it."""

    class Asked:
        def execute(self, _: str) -> Asked:
            return self

        def fetchone(self) -> tuple[str]:
            return (told,)

    asked: object = Asked()
    if raises:
        with pytest.raises(sqlite3.OperationalError) as error:
            structure.structure_of(asked)  # type: ignore[arg-type]
        assert error.value.sqlite_errorcode == 10
    else:
        damage = structure.structure_of(asked)  # type: ignore[arg-type]
        assert damage == Damage(None, f"the file's structure is damaged ({told})")


def test_each_index_is_counted(db: sqlite3.Connection) -> None:
    """One key too few, by taking the index and making it of fewer entries."""
    assert look.has_every_key(db)
    compared = Compared()
    look.newest_place(db, compared)
    assert compared.damage is None
    wheres = {
        "entries_refers": "refers <> ''",
        "entries_void": "kind = 'void'",
        "entries_end": "kind = 'end'",
        "entries_begin": "kind = 'begin'",
        "entries_clock": "clock_ok = 1",
    }
    raw = db.serialize()
    for name, where in wheres.items():
        db.deserialize(raw)
        _lose_a_key(db, name)
        with closing(sqlite3.connect(":memory:")) as spoilt:
            spoilt.deserialize(db.serialize())
            (seq,) = spoilt.execute(
                f"SELECT count(*) FROM entries INDEXED BY {name} WHERE {where}"
            ).fetchone()
            (all_of_them,) = spoilt.execute(
                f"SELECT count(*) FROM entries NOT INDEXED WHERE {where}"
            ).fetchone()
            assert seq == all_of_them - 1, name
            assert not look.has_every_key(spoilt), name
            compared = Compared()
            look.newest_place(spoilt, compared)
            counted = name in ("entries_void", "entries_end", "entries_begin")
            assert (compared.damage is not None) is counted, name
            told: list[Damage] = []
            look.look(spoilt, LookedTo(LAST), LAST, told.append)
            assert len(told) == 1, name
            assert "is not found where it was recorded" in told[0].what


def _lose_a_key(db: sqlite3.Connection, index: str) -> None:
    """Let the page of an index hold one key fewer: their number is in its head (format, 1.6)."""
    (page,) = db.execute("SELECT rootpage FROM sqlite_master WHERE name = ?", (index,)).fetchone()
    raw = bytearray(db.serialize())
    at = (page - 1) * 4096 + 3
    raw[at : at + 2] = (int.from_bytes(raw[at : at + 2], "big") - 1).to_bytes(2, "big")
    db.deserialize(bytes(raw))


def test_a_form_that_is_not_what_was_made_is_told(db: sqlite3.Connection) -> None:
    db.execute("CREATE INDEX more ON entries (uid)")
    compared = Compared()
    assert look.newest_place(db, compared).seq == LAST
    assert compared.damage is None  # what is there besides does no harm
    db.execute("DROP INDEX entries_end")
    db.execute("CREATE INDEX entries_end ON entries (refers, seq) WHERE kind = 'end'")
    look.newest_place(db, compared)
    assert compared.damage == Damage(None, "its tables are not as this program makes them")
    db.execute("PRAGMA user_version = 2")  # a newer one has a form of its own
    compared = Compared()
    assert look.newest_place(db, compared) == LookedTo(0)
    assert compared.damage is None


@pytest.mark.parametrize(
    ("counted", "damage"), [(LAST, False), (LAST + 1, True), (LAST - 1, True), (None, True)]
)
def test_entries_that_are_missing_at_the_end_are_told_by_what_was_counted(
    db: sqlite3.Connection, counted: int | None, damage: bool
) -> None:
    if counted is None:
        db.execute("DELETE FROM sqlite_sequence")
    else:
        db.execute("UPDATE sqlite_sequence SET seq = ?", (counted,))
    compared = Compared()
    look.newest_place(db, compared)
    told = Damage(None, f"entries are missing at the end, after number {LAST}")
    assert compared.damage == (told if damage else None)
    for newest in (None, 3):
        assert first_damage(db, newest) == (told if damage else None)


def test_rows_are_given_though_their_text_is_none(db: sqlite3.Connection) -> None:
    SPOILT["letters"](db, 5)
    rows = rows_of(db, queries.NUMBERED, (5,))
    assert rows[0][7] == '{"\udcff"}'
    assert db.text_factory is str
    with pytest.raises(sqlite3.OperationalError):
        rows_of(db, "SELECT * FROM nowhere", ())


def test_a_row_that_is_sound_by_itself_was_not_what_was_asked_for(db: sqlite3.Connection) -> None:
    """Then an index led astray; else the entry itself is damaged, and named."""
    good = db.execute(f"{queries.ENTRY} WHERE e.seq = 5").fetchone()
    spoilt = (*good[:7], '{"x":1}', *good[8:])
    compared = Compared()
    assert compared.is_whole(db, good)
    assert compared.damage is None
    assert not compared.is_whole(db, spoilt)  # as an index alone gave it
    assert compared.damage == Damage(None, "an index of it is out of order")
    compared = Compared()
    assert compared.entry(db, spoilt) is None
    assert compared.damage == Damage(None, "an index of it is out of order")
    SPOILT["body"](db, 5)
    compared = Compared()
    assert not compared.is_whole(db, spoilt)
    assert compared.damage == changed(5)
    entry = compared.entry(db, good)
    assert entry is not None
    assert entry.seq == 5


def test_why_an_entry_was_voided_is_told_by_its_void_alone(db: sqlite3.Connection) -> None:
    row = db.execute(f"{queries.ENTRY} WHERE e.uid = 'b2'").fetchone()
    assert row[12] == 10
    unknown = "the reason is not what was recorded"
    for void, reason, damage in (
        (10, "a slip", None),
        (None, None, None),
        (8, unknown, Damage(None, "an index of it is out of order")),
        (99, unknown, Damage(None, "an index of it is out of order")),
    ):
        compared = Compared()
        entry = compared.entry(db, (*row[:12], void))
        assert entry is not None
        assert (entry.void, compared.damage) == (reason, damage)
    SPOILT["seal"](db, 10)
    compared = Compared()
    entry = compared.entry(db, row)
    assert entry is not None
    assert (entry.void, compared.damage) == (unknown, changed(10))


def test_entries_are_given_newest_first_and_each_once(db: sqlite3.Connection) -> None:
    rows = db.execute(f"{queries.ENTRY} ORDER BY e.seq DESC").fetchall()

    def given(rows: list[queries.StoredRow], damage: Damage | None) -> list[int]:
        compared = Compared()
        found = compared.entries(db, rows, lambda one: one.seq != 3)
        numbers = [one.seq for one in found]
        assert compared.damage == damage
        return numbers

    astray = Damage(None, "an index of it is out of order")
    assert given(rows[:9], None) == [12, 11, 10, 9, 8, 7, 6, 5, 4]
    assert given(rows, astray) == [12, 11, 10, 9, 8, 7, 6, 5, 4, 2, 1]
    assert given([rows[0], rows[0]], astray) == [12]
    assert given([rows[1], rows[0]], astray) == [11]
    nothing = (None,) * 13
    assert given([rows[0], (*nothing, 7), rows[8]], lost(7)) == [12, 4]  # type: ignore[list-item]
    assert given([(*nothing, "x")], astray) == []  # type: ignore[list-item]


def test_the_newest_of_each_place_is_one_that_is_there(db: sqlite3.Connection) -> None:
    """In the words of the query: the place, the number, and whether the index turned back."""
    row = db.execute(f"{queries.ENTRY} WHERE e.seq = 4").fetchone()
    nothing, astray = (None,) * 13, Damage(None, "an index of it is out of order")
    place = ("saw", "blade")
    for asked, given, damage in (
        ((*row, *place, 4, 0), [4], None),
        ((*row, *place, 4, 1), [4], astray),
        ((*row, *place, 4, None), [4], None),
        ((*row, "saw", "fence", 4, 0), [], astray),
        ((*nothing, *place, None, 1), [], astray),
        ((*nothing, *place, None, 0), [], None),
        ((*nothing, *place, 7, 0), [], lost(7)),
        ((*nothing, *place, "x", 0), [], astray),
        ((*row[:7], "{}", *row[8:], *place, 4, 0), [], astray),
    ):
        compared = Compared()
        found = [*compared.newest(db, "check", [asked])]
        assert [entry.seq for _, entry in found] == given
        assert [where for where, _ in found] == [place] * len(given)
        assert compared.damage == damage
    assert [*Compared().newest(db, "begin", [(*row, *place, 4, 0)])] == []
