"""Which bench recorded: named once for all, for one command, or by the environment."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.base.who import who_is_here
from shopboard.journal import Entry, open_journal
from shopboard.open_shop import utc_now
from tests.cli.program import BLADE_TRUE, Program


def tags(program: Program) -> list[Entry]:
    with closing(open_journal(program.journal, utc_now, read_only=True)) as journal:
        return journal.recent("tag", "saw", "")


def test_a_bench_is_named_said_and_named_no_more(program: Program) -> None:
    none = program.bare("who")
    assert (none.code, none.out) == (0, "")
    assert "no name" in none.err
    assert program.bare("who", "bench", "2").code == 0
    assert program.bare("who").out == "bench 2\n"
    assert program.bare("who", "--none").code == 0
    assert program.bare("who").out == ""


def test_what_is_recorded_says_the_bench(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    assert program("tag", "saw", "guard is off").code == 0
    program.bare("who", "bench 2")
    assert program("tag", "saw", "--clear", "it is on").code == 0
    monkeypatch.setenv("SHOPBOARD_WHO", "tablet")
    assert program("tag", "saw", "off again").code == 0
    assert program("tag", "saw", "--clear", "on", "--who", "office").code == 0
    assert [one.by for one in tags(program)] == ["office", "tablet", "bench 2", ""]
    assert who_is_here() == "tablet"  # the option was for one command


def test_every_entry_of_a_check_says_it(program: Program) -> None:
    assert program.check("saw.blade", BLADE_TRUE, "--who", "bench 1").code == 0
    with closing(open_journal(program.journal, utc_now, read_only=True)) as journal:
        found = journal.newest(("begin", "answer", "check", "end"), 1000, 1000, 1000)
        assert len(found) > 3
        assert {one.by for one in found} == {"bench 1"}


def test_the_same_act_from_another_bench_is_recorded_once(program: Program) -> None:
    for who in ("bench 1", "bench 2"):
        done = program("tag", "saw", "guard is off", "--uid", "A1", "--who", who)
        assert done.code == 0
    assert [one.by for one in tags(program)] == ["bench 1"]


@pytest.mark.parametrize("name", ["a\x1b[2Jb", "\u202eab", "b" * 41, "...", "a\nb"])
def test_a_name_that_can_be_none_records_nothing(program: Program, name: str) -> None:
    for ran in (
        program("tag", "saw", "guard is off", f"--who={name}"),
        program.bare("who", f" {name}"),
        program.bare("--who", name, "--shop", str(program.shop)),
    ):
        assert ran.code == 2
        assert ran.err.count("\n") == 1
        assert "\x1b" not in ran.err
    assert tags(program) == []
    assert program.bare("who").out == ""


def test_an_empty_name_in_the_environment_is_a_mistake(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHOPBOARD_WHO", "")
    assert program("tag", "saw", "guard is off").code == 2
    assert program("tag", "saw", "guard is off", "--who", " ").code == 2
    assert tags(program) == []


def test_either_a_name_or_none(program: Program) -> None:
    assert program.bare("who", "bench", "--none").code == 2


def test_the_environment_is_told_where_it_comes_before_what_is_kept(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHOPBOARD_WHO", "tablet")
    assert "it is tablet" in program.bare("who", "bench 1").err
