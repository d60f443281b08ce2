"""backup, restore and salvage as a person types them."""

from __future__ import annotations

import re
import shlex
import sqlite3
import sys
from contextlib import closing
from pathlib import Path

import pytest

from tests.cli.program import FENCE_TRUE, Program
from tests.journal.helpers import opened


@pytest.fixture
def recorded(program: Program) -> Program:
    """A journal with a result that proves the fence true."""
    assert program.check("saw.fence", FENCE_TRUE).code == 0
    return program


def test_a_copy_onto_a_stick_and_back(recorded: Program) -> None:
    stick = recorded.folder / "stick"
    assert recorded("backup", f"{stick}/").code == 6
    stick.mkdir()
    made = recorded("backup", str(stick))
    (copy,) = stick.iterdir()
    assert (made.code, made.out) == (0, "")
    assert made.err.startswith(f"Copied to {copy}: ")
    assert "each checked against its hash.\nIt is on the same disk as the journal" in made.err
    assert recorded("tag", "saw", "guard is off").code == 0
    asked = recorded("restore", str(copy), typed="n\n")
    assert (asked.code, recorded("status").out.count("guard is off")) == (2, 1)
    assert "It lacks 1 entry of the present journal" in asked.err
    assert "  saw\n" in asked.err
    done = recorded("restore", str(copy), typed="yes\n")
    assert (done.code, recorded("status").out.count("guard is off")) == (0, 0)
    aside = Path(done.err.rstrip().rpartition("is now ")[2])
    again = recorded("restore", str(aside), "--yes")
    assert "It has everything that the present journal has." in again.err
    assert recorded("status").out.count("guard is off") == 1
    assert recorded("verify").code == 0


def test_copies_kept_by_age_go_where_the_shop_file_says(recorded: Program) -> None:
    made = recorded("backup")
    folder = recorded.folder / "journal-copies"
    assert len([*folder.iterdir()]) == 1
    assert "Copied to" in made.err
    assert "Nothing was recorded since the newest copy" in recorded("backup").err
    text = recorded.shop.read_text(encoding="utf-8")
    recorded.write("shop.toml", text.replace('unit = "inch"', 'unit = "inch"\ncopies = "away"', 1))
    assert f"copies: there is no folder {recorded.folder / 'away'}" in recorded("proofread").err
    away = recorded("backup")
    assert (away.code, away.err.split("\n")[0]) == (6, "There is no copy yet.")
    (recorded.folder / "away").mkdir()
    assert "copies:" not in recorded("proofread").err
    assert recorded("backup").code == 0
    assert len([*(recorded.folder / "away").iterdir()]) == 1


def test_restore_alone_lists_the_copies_there_are(recorded: Program) -> None:
    """Also when the journal is too broken to tell which copies are its own."""
    assert recorded("restore").code == 2
    assert "there is none in" in recorded("restore").err
    assert recorded("backup").code == 0
    (copy,) = (recorded.folder / "journal-copies").iterdir()
    recorded.journal.write_text("no journal")
    listed = recorded("restore")
    assert listed.code == 2
    assert listed.err.rstrip().endswith(f" entries: {copy.name}")
    assert recorded("restore", str(copy), "--yes").code == 0


def test_a_shop_file_that_is_broken_keeps_nobody_from_a_copy(recorded: Program) -> None:
    recorded.write("shop.toml", "[shop")
    made = recorded("backup")
    assert made.code == 0
    assert made.err.startswith(
        "The shop file cannot be used, so copies are looked for and made beside the journal."
    )
    assert (recorded.folder / "journal-copies").is_dir()


def test_a_broken_journal_names_the_commands_and_comes_back(recorded: Program) -> None:
    """A result that was withdrawn by an entry that is lost does not stand again."""
    uid = recorded.results("saw.fence")[0]["uid"]
    assert recorded("void", "saw.fence", uid, "--reason", "wrong leaf, quite wrong").code == 0
    assert recorded("tag", "jointer", "guard is off").code == 0
    data = bytearray(recorded.journal.read_bytes())
    data[data.index(b"wrong leaf, quite") + 3] ^= 1
    recorded.journal.write_bytes(data)
    found = recorded("verify")
    assert found.code == 4
    assert "`shopboard restore FROM --journal" in found.err
    assert "`shopboard salvage --journal" in found.err
    refused = recorded("backup", str(recorded.folder / "copy"))
    assert (refused.code, (recorded.folder / "copy").exists()) == (4, False)
    new = recorded.folder / "new"
    done = recorded("salvage", str(recorded.journal), str(new))
    assert done.code == 0
    assert "1 entry is missing:" in done.err
    assert ": void of saw.fence, " in done.err
    assert "1 point is unproven until checked again" in done.err
    held = int(done.err.partition("Salvaged to ")[2].partition(": ")[2].split()[0])
    assert f"2 entries are put behind them, on what is missing: {held + 2} in all." in done.err
    whole = recorded.bare("verify", "--journal", str(new))
    assert f"is whole: {held + 2} entries" in whole.err
    assert recorded.journal.read_bytes() == data
    back = recorded("restore", str(new), "--yes")
    assert back.code == 0
    assert "is damaged; what can be read of it was compared." in back.err
    assert "It has everything that the present journal has." in back.err
    assert recorded("verify").code == 0
    points = recorded("status", "--json").json["machines"][0]["points"]
    assert [one["state"] for one in points if one["id"] == "saw.fence"] == ["unproven"]
    assert "guard is off" in recorded("status").out


def test_without_a_journal_each_says_so(program: Program) -> None:
    program.journal.unlink(missing_ok=True)
    for words in (("backup",), ("salvage",), ("restore", "nowhere")):
        ran = program(*words)
        assert ran.code == 4
        assert "There is no " in ran.err
        assert not program.journal.exists()


def test_a_restore_where_no_journal_is_makes_one(recorded: Program) -> None:
    assert recorded("backup", str(recorded.folder / "copy")).code == 0
    place = recorded.folder / "new computer" / "data" / "journal.sqlite3"
    copy = str(recorded.folder / "copy")
    done = recorded.bare("restore", copy, "--journal", str(place))
    assert (done.code, place.stat().st_mode & 0o777) == (0, 0o600)
    with closing(opened(place)) as journal:
        assert journal.count() > 0


def another(program: Program, name: str) -> str:
    """Make another journal."""
    file = str(program.folder / name)
    words = ("happened", "jointer", "knocked", "--shop", str(program.shop), "--journal", file)
    assert program.bare(*words, "--new-journal").code == 0
    return file


def test_another_journal_is_named_before_it_takes_the_place(recorded: Program) -> None:
    """Also where the present one is broken, and told by what is left of it."""
    other = another(recorded, "other")
    words = "It is ANOTHER JOURNAL"
    assert words in recorded("restore", other, typed="n\n").err
    assert recorded("restore", other, "--json").json["another"] is True
    assert recorded("backup", str(recorded.folder / "copy")).code == 0
    assert words not in recorded("restore", str(recorded.folder / "copy"), typed="n\n").err
    data = bytearray(recorded.journal.read_bytes())
    data[data.index(b"wobble" if b"wobble" in data else b"fence") + 1] ^= 1
    recorded.journal.write_bytes(data)
    assert words in recorded("restore", other, typed="n\n").err
    assert words not in recorded("restore", str(recorded.folder / "copy"), typed="n\n").err


def test_a_copy_by_a_newer_version_is_said_to_be_one(recorded: Program) -> None:
    copy = recorded.folder / "copy"
    assert recorded("backup", str(copy)).code == 0
    with closing(sqlite3.connect(copy)) as db:
        db.execute("PRAGMA user_version = 9")
    asked = recorded("restore", str(copy), typed="n\n")
    assert "A newer version of this program made it" in asked.err
    assert recorded("restore", str(copy), "--json").json["newer_form"] is True


def test_what_is_no_copy_is_told_with_what_to_do_instead(recorded: Program) -> None:
    """The advice is about the copy, never about the journal, which is not there to be blamed."""
    away = recorded("restore", str(recorded.folder / "away"))
    assert (away.code, "lists the copies" in away.err, "--new-journal" in away.err) == (4, True, 0)
    stick = recorded.folder / "stick"
    stick.mkdir()
    assert "is a folder: name a copy; there is none in" in recorded("restore", str(stick)).err
    assert recorded("backup", str(stick)).code == 0
    (copy,) = stick.iterdir()
    assert copy.name in recorded("restore", str(stick)).err
    listed = recorded("restore", str(stick), "--json")
    assert (listed.code, listed.json["copies"][0]["copy"]) == (0, str(copy))
    data = bytearray(copy.read_bytes())
    data[data.index(b"fence") + 1] ^= 1
    copy.write_bytes(data)
    broken = recorded("restore", str(copy))
    assert broken.code == 4
    assert "The journal is as it was. Take another copy" in broken.err


def test_as_json_nothing_is_changed_without_yes(recorded: Program) -> None:
    copy = str(recorded.folder / "copy")
    assert recorded("backup", copy, "--json").json["made"] is True
    assert recorded("tag", "saw", "guard is off").code == 0
    asked = recorded("restore", copy, "--json", typed="yes\n")
    assert (asked.code, asked.json["restored"], asked.json["lost"]["entries"]) == (2, False, 1)
    assert "guard is off" in recorded("status").out
    done = recorded("restore", copy, "--json", "--yes")
    assert (done.code, done.json["restored"]) == (0, True)
    assert Path(done.json["kept_as"]).exists()
    assert "guard is off" not in recorded("status").out


def test_the_command_that_salvage_prints_is_about_the_file_that_was_salvaged(
    recorded: Program,
) -> None:
    """Also where that is not the usual journal, and its name has blanks and signs of the shell."""
    other = another(recorded, "other one's $HOME")
    told = recorded("salvage", other).err.rstrip().rpartition("\n")[2]
    words = shlex.split(told)
    assert words[:2] == ["shopboard", "restore"]
    assert words[3:] == ["--journal", other]
    assert recorded.bare(*words[1:], "--yes").code == 0
    assert len([*recorded.folder.glob("other one*before-*")]) == 1
    own = recorded.bare("salvage", "--shop", str(recorded.shop), "--journal", str(recorded.journal))
    assert own.err.rstrip().endswith(f"--journal {recorded.journal}")


@pytest.mark.parametrize("length", [120, 250, 300])
def test_names_of_any_length_and_letters_are_written_or_refused(
    recorded: Program, length: int
) -> None:
    long = str(recorded.folder / ("ü" * (length // 2)))
    fits = len(Path(long).name.encode()) <= 255
    for words in (("backup", long), ("salvage", str(recorded.journal), f"{long[:-1]}x")):
        ran = recorded(*words)
        assert ran.code == (0 if fits else 6), ran.err
    assert recorded("restore", long, "--yes").code == (0 if fits else 6)


@pytest.mark.skipif(sys.platform == "win32", reason="no such names there")
def test_a_name_with_a_line_end_and_an_escape_is_one_harmless_line(recorded: Program) -> None:
    name = str(recorded.folder / "a\n\x1b[31mb")
    made = recorded("backup", name)
    assert made.code == 0
    assert "a<U+000A><U+001B>[31mb: " in made.err.split("\n")[0]
    done = recorded("restore", name, "--yes")
    assert done.code == 0
    assert all(
        one.startswith(("/", "It has", "Restored", "The file")) for one in done.err.split("\n")[:-1]
    )


def test_the_advice_can_be_followed_to_the_letter(program: Program) -> None:
    """It names the journal that was named: the words between the marks are typed as they are."""
    program("happened", "saw", "knocked")
    raw = bytearray(program.journal.read_bytes())
    raw[4096 * 2 : 4096 * 3] = bytes(4096)
    program.journal.write_bytes(raw)
    for words in (("status",), ("verify",)):
        told = program(*words).err
        advised = re.findall(r"`shopboard ([^`]*)`", told)
        assert [one.split()[0] for one in advised] == ["restore", "salvage"]
        assert all(shlex.split(one)[-2:] == ["--journal", str(program.journal)] for one in advised)
    assert program.bare(*shlex.split(advised[1])).code == 0


def test_the_list_of_copies_says_which_are_of_another_journal(recorded: Program) -> None:
    stick = recorded.folder / "stick"
    stick.mkdir()
    assert recorded("backup", str(stick)).code == 0
    other = another(recorded, "other")
    assert recorded.bare("backup", str(stick), "--journal", other).code == 0
    lines = recorded("restore", str(stick)).err.rstrip().split("\n")[1:]
    assert sorted(("other-" in one, one.endswith(" (of another journal)")) for one in lines) == [
        (False, False),
        (True, True),
    ]
    listed = recorded("restore", str(stick), "--json").json["copies"]
    assert {one["another"]: "other-" in one["copy"] for one in listed} == {True: True, False: False}
