"""The board in a real pseudo-terminal: what reaches the terminal, and how it is given back."""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path
from weakref import WeakKeyDictionary

import pytest

from shopboard.checks.registry import names
from shopboard.journal import NewEntry, new_uid, open_journal
from shopboard.open_shop import utc_now
from shopboard.shop.reader import read_shop
from shopboard.shop.short_names import short_names

pyte = pytest.importorskip("pyte")
pty = pytest.importorskip("pty", reason="this system has no pseudo-terminals")

from tests.board.test_path import READY, TO_CHECK  # noqa: E402
from tests.in_turn import few  # noqa: E402
from tests.terminal import BOARD, TOP, Terminal  # noqa: E402
from tests.two_shops import NAMES, written  # noqa: E402
from tests.whole_shop import WHOLE_SHOP  # noqa: E402

_UNKNOWN_TO_PYTE = re.compile(rb"\x1b\[[<>=][0-9;]*u|\x1b\[\?[0-9]+\$p|\x1b\]22;[^\x07]*\x07")

_KEYS = {"enter": "\r", "escape": "\x1b"}


_CUT_OFF = re.compile(rb"\x1b(\[[0-9;?<>=$]*|\][^\x07]*)?\Z")
"""A sequence whose end is still to come."""


class _Shown:
    """What a terminal shows by what came so far: each byte is read once."""

    def __init__(self, size: tuple[int, int]) -> None:
        self.screen = pyte.Screen(*size)
        self._stream, self._read = pyte.ByteStream(self.screen), 0

    def read(self, output: bytes) -> None:
        cut = _CUT_OFF.search(output, max(self._read, len(output) - 64))
        end = cut.start() if cut else len(output)
        self._stream.feed(_UNKNOWN_TO_PYTE.sub(b"", output[self._read : end]))
        self._read = end


_SHOWN: WeakKeyDictionary[Terminal, _Shown] = WeakKeyDictionary()


def screen(terminal: Terminal, quiet: float = 0.25) -> list[str]:
    """Wait until nothing moves; give the rows as a terminal shows them."""
    terminal.settle(quiet)
    shown = _SHOWN.setdefault(terminal, _Shown(terminal.size))
    shown.read(terminal.output)
    return [str(row) for row in shown.screen.display]


def text(terminal: Terminal) -> str:
    """Give what the terminal shows, as one line."""
    return " ".join(" ".join(screen(terminal)).split())


def says(terminal: Terminal, words: str, seconds: float = 15.0) -> bool:
    """Tell whether the terminal comes to show some words, over however many rows."""
    end = time.monotonic() + seconds
    while words not in text(terminal):
        if terminal.status is not None or time.monotonic() > end:
            return False
    return True


@dataclass
class Program:
    """The board as a program, with its files."""

    shop_file: Path
    journal_file: Path

    def __post_init__(self) -> None:
        """Begin the journal: the program makes none at a place that is named."""
        open_journal(self.journal_file, utc_now).close()

    def start(self, size: tuple[int, int] = (80, 24), **environment: str) -> Terminal:
        command = (*BOARD, "--shop", str(self.shop_file), "--journal", str(self.journal_file))
        terminal = Terminal(command, size, {"TZ": "UTC", **environment})
        last_row = b"\x1b[%d;1H" % size[1]
        terminal.until(lambda output: last_row in output)
        return terminal

    def in_mid_check(self) -> Terminal:
        """Start it and go to the question about light."""
        terminal = self.start()
        for key in (*TO_CHECK, *READY):
            terminal.settle_and_read()
            terminal.send(_KEYS.get(key, key).encode())
        assert says(terminal, "Look for light")
        return terminal


@pytest.fixture
def program(tmp_path: Path) -> Program:
    shutil.copyfile(WHOLE_SHOP, tmp_path / "shop.toml")
    return Program(tmp_path / "shop.toml", tmp_path / "journal.sqlite3")


@pytest.mark.parametrize("shop", ["metric", "combination"])
def test_another_shop_is_shown_killed_in_mid_check_and_goes_on(tmp_path: Path, shop: str) -> None:
    """Each of its machines is named, and its own words stand in the check."""
    program = Program(written(shop, tmp_path), tmp_path / "journal.sqlite3")
    with program.start() as terminal:
        shown = text(terminal)
    assert NAMES[shop] in shown
    for name in short_names(read_shop(program.shop_file, names()).shop.machines):
        assert name in shown
    with program.in_mid_check() as terminal:
        assert says(terminal, "blade plate")
        terminal.signal(signal.SIGKILL)
        assert terminal.wait() == -signal.SIGKILL
    goes_on(program)


def test_the_first_frame_says_the_name_of_the_shop_and_every_state(program: Program) -> None:
    with program.start() as terminal:
        rows = screen(terminal)
    assert "The old boathouse" in rows[0]
    assert "nothing checked yet" in rows[0]
    assert "1 SAW" in rows[1]
    assert "to check" in rows[2]
    assert "Enter" in rows[-1]


@pytest.mark.parametrize(
    "environment", [{"NO_COLOR": "1"}, {"TERM": "linux", "COLORTERM": ""}], ids=["plain", "linux"]
)
def test_fewer_colours_lose_no_word(program: Program, environment: dict[str, str]) -> None:
    with program.start() as terminal:
        coloured = screen(terminal)[1:]
        assert b"38;2;" in terminal.output
    with program.start((80, 24), **environment) as terminal:
        assert screen(terminal)[1:] == coloured
        if environment.get("TERM") == "linux":
            assert b"38;2;" not in terminal.output
            assert b"38;5;" not in terminal.output


@pytest.mark.parametrize("escape", few(["\\u001b]52;c;QQ==\\u0007", "\\u001b[2J", "\\u009b31m"], 2))
def test_no_byte_of_an_escape_in_the_shop_file_comes_out_raw(program: Program, escape: str) -> None:
    text = program.shop_file.read_text(encoding="utf-8")
    program.shop_file.write_text(text.replace("The old", f"The {escape}old"), encoding="utf-8")
    raw = escape.encode().decode("unicode_escape").encode()
    with program.start() as terminal:
        assert says(terminal, " error")
        assert raw not in terminal.output


def test_no_byte_of_an_escape_in_the_journal_or_a_path_comes_out_raw(tmp_path: Path) -> None:
    evil = "\x1b]52;c;QQ==\x07"
    folder = tmp_path / f"a{evil}b"
    folder.mkdir()
    program = Program(folder / "shop.toml", folder / "journal.sqlite3")
    with program.start() as terminal:
        assert says(terminal, "no shop file yet")
        assert evil.encode() not in terminal.output
    shutil.copyfile(WHOLE_SHOP, program.shop_file)
    with closing(open_journal(program.journal_file, utc_now)) as journal:
        body = {"v": 1, "what": evil, "method": evil}
        journal.append([NewEntry(new_uid(), "happening", "saw", "knocked", body)])
        journal.append([NewEntry(new_uid(), "begin", "saw", "blade", body)])
    with program.start() as terminal:
        for key in "1h":
            terminal.settle()
            terminal.send(key.encode())
        assert says(terminal, "<U+001B>]52;c;QQ==<U+0007>")
        assert evil.encode() not in terminal.output


@pytest.mark.parametrize(("number", "code"), few([(signal.SIGTERM, 143), (signal.SIGHUP, 129)], 2))
def test_told_to_stop_it_gives_the_terminal_back_and_the_check_waits(
    program: Program, number: int, code: int
) -> None:
    with program.in_mid_check() as terminal:
        before = len(terminal.output)
        terminal.signal(number)
        assert terminal.wait() == code
        after = terminal.output[before:]
    assert b"\x1b[?1049l" in after
    assert b"\x1b[?25h" in after
    assert b"Traceback" not in after
    goes_on(program)


def goes_on(program: Program) -> None:
    """Start anew: the check that was under way goes on at its step."""
    with program.start() as terminal:
        assert says(terminal, "go on with Blade at 90")
        terminal.send(b"0")
        assert says(terminal, "Look for light")


def test_killed_in_mid_check_it_goes_on_at_the_same_step(program: Program) -> None:
    with program.in_mid_check() as terminal:
        terminal.signal(signal.SIGKILL)
        assert terminal.wait() == -signal.SIGKILL
    goes_on(program)


def test_two_keys_in_one_write_answer_nothing(program: Program) -> None:
    """As a glove strikes them; a number and its Enter in one write are taken, as from a gauge."""
    with program.in_mid_check() as terminal:
        terminal.settle_and_read()
        terminal.send(b"12")
        assert says(terminal, "two keys at once: neither counts")
        assert says(terminal, "Look for light")
        terminal.settle_and_read()
        terminal.send(b"1")
        terminal.settle_and_read()
        terminal.send(b"3")
        terminal.settle_and_read()
        terminal.send(b".012\r")
        assert says(terminal, "thinnest that won't go")
        terminal.send(b".015\r\n")
        assert says(terminal, "As found.")
        assert "Recorded" not in text(terminal)


def test_ctrl_c_kills_nothing_and_q_leaves(program: Program) -> None:
    with program.in_mid_check() as terminal:
        terminal.send(b"\x03")
        assert says(terminal, "Ctrl+C does not stop the board")
        assert says(terminal, "Look for light")
        for key in (b"\x1b", b"-", b"-"):
            terminal.send(key)
            terminal.settle(0.3)
        terminal.send(b"q")
        assert terminal.wait() == 0
    assert b"\x1b[?1049l" in terminal.output


def test_without_a_terminal_it_prints_the_plain_status(program: Program, tmp_path: Path) -> None:
    done = subprocess.run(
        [*BOARD, "--shop", str(program.shop_file), "--journal", str(program.journal_file)],
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        cwd=TOP,
        env={"HOME": str(tmp_path), "PATH": ""},
    )
    assert done.returncode == 0
    lines = done.stdout.decode().splitlines()
    assert len([line for line in lines if line.startswith("unproven ")]) == 8
    assert b"\x1b" not in done.stdout
    why = "shopboard: stdin is no terminal, so there is no board; this is the plain status."
    assert done.stderr.decode().splitlines()[0] == why
    assert sys.executable in BOARD


def drawn_by(terminal: Terminal, do: Callable[[], object]) -> int:
    """Do something; give how often the last row is drawn after it."""
    terminal.settle_and_read()
    before = len(terminal.output)
    do()
    terminal.settle_and_read()
    return terminal.output.count(b"\x1b[%d;1H" % terminal.size[1], before)


def test_a_screen_that_comes_up_or_back_is_drawn_once(program: Program) -> None:
    with program.start() as terminal:
        for key in TO_CHECK[:-1]:
            terminal.settle_and_read()
            terminal.send(key.encode())
        assert drawn_by(terminal, lambda: terminal.send(TO_CHECK[-1].encode())) == 1
        assert says(terminal, "Unplug the machine")
        assert drawn_by(terminal, lambda: terminal.send(b"-")) == 1
        assert says(terminal, "Nothing was measured")
