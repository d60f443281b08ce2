"""A task with a wait in a real terminal: killed outright, started again, on with the same clock."""

from __future__ import annotations

import signal
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from tests.board.workshop import SHOP

pytest.importorskip("pyte")
pytest.importorskip("pty", reason="this system has no pseudo-terminals")

from tests.board.test_terminal import Program, says
from tests.terminal import Terminal


@pytest.fixture
def loft(tmp_path: Path) -> Program:
    """A small workshop."""
    (tmp_path / "shop.toml").write_text(SHOP, encoding="utf-8")
    return Program(tmp_path / "shop.toml", tmp_path / "journal.sqlite3")


def press(terminal: Terminal, keys: str) -> None:
    for key in keys:
        terminal.settle_and_read()
        terminal.send(key.encode())


def kill(terminal: Terminal) -> None:
    terminal.signal(signal.SIGKILL)
    assert terminal.wait() == -signal.SIGKILL


def test_killed_in_a_wait_it_goes_on_with_the_same_clock(loft: Program) -> None:
    with loft.start() as terminal:
        press(terminal, "1t11\r\r")
        assert says(terminal, "Leave it; the timer keeps running")
        kill(terminal)
    with closing(open_journal(loft.journal_file, utc_now)) as journal:
        assert journal.verify() is None
        (begin,) = journal.machine_entries("task-begin", "saw")
        steps = journal.thread(begin.uid)
        assert [one.body["step"] for one in steps] == [1, 2]
    with loft.start() as terminal:
        assert says(terminal, "go on with Clean the blade")
        press(terminal, "0")
        assert says(terminal, "Leave it; the timer keeps running")
        assert says(terminal, "next: Scrub the teeth")
        press(terminal, "1")
        assert says(terminal, "Is the machine still unplugged?")
        kill(terminal)
    with loft.start() as terminal:
        press(terminal, "01\r\r")
        assert says(terminal, "Done and recorded: Clean the blade.")
        press(terminal, "q")
        assert terminal.wait() == 0


def test_the_bell_of_a_wait_reaches_the_terminal(loft: Program) -> None:
    """Once, wherever the person is on the board by then."""
    text = SHOP.replace("wait 10 min", "wait 0.1 min")
    loft.shop_file.write_text(text, encoding="utf-8")
    with loft.start() as terminal:
        press(terminal, "1t11\r\r")
        press(terminal, "\x1b")
        terminal.settle(0.3)
        before = terminal.output.count(b"\x07")
        terminal.until(lambda output: output.count(b"\x07") > before, 20)
        assert says(terminal, "Soak: time is up (Saw: Clean the blade).")
        terminal.settle(3.0, 5.0)
        assert terminal.output.count(b"\x07") == before + 1
