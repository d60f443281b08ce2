"""No byte that a terminal can send ends the board, leaves it deaf, or becomes a key that it is not.

The sequences are those of ECMA-48, of xterm's bracketed paste and window reports, and of the key
codes of terminals that send them as ``CSI number u``, with numbers that no sender should use.
"""

from __future__ import annotations

import signal
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from textual import events
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._keyboard_protocol import FUNCTIONAL_KEYS
from textual._xterm_parser import XTermParser
from textual.constants import ESCAPE_DELAY
from textual.message import Message

from shopboard.board import on_page
from shopboard.board.keys_in import KeysIn
from shopboard.board.on_page import PageTerminal
from tests.board.standing import Bench, is_given_back, press
from tests.board.test_path import READY, TO_CHECK
from tests.board.test_terminal import says, screen, text
from tests.campaigns import hostile_terminal
from tests.campaigns.frame import failures
from tests.in_turn import few
from tests.terminal import Terminal

HOSTILE = {
    "a Latin-1 e acute": b"\xe9",
    "a Latin-1 degree": b"\xb0",
    "a Latin-1 half": b"\xbd",
    "8-bit meta": b"\xe1",
    "a key beyond any number": b"\x1b[99999999999u",
    "a key beyond Unicode": b"\x1b[1114112u",
    "a key that is half a character": b"\x1b[97;1;55296u",
    "a key that is let go": b"\x1b[97;1:3u",
    "a place beyond any number": b"\x1b[99999999999;99999999999H",
    "a window of nothing": b"\x1b[48;0;0;0;0t",
    "sizes among the keys, and a vast one": b"\x1b[?2048;1$y\x1b[48;9999;9999;1;1t",
    "a mouse far out": b"\x1b[<0;99999999999;99999999999M",
    "an answer that was not asked for": b"\x1b]11;rgb:1111/1111/1111\x1b\\",
    "a sequence cut off": b"\x1b[1;1;1",
    "a paste that never ends": b"\x1b[200~111",
}

BOARDS = 3
"""That these are sent to, so many to each, beside each other."""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def at_rest(terminal: Terminal) -> list[str]:
    """Give what stands under the clock once the minutes of all the next checks are worked out."""
    assert says(terminal, "min ")
    end = time.monotonic() + 60.0
    while any("? check" in row and " min" not in row for row in screen(terminal)):
        assert time.monotonic() < end, text(terminal)
        terminal.settle(1.3)
    terminal.settle(1.3)
    return screen(terminal)[1:]


@pytest.mark.parametrize("start", range(BOARDS))
def test_no_byte_ends_the_board_or_leaves_it_deaf(bench: Bench, start: int) -> None:
    with bench.stand() as terminal:
        before = at_rest(terminal)
        for what in [*HOSTILE][start::BOARDS]:
            terminal.send(HOSTILE[what])
            terminal.settle(1.3)
            assert screen(terminal)[1:] == before, what
            terminal.send(b"?")
            assert says(terminal, "Leave the board."), what
            terminal.send(b"-")
            terminal.settle()
        terminal.send(b"q")
        assert terminal.wait() == 0
        assert is_given_back(terminal.output)


@pytest.mark.parametrize("shop", few(["metric", "sample", "combination"], 2))
def test_all_of_them_in_a_row_are_lived_through_in_mid_check(tmp_path: Path, shop: str) -> None:
    """Nothing of them answers the question that stands there."""
    with Bench(tmp_path, shop).stand() as terminal:
        press(terminal, *TO_CHECK, *READY)
        assert says(terminal, "Look for light")
        for data in HOSTILE.values():
            terminal.send(data)
            terminal.settle(0.3)
        terminal.settle(1.3)
        assert says(terminal, "Look for light")
        before = len(terminal.output)
        terminal.send(b"3")
        terminal.until(lambda output: len(output) > before)
        assert "Look for light" not in text(terminal)
        terminal.signal(signal.SIGTERM)
        assert terminal.wait() == 143
        assert is_given_back(terminal.output)


def read(*parts: bytes | float) -> list[tuple[str, str]]:
    """Give what the reader makes of bytes and of waits in seconds between them."""
    keys, now = KeysIn(), 100.0
    found: list[Message] = []
    for part in parts:
        if isinstance(part, bytes):
            found += keys.feed(part, now)
        else:
            now += part
            found += keys.tick(now)
    return [hostile_terminal.meaning(one) for one in found]


def test_what_has_begun_and_does_not_go_on_is_ended_by_time() -> None:
    assert read(b"\xe9", 0.2) == [("key", "�")]
    assert read(b"\xc3", 0.05, b"\xa9") == [("key", "é")]
    assert read(b"\x1b[5", 0.2, b"1") == [("key", "1")]
    assert read(b"\x1b[5", 0.05, b"~") == [("key", "pageup")]
    assert read(b"\x1b", 0.2) == [("key", "\x1b")]
    assert read(b"\x1b]11;", 0.2, b"1") == [("key", "1")]
    assert read(b"\x1b[200~a", 0.9, b"b", 0.9, b"\x1b[201~1") == [("paste", "ab"), ("key", "1")]
    assert read(b"\x1b[200~a", 1.1, b"1") == [("paste", "a"), ("key", "1")]
    slowly = (part for _ in range(30) for part in (0.4, b"a"))
    assert read(b"\x1b[200~", *slowly)[-1] == ("key", "a")


@pytest.mark.parametrize("uptime", [0.0, 64.3, 200.7, 1024.1, 3000.9, 16384.3, 60000.7, 300000.3])
def test_a_packet_of_the_page_ends_with_its_escape_at_any_uptime(
    uptime: float, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Added to such an uptime, a tenth of a second is less than a tenth (IEC 60559, binary64)."""
    assert uptime == 0.0 or (uptime + ESCAPE_DELAY) - uptime < ESCAPE_DELAY
    heard: list[Message] = []
    page = object.__new__(PageTerminal)
    page._keys = KeysIn()
    monkeypatch.setattr(page, "process_message", heard.append)
    monkeypatch.setattr(on_page, "monotonic", lambda: uptime)
    for packet in (b"\x1b", b"x", b"\x1b[B", b"\x1b"):
        page._take_keys(packet)
    meant = [hostile_terminal.meaning(one) for one in heard]
    assert meant == [("key", "\x1b"), ("key", "x"), ("key", "down"), ("key", "\x1b")]


def test_every_key_that_was_one_is_that_key() -> None:
    """All that Textual itself knows, by its table, and the key codes with what may be held."""
    held = ("", ";1", ";2", ";5", ";129", ";1;", ";;49")
    coded = [f"\x1b[{code[:-1]}{with_}{code[-1]}" for code in FUNCTIONAL_KEYS for with_ in held]
    for sequence in (*ANSI_SEQUENCES_KEYS, *coded):
        alone = XTermParser()
        found = [*alone.feed(sequence), *alone.feed("")]
        wanted = [hostile_terminal.meaning(one) for one in found if isinstance(one, events.Key)]
        assert read(sequence.encode(), 0.2) == wanted


def test_the_campaign_sees_what_is_wrong_with_the_reader_behind_it(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    class Unguarded(KeysIn):
        def __init__(self) -> None:
            self._parser = XTermParser()

        def feed(self, data: bytes, now: float) -> Iterator[Message]:
            yield from self._parser.feed(data.decode("utf-8", "replace"))

        def tick(self, now: float) -> Iterator[Message]:
            yield from self._parser.tick()

    monkeypatch.setattr(hostile_terminal, "KeysIn", Unguarded)
    seen = "\n".join(one.what for one in failures(hostile_terminal.CAMPAIGN, 11, 120))
    assert "OverflowError" in seen or "chr()" in seen
    assert "and a key after it gives []" in seen


def test_a_letter_that_is_not_utf_8_is_seen_in_a_note(bench: Bench) -> None:
    with bench.stand() as terminal:
        press(terminal, "h", "7")
        terminal.send(b"planed at 5\xb0 for caf\xe9")
        assert says(terminal, "planed at 5� for caf�_")
        assert says(terminal, "� is a letter that did not come as UTF-8")
        terminal.send(b"\r")
        assert says(terminal, "Recorded: a note.")


def test_no_number_is_taken_with_a_sign_that_is_not_utf_8(bench: Bench) -> None:
    """Dropped, a half would make 1 thou of one and a half."""
    with bench.stand() as terminal:
        press(terminal, *TO_CHECK, *READY, "1", "3")
        terminal.send(b"1\xbd thou\r")
        assert says(terminal, "! unknown unit '� thou'")


def test_a_click_opens_what_is_drawn_there_and_other_reports_of_the_mouse_do_nothing(
    bench: Bench,
) -> None:
    """By xterm's numbers (1006: button; column; row; M pressed, m let go), from its ctlseqs."""
    with bench.stand() as terminal:
        before = at_rest(terminal)
        for report in (
            b"\x1b[<2;4;3M",
            b"\x1b[<35;4;3M",
            b"\x1b[<0;4;3m",
            b"\x1b[M !!",
            b"\x1b[<0;9;",
        ):
            terminal.send(report)
            terminal.settle(0.3)
        assert screen(terminal)[1:] == before
        assert b"\x1b[?1000h" in terminal.output
        assert b"\x1b[?1003h" not in terminal.output  # a move is no message
        terminal.send(b"\x1b[<0;4;3M\x1b[<0;4;3m")
        assert says(terminal, "back")
        terminal.send(b"-")
        terminal.settle()
        terminal.send(b"q")
        assert terminal.wait() == 0
