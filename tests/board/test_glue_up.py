"""Before a glue-up on the board: from the start to the answer, and on to the check, by keys."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from contextlib import closing

import pytest
from textual import events

from shopboard.base.worked_out import WorkedOut
from shopboard.board.canvas import Canvas
from shopboard.board.glyphs import big
from shopboard.board.paint import Line, plain
from shopboard.board.screens.glue_up import GlueUpScreen
from shopboard.board.screens.joints import JointsScreen
from shopboard.board.screens.machine import MachineScreen
from shopboard.board.screens.needs import NeedsScreen
from shopboard.board.screens.point import PointScreen
from shopboard.board.screens.projects import ProjectsScreen
from shopboard.journal import JournalError, NewEntry, new_uid, open_journal
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import record_tag
from tests.board.conftest import Board, Place
from tests.board.workshop import SHOP as LOFT
from tests.prep.results import result
from tests.prep.woodshop import SHOP

SIZES = [(80, 24), (160, 48), (60, 20)]
MEASURED = ("saw.table", "saw.blade", "saw.gauge", "jointer.fence")


@pytest.fixture
def forge(bare: Place) -> Place:
    """The wood shop; all but the mitre stop measured true just now."""
    bare.shop_file.write_text(SHOP, encoding="utf-8")
    with closing(open_journal(bare.journal_file, bare.clock)) as journal:
        for name in MEASURED:
            machine, _, point = name.partition(".")
            journal.append([NewEntry(new_uid(), "check", machine, point, result(2e-4, 5e-5))])
        body = result(0.02, 0.005, "length")
        journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    return bare


def large(word: str, times: int) -> str:
    """The middle row of a word as the answer has it."""
    return "".join(pixel * 2 * times for pixel in big(word, tall=True)[2]).rstrip()


def styles(board: Board) -> set[str]:
    """The styles that the screen is drawn in."""
    canvas = board.app.screen.query_one(Canvas)
    return {style for line in canvas._lines for text, style in line if text.strip()}


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_by_the_number_pad_from_the_board_to_the_check(
    forge: Place, width: int, height: int
) -> None:
    """Decimal point, project, joint, the answer, Enter: the point that is to be checked."""
    async with forge.open(width, height) as board:
        text = await board.press("u")
        assert isinstance(board.app.screen, ProjectsScreen)
        assert board.asks("Blanket chest")
        text = await board.press("1")
        assert isinstance(board.app.screen, JointsScreen)
        assert "■ GO" in text
        assert "‖ HOLD" in text
        text = await board.press("3")
        assert isinstance(board.app.screen, GlueUpScreen)
        assert large("HOLD", 2 if width == 160 else 1) in text
        assert board.says("Table saw: Mitre stop at 45 is unproven: never checked.")
        assert board.says("→ check Table saw: Mitre stop at 45: about 25 min")
        assert "It speaks of fit, never of safety." in text
        await board.press("enter")
        assert isinstance(board.app.screen, PointScreen)
        assert "Mitre stop at 45" in board.text
        await board.press("minus")
        await board.press("1")
        assert isinstance(board.app.screen, PointScreen)


async def test_a_finished_project_is_listed_last_and_opens_by_its_digit(forge: Place) -> None:
    forge.clock.pass_by(days=60)  # the chest begins in June
    async with forge.open() as board:
        shop = board.app.open_shop
        chest, box = shop.shop.projects
        record_happening(shop.journal, "", "project finished", shop=shop.shop, project=chest)
        await board.look()
        text = await board.press("u")
        assert text.index("Tool box") < text.index("Blanket chest")
        assert box.name in (await board.press("1")).split("\n")[0]
        assert chest.name in (await board.press("minus", "2")).split("\n")[0]


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_go_is_large_and_says_how_sure(forge: Place, width: int, height: int) -> None:
    async with forge.open(width, height) as board:
        text = await board.press("u", "1", "1")
        assert large("GO", 2 if width == 160 else 1) in text
        assert board.says("Every gap and error stays within what is allowed, 95 % certain.")
        assert "gap in the glue line" in text
        misfits = text[text.index("■") : text.index("It speaks")]
        assert misfits.count("allowed") == misfits.count("at most") == misfits.count("■")
        assert "…" not in misfits
        assert "It speaks of fit, never of safety." in text
        assert "Enter" not in board.lines[-1]
        assert "all the same" not in board.lines[-1]
        await board.press("enter")
        assert board.says("there is nothing to check")


async def test_a_misfit_is_written_whole(forge: Place) -> None:
    """What is wanted stands at its end, on a second line where one is too narrow."""
    async with forge.open(80, 24) as board:
        text = " ".join((await board.press("u", "2", "1")).split())
        lengths = text.split("difference in length of opposite boards: likely ")[1]
        assert lengths.split(" allowed ")[1].startswith("15.6 thou")
        assert "…" not in lengths


async def test_one_project_goes_straight_to_its_joints(forge: Place) -> None:
    forge.shop_file.write_text(SHOP[: SHOP.rindex("[[project]]")], encoding="utf-8")
    async with forge.open() as board:
        await board.press("u")
        assert isinstance(board.app.screen, JointsScreen)
        await board.press("down", "down", "enter")
        assert board.says("Mitre stop at 45 is unproven")


async def test_a_project_of_one_joint_has_no_joints(forge: Place) -> None:
    text = SHOP.replace('name = "Tool box"', 'name = "Tool box"\nstart = 2026-06-20')
    forge.shop_file.write_text(text, encoding="utf-8")
    async with forge.open() as board:
        await board.press("u")
        assert board.says("1 joint, begins Sat 20 Jun 2026")


async def test_without_a_project_the_key_says_so(bare: Place) -> None:
    bare.shop_file.write_text(LOFT, encoding="utf-8")
    async with bare.open() as board:
        await board.press("u")
        assert board.says("there is no project in the shop file: e on the board adds one")


async def test_a_project_without_a_joint_says_that_none_is_there(bare: Place) -> None:
    text = f'{LOFT}\n[[project]]\nid = "crate"\nname = "Packing crate"\n'
    bare.shop_file.write_text(text, encoding="utf-8")
    async with bare.open() as board:
        await board.press("u")
        assert board.says("Before a glue-up: Packing crate")
        assert board.says("There is no joint of it in the shop file yet: e adds one.")
        await board.press("e")
        assert board.says("add a joint")


async def test_the_answer_changes_while_it_is_looked_at(forge: Place) -> None:
    """Somebody knocks the jointer in another program: go turns into hold by itself."""
    async with forge.open() as board:
        await board.press("u", "1", "1")
        assert large("GO", 1) in board.text
        open_shop = board.app.open_shop
        record_happening(open_shop.journal, "jointer", "knocked", shop=open_shop.shop)
        text = await board.look()
        assert large("HOLD", 1) in text
        assert board.says("knocked on Mon 1 Jun 2026")


async def test_a_tag_is_said_in_red_and_to_hold_alone_is_not(forge: Place) -> None:
    """Red is for danger to a person; Enter opens the tagged machine."""
    async with forge.open() as board:
        await board.press("u", "1", "3")
        assert not {"danger", "danger bar"} & styles(board)
        record_tag("saw", "the guard is off", board.app.open_shop.journal)
        text = await board.look()
        assert large("HOLD", 1) in text
        assert "╳ DO NOT USE: Table saw: the guard is off ╳" in text
        assert board.says("1 Table saw: DO NOT USE. the guard is off.")
        assert "danger" in styles(board)
        await board.press("enter")
        assert isinstance(board.app.screen, MachineScreen)


@pytest.mark.parametrize(("width", "height"), SIZES)
async def test_what_the_project_needs_page_by_page(forge: Place, width: int, height: int) -> None:
    """Every point and every joint comes by with Enter alone, then the top again."""
    async with forge.open(width, height) as board:
        await board.press("u", "1")
        seen = await board.press("n")
        assert isinstance(board.app.screen, NeedsScreen)
        top = board.text
        assert "worst first" in " ".join(top.split())
        for _ in range(12):
            seen += await board.press("enter")
            if board.text == top:
                break
        assert board.text == top
        words = " ".join(seen.split())
        for wanted in (
            "Mitre stop at 45",
            "too loose",
            "not proven: never checked",
            "cancels: the faces are alternated",
            "each mitre takes its own 2 errors",
            "nothing proves the resaw",
        ):
            assert wanted in words, wanted
        await board.press("1")
        assert isinstance(board.app.screen, PointScreen)
        assert "Mitre stop at 45" in board.text


async def test_a_joint_that_leaves_the_shop_file_leaves_the_screen(forge: Place) -> None:
    """The file is edited while the answer is looked at; no key brings the board down."""
    async with forge.open() as board:
        await board.press("u", "1", "1")
        forge.shop_file.write_text(SHOP[: SHOP.index("[[project]]")], encoding="utf-8")
        text = await board.look()
        assert "no longer in the shop file" in text
        await board.press("enter", "1", "n", "1", "enter", "minus", "minus", "enter", "1")
        await board.press("n", "minus", "minus", "1", "enter")
        assert board.app.is_running


async def test_keys_that_mean_nothing_say_so(forge: Place) -> None:
    async with forge.open() as board:
        await board.press("u", "1", "9")
        assert board.says("there is no such line")
        await board.press("4", "5")
        assert board.says("there is no such line")
        await board.press("1")
        assert board.says("no check helps here")


async def test_what_to_check_is_large_too_where_there_is_room(forge: Place) -> None:
    """Whole or not at all: a name that is cut would be another point's."""
    async with forge.open(160, 48) as board:
        await board.press("u", "1", "3")
        assert big("Mitre stop at 45, 25 min")[1] in board.text
        await board.resize(80, 24)
        assert big("Mitre stop at 45")[1] in board.text
        await board.resize(60, 20)
        assert big("Mitre")[1] not in board.text
        assert board.says("check Table saw: Mitre stop at 45: about 25 min")


async def test_a_notice_names_no_key_that_does_something_else_here(forge: Place) -> None:
    """0 goes on from every list; p does nothing on one."""
    async with forge.open() as board:
        await board.press(*"111", "enter", "enter", "3", *["escape"] * 4)
        assert board.says("go on with")
        await board.press("u")
        assert board.says("0: go on with")
        await board.press("escape")
        forge.shop_file.write_text("[[", encoding="utf-8")
        await board.look()
        assert board.says("! p or * 9: 1 error in the shop file")
        await board.press("u")
        assert board.says("! 1 error in the shop file")


async def test_a_broken_file_of_projects_is_named_and_the_last_good_one_shown(forge: Place) -> None:
    beside = forge.shop_file.with_name("stool.toml")
    good = '[[project]]\nid = "stool"\nname = "Milking stool"\n'
    beside.write_text(good, encoding="utf-8")
    text = forge.shop_file.read_text(encoding="utf-8")
    forge.shop_file.write_text(
        text.replace("[shop]", '[shop]\nprojects = ["stool.toml"]', 1), encoding="utf-8"
    )
    async with forge.open() as board:
        beside.write_text(f"{good}garbage ][\n", encoding="utf-8")
        await board.look()
        assert board.says("1 error in stool.toml; the last good one is shown. Line 4: this line")
        assert "Milking stool" in await board.press("u")


async def test_what_takes_long_is_worked_out_between_the_keys(
    forge: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A piece at each picture: the list is there at once, keys count, the answers come."""
    monkeypatch.setattr("shopboard.board.screens.sliced.SLICE", 0.0)
    pictures: list[tuple[str, int]] = []
    async with forge.open() as board:
        await board.press("u")
        drawn = JointsScreen.body

        def body(screen: JointsScreen, width: int, room: int) -> list[Line]:
            lines = drawn(screen, width, room)
            if len(pictures) == 3:  # a key that comes while it is worked out
                screen.post_message(events.Key("down", None))
            pictures.append(("\n".join(map(plain, lines)), screen._cursor))
            return lines

        monkeypatch.setattr(JointsScreen, "body", body)
        text = await board.press("1")
        assert "■ GO" in text
        working = [cursor for one, cursor in pictures if "Working out the answers" in one]
        assert not any("GO" in one or "HOLD" in one for one, _ in pictures[: len(working)])
        assert working[0] == 0
        assert working[-1] == 1
        assert all("Lid panel" in one for one, _ in pictures)
        assert large("GO", 1) in await board.press("1")
        assert "How true each point must be" in await board.press("n")
        assert not board.says("Working it out")


async def test_a_key_of_the_terminal_comes_through_while_it_is_worked_out(
    forge: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """It comes by the loop, as what another thread has read does, not by the screen's own queue."""
    done: list[int] = []
    seen: list[int] = []

    def pieces(screen: JointsScreen) -> Iterator[None]:
        for number in range(300):
            if number == 100:
                key = events.Key("down", None)
                asyncio.get_running_loop().call_soon(screen.app.post_message, key)
            done.append(number)
            yield

    monkeypatch.setattr("shopboard.board.screens.sliced.SLICE", 0.0)
    monkeypatch.setattr(JointsScreen, "pieces", pieces)
    monkeypatch.setattr(JointsScreen, "do_down", lambda _: seen.append(len(done)))
    async with forge.open() as board:
        await board.press("u", "1")
        while len(done) < 300 or not seen:
            await asyncio.sleep(0.01)
    assert 100 < seen[0] < 300


async def test_a_journal_that_cannot_be_read_meanwhile_is_told(
    forge: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Once it can be read again, the same screen has its answer."""
    async with forge.open() as board:
        await board.press("u", "1")
        board.app.open_shop._worked_out = WorkedOut()

        def broken(*_: object) -> None:
            raise JournalError("The journal cannot be read.", "Look at the disk.")

        with monkeypatch.context() as patch:
            patch.setattr("shopboard.prep.answers.known_points", broken)
            assert "The journal cannot be read." in await board.press("1")
        await board.look()
        for _ in range(2000):  # it is worked out in slices
            if large("GO", 1) in board.text:
                break
            await asyncio.sleep(0.01)
        assert large("GO", 1) in board.text
