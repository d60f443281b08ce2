"""A server's journal copied, salvaged and carried back by commands; no secret in any word of it.

What comes back is held against the seals: SHA-256 (FIPS 180-4), reckoned in `first_damage`, and
against the rows that the server itself gives for a plain question.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.program import Program, Ran
from tests.journal.helpers import check, opened
from tests.server import OWNER, Server, database

SECRET = "hunter2-of-the-bench"

_COLUMNS = "seq, uid, recorded_utc, kind, machine, point, refers, body, clock_ok, app, prev, hash"


class Bench:
    """The program at a journal on the server, whose every word is looked through for the secret."""

    def __init__(self, program: Program, server: Server, name: str) -> None:
        self.program, self.server, self.name = program, server, name
        self.url = server.url(name, OWNER, SECRET)

    def __call__(self, *words: str) -> Ran:
        shop = ("--shop", str(self.program.shop), "--journal", self.url)
        ran = self.program.bare(*words, *shop)
        assert SECRET not in ran.out + ran.err
        return ran

    def rows(self) -> list[tuple[object, ...]]:
        asked = f"SELECT {_COLUMNS} FROM shopboard.entries ORDER BY seq"
        return [tuple(row) for row in self.server.sql(asked, self.name)]

    def spoil(self, change: str) -> None:
        """Change rows past the guards, as only the owner can."""
        off, on = (
            f"ALTER TABLE shopboard.entries {how} TRIGGER entries_no_change"
            for how in ("DISABLE", "ENABLE ALWAYS")
        )
        self.server.sql(f"{off}; {change}; {on}", self.name)


@pytest.fixture
def bench(program: Program, server: Server, name: str) -> Bench:
    return Bench(program, server, name)


def rows_in(file: Path) -> list[tuple[object, ...]]:
    with closing(sqlite3.connect(file)) as db:
        return db.execute(f"SELECT {_COLUMNS} FROM entries ORDER BY seq").fetchall()


def test_a_copy_holds_every_row_of_the_server(bench: Bench) -> None:
    bench("tag", "saw", "guard is off")
    bench("happened", "saw", "knocked")
    stick = bench.program.folder / "stick"
    stick.mkdir()
    ran = bench("backup", str(stick))
    assert (ran.code, "each checked against its hash" in ran.err) == (0, True)
    (copy,) = stick.iterdir()
    assert copy.name.startswith(f"{bench.name}-20")
    assert rows_in(copy) == bench.rows()
    assert bench.program.bare("verify", "--journal", str(copy)).code == 0
    other = bench("backup", str(bench.program.folder / "one.sqlite3"), "--json").json
    assert (other["entries"], other["same_disk"]) == (3, False)
    assert [one.name for one in stick.iterdir()] == [copy.name]


def test_without_a_name_copies_are_kept_by_age_on_this_computer(bench: Bench) -> None:
    assert "Nothing was recorded yet" in bench("backup").err
    bench("tag", "saw", "guard is off")
    first = bench("backup", "--json").json
    assert first["made"]
    copy = Path(first["copy"])
    assert copy.parent.name == f"{bench.name}-copies"
    assert copy.parent.stat().st_mode & 0o777 == 0o700
    assert not bench("backup", "--json").json["made"]
    assert bench("restore", "--json").json["copies"][0]["copy"] == str(copy)


def test_a_copy_of_another_journal_is_never_written_over(bench: Bench) -> None:
    bench("tag", "saw", "guard is off")
    before = bench.program.journal.read_bytes()
    with closing(opened(bench.program.journal)) as journal:
        journal.append([check()])
    before = bench.program.journal.read_bytes()
    ran = bench("backup", str(bench.program.journal))
    assert (ran.code, "another journal" in ran.err) == (6, True)
    assert bench.program.journal.read_bytes() == before


def test_of_a_damaged_one_no_copy_is_made(bench: Bench) -> None:
    bench("tag", "saw", "guard is off")
    bench("happened", "saw", "knocked")
    bench.spoil("UPDATE shopboard.entries SET body = '{}' WHERE seq = 2")
    target = bench.program.folder / "copy.sqlite3"
    ran = bench("backup", str(target))
    assert (ran.code, "is damaged" in ran.err) == (4, True)
    assert not target.exists()
    assert not [*target.parent.glob(".*.part")]


def test_nothing_is_restored_onto_a_server_and_the_way_is_named(bench: Bench) -> None:
    bench("tag", "saw", "guard is off")
    copy = bench.program.folder / "copy.sqlite3"
    bench("backup", str(copy))
    before = bench.rows()
    ran = bench("restore", str(copy), "--yes")
    assert (ran.code, "`shopboard move FROM postgresql://" in ran.err) == (2, True)
    assert bench.rows() == before
    with database("template0") as empty:
        ran = bench.program.bare("move", str(copy), bench.server.url(empty))
        assert ran.code == 0


def test_what_its_seals_hold_is_salvaged_into_a_file(bench: Bench) -> None:
    for reason in ("guard is off", "belt is worn", "switch sticks"):
        bench("tag", "saw", reason)
        bench("tag", "saw", "--clear", "it is mended")
    held = bench.rows()
    bench.spoil(
        "UPDATE shopboard.entries SET body = replace(body, 'belt', 'bolt') WHERE seq = 4;"
        " DELETE FROM shopboard.entries WHERE seq = 6"
    )
    spoilt = bench.rows()
    target = bench.program.folder / "new.sqlite3"
    ran = bench("salvage", bench.url, str(target))
    assert ran.code == 0
    assert "2 entries are missing" in ran.err
    assert "`shopboard" not in ran.err.split("2 entries")[0]
    assert f"move {target} postgresql://HOST/DATABASE" in ran.err
    assert bench.rows() == spoilt
    came = [row[1:] for row in rows_in(target)]
    sure = [row for row in held if row[0] not in (4, 6)]
    assert [row[:9] for row in came[: len(sure)]] == [row[1:10] for row in sure]
    assert bench.program.bare("verify", "--journal", str(target)).code == 0
    told = [row for row in came if row[2] == "salvaged"]
    assert [SECRET in str(row) for row in told] == [False]
    assert "postgresql://" in str(told[0])
    assert not [*target.parent.glob(".*.part*")]


def test_where_nothing_is_left_nothing_is_made(bench: Bench, tmp_path: Path) -> None:
    bench("tag", "saw", "guard is off")
    bench.spoil("DELETE FROM shopboard.entries")
    ran = bench("salvage", bench.url, str(tmp_path / "new.sqlite3"), "--json")
    assert (ran.code, "Nothing in postgresql://" in ran.err) == (4, True)
    assert not (tmp_path / "new.sqlite3").exists()
