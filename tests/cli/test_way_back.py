"""backup, restore and salvage as a person types them."""

from __future__ import annotations

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
    assert made.err.rstrip().endswith("compared with their hashes.")
    assert recorded("tag", "saw", "guard is off").code == 0
    asked = recorded("restore", str(copy), typed="n\n")
    assert (asked.code, recorded("status").out.count("guard is off")) == (2, 1)
    assert "It does not hold 1 entry of the present journal" in asked.err
    assert "  saw\n" in asked.err
    done = recorded("restore", str(copy), typed="yes\n")
    assert (done.code, recorded("status").out.count("guard is off")) == (0, 0)
    aside = Path(done.err.rstrip().rpartition("is kept as ")[2])
    again = recorded("restore", str(aside), "--yes")
    assert "It holds all that the present journal holds." in again.err
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
    assert made.err.startswith("The shop file cannot be used; the copy goes beside the journal.")
    assert (recorded.folder / "journal-copies").is_dir()


def test_a_broken_journal_names_the_commands_and_comes_back(recorded: Program) -> None:
    """A result that was taken back by an entry that is lost does not stand again."""
    uid = recorded.results("saw.fence")[0]["uid"]
    assert recorded("void", "saw.fence", uid, "--reason", "wrong leaf, quite wrong").code == 0
    assert recorded("tag", "jointer", "guard is off").code == 0
    data = bytearray(recorded.journal.read_bytes())
    data[data.index(b"wrong leaf, quite") + 3] ^= 1
    recorded.journal.write_bytes(data)
    found = recorded("verify")
    assert found.code == 4
    assert "`shopboard restore FROM`" in found.err
    assert "`shopboard salvage`" in found.err
    refused = recorded("backup", str(recorded.folder / "copy"))
    assert (refused.code, (recorded.folder / "copy").exists()) == (4, False)
    new = recorded.folder / "new"
    done = recorded("salvage", str(recorded.journal), str(new))
    assert done.code == 0
    assert "1 entry is missing:" in done.err
    assert ": void of saw.fence, " in done.err
    assert "1 point is unproven until checked again" in done.err
    assert recorded.journal.read_bytes() == data
    back = recorded("restore", str(new), "--yes")
    assert back.code == 0
    assert "is damaged; what can be read of it was compared." in back.err
    assert "It holds all that the present journal holds." in back.err
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
