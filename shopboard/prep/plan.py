"""A prep day as it lies ahead: pieces of work with their times, and when all is done."""

from __future__ import annotations

import math
from datetime import datetime, timedelta

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.at_risk import LeftPiece, as_jobs
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.pieces import Piece
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.time_had import Shut, Window
from shopboard.shop.project import Project

_MINUTE = timedelta(minutes=1)

WORKING_DAY = timedelta(hours=10)
"""A person does no more in one day. (common practice, no source)"""


class PlanLine(NamedTuple):
    """A piece of work with its place in the day."""

    piece: Piece
    start: datetime
    end: datetime
    change: float = 0.0
    """Minutes before it that the combination machine takes to be changed over to its mode."""
    idle: float = 0.0
    """Minutes before it with nothing to do but wait."""
    late: float = 0.0
    """Minutes that it has taken longer than it should, so far."""
    left: float = 0.0
    """Minutes that are left of one that is late."""
    opens: str = ""
    """Id of the machine whose cutter comes off with it; empty: none."""
    silent: float = 0.0
    """Minutes in which nothing was recorded, where it should be done by now and nothing says that
    it was begun."""
    is_held: bool = False
    """Whether it is begun later than it could be, lest the wait after it is left too long."""
    past: float = 0.0
    """Minutes by which it ends after the time in which one is there."""
    left_over: float = 0.0
    """Minutes by which the wait before it lasts longer than it says, where that is more than a
    little."""

    @property
    def begins(self) -> datetime:
        """When one goes at it: where the machine has to be changed over, with that."""
        return self.start - (self.change + self.idle) * _MINUTE if self.change else self.start

    def changing_over(self, now: datetime) -> bool:
        """Tell whether it is the change of mode before it that is to be done now."""
        return self.begins <= now < self.begins + self.change * _MINUTE

    @property
    def over(self) -> datetime | None:
        """When the wait after it is over; None: nothing is left alone."""
        return self.end + self.piece.wait * _MINUTE if self.piece.wait else None


class DayPlan(NamedTuple):
    """A prep day as it lies ahead now."""

    lines: tuple[PlanLine, ...]
    """In the order to do them."""
    finish: datetime
    now: datetime
    day: PrepDay | None = None
    """The day as it was begun; None: it is not begun."""
    project: Project | None = None
    left_out: tuple[str, ...] = ()
    """What is not in the plan or not kept in it, and why, in sentences."""
    bound: float = 0.0
    """Minutes: no plan for the same pieces can be shorter."""
    minutes: float = 0.0
    """Minutes that this one takes, as it was worked out."""
    open_now: str = ""
    """Id of the machine that stands open with its cutter out; empty: none."""
    stays_open: tuple[StaysOpen, ...] = ()
    """What no work of the day settles, each with what would."""
    away: float = 0.0
    """Minutes that one was away on this day, as one said."""
    quiet_since: datetime | None = None
    """Since when nothing was recorded, where one has to say whether one was away; else None.

    Until that is said the plan goes on from now."""
    left: tuple[LeftPiece, ...] = ()
    """What does not fit into the time one has, the most valuable first."""
    window: Window | None = None
    """The time from now on, or the next, in which one is there; None: there is none."""
    limited: bool = False
    """Whether that has an end."""
    goes: tuple[str, ...] = ()
    """Names of the project's joints that are GO, once nothing is left to do for it."""
    until: datetime | None = None
    """The end of the time that one said to have; None: nothing was said."""
    holds: tuple[str, ...] = ()
    """Which joints of the project stay on HOLD after all that is planned, in sentences."""
    shut: Shut = "closed"
    """Why nobody is there, where one is there again later."""
    today: tuple[Window, ...] = ()
    """That window and the later ones of the same day; between two of them is a pause."""
    closed: float = 0.0
    """Minutes between the end that was first said and this one in which the shop is closed, but for
    those that one was away."""

    @property
    def is_shortest(self) -> bool:
        """Whether it is proven that no plan for the same pieces takes less."""
        return self.minutes > 0 and math.isclose(self.bound, self.minutes, abs_tol=1e-6)

    @property
    def first(self) -> PlanLine | None:
        """What is to be done now, or after the wait that keeps from it."""
        return self.lines[0] if self.lines else None

    @property
    def hands_on(self) -> float:
        """Minutes of work that are left, waits not counted."""
        return sum(line.piece.minutes + line.change for line in self.lines)

    @property
    def jobs(self) -> int:
        """How many jobs are planned, counted as those that are left undone."""
        return len(as_jobs(line.piece for line in self.lines))

    @property
    def by_machine(self) -> tuple[tuple[str, float], ...]:
        """Ids of the machines, each with the minutes of work that are planned at it."""
        found: dict[str, float] = {}
        for line in self.lines:
            ident = line.piece.machine
            found[ident] = found.get(ident, 0.0) + line.piece.minutes + line.change
        return tuple(found.items())

    @property
    def order(self) -> tuple[str, ...]:
        """Ids of all pieces, in their order."""
        return tuple(line.piece.id for line in self.lines)

    @property
    def is_too_long(self) -> bool:
        """Whether what is left takes a person more than a working day, its waits with it.

        Where one said what time one has, or the shop its hours, it is spread over days.
        """
        return not self.limited and bool(self.lines) and self.lines[-1].end - self.now > WORKING_DAY

    @property
    def later(self) -> float | None:
        """Minutes that all is done later than first said, sooner where negative.

        What one was away does not count, nor while the shop is closed. None: nothing was said, or
        nothing is left to do, or it is not the same that is to be done, in the same time.
        """
        if self.day is None or self.day.finish is None or not self.lines:
            return None
        if self.day.told is not None or self.fewer != 0:
            return None
        return float(round((self.finish - self.day.finish) / _MINUTE - self.away - self.closed))

    @property
    def fewer(self) -> int | None:
        """How many jobs fewer fit in by now than at the beginning; below 0: more. None: not told.

        Of a day for which that is not on record nothing did not fit that fits now.
        """
        if self.day is None or (self.day.put_off is None and self.left):
            return None
        return len(self.left) - (self.day.put_off or 0)

    @property
    def from_now(self) -> datetime:
        """When all is done by a day that begins at this very moment: to be said at its beginning.

        A day that is not begun is planned from the last full minute; that moves nothing which is
        done after a pause.
        """
        finish = self.finish
        end = self.window.end if self.window is not None else None
        if not self.minutes and self.opens is None and (end is None or finish <= end):
            finish += self.now - self.now.replace(second=0, microsecond=0)
        return max(finish, self.now + self.minutes * _MINUTE)

    @property
    def opens(self) -> datetime | None:
        """When one is there again; None: one is there now, or no more."""
        later = self.window is not None and self.window.start > self.now
        return self.window.start if self.window is not None and later else None

    @property
    def time_is_up(self) -> bool:
        """Whether the time that one had is over, and something is left."""
        return self.window is None and bool(self.left)

    @property
    def is_done(self) -> bool:
        """Whether nothing is left to do, be it for another day; something may stay open."""
        return not self.lines and not self.left

    @property
    def left_minutes(self) -> float:
        """Minutes of work of all that does not fit."""
        return sum(one.piece.minutes for one in self.left)
