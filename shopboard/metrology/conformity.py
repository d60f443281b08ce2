"""Tolerance, probability of conformity, verdict.

The verdict is the probability that the true error lies within the tolerance,
given what is known of it (JCGM 106:2012, section 7). For a normal error this
is the guard band of 1.65 u of ISO 14253-1:2017.
"""

import re
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind, limit_in, limit_words, own_units
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import Spread
from shopboard.metrology.units import UNITS

Verdict = Literal["true", "near", "out"]

PROOF_LEVEL = 0.95
"""Probability at which a point counts as proven, either way, when the shop sets none."""

RISK = 1 - PROOF_LEVEL
"""Probability of being out that is accepted until the next check, when the shop sets none."""


class Tolerance(NamedTuple):
    """The values that a point may have; one-sided when one end is 0."""

    low: float
    """Lowest value allowed."""
    high: float
    """Highest value allowed."""
    typed: str = ""
    """As the shop file says it."""
    kind: Kind = "angle"
    """What sort of value it limits."""

    @property
    def half_width(self) -> float:
        """Half of the band."""
        return (self.high - self.low) / 2

    @property
    def middle(self) -> float:
        """The value to aim for."""
        return (self.high + self.low) / 2

    def as_it_counts(self, *, size: bool) -> "Tolerance":
        """Give the band as it counts for a value, or for a size, which is never below 0.

        A lowest size of 0 or less limits nothing: the middle to aim for is 0, not half of the
        highest, and ``0 to 1 thou`` is the same as ``1 thou``.
        """
        return self._replace(low=-self.high) if self.is_one_sided(size=size) else self

    def is_one_sided(self, *, size: bool) -> bool:
        """Tell whether its highest value alone limits: what it limits is never below 0.

        Args:
            size: whether that is a size, such as run-out; a time is known by its kind.
        """
        return (size or KINDS[self.kind].from_nought) and self.low <= 0 < self.high

    def words(self, unit: Unit) -> str:
        """Write it in the unit that the error beside it has; as it was typed where that is it.

        ``0.40 mm/m (0.1 mm over 250 mm)``. No limit is rounded up.
        """
        if self.kind in YES_NO_WORDS:
            return self.typed
        own = own_units(self.kind, unit)[-1]
        name = UNITS[own].sign
        if re.search(rf"(?<![a-zA-Z/]){name}(?![a-zA-Z/])", self.typed, re.IGNORECASE):
            return self.typed
        if self.low == -self.high:
            words = limit_words(self.high, self.kind, unit)
        else:
            low = limit_in(self.low, self.kind, own, lowest=True)
            words = f"{low} to {limit_in(self.high, self.kind, own)} {name}"
        return f"{words} ({self.typed})" if self.typed else words

    def used(self, error: float) -> float:
        """Share of the tolerance that an error uses, from its middle; 1 is either limit."""
        return abs(error - self.middle) / self.half_width


def probability_within(spread: Spread, tolerance: Tolerance) -> float:
    """Probability that the true error lies within the tolerance.

    No time is below 0: a lowest time of 0 cuts nothing off.
    """
    if spread.u == 0:  # its distribution is a step, with the limits themselves still within
        return 1.0 if tolerance.low <= spread.centre <= tolerance.high else 0.0
    if KINDS[tolerance.kind].from_nought and tolerance.low <= 0:
        return spread.cdf(tolerance.high)
    return min(1.0, max(0.0, spread.cdf(tolerance.high) - spread.cdf(tolerance.low)))


def verdict(probability: float, level: float = PROOF_LEVEL) -> Verdict:
    """Decide: true at `level` or more, out at 1 - `level` or less, else near (not proven)."""
    if probability >= level:
        return "true"
    return "out" if probability <= 1 - level else "near"


def is_about_nought(
    spread: Spread, expanded: float, tolerance: Tolerance, level: float = PROOF_LEVEL
) -> bool:
    """Tell whether a value is not told from 0 where that is the limit, and the middle would do.

    Half of what it may be lies beyond that limit (JCGM 106:2012, 7): read as finely as one likes,
    a perfect 0 stays not proven.

    Args:
        spread: what is known of the value.
        expanded: its expanded uncertainty.
        tolerance: the values allowed.
        level: probability at which it counts as proven.
    """
    band = tolerance.as_it_counts(size=spread.size)
    if (
        (band.low != 0) == (band.high != 0)
        or KINDS[band.kind].from_nought
        or abs(spread.centre) > expanded
    ):
        return False
    set_right = probability_within(spread._replace(centre=band.middle), band)
    return verdict(set_right, level) == "true"


def aim_for_the_middle(tolerance: Tolerance) -> str:
    """Say what to do about that."""
    return f"0 is the limit here, not what to aim for: aim for the middle of {tolerance.typed}"
