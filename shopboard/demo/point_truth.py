"""A point as it really stands: it wanders by days and by running, is knocked, and is set."""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

from shopboard.metrology.kind import KINDS, YES_NO_WORDS
from shopboard.shop.machine import Point

_USUAL_DAYS = 180.0
_STAYS = 0.1
"""Share of the half-width by which what nothing sets wanders within the time of its `every`."""
_WANDERS = 0.22
"""The same of what is set by a screw, a tap or a shim."""
_SLIPS = 0.08
"""How often what is looked at is found wrong after that time."""
_HOURS = 0.05
"""Share of the half-width by which ten hours of running wander it."""
_KNOCKED = 0.6
"""Share of the half-width by which what undoes it moves it."""
_OF_TURN = 0.07
"""A hand sets it this share of the move too far or too short, as standard deviation."""
_PLAY = 0.04
"""And by this share of the half-width."""


@dataclass
class PointTruth:
    """What one point is really off by, in the unit of its kind; yes or no: from 1 on it is no."""

    point: Point
    form: int
    """Seed of what stays the same at it."""
    error: float = 0.0
    drift: float = 0.0
    """Of the half-width, by which it creeps one way in a hundred days."""

    @property
    def half_width(self) -> float:
        """Give half of what its tolerance allows, as far as it can be."""
        limits = self.point.tolerance
        return (limits.high - max(limits.low, 0.0)) / 2 if self._is_amount else limits.half_width

    @property
    def is_looked_at(self) -> bool:
        """Whether it is a yes or no, or a note."""
        return self.point.tolerance.kind in YES_NO_WORDS

    @property
    def is_size(self) -> bool:
        """Whether less is better and nothing is below 0: one limit, either way, of a length."""
        limits = self.point.tolerance
        return bool({*self.point.checks} & _SIZES) and limits.low <= 0

    def found_at_first(self, rng: random.Random) -> None:
        """Begin as it stood before anybody looked: what can be set is often out, the rest good."""
        share = rng.uniform(0.15, 0.6)
        if self.can_be_set and rng.random() < 0.5:
            share = rng.choice((-1, 1)) * rng.uniform(0.9, 2.2)
        elif not self.is_size:
            share *= rng.choice((-1, 1))
        self.error = 0.0 if self.is_looked_at else self._at(share)

    def at_share(self, share: float) -> None:
        """Stand at so many half-widths from the middle."""
        self.error = self._at(share)

    @property
    def can_be_set(self) -> bool:
        """Whether something sets it."""
        return self.point.adjuster is not None or not KINDS[self.point.tolerance.kind].departs

    def passes(self, days: float, hours: float, rng: random.Random) -> None:
        """Let days and hours of running go by."""
        part = days / (self.point.every_days or _USUAL_DAYS)
        if self.is_looked_at:
            self.error = 1.0 if rng.random() < _SLIPS * part else self.error
            return
        share = _WANDERS if self.can_be_set else _STAYS
        by = math.hypot(share * math.sqrt(part), _HOURS * share * math.sqrt(hours / 10.0))
        self._move(rng.gauss(self.drift * days / 100.0, by))

    def is_undone(self, rng: random.Random) -> None:
        """Let it be moved by what undoes it."""
        if self.is_looked_at:
            self.error = 1.0 if rng.random() < 0.15 else self.error
        else:
            self._move(rng.gauss(0.0, _KNOCKED if self.can_be_set else _KNOCKED / 3))

    def is_set(self, measured: float, rng: random.Random) -> None:
        """Let a hand set it, by what it measured: a little too far, or not quite."""
        if self.is_looked_at:
            self.error = 0.0
            return
        move = measured - self._target()
        left = rng.gauss(0.0, _OF_TURN) * move + rng.gauss(0.0, _PLAY) * self.half_width
        self.error = self._bounded(self.error - move + left)

    def is_set_by_eye(self, rng: random.Random) -> None:
        """Let it be set before anything is measured, as a band is tensioned by its feel."""
        self.error = self._bounded(self._at(rng.gauss(0.0, 0.5)))

    def _move(self, shares: float) -> None:
        """Move it by so many half-widths; what nothing sets comes to rest within its limits."""
        error = self.error + shares * self.half_width
        if not self.can_be_set or self.is_size:
            away = (error - self._target()) / self.half_width
            least = 0.05 if self.is_size else -0.8
            error = self._at(min(max(away, least), 0.8))
        self.error = self._bounded(error)

    def _at(self, share: float) -> float:
        return self._bounded(self._target() + share * self.half_width)

    def _target(self) -> float:
        if self.is_size:
            return 0.0
        limits = self.point.tolerance
        return (max(limits.low, 0.0) + limits.high) / 2 if self._is_amount else limits.middle

    def _bounded(self, error: float) -> float:
        """Let nothing be less than nothing: a gap, a time, a run-out."""
        return max(error, 0.0) if self.is_size or self._is_amount else error

    @property
    def _is_amount(self) -> bool:
        return bool({*self.point.checks} & _AMOUNTS)


_SIZES = {"centres", "runout", "straightness", "flatness", "tram", "snipe"}
_AMOUNTS = {"leaf-gap", "timed", "blade-tension"}
"""Methods that measure what is never below 0."""
