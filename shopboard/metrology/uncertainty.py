"""Uncertainty budget by the GUM (JCGM 100:2008): sources in, u, degrees of freedom, k and U out."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.own_hand import OwnHand
from shopboard.metrology.sources import Remedy
from shopboard.metrology.spread import Spread
from shopboard.metrology.student import coverage_factor, wider_than_normal


class Source(NamedTuple):
    """One source of uncertainty of an error, already as an angle."""

    id: str
    """What it is, of `sources` or of the method that makes it: remedies and records go by it."""
    name: str
    """In the shop's words: ``bracket between the leaves``."""
    u: float
    """Standard uncertainty, rad."""
    dof: float = math.inf
    """Degrees of freedom; infinite where a limit is known, not estimated."""
    even: bool = False
    """True when any value within u * sqrt(3) is as likely (GUM 4.3.7)."""
    lasting: bool = False
    """True when it is the same in every reading with the same tools: it drops out of a change."""
    hand: str = ""
    """Sort of reading whose repeating by hand it is, such as ``leaf``, or `BRACKET`; else empty."""
    own: OwnHand | None = None
    """The hand by which it goes; None: by what is usual."""
    remedy: Remedy | None = None
    """What makes it smaller, where one method alone makes such a source; None: by its `id`."""

    @property
    def label(self) -> str:
        """Its name, and whose hand it goes by."""
        return f"{self.name} (your own, from {self.own.pairs} pairs)" if self.own else self.name

    @staticmethod
    def within(
        what: str,
        name: str,
        half_width: float,
        *,
        lasting: bool = False,
        hand: str = "",
        remedy: Remedy | None = None,
    ) -> "Source":
        """Make a source, `what` it is, that lies evenly within plus or minus `half_width`, rad."""
        u = half_width / math.sqrt(3)
        return Source(what, name, u, even=True, lasting=lasting, hand=hand, remedy=remedy)


@dataclass(frozen=True)
class Budget:
    """Sources combined as independent (GUM 5.1.2)."""

    sources: tuple[Source, ...]

    @cached_property
    def u(self) -> float:
        """Combined standard uncertainty, rad."""
        return math.sqrt(sum(source.u**2 for source in self.sources))

    @cached_property
    def dof(self) -> float:
        """Effective degrees of freedom (Welch-Satterthwaite, GUM G.4.1)."""
        return _effective_dof(self.sources)

    @cached_property
    def k(self) -> float:
        """Coverage factor for 95 %, from the effective degrees of freedom."""
        return coverage_factor(self.dof)

    @property
    def expanded(self) -> float:
        """Expanded uncertainty U = k u at 95 %, rad.

        Where one even source makes most of it, U is wider than all that can be (1.96 u is 1.13 of
        its half-width): cautious by up to a fifth. The verdict goes by the spread itself.
        """
        return self.k * self.u

    @property
    def u_repeat(self) -> float:
        """Part of u that a second reading with the same tools does not share, rad."""
        return math.sqrt(sum(source.u**2 for source in self.sources if not source.lasting))

    def share(self, source: Source) -> float:
        """Part of the combined variance that a source makes, 0 to 1."""
        return (source.u / self.u) ** 2 if self.u > 0 else 0.0

    def spread_around(self, centre: float) -> Spread:
        """Give the distribution of the error: even sources keep their shape, the rest is normal.

        What few readings told is Student's, not normal (JCGM 101, 6.4.9): the normal part is made
        wider, so that it leaves as much beyond a limit that is just proven to 95 % as Student's
        distribution does.
        """
        even = tuple(source.u * math.sqrt(3) for source in self.sources if source.even and source.u)
        rest = [source for source in self.sources if not source.even]
        sigma = math.sqrt(sum(source.u**2 for source in rest))
        return Spread(centre, even, sigma * wider_than_normal(_effective_dof(rest)))


class Estimate(NamedTuple):
    """A measured error with its budget."""

    error: float
    """Best estimate of the signed error, rad."""
    budget: Budget
    size: bool = False
    """True for a size, such as run-out, which is never below 0."""

    @property
    def spread(self) -> Spread:
        """What is known of the error."""
        return self.budget.spread_around(self.error)._replace(size=self.size)


def _effective_dof(sources: Sequence[Source]) -> float:
    """Degrees of freedom of independent sources together (Welch-Satterthwaite, GUM G.4.1)."""
    told = [source for source in sources if source.u > 0]
    parts = sum(source.u**4 / source.dof for source in told)
    if parts <= 0:
        return math.inf
    total = sum(source.u**2 for source in told) ** 2
    return max(total / parts, min(source.dof for source in told))  # but for rounding it is
