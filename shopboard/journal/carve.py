"""Entries read straight from the bytes of a journal, whatever is left of its order.

No header, no table, no index is trusted. A row is known by its form: SQLite keeps each as one
record (https://www.sqlite.org/fileformat2.html, sections 1.6 and 2.1) whose header names the
lengths of twelve columns, three of which always have the same. What such a place holds is an entry
only if its seal fits: by chance that happens once in 2^256.
"""

from __future__ import annotations

import mmap
import os
import re
from collections.abc import Iterator
from io import FileIO
from pathlib import Path

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.chain import SealedFields, seal
from shopboard.journal.faults import reads_through
from shopboard.journal.schema import MAX_BODY

Bytes = mmap.mmap | bytes

_HEADER = re.compile(
    rb"(?s)[\x0c-\x18]\x00"  # its own length; the number is kept elsewhere, so here it is NULL
    rb"(?P<types>(?:[\x81-\xff][\x00-\x7f]|[\x0f-\x7f])C"  # uid; C: 27 letters of time
    rb"(?:[\x80-\xff]{0,3}[\x00-\x7f]){5}"  # kind, machine, point, refers, body
    rb"[\x01\x08\x09](?:[\x80-\xff]?[\x00-\x7f])LL)"  # clock_ok, app; L: 32 bytes of seal
)
_TIME = re.compile(
    rb"(?P<head>\x03C(?P<width>[\x01-\x06\x09]))(?P<when>\d{4}-\d\d-\d\dT[\d:.]{15}Z)"
)
_PLACE = re.compile(
    rb"(?s)[\x05-\x08](?P<types>[\x0f-\x4d](?:[\x81-\xff]?[\x00-\x7f]){2}[\x01-\x06\x09])"
)
_COUNTED = re.compile(rb"\x03\x1b(?P<width>[\x01-\x06\x09])entries")
_WIDTHS = {1: 1, 2: 2, 3: 3, 4: 4, 5: 6, 6: 8, 8: 0, 9: 0}
_PAGE_SIZES = (4096, 1024, 512, 2048, 8192, 16384, 32768, 65536)
_ROLLBACK = bytes.fromhex("d9d505f920a163d7")
_SECTOR = 4096
"""Bytes that a disk gives or does not give together."""
_SMALLEST_ENTRY = 120
"""Bytes below which no entry lies, index and all: so many entries can be in a file at most."""


class CarvedRow(NamedTuple):
    """What lies where an entry should."""

    fields: SealedFields
    """As stored: seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app."""
    prev: bytes
    """The seal of the entry before."""
    hash: bytes
    """Its own."""
    sure: bool
    """Whether the seal fits."""


def opened(path: Path) -> Bytes:
    """Give the bytes of a file; nought for those that the disk does not give.

    Raises:
        OSError: it cannot be opened, or nothing of it can be read.
    """
    if not reads_through(path):  # a mapped page that cannot be read would end the program
        with path.open("rb", buffering=0) as file:
            return _what_can_be_read(file)
    with path.open("rb") as file:
        try:
            return mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ)
        except ValueError:  # an empty file cannot be mapped
            return b""


def _what_can_be_read(file: FileIO) -> bytes:
    size = file.seek(0, os.SEEK_END)
    if hasattr(os, "posix_fadvise"):  # else a sector that fails takes those read along with it
        for advice in (os.POSIX_FADV_RANDOM, os.POSIX_FADV_DONTNEED):
            os.posix_fadvise(file.fileno(), 0, 0, advice)
    data, failed, last = bytearray(size), 0, None
    for at in range(0, size, _SECTOR):
        try:
            file.seek(at)
            piece = file.read(_SECTOR)
        except OSError as error:
            failed, last = failed + 1, error
        else:
            data[at : at + len(piece)] = piece
    if last is not None and failed * _SECTOR >= size:
        raise last
    return bytes(data)


def rolled_back(data: Bytes, rollback: Bytes) -> bytes:
    """Give the file as it was before a recording that was cut short (section 3 of the format).

    Sums and counts in the rollback file are not asked: what comes out is believed by its seals.
    """
    sector, page = (int.from_bytes(rollback[at : at + 4], "big") for at in (20, 24))
    if rollback[:8] != _ROLLBACK or page not in _PAGE_SIZES:
        return b""
    whole, at = bytearray(data[:]), sector
    while at + 8 + page <= len(rollback):
        number = int.from_bytes(rollback[at : at + 4], "big")
        start = (number - 1) * page
        if not 0 <= start <= len(whole):
            break
        whole[start : start + page] = rollback[at + 4 : at + 4 + page]
        at += 8 + page
    return bytes(whole)


def rows(data: Bytes) -> Iterator[tuple[int, CarvedRow]]:
    """Give every row that can be read, with its place, in the order of the bytes."""
    sizes = page_sizes(data)
    at = 0
    while (found := _HEADER.search(data, at)) is not None:
        row = row_at(data, found.start(), sizes)
        at = found.start() + 1
        if row is not None:
            yield found.start(), row
            if row.sure:
                at = found.end()


def row_at(data: Bytes, start: int, sizes: tuple[int, ...]) -> CarvedRow | None:
    """Read the row whose header begins at `start`; None where none does."""
    found = _HEADER.match(data, start)
    if found is None or data[start] != found.end() - start:
        return None
    lengths = [_length(one) for one in _numbers(found["types"])]
    if len(lengths) != 11 or min(lengths) < 0 or lengths[6] > 4 * MAX_BODY:
        return None
    header, size = found.end() - start, sum(lengths)
    if size > len(data):  # its pages would lead in a circle
        return None
    best = None
    for number in _numbers_before(data, start):
        for body in _payloads(data, start, header, size, sizes):
            row = _row(number, body, lengths, found["types"])
            if row is not None and row.sure:
                return row
            best = best or row
    return best


def page_sizes(data: Bytes) -> tuple[int, ...]:
    """Give the sizes that a page may have, the one that the header names first."""
    named = int.from_bytes(data[16:18], "big")
    return tuple(dict.fromkeys((*((named,) if named in _PAGE_SIZES else ()), *_PAGE_SIZES)))


def most_entries(data: Bytes) -> int:
    """Give how many entries can have been in a file of that length."""
    return len(data) // _SMALLEST_ENTRY + 1


def times(data: Bytes) -> Iterator[tuple[int, str]]:
    """Give the numbers of entries with their times, from the index of times."""
    for found in _TIME.finditer(data):
        number = _integer(data, found.end(), found["width"][0])
        yield number, found["when"].decode("ascii")


def places(data: Bytes) -> Iterator[tuple[int, tuple[str, str, str]]]:
    """Give the numbers of entries with their kind, machine and point, from the index of places."""
    for found in _PLACE.finditer(data):
        *texts, width = _numbers(found["types"])
        lengths = [_length(one) for one in texts]
        if (
            len(texts) != 3
            or min(lengths) < 0
            or data[found.start()] != found.end() - found.start()
        ):
            continue
        try:
            kind, machine, point = _texts(data, found.end(), lengths)
        except UnicodeDecodeError:
            continue
        if kind.isprintable() and machine.isprintable() and point.isprintable():
            yield _integer(data, found.end() + sum(lengths), width), (kind, machine, point)


def counted(data: Bytes) -> int:
    """Give the highest number that SQLite noted down, as far as it can be believed; else 0."""
    noted = (_integer(data, one.end(), one["width"][0]) for one in _COUNTED.finditer(data))
    return max((one for one in noted if one <= most_entries(data)), default=0)


def _numbers(raw: bytes) -> list[int]:
    """Read numbers of seven bits a byte, the highest bit set in all but the last of each."""
    numbers, number = [], 0
    for byte in raw:
        number = number << 7 | byte & 0x7F
        if byte < 0x80:
            numbers.append(number)
            number = 0
    return numbers


def _length(kind: int) -> int:
    """Give the bytes that a value of that serial type takes; below 0 for none of ours."""
    if kind >= 12:
        return (kind - 12) // 2
    return _WIDTHS.get(kind, -1)


def _numbers_before(data: Bytes, start: int) -> list[int]:
    """Give what may be the number of the row: it stands before the header, of unknown length.

    The longest comes first: the byte before it ends the length of the row, and has no highest bit.
    """
    if not start or data[start - 1] >= 0x80:
        return []
    first, found = start - 1, [data[start - 1]]
    while first and start - first < 5 and data[first - 1] >= 0x80:
        first -= 1
        found.insert(0, _numbers(data[first:start])[0])
    return found


def _payloads(
    data: Bytes, start: int, header: int, size: int, sizes: tuple[int, ...]
) -> Iterator[bytes]:
    """Give what may be the content of a row: all in one place, or going on on further pages."""
    whole = header + size
    for page in sizes:
        local = _local(whole, page)
        parts, missing = [data[start + header : start + local]], whole - local
        follows = int.from_bytes(data[start + local : start + local + 4], "big")
        while missing > 0 and follows:
            at = (follows - 1) * page
            follows = int.from_bytes(data[at : at + 4], "big")
            parts.append(data[at + 4 : at + 4 + min(missing, page - 4)])
            missing -= page - 4
        yield b"".join(parts)


def _local(whole: int, page: int) -> int:
    """Give how many bytes of a row lie within its own page (section 1.6 of the format)."""
    if whole <= page - 35:
        return whole
    least = (page - 12) * 32 // 255 - 23
    fits = least + (whole - least) % (page - 4)
    return fits if fits <= page - 35 else least


def _row(number: int, body: bytes, lengths: list[int], types: bytes) -> CarvedRow | None:
    if len(body) != sum(lengths):
        return None
    cuts, at = [], 0
    for length in lengths:
        cuts.append(body[at : at + length])
        at += length
    clock = _numbers(types)[7]
    clock_ok = 1 if clock == 9 else int.from_bytes(cuts[7], "big")
    try:
        uid, when, kind, machine, point, refers, text, app = (
            cuts[at].decode("utf-8") for at in (0, 1, 2, 3, 4, 5, 6, 8)
        )
    except UnicodeDecodeError:
        return _unsure(number, cuts)
    fields: SealedFields = (number, uid, when, kind, machine, point, refers, text, clock_ok, app)
    prev, stored = cuts[9], cuts[10]
    return CarvedRow(fields, prev, stored, seal(prev, fields) == stored)


def _unsure(number: int, cuts: list[bytes]) -> CarvedRow:
    """Give a row that holds what is no text, as well as it can be told."""
    told = [one.decode("utf-8", "replace") for one in cuts]
    fields: SealedFields = (number, *told[:7], 1, told[8])  # type: ignore[assignment]
    return CarvedRow(fields, cuts[9], cuts[10], sure=False)


def _texts(data: Bytes, at: int, lengths: list[int]) -> list[str]:
    texts = []
    for length in lengths:
        texts.append(data[at : at + length].decode("utf-8"))
        at += length
    return texts


def _integer(data: Bytes, at: int, width: int) -> int:
    return 1 if width == 9 else int.from_bytes(data[at : at + _WIDTHS[width]], "big")
