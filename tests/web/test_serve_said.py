"""What `shopboard serve` says on its own terminal: where it is, and why it cannot be."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
from pathlib import Path

import pytest

from tests.own_folders import own_folders
from tests.terminal import TOP
from tests.two_shops import METRIC
from tests.web.serving import free_port


def serve(folder: Path, *words: str, journal: str = "") -> subprocess.Popen[str]:
    """Begin to serve a shop."""
    shop = folder / "shop.toml"
    shop.write_text(METRIC, encoding="utf-8")
    files = ("--shop", str(shop), "--journal", journal or str(folder / "journal"), "--new-journal")
    kept = {"PATH": os.environ.get("PATH", ""), "PYTHONPATH": str(TOP)}
    return subprocess.Popen(
        (sys.executable, "-m", "shopboard", *files, "serve", *words),
        env={**kept, **own_folders(folder / "home")},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )


def test_a_port_that_is_taken(tmp_path: Path) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        taken.listen()
        port = taken.getsockname()[1]
        out, told = serve(tmp_path, "--port", str(port)).communicate(timeout=60)
    assert out == ""
    assert told == (
        f"shopboard: port {port} on 127.0.0.1 cannot be had: Address already in use.\n"
        "--port N takes another one.\n"
    )


@pytest.mark.parametrize("address", ["203.0.113.9", "no such place", "300.1.1.1"])
def test_an_address_that_is_not_of_this_computer(tmp_path: Path, address: str) -> None:
    """203.0.113.0/24 is nobody's (RFC 5737)."""
    process = serve(tmp_path, "--on", address, "--port", str(free_port()))
    out, told = process.communicate(timeout=60)
    assert (process.returncode, out, told.count("\n")) == (2, "", 1)
    assert f"on {address} cannot be had" in told


def test_a_journal_out_of_reach_is_told_beside_the_address(tmp_path: Path) -> None:
    """Nobody answers at a port that nothing has."""
    pytest.importorskip("psycopg")
    away = f"postgresql://bench@127.0.0.1:{free_port()}/shop"
    process = serve(tmp_path, "--port", str(free_port()), journal=away)
    assert process.stdout is not None
    assert process.stderr is not None
    assert process.stdout.readline().startswith("The board is at http://127.0.0.1:")
    assert "it shows no shop yet. The server of the journal" in process.stderr.readline()
    process.send_signal(signal.SIGINT)
    process.communicate(timeout=60)
    assert process.returncode == 0


@pytest.mark.skipif(not hasattr(os, "nice"), reason="turns are given by POSIX")
def test_noise_leaves_its_terminal_and_the_bench_alone(tmp_path: Path) -> None:
    """Nothing that comes from outside is written there, and it has its turn after the board."""
    port = free_port()
    process = serve(tmp_path, "--on", "127.0.0.1", "--port", str(port))
    assert process.stdout is not None
    assert (
        process.stdout.readline() == f"The board is at http://127.0.0.1:{port}/ (Ctrl+C ends it).\n"
    )
    assert os.getpriority(os.PRIO_PROCESS, process.pid) >= 5
    for sent in (b"\x16\x03\x01\x02\x00", b"\x00" * 9_000, b"GET /\x1b[2J HTTP/1.1\r\n\r\n", b""):
        with socket.create_connection(("127.0.0.1", port), timeout=20) as line:
            line.sendall(sent + b"\r\n\r\n")
            while line.recv(4_096):
                pass
    process.send_signal(signal.SIGINT)
    out, told = process.communicate(timeout=60)
    assert (process.returncode, out) == (0, "")
    assert told == (
        "A device pairs by a code of 8 digits: on this computer `b` on the board, or"
        " `shopboard devices --code`.\n"
    )
