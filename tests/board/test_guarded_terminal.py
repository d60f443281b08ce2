"""No byte, fault, signal or loss of the terminal leaves it or the board in a bad state.

The sequences are those of ECMA-48, of xterm's bracketed paste and window reports, and of the key
codes of terminals that send them as ``CSI number u``, with numbers that no sender should use.
"""

from __future__ import annotations

import os
import pty
import shutil
import signal
import stat
import sys
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest
from textual._xterm_parser import XTermParser
from textual.message import Message

from shopboard.board.keys_in import KeysIn
from shopboard.locations import sample_path
from tests.board.test_path import READY, TO_CHECK
from tests.board.test_terminal import says, screen
from tests.campaigns import hostile_terminal
from tests.terminal import BOARD, TOP, Terminal

_KEYS = {"enter": "\r", "escape": "\x1b"}

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
    self.app._driver._file._file = None
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


class Bench:
    """A shop and a journal on which the board is started."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.shop_file = folder / "shop.toml"
        self.journal_file = folder / "journal.sqlite3"
        shutil.copyfile(sample_path(), self.shop_file)

    def start(self, code: str = "", **environment: str) -> Terminal:
        """Start the board, or some code in its place; do not wait for its first picture."""
        program = (sys.executable, "-c", code) if code else BOARD
        files = ("--shop", str(self.shop_file), "--journal", str(self.journal_file))
        home = {"HOME": str(self.folder), "XDG_STATE_HOME": str(self.folder / "state")}
        return Terminal((*program, *files), (80, 24), {"TZ": "UTC", **home, **environment})

    def stand(self, code: str = "") -> Terminal:
        """Start the board; wait for its first picture."""
        terminal = self.start(code)
        terminal.until(lambda output: b"\x1b[24;1H" in output)
        terminal.settle()
        return terminal

    @property
    def report(self) -> Path:
        """Where the report of a crash is."""
        return self.folder / "state" / "shopboard" / "log" / "crash.txt"


@pytest.fixture
def bench(tmp_path: Path) -> Bench:
    return Bench(tmp_path)


def is_given_back(output: bytes) -> bool:
    """Tell whether all that was asked of the terminal was taken back, the screen last."""
    on = (b"\x1b[?1049h", b"\x1b[?25l", b"\x1b[?2004h", b"\x1b[?1004h", b"\x1b[?7l", b"\x1b[>25u")
    off = (b"\x1b[?1049l", b"\x1b[?25h", b"\x1b[?2004l", b"\x1b[?1004l", b"\x1b[?7h", b"\x1b[<u")
    return all(output.rfind(a) < output.rfind(b) for a, b in zip(on, off, strict=True))


@pytest.mark.parametrize("what", HOSTILE)
def test_no_byte_ends_the_board_or_leaves_it_deaf(bench: Bench, what: str) -> None:
    with bench.stand() as terminal:
        before = screen(terminal)
        terminal.send(HOSTILE[what])
        terminal.settle(1.3)
        assert screen(terminal) == before
        terminal.send(b"?")
        assert says(terminal, "Leave the board.")
        terminal.send(b"-")
        terminal.settle()
        terminal.send(b"q")
        assert terminal.wait() == 0
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


def test_a_slice_of_the_campaign_fails_nowhere() -> None:
    assert list(hostile_terminal.failures(seed=11, count=4000)) == []


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
    seen = "\n".join(hostile_terminal.failures(seed=11, count=400))
    assert "OverflowError" in seen or "chr()" in seen
    assert "and a key after it gives []" in seen


def press(terminal: Terminal, *keys: str) -> None:
    """Press keys as a person does, looking before each."""
    for key in keys:
        terminal.settle_and_read()
        terminal.send(_KEYS.get(key, key).encode())
    terminal.settle_and_read()


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
    assert after.count("stopped by an error of its own") == 1
    assert "Traceback" not in after
    assert after.count("\n") == 1
    assert str(bench.report) in after
    assert stat.S_IMODE(bench.report.stat().st_mode) == 0o600
    assert "Traceback" in bench.report.read_text(encoding="utf-8")


@pytest.mark.parametrize("where", ["get_default_screen", "on_mount", "__init__"])
def test_a_fault_at_the_start_is_told_just_so(bench: Bench, where: str) -> None:
    code = f"{_HEAD}def fault(*_): 1 / 0\nBoardApp.{where} = fault\nconsole()"
    with bench.start(code) as terminal:
        assert terminal.wait() == 70
        assert is_given_back(terminal.output) or b"\x1b" not in terminal.output
        assert terminal.output.count(b"stopped by an error of its own") == 1
        assert b"Traceback" not in terminal.output
    assert bench.report.exists()


def test_a_report_that_cannot_be_written_is_said_to_be_missing(bench: Bench) -> None:
    bench.report.mkdir(parents=True)
    with bench.stand(f"{_HEAD}{FAULTS['a key']}{_TAIL}") as terminal:
        terminal.send(b"?")
        assert terminal.wait() == 70
        assert b"could not be written to" in terminal.output


STOPS = [(signal.SIGINT, 130), (signal.SIGQUIT, 131), (signal.SIGTERM, 143), (signal.SIGHUP, 129)]


@pytest.mark.parametrize(("number", "code"), STOPS)
def test_every_signal_gives_the_terminal_back(bench: Bench, number: int, code: int) -> None:
    with bench.stand() as terminal:
        terminal.signal(number)
        assert terminal.wait() == code
        assert is_given_back(terminal.output)
        assert b"Traceback" not in terminal.output


HOLD = """\
import time
usual = BoardApp.{where}
def held(*all):
    print("here", flush=True)
    time.sleep(0.7)
    return usual(*all)
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


@pytest.mark.parametrize(("number", "code"), STOPS)
@pytest.mark.parametrize("where", ["__init__", "on_mount"])
def test_a_signal_while_it_starts_is_obeyed(
    bench: Bench, where: str, number: int, code: int
) -> None:
    with bench.start(f"{_HEAD}{HOLD.format(where=where)}") as terminal:
        if where == "__init__":
            terminal.until(lambda output: b"here" in output)
        else:  # what is printed on the board is not shown
            terminal.until(lambda output: b"\x1b[?2004h" in output)
        terminal.signal(number)
        assert terminal.wait() == code
        assert is_given_back(terminal.output) or b"\x1b" not in terminal.output
        assert b"Traceback" not in terminal.output


@pytest.mark.parametrize(("number", "code"), STOPS)
def test_a_signal_in_a_call_that_never_returns_is_obeyed(
    bench: Bench, number: int, code: int
) -> None:
    """As a query that goes round for ever: nothing of Python runs in the main thread."""
    query = "WITH RECURSIVE n(i) AS (VALUES(1) UNION ALL SELECT i + 1 FROM n) SELECT sum(i) FROM n"
    fault = f"import sqlite3\ndef fault(self): sqlite3.connect(':memory:').execute('''{query}''')"
    with bench.stand(f"{_HEAD}{fault}{_TAIL}") as terminal:
        terminal.send(b"?")
        terminal.settle(0.5)
        terminal.signal(number)
        assert terminal.wait() == code
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
