"""Whatever happens to the bytes of a journal, its readable entries come back, and only true ones.

What is readable is found out in another way than the program reads: the rows are known from
before, and one is readable where none of its bytes was touched.
"""

from __future__ import annotations

import json
import random
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalCannotWrite,
    JournalDamaged,
    JournalMissing,
    NewEntry,
    new_uid,
    open_journal,
)
from shopboard.journal.kinds import Lost
from shopboard.journal.salvage import salvage
from shopboard.upkeep.after_salvage import left_unproven, unproven_entries
from tests.in_turn import part
from tests.journal.helpers import Clock, check, filled, opened, plainly, uids

NOW = datetime(2026, 6, 2, 9, 0, tzinfo=UTC)

COLUMNS = "uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app"

PAGE = 4096

ROUNDS = part(60)

Kept = list[tuple[object, ...]]


def made(path: Path, entries: int = 300, seed: int = 16) -> Kept:
    """Make a journal of many days and sizes; give its rows."""
    chance, clock = random.Random(seed), Clock()
    machines = ("saw", "jointer", "the bandsaw ½ in", "m" * 190)
    with closing(open_journal(path, clock)) as journal:
        for number in range(entries):
            clock.pass_by(hours=chance.random() * 40)
            size = chance.choice((1, 3, 30, 100, 300, 1000)) if number % 97 else 14_000
            body = {"v": 1, "text": f"{number:04}½ " * size}
            place = (chance.choice(machines), chance.choice(("blade", "", "fence-90")))
            journal.append([NewEntry(new_uid(), "check", *place, body)])
    return rows_of(path)


def rows_of(path: Path) -> Kept:
    with closing(plainly(path)) as db:
        return db.execute(f"SELECT {COLUMNS} FROM entries ORDER BY seq").fetchall()


def salvaged(path: Path, target: Path) -> tuple[Kept, tuple[Lost, ...]]:
    """Salvage, hold the new journal against its own hashes, give its rows but the last."""
    done = salvage(path, target, lambda: NOW, lambda _, __: [])
    assert len(uids(target)) == done.found + 1
    rows = rows_of(target)
    assert rows[-1][2] == "salvaged"
    return rows[:-1], done.lost


def numbers(lost: tuple[Lost, ...]) -> set[int]:
    return {number for one in lost for number in range(one.first, one.last + 1)}


def test_a_whole_journal_comes_back_whole(path: Path, tmp_path: Path) -> None:
    before = made(path)
    data = path.read_bytes()
    assert salvaged(path, tmp_path / "new") == (before, ())
    assert path.read_bytes() == data


def test_without_header_table_and_index_all_rows_come_back(path: Path, tmp_path: Path) -> None:
    """The first page holds the header and the table of tables: without it SQLite reads nothing."""
    before = made(path)
    data = bytearray(path.read_bytes())
    data[:4096] = random.Random(5).randbytes(4096)
    path.write_bytes(data)
    assert salvaged(path, tmp_path / "new") == (before, ())


@pytest.mark.parametrize("page_size", [512, 1024, 8192, 65536])
def test_pages_of_any_size_are_read(path: Path, tmp_path: Path, page_size: int) -> None:
    before = made(path, 100)
    with closing(plainly(path)) as db:
        db.execute(f"PRAGMA page_size = {page_size}")
        db.execute("VACUUM")
    data = bytearray(path.read_bytes())
    data[:100] = bytes(100)
    path.write_bytes(data)
    assert salvaged(path, tmp_path / "new") == (before, ())


def test_at_least_99_of_100_readable_rows_come_back_after_any_damage(tmp_path: Path) -> None:
    """Random damage of every sort, seeded; what comes back was recorded, what does not is named."""
    chance = random.Random(1610)
    before = made(tmp_path / "whole", 150)
    with closing(plainly(tmp_path / "whole")) as db:
        seals = db.execute("SELECT prev, hash FROM entries ORDER BY seq").fetchall()
    whole = (tmp_path / "whole").read_bytes()
    places = [
        _bytes_of(whole, row, prev + seal) for row, (prev, seal) in zip(before, seals, strict=True)
    ]
    readable = came = 0
    for number in range(ROUNDS):
        data, touched = _damaged(whole, chance)
        broken, target = tmp_path / f"broken{number}", tmp_path / f"new{number}"
        broken.write_bytes(data)
        rows, lost = salvaged(broken, target)
        at = {row: number for number, row in enumerate(before, 1)}
        back = [at[row] for row in rows]  # nothing else, and nothing changed
        assert back == sorted(set(back))
        assert numbers(lost).isdisjoint(back)
        assert numbers(lost) | set(back) >= set(range(1, max(back) + 1))
        hale = {
            number
            for number, spans in enumerate(places, 1)
            if not any(
                span.start < end and start < span.stop for span in spans for start, end in touched
            )
        }
        readable += len(hale)
        came += len(hale.intersection(back))
    assert readable > 10 * ROUNDS
    assert came >= 0.99 * readable


def _bytes_of(whole: bytes, row: tuple[object, ...], seal: bytes) -> list[range]:
    """Give where a row lies in the file: its cell, or each page that holds a piece of it."""
    head = sum(len(str(one).encode()) for one in row) + 64
    end = whole.find(seal) + 64
    if head < 3900:
        return [range(end - head - 40, end)]
    text = str(json.loads(str(row[6]))["text"])[:7].encode()
    places = [at // PAGE for at in _all(whole, text)]
    return [range(page * PAGE, (page + 1) * PAGE) for page in {*places, (end - 64) // PAGE}]


def _all(whole: bytes, text: bytes) -> list[int]:
    found, at = [], whole.find(text)
    while at >= 0:
        found.append(at)
        at = whole.find(text, at + 1)
    return found


def _damaged(whole: bytes, chance: random.Random) -> tuple[bytes, list[tuple[int, int]]]:
    """Damage a file in one of many ways; give it with the bytes that were touched."""
    data, touched = bytearray(whole), []
    way = chance.choice(("bits", "sectors", "pages", "noise", "end", "beginning", "swapped"))
    if way == "bits":
        for _ in range(chance.randint(1, 300)):
            at = chance.randrange(len(data))
            data[at] ^= 1 << chance.randrange(8)
            touched.append((at, at + 1))
    elif way == "end":
        at = len(data) - chance.randrange(1, len(data) // 2)
        touched.append((at, len(data)))
        del data[at:]
    elif way == "beginning":
        size = chance.randrange(100, len(data) // 4)
        data[:size] = bytes(size)
        touched.append((0, size))
    elif way == "swapped":
        one, other = (chance.randrange(len(data) // PAGE) * PAGE for _ in range(2))
        data[one : one + PAGE] = whole[other : other + PAGE]
        data[other : other + PAGE] = whole[one : one + PAGE]
        touched += [(one, one + PAGE), (other, other + PAGE)]
    else:
        size = 512 if way == "sectors" else PAGE if way == "pages" else chance.randrange(1, 9000)
        for _ in range(chance.randint(1, 20)):
            at = chance.randrange(max(1, (len(data) - size) // size)) * size
            data[at : at + size] = chance.randbytes(size) if way == "noise" else bytes(size)
            touched.append((at, at + size))
    return bytes(data), touched


def test_what_is_missing_is_named_by_number_point_and_day(path: Path, tmp_path: Path) -> None:
    clock = Clock()
    with closing(open_journal(path, clock)) as journal:
        for number in range(1, 9):
            clock.pass_by(days=1)
            journal.append([check("blade" if number % 2 else "fence", text=f"{number}" * 30)])
    data = bytearray(path.read_bytes())
    for number in (3, 4, 8):
        data[data.index(f"{number}".encode() * 30) + 7] ^= 4
    path.write_bytes(data)
    rows, lost = salvaged(path, tmp_path / "new")
    assert len(rows) == 5
    assert [(one.first, one.last, one.kind, one.machine, one.point) for one in lost] == [
        (3, 3, "check", "saw", "blade"),
        (4, 4, "check", "saw", "fence"),
        (8, 8, "check", "saw", "fence"),
    ]
    assert [one.after[:10] for one in lost] == ["2026-06-04", "2026-06-05", "2026-06-09"]
    with closing(opened(tmp_path / "new")) as journal:
        (told,) = journal.newest(["salvaged"], 100, 100, 1)
    assert (told.body["found"], told.body["missing_in_all"]) == (5, 3)
    assert str(told.body["from"]).endswith(path.name)


def test_rows_that_just_do_not_fit_into_a_page_come_back_from_the_pages_they_run_on_to(
    path: Path, tmp_path: Path
) -> None:
    """Where SQLite cuts a row hangs on its size (section 1.6 of the file format): sizes around it.

    No index is left to help.
    """
    sizes = (*range(3700, 4100, 9), *range(7700, 8300, 9), *range(11900, 12300, 9))
    with closing(open_journal(path, Clock())) as journal:
        journal.append([check(text="x" * size) for size in sizes])
    before = rows_of(path)
    with closing(plainly(path)) as db:
        names = "SELECT name FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
        for (name,) in db.execute(names).fetchall():
            db.execute(f"DROP INDEX {name}")
        db.execute("VACUUM")
    rows, lost = salvaged(path, tmp_path / "new")
    assert rows == before
    assert lost == ()


def test_what_nothing_tells_of_lies_between_the_entries_before_and_after(
    path: Path, tmp_path: Path
) -> None:
    """No index is left, and of two entries no byte: by their neighbours' days, one a day."""
    clock = Clock()
    with closing(open_journal(path, clock)) as journal:
        for number in range(1, 9):
            clock.pass_by(days=1)
            entry = NewEntry(f"uid-{number}" * 4, "check", "saw", "blade", {"v": number * 10**40})
            journal.append([entry])
    with closing(plainly(path)) as db:
        names = "SELECT name FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
        for (name,) in db.execute(names).fetchall():
            db.execute(f"DROP INDEX {name}")
        db.execute("VACUUM")
    data = bytearray(path.read_bytes())
    for number in (4, 5):
        begin = data.index(b"uid-%d" % number) - 8
        end = data.index(b"%d" % (number * 10**40), begin) + 41
        data[begin:end] = bytes(end - begin)
    path.write_bytes(data)
    rows, lost = salvaged(path, tmp_path / "new")
    assert len(rows) == 6
    assert [(one.first, one.last, one.kind) for one in lost] == [(4, 5, "")]
    assert [(one.after[:10], one.before[:10]) for one in lost] == [("2026-06-04", "2026-06-07")]


def test_a_row_that_says_something_else_than_the_index_is_not_believed(
    path: Path, tmp_path: Path
) -> None:
    """What was changed may be the very place that the row names."""
    filled(path, 3)
    data = bytearray(path.read_bytes())
    data[data.index(b'checksawblade{"') + 6] ^= 2
    path.write_bytes(data)
    (lost,) = salvaged(path, tmp_path / "new")[1]
    assert not lost.certain
    assert left_unproven([lost], {("planer", "knives"): 0}) == [("planer", "knives")]


def test_pages_that_a_cut_short_recording_took_away_are_read_too(
    path: Path, tmp_path: Path
) -> None:
    """The rollback file holds the pages as they were: torn ones of the journal are there whole."""
    before = made(path, 60)
    data = path.read_bytes()
    leaf = data.index("0030½ ".encode()) // PAGE * PAGE
    path.write_bytes(data[:leaf] + bytes(PAGE) + data[leaf + PAGE :])
    lost = salvaged(path, tmp_path / "without")[1]
    assert lost
    rollback, number = Path(f"{path}-journal"), leaf // PAGE + 1
    rollback.write_bytes(
        _rollback_head() + number.to_bytes(4, "big") + data[leaf : leaf + PAGE] + b"sum."
    )
    assert salvaged(path, tmp_path / "with") == (before, ())


def _rollback_head() -> bytes:
    """Give the first sector of a rollback file: https://www.sqlite.org/fileformat2.html, 3."""
    numbers = (1, 0, 60, 512, PAGE)
    head = bytes.fromhex("d9d505f920a163d7")
    return b"".join((head, *(one.to_bytes(4, "big") for one in numbers))).ljust(512, b"\0")


def test_where_nothing_can_be_read_nothing_is_made(path: Path, tmp_path: Path) -> None:
    target = tmp_path / "new"
    with pytest.raises(JournalMissing):
        salvage(path, target, lambda: NOW, unproven_entries)
    for data in (b"", b"wax on Monday", random.Random(3).randbytes(50_000)):
        path.write_bytes(data)
        with pytest.raises(JournalDamaged, match="can be read as an entry"):
            salvage(path, target, lambda: NOW, unproven_entries)
    path.unlink()
    filled(path)
    target.write_text("mine")
    with pytest.raises(JournalCannotWrite, match="is there already"):
        salvage(path, target, lambda: NOW, unproven_entries)
    assert target.read_text() == "mine"


CHECKED = {("saw", "blade"): 10, ("saw", "fence"): 30, ("planer", "knives"): 12}


@pytest.mark.parametrize(
    ("lost", "unproven"),
    [
        (Lost(20, 20, "void", "saw", "blade", certain=True), [("saw", "blade")]),
        (Lost(20, 20, "void", "saw", "fence", certain=True), []),
        (Lost(20, 20, "happening", "saw", "knocked", certain=True), [("saw", "blade")]),
        (Lost(13, 13, "cutter", "planer", "set-1", certain=True), [("planer", "knives")]),
        (Lost(20, 20, "remark", "saw", "blade"), [("planer", "knives"), ("saw", "blade")]),
        (Lost(20, 25), [("planer", "knives"), ("saw", "blade")]),
        (Lost(20, 20, "remark", "saw", "blade", certain=True), []),
    ],
)
def test_what_a_lost_entry_may_have_undone_is_unproven(
    lost: Lost, unproven: list[tuple[str, str]]
) -> None:
    """Only a result from before it, and only where it can have spoken of that point."""
    assert left_unproven([lost], CHECKED) == unproven
    added = unproven_entries([lost], CHECKED)
    assert [(one.kind, one.machine, one.point) for one in added] == [
        ("moved", *place) for place in unproven
    ]


def test_it_tells_how_far_it_is(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """First through the bytes, then through the entries."""
    monkeypatch.setattr("shopboard.journal.salvage._A_WHILE", 10)
    with closing(opened(path)) as journal:
        journal.append([check() for _ in range(30)])
    told: list[tuple[int, int, str]] = []
    salvage(path, tmp_path / "new", lambda: NOW, lambda _, __: [], lambda *far: told.append(far))
    size = path.stat().st_size
    assert [one[1:] for one in told] == [(size, "bytes")] * 3 + [(30, "entries")] * 3
    assert [one[0] for one in told[3:]] == [10, 20, 30]
