"""On a prep day: the points of one machine in one visit, through kills, pauses and test cuts."""

from __future__ import annotations

from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.upkeep.plug import PLUG_HOLDS
from tests.board.conftest import Board, Place
from tests.board.test_prep import worked_out
from tests.shop_head import head

PLUG = "Your hands will be near the cutter."
STILL = "Is the machine still unplugged?"
CARRIED = "Plug and tools as at the last point."
TRUE = ("3", "1")
"""No light, and the thinnest leaf goes at neither end."""
CLOSED = ("3", *"300", "enter", "enter", "enter")
"""A test cut that closes without a gap, over 300 mm."""
OUT = ("1", "3", *".5", "enter", *".6", "enter")
"""Light at the top, two leaves typed."""


def point(ident: str, name: str, shows: str, more: str = "", check: str = "square") -> str:
    return (
        f'[[machine.point]]\nid = "{ident}"\nname = "{name}"\ncheck = "{check}"\n'
        f'tolerance = "2 mm/m"\nface = "{ident}"\ndatum = "table"\nlever = "150 mm"\n'
        f'cutter_near = true\nminutes = "5 min"\nshows_in = ["{shows}"]\n{more}'
    )


PROJECT = (
    '[[project]]\nid = "chest"\nname = "Tool chest"\n\n[[project.joint]]\nid = "box"\n'
    'name = "Box"\nkind = "carcase"\nwidth = "500 mm"\nheight = "400 mm"\ndepth = "100 mm"\n'
    'thickness = "18 mm"\n[project.joint.fit]\ngap = "1 mm"\nsquare = "3 mm"\nlength = "3 mm"\n'
)
TOP = head("The wagon works").replace('"inch"', '"mm"')
SAW = '[[machine]]\nid = "saw"\nname = "Panel saw"\nkind = "table saw"\n'
BENCH = (
    f"{TOP}{SAW}"
    + point("blade", "Blade at 90", "end tilt")
    + point("fence", "Mitre fence", "end angle", 'rests_on = ["blade"]\n')
    + point("stop", "Length stop", "length")
    + PROJECT
)
"""In millimetres; every point near the cutter, the fence resting on the blade."""

COMBI = (
    TOP
    + SAW.replace("kind =", 'body = "combi"\nchange = "5 min"\nkind =')
    + point("blade", "Blade at 90", "end tilt")
    + point("fence", "Mitre fence", "end angle")
    + point("stop", "Length stop", "length")
    + '[[machine]]\nid = "jointer"\nname = "Jointer mode"\nbody = "combi"\nchange = "5 min"\n'
    'kind = "jointer"\n' + point("fence", "Jointer fence", "edge angle")
)
"""Two modes of one body, which share one plug."""


async def begun(board: Board, project: bool = True) -> str:
    """Begin the prep day, and open the first point that it names; give that screen."""
    await board.press("n")
    await worked_out(board)
    await board.press(*(("p",) if project else ()))
    await worked_out(board)
    await board.press("enter")
    await worked_out(board)
    return await board.press("enter")


def kinds(place: Place, kind: str) -> int:
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        return len(journal.newest([kind], 10**6, 10**6, 100))


def plugs(place: Place) -> list[str]:
    """Which answers about the plug are on record, oldest first."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        entries = journal.newest(["answer"], 10**6, 10**6, 1000)
    return [
        f"{one.point} {one.body['key']}"
        for one in reversed(entries)
        if "unplugged" in str(one.body["key"])
    ]


async def test_a_plan_leads_from_point_to_point_with_one_plug_and_each_points_need(
    bare: Place,
) -> None:
    """Plug and tools once, three results, plug in once; each heading tells what the work asks."""
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        first = await begun(board)
        assert "for Box:" in first.split("\n")[0]
        assert PLUG in await board.press("1")
        await board.press("1", "enter")  # unplugged, tools taken
        names = []
        for _ in range(2):
            await board.press("enter", *TRUE, "enter")
            assert "Next here:" in board.text
            assert board.says("The plug stays out.")
            await board.press("enter")
            assert board.says(CARRIED)
            assert PLUG not in board.text
            assert "Set its stock on" in board.text
            assert "for Box:" in board.lines[0]
            names.append(board.lines[0].partition("·")[2].split(",")[0].strip())
        assert sorted(names) == ["Length stop", "Mitre fence"]
        await board.press("enter", *TRUE, "enter")
        assert "Take every tool off the machine." in board.text
        assert board.says("guards first. Then plug in.")
        await board.press("enter")
        assert board.says("Enter back")
        await board.press("enter")
        assert "prep day" in board.lines[0]
        assert board.app.open_shop.standing.all_true
    assert kinds(bare, "check") == 3
    assert plugs(bare) == [f"{one} unplugged" for one in ("blade", "fence", "stop")]


async def test_the_need_of_the_next_point_is_that_of_the_moment(bare: Place) -> None:
    """What one point leaves over is shared out anew once it is measured."""
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await begun(board)
        await board.press("1", "1", "enter", "enter", *TRUE, "enter", "enter")
        heading = board.lines[0]
        await board.press("escape", "minus")
        await worked_out(board)
        await board.press("enter")
        assert board.lines[0].split(",")[1].split("  ")[0] in heading


async def test_what_rests_on_a_point_found_out_does_not_come_next(bare: Place) -> None:
    """The plan was made before; a fence is not set to a blade that leans."""
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        assert "Blade at 90" in await begun(board)
        await board.press("1", "1", "enter", "enter", *OUT)
        assert "As found" in board.text
        await board.press("enter")  # it is saved; nothing in the shop file sets it
        assert "Next here: Length stop." in await board.press("2")


async def test_killed_in_mid_visit_it_goes_on_where_it_stood_and_leads_on(bare: Place) -> None:
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await begun(board)
        await board.press("1", "1", "enter", "enter", *TRUE, "enter", "enter", "enter", "3")
        assert "leaf at both ends" in board.text
    bare.clock.pass_by(minutes=3)
    async with bare.open(100, 30) as board:
        await board.press("n")
        await worked_out(board)
        assert "go on with the check" in await board.press("enter")
        await board.press("1")
        assert PLUG not in board.text  # three minutes only, and nothing else was done there
        assert "leaf at both ends" in board.text
        await board.press("1", "enter")
        assert "Next here:" in board.text
        await board.press("enter")
        assert board.says(CARRIED)
        await board.press("enter", *TRUE, "enter", "enter")
        assert board.app.open_shop.standing.all_true
    assert plugs(bare) == [f"{one} unplugged" for one in ("blade", "fence", "stop")]


@pytest.mark.parametrize("leave", [False, True])
async def test_after_a_pause_in_mid_visit_the_plug_is_asked_once_more(
    bare: Place, leave: bool
) -> None:
    """Left with Esc or standing there before the screen: somebody may have used the machine."""
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    pause = PLUG_HOLDS.total_seconds() / 60 + 1
    async with bare.open(100, 30) as board:
        await begun(board)
        await board.press("1", "1", "enter", "enter", *TRUE, "enter", "enter", "enter", "3")
        if leave:
            await board.press("escape")
            bare.clock.pass_by(minutes=pause)
            await board.press("1")
            assert STILL in board.text
            await board.press("1", "1")
        else:
            bare.clock.pass_by(minutes=pause)
            await board.press("1")
            assert STILL in board.text
            await board.press("minus")
            assert board.says("answer this first")
            await board.press("1")
        assert "As found." in board.text
        await board.press("enter", "enter")
        assert board.says(CARRIED)  # and then no more


async def test_esc_after_nothing_was_measured_says_what_still_lies_on_the_machine(
    bare: Place,
) -> None:
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await begun(board)
        await board.press("1", "1", "enter", "enter", *TRUE, "enter", "enter", "escape")
        assert board.says("Nothing was measured: no check is left open.")
        assert board.says("Take the tools off, guards back, then plug in.")
        assert PLUG in await board.press("1")  # and the way in begins with the plug again


async def test_a_test_cut_in_mid_visit_clears_the_machine_and_asks_for_the_plug_after_it(
    bare: Place,
) -> None:
    """Square, test cut, square: the plug went in for the cut."""
    cut = BENCH.replace(
        point("fence", "Mitre fence", "end angle", 'rests_on = ["blade"]\n'),
        point("fence", "Mitre fence", "end angle", 'rests_on = ["blade"]\n', "flip"),
    ).replace(
        point("stop", "Length stop", "length"),
        point("stop", "Length stop", "length", 'rests_on = ["fence"]\n'),
    )
    bare.shop_file.write_text(cut, encoding="utf-8")
    async with bare.open(100, 30) as board:
        assert "Blade at 90" in await begun(board)
        await board.press("1", "1", "enter", "enter", *TRUE, "enter")
        assert board.says("Then plug in.")
        await board.press("enter")
        assert board.says("Enter next to check: Mitre fence")
        await board.press("enter", "1")
        assert PLUG not in board.text  # it is cut with the plug in
        await board.press("1", "1", "enter", "enter", *CLOSED)
        assert "As found." in board.text
        await board.press("enter")
        assert board.says("Enter next to check: Length stop")
        await board.press("enter")
        assert PLUG in await board.press("1")


async def test_a_check_left_open_asks_for_the_plug_once_another_was_closed_there(
    bare: Place,
) -> None:
    """'Then plug in' was said at the other point: minutes do not count."""
    bare.shop_file.write_text(BENCH, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await board.press("1", "1", "1", "1", "enter", "enter", "3", "escape", "minus")
        await board.press("3", "1", "1", "enter", "enter", *TRUE, "enter", "2", "enter")
        assert board.says("The check is closed.")
        await board.press("minus", "1")
        assert "go on with the check" in board.text
        assert STILL in await board.press("1")


async def test_the_modes_of_a_combination_machine_share_one_plug(bare: Place) -> None:
    """It is changed over with the plug out; tools come off before."""
    bare.shop_file.write_text(COMBI, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await begun(board, project=False)
        await board.press("1", "1", "enter")
        over = 0
        for _ in range(3):
            await board.press("enter", *TRUE, "enter")
            assert "Next here:" in board.text
            over += board.says("Take the tools off and change over to:")
            await board.press("enter")
            assert board.says(CARRIED)
        assert over == 1
        await board.press("enter", *TRUE, "enter")
        assert board.says("guards first. Then plug in.")
        await board.press("enter")
        assert board.app.open_shop.standing.all_true
    assert len(plugs(bare)) == 4


async def test_no_other_mode_comes_next_while_a_cutter_of_the_body_is_out(bare: Place) -> None:
    pitch = (
        '[[machine.task]]\nid = "pitch"\nname = "Clean the pitch"\nevery = "4 weeks"\n'
        'cutter_near = true\nsteps = ["Blade off, into the tub", "Brush", "Blade on"]\n'
    )
    text = COMBI.replace('[[machine]]\nid = "jointer"', f'{pitch}[[machine]]\nid = "jointer"')
    bare.shop_file.write_text(text, encoding="utf-8")
    async with bare.open(100, 30) as board:
        await board.press("1", "t", "1", "1", "enter", "escape", "minus", "minus")
        await board.press("1", "1", "1", "1", "enter")
        for _ in range(2):
            await board.press("enter", *TRUE, "enter")
            assert "Next here:" in board.text
            await board.press("enter")
        await board.press("enter", *TRUE, "enter")
        assert "Next here:" not in board.text
        assert "Take every tool off the machine." in board.text
