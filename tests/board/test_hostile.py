"""Names that would act on a terminal or a screen are shown as what they are: letters."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import NewEntry, new_uid, open_journal
from tests.bench.filling import write_shop
from tests.board.conftest import Place
from tests.board.test_happened import key_of
from tests.board.test_path import TYPED, keep_a_true_finding

NAMES = ("[/]", "[red]x", "0.05 [mm]", "[@click=app.quit]x[/]", "[bold", "{0} %s")

SHOP = """\
[shop]
name = "S {name}"
unit = "inch"

[[drawer.square]]
id = "s"
name = "Sq {name}"
length = "6 in"
grade = "0"

[[drawer.feeler]]
id = "f"
name = "F {name}"
leaves = [".0015 in", ".002 in", ".003 in"]
leaf_tolerance = "0.003 mm"

[[machine]]
id = "m"
name = "M {name}"

[[machine.point]]
id = "p"
name = "P {name}"
check = "square"
datum = "D {name}"
face = "F {name}"
lever = "4 in"
tolerance = "0.1 deg"
lock = "L {name}"
light_at_top = "T {name}"
light_at_bottom = "B {name}"

[[machine.task]]
id = "t"
name = "J {name}"
every = "4 weeks"
cutter_near = true

[[machine.task]]
id = "u"
name = "K {name}"
every = "4 weeks"
steps = ["W {name}, wait 5 min", "X {name}"]

[[machine.cutter]]
id = "c"
name = "C {name}"
where = "on the shelf"
state = "sharp"
"""


@pytest.mark.parametrize("name", NAMES)
async def test_markup_in_names_is_shown_literally_on_every_screen(place: Place, name: str) -> None:
    place.shop_file.write_text(SHOP.replace("{name}", name), encoding="utf-8")
    async with place.open(120, 40) as board:
        assert all(board.asks(f"{what} {name}") for what in "SP")
        machine = await board.press("1")
        assert all(f"{what} {name}" in machine for what in "MPJC")
        assert f"P {name}" in await board.press("1")
        place_step = await board.press("1", "enter")
        assert all(f"{what} {name}" in place_step for what in "DF")
        await board.press("enter", *TYPED)
        assert f"T {name}" in board.text
        assert f"M {name}" in await board.press("question_mark")
        await board.press("minus", "w")
        assert f"P {name}" in board.text
        await board.press("minus", "enter")
        assert board.says(f"T {name}") or board.says(f"P {name}")
        await board.press("escape", "minus", "h")
        assert f"M {name}" in board.text
        note = await board.press(key_of(board, "note"), *"[/] x", "enter")
        assert "Recorded: a note." in note
        assert "[/]" in await board.press("h")
        assert f"M {name} · J {name}" in await board.press("minus", "t", "1")
        assert f"J {name}" in (await board.press("1")).partition("\n")[2]
        assert f"W {name}" in await board.press("escape", "2")
        assert f"next: X {name}" in await board.press("enter")
        assert f"W {name}: 5 min left" in await board.press("escape")
        assert f"W {name}: 5 min left" in await board.press("minus", "minus")
        assert board.app.is_running


async def test_control_characters_in_an_older_journal_are_written_out(place: Place) -> None:
    evil = "\x1b[2J\x9b31m\u202e\x07[/]"
    async with place.open() as board:
        await keep_a_true_finding(board)
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        old = journal.recent("check", "saw", "blade")[0]
        text = {"lean": evil, "note": evil, "working": [evil], "verdict": evil, "run": evil}
        entry = NewEntry(new_uid(), "check", "saw", "blade", {**old.body, **text})
        journal.append([entry])
        wrong = NewEntry(new_uid(), "check", "saw", "blade", old.body)
        journal.void(journal.append([wrong])[0].uid, evil)
    async with place.open(160, 48) as board:
        for keys in ((), ("1",), ("1",), ("down", "w"), ("minus", "up", "w")):
            shown = await board.press(*keys) if keys else board.text
            assert not {"\x1b", "\x9b", "\u202e", "\x07"} & set(shown)
        await board.press("minus")
        assert "<U+001B>[2J" in board.text


async def test_an_escape_in_the_shop_file_is_refused_and_shown_harmlessly(place: Place) -> None:
    place.shop_file.write_text(
        SHOP.replace("S {name}", "\\u001b[2J boathouse").replace("{name}", "x"), encoding="utf-8"
    )
    async with place.open() as board:
        assert " error" in board.lines[0]
        assert board.says("U+001B")
        assert "\x1b" not in board.text


async def test_fifty_machines_scroll_with_the_cursor(place: Place) -> None:
    write_shop(place.shop_file, 50)
    async with place.open() as board:
        assert "Machine number 1 " in board.text
        assert "Machine number 50" not in board.text
        await board.press(*["down"] * 16)
        assert "►4 49 " in board.text
        await board.press("right")
        assert "►5 50 " in board.text
        assert "Machine number 50" in board.text
        assert "Machine number 50" in await board.press("enter")
        await board.press("minus")
        await board.press(*["up"] * 26)
        assert "►" in board.text
        assert "Machine number 1 " in board.text
