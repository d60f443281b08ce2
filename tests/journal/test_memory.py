"""What this computer remembers of a journal, and when: by LastSeen alone, and at its limits.

The hashes that a trail begins with are read by Python's own `sqlite3`.
"""

from __future__ import annotations

import json
import os
import re
import time
from collections.abc import Callable
from contextlib import closing
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from shopboard.base.dates import day
from shopboard.base.locations import usual_journal
from shopboard.journal import Damage, LookedTo, SqliteJournal, open_journal
from shopboard.journal.looking import Looking
from shopboard.journal.remembered import LastSeen, may_begin, memory_file, recall, remember
from shopboard.journal.watch import JournalWatch, entries, last_seen
from tests.journal.helpers import Clock, check, opened, plainly


def known(path: Path) -> LastSeen:
    found = recall(path)
    assert found is not None
    return found


def hashes(path: Path) -> list[str]:
    with closing(plainly(path)) as db:
        return [one.hex() for (one,) in db.execute("SELECT hash FROM entries ORDER BY seq")]


def watched(path: Path, clock: Clock) -> SqliteJournal:
    return open_journal(path, clock, watched=True)


@pytest.mark.parametrize("parts", [(1,), (5,), (255,), (256,), (257,), (3, 4), (1, 255), (1, 256)])
def test_the_trail_is_how_the_last_hashes_begin(
    path: Path, clock: Clock, parts: tuple[int, ...]
) -> None:
    """Four letters each of the last 256, though they were recorded and seen in parts."""
    for count in parts:
        with closing(watched(path, clock)) as journal:
            journal.append([check() for _ in range(count)])
    seen, all_hashes = known(path), hashes(path)
    with closing(plainly(path)) as db:
        (first,) = db.execute("SELECT uid FROM entries WHERE seq = 1").fetchone()
    assert (seen.first_uid, seen.last, seen.last_hash) == (first, sum(parts), all_hashes[-1])
    assert seen.trail == "".join(one[:4] for one in all_hashes[-256:])
    assert seen.when == "2026-06-01T08:00:00.000000+00:00"


@pytest.mark.parametrize(("minutes", "written"), [(9.99, 0.0), (10, 10), (-9.99, 0.0), (-10, 0.0)])
def test_that_it_was_seen_again_is_written_down_every_ten_minutes(
    path: Path, clock: Clock, minutes: float, written: float
) -> None:
    """Where the clock was set back what is written stays: it may be another program's."""
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
    begun = clock.now
    clock.pass_by(minutes=minutes)
    watched(path, clock).close()
    if minutes != -10:
        assert datetime.fromisoformat(known(path).when) - begun == timedelta(minutes=written)


def test_of_two_programs_the_one_that_saw_it_last_is_believed(path: Path, clock: Clock) -> None:
    """One that ends later, and saw less, writes nothing over what the other saw."""
    with closing(watched(path, clock)) as first:
        first.append([check()])
        clock.pass_by(minutes=1)
        with closing(watched(path, clock)) as second:
            second.append([check(), check()])
        assert known(path).last == 3
    assert known(path).last == 3
    assert known(path).when == "2026-06-01T08:01:00.000000+00:00"


def test_what_another_program_looked_through_meanwhile_stays(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
        journal.save_memory()
        seen = known(path)
        remember(path, seen._replace(damaged=1, whole_upto=1, whole_hash=seen.last_hash))
        clock.pass_by(minutes=1)
        journal.append([check()])
    assert (known(path).damaged, known(path).whole_upto, known(path).last) == (1, 1, 2)


def test_saved_is_what_is_new_alone(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
        journal.save_memory()
        memory_file().unlink()
        journal.save_memory()
        assert recall(path) is None


def test_a_person_said_that_it_is_right(path: Path, clock: Clock) -> None:
    """It is known at once, and all of it: nothing of the one that was there before stays."""
    with closing(watched(path, clock)) as journal:
        journal.append([check(), check()])
    remember(path, known(path)._replace(first_uid="another", last=9, damaged=7))
    with closing(watched(path, clock)) as journal:
        assert journal.differs is not None
        assert journal.differs.how == "other"
        journal.take_as_it_is()
        assert (known(path).last, known(path).damaged) == (2, 0)
        assert known(path).first_uid != "another"
        assert known(path).trail == "".join(one[:4] for one in hashes(path))


def test_how_it_differs_is_said_with_numbers_and_the_day(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])
    seen = f"on {day(clock.now)}, {clock.now.astimezone():%H:%M}"
    right, own = known(path), hashes(path)
    trail = [own[at][:4] for at in range(3)]
    for now, how, words in (
        (
            right._replace(last=4, trail=f"{right.trail}zzzz"),
            "older",
            f"lacks the last 1 entry of the one .* {seen}",
        ),
        (right._replace(last=9, trail=""), "older", "lacks the last 6 entries of the one"),
        (right._replace(first_uid="x"), "other", f"is not the one that was open there {seen}: it"),
        (right._replace(last_hash="ffff"), "fork", r"differs after entry 3 .*: it has 0 e"),
        (
            right._replace(last_hash="ffff", trail=f"{trail[0]}{trail[1]}zzzz"),
            "fork",
            "after entry 2 .*: it has 1 entry of its own and lacks the last 1 entry of",
        ),
        (
            right._replace(last=4, last_hash="x", trail=f"{trail[0]}zzzzzzzzyyyy"),
            "fork",
            "after entry 1 .*: it has 2 entries of its own and lacks the last 3 entries of",
        ),
        (
            right._replace(last_hash="ffff", trail="zzzzzzzzzzzz"),
            "fork",
            "after entry 0 .*: it has 3 entries of its own and lacks the last 3 entries of",
        ),
        (
            right._replace(last_hash="ffff", trail="zzzzzzzz"),
            "fork",
            f"differs since long before its end from .* {seen}",
        ),
        (
            right._replace(last=1, last_hash="ffff", trail="zzzz"),
            "fork",
            "after entry 0 .*: it has 3 entries of its own and lacks the last 1 entry of",
        ),
        (right._replace(whole_upto=2, whole_hash="ffff"), "fork", "after entry 3"),
        (right._replace(whole_upto=1, whole_hash="ffff"), "fork", "after entry 3"),
        (right._replace(whole_upto=2, whole_hash=own[1]), "", ""),
        (right._replace(whole_upto=4, whole_hash="ffff"), "", ""),
        (right._replace(last=0, first_uid="x"), "", ""),
        (right._replace(last=2, last_hash=own[1]), "", ""),
        (
            right._replace(last=2, last_hash=own[0], trail=f"{trail[0]}zzzz"),
            "fork",
            "after entry 1 .*: it has 2 entries of its own and lacks the last 1 entry of",
        ),
    ):
        remember(path, now)
        with closing(watched(path, clock)) as journal:
            assert (journal.differs.how if journal.differs else "") == how
            if journal.differs is not None:
                assert str(path) in journal.differs.title
                assert "`shopboard verify --as-it-is`" in journal.differs.advice
                assert re.search(words, journal.differs.title), journal.differs.title
        if how:
            assert known(path) == now  # the wrong one is not remembered


@pytest.mark.parametrize(
    ("spoil", "how"),
    [
        ("DELETE FROM entries WHERE seq = 2", ""),
        ("UPDATE entries SET prev = 'x' WHERE seq = 2", ""),
        ("UPDATE entries SET hash = x'ff' WHERE seq = 2", ""),
        ("UPDATE entries SET hash = 7 WHERE seq = 2", ""),
        ("UPDATE entries SET hash = x'ff', body = '{}' WHERE seq = 2", "fork"),
        ("UPDATE entries SET hash = x'ff', body = 7 WHERE seq = 2", "fork"),
    ],
)
def test_what_is_lost_says_nothing_else_and_a_damaged_hash_is_reckoned_anew(
    path: Path, clock: Clock, spoil: str, how: str
) -> None:
    """Without the table's own rules, as a failing disk knows none."""
    with closing(watched(path, clock)) as journal:
        journal.append([check(n=n) for n in range(3)])
    remember(path, known(path)._replace(whole_upto=2, whole_hash=hashes(path)[1]))
    with closing(plainly(path)) as db:
        db.execute("CREATE TABLE spoilt AS SELECT * FROM entries")
        db.execute("DROP TABLE entries")
        db.execute("ALTER TABLE spoilt RENAME TO entries")
        db.execute(spoil)
        differs = JournalWatch(path, clock).look(db)
        assert (differs.how if differs else "") == how


def test_what_was_said_to_be_right_is_written_once(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
        journal.take_as_it_is()
        remember(path, known(path)._replace(last=9))
    assert known(path).last == 9


def test_one_that_ends_before_the_trail_is_judged_by_the_time_of_its_end(
    path: Path, clock: Clock
) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])
    short = known(path)._replace(last=9, last_hash="x", trail="zzzz" * 5)  # from entry 5 on
    for minutes, how in ((-1, "fork"), (0, "older"), (1, "older")):
        when = clock.now + timedelta(minutes=minutes)
        remember(path, short._replace(when=when.isoformat()))
        with closing(watched(path, clock)) as journal:
            assert journal.differs is not None
            assert journal.differs.how == how
    for told in ("", "no time"):
        remember(path, short._replace(when=told))
        with closing(watched(path, clock)) as journal:
            assert journal.differs is not None
            assert journal.differs.how == "older"
            assert "open there before" in journal.differs.title


def test_a_stale_look_is_one_at_something_that_is_remembered_otherwise(
    path: Path, clock: Clock
) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
    watch = JournalWatch(path, clock)
    with closing(plainly(path)) as db:
        assert watch.look(db) is None
        assert not watch.is_stale()
        remember(path, known(path)._replace(last=5))
        assert not watch.is_stale()  # it did not differ
        assert watch.look(db) is watch.differs is not None
        assert not watch.is_stale()
        remember(path, known(path)._replace(last=6))
        assert watch.is_stale()


def test_numbers_of_entries_in_words() -> None:
    assert [entries(n) for n in (0, 1, 2)] == ["0 entries", "1 entry", "2 entries"]
    assert last_seen(LastSeen()) == "before"


def test_where_a_journal_may_be_begun(tmp_path: Path) -> None:
    """At the usual place where none was before; elsewhere it was named, and is to be told."""
    usual, named = usual_journal(), tmp_path / "stick" / "journal"
    assert may_begin(usual, told=False)
    assert not may_begin(named, told=False)
    assert may_begin(named, told=True)
    remember(usual, LastSeen("first", 3, when="2026-03-02T08:00:00+00:00"))
    assert not may_begin(usual, told=False)
    assert may_begin(usual, told=True)


def test_the_longest_memory_is_read_and_a_longer_one_is_not(tmp_path: Path) -> None:
    remember(tmp_path / "one", LastSeen("first", 3))
    text = memory_file().read_bytes()
    for size, is_read in ((4_000_000, True), (4_000_001, False)):
        memory_file().write_bytes(text.ljust(size))
        assert (recall(tmp_path / "one") is not None) is is_read


@pytest.mark.parametrize("field", LastSeen._fields)
def test_a_field_of_another_type_makes_nothing_known(tmp_path: Path, field: str) -> None:
    remember(tmp_path / "one", LastSeen("first", 3))
    more: object = -1 if field in ("last", "whole_upto") else []
    for wrong in (None, 1.0, True, more):
        stored = json.loads(memory_file().read_text())
        stored["journals"][str(tmp_path / "one")][field] = wrong
        remember(tmp_path / "two", LastSeen("second", 1))
        memory_file().write_text(json.dumps(stored))
        assert recall(tmp_path / "one") is None


def test_the_memory_is_whole_and_says_its_form(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is remembered already is not written anew; what cannot be written leaves no half."""
    seen = LastSeen("first", 3)
    remember(tmp_path / "one", seen)
    stored = json.loads(memory_file().read_text())
    assert stored == {"form": 1, "journals": {str(tmp_path / "one"): seen._asdict()}}
    before = memory_file().stat().st_ino
    remember(tmp_path / "one", seen)
    assert memory_file().stat().st_ino == before

    def refuse(*_: object) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as full:
        full.setattr(Path, "replace", refuse)
        remember(tmp_path / "one", seen._replace(last=4))
    assert [one.name for one in memory_file().parent.iterdir()] == [memory_file().name]
    assert recall(tmp_path / "one") == seen


# what a look keeps there


def at_rest(path: Path) -> None:
    os.utime(path, (1_700_000_000, 1_700_000_000))


def looked(path: Path, clock: Callable[[], datetime]) -> SqliteJournal:
    """Look through all of a journal as the board does."""
    journal = opened(path)
    assert Looking(journal, path, clock, time.monotonic).on(60)
    return journal


def test_a_look_through_the_whole_is_remembered_with_its_end(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])
    looked(path, clock).close()
    before = known(path)
    assert (before.whole_upto, before.whole_hash) == (3, hashes(path)[2])
    assert (before.sound_file, before.damaged) == ("", 0)
    with closing(opened(path)) as other:
        other.append([check()])
    with closing(opened(path)) as journal:
        Looking(journal, path, clock, time.monotonic).at_once()
        assert (known(path).whole_upto, known(path).whole_hash) == (4, hashes(path)[3])


def test_a_file_that_was_compared_is_known_by_what_the_system_tells_of_it(
    path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """At rest for three seconds; damage takes that back, and is kept with its number."""
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])

    def look() -> LastSeen:
        with closing(opened(path)) as journal:
            Looking(journal, path, clock, time.monotonic).at_once()
        return known(path)

    now = path.stat().st_mtime
    for seconds, told in ((2.99, False), (3.0, True)):
        monkeypatch.setattr(time, "time", lambda seconds=seconds: now + seconds)
        assert bool(look().sound_file) is told
    stat = path.stat()
    assert look().sound_file == (
        f"{stat.st_ino} {stat.st_size} {stat.st_mtime_ns} {stat.st_ctime_ns}"
    )
    assert look().sound_when == "2026-06-01T08:00:00+00:00"
    clock.pass_by(hours=23)
    assert look().sound_when == "2026-06-01T08:00:00+00:00"  # it was not compared again
    clock.pass_by(hours=1)
    assert look().sound_when == "2026-06-02T08:00:00+00:00"
    clock.pass_by(hours=-1)
    assert look().sound_when == "2026-06-02T07:00:00+00:00"  # that was still to come
    remember(path, known(path)._replace(sound_when="2026-06-02T07:00:00"))
    clock.pass_by(minutes=5)
    assert look().sound_when == "2026-06-02T07:00:00"  # without a zone it is UTC
    remember(path, known(path)._replace(sound_when="no time"))
    assert look().sound_when == "2026-06-02T07:05:00+00:00"
    raw = bytearray(path.read_bytes())
    raw[raw.index(b'"v":1') + 4] ^= 1
    path.write_bytes(raw)
    with closing(plainly(path)) as db:
        (damaged,) = [
            seq for seq, body in db.execute("SELECT seq, body FROM entries") if body != '{"v":1}'
        ]
    assert (look().sound_file, look().damaged) == ("", damaged)
    assert look().whole_upto == 3  # as it was when it was whole


def test_a_file_that_is_written_to_meanwhile_was_not_compared(
    path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check()])
    for meanwhile, told in ((lambda: path.touch(), False), (lambda: None, True)):
        at_rest(path)
        with closing(opened(path)) as journal:
            usual = journal.look_beneath

            def look_beneath(
                place: LookedTo,
                meanwhile: Callable[[], None] = meanwhile,
                usual: Callable[[LookedTo], bool] = usual,
            ) -> bool:
                meanwhile()
                return usual(place)

            monkeypatch.setattr(journal, "look_beneath", look_beneath)
            Looking(journal, path, clock, time.monotonic).at_once()
        assert bool(known(path).sound_file) is told


def test_whole_is_what_was_looked_through_to_its_beginning(
    path: Path, clock: Clock, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A command looks at the newest alone; of an empty journal there is no end to remember."""
    watched(path, clock).close()
    with closing(opened(path)) as journal:
        Looking(journal, path, clock, time.monotonic).at_once()
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])
        for newest, upto in ((2, 0), (3, 3)):
            monkeypatch.setattr("shopboard.journal.looking.AT_ONCE", newest)
            Looking(journal, path, clock, time.monotonic).at_once()
            assert known(path).whole_upto == upto


def test_what_differs_is_looked_at_and_nothing_of_it_is_remembered(
    path: Path, clock: Clock
) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(3)])
    other = known(path)._replace(last=9, last_hash="x")
    remember(path, other)
    with closing(watched(path, clock)) as journal:
        Looking(journal, path, clock, time.monotonic).at_once()
        assert journal.differs is not None
    assert known(path) == other


def test_a_look_takes_no_longer_than_it_may(path: Path, clock: Clock) -> None:
    """Fifty entries between two looks at the clock; it goes on from there."""
    with closing(opened(path)) as journal:
        journal.append([check() for _ in range(120)])
        ticks = iter([0.0, 0.0, 1.0, 1.0, 1.5, 2.0, 2.0, 2.5])
        seen: list[LookedTo | None] = []
        usual = journal.look

        def look(place: LookedTo | None, count: int) -> LookedTo:
            found = usual(place, count)
            seen.append(found)
            return found

        journal.look = look  # type: ignore[method-assign]
        look_through = Looking(journal, path, clock, lambda: next(ticks))
        assert not look_through.is_through
        assert not look_through.on(1.0)
        assert not look_through.on(1.0)
        assert look_through.on(1.0)
        assert [one.seq for one in seen if one is not None] == [120, 70, 20, 0]
        assert look_through.is_through
        assert look_through.on(1.0)  # without a look at the clock


def test_what_was_damaged_before_is_looked_at_first(path: Path, clock: Clock) -> None:
    with closing(watched(path, clock)) as journal:
        journal.append([check() for _ in range(9)])
    remember(path, known(path)._replace(damaged=4))
    told: list[Damage] = []
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET clock_ok = 0 WHERE seq IN (3, 4)")
    with closing(opened(path, told=told.append)) as journal:
        assert not Looking(journal, path, clock, lambda: 0.0).on(0.0)
        assert [one.seq for one in told] == [4]
