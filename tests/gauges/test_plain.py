"""A gauge that types in plain lines: its line end of two characters answers once."""

from __future__ import annotations

import re
from contextlib import closing
from pathlib import Path

import pytest

from shopboard.journal import open_journal
from shopboard.open_shop import utc_now
from tests.board.standing import Bench
from tests.terminal import BOARD, Terminal


def asked(terminal: Terminal, before: int) -> str:
    """Wait for the next question; give all that was said since."""
    terminal.until(lambda output: output[before:].endswith(b"> "))
    return terminal.output[before:].decode()


@pytest.mark.parametrize("end", [b"\r", b"\r\n", b"\n"])
def test_each_line_of_a_gauge_answers_one_question(tmp_path: Path, end: bytes) -> None:
    bench = Bench(tmp_path)
    files = ("--shop", str(bench.shop_file), "--journal", str(bench.journal_file))
    command = (*BOARD, "check", "saw.blade", *files)
    with Terminal(command, (100, 40), {"HOME": str(tmp_path)}) as terminal:
        before = 0
        for answer in (b"1\r", b"\r", b"\r", b"1\r", b"3\r"):
            asked(terminal, before)
            before = len(terminal.output)
            terminal.send(answer)
        assert "thickest that goes" in asked(terminal, before)
        before = len(terminal.output)
        terminal.send(b"+0.0111 in" + end)
        assert "thinnest that won't go" in re.sub(r"\s+", " ", asked(terminal, before))
        terminal.settle(0.4)
        assert terminal.output.endswith(b"> ")
        with closing(open_journal(bench.journal_file, utc_now)) as journal:
            (begun,) = journal.open_checks()
            answers = [one.body.get("text") for one in journal.thread(begun.uid)]
        assert answers[-1] == "+0.0111 in"
