"""Hears a gauge: opens its port, reads its lines, and says what is the matter while it cannot.

pyserial is imported in the thread, so that no picture waits for it.
"""

from __future__ import annotations

import errno
import os
import time
from collections.abc import Callable
from importlib import import_module
from threading import Event, Thread
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.gauge_line import GaugeLines, GaugeReading, reading_of, shown
from shopboard.shop.gauge import Gauge

AGAIN_AFTER = 1.0
"""Seconds after which a port is tried again that could not be opened, or was unplugged."""

ASK_EVERY = 0.3
"""Seconds between two times that a gauge is asked which wants that."""

REST = 0.02
"""Seconds between two reads: one that sends without end holds no key up."""

MOST = 4096
"""Bytes of one read."""

NO_SERIAL = "needs pyserial: .venv/bin/pip install '.[gauge]'"

_LOCKED = (errno.EAGAIN, errno.EACCES, errno.EBUSY)


class Heard(NamedTuple):
    """What was heard of a gauge by now."""

    trouble: str = ""
    """Why nothing is heard of it; empty: it can be heard."""
    reading: GaugeReading | None = None
    """The newest."""
    at: float = 0.0
    """When it came, in seconds."""
    number: int = 0
    """How many came before it."""


class Listening:
    """One gauge, heard until it is told to end."""

    def __init__(
        self, gauge: Gauge, unit: str, monotonic: Callable[[], float] = time.monotonic
    ) -> None:
        """Hear a gauge.

        Args:
            gauge: what is plugged in where.
            unit: of a number without one: ``in`` or ``mm``.
            monotonic: gives seconds.
        """
        self.gauge = gauge
        self._unit = unit
        self._monotonic = monotonic
        self._heard = Heard("looked for")
        self._over = Event()
        self._thread = Thread(target=self._run, name=f"gauge {gauge.id}", daemon=True)

    @property
    def heard(self) -> Heard:
        """What was heard by now; asked for from any thread."""
        return self._heard

    def begin(self) -> None:
        """Begin to listen."""
        self._thread.start()

    def end(self, wait: float = 2.0) -> None:
        """Let go of the port, within some seconds."""
        self._over.set()
        self._thread.join(wait)

    def _run(self) -> None:
        try:
            serial: Any = import_module("serial")
        except ImportError:
            self._heard = Heard(NO_SERIAL)
            return
        only_ours = {"exclusive": True} if os.name == "posix" else {}
        while not self._over.is_set():
            opened = False
            try:
                with serial.Serial(
                    self.gauge.port, self.gauge.speed, timeout=0.1, write_timeout=1.0, **only_ours
                ) as port:
                    opened = True
                    self._hear(port)
            except (serial.SerialException, OSError, ValueError, TypeError) as error:
                # what a driver raises while its device goes is not only what it declares
                trouble = "unplugged" if opened else self._why_not(error)
                self._heard = self._heard._replace(trouble=trouble, reading=None)
                self._over.wait(AGAIN_AFTER)

    def _hear(self, port: Any) -> None:
        """Read lines until the port fails or nobody listens."""
        lines, asked = GaugeLines(), -ASK_EVERY
        self._heard = self._heard._replace(trouble="", reading=None)
        port.reset_input_buffer()  # what it sent while nobody asked is no reading of now
        while not self._over.is_set():
            now = self._monotonic()
            if self.gauge.ask and now - asked >= ASK_EVERY:
                port.write(f"{self.gauge.ask}\r".encode())
                asked = now
            for line in lines.feed(port.read(min(max(port.in_waiting, 1), MOST)))[-1:]:
                self._take(line)
            self._over.wait(REST)

    def _take(self, line: str) -> None:
        reading = reading_of(line, self.gauge.form, self.gauge.unit or self._unit)
        if reading is None:
            trouble = f"sent {shown(line)!r}, which is no reading"
            self._heard = self._heard._replace(trouble=trouble, reading=None)
        else:
            self._heard = Heard("", reading, self._monotonic(), self._heard.number + 1)

    def _why_not(self, error: Exception) -> str:
        number = getattr(error, "errno", None)
        if "lock" in str(error) or (os.name == "nt" and number in _LOCKED):
            return f"another program has {self.gauge.port}"
        if number == errno.EACCES:
            return f"no right to open {self.gauge.port}"
        if number == errno.EBUSY:
            return f"another program has {self.gauge.port}"
        return f"not plugged in at {self.gauge.port}"
