"""How long a task under way must still be left alone.

A wait's clock is the time at which the step before it was recorded, so it runs on while nobody
looks, and over a restart.
"""

from __future__ import annotations

import math
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


PATIENCE = 10.0
"""Minutes that any wait may be planned longer than it says, and a longer one by half of it. (our
choice, no source)"""

_TOO_LONG = 15.0
"""Minutes after which one that went on longer than it says is told as too long, a longer one after
as long again: wax that hazes cannot be buffed off hours later. (common practice, no source)"""


def patience(wait: float, at_most: float | None = None) -> float:
    """Give how many minutes more a wait may be planned than it says.

    Args:
        wait: minutes that it says.
        at_most: minutes that it may last at the longest; None: nothing is said of that.
    """
    return max(PATIENCE, wait / 2) if at_most is None else max(at_most - wait, 0.0)


def ran_over(wait: float, seconds: float, at_most: float | None = None) -> bool:
    """Tell whether something was left alone for longer than it may be.

    Args:
        wait: minutes that it says.
        seconds: how long it still takes; below 0 since it is over.
        at_most: minutes that it may last at the longest; None: nothing is said of that.
    """
    most = max(_TOO_LONG, wait) if at_most is None else patience(wait, at_most)
    return -seconds / 60 > most


def too_long_by(wait: float, seconds: float, at_most: float | None = None) -> float:
    """Give the minutes, at least one, by which something was left alone too long.

    Args:
        wait: minutes that it says.
        seconds: how long it still takes; below 0 since it is over.
        at_most: minutes that it may last at the longest; None: it counts from its end.
    """
    patient = 0.0 if at_most is None else patience(wait, at_most)
    return max((-seconds - patient * 60) // 60, 1.0)


def left_words(
    words: str, seconds: float, wait: float = math.inf, at_most: float | None = None
) -> str:
    """Say how long a wait still takes: ``Soak: 6 min left``, ``time is up``, ``14 h too long``.

    Args:
        words: of the step before it.
        seconds: how long it still takes.
        wait: minutes that it says.
        at_most: minutes that it may last at the longest; None: nothing is said of that.
    """
    if ran_over(wait, seconds, at_most):
        return f"{words}: {_long(too_long_by(wait, seconds, at_most))} too long"
    if seconds <= 0:
        return f"{words}: time is up"
    return f"{words}: {_long(-(-seconds // 60))} left"


def _long(minutes: float) -> str:
    return f"{minutes / 60:.0f} h" if minutes >= 120 else f"{minutes:.0f} min"
