"""What is read from the bytes alone is what SQLite reads from the same file, entry by entry.

The other reader is Python's own `sqlite3`; lengths and varints are those of the file format
(https://www.sqlite.org/fileformat2.html, sections 1.6, 2.1 and 3).
"""

from __future__ import annotations

import hashlib
import json
import os
import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest

from shopboard.journal import carve
from shopboard.journal.schema import MAX_BODY, TABLE_AND_INDEXES

Row = tuple[Any, ...]

NUMBERS = (1, 2, 127, 128, 129, 16_383, 16_384, 2_097_151, 2_097_152, 2**28, 2**32 + 7)
"""A number of seven bits a byte grows by a byte at 128, at 16,384 and so on."""


def sealed(prev: bytes, *fields: object) -> Row:
    """Give a row with its seal, by Python's own JSON and hash."""
    text = json.dumps(fields, ensure_ascii=False, separators=(",", ":")).encode()
    return (*fields, prev, hashlib.sha256(prev + text).digest())


def entries() -> Iterator[Row]:
    """Give entries of every width: numbers, names, bodies, the clock right and wrong."""
    bodies = (2, 57, 58, 500, 3_700, 4_061, 9_000, 20_000, 70_000)
    for at, number in enumerate(NUMBERS):
        when = f"2026-06-{at + 1:02}T08:00:00.{at:06}Z"
        uid = ("u", "u" * 57, "u" * 58, "ü" * 32)[at % 4] + f"{at:x}"
        names = ("check", *(("saw", "blade"), ("", ""), ("ü" * 99, "p" * 200))[at % 3])
        refers = ("", "r" * 64)[at % 2]
        body = "{" + "x" * (bodies[at % len(bodies)] - 2) + "}"
        prev = bytes([at]) * 32
        yield sealed(prev, number, uid, when, *names, refers, body, at % 3 and 1, "0.1.0")


def in_memory(page: int, rows: Iterable[Row], *more: str) -> sqlite3.Connection:
    """Make a file of the journal's form, in memory, without its guards."""
    db = sqlite3.connect(":memory:", isolation_level=None)
    db.execute(f"PRAGMA page_size = {page}")
    for statement in (*TABLE_AND_INDEXES.values(), *more):
        db.execute(statement)
    db.executemany(f"INSERT INTO entries VALUES ({','.join('?' * 12)})", rows)
    return db


@pytest.mark.parametrize("page", [512, 1024, 2048, 4096, 8192, 16384, 32768, 65536])
@pytest.mark.parametrize("named", [True, False])
def test_every_row_is_read_as_sqlite_reads_it(page: int, named: bool) -> None:
    """Also where the header, which names the size of a page, is gone."""
    with closing(in_memory(page, entries())) as db:
        data = db.serialize()
        rows = db.execute("SELECT * FROM entries").fetchall()
        times = db.execute("SELECT seq, recorded_utc FROM entries WHERE clock_ok = 1").fetchall()
        places = db.execute("SELECT seq, kind, machine, point FROM entries").fetchall()
    if not named:
        data = bytes(100) + data[100:]
    found = [one for _, one in carve.rows(data)]
    assert sorted((*one.fields, one.prev, one.hash) for one in found) == rows
    assert all(one.sure for one in found)
    assert carve.page_sizes(data)[0] == (page if named and page < 65536 else 4096)
    assert {*carve.page_sizes(data)} == {2**n for n in range(9, 17)}
    assert sorted(carve.times(data)) == times
    local = {one for one in places if sum(map(len, map(str, one))) < 100}
    assert {(number, *place) for number, place in carve.places(data)} >= local
    ours = {(number, *place) for number, place in carve.places(data) if place[0] == "check"}
    assert page < 2048 or ours == {*places}


def test_a_row_lies_where_it_is_said_to_and_nowhere_else() -> None:
    with closing(in_memory(4096, entries())) as db:
        data = db.serialize()
    sizes = carve.page_sizes(data)
    found = dict(carve.rows(data))
    assert list(found) == sorted(found)
    for at, row in found.items():
        assert carve.row_at(data, at, sizes) == row
        assert carve.row_at(data, at + 1, sizes) is None
        cut = data[: at + 60]  # the file ends within the row
        assert carve.row_at(cut, at, sizes) is None
        spoilt = bytearray(data)
        spoilt[at] ^= 1  # the length of the header itself
        assert carve.row_at(bytes(spoilt), at, sizes) is None


def varint(number: int) -> bytes:
    """Write a number as the file format says, by text of noughts and ones."""
    bits = f"{number:b}"
    bits = bits.zfill(-(-len(bits) // 7) * 7)
    groups = [bits[at : at + 7] for at in range(0, len(bits), 7)]
    return bytes(int(f"{int(at < len(groups) - 1)}{one}", 2) for at, one in enumerate(groups))


def record(values: Sequence[object], *, length: int = 0) -> bytes:
    """Write a record as the file format says; with a header that names another length, if told."""
    types, content = b"", b""
    for one in values:
        raw = one if isinstance(one, bytes) else str(one).encode() if isinstance(one, str) else b""
        whole = {None: 0, 0: 8, 1: 9}.get(one) if not raw and not isinstance(one, str) else None  # type: ignore[call-overload]
        odd = isinstance(one, str)
        types += varint(whole if whole is not None else 12 + 2 * len(raw) + odd)
        content += raw
    return bytes([length or len(types) + 1]) + types + content


GOOD = sealed(
    bytes(32), 5, "uid-1", "2026-06-01T08:00:00.000000Z", "check", "saw", "blade", "", "{}", 1, "1"
)


def cell(row: Row, number: bytes | None = None, whole: bytes | None = None) -> bytes:
    """Write a row as it lies in a page: its length, its number, its record."""
    body = record([None, *row[1:]])
    told = varint(len(body)) if whole is None else whole
    return told + (varint(row[0]) if number is None else number) + body


def only(data: bytes) -> carve.CarvedRow:
    ((_, row),) = carve.rows(data)
    return row


def test_a_row_by_hand_is_read() -> None:
    for before in (b"", bytes(40), b"\x85\x81" * 3, b"\xff" * 9):
        row = only(before + cell(GOOD) + bytes(9))
        assert (row.sure, row.fields, row.prev, row.hash) == (True, GOOD[:10], *GOOD[10:])


@pytest.mark.parametrize("number", NUMBERS)
@pytest.mark.parametrize("before", [b"", b"\x81", b"\x81\x82\x83\x84\x85"])
def test_the_number_is_the_one_before_which_the_length_stands(number: int, before: bytes) -> None:
    """What stands before the length may look as if it belonged to the number."""
    unsure = [*GOOD]
    unsure[0], unsure[11] = number, bytes(32)
    row = only(before + cell(tuple(unsure)))
    assert (row.sure, row.fields[0]) == (False, number)


def test_without_a_length_each_number_is_tried() -> None:
    """It may be any part of what stands there: the seal tells which."""
    for number in (5, 133, 2**20):
        whole = sealed(bytes(32), number, *GOOD[1:10])
        for before in (b"", b"\x81", b"\x85\x87"):
            row = only(cell(whole, whole=before))
            assert (row.sure, row.fields[0]) == (True, number)
    row = only(cell((*GOOD[:11], bytes(32)), number=b"\x81\x05", whole=b""))
    assert (row.sure, row.fields[0]) == (False, 133)


def test_of_a_row_without_a_number_nothing_is_read() -> None:
    body = record([None, *GOOD[1:]])
    assert not [*carve.rows(body)]  # nothing stands before it
    for high in (b"\x80", b"\x85", b"\xff"):  # no number ends there
        assert not [*carve.rows(high + body)]
    assert [*carve.rows(b"\x05" + body)]


def test_words_that_are_no_text_are_told_as_well_as_can_be() -> None:
    """By them it is known what may be missing."""
    raw = cell(GOOD)
    row = only(raw.replace(b"saw", b"s\xffw"))
    assert not row.sure
    assert row.fields == (*GOOD[:4], "s\ufffdw", *GOOD[5:10])
    assert (row.prev, row.hash) == GOOD[10:]


def test_the_clock_is_read_in_each_of_its_forms() -> None:
    for clock in (0, 1):
        row = sealed(bytes(32), *GOOD[:8], clock, "1")
        assert only(cell(row)).fields[8] == clock
        written = cell(row)  # as a byte of its own, as an older SQLite may have done
        at = written.index(bytes([8 + clock, 15]) + b"LL")
        end = written.index(b"{}") + 2
        head = written[2 : at + 1].replace(bytes([8 + clock]), b"\x01")
        assert head[-1:] == b"\x01"
        again = written[:2] + head + written[at + 1 : end] + bytes([clock]) + written[end:]
        read = only(again)
        assert (read.sure, read.fields) == (True, row[:10])


def test_a_row_longer_than_the_file_is_none() -> None:
    """Every page says that it goes on on the second one: words of 134 MB out of 12 kB."""
    long = bytes([0x81, 0x00, *b"C", 0xFF, 0xFF, 0xFF, 0x7F, 15, 15, 13, 21, 9, 19, *b"LL"])
    header = bytes([len(long) + 2, 0]) + long
    for start in range(9192, 9196):  # at one of them it goes on just where a number begins
        data = bytearray((2).to_bytes(4, "big") * (3 * 1024))
        data[start - 1 : start + len(header)] = b"\x05" + header
        assert carve.row_at(bytes(data), start, (4096,)) is None


def test_a_body_longer_than_any_is_none() -> None:
    """Four bytes a letter are the most: the one that is as long is read, page by page."""
    for more, is_one in (("", True), ("x", False)):
        row = sealed(bytes(32), *GOOD[:7], "\U0001f600" * MAX_BODY + more, 1, "1")
        with closing(in_memory(4096, ())) as db:
            db.execute("PRAGMA ignore_check_constraints = ON")
            db.execute(f"INSERT INTO entries VALUES ({','.join('?' * 12)})", row)
            found = [one.fields for _, one in carve.rows(db.serialize())]
        assert found == ([row[:10]] if is_one else [])


@pytest.mark.parametrize(
    ("kind", "size"),
    [
        *((1, 1), (2, 2), (3, 3), (4, 4), (5, 6), (6, 8), (7, -1), (8, 0), (9, 0), (10, -1)),
        *((11, -1), (12, 0), (13, 0), (14, 1), (15, 1), (67, 27), (76, 32), (4096, 2042)),
    ],
)
def test_a_value_is_as_long_as_its_serial_type_says(kind: int, size: int) -> None:
    """The table in section 2.1; 7 is a fraction, 10 and 11 are SQLite's own: none is in a row."""
    assert carve._length(kind) == size


def test_numbers_of_seven_bits_a_byte() -> None:
    """Section 1.6; ours against one that counts noughts and ones in text."""
    numbers = [*range(300), *(2**n + d for n in range(8, 56) for d in (-1, 0, 1))]
    assert carve._numbers(b"".join(map(varint, numbers))) == numbers


@pytest.mark.parametrize("page", [512, 4096, 65536])
def test_as_much_of_a_row_lies_in_its_page_as_sqlite_puts_there(page: int) -> None:
    """SQLite writes one row of a size; how long its cell is stands in the page."""
    around = [page - 35, page - 4, 2 * page, 3 * page]
    sizes = [n + d for n in around for d in range(-9, 10)] + [*range(page, 3 * page, page // 9 + 1)]
    least = (page - 12) * 32 // 255 - 23
    sizes += [least + n * (page - 4) + d for n in (1, 2) for d in (-1, 0, 1)]
    sizes += [page - 35 + n * (page - 4) + d for n in (1, 2) for d in (-1, 0, 1)]
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        db.execute(f"PRAGMA page_size = {page}")
        db.execute("CREATE TABLE t (x)")
        for size in sizes:
            db.execute("DELETE FROM t")
            db.execute("INSERT INTO t VALUES (zeroblob(?))", (size - 4,))
            ((_, _, head),) = [(0, 0, len(varint(12 + 2 * (size - 4))) + 1)]
            whole = head + size - 4
            leaf = db.serialize()[page : 2 * page]
            begins = int.from_bytes(leaf[5:7], "big") or 65536
            written = page - begins - len(varint(whole)) - 1
            local = carve._local(whole, page)
            assert written == local + (4 if local < whole else 0), size


def test_no_more_entries_can_be_in_a_file_than_it_has_room_for() -> None:
    """The smallest entry that can be recorded, a letter in each text, takes more with its index."""
    smallest = sealed(bytes(32), *GOOD[:1], "u", GOOD[2], "k", "", "", "", "{}", 0, "1")
    with closing(in_memory(4096, ())) as db:
        prev = bytes(32)
        for number in range(1, 2001):
            row = sealed(prev, number, f"{number:x}", *smallest[2:10])
            db.execute(f"INSERT INTO entries VALUES ({','.join('?' * 12)})", row)
            prev = row[11]
        data = db.serialize()
    assert carve.most_entries(data) > 2000
    assert [carve.most_entries(bytes(n)) for n in (0, 119, 120, 240)] == [1, 1, 2, 3]


@pytest.mark.parametrize("last", [1, 2, 200, 40_000, 70_000, 9_000_000])
def test_the_number_that_sqlite_noted_is_believed_as_far_as_a_file_has_room(last: int) -> None:
    with closing(in_memory(512, [(*GOOD[:1], *GOOD[1:])])) as db:
        db.execute("UPDATE sqlite_sequence SET seq = ?", (last,))
        data = db.serialize()
    data = data.ljust(120 * 70_000, b"\0")  # there may have been as many entries and one more
    assert carve.counted(data) == (last if last <= 70_001 else 0)
    assert carve.counted(data[: 120 * (last - 1)]) == (last if 1 < last <= 70_000 else 0) or (
        len(data[: 120 * (last - 1)]) < 4096
    )


def test_a_place_is_told_by_the_index_alone_and_only_where_it_can_be_shown() -> None:
    def key(*values: object, length: int = 0) -> bytes:
        return record(values, length=length)

    def placed(data: bytes) -> list[tuple[int, tuple[str, str, str]]]:
        return [*carve.places(data)]

    good = key("check", "saw", "blade", 1)
    assert placed(good) == [(1, ("check", "saw", "blade"))]
    assert placed(b"\0" * 7 + good + b"\0") == placed(good)
    assert placed(key("check", "saw", "blade", 1, length=6)) == []
    assert placed(good.replace(b"saw", b"s\xffw")) == []
    for text in (b"check", b"saw", b"blade"):
        assert placed(good.replace(text, b"\x1b" + text[1:])) == []
    wide = key("check", "m" * 200, "", 1)
    assert placed(wide) == [(1, ("check", "m" * 200, ""))]


@pytest.mark.parametrize("width", [1, 2, 3, 4, 5, 6, 9])
def test_a_number_behind_a_key_is_read_in_every_width(width: int) -> None:
    """Types 1 to 6 are numbers of 1, 2, 3, 4, 6 and 8 bytes, 9 is the number 1."""
    size = {5: 6, 6: 8, 9: 0}.get(width, width)
    number = int.from_bytes(bytes(range(1, size + 1)), "big") if size else 1
    raw = number.to_bytes(size, "big") if size else b""
    when = "2026-06-01T08:00:00.000000Z"
    assert [*carve.times(b"\x03C" + bytes([width]) + when.encode() + raw + b"\x7f")] == [
        (number, when)
    ]
    types = bytes([5, 15, 13, 13, width])
    assert [*carve.places(types + b"k" + raw + b"\x7f")] == [(number, ("k", "", ""))]


def test_what_a_cut_short_recording_took_away_is_put_back() -> None:
    """As section 3 of the file format says: a sector of header, then number, page and sum each."""
    page, sector = 512, 1024
    data = b"".join(bytes([n]) * page for n in (1, 2, 3))

    def rollback(*pages: tuple[int, bytes], sector: int = sector, page: int = page) -> bytes:
        numbers = (len(pages), 0, 3, sector, page)
        head = bytes.fromhex("d9d505f920a163d7")
        head = b"".join((head, *(one.to_bytes(4, "big") for one in numbers))).ljust(sector, b"\0")
        return head + b"".join(n.to_bytes(4, "big") + one + b"sum!" for n, one in pages)

    second, third, beyond = ((n, bytes([n + 5]) * page) for n in (2, 3, 4))
    one, two, three = (data[at : at + page] for at in range(0, 3 * page, page))
    assert carve.rolled_back(data, rollback()) == data
    assert carve.rolled_back(data, rollback(second)) == one + second[1] + three
    assert carve.rolled_back(data, rollback(third, second)) == one + second[1] + third[1]
    assert carve.rolled_back(data, rollback((1, two))) == two + two + three
    assert carve.rolled_back(data, rollback(beyond)) == data + beyond[1]  # the file was cut, too
    for wrong in ((0, two), (5, two)):  # no such page: what follows is no part of it
        assert carve.rolled_back(data, rollback(wrong, second)) == data
        assert carve.rolled_back(data, rollback(second, wrong)) == one + second[1] + three
    assert carve.rolled_back(data, rollback(second)[:-1]) == data  # the last is not whole
    assert carve.rolled_back(data, rollback(second)[:-4]) == data
    assert carve.rolled_back(data, b"x" + rollback(second)[1:]) == b""
    assert carve.rolled_back(data, rollback(second, page=513)) == b""
    assert carve.rolled_back(data, rollback(second, sector=28)) == one + second[1] + three


SECTOR = 4096


class Failing:
    """A file of which the disk does not give some sectors."""

    def __init__(self, data: bytes, *bad: int) -> None:
        self._data, self._bad, self._at = data, bad, 0

    def fileno(self) -> int:
        return 0

    def seek(self, at: int, whence: int = os.SEEK_SET) -> int:
        self._at = at + (len(self._data) if whence == os.SEEK_END else 0)
        return self._at

    def read(self, size: int) -> bytes:
        if any(
            self._at < (one + 1) * SECTOR and one * SECTOR < self._at + size for one in self._bad
        ):
            raise OSError(5, f"Input/output error at {self._at}")
        found = self._data[self._at : self._at + size]
        self._at += len(found)
        return found


@pytest.mark.parametrize("size", [1, SECTOR, 3 * SECTOR, 3 * SECTOR + 7])
@pytest.mark.parametrize("bad", [(), (0,), (1,), (0, 2), (3,)])
def test_sectors_that_the_disk_does_not_give_are_nought(
    size: int, bad: tuple[int, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    """All else is given; only where nothing is given at all the disk's own error stands."""
    told: list[tuple[int, int, int]] = []
    monkeypatch.setattr(os, "posix_fadvise", lambda _, *how: told.append(how))
    data = bytes(n % 251 + 1 for n in range(size))
    met = [one for one in bad if one * SECTOR < size]
    file: Any = Failing(data, *bad)
    expected = bytearray(data)
    for one in met:
        end = min(size, (one + 1) * SECTOR)
        expected[one * SECTOR : end] = bytes(end - one * SECTOR)
    if any(expected):
        assert carve._what_can_be_read(file) == bytes(expected)
    else:
        with pytest.raises(OSError, match="at 0"):
            carve._what_can_be_read(file)
    whole = [(0, 0, os.POSIX_FADV_RANDOM), (0, 0, os.POSIX_FADV_DONTNEED)]
    assert told == whole  # of the whole file: 0 bytes from 0 on


def test_a_file_is_given_as_it_is_read_through_or_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "file"
    for data in (b"", b"x" * 10_000):
        path.write_bytes(data)
        assert bytes(carve.opened(path)) == data
    monkeypatch.setattr(carve, "reads_through", lambda _: False)
    assert carve.opened(path) == data
