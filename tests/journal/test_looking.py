"""What does not match its seal is named and not used, and a hidden entry is found."""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Callable
from contextlib import closing
from itertools import count
from pathlib import Path

import pytest

from shopboard.journal import (
    Damage,
    JournalCannotRead,
    LookedTo,
    NewEntry,
    SqliteJournal,
    queries,
)
from shopboard.journal.looking import Looking
from shopboard.journal.remembered import LastSeen, recall, remember
from tests.journal.helpers import Clock, check, opened


@pytest.fixture
def filled(path: Path) -> Path:
    """Give a journal with two results a point, one voided, and a visit."""
    with closing(opened(path)) as journal:
        for n in range(2):
            for point in ("blade", "fence", "mitre"):
                journal.append([check(point, "saw", n=n), check(point, "jointer", n=n)])
        journal.append([NewEntry("b", "begin", "saw", "blade"), NewEntry("e", "end", refers="b")])
        journal.void(journal.recent("check", "saw", "fence", 1)[0].uid, "the square was bad")
    return path


def _bytes_of(path: Path, old: bytes, new: bytes, which: int) -> None:
    """Change the n-th place at which some bytes stand in the file."""
    raw, at = path.read_bytes(), -1
    for _ in range(which + 1):
        at = raw.find(old, at + 1)
    assert at >= 0
    path.write_bytes(raw[:at] + new + raw[at + len(old) :])


def _all(journal: SqliteJournal) -> None:
    place = journal.look(None, 0)
    while place.seq:
        place = journal.look(place, 3)


def test_a_whole_journal_is_found_whole(filled: Path) -> None:
    with closing(opened(filled)) as journal:
        _all(journal)
        assert journal.damage is None
        newest = journal.latest("check")["saw", "fence"]
        assert newest.body["n"] == 0  # the one after it was voided


@pytest.mark.parametrize("point", ["aitre", "zitre", "fence"])
@pytest.mark.parametrize("machine", ["saw", "jointer"])
@pytest.mark.parametrize("which", range(4))
def test_hops_end_where_index_and_rows_disagree(
    filled: Path, machine: str, point: str, which: int
) -> None:
    """A place that reads lower in the row than in the index once led the hop round for ever.

    Kind, machine and point stand together twice in the table and twice in its index.
    """
    _bytes_of(filled, f"check{machine}mitre".encode(), f"check{machine}{point}".encode(), which)
    with closing(opened(filled)) as journal:
        began = time.process_time()  # a hop for ever is work without end
        found = journal.latest("check")
        assert time.process_time() - began < 2
        _all(journal)
        assert journal.damage is not None
        assert found.keys() <= {(m, p) for m in ("saw", "jointer") for p in _POINTS}
        for place, entry in found.items():
            assert (entry.machine, entry.point) == place
        stale = [one for one in found.values() if one.body["n"] == 0 and one.point != "fence"]
        assert all(journal.damage.shakes(one.seq) for one in stale)


_POINTS = ("blade", "fence", "mitre")


def test_a_key_lost_from_an_index_is_found(filled: Path) -> None:
    """SQLite's quick check does not see it; the entry is there, and no question finds it."""
    with closing(opened(filled)) as journal:
        uid = journal.recent("check", "saw", "mitre")[0].uid
    raw = filled.read_bytes()
    places = [at for at in range(len(raw)) if raw.startswith(uid.encode(), at)]
    assert len(places) == 2  # in the row, and in the index of uids
    for at in places:
        copy = bytearray(raw)
        copy[at] ^= 1
        filled.write_bytes(copy)
        with closing(opened(filled)) as journal:
            _all(journal)
            assert journal.damage is not None
            assert journal.damage.seq is not None  # those beside it are not found, either
            assert journal.damage.seq >= 11
    filled.write_bytes(raw)


INDEXES = (
    "sqlite_autoindex_entries_1",
    "entries_place",
    "entries_refers",
    "entries_void",
    "entries_end",
    "entries_begin",
    "entries_clock",
)


UNCOUNTED = ("entries_refers", "entries_clock")
"""How many they should hold is not known without a walk over the table."""


def _a_key_twice(path: Path, index: str, which: int) -> None:
    """Let the page of an index hold one of its keys once more, at its end.

    That is what becomes of it when one bit is flipped in the number of its keys and what
    once stood behind them is there still.
    """
    with closing(sqlite3.connect(path)) as db:
        size = db.execute("PRAGMA page_size").fetchone()[0]
        asked = "SELECT rootpage FROM sqlite_master WHERE name = ?"
        begin = (db.execute(asked, (index,)).fetchone()[0] - 1) * size
    raw = bytearray(path.read_bytes())
    assert raw[begin] == 10  # a page without others below it, by SQLite's file format
    keys = int.from_bytes(raw[begin + 3 : begin + 5], "big")
    pointers = begin + 8
    again = pointers + 2 * (which % keys)
    raw[pointers + 2 * keys : pointers + 2 * keys + 2] = raw[again : again + 2]
    raw[begin + 3 : begin + 5] = (keys + 1).to_bytes(2, "big")
    path.write_bytes(raw)


@pytest.mark.parametrize("index", INDEXES)
@pytest.mark.parametrize("which", [0, -1])
def test_a_key_too_many_changes_no_answer(filled: Path, index: str, which: int) -> None:
    """An entry is given once, and only where it was asked for; a command names the index."""

    def answers(journal: SqliteJournal) -> list[object]:
        places = [("saw", point) for point in _POINTS]
        return [
            journal.latest("check"),
            [journal.recent("check", *place) for place in places],
            [journal.recent("check", *place, include_void=False) for place in places],
            [journal.between("check", *place, 0, 99) for place in places],
            journal.machine_entries("check", "saw"),
            journal.thread("b"),
            journal.open_checks(),
            journal.newest_when(),
            journal.get("b"),
            journal.last_seq(),
            journal.count(),
            journal.seq_at(Clock().now),
        ]

    with closing(opened(filled)) as journal:
        good = answers(journal)
    _a_key_twice(filled, index, which)
    with closing(opened(filled)) as journal:
        assert answers(journal) == good
    with closing(opened(filled)) as journal:
        Looking(journal, filled, Clock(), time.monotonic).at_once()
        assert journal.damage is not None
        assert journal.damage.seq is None
        assert journal.damage.shakes(15)


def test_a_page_that_hangs_loose_is_told_and_shakes_nothing(filled: Path) -> None:
    """The list of free pages holds no entry; yet a further recording could go wrong by it."""
    raw = bytearray(filled.read_bytes())
    raw[36:40] = (1).to_bytes(4, "big")  # number of free pages, by SQLite's file format
    filled.write_bytes(raw)
    with closing(opened(filled)) as journal:
        Looking(journal, filled, Clock(), time.monotonic).at_once()
        assert journal.damage is not None
        assert journal.damage.seq == 0
        assert not journal.damage.shakes(0)
        assert "No record is lost" in journal.damage.says


def test_a_damaged_void_leaves_its_entry_void(filled: Path) -> None:
    _bytes_of(filled, b"the square was bad", b"the square was bae", 0)
    with closing(opened(filled)) as journal:
        assert journal.latest("check")["saw", "fence"].body["n"] == 0
        assert journal.damage is None  # the void was not read
        (taken_back, _) = journal.recent("check", "saw", "fence")
        assert taken_back.void == "the reason is not what was recorded"
        assert journal.damage == Damage(15, "entry 15 is not what was recorded")
        assert journal.as_of(14).damage is None
        assert journal.as_of(15).damage == journal.damage


def test_a_good_copy_put_back_is_found_whole(filled: Path) -> None:
    good = filled.read_bytes()
    _bytes_of(filled, b"the square was bad", b"the square was bae", 0)
    with closing(opened(filled)) as journal:
        _all(journal)
        assert journal.damage is not None
        filled.write_bytes(good)  # in place: it is the same file to the system
        _all(journal)
        assert journal.damage is None


def test_a_question_without_end_is_broken_off(filled: Path) -> None:
    """Whatever the file makes SQLite do, the board gets its answer or an error in time."""
    ticks = count()
    with closing(opened(filled, monotonic=lambda: float(next(ticks)), read_seconds=3.0)) as journal:
        endless = "WITH RECURSIVE n (x) AS (SELECT 1 UNION ALL SELECT x FROM n) SELECT x FROM n"
        with pytest.raises(JournalCannotRead, match="no answer in time"):
            journal._held.read(lambda db: db.execute(endless).fetchone()[0] and _drain(db, endless))
        assert journal.count() == 15


def _drain(db: sqlite3.Connection, query: str) -> int:
    return sum(1 for _ in db.execute(query))


def test_ctrl_c_ends_what_takes_long(filled: Path) -> None:
    """SQLite swallows what is raised while it asks whether to go on; it is raised again."""

    def interrupted() -> float:
        raise KeyboardInterrupt

    with closing(opened(filled)) as journal:
        journal._held._limit._monotonic = lambda: 0.0
        journal._held._limit.begin(1.0)
        endless = "WITH RECURSIVE n (x) AS (SELECT 1 UNION ALL SELECT x FROM n) SELECT x FROM n"

        def drained(db: sqlite3.Connection) -> int:
            journal._held._limit._monotonic = _once(interrupted)
            return _drain(db, endless)

        with pytest.raises(KeyboardInterrupt):
            journal._held.read(drained)


def _once(act: Callable[[], float]) -> Callable[[], float]:
    left = [act]
    return lambda: left.pop()() if left else 0.0


def test_years_to_come_are_no_time(path: Path) -> None:
    """A computer's clock that ran away to 9999 dates nothing else."""
    clock = Clock()
    with closing(opened(path)) as journal:
        journal._now = clock
        right = journal.append([check()])[0]
        clock.now = clock.now.replace(year=9999, month=12, day=31, hour=23)
        wrong = journal.append([check()])[0]
        assert not wrong.clock_ok
        assert wrong.when.astimezone().year == 9999
        assert journal.newest_when() == right.when


def test_times_before_time_are_read(path: Path) -> None:
    assert queries.as_time("0001-01-01T00:00:00.000000Z").astimezone().year in (1, 2)
    assert queries.as_time("9999-12-31T23:59:59.999999Z").astimezone().year == 9999


def test_what_was_found_is_remembered(filled: Path) -> None:
    """Damage that was found before is looked at first; where the file is whole again, forgotten."""
    good = filled.read_bytes()
    remember(filled, LastSeen(last=15))
    clock = Clock()
    with closing(opened(filled)) as journal:
        looking = Looking(journal, filled, clock, time.monotonic)
        assert looking.on(60)
    known = recall(filled)
    assert known is not None
    assert (known.whole_upto, known.damaged) == (15, 0)
    _bytes_of(filled, b"the square was bad", b"the square was bae", 0)
    with closing(opened(filled)) as journal:
        assert Looking(journal, filled, clock, time.monotonic).on(60)
    known = recall(filled)
    assert known is not None
    assert known.damaged == 15
    with closing(opened(filled)) as journal:
        Looking(journal, filled, clock, time.monotonic)._begin()
        assert journal.damage is not None
    filled.write_bytes(good)
    with closing(opened(filled)) as journal:
        assert Looking(journal, filled, clock, time.monotonic).on(60)
    known = recall(filled)
    assert known is not None
    assert known.damaged == 0


def test_a_look_goes_on_where_it_left_off(filled: Path) -> None:
    with closing(opened(filled)) as journal:
        place = journal.look(None, 0)
        assert place.seq == 15
        place = journal.look(place, 10)
        assert place.seq == 5
        assert journal.look(place, 10) == LookedTo(0, bytes(32))


def _cut_key(path: Path, seq: int, kept: bytes = b"") -> None:
    """Change one letter of an entry's key in an index: of that of places, unless another is given.

    The key is the second place at which kind, machine and point (or what is given) stand
    together with the number behind them.
    """
    with closing(sqlite3.connect(path)) as db:
        kind, machine, point = db.execute(
            "SELECT kind, machine, point FROM entries WHERE seq = ?", (seq,)
        ).fetchone()
    text = kept or f"{kind}{machine}{point}".encode()
    size = 1 if seq < 2**7 else 2 if seq < 2**15 else 3
    raw = bytearray(path.read_bytes())
    (at,) = (
        one for one in range(len(raw)) if raw.startswith(text + seq.to_bytes(size, "big"), one)
    )
    raw[at + len(text) - 1] ^= 1
    path.write_bytes(raw)


@pytest.fixture
def long(path: Path) -> Path:
    """Give a journal of 3,000 results at 30 points; the newest of each are in the last 100."""
    with closing(opened(path)) as journal:
        journal.append([check(f"p{n % 30:02}", n=n) for n in range(3000)])
    return path


def _at_rest(path: Path) -> None:
    """Make a file look as if nobody had written to it for a while."""
    os.utime(path, (1_700_000_000, 1_700_000_000))


def _looked(path: Path, clock: Clock) -> Damage | None:
    with closing(opened(path, watched=True)) as journal:
        Looking(journal, path, clock, time.monotonic).at_once()
        return journal.damage


def test_a_command_finds_a_key_lost_long_ago(long: Path) -> None:
    """However far back it lies, and however lately the file was found whole."""
    clock = Clock()
    _at_rest(long)
    assert _looked(long, clock) is None
    assert recall(long) is not None
    _cut_key(long, 200)
    assert _looked(long, clock) == Damage(200, "entry 200 is not found where it was recorded")
    known = recall(long)
    assert known is not None
    assert (known.damaged, known.sound_file) == (200, "")


def test_a_file_at_rest_is_compared_once_a_day(long: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    compared: list[LookedTo] = []
    beneath = SqliteJournal.look_beneath

    def watched(journal: SqliteJournal, place: LookedTo) -> bool:
        compared.append(place)
        return beneath(journal, place)

    monkeypatch.setattr(SqliteJournal, "look_beneath", watched)
    clock = Clock()
    for at_rest, hours, times in (
        (False, 0, 1), (False, 0, 1), (True, 0, 1), (False, 0, 0), (False, 23, 0), (False, 2, 1),
    ):  # fmt: skip
        if at_rest:
            _at_rest(long)
        clock.pass_by(hours=hours)
        compared.clear()
        assert _looked(long, clock) is None
        assert len(compared) == times
        assert all(place.seq == 1000 for place in compared)  # the newest 2,000 are seen anyway


def test_damage_is_remembered_when_the_journal_is_opened_and_added_to(filled: Path) -> None:
    """It is looked at first by whoever opens it next, however deep it lies."""
    with closing(opened(filled, watched=True)) as journal:
        journal.count()
    known = recall(filled)
    assert known is not None
    remember(filled, known._replace(damaged=3))
    with closing(opened(filled, watched=True)) as journal:
        journal.append([check()])
        journal.count()
    again = recall(filled)
    assert again is not None
    assert again.damaged == 3


@pytest.fixture
def hourly(path: Path) -> Path:
    """Give a journal with an entry an hour, from 8:00 to 17:00."""
    clock = Clock()
    with closing(opened(path)) as journal:
        journal._now = clock
        for n in range(10):
            journal.append([check(n=n)])
            clock.pass_by(hours=1)
    return path


@pytest.mark.parametrize("which", [0, 1], ids=["row", "index"])
@pytest.mark.parametrize("hour", [11, 12, 13])
@pytest.mark.parametrize("other", [b"2026-06-01T09", b"2026-07-01T00", b"2028-06-01T12"])
def test_a_time_that_is_not_what_was_recorded_dates_nothing(
    hourly: Path, hour: int, which: int, other: bytes
) -> None:
    """What was recorded up to 12:30 is the first five, whatever a damaged time says."""
    long_ago, moment = Clock().now, Clock().now.replace(hour=12, minute=30)
    with closing(opened(hourly)) as journal:
        assert journal.seq_at(moment) == 5
    raw = hourly.read_bytes()
    old = f"2026-06-01T{hour}".encode()
    places = [at for at in range(len(raw)) if raw.startswith(old, at)]
    assert len(places) == 2
    row, index = sorted(places, key=lambda at: raw[at + 27 : at + 32] != b"check")
    at = (row, index)[which]
    hourly.write_bytes(raw[:at] + other + raw[at + 13 :])
    with closing(opened(hourly)) as journal:
        journal._now = lambda: moment.replace(hour=20)
        found = journal.seq_at(moment)
        then = journal.as_of(found).damage  # of what stood then
        assert found == 5 or (then is not None and then.shakes(5))
        assert journal.seq_at(long_ago) == 1


def test_the_newest_time_is_one_that_was_recorded(hourly: Path) -> None:
    """Where row or index of the newest is damaged, it is that all the same, or the one before."""
    raw, right = hourly.read_bytes(), Clock().now
    for which in (0, 1):
        places = [at for at in range(len(raw)) if raw.startswith(b"2026-06-01T17", at)]
        at = places[which]
        hourly.write_bytes(raw[:at] + b"2026-06-09T17" + raw[at + 13 :])
        with closing(opened(hourly)) as journal:
            found = journal.newest_when()
            told = journal.damage is not None
            assert found == right.replace(hour=16 if told else 17)


def test_a_key_that_leads_elsewhere_leaves_all_unsure_until_the_lost_entry_is_found(
    filled: Path,
) -> None:
    """What it leads to is sound by itself, so its number tells nothing of what was lost."""
    with closing(opened(filled)) as journal:
        newest, older = (one.seq for one in journal.recent("check", "saw", "mitre"))
    raw = filled.read_bytes()
    key = b"checksawmitre" + bytes([newest])
    (at,) = (one for one in range(len(raw)) if raw.startswith(key, one))
    end = at + len(key)
    for elsewhere in (older - 2, newest - 1):
        filled.write_bytes(raw[: end - 1] + bytes([elsewhere]) + raw[end:])
        with closing(opened(filled)) as journal:
            assert newest not in {one.seq for one in journal.recent("check", "saw", "mitre")}
            assert journal.damage is not None
            assert journal.damage.seq is None
            _all(journal)
            assert journal.damage == Damage(
                newest, f"entry {newest} is not found where it was recorded"
            )
            journal.recent("check", "saw", "mitre")
            assert journal.damage.seq == newest  # it is known by now what is lost


@pytest.mark.parametrize("index", [one for one in INDEXES if one not in UNCOUNTED])
def test_a_look_begins_with_counting_the_keys(filled: Path, index: str) -> None:
    """A void too many would hide a result, and no question reads the void itself."""
    _a_key_twice(filled, index, 0)
    with closing(opened(filled)) as journal:
        journal.look(None, 0)
        assert journal.damage is not None
        assert journal.damage.seq is None
