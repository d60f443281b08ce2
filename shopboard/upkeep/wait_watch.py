"""How long a task under way must still be left alone.

A wait's clock is the time at which the step before it was recorded, so it runs on while nobody
looks, and over a restart.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime

from shopboard.upkeep.begun import Begun


class WaitWatch:
    """Tells how long a wait still takes, also where the computer's clock stands or goes back.

    A clock that lags would make a wait longer than it is; so what has gone by since this program
    first saw it counts, too.
    """

    def __init__(self, clock: Callable[[], datetime], seconds: Callable[[], float]) -> None:
        """Set it going.

        Args:
            clock: gives the computer's time.
            seconds: gives seconds that never go back, from any start.
        """
        self._clock = clock
        self._seconds = seconds
        self._seen: dict[tuple[str, datetime], float] = {}

    def left(self, begun: Begun) -> float | None:
        """Give the seconds that a wait still takes, 0 or less when it is over; None without one."""
        if not begun.wait or begun.since is None:
            return None
        now = self._seconds()
        seen = self._seen.setdefault((begun.uid, begun.since), now)
        gone = max((self._clock() - begun.since).total_seconds(), now - seen)
        return begun.wait * 60 - gone


def left_words(words: str, seconds: float) -> str:
    """Say how long a wait still takes: ``Soak: 6 min left``, ``Soak: time is up``."""
    if seconds <= 0:
        return f"{words}: time is up"
    minutes = -(-seconds // 60)
    if minutes >= 120:
        return f"{words}: {seconds / 3600:.0f} h left"
    return f"{words}: {minutes:.0f} min left"
