"""What a server keeps of a journal: nothing changed, one chain for all, rights as they were given.

What the server itself promises is by PostgreSQL's documentation: chapters 5.7 (privileges), 30
(reliability and the write-ahead log), 39 (triggers) and appendix A (error codes).
"""

# ruff: noqa: E402  nothing of it can be imported where psycopg is not
from __future__ import annotations

from tests.server import need_psycopg

need_psycopg()

import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import psycopg
import pytest

from shopboard.base.server_place import ServerPlace
from shopboard.journal import (
    JournalCannotRead,
    JournalCannotWrite,
    JournalDamaged,
    JournalError,
    JournalForeign,
    JournalLocked,
    JournalMissing,
    JournalMovedOn,
    JournalNewer,
    NewEntry,
    kinds,
)
from shopboard.journal.chain import GENESIS, SealedFields, seal
from shopboard.journal.on_server.form import LOCK, MIGRATIONS
from tests.journal.helpers import check, moved_on, opened
from tests.server import OWNER, Server, database

COLUMNS = "seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash"

UTC = "2026-06-01T08:00:00.000000Z"


@pytest.fixture
def bare(server: Server) -> Iterator[str]:
    """The name of a database in which nothing is."""
    with database("template1") as name:
        yield name


@contextmanager
def member(server: Server, name: str, *grants: str) -> Iterator[ServerPlace]:
    """Give the place as a user sees it who was given some rights."""
    user = f"member_{name}"
    server.sql(f"CREATE ROLE {user} LOGIN", name)
    try:
        for each in grants:
            server.sql(f"GRANT {each} TO {user}", name)
        yield server.place(name, user)
    finally:
        server.sql(f"DROP OWNED BY {user}", name)
        server.sql(f"DROP ROLE {user}", name)


READS = ("USAGE ON SCHEMA shopboard", "SELECT ON ALL TABLES IN SCHEMA shopboard")
RECORDS = (*READS, "INSERT ON shopboard.entries")


def rows(server: Server, name: str) -> list[object]:
    return server.sql(f"SELECT {COLUMNS} FROM shopboard.entries ORDER BY seq", name)


@pytest.mark.parametrize(
    "attack",
    [
        "UPDATE shopboard.entries SET body = '{}'",
        "UPDATE shopboard.entries SET seq = seq",
        "DELETE FROM shopboard.entries",
        "DELETE FROM shopboard.entries WHERE false",
        "TRUNCATE shopboard.entries",
        "TRUNCATE shopboard.entries CASCADE",
        f"INSERT INTO shopboard.entries SELECT {COLUMNS} FROM shopboard.entries WHERE seq = 1"
        " ON CONFLICT (seq) DO UPDATE SET body = '{}'",
        "MERGE INTO shopboard.entries e USING shopboard.entries o ON e.seq = o.seq"
        " WHEN MATCHED THEN DELETE",
        "SET session_replication_role = replica; DELETE FROM shopboard.entries",
    ],
)
def test_the_server_refuses_to_change_what_is_recorded(
    server: Server, name: str, attack: str
) -> None:
    with closing(opened(server.place(name))) as journal:
        journal.append([check(), check()])
        before = rows(server, name)
        with pytest.raises(psycopg.errors.IntegrityConstraintViolation, match="append-only"):
            server.sql(attack, name)
        assert rows(server, name) == before
        assert journal.verify() is None


def raw(
    server: Server, name: str, fields: SealedFields, prev: bytes, sealed: bytes | None = None
) -> None:
    """Add a row past the journal."""
    with psycopg.connect(server.url(name), autocommit=True) as plain:
        places = ", ".join(["%s"] * 12)
        values = (*fields, prev, seal(prev, fields) if sealed is None else sealed)
        plain.execute(f"INSERT INTO shopboard.entries ({COLUMNS}) VALUES ({places})", values)


def row(seq: int, uid: str = "new", kind: str = "check", refers: str = "") -> SealedFields:
    return (seq, uid, UTC, kind, "saw", "blade", refers, '{"v":1}', 1, "0")


def test_nothing_comes_into_the_chain_but_what_follows_from_it(server: Server, name: str) -> None:
    with closing(opened(server.place(name))) as journal:
        (entry,) = journal.append([check()])
        journal.void(entry.uid, "typed wrong")
        last = bytes.fromhex(journal.seal_of(2))
        refused = psycopg.errors.IntegrityConstraintViolation
        for number in (-1, 0, 1, 2, 4):
            with pytest.raises(refused, match="an entry comes after the last one"):
                raw(server, name, row(number), last)
        for before in (GENESIS, bytes.fromhex(journal.seal_of(1)), bytes(31) + b"1"):
            with pytest.raises(refused, match="the chain of hashes is broken"):
                raw(server, name, row(3), before)
        with pytest.raises(refused, match="the seal is not that of the entry"):
            raw(server, name, row(3), last, seal(last, row(3, "other")))
        with pytest.raises(psycopg.errors.UniqueViolation):
            raw(server, name, row(3, entry.uid), last)
        with pytest.raises(psycopg.errors.UniqueViolation):
            raw(server, name, row(3, "v2", "void", entry.uid), last)
        assert journal.count() == 2
        raw(server, name, row(3), last)  # what follows is an entry like any other
        assert journal.get("new") is not None
        assert journal.verify() is None


def test_any_text_is_sealed_there_as_here(server: Server, name: str) -> None:
    """What JSON writes with a backslash (RFC 8259, section 7), and what it may leave as it is."""
    odd = "".join(map(chr, range(1, 0x21))) + '"\\/\x7f\x80\x9f\u2028\u2029\ufeff\uffff\U0001f600é'
    with closing(opened(server.place(name))) as journal:
        journal.append([NewEntry(f"u{n}", "check", one, one) for n, one in enumerate(odd)])
        journal.append([NewEntry("all", odd[:32], odd, odd, {odd: odd}, "u0")])
        assert journal.verify() is None
        assert journal.count() == len(odd) + 1


def test_whoever_may_only_read_is_told_so(server: Server, name: str) -> None:
    with closing(opened(server.place(name))) as journal:
        journal.append([check()])
    with member(server, name, *READS) as place, closing(opened(place)) as journal:
        assert journal.count() == 1
        assert not journal.writable
        with pytest.raises(JournalCannotWrite, match="no right to record") as error:
            journal.append([check()])
        assert "GRANT INSERT ON shopboard.entries" in error.value.advice
        server.sql(f"GRANT INSERT ON shopboard.entries TO member_{name}", name)
        journal.append([check()])
        assert journal.writable
        assert journal.verify() is None


def test_whoever_may_record_may_do_no_more(server: Server, name: str) -> None:
    with member(server, name, *RECORDS) as place:
        with closing(opened(place)) as journal:
            (entry,) = journal.append([check()])
            journal.void(entry.uid, "typed wrong")
            assert (journal.refusal, journal.verify(), journal.count()) == (None, None, 2)
            assert journal.look_beneath(journal.look(None, 0))
        user = f"member_{name}"
        for statement in (
            "UPDATE shopboard.entries SET body = '{}'",
            "DELETE FROM shopboard.entries",
            "TRUNCATE shopboard.entries",
            "DROP TABLE shopboard.entries",
            "ALTER TABLE shopboard.entries DISABLE TRIGGER ALL",
            "DROP TRIGGER entries_insert ON shopboard.entries",
            "INSERT INTO shopboard.form VALUES (9)",
            "CREATE TABLE shopboard.other (x int)",
            "CREATE OR REPLACE FUNCTION shopboard.refuse_change() RETURNS trigger"
            " LANGUAGE plpgsql AS $$ BEGIN RETURN NEW; END $$",
        ):
            with pytest.raises(psycopg.errors.InsufficientPrivilege):
                server.sql(statement, name, user)


@pytest.mark.parametrize("grants", [(), READS[:1]])
def test_whoever_may_not_even_read_is_told_so(
    server: Server, name: str, grants: tuple[str, ...]
) -> None:
    with member(server, name, *grants) as place, pytest.raises(JournalCannotRead) as error:
        opened(place)
    assert "this user has no right to" in error.value.title


def test_a_user_without_the_right_to_make_tables_makes_no_journal(
    server: Server, bare: str
) -> None:
    with member(server, bare) as place, pytest.raises(JournalCannotWrite) as error:
        opened(place)
    assert "no right to make tables" in error.value.title
    with pytest.raises(JournalMissing):
        opened(server.place(bare), create=False)


def test_two_that_open_at_once_make_one_journal(server: Server, bare: str) -> None:
    failed: list[BaseException] = []
    start = threading.Barrier(4)

    def begin() -> None:
        start.wait()
        try:
            with closing(opened(server.place(bare))) as journal:
                journal.append([check()])
        except BaseException as error:  # noqa: BLE001 - told below
            failed.append(error)

    threads = [threading.Thread(target=begin) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert failed == []
    with closing(opened(server.place(bare), create=False)) as journal:
        assert (journal.count(), journal.verify()) == (4, None)
    assert server.sql("SELECT version FROM shopboard.form", bare) == [(len(MIGRATIONS),)]


def test_four_programs_that_record_at_once_keep_one_chain(server: Server, name: str) -> None:
    code = (
        "import sys; sys.path.insert(0, sys.argv[1])\n"
        "from shopboard.base.server_place import ServerPlace\n"
        "from tests.journal.helpers import check, opened\n"
        "journal = opened(ServerPlace(sys.argv[2]), wait_seconds=60.0)\n"
        "for n in range(10): journal.append([check(n=n), check(n=-n)])\n"
        "journal.close()\n"
    )
    words = [sys.executable, "-c", code, str(Path(__file__).parents[2]), server.url(name)]
    programs = [subprocess.Popen(words, stderr=subprocess.PIPE) for _ in range(4)]
    for program in programs:
        _, told = program.communicate(timeout=120)
        assert program.returncode == 0, told.decode()
    with closing(opened(server.place(name))) as journal:
        assert (journal.count(), journal.last_seq(), journal.verify()) == (80, 80, None)
        numbers = [entry.body["n"] for entry in journal.recent("check", "saw", "blade", 200)]
        assert sorted(map(str, numbers)) == sorted(
            str(sign * n) for n in range(10) for sign in (1, -1) for _ in range(4)
        )


def test_another_bench_s_recording_is_told_and_nobody_asks_for_it(
    server: Server, name: str
) -> None:
    with closing(opened(server.place(name))) as one, closing(opened(server.place(name))) as other:
        mark = one.change_mark()
        assert one.change_mark() == mark
        other.append([check()])
        later = moved_on(one, mark)
        assert one.change_mark() == later
        raw(server, name, row(2), bytes.fromhex(one.seal_of(1)))  # by whatever program
        moved_on(one, later)


def test_what_rests_on_a_number_is_refused_when_another_bench_was_quicker(
    server: Server, name: str
) -> None:
    with closing(opened(server.place(name))) as one, closing(opened(server.place(name))) as other:
        (first,) = one.append([check()])
        second = check()
        other.append([second], after=first.seq)
        with pytest.raises(JournalMovedOn):
            one.append([check()], after=first.seq)
        assert one.append([second], after=first.seq)[0].seq == 2  # it is on record: told so again
        assert one.count() == 2


def test_who_holds_the_lock_for_too_long_is_told_of(server: Server, name: str) -> None:
    with (
        closing(opened(server.place(name), wait_seconds=0.05)) as journal,
        psycopg.connect(server.url(name), autocommit=True) as other,
    ):
        other.execute(f"SELECT pg_advisory_lock({LOCK})")
        with pytest.raises(JournalLocked):
            journal.append([check()])
        assert journal.count() == 0
        other.execute(f"SELECT pg_advisory_unlock({LOCK})")
        journal.append([check()])


@pytest.mark.parametrize("what", ["DATABASE", "ROLE"])
def test_a_commit_that_waits_for_no_disk_is_overridden(
    server: Server, name: str, what: str
) -> None:
    with member(server, name, *RECORDS) as place:
        whose = name if what == "DATABASE" else f"member_{name}"
        for setting in ("synchronous_commit = off", "default_transaction_read_only = on"):
            server.sql(f"ALTER {what} {whose} SET {setting}", name)
        with closing(opened(place)) as journal:
            told: list[object] = []
            journal._held.read(  # type: ignore[attr-defined]
                lambda db: told.append(db.do("SHOW synchronous_commit").fetchone()[0])
            )
            journal.append([check()])
        assert told == ["on"]
        server.sql(f"ALTER {what} {whose} RESET ALL", name)


@pytest.mark.parametrize("setting", ["fsync", "full_page_writes"])
def test_a_server_that_could_lose_a_record_is_given_none(
    server: Server, name: str, setting: str
) -> None:
    """Switched off while the journal is open, too: it is looked at in each recording."""
    with closing(opened(server.place(name))) as journal:
        journal.append([check()])
        try:
            server.sql(f"ALTER SYSTEM SET {setting} = off", name)
            server.reload(setting, "off")
            with pytest.raises(JournalCannotWrite, match=f"{setting} off"):
                journal.append([check()])
            assert journal.count() == 1
            with closing(opened(server.place(name))) as other:
                assert other.refusal is not None
                assert f"{setting} off" in other.refusal.title
        finally:
            server.sql(f"ALTER SYSTEM RESET {setting}", name)
            server.reload(setting, "on")
        journal.append([check()])


def test_a_journal_that_lost_a_guard_is_read_and_not_written(server: Server, name: str) -> None:
    for spoil, mend in (
        ("DISABLE TRIGGER entries_insert", "ENABLE ALWAYS TRIGGER entries_insert"),
        ("ENABLE TRIGGER entries_no_change", "ENABLE ALWAYS TRIGGER entries_no_change"),
        ("SET UNLOGGED", "SET LOGGED"),
    ):
        server.sql(f"ALTER TABLE shopboard.entries {spoil}", name)
        with closing(opened(server.place(name))) as journal:
            assert isinstance(journal.refusal, JournalDamaged)
            with pytest.raises(JournalDamaged, match="lost what keeps it append-only"):
                journal.append([check()])
            server.sql(f"ALTER TABLE shopboard.entries {mend}", name)
            journal.append([check()])


@pytest.mark.parametrize(
    "spoil",
    [
        "ALTER TABLE shopboard.entries DISABLE TRIGGER ALL",
        "ALTER TABLE shopboard.entries ENABLE TRIGGER entries_no_change",
        "ALTER TABLE shopboard.entries SET UNLOGGED",
        "DROP TRIGGER entries_insert ON shopboard.entries;"
        " DROP TRIGGER entries_told ON shopboard.entries",
    ],
)
def test_what_is_said_of_a_lost_guard_puts_it_back(server: Server, name: str, spoil: str) -> None:
    """Followed to the letter, by its owner."""
    asked = (
        "SELECT tgname, tgenabled, pg_get_triggerdef(oid) FROM pg_trigger"
        " WHERE tgrelid = 'shopboard.entries'::regclass ORDER BY tgname"
    )
    before = server.sql(asked, name)
    server.sql(spoil, name)
    with closing(opened(server.place(name))) as journal:
        assert journal.refusal is not None
        _, psql, statements = journal.refusal.advice.partition("with psql: ")
        assert psql
        server.sql(statements, name)
        journal.append([check()])
    assert server.sql(asked, name) == before


def test_a_newer_form_is_read_and_not_written(server: Server, name: str) -> None:
    with closing(opened(server.place(name))) as journal:
        journal.append([check()])
    server.sql("INSERT INTO shopboard.form VALUES (2)", name)
    with closing(opened(server.place(name))) as journal:
        assert journal.count() == 1
        with pytest.raises(JournalNewer, match="form 2; this one knows up to 1"):
            journal.append([check()])


def test_an_older_form_is_brought_up_in_one_go(server: Server, name: str) -> None:
    newer = (*MIGRATIONS, ("CREATE TABLE shopboard.more (x integer)",))
    with closing(opened(server.place(name))) as journal:
        journal.append([check()])
    with closing(opened(server.place(name), read_only=True, migrations=newer)) as journal:
        assert journal.count() == 1
    broken = (*newer, ("CREATE TABLE shopboard.last (x integer)", "SELECT nothing"))
    with pytest.raises(JournalError):
        opened(server.place(name), migrations=broken)
    assert server.sql("SELECT max(version) FROM shopboard.form", name) == [(1,)]
    with closing(opened(server.place(name), migrations=newer)) as journal:
        journal.append([check()])
        assert journal.verify() is None
    assert server.sql("SELECT max(version) FROM shopboard.form", name) == [(2,)]


@pytest.mark.parametrize(
    "made",
    ["CREATE TABLE theirs (x int)", "CREATE SCHEMA shopboard", "CREATE VIEW v AS SELECT 1"],
)
def test_another_program_s_database_is_left_as_it_is(server: Server, bare: str, made: str) -> None:
    server.sql(made, bare)
    with pytest.raises(JournalForeign, match="another program's database"):
        opened(server.place(bare))
    assert server.sql("SELECT count(*) FROM pg_tables WHERE schemaname = 'shopboard'", bare) == [
        (0,)
    ]


def test_a_database_of_other_letters_is_refused(server: Server) -> None:
    server.sql("CREATE DATABASE latin ENCODING 'LATIN1' TEMPLATE template0", "postgres")
    try:
        with pytest.raises(JournalForeign, match="does not hold its texts as UTF-8"):
            opened(server.place("latin"))
    finally:
        server.drop("latin")


def test_what_is_changed_past_the_guards_is_found(server: Server, name: str) -> None:
    """Who owns the table can switch its guards off; the seals tell of it."""
    with closing(opened(server.place(name))) as journal:
        journal.append([check(n=n) for n in range(5)])
        off, on = (
            f"ALTER TABLE shopboard.entries {how} TRIGGER entries_no_change"
            for how in ("DISABLE", "ENABLE ALWAYS")
        )
        changed = "UPDATE shopboard.entries SET machine = 'jointer' WHERE seq = 3"
        server.sql(f"{off}; {changed}; {on}", name)
        assert [one.seq for one in journal.recent("check", "saw", "blade")] == [5, 4, 2, 1]
        assert journal.recent("check", "jointer", "blade") == []
        assert journal.damage is not None
        assert journal.damage.seq == 3
        found, recent = journal.verify(), journal.verify(2)
        assert (found and found.seq, recent) == (3, None)
    with closing(opened(server.place(name))) as journal:
        place = journal.look(None, 0)
        while place.seq:
            place = journal.look(place, 2)
        assert journal.damage is not None
        assert journal.damage.seq == 3
        server.sql(f"{off}; DELETE FROM shopboard.entries WHERE seq = 2; {on}", name)
        assert not journal.look_beneath(journal.look(None, 0))
        found = journal.verify()
        assert found is not None
        assert found.seq == 2


def test_an_index_is_checked_where_the_server_can(server: Server, name: str) -> None:
    with closing(opened(server.place(name))) as journal:
        journal.append([check(n=n) for n in range(5)])
        assert journal.look_beneath(journal.look(None, 0))
        try:
            server.sql("CREATE EXTENSION amcheck", name)
        except psycopg.errors.FeatureNotSupported:
            pytest.skip("not installed: amcheck, of the PostgreSQL server")
        assert journal.look_beneath(journal.look(None, 0))
        assert journal.verify() is None
    with member(server, name, *RECORDS) as place, closing(opened(place)) as journal:
        assert journal.look_beneath(journal.look(None, 0))  # it may not ask: counted alone


def test_what_this_computer_remembers_goes_by_the_place_without_its_user(
    server: Server, name: str
) -> None:
    """An older state of the database, put back by its administrator, is told."""
    with closing(opened(server.place(name), watched=True)) as journal:
        journal.append([check()])
    server.sql(f"CREATE DATABASE {name}_old TEMPLATE {name}", "postgres")
    with closing(opened(server.place(name), watched=True)) as journal:
        journal.append([check()])
    server.drop(name)
    server.sql(f"ALTER DATABASE {name}_old RENAME TO {name}", "postgres")
    with (
        member(server, name, *RECORDS) as place,
        closing(opened(place, watched=True)) as journal,
    ):
        assert journal.differs is not None
        assert journal.differs.how == "older"
        with pytest.raises(JournalError, match="lacks the last 1 entry"):
            journal.append([check()])
        journal.take_as_it_is()
        journal.append([check()])


def test_a_kind_that_was_made_up_is_known(server: Server, name: str) -> None:
    made = kinds.MADE_UP.new("made-up-1", kinds.MadeUp(1, UTC, "0"))
    with closing(opened(server.place(name), watched=True)) as journal:
        assert not journal.made_up
        journal.append([made])
        assert journal.made_up


def test_whoever_may_begin_none_is_told_who_does(server: Server) -> None:
    with database("template1") as empty, member(server, empty) as place:
        with pytest.raises(JournalMissing) as error:
            opened(place, create=False)
        assert f"who owns the database ({OWNER}) does" in error.value.advice
        with pytest.raises(JournalMissing) as error:
            opened(server.place(empty), create=False)
        assert "--new-journal begins one there" in error.value.advice
