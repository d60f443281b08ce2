"""A tagged machine in a real pseudo-terminal: in colour, in few colours, in none; and a kill."""

from __future__ import annotations

import re
import signal
from contextlib import closing

import pytest

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from shopboard.upkeep.tags import record_tag
from tests.board.test_terminal import (
    _UNKNOWN_TO_PYTE,
    Program,
    program,
    pyte,
    says,
    screen,
)
from tests.terminal import Terminal

__all__ = ["program"]  # the fixture

RED = "d70000"


def red_text(terminal: Terminal) -> str:
    """What the terminal shows on red, which danger is filled with."""
    screen(terminal)
    shown = pyte.Screen(*terminal.size)
    pyte.ByteStream(shown).feed(_UNKNOWN_TO_PYTE.sub(b"", terminal.output))
    rows = (shown.buffer[y] for y in range(terminal.size[1]))
    cells = (row[x] for row in rows for x in range(terminal.size[0]))
    return "".join(cell.data for cell in cells if cell.bg in (RED, "red", "brightred"))


@pytest.fixture
def tagged(program: Program) -> Program:
    text = program.shop_file.read_text(encoding="utf-8")
    program.shop_file.write_text(text.replace('colours = "dark"\n', ""), encoding="utf-8")
    with closing(open_journal(program.journal_file, utc_now)) as journal:
        record_tag("planer", "a pawl is missing", journal)
    return program


@pytest.mark.parametrize(
    "environment",
    [{}, {"TERM": "linux", "COLORTERM": ""}, {"TERM": "vt100", "COLORTERM": ""}, {"NO_COLOR": "1"}],
    ids=["colour", "16", "mono", "NO_COLOR"],
)
def test_do_not_use_stands_first_in_words_and_shape_with_and_without_red(
    tagged: Program, environment: dict[str, str]
) -> None:
    with tagged.start((80, 24), **environment) as terminal:
        rows = screen(terminal)
        red = red_text(terminal)
    assert "1 DO NOT USE · nothing checked yet" in rows[0]
    assert "3 PLANER   ╳  DO NOT USE" in rows[1]
    assert "a pawl is missing" in rows[2]
    if "NO_COLOR" in environment or environment.get("TERM") == "vt100":
        assert red == ""
        assert not re.search(rb"\x1b\[(?:[0-9;]*;)?[34][0-9][0-9;]*m", terminal.output)
    else:
        assert "a pawl is missing" in red
        assert "Table saw" not in red


def test_killed_in_mid_round_it_goes_on_at_the_same_question(program: Program) -> None:
    with program.start() as terminal:
        for key in "s214":
            terminal.settle_and_read()
            terminal.send(key.encode())
        assert says(terminal, "Move the guard as the work would")
        terminal.send(b"3")
        assert says(terminal, "Not right. Guard: it is off.")
        terminal.signal(signal.SIGKILL)
        assert terminal.wait() == -signal.SIGKILL
    with program.start() as terminal:
        assert says(terminal, "go on with the daily safety walk of Table saw")
        for key in "s\r":
            terminal.settle_and_read()
            terminal.send(key.encode())
        assert says(terminal, "Not right. Guard: it is off.")
        terminal.send(b"1")
        assert says(terminal, "DO NOT USE: guard, it is off")
