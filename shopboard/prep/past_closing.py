"""For what one stays on after closing: what is in hand, and what it harms to leave. Pure."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.open_shop import OpenShop
from shopboard.prep.pieces import minutes_of_part, piece_id, stretches
from shopboard.prep.schedule.job import Job
from shopboard.prep.time_had import TimeHad, Window, windows
from shopboard.shop.machine import Task
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.wait_watch import patience

PAST = 10.0
"""Minutes that one stays on after closing, or after the time that was said, to finish what is in
hand, or what would be spoilt by the time one is there again. (our choice, no source)"""

INTO_PAUSE = 5.0
"""Minutes that one stays on into a pause of the day, with whatever there is to do. (our choice, no
source)"""

_MINUTE = timedelta(minutes=1)


def stays_for(
    jobs: Iterable[Job], in_hand: Sequence[str], spans: Sequence[tuple[float, float]]
) -> dict[str, float]:
    """Give the jobs for which one stays on in the first window, with the most minutes for each.

    Where there is no later window, what is in hand is gone on with for as long as it takes.

    Args:
        jobs: of the day.
        in_hand: ids of what one is at.
        spans: the windows, minutes from the zero of the day.
    """
    most = PAST if len(spans) > 1 else math.inf
    back = spans[1][0] if len(spans) > 1 else math.inf
    runs = (job for job in jobs if job.harms and not any(lag for _, lag in job.after))
    lasts = {job.id: job.ready + job.patience for job in runs}
    return {
        **dict.fromkeys(in_hand, most),
        **{name: PAST for name, last in lasts.items() if 0 < last < back and name not in in_hand},
    }


class Spoils(NamedTuple):
    """A wait that runs, and that it harms to leave."""

    over: datetime
    last: datetime
    """When it is left too long."""
    minutes: float
    """Of what ends it."""
    piece: str
    """Id of that piece."""
    machine: str
    """Id of its machine."""
    task: Task
    step: int
    """Number of the step that ends it, from 1."""

    @property
    def at_most(self) -> float | None:
        """How long it may last at the longest, minutes; None: nothing is said of that."""
        return self.task.steps[self.step - 2].at_most_minutes


def still_there(standing: ShopStanding, closed: Window, back: Window | None, now: datetime) -> bool:
    """Tell whether one is still there for a wait although it is past closing.

    Args:
        standing: of the shop.
        closed: the window that is over.
        back: the next one; None: there is none.
        now: the time.
    """
    end = closed.end if closed.end is not None else now
    return any(
        now < one.last
        and (back is None or one.last < back.start)
        and max(now, one.over) + one.minutes * _MINUTE <= end + PAST * _MINUTE
        for one in _what_spoils(standing)
    )


def with_closed(
    open_shop: OpenShop, found: tuple[Window, ...], had: TimeHad, since: datetime
) -> tuple[Window, ...]:
    """Keep the window that was over just now, where one is still there for a wait.

    Args:
        open_shop: the shop.
        found: the time one has from now on.
        had: what was said of it.
        since: when.
    """
    now = open_shop.now()
    before = windows(had, open_shop.shop.hours, now - PAST * _MINUTE, since)[:1]
    end = before[0].end if before else None
    back = found[0] if found else None
    if end is None or end > now or not still_there(open_shop.standing, before[0], back, now):
        return found
    return (*before, *found)


def _what_spoils(standing: ShopStanding) -> Iterator[Spoils]:
    for machine in standing.machines:
        for task, begun in ((one.task, one.begun) for one in machine.tasks):
            if machine.tag or begun is None or not begun.same or not begun.wait:
                continue
            first, last = stretches(task, begun.steps)[0]
            most = task.steps[first - 2].at_most_minutes
            if begun.since is None or first > last or (most is None and task.leaves != "wax"):
                continue
            over = begun.since + begun.wait * _MINUTE
            too_long = over + patience(begun.wait, most) * _MINUTE
            ends = piece_id(machine.machine.id, task, first)
            minutes = minutes_of_part(task, first, last)
            yield Spoils(over, too_long, minutes, ends, machine.machine.id, task, first)


def over_by(standing: ShopStanding, moment: datetime) -> Spoils | None:
    """Give the wait that it harms to leave and that is over by a moment: the most pressing one.

    Args:
        standing: of the shop.
        moment: what is begun now would be done by then.
    """
    found = [one for one in _what_spoils(standing) if one.over <= moment]
    return min(found, key=lambda one: one.last, default=None)


def spoilt(standing: ShopStanding, now: datetime) -> str:
    """Give the id of the piece that ends what is left too long already, the worst one's.

    Empty: nothing is. It comes before what one is at: each minute more harms.
    """
    gone = [one for one in _what_spoils(standing) if one.last < now]
    return min(gone, key=lambda one: one.last).piece if gone else ""
