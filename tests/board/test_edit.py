"""The shop file changed from the board: each change is shown before it is saved, and no other."""

from __future__ import annotations

import os
import tomllib
from datetime import date
from itertools import cycle
from typing import Any

import pytest

from shopboard.board.edit_view import changed_lines
from shopboard.checks.ranking import rank
from shopboard.metrology.adjuster import Screw
from shopboard.sittings.point_job import job_for
from shopboard.writing.splice import LineChange
from tests.board.conftest import Board, Place
from tests.in_turn import ALL
from tests.two_shops import SHOPS

CROSS = """
[[machine.cutter]]
id = "cross"
name = "Crosscut blade"
where = "on the shelf"
state = "sharp"
lasts = "25 h"
plate = "2 mm"
kerf = "3 mm"
"""

_SHOPS = ("metric", "combination")
_TURNS = cycle(_SHOPS)


def pytest_generate_tests(metafunc: pytest.Metafunc) -> None:
    """Try each test in one of two shops, by turns, and in both where all is tried."""
    metafunc.parametrize("shop", _SHOPS if ALL else [next(_TURNS)])


@pytest.fixture
def place(bare: Place, shop: str) -> Place:
    bare.shop_file.write_text(SHOPS[shop], encoding="utf-8")
    return bare


def says(place: Place, *path: str | int) -> Any:
    """What the file says at a place."""
    found: Any = tomllib.loads(place.shop_file.read_text(encoding="utf-8"))
    for one in path:
        found = found[one]
    return found


async def to_line(board: Board, words: str) -> str:
    """Go down to a line and open it, as a person does who reads the list."""
    await on_line(board, words)
    return await board.press("enter")


async def on_line(board: Board, words: str) -> None:
    """Put the cursor on a line."""
    before, text = "", board.text
    while text != before:  # to the first of them
        before, text = text, await board.press(*(["up"] * 8))
    for _ in range(60):
        if any("►" in line and words in line for line in text.splitlines()):
            return
        text = await board.press("down")
    raise AssertionError(f"no line {words}")


async def typed(board: Board, words: str) -> str:
    """Type words in the place of what is in the field."""
    await board.press("ctrl+u")
    for char in words:
        await board.strike(char, char)
    return await board.press("enter")


async def test_a_tolerance_is_changed_from_its_point(place: Place) -> None:
    """By the pad alone as far as the field; what is refused is said, and nothing is written."""
    before = place.shop_file.read_text(encoding="utf-8")
    async with place.open() as board:
        await board.press("1", "1", "e")
        await to_line(board, "tolerance")
        text = await board.press()
        assert "Blade at 90: tolerance" in text.splitlines()[0]
        assert "Such as " in text
        assert 'Such as "' not in text, "quotes would be typed, too"
        assert "unknown unit" in await typed(board, "1.2 mmm")
        assert place.shop_file.read_text(encoding="utf-8") == before
        text = await typed(board, "1.2 mm/m")
        assert '+ tolerance = "1.2 mm/m"' in text
        assert place.shop_file.read_text(encoding="utf-8") == before
        assert "Saved; the file before is shop.toml" in await board.press("enter")
        assert board.app.open_shop.shop.points["saw.blade"].tolerance.typed == "1.2 mm/m"
    after = place.shop_file.read_text(encoding="utf-8")
    old, new = before.splitlines(), after.splitlines()
    assert len(old) == len(new)
    assert sum(one != other for one, other in zip(old, new, strict=True)) == 1
    kept = [one for one in place.shop_file.parent.iterdir() if one.name.startswith("shop.toml.")]
    assert [one.read_text(encoding="utf-8") for one in kept] == [before]


async def test_help_explains_the_setting_that_the_cursor_is_on(place: Place) -> None:
    """In the list and at its value, with the words of `shopboard explain`, made of the reader's."""
    told = "How far from the touching end of the square the leaf is tried"
    async with place.open() as board:
        await board.press("1", "1", "e")
        await on_line(board, "reach of the leaf")
        for _ in range(2):
            words = " ".join(
                (await board.press("f1" if board.says("> ") else "question_mark")).split()
            )
            assert told in words
            assert "lever: required where check is square" in words
            assert "Allowed: a length from" in words
            await board.press("minus", "enter")


async def test_what_the_tools_cannot_prove_is_said_before_it_is_saved(place: Place) -> None:
    """As proofread says it; of what they could not prove before, nothing."""
    async with place.open() as board:
        await board.press("1", "1", "e")
        await to_line(board, "tolerance")
        await typed(board, "0.02 mm/m")
        text = await board.settle()
        told = " ".join(text.split())
        assert "odd: your tools cannot prove saw.blade true that closely" in told
        assert "Enter saves it" in text
        await board.press("enter")
        await to_line(board, "check again every")
        assert "odd" not in await typed(board, "2 months")


async def test_a_number_is_changed_on_the_pad_alone(place: Place) -> None:
    """Stepped, or typed anew: it keeps the unit that stood there."""
    async with place.open() as board:
        await board.press("1", "1", "e")
        text = await to_line(board, "check again every")
        assert "In the file: every" in text
        text = await board.press("plus", "plus", "minus")
        assert "> 4 months_" in text
        text = await board.press("6")
        assert "> 6_   = 6 months" in text
        assert '+ every = "6 months"' in await board.press("enter")
        await board.press("enter")
        text = await to_line(board, "tolerance")
        unit = says(place, "machine", 0, "point", 0, "tolerance").partition(" ")[2]
        await board.press("full_stop", "0", "9", "enter")
        assert f'+ tolerance = ".09 {unit}"' in board.text
        await board.press("enter")
    assert says(place, "machine", 0, "point", 0, "every") == "6 months"


async def test_a_day_is_stepped_by_days(place: Place) -> None:
    async with place.open() as board:
        await board.press("e")
        await to_line(board, "project: ")
        await to_line(board, "its wood is cut on")
        for key in "2026-12-31":
            await board.press({"-": "minus"}.get(key, key))
        assert "> 2027-01-01_" in await board.press("plus")
        await board.press("enter", "enter")
    assert says(place, "project", 0, "start") == date(2027, 1, 1)


async def test_what_an_id_may_mean_is_chosen_by_its_number(bare: Place, shop: str) -> None:
    """Whose work a cutter does: the others of its machine, and no other thing."""
    bare.shop_file.write_text(SHOPS["metric"], encoding="utf-8")
    async with bare.open() as board:
        await board.press("1", "e")
        await to_line(board, "cutter: Crosscut blade")
        text = await to_line(board, "cuts in the place of")
        assert "1  rip" in text
        assert "2" not in {one[2:3] for one in text.splitlines()[6:]}
        assert '+ spare_for = "rip"' in await board.press("1")
        await board.press("enter")
    cross = next(one for one in says(bare, "machine", 0, "cutter") if one["id"] == "cross")
    assert cross["spare_for"] == "rip"


async def test_a_task_that_is_added_is_asked_how_often(place: Place) -> None:
    """By a digit; one of them is that it never is due by itself."""
    async with place.open() as board:
        for number, (name, often) in enumerate((("Look at the belt", "2"), ("Call", "9"))):
            await board.press(*(["1", "e"] if not number else []))
            text = await to_line(board, "add a task")
            if "one of my own" in text:
                await to_line(board, "one of my own")
            await typed(board, name)
            text = await board.press("enter")
            assert "How often is it due?" in text
            await board.press(often)
            assert "Saved" in await board.press("enter")
    tasks = says(place, "machine", 0, "task")[-2:]
    assert [(one["name"], one.get("every")) for one in tasks] == [
        ("Look at the belt", "2 weeks"),
        ("Call", None),
    ]


async def test_several_words_are_ticked(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "e")
        text = await to_line(board, "check again after")
        assert "[x] blade changed" in text
        await board.press("5", "6", "enter", "enter")
    assert says(place, "machine", 0, "point", 0, "undone_by") == ["blade changed", "knocked"]


async def test_a_setting_is_left_out(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "e")
        await on_line(board, "check again every")
        assert '- every = "3 months"' in await board.press("slash")
        await board.press("enter")
    assert "every" not in says(place, "machine", 0, "point", 0)


async def test_a_usual_point_is_added_and_can_be_taken_out_again(place: Place) -> None:
    """Its numbers are those of the shop's unit; its records would stay."""
    before = says(place)
    async with place.open() as board:
        await board.press("1", "e")
        await to_line(board, "add a point")
        await to_line(board, "Rip fence face")
        text = await board.press("enter")
        assert any("►" in one and "add a point" in one for one in text.splitlines())
        point = says(place, "machine", 0, "point", -1)
        assert point["id"] == "rip-fence"
        assert ("mm" in point["lever"]) == (before["shop"]["unit"] == "mm")
        assert "saw.rip-fence" in board.app.open_shop.shop.points
        await to_line(board, "point: Rip fence face")
        text = await to_line(board, "take it out")
        assert '- id = "rip-fence"' in text
        await board.press("enter")
    assert says(place) == before


async def test_what_sets_a_point_is_added_and_taken_out(place: Place, shop: str) -> None:
    """A screw is asked for its thread and its arm, which nobody can guess."""
    point = "Crosscut fence" if shop == "metric" else "Fence at 90"
    machine = "saw" if shop == "metric" else "jointer"
    async with place.open() as board:
        await board.press("1" if shop == "metric" else "2", "2", "e")
        await on_line(board, "add what sets it")
        assert point in await board.press()
        text = await board.press("enter")
        if "screw" in text and "one of my own" in text:
            await to_line(board, "one of my own")
        await to_line(board, "screw")
        assert "from pivot to there" in (await typed(board, "M8")).splitlines()[0]
        text = await typed(board, "M8")
        assert "from pivot to there" in text.splitlines()[0], (
            "what cannot stand there is refused there"
        )
        assert "does not start with a number" in text
        assert "Esc  back" in text.splitlines()[-1], "- would be typed"
        await typed(board, "300 mm")
        text = await to_line(board, "toward")
        assert '+ thread = "M8"' in text
        await board.press("enter")
        screw = board.app.open_shop.shop.points[f"{machine}.fence"].adjuster
        assert isinstance(screw, Screw)
        assert (screw.pitch, screw.arm) == (1.25, 300.0)
        await on_line(board, "take out what sets it")
        await board.press("enter", "enter")
        assert board.app.open_shop.shop.points[f"{machine}.fence"].adjuster is None


async def test_what_does_not_fit_beside_the_rest_is_taken_back(place: Place) -> None:
    """A tolerance that no square can read: the list shows what is said, / takes one back."""
    async with place.open() as board:
        await board.press("1", "e")
        await to_line(board, "add a point")
        await to_line(board, "one of my own")
        text = await typed(board, "Left wing")
        for _ in range(9):
            if "Not right yet" in text:
                break
            if "tolerance" in text.splitlines()[0]:
                text = await typed(board, "0.1 MPa")
            elif "proven by" in text.splitlines()[0]:
                assert "nothing is ticked" in await board.press("enter")
                await on_line(board, "] square ")
                assert board.says("a face is square to what the square stands on")
                line = next(one for one in board.lines if "►" in one)
                text = await board.press(line[2], "enter")
            elif ": id" in text.splitlines()[0]:
                text = await board.press("enter")
            else:
                text = await typed(board, "3 in")
        assert "Not right yet" in text
        assert "/  leave out" in text.splitlines()[-1]
        await on_line(board, "tolerance")
        text = await board.press("slash")
        assert "tolerance" in text.splitlines()[0]


async def test_one_of_my_own_is_asked_key_by_key(place: Place) -> None:
    async with place.open() as board:
        await board.press("e")
        await to_line(board, "add a square")
        await to_line(board, "one of my own")
        await typed(board, "Brass square")
        assert "brass-square" in await board.press()
        await board.press("enter")
        await typed(board, "5 in")
        await board.press("down", "enter")
        assert "Saved" in await board.press("enter")
    square = says(place, "drawer", "square", -1)
    assert square == {"id": "brass-square", "name": "Brass square", "length": "5 in", "grade": "00"}


async def test_a_machine_is_added_with_what_is_usual_and_can_be_proven(place: Place) -> None:
    """Nothing is odd then, and each of its points has a check that the tools can do."""
    async with place.open() as board:
        await board.press("e")
        await to_line(board, "add a machine")
        await to_line(board, "Router table")
        text = await board.settle()
        assert '+ kind = "router table"' in text
        assert "odd" not in text
        assert "Saved" in await board.press("enter")
        added = board.app.open_shop.shop.machines[-1]
        assert (added.name, added.kind) == ("Router table", "router table")
        assert added.points
        assert added.tasks
        assert {one.kind for one in added.cutters} == {"bit"}
        for point in added.points:
            assert rank(job_for(board.app.open_shop.shop, point, None), point.checks)[0].proves


async def test_a_usual_tool_is_added_by_its_number(place: Place) -> None:
    """A set of leaves is typed by nobody; it is one that the shop's reader takes."""
    async with place.open() as board:
        before = len(board.app.open_shop.shop.drawer.feelers)
        await board.press("e")
        text = await to_line(board, "add a set of feeler leaves")
        assert "26 leaves, .0015 to .025 in" in text
        assert "20 leaves, 0.05 to 1 mm" in text
        text = await to_line(board, "13 leaves, 0.05 to 1 mm")
        assert '+ id = "leaves' in text
        assert "Saved" in await board.press("enter")
        leaves = board.app.open_shop.shop.drawer.feelers[before:]
        assert [len(one.leaves) for one in leaves] == [13]


async def test_another_id_keeps_the_records(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "e", "1")
        text = await typed(board, "blade-90")
        assert '+ was = "blade"' in text
        text = await board.press("enter")
        assert "no longer" not in text, "it is the same point"
        assert any("blade-90" in one for one in text.splitlines()[1:4])
    point = says(place, "machine", 0, "point", 0)
    assert (point["id"], point["was"]) == ("blade-90", "blade")


@pytest.mark.parametrize("width", [60, 80])
def test_what_is_odd_after_a_change_is_said_to_its_end(shop: str, width: int) -> None:
    """No word of it is cut, and it stands above the lines."""
    odd = f"no point of this {shop} shop proves it; " + "write what shows in the edge line " * 3
    change = LineChange(1, ("id = 1",) * 40, 1, ())
    lines = changed_lines([change], [odd + "at the end"], width)
    text = [" ".join(part for part, _ in line) for line in lines]
    assert all(len(one) <= width for one in text)
    before, after = " ".join(" ".join(text).split()).split("These lines")
    assert before.strip().endswith("at the end")
    assert after.count("- id = 1") == 40


async def test_a_long_change_is_read_to_its_end_before_it_is_saved(place: Place) -> None:
    """By + a page at a time; what Enter does stays in sight."""
    async with place.open(80, 24) as board:
        await board.press("1", "1", "e", "u")
        await to_line(board, "take it out of the file")
        seen = [board.text]
        assert "These lines of the shop file change" in seen[0]
        assert "further" in board.lines[-1]
        while "▼" in seen[-1]:
            assert board.says("Enter saves it")
            seen.append(await board.press("plus"))
        gone = [line for text in seen for line in text.splitlines() if " - " in line[:12]]
        whole = place.shop_file.read_text(encoding="utf-8").splitlines()
        first = whole.index("[[machine]]")
        last = next(
            at for at in range(first + 1, len(whole)) if whole[at].startswith("[[machine]]")
        )
        numbers = {int(line.split()[0]) for line in gone}
        assert {*range(first + 2, last)} <= numbers  # its own line is that of the next one


async def test_a_file_that_changed_meanwhile_is_left_alone(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "e")
        await to_line(board, "tolerance")
        await typed(board, "1.2 mm/m")
        other = place.shop_file.read_text(encoding="utf-8") + "# another hand\n"
        place.shop_file.write_text(other, encoding="utf-8")
        assert "!" in await board.press("enter")
    assert place.shop_file.read_text(encoding="utf-8") == other


@pytest.mark.skipif(os.name == "nt", reason="no such rights there")
async def test_a_file_that_may_not_be_written_is_told(place: Place) -> None:
    place.shop_file.chmod(0o444)
    async with place.open() as board:
        await board.press("1", "1", "e")
        await to_line(board, "tolerance")
        await typed(board, "1.2 mm/m")
        assert "read-only" in await board.press("enter")


async def test_from_a_point_one_goes_up_to_machine_and_shop(place: Place) -> None:
    async with place.open() as board:
        await board.press("1", "1", "e", "u")
        assert "add a cutter" in await board.press()
        text = await board.press("u")
        assert says(place, "shop", "name") in text.splitlines()[0]
        assert "this is the whole shop" in await board.press("u")


async def test_where_the_plan_finds_no_sharp_one_it_is_said_which_does_the_work(
    bare: Place, shop: str
) -> None:
    """Each of the sharp ones is a line; from then on the plan changes to it."""
    text = SHOPS["metric"].replace('state = "sharp"', 'state = "dull"', 1)
    third = CROSS.replace('id = "cross"', 'id = "fine"').replace("Crosscut", "Fine")
    text = text.replace("[[machine.task]]", f"{third}\n[[machine.task]]", 1)
    bare.shop_file.write_text(text, encoding="utf-8")
    async with bare.open(160, 48) as board:
        text = await board.press("n", *["down"] * 9)  # what stays open is the last of the list
        assert "if Crosscut blade or Fine blade does its work" in " ".join(text.split())
        text = await board.press("e")
        assert "Crosscut blade does the work of Rip blade" in text
        assert '+ spare_for = "rip"' in await board.press("2")
        text = await board.press("enter")
        assert "does its work" not in text
        assert "Change to Fine blade" in text
    fine = next(one for one in says(bare, "machine", 0, "cutter") if one["id"] == "fine")
    assert fine["spare_for"] == "rip"


async def test_a_project_in_a_file_beside_is_said_to_stand_there(place: Place, shop: str) -> None:
    text = SHOPS[shop]
    head, project = text[: text.index("[[project]]")], text[text.index("[[project]]") :]
    (place.shop_file.parent / "stool.toml").write_text(project, encoding="utf-8")
    head = head.replace("[shop]\n", '[shop]\nprojects = "stool.toml"\n', 1)
    place.shop_file.write_text(head, encoding="utf-8")
    async with place.open() as board:
        text = await board.press("u", "e")
        assert "stands in a file beside the shop file" in text
