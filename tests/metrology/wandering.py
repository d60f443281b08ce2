"""A point that wanders as planted: steadily, at random, and by a step where one is wanted."""

from __future__ import annotations

import math
import random
from collections.abc import Sequence

from shopboard.metrology.conformity import Tolerance, probability_within
from shopboard.metrology.drift import Change
from shopboard.metrology.spread import Spread

HALF = 0.25e-3
"""3 thou/ft, rad."""

INTERVAL = 90
"""Days."""

TOLERANCE = Tolerance(-HALF, HALF)


class Wanderer:
    """A point with a steady rate and a random walk, both told in half-widths per interval."""

    def __init__(self, chance: random.Random, steady: float, walk: float, u: float = 0.15) -> None:
        self.chance = chance
        self.rate = steady * HALF / INTERVAL
        self.growth = (walk * HALF) ** 2 / INTERVAL
        self.u = u * HALF

    def drifts(self, time: float) -> float:
        """Let it go for so many days."""
        return self.rate * time + self.chance.gauss(0, math.sqrt(self.growth * time))

    def set_each_time(self, times: Sequence[float]) -> list[Change]:
        """Give the changes where it is set, and measured anew, at every check."""
        u = math.sqrt(2) * self.u
        return [Change(t, None, self.drifts(t) + self.chance.gauss(0, u), u) for t in times]

    def left_alone(self, times: Sequence[float]) -> list[Change]:
        """Give the changes where nothing is ever moved: each result ends one and begins one."""
        before, changes = self.chance.gauss(0, self.u), list[Change]()
        for time in times:
            after = self.chance.gauss(0, self.u)
            change = self.drifts(time) + after - before
            shared = self.u if changes else 0.0
            changes.append(Change(time, None, change, math.sqrt(2) * self.u, "", shared))
            before = after
        return changes

    def out_after(self, time: float, today: Spread, tolerance: Tolerance = TOLERANCE) -> float:
        """Give the true probability of being out so many days after a result."""
        sigma = math.sqrt(today.sigma**2 + self.growth * time)
        then = Spread(today.centre + self.rate * time, today.even, sigma)
        return 1 - probability_within(then, tolerance)


def spacings(chance: random.Random, count: int) -> list[float]:
    """Give days between checks, from two weeks to half a year, unequal."""
    return [INTERVAL * math.exp(chance.uniform(-1.9, 0.7)) for _ in range(count)]


def as_taken(chance: random.Random, u: float = 0.15) -> Wanderer:
    """Plant what a sensible interval is taken to mean: up to a half-width within it."""
    return Wanderer(chance, chance.uniform(-1, 1), 0.3 * math.exp(chance.gauss(0, 1)), u)


def least(level: float, trials: int) -> float:
    """Give the lowest share that chance leaves of a level in so many trials (3 sigma)."""
    return level - 3 * math.sqrt(level * (1 - level) / trials)
