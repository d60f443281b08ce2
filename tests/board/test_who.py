"""The name of a bench on the board: given, said beside what was recorded, and what it may clear."""

from __future__ import annotations

from contextlib import closing

import pytest
from rich.cells import cell_len

from shopboard.base.who import keep_name, who_is_here
from shopboard.journal import open_journal
from shopboard.upkeep.tags import clear_tag, record_tag
from tests.board.conftest import Place
from tests.board.test_path import TO_CHECK, TRUE_READING

CLEARS = 'name = "The old boathouse"\ntags_off_by = ["office", "bench 1"]'


def typed(words: str) -> list[str]:
    """The keys that type words."""
    return [{" ": "space", ".": "full_stop"}.get(one, one) for one in words]


def only_some_clear(place: Place, who: str = "bench 2") -> None:
    """Let the office and bench 1 alone take tags off; the saw has one."""
    text = place.shop_file.read_text(encoding="utf-8")
    assert text.count('name = "The old boathouse"') == 1
    text = text.replace('name = "The old boathouse"', CLEARS)
    place.shop_file.write_text(text, encoding="utf-8")
    with closing(open_journal(place.journal_file, place.clock, who=lambda: who)) as journal:
        record_tag("saw", "guard is off", journal)


async def test_a_bench_is_named_on_the_board_and_named_no_more(place: Place) -> None:
    async with place.open() as board:
        assert "One bench alone needs no name." in await board.press("w")
        await board.press(*typed("bench 2"), "enter")
        assert board.says("This bench is bench 2 from now on.")
        assert "The old boathouse, bench 2" in board.lines[0]
        assert "It is bench 2 now." in await board.press("w")
        await board.press("enter")
        assert board.says("This bench has no name.")
        assert "bench" not in board.lines[0]
    assert who_is_here() == ""


async def test_the_pad_alone_finds_it(place: Place) -> None:
    async with place.open() as board:
        await board.press("asterisk")
        for _ in range(4):
            line = next((one for one in board.lines if "Give this bench a name" in one), "")
            if line.strip()[:1].isdigit():
                break
            await board.press("plus")
        assert "What is this bench called?" in await board.press(line.strip()[0])
        await board.press("minus")
        assert "The old boathouse" in board.lines[0]


@pytest.mark.parametrize("text", ["...", "b" * 41])
async def test_a_name_that_can_be_none_is_refused_and_can_be_mended(
    place: Place, text: str
) -> None:
    keep_name("office")
    async with place.open() as board:
        await board.press("w", *typed(text), "enter")
        assert board.says("the name of a bench has 1 to 40 characters")
        assert who_is_here() == "office"
        await board.press(*(["backspace"] * len(text)), *typed("shed"), "enter")
        assert who_is_here() == "shed"


async def test_a_device_keeps_the_name_that_it_was_started_with(
    place: Place, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A phone's board runs on the bench's computer, whose own name it must not change."""
    keep_name("office")
    monkeypatch.setenv("SHOPBOARD_WHO", "phone")
    async with place.open() as board:
        assert "The old boathouse, phone" in board.lines[0]
        await board.press("w")
        assert board.says("This is phone: the board was started here with that name.")
    monkeypatch.delenv("SHOPBOARD_WHO")
    assert who_is_here() == "office"


async def test_a_result_says_who_recorded_it(place: Place) -> None:
    keep_name("bench 2")
    async with place.open() as board:
        await board.press(*TO_CHECK, *TRUE_READING)
        assert board.says("by bench 2, as-found: true.")
    keep_name("bench 1")
    async with place.open(160, 48) as board:
        shown = await board.press("1", "1")
        assert "(by bench 2)" in shown
        assert "by bench 1" not in shown


@pytest.mark.parametrize(
    "name", ["w" * 40, "\u6728" * 40, "\u05e1\u05d3\u05e0\u05d4 2", "[b]2[/b]"]
)
@pytest.mark.parametrize(("width", "height"), [(60, 20), (80, 24), (160, 48)])
async def test_whatever_the_name_each_picture_has_its_width(
    place: Place, name: str, width: int, height: int
) -> None:
    """Forty letters two columns wide each; right to left; brackets that are no markup."""
    keep_name(name)
    async with place.open(width, height) as board:
        ways = ((), ("1",), ("1", *TRUE_READING), ("escape",), ("minus",), ("d", "1"), ("d",))
        for keys in (*ways, ("minus", "h"), ("minus", "minus")):
            await board.press(*keys)
            assert all(cell_len(line) <= width for line in board.lines)
        assert width < 160 or name[:8] in board.lines[0]


@pytest.mark.parametrize("who", ["bench 2", ""])
async def test_another_bench_takes_no_tag_off(place: Place, who: str) -> None:
    only_some_clear(place)
    keep_name(who)
    async with place.open() as board:
        shown = " ".join((await board.press("1", "d")).split())
        assert "guard is off (by bench 2)" in shown
        assert "It stays on: only office or bench 1 takes a tag off here; " in shown
        assert "clear its tag" not in shown
        for key in ("1", "1", "5"):
            await board.press(key)
            assert board.says("only office or bench 1 takes a tag off here")
        assert "DO NOT USE" in await board.press("minus")


async def test_a_bench_that_may_takes_it_off(place: Place) -> None:
    only_some_clear(place)
    keep_name("Bench 1")
    async with place.open() as board:
        await board.press("1", "d", "1", "1")
        assert board.says("the tag is cleared")
        assert "(by Bench 1)" in await board.press("d")


async def test_any_bench_may_tag(place: Place) -> None:
    only_some_clear(place)
    with closing(open_journal(place.journal_file, place.clock, who=lambda: "office")) as journal:
        clear_tag("saw", "fixed", journal)
    keep_name("bench 2")
    async with place.open() as board:
        await board.press("1", "d", "1")
        assert "DO NOT USE" in board.text
        assert "(by bench 2)" in board.text
