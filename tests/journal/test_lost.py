"""Which entries did not come back is told by number, place and time, as far as anything tells it.

What was destroyed is known here from before; the runs are counted by hand, over sets.
"""

from __future__ import annotations

import os
import random
import re
import sqlite3
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalMissing,
    NewEntry,
    open_journal,
    salvage,
)
from shopboard.journal.kinds import SALVAGED, Lost
from tests.journal.helpers import Clock, check, opened, plainly, uids

NOW = datetime(2026, 7, 2, 9, 0, tzinfo=UTC)

Place = tuple[str, str, str]


def made(path: Path, entries: int) -> tuple[list[str], list[Place]]:
    """Make a journal with an entry a day; give times and places, the first at 1."""
    clock, chance = Clock(), random.Random(entries)
    places = [("check", "saw", "blade"), ("moved", "saw", "fence"), ("tag", "planer", "")]
    with closing(open_journal(path, clock)) as journal:
        for number in range(1, entries + 1):
            clock.pass_by(days=1)
            kind, machine, point = chance.choice(places)
            body = {"v": 1, "text": "x" * 300}
            journal.append([NewEntry(f"uid-{number:04}-end", kind, machine, point, body)])
    with closing(plainly(path)) as db:
        rows = db.execute("SELECT recorded_utc, kind, machine, point FROM entries ORDER BY seq")
        found = rows.fetchall()
    return ["", *(one[0] for one in found)], [("", "", ""), *(one[1:] for one in found)]


def without_indexes(path: Path) -> None:
    with closing(plainly(path)) as db:
        names = "SELECT name FROM sqlite_master WHERE type = 'index' AND sql IS NOT NULL"
        for (name,) in db.execute(names).fetchall():
            db.execute(f"DROP INDEX {name}")
        db.execute("VACUUM")


def row_of(data: bytearray, number: int) -> tuple[int, int]:
    """Give where the words of a row begin, and where they end."""
    (found,) = re.finditer(rb"uid-%04d-end20\d\d-.{20,150}?x{300}" % number, data, re.DOTALL)
    return found.span()


def destroy(path: Path, numbers: Iterable[int]) -> None:
    """Leave no byte of the rows of some entries: header, words, seal."""
    data = bytearray(path.read_bytes())
    for number in numbers:
        at, end = row_of(data, number)
        begin = next(n for n in range(at - 24, at) if data[n] == at - n and not data[n + 1])
        data[begin:end] = bytes(end - begin)
    path.write_bytes(data)


def lost_of(path: Path, target: Path) -> tuple[Lost, ...]:
    done = salvage.salvage(path, target, lambda: NOW, lambda _, __: [])
    assert len(uids(target)) == done.found + 1
    assert done.added == 1
    return done.lost


def runs_of(numbers: set[int]) -> list[tuple[int, int]]:
    """Give first and last of each run, over a set."""
    firsts = sorted(one for one in numbers if one - 1 not in numbers)
    return [(one, next(n for n in range(one, 10**6) if n + 1 not in numbers)) for one in firsts]


@pytest.mark.parametrize("seed", range(3))
def test_where_nothing_tells_of_them_they_lie_between_their_neighbours(
    path: Path, tmp_path: Path, seed: int
) -> None:
    """The last ones, too: SQLite noted how many there were."""
    times, _ = made(path, 30)
    without_indexes(path)
    chance = random.Random(seed)
    gone = {*chance.sample(range(1, 31), 12), *((1, 2) if seed % 2 else (29, 30))}
    destroy(path, gone)
    expected = [
        Lost(
            first,
            last,
            after=times[first - 1],
            before=times[last + 1] if last < 30 else "",
            certain=False,
        )
        for first, last in runs_of(gone)
    ]
    assert [*lost_of(path, tmp_path / "new")] == expected


@pytest.mark.parametrize("seed", range(2))
def test_where_the_indexes_tell_of_them_each_is_named(
    path: Path, tmp_path: Path, seed: int
) -> None:
    times, places = made(path, 30)
    gone = random.Random(seed).sample(range(1, 31), 12)
    destroy(path, gone)
    assert lost_of(path, tmp_path / "new") == tuple(
        Lost(n, n, *places[n], times[n], times[n], certain=True) for n in sorted(gone)
    )


def test_what_only_the_broken_row_tells_is_not_certain(path: Path, tmp_path: Path) -> None:
    """A letter of the words is another, and no index is left."""
    times, places = made(path, 9)
    without_indexes(path)
    data = bytearray(path.read_bytes())
    data[row_of(data, 4)[1] - 7] ^= 1
    path.write_bytes(data)
    (lost,) = lost_of(path, tmp_path / "new")
    assert lost == Lost(4, 4, *places[4], times[3], times[5], certain=False)


def test_a_page_that_is_there_twice_gives_its_entries_once(path: Path, tmp_path: Path) -> None:
    """As where a disk shows one sector in the place of another."""
    made(path, 30)
    names = uids(path)
    data = path.read_bytes()
    path.write_bytes(data + data[4096:])
    done = salvage.salvage(path, tmp_path / "new", lambda: NOW, lambda _, __: [])
    assert (done.found, done.lost) == (30, ())
    assert uids(tmp_path / "new")[:-1] == names


def test_of_two_voids_of_one_entry_the_first_comes_back(path: Path, tmp_path: Path) -> None:
    """They stand in two states of the file that went different ways."""
    with closing(opened(path)) as journal:
        journal.append([check()._replace(uid="taken-back"), check()._replace(uid="kept")])
    ways = [path.with_name(f"way{n}") for n in range(2)]
    for n, way in enumerate(ways):
        way.write_bytes(path.read_bytes())
        with closing(opened(way)) as journal:
            journal.void("taken-back", f"reason {n}", name=f"void{n}")
            journal.append([check()._replace(uid=f"own{n}")])
    path.write_bytes(b"".join(one.read_bytes() for one in ways))
    done = salvage.salvage(path, tmp_path / "new", lambda: NOW, lambda _, __: [])
    there = uids(tmp_path / "new")
    assert there[:2] == ["taken-back", "kept"]
    assert [one for one in there if one.startswith("void")] == ["void0"]
    assert {"own0", "own1"} < {*there}
    assert done.found == 5


def test_four_hundred_gaps_are_named_and_all_are_counted() -> None:
    gaps = [Lost(3 * number, 3 * number + 1) for number in range(1, 403)]
    for lost in (gaps[:400], gaps):
        told = SALVAGED.of_body(salvage._told(Path("broken"), 9, lost).body)
        assert told.missing == tuple(gaps[:400])
        assert (told.missing_in_all, told.found) == (2 * len(lost), 9)


def test_what_is_added_goes_by_what_is_lost_and_the_newest_result_of_each_place(
    path: Path, tmp_path: Path
) -> None:
    _, places = made(path, 30)
    destroy(path, (9, 30))
    asked: list[tuple[Sequence[Lost], Mapping[tuple[str, str], int]]] = []

    def further(lost: Sequence[Lost], checked: Mapping[tuple[str, str], int]) -> Sequence[NewEntry]:
        asked.append((lost, checked))
        return [check("a"), check("b")]

    done = salvage.salvage(path, tmp_path / "new", lambda: NOW, further)
    assert (done.found, done.added) == (28, 3)
    ((lost, checked),) = asked
    assert lost == done.lost
    newest = max(n for n in range(1, 30) if n != 9 and places[n][0] == "check")
    assert checked == {("saw", "blade"): newest}
    with closing(opened(tmp_path / "new")) as journal:
        told = [one.kind for one in journal.newest(["salvaged", "check"], 10**6, 3, 9)]
        assert told == ["check", "check", "salvaged"]


def test_all_that_can_be_read_is_given_in_order(path: Path) -> None:
    made(path, 9)
    names = uids(path)
    destroy(path, (4,))
    assert [one[1] for one in salvage.entries_of(path)] == [*names[:3], *names[4:]]
    assert [one[0] for one in salvage.entries_of(path)] == [1, 2, 3, 5, 6, 7, 8, 9]


def test_why_nothing_can_be_read(path: Path) -> None:
    with pytest.raises(JournalMissing, match="There is no file"):
        [*salvage.entries_of(path)]
    for wrong, why in (
        (path.parent, "Is a directory"),
        (Path("a\0b"), "can have such a name"),
    ):
        with pytest.raises(JournalCannotRead, match=why):
            [*salvage.entries_of(wrong)]


def refusing(error: Exception) -> object:
    def refuse(*_: object, **__: object) -> None:
        raise error

    return refuse


def coded(code: int) -> sqlite3.Error:
    error = sqlite3.OperationalError("what it says")
    error.sqlite_errorcode = code
    return error


@pytest.mark.parametrize(
    ("where", "error", "why"),
    [
        ("shopboard.journal.salvage.record", coded(13), "the disk is full"),
        ("shopboard.journal.salvage.record", coded(10), "what it says"),
        ("shopboard.journal.salvage.to_the_disk", OSError(5, "no card"), "no card"),
        ("os.open", PermissionError(13, "not allowed"), "not allowed"),
    ],
)
def test_why_the_new_journal_cannot_be_written(
    path: Path,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    where: str,
    error: Exception,
    why: str,
) -> None:
    made(path, 5)
    with monkeypatch.context() as broken:
        broken.setattr(where, refusing(error))
        with pytest.raises(JournalCannotWrite) as told:
            salvage.salvage(path, tmp_path / "new", lambda: NOW, lambda _, __: [])
    assert told.value.title == f"The new journal could not be written to {tmp_path}: {why}."
    assert "The broken file was left as it is. Name a file on another disk" in told.value.advice
    assert {one.name for one in tmp_path.iterdir() if "new" in one.name} == set()


def test_what_is_at_the_new_name_is_left(
    path: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Also where it came there meanwhile, and where no file can have two names."""
    made(path, 5)
    target = tmp_path / "new"
    usual = os.link

    def meanwhile(one: Path, other: Path) -> None:
        other.write_text("mine")
        usual(one, other)

    with monkeypatch.context() as late:
        late.setattr(os, "link", meanwhile)
        with pytest.raises(JournalCannotWrite, match="is there already"):
            salvage.salvage(path, target, lambda: NOW, lambda _, __: [])
    assert target.read_text() == "mine"
    target.unlink()
    monkeypatch.setattr(os, "link", refusing(OSError(1, "no links")))
    with monkeypatch.context() as full:
        full.setattr(Path, "replace", refusing(OSError(5, "no names")))
        with pytest.raises(JournalCannotWrite, match="no names"):
            salvage.salvage(path, target, lambda: NOW, lambda _, __: [])
    assert not target.exists()
    assert salvage.salvage(path, target, lambda: NOW, lambda _, __: []).found == 5
    assert len(uids(target)) == 6


def test_of_a_long_path_the_end_is_on_record() -> None:
    """A thousand letters: the name of the file stands there."""
    path = Path(f"/{'a' * 500}/{'b' * 600}/shop.journal")
    assert salvage._told(path, 0, ()).body["from"] == str(path)[-1000:]
    assert salvage._told(Path("shop.journal"), 0, ()).body["from"] == "shop.journal"
