"""A gauge on a serial line: a pseudo-terminal, of which the board opens the other end."""

from __future__ import annotations

import os
import time
import tty
from collections.abc import Callable
from pathlib import Path


class OnALine:
    """A gauge that is plugged in at a path, unplugged and plugged in again."""

    def __init__(self, folder: Path) -> None:
        self.port = folder / "gauge"
        self._file, self._other = -1, -1

    def __enter__(self) -> OnALine:
        self.plug_in()
        return self

    def __exit__(self, *_: object) -> None:
        self.unplug()

    def plug_in(self) -> None:
        """Be there."""
        self._file, self._other = os.openpty()
        tty.setraw(self._other)
        os.set_blocking(self._file, False)
        self.port.unlink(missing_ok=True)
        self.port.symlink_to(os.ttyname(self._other))

    def unplug(self) -> None:
        """Be gone, in the middle of whatever it sends."""
        if self._file >= 0:
            self.port.unlink(missing_ok=True)
            os.close(self._file)
            os.close(self._other)
            self._file = -1

    def send(self, data: bytes) -> int:
        """Send bytes; give how many the line took."""
        try:
            return os.write(self._file, data)
        except BlockingIOError:
            return 0

    def asked(self) -> bytes:
        """Give what it was sent."""
        try:
            return os.read(self._file, 4096)
        except BlockingIOError:
            return b""


def waited(found: Callable[[], bool], seconds: float = 15.0) -> bool:
    """Wait for something that another thread does."""
    end = time.monotonic() + seconds
    while not found():
        if time.monotonic() > end:
            return False
        time.sleep(0.01)
    return True


def setting(port: Path, more: str = "") -> str:
    """Write the gauge into a shop file."""
    return f'\n[[gauge]]\nid = "line-dial"\nname = "Bench dial"\nport = "{port}"\n{more}\n'
