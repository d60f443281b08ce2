"""A gauge on a serial line at the board: shown beside the field, taken by Enter or its button."""

from __future__ import annotations

import os
import random
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest

from shopboard.gauges import listening
from shopboard.gauges.listening import Listening
from shopboard.shop.gauge import Gauge
from tests.board.conftest import Board, Place
from tests.board.standing import Bench, press
from tests.board.test_path import READY, TO_CHECK
from tests.board.test_terminal import says
from tests.gauges.on_a_line import OnALine, setting, waited
from tests.gauges.plug import recorded
from tests.in_turn import few
from tests.terminal import Terminal

pytest.importorskip("serial", reason="pyserial is not installed: the extra `gauge`")
pytestmark = pytest.mark.skipif(os.name != "posix", reason="pseudo-terminals are of POSIX")


@pytest.fixture
def line(tmp_path: Path) -> Iterator[OnALine]:
    with OnALine(tmp_path) as gauge:
        yield gauge


Hear = Callable[..., Listening]


@pytest.fixture
def hear(line: OnALine) -> Iterator[Hear]:
    begun: list[Listening] = []

    def begin(**more: Any) -> Listening:
        gauge = Gauge("dial", "Dial", str(line.port))._replace(**more)
        begun.append(Listening(gauge, "in"))
        begun[-1].begin()
        return begun[-1]

    yield begin
    for one in begun:
        one.end()


def words(one: Listening) -> str:
    reading = one.heard.reading
    return reading.words if reading is not None else one.heard.trouble


def test_it_is_heard_unplugged_and_found_again(line: OnALine, hear: Hear) -> None:
    dial = hear()
    assert waited(lambda: not dial.heard.trouble)
    line.send(b"+0000.0")  # half a reading
    time.sleep(0.1)
    assert dial.heard.reading is None
    line.send(b"12 in\r\n")
    assert waited(lambda: words(dial) == "+0000.012 in")
    line.send(b"0.0")
    line.unplug()
    assert waited(lambda: dial.heard.trouble in ("unplugged", f"not plugged in at {line.port}"))
    assert dial.heard.reading is None
    line.plug_in()
    assert waited(lambda: not dial.heard.trouble)
    line.send(b"0.5 mm\r")
    assert waited(lambda: words(dial) == "0.5 mm")


def test_one_that_wants_to_be_asked_is_asked(line: OnALine, hear: Hear) -> None:
    dial = hear(ask="R?", unit="mm")
    assert waited(lambda: b"R?\r" in line.asked())
    line.send(b"1,25\n")
    assert waited(lambda: words(dial) == "1.25 mm")


def test_a_second_board_is_told_that_the_port_is_taken(line: OnALine, hear: Hear) -> None:
    first = hear()
    assert waited(lambda: not first.heard.trouble)
    second = hear()
    assert waited(lambda: second.heard.trouble == f"another program has {line.port}")
    first.end()
    assert waited(lambda: not second.heard.trouble)


def test_without_its_extra_it_says_what_to_install(
    hear: Hear, monkeypatch: pytest.MonkeyPatch
) -> None:
    def absent(name: str) -> object:
        raise ImportError(name)

    monkeypatch.setattr(listening, "import_module", absent)
    dial = hear()
    assert waited(lambda: "pip install '.[gauge]'" in dial.heard.trouble)


def test_garbage_ends_nothing_and_the_next_reading_is_heard(line: OnALine, hear: Hear) -> None:
    dial, chance = hear(), random.Random(4)
    assert waited(lambda: not dial.heard.trouble)
    end = time.monotonic() + 1.0
    while time.monotonic() < end:
        line.send(chance.randbytes(3000) + b"\x00\xff\xfe\x1b[2J" + b"9" * 500 + b"\r\n\r0.1.2\n")
    assert "\x1b" not in dial.heard.trouble
    assert "\x00" not in dial.heard.trouble

    def heard_again() -> bool:
        line.send(b"\r\n0.125 in\r\n")
        return words(dial) == "0.125 in"

    assert waited(heard_again)


async def at_number(board: Board, line: OnALine) -> None:
    board.app.hears_gauges = True
    await board.press(*TO_CHECK, *READY, "1", "3")
    await comes(board, "Bench dial:")
    here = board.app.gauges_here
    assert here is not None
    assert waited(lambda: not here._listening[0].heard.trouble)


async def comes(board: Board, what: str) -> None:
    end = time.monotonic() + 15
    while not board.says(what) and time.monotonic() < end:
        board.app._look_at_gauges()
        await board.settle()
    assert board.says(what), board.text


def with_gauge(place: Place, line: OnALine, more: str = "") -> None:
    text = place.shop_file.read_text(encoding="utf-8")
    at = text.index("[[gauge]]")
    text = text[:at] + text[text.index("\n\n", at) :]
    place.shop_file.write_text(text + setting(line.port, more), encoding="utf-8")


async def test_what_is_shown_is_taken_by_enter_with_its_unit(place: Place, line: OnALine) -> None:
    with_gauge(place, line, 'unit = "thou"')
    async with place.open() as board:
        await at_number(board, line)
        seq = recorded(board.app)
        line.send(b"+11.5\r\n")
        await comes(board, "Bench dial: +11.5 thou")
        line.send(b"+14.0\r\n")  # after what is shown
        await board.press("enter")
        assert board.says("thinnest that won't go")
        assert board.says("11.5 thou")
        assert recorded(board.app) == seq + 1
        assert board.app.gauges_here is not None
        board.app.gauges_here.end()


async def test_that_nothing_was_there_to_take_is_said_until_a_reading_comes(
    place: Place, line: OnALine
) -> None:
    with_gauge(place, line, 'unit = "thou"')
    async with place.open() as board:
        await at_number(board, line)
        await board.press("enter")
        assert board.says("! nothing typed")
        line.send(b"+11.5\r\n")
        await comes(board, "Bench dial: +11.5 thou")
        assert not board.says("nothing typed")
        await board.press(*"99", "space", *"furlong", "enter")
        assert board.says("unknown unit")
        line.send(b"+12.5\r\n")
        await comes(board, "Bench dial: +12.5 thou")
        assert board.says("unknown unit")  # what was typed is still to be seen to
        assert board.app.gauges_here is not None
        board.app.gauges_here.end()


async def test_its_button_answers_a_field_and_nothing_else(place: Place, line: OnALine) -> None:
    with_gauge(place, line, 'sends = "on its button"')
    async with place.open() as board:
        await at_number(board, line)
        await comes(board, "Bench dial: press its button")
        board.seconds.at += 1
        line.send(b"0.0111 in\r\n")
        await comes(board, "thinnest that won't go")
        board.seconds.at += 1
        line.send(b"0.0122 in\r\n")
        await comes(board, "As found.")
        seq = recorded(board.app)
        line.send(b"0.0133 in\r\n")
        await comes(board, "! Bench dial sent 0.0133 in here; nothing was taken")
        assert recorded(board.app) == seq
        assert board.app.gauges_here is not None
        board.app.gauges_here.end()


async def test_unplugged_it_is_said_and_typed_on(place: Place, line: OnALine) -> None:
    with_gauge(place, line)
    async with place.open() as board:
        await at_number(board, line)
        line.send(b"0.0111 in\r\n0.0")
        await comes(board, "Bench dial: 0.0111 in")
        line.unplug()
        await comes(board, "plugged")
        await board.press("enter")
        assert board.says("thickest that goes")  # nothing is read: nothing is taken
        await board.press(*"12", "space", *"thou", "enter")
        assert board.says("thinnest that won't go")
        assert board.app.gauges_here is not None
        board.app.gauges_here.end()


def echoed(terminal: Terminal, before: int, mark: bytes) -> float:
    """Give when a key is seen in the field."""
    return terminal.until(lambda output: mark in output[before:])


@pytest.mark.parametrize("shop", few(["metric", "sample", "combination"], 2))
def test_in_a_terminal_a_key_is_taken_though_a_gauge_sends_without_end(
    tmp_path: Path, line: OnALine, shop: str
) -> None:
    bench = Bench(tmp_path, shop)
    text = bench.shop_file.read_text(encoding="utf-8")
    bench.shop_file.write_text(text + setting(line.port), encoding="utf-8")
    with bench.stand() as terminal:
        press(terminal, *TO_CHECK, *READY, "1", "3")
        assert says(terminal, "Bench dial:")
        line.send(b"0.0111 in\r\n")
        assert says(terminal, "Bench dial: 0.0111 in")
        took = []
        for key in b"123456":
            for _ in range(20):
                line.send(b"0.0111 in\r\n" * 300)
            before = len(terminal.output)
            at = terminal.send(bytes([key]))
            mark = bytes([key])
            took.append(echoed(terminal, before, mark) - at)
        took.sort()
        assert took[len(took) // 2] < 0.25  # loosely: other tests run beside it
