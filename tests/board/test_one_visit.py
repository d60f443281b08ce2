"""From one point to the next: unplugged once, cleared once; what was opened and left is nothing."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.board.screens.point import PointScreen
from shopboard.journal import JournalCannotWrite, NewEntry, SqliteJournal, new_uid, open_journal
from shopboard.open_shop import OpenShop
from shopboard.prep.options import what_settles
from shopboard.upkeep.plug import PLUG_HOLDS
from tests.board.conftest import Place
from tests.board.test_path import NO_LIGHT, OUT_READING, READY, TO_CHECK, TRUE_READING
from tests.prep.results import result
from tests.shop_head import head

PLANT = (
    head("The plane house").replace('"inch"', '"mm"')
    + '[[machine]]\nid = "combi"\nname = "Combination machine"\n'
    + "".join(
        f'[[machine.point]]\nid = "{ident}"\nname = "{name}"\ncheck = "square"\n'
        f'tolerance = "2 mm/m"\nface = "{ident}"\ndatum = "bed"\nlever = "100 mm"\n{more}'
        for ident, name, more in (
            ("fence", "Fence", ""),
            ("table", "Table", 'rests_on = ["fence"]\n'),
            ("stop", "Stop", ""),
        )
    )
)
"""A shop in millimetres: three points of one machine, all read with the same square."""


async def test_after_the_last_enter_the_way_leads_on_and_never_into_the_same_check(
    place: Place,
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING, "2", "enter")
        assert board.says("Enter next to check: Blade parallel to the slot")
        assert "Table saw · Blade parallel to the slot" in await board.press("enter")
        assert "never checked" in board.text
        assert "Unplug the machine" in await board.press("enter")  # and once more
        await board.press("escape")
        assert board.says("Nothing was measured: no check is left open.")
        await board.press("minus", "minus")
        assert not board.says("go on with")
        assert board.app.open_shop.waiting == {}


async def test_where_nothing_is_left_to_check_enter_leads_back(bare: Place) -> None:
    bare.shop_file.write_text(PLANT.partition('[[machine.point]]\nid = "table"')[0], "utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3", "1", "enter", "enter")
        assert board.says("Enter back")
        assert "Combination machine" in (await board.press("enter")).split("\n")[0]
        assert not isinstance(board.app.screen, PointScreen)


async def test_what_waits_for_a_point_found_out_is_not_next(bare: Place) -> None:
    bare.shop_file.write_text(PLANT, encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "1", "3", *".5", "enter", *".6", "enter")
        assert board.says("As found.")
        await board.press("enter")
        assert board.says("set it by the manual, then read again")
        assert "Next here: Stop." in await board.press("2")  # not the table, which depends on it


async def test_several_points_are_unplugged_for_once_and_cleared_once(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING)
        assert "Next here: Blade parallel to the slot." in board.text
        assert board.says("The plug stays out. Clear the machine after the last point.")
        assert "Take care." in await board.press("enter")
        assert board.says("The plug is as at the last point.")
    journal = open_journal(place.journal_file, place.clock)
    with closing(journal):
        (begun,) = journal.open_checks()
        assert begun.point == "blade-slot"
        assert [one.body["key"] for one in journal.thread(begun.uid)] == ["unplugged"]
        assert len(journal.recent("check", "saw", "blade")) == 1


async def test_the_tools_are_taken_once(bare: Place) -> None:
    bare.shop_file.write_text(PLANT, encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3", "1", "enter")
        assert "Next here: Table." in board.text
        assert "plug" not in board.text  # no cutter is near
        assert "Set its stock on" in await board.press("enter")
        await board.press("enter", "3", "1", "enter")
        assert "Next here: Stop." in board.text
        await board.press("1", "enter", "3", "1", "enter")
        assert "Take every tool off the machine." in board.text
        await board.press("enter")
        assert board.app.open_shop.standing.all_true


async def test_after_a_pause_the_plug_is_asked_at_the_next_point(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING)
        place.clock.pass_by(minutes=PLUG_HOLDS.total_seconds() / 60 + 1)
        assert "Unplug the machine." in await board.press("enter")


async def test_before_a_test_cut_the_machine_is_cleared(bare: Place) -> None:
    """It needs the plug: that point is no next one."""
    fence, table = PLANT.partition('[[machine.point]]\nid = "stop"')[0].rsplit(
        "[[machine.point]]", 1
    )
    cut = table.replace('"square"', '"flip"').replace('rests_on = ["fence"]\n', "")
    bare.shop_file.write_text(f"{fence}[[machine.point]]{cut}", encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3", "1")
        assert "Take every tool off the machine" in await board.press("enter")
        assert board.says("Recorded")
        await board.press("enter")
        assert board.says("Enter next to check: Table")
        assert board.lines[-1].startswith(" Enter  go on ")


async def test_what_needs_no_cut_comes_before_the_plug_goes_in(bare: Place) -> None:
    """A test cut lies next in the order: what can be measured with the plug out is not left."""
    cut = PLANT.replace('"Table"\ncheck = "square"', '"Table"\ncheck = "flip"')
    bare.shop_file.write_text(cut, encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3", "1")
        assert "Next here: Stop." in await board.press("enter")
        await board.press("enter", "enter", "3", "1", "enter", "enter")
        assert board.says("Enter next to check: Table")


async def test_nobody_is_led_in_a_round_back_to_what_was_just_found_out(bare: Place) -> None:
    bare.shop_file.write_text(PLANT, encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "1", "3", *".5", "enter", *".6", "enter")
        assert "Next here: Stop." in await board.press("enter", "2")
        await board.press("enter", "enter", "3", "1", "enter", "enter")
        assert board.says("Combination machine · Stop")
        assert board.says("Enter back")


async def test_what_was_borderline_twice_today_is_not_next(bare: Place) -> None:
    """A third check as before tells nothing new: it is to be settled, and NEXT says how."""
    bare.shop_file.write_text(PLANT.replace('rests_on = ["fence"]\n', ""), encoding="utf-8")
    with closing(OpenShop(bare.shop_file, bare.journal_file, bare.clock)) as shop:
        high = shop.shop.points["combi.table"].tolerance.high
        for _ in range(2):
            body = result(0.97 * high, 0.05 * high)
            shop.journal.append([NewEntry(new_uid(), "check", "combi", "table", body)])
        shop.refresh()
        found = what_settles(shop, "combi.table")
        assert found is not None
        assert found.at_hand
    async with bare.open() as board:
        await board.press("1", "1", "1", "enter", "enter", "3", "1")
        assert "Next here: Stop." in await board.press("enter")
        await board.press("enter", "enter", "3", "1", "enter", "enter")
        assert board.says("Combination machine · Stop")
        assert board.says("Enter back")


@pytest.mark.parametrize("keys", [(), ("1",), READY])
async def test_a_check_in_which_nothing_was_measured_leaves_no_trace(
    place: Place, keys: tuple[str, ...]
) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *keys, "escape")
        assert board.says("Nothing was measured: no check is left open.")
        assert "go on with the check" not in board.text
        assert board.app.open_shop.waiting == {}


async def test_a_check_that_waits_is_thrown_away_after_a_question(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, *NO_LIGHT[:1], "escape")
        line = next(one for one in board.lines if "discard that check" in one)
        digit = line.split()[0]
        await board.press(digit)
        assert board.says(f"Discard its readings? {digit} once more. Its results stay.")
        assert len(board.app.open_shop.waiting) == 1
        await board.press(digit)
        assert board.says("Discarded: that check is closed. Take the tools off, guards back,")
        assert "check it now" in board.text
        assert board.app.open_shop.waiting == {}


async def test_a_disk_that_is_full_holds_nobody_in_a_check(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise JournalCannotWrite("The disk is full.", "Make room.")

    async with place.open() as board:
        await board.press(*TO_CHECK)
        monkeypatch.setattr(SqliteJournal, "append", full)
        await board.press("escape")
        assert isinstance(board.app.screen, PointScreen)
        assert board.says("The check waits")


async def test_a_check_whose_result_was_taken_back_is_not_offered_to_go_on_with(
    place: Place,
) -> None:
    """What was to be turned followed from that: the way is a new check, at once."""
    async with place.open() as board:
        await board.press(*TO_CHECK, *OUT_READING, "enter", "escape")
        assert "go on with the check" in board.text
        await board.press("v", "1")
        assert board.says("Withdrawn")
        assert "go on with the check" not in board.text
        assert "Unplug the machine" in await board.press("1")


async def test_anew_is_anew_where_the_old_check_no_longer_holds(place: Place) -> None:
    async with place.open() as board:
        await board.press(*TO_CHECK, *READY, *NO_LIGHT[:1], "escape")
        place.clock.pass_by(hours=25)
        line = next(one for one in board.lines if "start over" in one)
        assert "Unplug the machine" in await board.press(line.split()[0])


@pytest.mark.parametrize(("key", "opens"), [("n", True), ("minus", False)])
async def test_on_the_way_back_to_the_board_only_a_minus_too_many_is_dropped(
    place: Place, key: str, opens: bool
) -> None:
    """Both open the prep day; who means it and types on is not left waiting without a word."""
    async with place.open() as board:
        await board.press("1")
        place.seconds.step = 0.05
        await board.press("minus")
        place.seconds.at += 0.3  # no bounce any more, well within the way back
        assert ("prep day" in (await board.press(key)).split("\n")[0]) is opens
