"""A gauge that types is taken in every field, and answers no screen that asks for none.

Forms of the readings: ISO 6093 (NR1, NR2: sign, leading zeros, point or comma), from memory; that a
unit stands behind it and a line ends with CR, LF or both is common practice, no source.
"""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from pathlib import Path

import pytest
from textual import events

from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.machine import MachineScreen
from shopboard.board.screens.typing import TypingScreen
from shopboard.metrology.quantity import QuantityError, Unit, parse_length
from tests.board.conftest import Board, Place
from tests.board.standing import Bench, press
from tests.board.test_path import READY, TO_CHECK, body
from tests.board.test_terminal import says, text
from tests.gauges.plug import (
    INCH,
    KEYPAD_ENTER,
    METRIC,
    keys_of,
    readings,
    recorded,
    typed,
    words_of,
)
from tests.in_turn import ALL, few, in_turn
from tests.pictures.camera import standing_at
from tests.pictures.hand import NotThereError
from tests.pictures.ways import WAYS
from tests.two_shops import SHOPS

SCREENS = [name for name in WAYS if not name.startswith("help-")]


def in_number_field(board: Board) -> bool:
    top = board.app.top
    return isinstance(top, TypingScreen) and top.field in ("number", "decimal")


@pytest.mark.parametrize(
    ("way", "shop", "first"), in_turn(few(SCREENS, 3), ["whole", *SHOPS], range(3))
)
async def test_every_screen_takes_it_whole_or_says_that_it_took_nothing(
    way: str, shop: str, first: int
) -> None:
    """A field of numbers is tried with every reading; what takes none with some, by turns."""
    for name in (shop, "whole", *SHOPS):
        try:
            await every_reading(way, name, first)
        except NotThereError:  # that shop has no such thing
            continue
        return
    pytest.skip(f"no shop of the tests comes to {way}")


async def every_reading(way: str, shop: str, first: int) -> None:
    async with standing_at(way, shop, (80, 24)) as board:
        unit = board.app.open_shop.shop.unit if board.app.has_open_shop else "inch"
        found = readings(unit)
        for data in found if ALL or in_number_field(board) else found[first::3]:
            if not await one_reading(board, data):
                return


async def led_elsewhere(board: Board, top: ShopScreen, words: str, seq: int) -> bool:
    """Tell whether its first key led to another screen, where nothing was done; go back there.

    False: it does not lead back.
    """
    assert recorded(board.app) == seq
    assert board.says(f"! a gauge typed {words} here; only its first key counted"), board.text
    if top not in board.app.screen_stack:
        return False
    while board.app.screen is not top:
        board.app.pop_screen()
    await board.settle()
    return True


async def one_reading(board: Board, data: bytes) -> bool:
    """Let a gauge type it; tell whether the screen is there still."""
    top = board.app.top
    assert top is not None
    top.repaint()
    before, seq = body(await board.settle()), recorded(board.app)
    words = words_of(data)
    if not isinstance(top, TypingScreen) or top.field is None:
        leads = top.only_leads(next(iter(keys_of(data))))
        await typed(board, data)
        if leads:
            return await led_elsewhere(board, top, words, seq)
        assert board.app.top is top
        assert body(board.text) == before
        assert recorded(board.app) == seq
        assert board.says(f"! a gauge typed {words} here; nothing was taken"), board.text
    elif in_number_field(board):
        top.clear_field()
        await typed(board, words.encode())
        assert top._entry == words
        top.clear_field()
        await typed(board, data)
        taken = board.app.top is not top or not top._entry
        assert taken or board.says("!")
    return True


@pytest.mark.parametrize("keys", [b"12", b"3\r", b"1.", b"21\r\n"])
async def test_of_two_keys_at_once_one_leads_and_no_more(place: Place, keys: bytes) -> None:
    async with place.open() as board:
        led = body(await board.press(chr(keys[0])))
        await board.press("minus")
        assert body(await typed(board, keys)) == led
        assert board.says("only the first one counted") or board.says("only its first key counted")
        assert recorded(board.app) == 0


@pytest.mark.parametrize("keys", [b"12", b"3\r", b"0."])
async def test_two_keys_at_once_answer_nothing(place: Place, keys: bytes) -> None:
    async with place.open() as board:
        asked = body(await board.press(*TO_CHECK))
        seq = recorded(board.app)
        assert body(await typed(board, keys)) == asked
        assert board.says("! two keys at once: neither counts")
        assert recorded(board.app) == seq


async def test_a_key_that_only_leads_waits_for_nothing(place: Place) -> None:
    async with place.open() as board:
        board.app.waits_for_more = True
        board.seconds.at += 1
        await board.app.on_event(events.Key("1", "1"))
        while board.app._held and not isinstance(board.app.screen, MachineScreen):
            await asyncio.sleep(0)
        assert board.app._held


async def test_one_key_is_that_key_and_a_gauge_that_types_slowly_is_still_one(
    place: Place,
) -> None:
    async with place.open() as board:
        asked = body(await board.press(*TO_CHECK))
        seq = recorded(board.app)
        assert body(await typed(board, b"1.012\r", apart=0.012)) == asked
        assert board.says("! a gauge typed 1.012 here; nothing was taken")
        assert recorded(board.app) == seq
        assert body(await typed(board, b"1")) != asked


async def at_number(place: Place, board: Board) -> None:
    await board.press(*TO_CHECK, *READY, "1", "3")
    assert in_number_field(board)


async def test_it_is_not_put_behind_what_a_hand_typed(place: Place) -> None:
    """1 and then 0.0112 would be 10.0112."""
    async with place.open() as board:
        await at_number(place, board)
        await board.press("1")
        await typed(board, b"0.0112\r")
        assert board.says("! a gauge typed behind 1: // strikes that out")
        await board.press("slash", "slash")
        await typed(board, b"0.0112\r")
        assert board.says("0.0112 in")
        assert board.says("thinnest that won't go")


async def test_one_that_types_twice_answers_one_question(place: Place) -> None:
    async with place.open() as board:
        await at_number(place, board)
        seq = recorded(board.app)
        await typed(board, b"0.0112\r\n0.0112\r\n")
        assert board.says("thinnest that won't go")
        assert recorded(board.app) == seq + 1
        assert board.says("! that key came before this could be read: ignored")


@pytest.mark.parametrize("data", [b"A+0012.34\r", b"1,234.5 mm\r", b"+1.25E-02\r", b"1.2.3\r"])
async def test_what_may_be_another_number_is_refused(place: Place, data: bytes) -> None:
    """A letter before it, two marks, an exponent (NR3): each is said, and none is taken."""
    async with place.open() as board:
        await at_number(place, board)
        seq = recorded(board.app)
        await typed(board, data)
        assert board.says("!")
        assert recorded(board.app) == seq
        await typed(board, b"+0.0112\r")  # in the place of what was refused
        assert recorded(board.app) == seq + 1


METRE: dict[Unit, Sequence[tuple[str, float]]] = {
    "mm": [("0,12", 0.12), ("-00,12 mm", -0.12), ("0012,345", 12.345), ("+0012.345", 12.345)],
    "inch": [("0.0005in", 0.0127), ("+1.2500 in", 31.75), ("-00,12 mm", -0.12)],
}
"""25.4 mm to the inch, exactly (international inch, 1959)."""


@pytest.mark.parametrize("unit", METRE)
def test_either_mark_is_read_where_it_can_be_read_one_way(unit: Unit) -> None:
    for words, mm in METRE[unit]:
        assert parse_length(words, unit).mm == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize("words", ["12,345", "1,234.5", "1.234,5", "1,234,567.8"])
def test_a_mark_that_may_part_thousands_is_refused(words: str) -> None:
    for unit in METRE:
        with pytest.raises(QuantityError, match=r"two ways|two decimal marks|type a point"):
            parse_length(words, unit)


@pytest.mark.parametrize("shop", few(["metric", "", "combination", "sample"], 2))
def test_in_a_terminal_a_burst_answers_no_caution_and_fills_a_field(
    tmp_path: Path, shop: str
) -> None:
    bench = Bench(tmp_path, shop)
    metric = 'units = "mm"' in bench.shop_file.read_text() or shop == "metric"
    readings = METRIC if metric else INCH
    with bench.stand() as terminal:
        terminal.send(b"3.012 mm\r\n")
        assert says(terminal, "a gauge typed 3.012 mm here; only its first key counted")
        press(terminal, "-")
        press(terminal, *TO_CHECK)
        terminal.send(b"1.012\r\n")
        assert says(terminal, "a gauge typed 1.012 here; nothing was taken")
        press(terminal, *READY, "1", "3")
        for data in (*readings, b"0.0112 in" + KEYPAD_ENTER):
            words = words_of(data)
            terminal.send(words.encode())
            assert says(terminal, f"> {words}_")
            terminal.settle(0.3)
            terminal.send(b"\x15")
            terminal.settle(0.3)
        terminal.send(b"0.0112 in\r\n")
        assert says(terminal, "thinnest that won't go")
        assert "> 0.0112" not in text(terminal)
