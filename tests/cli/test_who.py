"""Which bench recorded: named once for all, for one command, or by the environment."""

from __future__ import annotations

import csv
import io
import re
from contextlib import closing

import pytest

from shopboard.base.who import name_typed, who_is_here
from shopboard.board.happened_view import happened_lines
from shopboard.board.paint import plain
from shopboard.journal import Entry, open_journal
from shopboard.open_shop import OpenShop, utc_now
from shopboard.prep.day_said import said_of_days
from shopboard.web.devices import NotPairedError
from shopboard.web.devices import name_typed as device_named
from tests.cli.program import BLADE_TRUE, SHOP, Program
from tests.whole_shop import WHOLE_SHOP


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


OFFICE_CLEARS = 'tags_off_by = ["Office", "bench 1"]\nunit = "inch"'


def test_only_named_benches_take_a_tag_off(program: Program) -> None:
    program.write("shop.toml", SHOP.replace('unit = "inch"', OFFICE_CLEARS, 1))
    for who in ((), ("--who", "bench 2")):
        assert program("tag", "saw", "guard is off", *who).code == 0
        refused = program("tag", "saw", "--clear", "it is on", *who)
        assert (refused.code, refused.err.count("\n")) == (2, 1)
        assert "only Office or bench 1 takes a tag off here; " in refused.err
    assert refused.err.endswith("here; this is bench 2\n")
    assert "DO NOT USE" in program("status").out
    assert program("tag", "saw", "--clear", "it is on", "--who", "office").code == 0
    assert "DO NOT USE" not in program("status").out


def test_a_bench_without_a_name_is_told_how_to_get_one(program: Program) -> None:
    program.write("shop.toml", SHOP.replace('unit = "inch"', OFFICE_CLEARS, 1))
    program("tag", "saw", "guard is off")
    said = program("tag", "saw", "--clear", "it is on").err
    assert "this bench has no name: `shopboard who NAME` gives it one" in said
    program.bare("who", "office")
    assert program("tag", "saw", "--clear", "it is on").code == 0


def test_a_tag_that_is_off_is_said_before_who_may(program: Program) -> None:
    program.write("shop.toml", SHOP.replace('unit = "inch"', OFFICE_CLEARS, 1))
    assert "it is not tagged" in program("tag", "saw", "--clear", "it is on").err


@pytest.mark.parametrize("value", ["[]", '""', '["a", 3]', '"bench\\u202e"', f'"{"b" * 41}"'])
def test_what_names_no_bench_is_a_problem_with_its_place(program: Program, value: str) -> None:
    text = SHOP.replace('unit = "inch"', f'unit = "inch"\ntags_off_by = {value}', 1)
    program.write("shop.toml", text)
    ran = program("proofread", str(program.shop))
    assert ran.code == 3
    assert "shop.toml:4:" in ran.out + ran.err


def test_each_result_tells_who_recorded_it(program: Program) -> None:
    """Found by one bench, and again by another, with none between: each tells its own."""
    program.check("saw.blade", BLADE_TRUE, "--who", "bench 1")
    program.check("saw.blade", BLADE_TRUE)
    program.check("saw.blade", BLADE_TRUE, "--who", "=cmd()")
    assert [one["by"] for one in program.results("saw.blade")] == ["=cmd()", None, "bench 1"]
    last, unnamed, first = program("history", "saw.blade").out.splitlines()
    assert last.endswith("  by =cmd()")
    assert " by " not in unnamed
    assert first.endswith("  by bench 1")
    rows = list(csv.DictReader(io.StringIO(program("export", "saw.blade", "--csv").out)))
    assert [one["by"] for one in rows] == ["bench 1", "", "'=cmd()"]  # no formula for a spreadsheet
    saw = program("status", "--json").json["machines"][0]
    assert saw["points"][0]["last"]["by"] == "=cmd()"
    assert "(by =cmd())" in program("status").out
    assert "by =cmd()" in program("sheet", "saw", "--text").out
    assert "by bench 1" in program("changes", "2026-01-01").out


def test_a_shop_without_names_is_told_of_none(program: Program) -> None:
    program.check("saw.blade", BLADE_TRUE)
    program("tag", "saw", "guard is off")
    for words in (
        ("status",),
        ("history", "saw.blade"),
        ("sheet", "saw", "--text"),
        ("tag", "saw"),
        ("changes", "2026-01-01"),
        ("tasks",),
    ):
        ran = program(*words)
        assert not re.search(r"\bbench\b|\(by |  by ", ran.out + ran.err), words


def test_a_tag_says_who_put_it_on_and_who_took_it_off(program: Program) -> None:
    program("tag", "saw", "guard is off", "--who", "bench 2")
    assert "guard is off (by bench 2)" in program("status").out
    assert program("status", "--json").json["machines"][0]["tagged_by"] == "bench 2"
    assert program("status", "--json").json["machines"][1]["tagged_by"] is None
    program("tag", "saw", "--clear", "it is on", "--who", "office")
    newest, before = program("tag", "saw").out.splitlines()
    assert newest.endswith("cleared: it is on (by office)")
    assert before.endswith("DO NOT USE: guard is off (by bench 2)")


def test_the_names_of_a_demo_and_of_a_sheet_are_their_own(program: Program) -> None:
    """A sheet's --who is the person who checked; it is longer than a bench's name may be."""
    person = "somebody with a name that is far longer than that of a bench"
    assert person in program("sheet", "saw", "--text", "--who", person).out


@pytest.mark.parametrize("option", ["--who", "--shop", "--journal"])
def test_two_dashes_are_no_value_of_an_option(program: Program, option: str) -> None:
    ran = program.bare("status", f"{option}=--")
    assert (ran.code, ran.err) == (2, f"shopboard: {option} takes a value, not --\n")


@pytest.mark.parametrize("name", ["...", "b" * 41, "a\x1bb"])
def test_a_device_has_a_name_that_its_records_can_say(name: str) -> None:
    """Its board is started with that name, and would not start with another."""
    with pytest.raises(NotPairedError):
        device_named(name)
    assert device_named(" phone  2 ") == name_typed("phone 2")


def test_tasks_cutters_walks_and_prep_days_say_who(program: Program) -> None:
    """On a shop that has a little of everything."""
    program.write("shop.toml", WHOLE_SHOP.read_text(encoding="utf-8"))
    who = ("--who", "bench 2")
    assert program("done", "saw.wax-table", *who).code == 0
    assert "(by bench 2)" in program("tasks", "saw").out
    (wax,) = (
        one for one in program("tasks", "--json").json["tasks"] if one["id"] == "saw.wax-table"
    )
    assert wax["by"] == "bench 2"
    assert program("happened", "saw", "knocked", *who).code == 0
    assert program("prep", "--begin", *who).code == 0
    with closing(OpenShop(program.shop, program.journal)) as open_shop:
        journal, now = open_shop.journal, open_shop.now()
        (begun,) = said_of_days(journal, open_shop.shop, now)
        assert begun.words.endswith("(by bench 2)")
        (knock,) = journal.recent("happening", "saw", "knocked")
        assert knock.by == "bench 2"
        machine = open_shop.shop.machines_by_id["saw"]
        drawn = happened_lines(open_shop.shop, machine, ["knocked"], 0, [knock], now, (80, 24))
        assert any("by bench 2" in plain(line) for line in drawn)
