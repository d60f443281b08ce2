"""The shop as it really stands on a day, and what is on record of it by then."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta

from shopboard.demo.point_truth import PointTruth
from shopboard.demo.true_tools import TrueTools, true_tools
from shopboard.journal.in_one_go import MadeUpJournal
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop
from shopboard.sittings.waiting import begun_tasks
from shopboard.standing.gathered import Gathered
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import ShopStanding
from shopboard.upkeep.happenings import record_happening

_SOUND = 0.6
"""A tool that is proven here turns out to be off by this share of its half-width at the most."""


@dataclass
class World:
    """A shop, its truth, its journal and the time."""

    shop: Shop
    rng: random.Random
    now: datetime
    tools: TrueTools
    truths: dict[str, PointTruth]
    """How each point really stands, by its full name."""
    told: dict[str, float] = field(default_factory=dict)
    """How a point really stood at a result, by the uid of that."""
    methods: dict[str, str] = field(default_factory=dict)
    """By which a point is checked, by its full name; empty: by none."""
    _journal: MadeUpJournal | None = None
    _gathered: Gathered | None = None

    @property
    def journal(self) -> MadeUpJournal:
        """What is on record."""
        assert self._journal is not None  # noqa: S101 - `write_in` comes first
        return self._journal

    def write_in(self, journal: MadeUpJournal) -> None:
        """Record in this journal from now on."""
        self._journal, self._gathered = journal, Gathered(journal, "")

    def clock(self) -> datetime:
        """Give the time."""
        return self.now

    def takes(self, minutes: float) -> None:
        """Let some minutes go by at the work."""
        self.now += timedelta(minutes=minutes * self.rng.uniform(0.7, 1.3))

    def standing(self) -> ShopStanding:
        """Work out how all stands by what is on record."""
        assert self._gathered is not None  # noqa: S101 - `write_in` comes first
        past = self._gathered.now(self.journal)
        past = past._replace(begun=begun_tasks(self.journal, self.shop, past))
        return shop_standing(self.shop, past, self.now)

    def passes(self, until: datetime, hours: float = 0.0) -> None:
        """Let days go by: every point wanders a little."""
        days = max((until - self.now) / timedelta(days=1), 0.0)
        self.now = max(until, self.now)
        for one in self.truths.values():
            if not one.point.proves:
                one.passes(days, hours, self.rng)

    def happens(self, machine: Machine, what: str) -> None:
        """Let something happen to a machine that undoes points, and record it."""
        record_happening(self.journal, machine.id, what, shop=self.shop)
        self.is_undone(machine.id, what)

    def is_undone(self, machine_id: str, what: str) -> None:
        """Let it move the points that it undoes, in every mode that it reaches."""
        reached = self.shop.reached.get(machine_id, {}).get(what, ())
        for one in self.truths.values():
            here = one.point.machine in (machine_id, *reached)
            if here and what in one.point.undone_by and not one.point.proves:
                one.is_undone(self.rng)


def begin(shop: Shop, rng: random.Random, now: datetime) -> World:
    """Make up how the points and the tools of a shop really are before anything is on record."""
    tools = true_tools(shop.drawer, rng)
    truths = {}
    for name, point in shop.points.items():
        one = truths[name] = PointTruth(point, rng.randrange(2**30))
        one.found_at_first(rng)
        if point.proves:
            one.error = tools.proven(point.proves, _SOUND * one.half_width)
    return World(shop, rng, now, tools, truths)


def times(start: datetime, end: datetime, rng: random.Random) -> Sequence[datetime]:
    """Give when somebody is in the shop to see to it: every other week, at some hour of a day.

    Args:
        start: the midnight from which on.
        end: the midnight up to which.
        rng: chance.
    """
    found, at = [], start
    while at < end:
        hour = timedelta(hours=rng.choice((9, 10, 14, 17, 18)), minutes=rng.randrange(60))
        found.append(at + hour)
        at += timedelta(days=rng.randint(10, 18))
    return found
