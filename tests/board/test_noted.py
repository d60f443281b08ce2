"""A note judges nothing: it stands as noted, neither true nor open."""

from __future__ import annotations

import json
from contextlib import closing

import pytest

from shopboard.board.glyphs import big
from shopboard.journal import NewEntry, new_uid, open_journal
from tests.board.conftest import Place
from tests.shop_head import head

SHOP = head("The tide mill").replace('"inch"', '"mm"') + (
    '[[machine]]\nid = "dust"\nname = "Dust collector"\n'
    '[[machine.point]]\nid = "filter"\nname = "Filter"\ncheck = "note"\nevery = "3 months"\n'
    'undone_by = ["knocked"]\n'
    '[[machine]]\nid = "saw"\nname = "Sliding saw"\n'
    '[[machine.point]]\nid = "lamp"\nname = "Lamp"\ncheck = "note"\n'
    '[[machine.point]]\nid = "fence"\nname = "Fence"\ncheck = "square"\n'
    'tolerance = "2 mm/m"\nface = "fence"\ndatum = "table"\nlever = "100 mm"\n'
    'rests_on = ["lamp"]\n'
)

CLOGGED = "clogged, no pull at all"


@pytest.fixture
def mill(bare: Place) -> Place:
    """Two machines; of one nothing but a note is kept."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    return bare


@pytest.mark.parametrize(("width", "height"), [(80, 24), (160, 48)])
async def test_a_note_makes_nothing_true(mill: Place, width: int, height: int) -> None:
    async with mill.open(width, height) as board:
        await board.press("1", "1")
        assert "nothing noted yet" in board.text or big("nothing noted yet")[0] in board.text
        await board.press("1", *CLOGGED, "enter")
        assert "as-found: noted." in await board.press("enter") or board.says("closed")
        assert board.says("noted just now")
        assert "≡ noted" in board.text
        (row,) = [line for line in board.lines if "≡ noted" in line and "as-found" in line]
        assert row.count("noted") == 1
        assert "true" not in board.text.replace("is closed", "")
        await board.press("minus", "minus")
        assert "1 noted" in board.lines[0]
        assert "true" not in board.text
        assert board.says("only notes: nothing is judged")
        dust = board.app.open_shop.standing.of_machine("dust")
        assert dust is not None
        assert (dust.state, dust.to_check) == ("noted", 0)


async def test_what_was_noted_last_ends_in_no_comma(mill: Place) -> None:
    """Beside a point that was never measured; a note uses nothing of a tolerance."""
    beside = (
        '[[machine.point]]\nid = "pipe"\nname = "Pipe"\ncheck = "go-no-go"\n[[machine]]\nid = "saw"'
    )
    mill.shop_file.write_text(SHOP.replace('[[machine]]\nid = "saw"', beside), encoding="utf-8")
    async with mill.open(160, 48) as board:
        await board.press("1", "1", "1", *CLOGGED, "enter", "enter", "minus", "minus")
        (row,) = [line for line in board.lines if "1 noted" in line]
        assert "noted," not in row
        assert "%" not in board.text


async def test_a_note_is_not_open_either(mill: Place) -> None:
    """What rests on it can be true, and so can the machine."""
    async with mill.open() as board:
        await board.press("1", "1", "1", *CLOGGED, "enter", "enter", "minus", "minus")
        await board.press("2", "1", "1", *"dim", "enter", "enter", "minus", "2")
        await board.press("1", "enter", "enter", "3", "1", "enter", "enter")
        standing = board.app.open_shop.standing
        states = {one.machine.id: one.state for one in standing.machines}
        assert states == {"dust": "noted", "saw": "true"}
        assert standing.all_true
        assert standing.order == ()
        assert (standing.count("true"), standing.count("noted")) == (1, 2)


async def test_a_note_grows_old_and_is_undone_as_the_shop_file_says(mill: Place) -> None:
    async with mill.open() as board:
        await board.press("1", "1", "1", *CLOGGED, "enter", "enter")
        mill.clock.pass_by(hours=24 * 100)
        board.app.open_shop.refresh()
        dust = board.app.open_shop.standing.of_point("dust.filter")
        assert dust is not None
        assert (dust.state, dust.used, dust.probability) == ("due", None, None)
        assert dust.reason.startswith("noted 100 days ago, good for")


async def test_a_note_that_an_earlier_version_called_true_is_noted(mill: Place) -> None:
    body: dict[str, object] = {"v": 1, "method": "note", "run": "as-found", "kind": "note"}
    body |= {"unit": "of 1000", "error": 0, "even": [], "sigma": 0, "expanded": 0, "budget": []}
    body |= {"verdict": "true", "probability": 1.0, "lean": CLOGGED, "readings": {}}
    with closing(open_journal(mill.journal_file, mill.clock)) as journal:
        journal.append([NewEntry(new_uid(), "check", "dust", "filter", body)])
    async with mill.open() as board:
        found = board.app.open_shop.standing.of_point("dust.filter")
        assert found is not None
        assert found.record is not None
        assert (found.state, found.record.verdict) == ("noted", "noted")


async def test_commands_say_noted(mill: Place, capsys: pytest.CaptureFixture[str]) -> None:
    from shopboard.cli import main

    mill.shop_file.write_text(SHOP.replace('every = "3 months"\n', ""), encoding="utf-8")
    async with mill.open() as board:
        await board.press("1", "1", "1", *CLOGGED, "enter", "enter")
    files = ["--shop", str(mill.shop_file), "--journal", str(mill.journal_file)]
    capsys.readouterr()
    main(["status", "--json", *files])
    told = json.loads(capsys.readouterr().out)
    dust = next(one for one in told["machines"] if one["id"] == "dust")
    assert (dust["state"], dust["check_first"]) == ("noted", None)
    point = dust["points"][0]
    assert (point["state"], point["probability"], point["tolerance_used"]) == ("noted", None, None)
    assert point["last"]["verdict"] == "noted"
    for command in (["status"], ["history", "dust.filter"], ["sheet", "dust"]):
        main([*command, *files])
        said = capsys.readouterr().out
        assert "noted" in said
        assert "true" not in said.split("saw")[0].replace("true;", "")
    main(["export", "dust.filter", "--csv", *files])
    assert ",noted," in capsys.readouterr().out
