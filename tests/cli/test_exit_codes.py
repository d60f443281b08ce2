"""Every exit code that is documented, and nothing but words with it."""

from __future__ import annotations

import re
import sqlite3
from argparse import ArgumentParser
from contextlib import closing
from pathlib import Path

import pytest

from shopboard import open_shop
from shopboard.base import exit_codes
from shopboard.commands.arguments import COMMANDS, OLD_COMMANDS, build_parser, command_module
from shopboard.journal import open_journal
from tests.cli.program import FENCE_TRUE, SHOP, Program


def test_the_help_names_every_command_and_every_code(program: Program) -> None:
    """What is interface is written down."""
    ran = program.bare("--help")
    assert ran.code == 0
    for name, about in COMMANDS.items():
        assert name in ran.out
        assert about.split()[0] in ran.out
    for code in (0, 1, 2, 3, 4, 5, 6):
        assert f"{code} " in ran.out.partition("exit codes:")[2]
    for name in ("SHOPBOARD_SHOP", "SHOPBOARD_JOURNAL", "NO_COLOR"):
        assert name in ran.out


@pytest.mark.parametrize("name", COMMANDS)
def test_every_command_has_help_of_its_own(program: Program, name: str) -> None:
    """With the options that go with every command."""
    ran = program.bare(name, "--help")
    assert ran.code == 0
    assert "--shop" in ran.out
    assert "--journal" in ran.out


def test_the_readme_shows_commands_that_exist() -> None:
    """Every `shopboard WORD` in it is one."""
    readme = Path(__file__).parents[2] / "README.md"
    if not readme.exists():
        pytest.skip("there is no README.md yet")
    used = re.findall(r"(?:^|`)shopboard ([a-z][a-z-]*)", readme.read_text(encoding="utf-8"), re.M)
    assert len(used) > 10
    assert {*used} - {"speaks", "tells"} <= {*COMMANDS}  # it tells, and speaks of, in sentences


def test_a_command_is_its_file_and_one_line() -> None:
    """What can be run is in the table, from which help and parser come; nothing else is in it."""
    files = (Path(__file__).parents[2] / "shopboard/commands").glob("*.py")
    texts = {file.stem: file.read_text(encoding="utf-8") for file in files}
    marks = ("\ndef arguments(parser", "\ndef run(options")
    assert {name for name, text in texts.items() if all(one in text for one in marks)} == {
        one.replace("-", "_") for one in COMMANDS
    }


@pytest.mark.parametrize("name", COMMANDS)
def test_no_command_takes_a_name_that_the_parser_gives(name: str) -> None:
    """Seen: what was typed for `words` was lost under all the words of the command line."""
    parser = ArgumentParser()
    command_module(name).arguments(parser)
    assert not {"command", "argv"} & {one.dest for one in parser._actions}


def test_the_examples_of_the_help_are_commands_that_exist() -> None:
    named = re.findall(r"^  shopboard ([a-z][a-z-]*) ", build_parser().format_help(), re.M)
    assert len(named) > 15
    assert {*named} <= {*COMMANDS}


@pytest.mark.parametrize("old", OLD_COMMANDS)
def test_a_command_answers_to_the_name_that_it_had(program: Program, old: str) -> None:
    """Its own help tells both names, the list of commands that of today alone."""
    new = OLD_COMMANDS[old]
    assert program.bare(old, "--help").out == program.bare(new, "--help").out
    assert f"shopboard {old}." in " ".join(program.bare(new, "--help").out.split())
    assert program.bare("help", old).out == program.bare("help", new).out
    assert not re.search(rf"^    {old}\b|shopboard {old}\b", program.bare("--help").out, re.M)
    assert old not in COMMANDS


def test_by_its_old_name_it_does_the_same(program: Program) -> None:
    reading = ("square", "goes=0.012in", "refused=0.015in", "lever=6in", "light=top", "--json")
    assert program.bare("reckon", *reading).json == program.bare("work-out", *reading).json
    assert program.bare("fields", "reckon").out == program.bare("fields", "work-out").out
    program.check("jointer.fence", FENCE_TRUE)
    (one,) = program("history", "jointer.fence", "--json").json["results"]
    assert program("void", "jointer.fence", one["uid"], "--reason", "wrong leaf").code == 0
    assert program("round", "--list").out == program("walk", "--list").out


def test_the_version_is_told(program: Program) -> None:
    """On standard output, with 0."""
    ran = program.bare("--version")
    assert (ran.code, ran.out.split()[0]) == (0, "shopboard")


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (["sttus"], "did you mean status"),
        (["--shop", "x.toml", "sttus"], "did you mean status"),
        (["frobnicate"], "commands: "),
        (["status", "--jsn"], "--jsn"),
        (["check"], "MACHINE.POINT"),
        (["history", "saw.blade", "--limit", "many"], "many"),
        (["void", "saw.blade", "x"], "--reason"),
        (["status", "extra"], "extra"),
        (["--shop"], "--shop"),
        (["check", "saw.blad"], "did you mean saw.blade"),
        (["history", "saw"], "no point"),
        ([""], "no command"),
    ],
)
def test_2_usage(program: Program, words: list[str], says: str) -> None:
    """One line, with what was probably meant."""
    ran = program.bare("--journal", str(program.journal), *words) if words == ["--shop"] else None
    ran = ran or program(*words)
    assert ran.code == exit_codes.USAGE == 2
    assert ran.out == ""
    assert len(ran.err.splitlines()) == 1
    assert says in ran.err


@pytest.mark.parametrize("command", ["status", "points", "board"])
def test_3_shop_file_bad(program: Program, command: str) -> None:
    """Every problem with its place; nothing on standard output, no journal made."""
    program.write("shop.toml", SHOP.replace('"0.1 deg"', '"minus"').replace("6 in", "-6 in", 1))
    program.journal.unlink()
    ran = program(command)
    assert ran.code == exit_codes.SHOP_FILE == 3
    assert ran.out == ""
    assert "shop.toml:" in ran.err
    assert not program.journal.exists()


@pytest.mark.parametrize("path", ["missing.toml", ".", "~nobody-of-this-name/shop.toml", "a\0b"])
def test_3_no_shop_file_at_all(program: Program, path: str) -> None:
    """Missing, a folder, an unknown home, a name that cannot be."""
    ran = program.bare("status", "--shop", path, "--journal", str(program.journal))
    assert ran.code == 3
    assert ran.out == ""


def test_4_journal_damaged(program: Program) -> None:
    """Something else lies there; it is left as it is."""
    program.journal.write_bytes(b"SQLite format 3\0" + b"\xff" * 4000)
    before = program.journal.read_bytes()
    for words in (("status",), ("verify",), ("check", "saw.blade")):
        ran = program(*words)
        assert ran.code == exit_codes.JOURNAL == 4
        assert "journal.sqlite3" in ran.err
    assert program.journal.read_bytes() == before


def test_4_a_changed_record_is_found(program: Program) -> None:
    """By `verify`, with the number of the entry."""
    program.check("jointer.fence", FENCE_TRUE)
    raw = program.journal.read_bytes()
    assert raw.count(b'"key":"light"') == 1
    program.journal.write_bytes(raw.replace(b'"key":"light"', b'"key":"tight"'))
    ran = program("verify")
    assert ran.code == 4
    assert "entry " in ran.err


def test_4_a_newer_journal_is_read_not_written(program: Program) -> None:
    """The standing is told; recording is refused."""
    program.check("jointer.fence", FENCE_TRUE)
    with closing(sqlite3.connect(program.journal)) as db:
        db.execute("PRAGMA user_version = 99")
    assert program("status").code == 0
    ran = program("happened", "saw", "knocked")
    assert ran.code == 4
    assert "newer" in ran.err


def test_5_locked(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    """Another program holds the journal for longer than one can wait."""
    program.check("jointer.fence", FENCE_TRUE)
    monkeypatch.setattr(
        open_shop, "open_journal", lambda path, now, **_: open_journal(path, now, wait_seconds=0.05)
    )
    with closing(sqlite3.connect(program.journal, isolation_level=None)) as db:
        db.execute("BEGIN EXCLUSIVE")
        ran = program("happened", "saw", "knocked")
        assert ran.code == exit_codes.LOCKED == 5
    assert program("happened", "saw", "knocked").code == 0


def test_6_cannot_write(program: Program) -> None:
    """No folder can be made where the journal is to be."""
    files = ("--shop", str(program.shop), "--journal", "/proc/nowhere/j")
    ran = program.bare("happened", "saw", "knocked", *files, "--new-journal")
    assert ran.code == exit_codes.CANNOT_WRITE == 6
    assert "could not be made" in ran.err


def test_a_fault_of_its_own_is_told_and_kept(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """No traceback on the terminal; the full report in a file, whose place is told."""
    from shopboard.commands import status

    def broken(_: object) -> int:
        raise ZeroDivisionError("secret words")

    monkeypatch.setattr(status, "run", broken)
    ran = program("status")
    assert ran.code == exit_codes.CRASH
    assert "secret words" not in ran.err
    (path,) = [word for word in ran.err.split() if word.endswith("crash.txt.")]
    assert "secret words" in Path(path.rstrip(".")).read_text(encoding="utf-8")


def test_interrupted(program: Program, monkeypatch: pytest.MonkeyPatch) -> None:
    """Ctrl+C ends quietly; what was answered is on disk."""
    from shopboard.commands import check_plain

    def struck(_: str) -> str:
        raise KeyboardInterrupt

    monkeypatch.setattr(check_plain, "prompt", struck)
    assert program("check", "jointer.fence").code == exit_codes.INTERRUPTED


def test_the_parser_declares_what_the_commands_are() -> None:
    """One list for the help, the parser and the modules."""
    assert set(COMMANDS) <= set(build_parser().format_help().split())
