"""Recording at its limits: the clock, what it rests on, what is there already, what it is told.

The counter of changes is read from the file's head (https://www.sqlite.org/fileformat2.html, 1.3).
"""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard import __version__
from shopboard.journal import (
    Damage,
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalLocked,
    JournalMovedOn,
    KeptJournal,
    LookedTo,
    NewEntry,
    SqliteJournal,
    act_on_record,
    open_journal,
    queries,
)
from shopboard.journal import sqlite as one_file
from shopboard.journal.commit import record
from shopboard.journal.migrate import bring_up
from shopboard.journal.schema import MIGRATIONS
from tests.journal.helpers import Clock, check, opened, plainly

FIRST_DAY, END = datetime(2026, 1, 1, tzinfo=UTC), datetime(2200, 1, 1, tzinfo=UTC)
MOMENT, SLACK = timedelta(microseconds=1), timedelta(minutes=2)


@pytest.mark.parametrize("said", [False, True])
@pytest.mark.parametrize(
    ("when", "right"),
    [(FIRST_DAY - MOMENT, False), (FIRST_DAY, True), (END - MOMENT, True), (END, False)],
)
def test_a_clock_that_can_be_right(
    store: KeptJournal, clock: Clock, when: datetime, right: bool, said: bool
) -> None:
    """From the day the program was written to the year 2200, also where somebody says so."""
    clock.now = when
    (entry,) = store.append([NewEntry("c", "clock") if said else check()])
    assert (entry.clock_ok, entry.when) == (right, when)
    assert store.newest_when() == (when if right else None)


@pytest.mark.parametrize(
    ("behind", "right"), [(SLACK, True), (SLACK + MOMENT, False), (-SLACK, True)]
)
def test_a_clock_may_be_set_back_by_two_minutes(
    store: KeptJournal, clock: Clock, behind: timedelta, right: bool
) -> None:
    store.append([check()])
    clock.now -= behind
    assert store.append([check(), check()])[1].clock_ok is right
    assert store.append([check(), NewEntry("c", "clock")])[0].clock_ok  # said with it


def test_what_stands_in_the_file(journal: SqliteJournal, clock: Clock, path: Path) -> None:
    """Numbers from 1 on without a gap, the time in UTC to the microsecond, who wrote it."""
    clock.now = datetime(2026, 6, 1, 8, 0, 0, 7, tzinfo=UTC)
    journal.append([NewEntry("a", "check", "saw", "blade", {"v": 1}), NewEntry("b", "k")])
    clock.now += timedelta(days=-1)
    journal.append([NewEntry("c", "k", refers="a")])
    with closing(plainly(path)) as db:
        rows = db.execute("SELECT * FROM entries ORDER BY seq").fetchall()
    first = (1, "a", "2026-06-01T08:00:00.000007Z", "check", "saw", "blade", "", '{"v":1}', 1)
    assert rows[0][:10] == (*first, __version__)
    assert [row[0] for row in rows] == [1, 2, 3]
    assert [row[8] for row in rows] == [1, 1, 0]
    assert [row[6] for row in rows] == ["", "", "a"]
    assert rows[0][10] == bytes(32)
    assert [rows[n + 1][10] for n in range(2)] == [rows[n][11] for n in range(2)]


def changes(path: Path) -> int:
    return int.from_bytes(path.read_bytes()[24:28], "big")


def test_what_is_there_already_is_brought_to_the_disk_once_more(
    journal: SqliteJournal, path: Path
) -> None:
    """By a commit that writes: it may stand there by one that failed half-way."""
    entry = check()
    journal.append([entry])
    before = changes(path)
    journal.append([entry])
    assert changes(path) == before + 1
    with closing(plainly(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (len(MIGRATIONS),)
    assert act_on_record(journal, entry.uid) == journal.get(entry.uid)
    assert changes(path) == before + 2
    assert act_on_record(journal, "nobody") is None
    assert changes(path) == before + 2
    assert journal.count() == 1


def test_an_act_is_known_with_all_it_says(store: KeptJournal) -> None:
    sitting = NewEntry("s", "begin", "saw", "blade", {"v": 1})
    answer = NewEntry("a", "answer", "saw", "blade", {"v": 1, "text": "x"}, "s")
    store.append([sitting, answer])
    assert act_on_record(store, "a") == store.get("a")
    result = check()
    store.append([result])
    store.void(result.uid, "a slip")
    known = act_on_record(store, result.uid)
    assert known is not None
    assert known.void == "a slip"


@pytest.mark.parametrize("field", ["kind", "machine", "point", "refers", "body"])
def test_a_uid_with_anything_else_is_refused_with_its_number(
    store: KeptJournal, field: str
) -> None:
    entry = NewEntry("u", "check", "saw", "blade", {"v": 1}, "r")
    store.append([check(), entry])
    changed = {"v": 2} if field == "body" else "other"
    other = entry._replace(**{field: changed})  # type: ignore[arg-type]
    with pytest.raises(JournalError, match="another entry with the uid u is there, number 2"):
        store.append([other])
    assert store.count() == 2


def test_why_an_entry_cannot_be_voided_is_told_by_number(store: KeptJournal) -> None:
    entry, _ = store.append([check(), check()])
    void = store.void(entry.uid, "a slip", name="by-name")
    assert void.uid == "by-name"
    for uid, why in (
        ("nobody", "there is no entry nobody to withdraw"),
        (entry.uid, "entry 1 is withdrawn already"),
        ("by-name", "entry 3 is a withdrawal itself; record what is right instead"),
    ):
        with pytest.raises(JournalError, match=why):
            store.append([NewEntry("v", "void", body={"reason": "x"}, refers=uid)])
    with pytest.raises(JournalError, match="there is no entry nobody to withdraw"):
        store.void("nobody", "x")
    assert store.count() == 3


def test_what_rests_on_something_is_recorded_only_while_that_is_the_last(
    store: KeptJournal,
) -> None:
    (first,) = store.append([check()], after=0)
    with pytest.raises(JournalMovedOn) as told:
        store.append([check()], after=0)
    assert told.value.advice == "Nothing was recorded. Try again."
    with pytest.raises(JournalMovedOn):
        store.append([check()], after=2)
    second = check()
    store.append([second], after=1)
    store.append([second], after=1)  # it is there: handing it in again settles it
    with pytest.raises(JournalMovedOn):
        store.append([second, check()], after=1)
    assert (store.count(), first.seq) == (2, 1)


def test_a_recording_that_fails_leaves_nothing_open(journal: SqliteJournal, path: Path) -> None:
    (entry,) = journal.append([check()])
    with pytest.raises(JournalError):
        journal.append([check(), NewEntry(entry.uid, "other")])
    with closing(sqlite3.connect(path, timeout=0, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
    assert journal.append([check()])[0].seq == 2


def test_times_at_the_ends_of_the_calendar_are_read_and_written() -> None:
    """What no clock shows still has to be shown: a day from the end, in whatever zone."""
    for text, when in (
        ("2026-06-01T08:00:00.000007Z", datetime(2026, 6, 1, 8, 0, 0, 7, tzinfo=UTC)),
        ("9999-12-30T23:59:59.999999Z", datetime(9999, 12, 30, 23, 59, 59, 999999, UTC)),
        ("9999-12-31T00:00:00.000000Z", datetime(9999, 12, 30, tzinfo=UTC)),
        ("0001-12-31T00:00:00.000000Z", datetime(2, 1, 1, tzinfo=UTC)),
        ("0002-01-01T00:00:00.000000Z", datetime(2, 1, 1, tzinfo=UTC)),
        ("2026-06-01T08:00:00+02:00", datetime(2026, 6, 1, 6, tzinfo=UTC)),
    ):
        assert queries.as_time(text) == when
        assert queries.as_time(text).utcoffset() == timedelta(0)
    at = datetime.fromisoformat("2026-06-01T08:00:00-07:00")
    assert queries.as_text(at) == "2026-06-01T15:00:00.000000Z"


# the open journal


def test_the_mark_changes_with_everything_that_may_change_an_answer(
    journal: SqliteJournal, path: Path
) -> None:
    marks = [journal.change_mark()]

    def moved() -> bool:
        marks.append(journal.change_mark())
        return marks[-1] != marks[-2]

    assert not moved()
    journal.append([check()])
    assert moved()
    assert not moved()
    journal.take_as_it_is()
    assert moved()
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET clock_ok = 0")
    assert moved()
    journal.get("nobody")
    assert not moved()
    journal.recent("check", "saw", "blade")
    assert moved()  # damage was found
    journal._held.drop()
    assert moved()  # opened anew
    assert not moved()


def test_the_seal_of_an_entry_is_what_stands_in_the_file(
    journal: SqliteJournal, path: Path
) -> None:
    journal.append([check(), check()])
    with closing(plainly(path)) as db:
        rows = db.execute("SELECT hash FROM entries ORDER BY seq").fetchall()
    assert [journal.seal_of(n) for n in range(4)] == ["", *(one.hex() for (one,) in rows), ""]
    assert (journal.last_seq(), journal.count()) == (2, 2)


def test_the_entries_of_some_kinds_in_a_window(store: KeptJournal) -> None:
    """Of the last so many up to a number, whatever kind those are; so many at the most."""
    store.append([NewEntry(f"{n}", ("check", "moved", "tag")[n % 3]) for n in range(12)])

    def asked(kinds: list[str], upto: int, window: int, limit: int = 99) -> list[int]:
        back = store.as_of(9).newest(kinds, upto, window, limit)
        found = [one.seq for one in store.newest(kinds, upto, window, limit)]
        assert upto > 9 or [one.seq for one in back] == found
        return found

    assert asked(["check"], 12, 99) == [10, 7, 4, 1]
    assert asked(["check", "tag"], 99, 4) == [12, 10, 9]
    assert asked(["check", "tag"], 9, 3) == [9, 7]
    assert asked(["check", "tag"], 9, 3, 1) == [9]
    assert asked(["chec", "ag"], 12, 99) == []
    assert asked([], 12, 99) == []
    store.void("0", "a slip")
    assert [one.void for one in store.newest(["check"], 99, 99, 99)] == [*([None] * 3), "a slip"]


def test_each_question_gives_so_many_at_the_most(store: KeptJournal) -> None:
    """Two hundred, where nothing else is said."""
    store.append([check() for _ in range(201)])
    store.append([NewEntry(f"b{n}", "begin") for n in range(201)])
    back = store.as_of(10**6)
    for each in (store, back):
        assert len(each.recent("check", "saw", "blade")) == 200
        assert len(each.recent("check", "saw", "blade", include_void=False)) == 200
        assert len(each.machine_entries("check", "saw")) == 200
        assert len(each.between("check", "saw", "blade", 0, 10**6)) == 200
        assert len(each.open_checks()) == 200
        assert len(each.open_checks(3)) == 3
        assert len(each.recent("check", "saw", "blade", 3, include_void=False)) == 3


def test_a_moment_before_the_program_was_written_is_found_too(
    store: KeptJournal, clock: Clock
) -> None:
    """Where the clock of today cannot be right no recorded time is held against it."""
    start = clock.now
    store.append([check()])
    clock.now = start + timedelta(days=30)
    store.append([check()])
    for now in (FIRST_DAY - MOMENT, start + timedelta(days=30)):
        clock.now = now
        assert [store.seq_at(start + timedelta(days=n)) for n in (-1, 0, 29, 30)] == [0, 1, 1, 2]
    clock.now = FIRST_DAY  # it can be right: what is recorded later was wrong
    assert store.seq_at(start - MOMENT) == 0
    assert store.as_of(1).newest_when() == start


def test_what_was_taken_back_and_what_a_wrong_clock_dated_has_its_place(
    store: KeptJournal, clock: Clock
) -> None:
    """By the order of recording, up to the very moment."""
    start, day = clock.now, timedelta(days=1)
    store.append([check()])
    clock.now = start + day
    (second,) = store.append([check()])
    clock.now = start + 2 * day
    store.void(second.uid, "a slip")
    assert [store.seq_at(start + n * day) for n in range(3)] == [1, 2, 3]
    assert store.seq_at(start + day - MOMENT) == 1
    assert [one.void for one in store.as_of(2).recent("check", "saw", "blade")] == [
        *("a slip", None)
    ]


def test_a_clock_of_the_first_day_is_held_against_what_is_recorded_later(
    store: KeptJournal, clock: Clock
) -> None:
    """What lies ahead of it was wrong, so what follows it is by its own time."""
    start = clock.now
    clock.now = start + timedelta(days=10)
    store.append([check()])
    clock.now = start - timedelta(days=1)
    store.append([check()])
    for now, seq in ((FIRST_DAY, 2), (FIRST_DAY - MOMENT, 0)):
        clock.now = now
        assert store.seq_at(start) == seq


def test_of_the_past_the_whole_journal_is_looked_at(journal: SqliteJournal, path: Path) -> None:
    journal.append([check(n=n) for n in range(4)])
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET clock_ok = 0 WHERE seq = 3")
    back, told = journal.as_of(2), list[tuple[int, int]]()
    assert back.verify(1) is None
    assert back.verify(2, lambda *far: told.append(far)) == journal.verify(2)
    assert back.look(LookedTo(4), 1).seq == 3
    assert journal.damage is None
    assert back.look(LookedTo(3), 1).seq == 2
    assert journal.damage == Damage(3, "entry 3 is not what was recorded")
    assert back.damage is None
    journal._compared.note(Damage(None, "nowhere"))
    assert back.damage == journal.damage == Damage(None, "nowhere")
    assert back.refusal is not None
    assert back.refusal.title.startswith("This is the journal as it was then: nothing is added")
    assert back.refusal.advice == "Go back to the present to record."
    assert back.change_mark() == journal.change_mark()


def test_a_question_may_take_as_long_as_the_wait_and_the_reading_together(path: Path) -> None:
    now = [0.0]
    with closing(opened(path, wait_seconds=5.0, read_seconds=3.0, monotonic=lambda: now[0])) as one:
        limit = one._held._limit

        def asked(_: sqlite3.Connection) -> list[bool]:
            over = []
            for at in (8.0, 8.001):
                now[0] = at
                over.append(limit.is_over())
            now[0] = 0.0
            return over

        assert one._held.read(asked) == [False, True]
        assert one._held.read(asked, unbounded=True) == [False, False]


def test_why_nothing_can_be_recorded_is_told_again_and_again(path: Path) -> None:
    opened(path).close()
    with closing(opened(path, read_only=True)) as journal:
        for _ in range(2):
            with pytest.raises(JournalCannotWrite) as told:
                journal.append([check()])
            assert journal.refusal is not None
            assert told.value.title == journal.refusal.title
            assert told.value.advice == "Open it again for recording."
    with pytest.raises(JournalError) as closed:
        journal.count()
    assert closed.value.title == f"The journal {path} was closed already."


def coded(code: int) -> sqlite3.Error:
    error = sqlite3.OperationalError("what it says")
    error.sqlite_errorcode = code
    return error


def named(name: str) -> Callable[[], str]:
    return lambda: name


def failing(error: Exception, times: int, usual: Callable[..., object]) -> Callable[..., object]:
    left = [error] * times

    def act(*asked: object, **more: object) -> object:
        if left:
            raise left.pop()
        return usual(*asked, **more)

    return act


@pytest.mark.parametrize(
    ("code", "kind", "words"),
    [
        (5, JournalLocked, "holding"),
        (13, JournalCannotWrite, "the disk is full"),
        (11, JournalCannotRead, "could not be read"),
    ],
)
def test_a_recording_that_failed_is_told_when_nothing_is_there(
    journal: SqliteJournal, monkeypatch: pytest.MonkeyPatch, code: int, kind: type, words: str
) -> None:
    """The file is opened anew and asked; a file that is whole is not called damaged."""
    journal.append([check()])
    before = journal._held.generation
    monkeypatch.setattr(one_file, "record", failing(coded(code), 9, record))
    with pytest.raises(kind) as told:
        journal.append([check()])
    assert words in str(told.value)
    assert (journal._held.generation > before) is (code != 5)
    assert ("It is not certain" in str(told.value)) is False
    assert journal.count() == 1


def test_a_recording_that_failed_and_is_there_is_confirmed(
    journal: SqliteJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Or where that cannot be done, it is not certain."""
    entry = check()
    usual = record

    def recorded_and_failed(*asked: object, **more: object) -> object:
        monkeypatch.setattr(one_file, "record", usual)
        usual(*asked, **more)  # type: ignore[arg-type]
        raise coded(10)

    monkeypatch.setattr(one_file, "record", recorded_and_failed)
    (told,) = journal.append([entry])
    assert told == journal.get(entry.uid)
    other = check()

    def fails_twice(*asked: object, **more: object) -> object:
        monkeypatch.setattr(one_file, "record", failing(coded(10), 1, usual))
        usual(*asked, **more)  # type: ignore[arg-type]
        raise coded(10)

    monkeypatch.setattr(one_file, "record", fails_twice)
    with pytest.raises(JournalCannotWrite, match="It is not certain that it was recorded"):
        journal.append([other])
    assert [one.seq for one in journal.append([other])] == [2]
    assert journal.count() == 2


def test_damage_that_is_in_the_way_of_a_recording_is_told(
    journal: SqliteJournal, path: Path
) -> None:
    """What is voided, or handed in again, is read before: it has to be what was recorded."""
    entry = check()
    journal.append([entry])
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET clock_ok = 0")
    with pytest.raises(JournalDamaged, match="entry 1 is not what was recorded"):
        journal.void(entry.uid, "a slip")
    with pytest.raises(JournalDamaged, match="an entry is not what was recorded"):
        journal.append([entry])
    with pytest.raises(JournalError, match="there is no entry nobody"):
        journal.void("nobody", "a slip")


def test_a_structure_that_cannot_be_read_is_damage_and_no_error(
    journal: SqliteJournal, monkeypatch: pytest.MonkeyPatch
) -> None:
    journal.append([check()])

    def broken(*_: object, **__: object) -> object:
        raise JournalDamaged("The journal x is damaged: y.", "z")

    unread = Damage(None, "its structure cannot be read")
    with monkeypatch.context() as once:
        once.setattr(journal._held, "read", broken)
        assert journal.verify() == Damage(None, "The journal x is damaged: y.")
        assert journal.look(None, 0) == LookedTo(0)
        assert journal.damage == unread
    place = journal.look(None, 0)
    assert place.seq == 1
    assert journal.damage == unread
    assert journal.look(place, 5).seq == 0
    assert journal.damage is None  # it was found whole
    monkeypatch.setattr(journal._held, "read", broken)
    assert not journal.look_beneath(LookedTo(1))
    assert journal.damage == unread


@pytest.mark.parametrize("all_there", [True, False])
def test_what_lies_beneath_shakes_nothing_where_every_key_is_there(
    journal: SqliteJournal, monkeypatch: pytest.MonkeyPatch, all_there: bool
) -> None:
    journal.append([check() for _ in range(3)])
    wrong = Damage(None, "loose")
    for found, sound in ((None, True), (wrong, False)):
        monkeypatch.setattr(one_file, "structure_of", lambda _, found=found: found)
        monkeypatch.setattr(one_file, "has_every_key", lambda _: all_there)
        assert journal.look_beneath(LookedTo(3)) is sound
        kept = wrong._replace(seq=0) if all_there else wrong
        assert journal.damage == (None if sound else kept)


def test_a_look_that_does_not_begin_at_the_end_mends_nothing(
    journal: SqliteJournal, path: Path
) -> None:
    """Only one that came all the way, and met nothing, finds a file whole again."""
    journal.append([check(n=n) for n in range(4)])
    good = path.read_bytes()
    with closing(plainly(path)) as db:
        db.execute("DROP TRIGGER entries_no_update")
        db.execute("UPDATE entries SET clock_ok = 0 WHERE seq = 2")
    place = journal.look(journal.look(None, 0), 9)
    assert (place.seq, journal.damage) == (0, Damage(2, "entry 2 is not what was recorded"))
    path.write_bytes(good)
    assert journal.look(LookedTo(1), 9).seq == 0
    assert journal.damage is not None
    place = journal.look(None, 0)
    place = journal.look(place, 2)
    assert journal.damage is not None
    journal.look(place, 2)
    assert journal.damage is None


def test_a_computer_is_named_before_what_it_records_and_only_by_its_last_entry(
    path: Path, clock: Clock
) -> None:
    for name, kinds in (
        ("a", ["computer", "check"]),
        ("b", ["computer", "check"]),
        ("b", ["check"]),
    ):
        with closing(open_journal(path, clock, computer=named(name))) as journal:
            before = journal.count()
            given = journal.append([check()], after=before)
            assert [one.kind for one in given] == ["check"]
            there = journal.newest(["computer", "check"], 99, journal.count() - before, 99)
            assert [one.kind for one in reversed(there)] == kinds


def test_each_form_is_reached_by_a_step_of_its_own_and_a_copy_before_it(path: Path) -> None:
    with closing(opened(path)) as journal:
        journal.append([check(), check()])
    forms = (*MIGRATIONS, ("CREATE TABLE a (x)",), ("CREATE TABLE b (x)",))
    with closing(opened(path, migrations=forms)) as journal:
        assert journal.count() == 2
    for form, tables in ((2, set()), (3, {"a"})):
        with closing(plainly(path.with_name(f"{path.name}.before-v{form}"))) as db:
            names = {name for (name,) in db.execute("SELECT name FROM sqlite_master")}
            assert names & {"a", "b"} == tables
            assert db.execute("PRAGMA user_version").fetchone() == (form - 1,)
    with closing(plainly(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone() == (3,)
        assert db.execute("PRAGMA application_id").fetchone() == (0x53484A31,)
        bring_up(db, path, forms)
        assert not db.in_transaction
    fresh = path.with_name("fresh")
    opened(fresh, migrations=forms).close()
    assert not [*path.parent.glob("fresh.*")]


@pytest.mark.parametrize(
    ("code", "kind", "words"),
    [
        (13, JournalCannotWrite, "Nothing was recorded"),
        (5, JournalLocked, "Let it finish"),
        (11, sqlite3.Error, "what it says"),  # the opening looks a second time
    ],
)
def test_a_step_to_a_newer_form_that_fails_is_told(
    path: Path, code: int, kind: type[Exception], words: str
) -> None:
    class Failing:
        in_transaction = False

        def execute(self, _: str) -> object:
            raise coded(code)

    db: object = Failing()
    with pytest.raises(kind, match=words):
        bring_up(db, path, MIGRATIONS)  # type: ignore[arg-type]
