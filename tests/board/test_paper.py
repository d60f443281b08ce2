"""The terminal is asked for its paper, and hears of no colours where it wants none."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from textual.message import Message

from shopboard.board.keys_in import KeysIn
from shopboard.board.paper_told import ASK, LATE
from tests.board.standing import Bench
from tests.terminal import Terminal

WHITE = b"\x1b]11;rgb:ffff/ffff/ffff\x1b\\"
DARK, LIGHT = b"38;2;228;228;228;48;2;0;0;0m", b"38;2;0;0;0;48;2;255;255;255m"
"""How each theme asks for its ink on its paper (ISO 8613-6)."""


def colours(sent: bytes) -> list[bytes]:
    """Give the changes of style that ask for a colour or a paler ink (ECMA-48, 8.3.117)."""
    styles = re.findall(rb"\x1b\[([0-9;]*)m", sent)
    weights = {b"", b"0", b"1", b"3", b"4", b"7", b"9"}
    return [one for one in styles if not set(one.split(b";")) <= weights]


def read(*pieces: bytes | float) -> list[object]:
    """Feed bytes, with seconds between them; give keys and what was told."""
    keys, now = KeysIn(), 0.0
    found: list[Message] = []
    for one in pieces:
        if isinstance(one, float):
            now += one
            found += keys.tick(now)
        else:
            found += keys.feed(one, now)
    found += keys.tick(now + 60.0)
    told = [(getattr(one, "key", ""), getattr(one, "is_light", None)) for one in found]
    return [key if light is None else light for key, light in told]


@pytest.mark.parametrize(
    ("colour", "is_light"),
    [
        (b"rgb:ffff/ffff/ffff", True),
        (b"rgb:0000/0000/0000", False),
        (b"rgb:fd/f6/e3", True),
        (b"rgb:00/2b/36", False),
        (b"rgba:f/f/f/f", True),
        (b"rgb:0000/0000/ffff", False),  # blue is dark: 0.07 of white (IEC 61966-2-1)
    ],
)
@pytest.mark.parametrize("end", [b"\x07", b"\x1b\\"])
def test_an_answer_is_understood(colour: bytes, is_light: bool, end: bytes) -> None:
    assert read(b"\x1b]11;" + colour + end) == [is_light]


@pytest.mark.parametrize("at", range(5, len(WHITE)))
def test_an_answer_in_two_pieces_is_no_key(at: int) -> None:
    """However it is cut behind its beginning, and as late as the second half comes."""
    assert read(WHITE[:at], LATE * 0.9, WHITE[at:]) == [True]


def test_a_key_after_half_an_answer_is_a_key() -> None:
    assert read(b"\x1b]11;rgb:ff", 0.3, b"q") == ["q"]
    assert read(b"\x1b]11;", 0.3, b"1") == ["1"]
    assert read(b"\x1b]11;rgb:ff", LATE * 2, b"1") == ["1"]


def test_an_answer_to_another_question_tells_nothing() -> None:
    assert read(b"\x1b]10;rgb:ffff/ffff/ffff\x07") == []
    assert read(b"\x1b]11;rgb:ffff/zzzz/ffff\x07") == []


def seen(terminal: Terminal) -> bytes:
    """Wait for the first picture and what follows at once; give all that was sent."""
    terminal.until(lambda output: b"\x1b[24;1H" in output)
    terminal.settle(0.5)
    return terminal.output


def test_a_late_answer_changes_the_colours_and_is_no_key(tmp_path: Path) -> None:
    """The first picture waits for none: it is dark."""
    with Bench(tmp_path, "metric").start() as terminal:
        before = seen(terminal)
        assert ASK.encode() in before
        assert before.index(DARK) < before.index(ASK.encode())
        assert LIGHT not in before
        terminal.send(WHITE)
        terminal.until(lambda output: LIGHT in output)
        terminal.settle(0.5)
        after = terminal.output[len(before) :]
        assert DARK not in after[after.index(LIGHT) :]


@pytest.mark.parametrize("shop", ["", "metric"])
def test_no_colour_means_none(tmp_path: Path, shop: str) -> None:
    """By https://no-color.org; the shop file of the first asks for `dark`, which comes first."""
    with Bench(tmp_path, shop).start(NO_COLOR="1") as terminal:
        sent = seen(terminal)
    assert bool(colours(sent)) == (shop == "")
    if shop:
        assert ASK.encode() not in sent


def test_sixteen_colours_are_the_terminals_own(tmp_path: Path) -> None:
    with Bench(tmp_path, "metric").start(TERM="xterm", COLORTERM="") as terminal:
        sent = seen(terminal)
    assert not re.search(rb"[34]8;[25];", sent)
    assert b"40m" in sent
    assert ASK.encode() not in sent


def test_what_the_terminal_tells_at_the_start_counts_at_once(tmp_path: Path) -> None:
    with Bench(tmp_path, "metric").start(COLORFGBG="0;15") as terminal:
        sent = seen(terminal)
    assert LIGHT in sent
    assert DARK not in sent
