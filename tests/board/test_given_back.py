"""No fault, signal or loss of the terminal leaves it, or the board, in a bad state."""

from __future__ import annotations

import os
import pty
import signal
import stat
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest

from shopboard import __version__
from tests.board.standing import Bench, is_given_back
from tests.board.test_terminal import says
from tests.in_turn import few, in_turn
from tests.terminal import TOP, Terminal
from tests.two_shops import NAMES, SHOPS

FAULTS = {
    "a key": "def fault(self): raise ZeroDivisionError",
    "no memory": "def fault(self): raise MemoryError",
    "no end": "def fault(self): fault(self)",
    "an interrupt": "def fault(self): raise KeyboardInterrupt",
    "an exit": "def fault(self): raise SystemExit(0)",
    "a thread": "def fault(self): threading.Thread(target=lambda: 1 / 0).start()",
    "a worker": "def fault(self): self.run_worker(lambda: 1 / 0, thread=True)",
    "a timer": "def fault(self): self.set_timer(0.01, lambda: 1 / 0)",
    "the loop": "def fault(self): asyncio.get_running_loop().call_soon(lambda: 1 / 0)",
    "a task": """\
async def task(): 1 / 0
def fault(self): asyncio.ensure_future(task())""",
    "drawing": """\
def broken(*_): 1 / 0
def fault(self):
    type(self).body = broken
    self.repaint()""",
    "the reader": """\
def broken(*_): 1 / 0
def fault(self): keys_in.KeysIn.tick = broken""",
    "the writer": """\
def fault(self):
    self.app._driver._file._waiting = None
    self.say("something to draw")""",
}
"""What goes wrong when `?` is pressed."""

_HEAD = """\
import asyncio, threading
from shopboard.board import keys_in
from shopboard.board.app import BoardApp
from shopboard.board.screens.base import ShopScreen
from shopboard.cli import console
"""

_TAIL = """
ShopScreen.do_help = fault
console()
"""


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


@pytest.mark.parametrize("what", FAULTS)
def test_a_fault_of_any_kind_gives_the_terminal_back_and_says_so_once(
    bench: Bench, what: str
) -> None:
    with bench.stand(f"{_HEAD}{FAULTS[what]}{_TAIL}") as terminal:
        before = len(terminal.output)
        terminal.send(b"?")
        assert terminal.wait() == 70
        assert is_given_back(terminal.output)
        after = terminal.output[before:].rpartition(b"\x1b")[2].decode()
    assert after.count("stopped by a fault of its own") == 1
    assert "Traceback" not in after
    assert after.count("\n") == 1
    assert str(bench.report) in after
    assert stat.S_IMODE(bench.report.stat().st_mode) == 0o600
    report = bench.report.read_text(encoding="utf-8")
    assert f"shopboard {__version__}" in report
    assert "Traceback" in report


@pytest.mark.parametrize("where", ["get_default_screen", "on_mount", "__init__"])
def test_a_fault_at_the_start_is_told_just_so(bench: Bench, where: str) -> None:
    code = f"{_HEAD}def fault(*_, **__): 1 / 0\nBoardApp.{where} = fault\nconsole()"
    with bench.start(code) as terminal:
        assert terminal.wait() == 70
        assert is_given_back(terminal.output) or b"\x1b" not in terminal.output
        assert terminal.output.count(b"stopped by a fault of its own") == 1
        assert b"Traceback" not in terminal.output
    assert bench.report.exists()


@pytest.mark.parametrize("step", ["_enable_bracketed_paste", "_enable_line_wrap"])
def test_a_fault_halfway_in_taking_the_terminal_or_giving_it_back(bench: Bench, step: str) -> None:
    code = f"""{_HEAD}
from shopboard.board.terminal import ShopTerminal
def fault(*_, **__): 1 / 0
ShopTerminal.{step} = fault
console()"""
    with bench.start(code) as terminal:
        terminal.until(lambda output: b"\x1b[?1049h" in output)
        terminal.settle()
        if terminal.status is None:
            terminal.send(b"q")
        assert terminal.wait() == 70
        assert is_given_back(terminal.output)
        assert terminal.output.count(b"stopped by a fault of its own") == 1


def test_a_report_that_cannot_be_written_is_said_to_be_missing(bench: Bench) -> None:
    bench.report.mkdir(parents=True)
    with bench.stand(f"{_HEAD}{FAULTS['a key']}{_TAIL}") as terminal:
        terminal.send(b"?")
        assert terminal.wait() == 70
        assert b"could not be written to" in terminal.output


STOPS = [(signal.SIGINT, 130), (signal.SIGQUIT, 131), (signal.SIGTERM, 143), (signal.SIGHUP, 129)]
STOPS += [(one, 128 + one) for one in (signal.SIGABRT, signal.SIGUSR1, signal.SIGXCPU)]


@pytest.mark.parametrize(("stop", "shop"), few(in_turn(STOPS, [*SHOPS]), 2))
def test_every_signal_gives_the_terminal_back(
    tmp_path: Path, shop: str, stop: tuple[int, int]
) -> None:
    number, code = stop
    with Bench(tmp_path, shop).stand() as terminal:
        terminal.signal(number)
        assert terminal.wait() == code
        assert is_given_back(terminal.output)
        assert b"Traceback" not in terminal.output


HOLD = """\
import functools, time
usual = BoardApp.{where}
@functools.wraps(usual)
def held(*all, **named):
    print("here", flush=True)
    time.sleep(0.7)
    return usual(*all, **named)
BoardApp.{where} = held
console()
"""
"""Holds the start up at a place, so that a signal comes there."""


@pytest.mark.parametrize("at_the_start", [True, False])
def test_a_storm_of_interrupts_is_one(bench: Bench, at_the_start: bool) -> None:
    code = f"{_HEAD}{HOLD.format(where='__init__')}" if at_the_start else ""
    with bench.start(code) as terminal:
        seen = b"here" if at_the_start else b"\x1b[24;1H"
        terminal.until(lambda output: seen in output)
        for _ in range(200):
            with suppress(ProcessLookupError):
                terminal.signal(signal.SIGINT)
            time.sleep(0.001)
        assert terminal.wait() == 130
        assert is_given_back(terminal.output) or b"\x1b" not in terminal.output
        assert b"Traceback" not in terminal.output


@pytest.mark.parametrize(
    ("stop", "where"), few(in_turn([*STOPS[1:], *STOPS[:1]], ["__init__", "on_mount"]), 2)
)
def test_a_signal_while_it_starts_is_obeyed(
    bench: Bench, where: str, stop: tuple[int, int]
) -> None:
    number, code = stop
    with bench.start(f"{_HEAD}{HOLD.format(where=where)}") as terminal:
        if where == "__init__":
            terminal.until(lambda output: b"here" in output)
        else:  # what is printed on the board is not shown
            terminal.until(lambda output: b"\x1b[?2004h" in output)
        terminal.signal(number)
        assert terminal.wait() == code
        assert is_given_back(terminal.output) or b"\x1b" not in terminal.output
        assert b"Traceback" not in terminal.output


_ROUND = "WITH RECURSIVE n(i) AS (VALUES(1) UNION ALL SELECT i + 1 FROM n) SELECT sum(i) FROM n"
NEVER_RETURNS = {
    "waits": """\
import ctypes
def fault(self):
    lock, system = ctypes.create_string_buffer(256), ctypes.CDLL(None)
    system.pthread_mutex_init(lock, None)
    system.pthread_mutex_lock(lock)
    system.pthread_mutex_lock(lock)""",
    "goes round": f"""\
import sqlite3
from shopboard.board import stops
stops.GRACE = 0.5
def fault(self): sqlite3.connect(':memory:').execute('''{_ROUND}''')""",
}
"""A lock that the same thread holds, which costs nothing while it waits; a query without an end,
which keeps a processor busy for as long as is waited for it."""


@pytest.mark.parametrize(
    ("stop", "how"),
    [*((one, "waits") for one in few(STOPS, 3)), ((signal.SIGTERM, 143), "goes round")],
)
def test_a_signal_in_a_call_that_never_returns_is_obeyed(
    bench: Bench, stop: tuple[int, int], how: str
) -> None:
    """Nothing of Python runs in the main thread."""
    number, code = stop
    with bench.stand(f"{_HEAD}{NEVER_RETURNS[how]}{_TAIL}") as terminal:
        terminal.send(b"?")
        terminal.settle(0.5)
        terminal.signal(number)
        assert terminal.wait() == code
        assert is_given_back(terminal.output)


@pytest.mark.parametrize("shop", few(["metric", "sample", "combination"], 2))
def test_put_aside_it_gives_the_terminal_back_and_takes_it_again(tmp_path: Path, shop: str) -> None:
    with Bench(tmp_path, shop).stand() as terminal:
        terminal.signal(signal.SIGTSTP)
        terminal.settle(0.5)
        assert is_given_back(terminal.output)
        before = len(terminal.output)
        terminal.signal(signal.SIGCONT)
        terminal.until(lambda output: b"\x1b[24;1H" in output[before:])
        assert says(terminal, NAMES[shop])
        terminal.signal(signal.SIGTERM)
        assert terminal.wait() == 143
        assert is_given_back(terminal.output)


def test_a_terminal_that_takes_nothing_more_does_not_keep_the_board(bench: Bench) -> None:
    """Held still from outside, as by a line that is down."""
    with bench.stand() as terminal:
        for _ in range(60):
            terminal.send(b"?-\x1b[C\x1b[D")
        time.sleep(1.0)
        terminal.signal(signal.SIGTERM)
        end = time.monotonic() + 8
        while time.monotonic() < end and terminal.status is None:
            done, status = os.waitpid(terminal.pid, os.WNOHANG)  # what it drew stays unread
            terminal.status = os.waitstatus_to_exitcode(status) if done else None
            time.sleep(0.05)
        assert terminal.status == 143


def test_a_program_beside_that_lets_nothing_wait_does_not_end_the_board(bench: Bench) -> None:
    """As a job in the background may leave the terminal that it shares."""
    fault = "import os\ndef fault(self): os.set_blocking(0, False); os.set_blocking(1, False)"
    with bench.stand(f"{_HEAD}{fault}{_TAIL}") as terminal:
        terminal.send(b"?")
        for _ in range(40):  # more than the terminal holds while nobody reads it
            terminal.send(b"h")
            time.sleep(0.05)
            terminal.send(b"-")
            time.sleep(0.05)
        terminal.settle(0.5)
        before = len(terminal.output)
        for key in (b"h", b"-"):  # whichever of both screens it is on, one leads to the other
            terminal.send(key)
            terminal.settle(0.5)
        assert len(terminal.output) > before
        terminal.signal(signal.SIGTERM)
        assert terminal.wait() == 143
        assert is_given_back(terminal.output)


def test_a_terminal_that_is_closed_ends_the_board_in_order(bench: Bench) -> None:
    """Though the signal that it hung up is kept from it, as under a program that goes on."""
    inside, outside = pty.openpty()
    program = f"import signal; signal.signal(1, 1)\n{_HEAD}console()"
    files = ["--shop", str(bench.shop_file), "--journal", str(bench.journal_file)]
    environment = {
        "PATH": os.environ["PATH"],
        "HOME": str(bench.folder),
        "XDG_STATE_HOME": str(bench.folder / "state"),
        "TERM": "xterm-256color",
        "PYTHONPATH": str(TOP),
    }
    pid = os.posix_spawn(
        sys.executable,
        [sys.executable, "-c", program, *files],
        environment,
        file_actions=[(os.POSIX_SPAWN_DUP2, outside, number) for number in range(3)],
        setsid=True,
    )
    os.close(outside)
    seen = b""
    while b"\x1b[24;1H" not in seen and b"\x1b[25;1H" not in seen:
        seen += os.read(inside, 1 << 16)
    os.close(inside)
    end = time.monotonic() + 10
    done, status = os.waitpid(pid, os.WNOHANG)
    while not done and time.monotonic() < end:
        time.sleep(0.05)
        done, status = os.waitpid(pid, os.WNOHANG)
    if not done:
        os.kill(pid, signal.SIGKILL)
        os.waitpid(pid, 0)
    assert done
    assert os.waitstatus_to_exitcode(status) == 129
    assert not bench.report.exists()


def test_a_terminal_that_only_prints_gets_the_status_and_one_line_why(bench: Bench) -> None:
    with bench.start(TERM="dumb") as terminal:
        assert terminal.wait() == 0
        assert b"can only print (TERM=dumb), so there is no board" in terminal.output
        assert b"\x1b" not in terminal.output


def test_what_is_said_to_a_file_leaves_the_board_on_the_terminal(bench: Bench) -> None:
    files = f"--shop {bench.shop_file} --journal {bench.journal_file}"
    program = ("/bin/sh", "-c", f"exec {sys.executable} -m shopboard {files} 2>/dev/full")
    with Terminal(program, (80, 24), {"TZ": "UTC", "HOME": str(bench.folder)}) as terminal:
        terminal.until(lambda output: b"\x1b[24;1H" in output)
        assert says(terminal, "The old boathouse")
        terminal.send(b"q")
        assert terminal.wait() == 0
