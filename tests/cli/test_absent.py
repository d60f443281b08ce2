"""A journal that is not where it was, from the command line: nothing is begun without a word."""

from __future__ import annotations

import shutil
from contextlib import closing

import pytest

from shopboard.base.locations import usual_journal
from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from tests.cli.program import FENCE_TRUE, Program, process
from tests.journal.disk import small_disk

READING = """status; points; history saw.blade; tasks; cutters; sheet saw; export all --csv; clock;
changes 5; round --list; tag saw; hand; verify; status --json; check saw.blade --blank; board"""
RECORDING = """happened saw knocked; tag saw guard; check jointer.fence; round; clock --right;
hand jointer.fence"""


@pytest.mark.parametrize("words", f"{READING}; {RECORDING}".split(";"))
def test_at_a_named_place_none_is_begun(program: Program, words: str) -> None:
    """Whether the command records or not; how to begin one is told."""
    program.journal.unlink()
    ran = program(*words.split())
    assert ran.code == 4
    assert not ran.out
    assert f"There is no journal at {program.journal}" in ran.err
    assert "--new-journal begins one" in ran.err
    assert not program.journal.exists()


@pytest.mark.parametrize("words", ["status", "happened saw knocked"])
def test_an_empty_file_is_told_from_none(program: Program, words: str) -> None:
    """No stick need be looked for."""
    program.journal.write_bytes(b"")
    ran = program(*words.split())
    assert ran.code == 4
    assert f"There is an empty file at {program.journal}" in ran.err
    assert "stick" not in ran.err
    assert not program.journal.read_bytes()


def test_an_empty_file_is_no_copy(program: Program) -> None:
    empty = program.folder / "empty"
    empty.touch()
    ran = program("restore", str(empty), "--yes")
    assert ran.code == 4
    assert f"{empty} is an empty file. Take another copy:" in ran.err


def test_told_to_it_is_begun(program: Program) -> None:
    program.journal.unlink()
    assert program("happened", "saw", "knocked", "--new-journal").code == 0
    assert program("verify").code == 0
    assert program("happened", "saw", "knocked", "--new-journal").code == 0  # it goes on there
    assert "3 entries" in program("verify").err


@pytest.mark.parametrize("words", [("status",), ("points",), ("prep",)])
def test_who_never_had_one_reads_the_shop_without(program: Program, words: tuple[str, ...]) -> None:
    """At the usual place; nothing is made."""
    ran = program.bare(*words, "--shop", str(program.shop))
    assert ran.code == 0
    assert not usual_journal().parent.exists()


def test_who_never_had_one_begins_it_by_recording(program: Program) -> None:
    """At the usual place. When it is gone later, none is begun in its place."""
    shop = ("--shop", str(program.shop))
    assert program.bare("happened", "saw", "knocked", *shop).code == 0
    assert usual_journal().exists()
    usual_journal().unlink()
    for words in (("happened", "saw", "knocked"), ("status",)):
        ran = program.bare(*words, *shop)
        assert ran.code == 4
        assert "held 2 entries" in ran.err
        assert not usual_journal().exists()


@pytest.mark.parametrize(
    "words", [("status",), ("verify",), ("points",), ("clock",), ("tasks",), ()]
)
def test_an_older_copy_at_the_usual_place_is_told_without_a_name(
    program: Program, words: tuple[str, ...]
) -> None:
    """Most people name no journal; neither does the advice then."""
    shop = ("--shop", str(program.shop))
    program.bare("happened", "saw", "knocked", *shop)
    older = usual_journal().read_bytes()
    program.bare("happened", "saw", "machine moved", *shop)
    usual_journal().write_bytes(older)
    ran = program.bare(*words, *shop)
    assert ran.code in (0, 1, 4)
    assert " of the one that was open there on" in ran.out + ran.err
    assert "--journal" not in ran.out + ran.err


def test_an_older_copy_is_named_by_all_and_read_and_not_recorded_in(program: Program) -> None:
    """Until it is said to be the right one."""
    program("happened", "saw", "knocked")
    copy = program.folder / "copy"
    shutil.copyfile(program.journal, copy)
    program.check("jointer.fence", FENCE_TRUE)
    missing = program("status", "--json").json
    assert missing["journal_differs"] is None
    copy.replace(program.journal)

    ran = program("status")
    assert ran.code == 0
    assert "jointer" in ran.out
    assert "entries of the one that was open there on" in ran.err
    assert program("status", "--json").json["journal_differs"]["how"] == "older"
    assert program("verify").code == 4
    refused = program("happened", "saw", "knocked")
    assert refused.code == 4
    assert "verify --as-it-is" in refused.err
    assert program("export", "all", "--csv").code == 0

    said = program("verify", "--as-it-is")
    assert (said.code, "It is the journal from now on." in said.err) == (0, True)
    assert program("status").err == ""
    assert program("happened", "saw", "knocked").code == 0


def test_restored_on_purpose_it_raises_no_alarm(program: Program) -> None:
    program("happened", "saw", "knocked")
    copy = program.folder / "copy"
    shutil.copyfile(program.journal, copy)
    program("happened", "saw", "knocked")
    assert program("restore", str(copy), "--yes").code == 0
    assert program("verify").code == 0
    assert program("happened", "saw", "knocked").code == 0


@pytest.mark.root
def test_a_stick_that_is_not_mounted(program: Program) -> None:
    """The empty folder that it is mounted on stays empty; mounted again, it goes on."""
    with small_disk(program.folder, 512) as stick:
        files = ("--shop", str(program.shop), "--journal", str(stick / "journal"))
        assert program.bare("happened", "saw", "knocked", *files, "--new-journal").code == 0
        kept = (stick / "journal").read_bytes()
    stick.mkdir(exist_ok=True)
    for words in (("status",), ("happened", "saw", "knocked"), ("verify",)):
        ran = program.bare(*words, *files)
        assert (ran.code, "held 2 entries" in ran.err) == (4, True)
    assert list(stick.iterdir()) == []
    stick.rmdir()
    with small_disk(program.folder, 512):
        (stick / "journal").write_bytes(kept)
        assert program.bare("happened", "saw", "knocked", *files).code == 0
        assert "3 entries" in program.bare("verify", *files).err


def test_a_state_folder_that_cannot_be_made_stops_nothing(program: Program) -> None:
    """What is remembered is a help: without it all goes on as it did."""
    files = ("--shop", str(program.shop), "--journal", str(program.journal))
    done = process("happened", "saw", "knocked", *files, env={"XDG_STATE_HOME": "/proc/nowhere"})
    assert done.returncode == 0
    assert b"Traceback" not in done.stderr
    with closing(open_journal(program.journal, utc_now)) as journal:
        assert journal.count() == 2
