"""The times of a settled day by now, where nobody said what one was at. Pure."""

from __future__ import annotations

from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.past_closing import spoilt
from shopboard.prep.pause import LATE, LONG
from shopboard.prep.plan import PlanLine
from shopboard.prep.timing import Settled, all_timed
from shopboard.standing.model import ShopStanding

_MINUTE = timedelta(minutes=1)


class ByNow(NamedTuple):
    """A day's pieces with their times."""

    lines: tuple[PlanLine, ...]
    finish: datetime
    quiet: datetime | None
    """Since when nothing was recorded, where one may have been away; None: one was not."""


def by_now(
    settled: Settled, standing: ShopStanding, newest: datetime | None, now: datetime
) -> ByNow:
    """Give each piece its time; what comes after a pause begins now, as does what spoils.

    Args:
        settled: the day.
        standing: of the shop.
        newest: when anything was recorded last.
        now: the time.
    """
    lines, finish = all_timed(settled, now)
    late = lines[0].late if lines else 0.0
    is_quiet = newest is not None and now - newest >= LONG and late >= LATE
    if is_quiet or (lines and lines[0].piece.id == spoilt(standing, now)):
        away = max((now - settled.asked.zero) / _MINUTE, 0.0)
        lines, finish = all_timed(settled, now, away)
    elif newest is not None and lines and lines[0].silent:  # since then, be there a pause between
        lines = (lines[0]._replace(silent=(now - newest) / _MINUTE), *lines[1:])
    return ByNow(lines, finish, newest if is_quiet else None)
