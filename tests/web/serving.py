"""`shopboard serve` as a program of its own, that can be killed and started again."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
from pathlib import Path

from tests.own_folders import own_folders
from tests.terminal import TOP
from tests.two_shops import METRIC


def free_port() -> int:
    """Give a port that nobody has."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


class ServedShop:
    """A shop in a folder of its own, and the program that serves it."""

    def __init__(self, folder: Path, shop: str = METRIC) -> None:
        self.shop, self.journal = folder / "shop.toml", folder / "journal"
        self.shop.write_text(shop, encoding="utf-8")
        self.port = free_port()
        self.url = f"http://127.0.0.1:{self.port}/"
        home = folder / "home"
        home.mkdir()
        inherited = {name: os.environ[name] for name in ("PATH",) if name in os.environ}
        self.environment = {**inherited, **own_folders(home), "PYTHONPATH": str(TOP)}
        self._process: subprocess.Popen[str] | None = None

    @property
    def files(self) -> tuple[str, ...]:
        """The words that name shop and journal."""
        return ("--shop", str(self.shop), "--journal", str(self.journal))

    def run(self, *words: str) -> subprocess.CompletedProcess[str]:
        """Run another command on it, to its end."""
        command = (sys.executable, "-m", "shopboard", *self.files, *words)
        return subprocess.run(
            command, env=self.environment, capture_output=True, text=True, check=False, timeout=60
        )

    def start(self, *words: str) -> str:
        """Serve it; give what the program says once it can be reached."""
        command = (sys.executable, "-m", "shopboard")
        self._process = subprocess.Popen(
            (*command, *self.files, "--new-journal", "serve", "--port", str(self.port), *words),
            env=self.environment,
            stdout=subprocess.PIPE,
            text=True,
        )
        assert self._process.stdout is not None
        return self._process.stdout.readline()

    def tell(self, number: int) -> None:
        """Send the program a signal that does not end it."""
        assert self._process is not None
        self._process.send_signal(number)

    def stop(self, number: int = signal.SIGTERM) -> int:
        """End the program; give its exit code."""
        if self._process is None:
            return 0
        process, self._process = self._process, None
        process.send_signal(number)
        code = process.wait(30)
        assert process.stdout is not None
        process.stdout.close()
        return code


def until(holds: object, seconds: float = 20.0) -> None:
    """Wait until something holds."""
    assert callable(holds)
    end = time.monotonic() + seconds
    while not holds():
        assert time.monotonic() < end, "it did not come to be so"
        time.sleep(0.05)
