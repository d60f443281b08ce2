"""What is gone from the shop file: noticed, listed, its records shown; and given back by `was`."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.board.paint import plain, width_of
from shopboard.board.retired_view import kept_lines, retired_lines
from shopboard.journal import Entry, NewEntry, new_uid, open_journal
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.retired import Retired
from tests.board.conftest import Board, Place
from tests.board.test_changes import edit
from tests.board.test_path import READY, TO_CHECK, keep_a_true_finding
from tests.board.test_views import NAMES, NOW, SIZES
from tests.in_turn import part

BLADE = 'id = "blade"\n'


async def closer(board: Board) -> str:
    """Let the look come that the first picture does not wait for."""
    board.app._look_closer()
    board.app._repaint()
    await board.pilot.pause()
    return board.text


def take_out_the_rests(path: Path) -> None:
    """Let nothing else in the file name the blade."""
    text = path.read_text(encoding="utf-8")
    for old, new in (
        ('rests_on = ["blade"]\n', ""),
        ('"saw.blade"', '"saw.blade-slot"'),
        ('["blade", ', "["),
    ):
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")


@pytest.fixture
def renamed(place: Place) -> Place:
    """A place whose blade can be renamed at will."""
    take_out_the_rests(place.shop_file)
    return place


@pytest.mark.parametrize(
    ("kind", "point", "body", "words"),
    [
        ("happening", "knocked", {"what": "knocked"}, "knocked"),
        ("task", "wax", {}, "task wax: done"),
        ("cutter", "rip", {"what": "put on"}, "cutter rip: put on"),
        ("cutter", "rip", {"what": "used", "of": "hours run"}, "cutter rip: hours run"),
        ("cutter", "", {"what": "given up"}, "change of cutter: given up"),
        ("tag", "", {"out_of_use": True, "why": "guard off"}, "DO NOT USE: guard off"),
        ("tag", "", {"out_of_use": False, "why": "back on"}, "tag cleared: back on"),
        ("round", "", {"answers": {"plug": "out"}, "of": 7}, "daily safety walk, 1 of 7 answered"),
        ("round", "", {}, "daily safety walk, 0 of 0 answered"),
    ],
)
def test_each_record_of_a_machine_that_is_gone_is_told_in_words(
    kind: str, point: str, body: dict[str, object], words: str
) -> None:
    entry = Entry(1, "u", NOW, kind, "router", point, "", body, None, True)
    shown = [plain(line).rstrip() for line in kept_lines((), [entry], 0, "inch", (80, 20))]
    assert shown[-1].endswith(f"  {words}")


async def test_a_lost_name_is_noticed_and_given_back(renamed: Place) -> None:
    """On the board, at its place in the file; with `was` everything is there again."""
    async with renamed.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter", "minus", "minus")
        edit(renamed.shop_file, BLADE, 'id = "blade-90"\n')
        await board.look()
        assert "nothing checked yet" in await closer(board)
        assert board.says("p or * 9: records of saw.blade are not in the file; did it become")
        assert board.says('write was = "blade" below its id')
        await board.press("p")
        assert sum("warning:" in line for line in board.lines) == 1
        assert 'id = "blade-90"' in board.text
        edit(renamed.shop_file, 'id = "blade-90"\n', 'id = "blade-90"\nwas = "blade"\n')
        await board.look()
        assert board.says("Nothing is wrong in the shop file now")
        assert "46 unproven · 1 true" in await board.press("minus")
        assert not board.says("records of")
        assert "as-found" in await board.press("1", "1")


async def test_the_first_picture_does_not_wait_for_the_look(renamed: Place) -> None:
    async with renamed.open() as board:
        await keep_a_true_finding(board)
    edit(renamed.shop_file, BLADE, 'id = "blade-90"\n')
    async with renamed.open() as board:
        assert not board.says("records of saw.blade")
        await closer(board)
        assert board.says("records of saw.blade")


async def test_a_check_under_way_goes_on_under_the_new_name(renamed: Place) -> None:
    async with renamed.open() as board:
        await board.press(*TO_CHECK, *READY[:2])
        assert "Set its stock on" in board.text
    edit(renamed.shop_file, BLADE, 'id = "blade-90"\nwas = "blade"\n')
    async with renamed.open() as board:
        assert board.says("go on with Blade at 90")
        assert "Set its stock on" in await board.press("0")
        await board.press("enter", "3", "1", "enter", "2", "enter")
        assert "■ true" in board.text


async def test_what_is_retired_is_a_key_away_with_its_records(renamed: Place) -> None:
    async with renamed.open() as board:
        await keep_a_true_finding(board)
        await board.press("enter", "minus", "minus")
        assert "Every record has its name" in await board.press("g")
        edit(renamed.shop_file, BLADE, 'id = "arbor-tilt"\n')
        with closing(open_journal(renamed.journal_file, renamed.clock)) as journal:
            record_happening(journal, "lathe", "knocked")
        await board.look()
        shown = await board.press("g")
        assert "Retired: no longer in the shop file" in board.lines[0]
        assert "►1 lathe" in shown
        assert "2 saw.blade" in shown
        assert "Blade at 90" in shown
        await board.press("down")
        assert board.says('did it become saw.arbor-tilt? write was = "blade"')
        await board.press("up")
        assert "knocked" in await board.press("enter")
        assert "Retired: lathe" in board.lines[0]
        await board.press("w")
        assert board.says("There is no result here.")
        await board.press("minus")
        assert "as-found" in await board.press("2")
        assert "Retired: saw.blade (Blade at 90)" in board.lines[0]
        assert "gap = none" in await board.press("w")
        await board.press("minus", "minus")
        edit(renamed.shop_file, 'id = "arbor-tilt"\n', BLADE)
        await board.look()
        assert "lathe" in board.text
        assert "saw.blade" not in board.text


async def test_hostile_names_of_an_older_journal_are_written_out(place: Place) -> None:
    evil = "\x1b[2J\x9b31m\u202e\x07[/]"
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        for machine, point in (("saw", evil), (evil, "x"), (f"saw{evil}", "blade")):
            body = {"v": 1, "name": evil, "method": evil}
            journal.append([NewEntry(new_uid(), "begin", machine, point, body)])
            body = {"v": 1, "verdict": evil}
            journal.append([NewEntry(new_uid(), "check", machine, point, body)])
        record_happening(journal, evil, evil)
    async with place.open(160, 48) as board:
        await closer(board)
        for keys in (("g",), ("enter",), ("minus",), ("down", "enter"), ("minus", "minus", "p")):
            shown = await board.press(*keys)
            assert not {"\x1b", "\x9b", "\u202e", "\x07"} & set(shown)
        await board.press("g")
        assert board.app.is_running


@settings(max_examples=part(40), deadline=None)
@given(SIZES, st.lists(NAMES, min_size=1, max_size=60), st.data())
def test_the_list_fits_its_window_with_the_cursor_in_sight(
    size: tuple[int, int], names: list[str], data: st.DataObject
) -> None:
    width, room = size[0], size[1] - 3
    retired = [Retired("m", name, name, 1, NOW, "out", "m.p") for name in names]
    cursor = data.draw(st.integers(0, len(names) - 1))
    lines = retired_lines(retired, cursor, (width, room))
    assert len(lines) <= room
    assert {width_of(line) for line in lines} == {width}
    assert sum(plain(line).startswith("►") for line in lines) == 1


async def test_a_task_that_lost_its_id_is_asked_after_until_the_new_one_is_done(
    place: Place,
) -> None:
    """Its records, and those of a blade, are listed under the old names."""
    with closing(open_journal(place.journal_file, place.clock)) as journal:
        body = {"v": 1, "what": "used", "of": "hours run"}
        journal.append([NewEntry("a", "task", "saw", "wax-table", {"v": 1})])
        journal.append([NewEntry("b", "cutter", "saw", "rip-24", body)])
    edit(place.shop_file, 'id = "wax-table"\n', 'id = "wax"\n')
    edit(place.shop_file, 'id = "rip-24"\n', 'id = "slitter"\n')
    async with place.open() as board:
        await closer(board)
        assert board.says("p or * 9: records of the task saw.wax-table are not in the file; did it")
        await board.press("g")
        assert "a cutter" in board.text
        assert "a task" in board.text
        assert "cutter rip-24: hours run" in await board.press("1")
        assert "Recorded, newest" in await board.press("minus", "2")
        assert "task wax-table" in board.text
        await board.press("minus", "minus")
        board.app.open_shop.journal.append([NewEntry("c", "task", "saw", "wax", {"v": 1})])
        await board.look()
        assert not board.says("records of the task")
