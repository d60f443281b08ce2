"""What a method found: error, uncertainty, verdict, and the working behind it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from shopboard.checks.asked import Taken
from shopboard.metrology.conformity import (
    PROOF_LEVEL,
    Tolerance,
    Verdict,
    probability_within,
    verdict,
)
from shopboard.metrology.kind import Kind, as_kept, spread_as_kept
from shopboard.metrology.spread import Spread, in_work
from shopboard.metrology.uncertainty import Estimate


@dataclass(frozen=True)
class Outcome:
    """The evaluation of one run of a method."""

    method: str
    """The method's name: ``square``."""
    estimate: Estimate
    tolerance: Tolerance | None
    kind: Kind = "angle"
    """What sort of value the error is."""
    level: float = PROOF_LEVEL
    """Probability at which it counts as proven."""
    called: str = ""
    """What the value is called, where that is plainer than error: ``Gap``, ``Run-out``."""
    lean: str = ""
    """Which way the error goes, in words."""
    aims: tuple[str, str] = ("", "")
    """What must move, in words: to lessen the error, and to add to it."""
    moves: tuple[str, ...] = ()
    """What to move, which way and how far, one sentence each, where the method knows it better than
    the one arm of the shop file's adjuster does: that one is not asked then."""
    working: tuple[str, ...] = ()
    """The formula with this run's own numbers, line by line."""
    note: str = ""
    """What else must be said."""
    adds: Mapping[str, object] = field(default_factory=dict)
    """What this method gives beside the error, as plain data with units in the names."""
    readings: Mapping[str, object] = field(default_factory=dict)
    """What was read and with what, as plain data for the record."""
    taken: Taken | None = None
    """What was read, of several sets the mean: what a drawing goes by. It is not recorded."""
    can_turn: bool = False
    """The square was not turned over, and can be at this point."""

    @cached_property
    def spread(self) -> Spread:
        """What is known of the error, as the record keeps it: what is judged now is judged then."""
        return spread_as_kept(self.estimate.spread, self.kind)

    @property
    def in_work(self) -> Spread:
        """What is known of the error that shows in the work; mostly that which is judged."""
        return in_work(self.spread, self.readings)

    @cached_property
    def probability(self) -> float | None:
        """Probability that the error lies within the tolerance; None without one, and of a note."""
        if self.tolerance is None or self.kind == "note":
            return None
        return probability_within(self.spread, self.tolerance)

    @property
    def used(self) -> float | None:
        """Share of the tolerance that the error uses, from where it should be; None without one."""
        if self.tolerance is None or self.kind == "note":
            return None
        counts = self.tolerance.as_it_counts(size=self.estimate.size)
        return counts.used(as_kept(self.estimate.error, self.kind))

    @property
    def verdict(self) -> Verdict | Literal["noted"] | None:
        """True, near or out; None without a tolerance. A note judges nothing."""
        if self.kind == "note":
            return "noted"
        probability = self.probability
        return None if probability is None else verdict(probability, self.level)
