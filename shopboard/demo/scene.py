"""What a point shows as it really stands: lengths and words that a person is asked for.

One scene is one measurement: what repeats by chance, such as how a test cut closes, is drawn anew
with each. The error is signed as its method signs it; mm, rad, s, MPa.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.job import CheckContext
from shopboard.demo.true_tools import TrueTools


class ToRead(NamedTuple):
    """What there is to be read."""

    values: Mapping[str, float]
    """True lengths (mm) and times (s), by the name of the reading."""
    words: Mapping[str, str] = {}
    """What is picked, by the name of the question."""


@dataclass(frozen=True)
class Seen:
    """What a scene is made of."""

    error: float
    """What the point is really off by, or what it really is."""
    job: CheckContext
    tools: TrueTools
    rng: random.Random
    """Chance of this measurement."""
    form: random.Random
    """Chance that is the same at each measurement of the point: its form."""

    def size(self, name: str, usual: float) -> float:
        """Give a size of the point, or of the test piece that is made."""
        return self.job.sizes.get(name, usual)

    def shows(self, gap: float) -> bool:
        """Tell whether a leaf goes into a gap at all."""
        feelers = self.job.drawer.feelers
        return not feelers or abs(gap) >= feelers[0].leaves[0]

    def side(self, gap: float, plus: str, minus: str) -> str:
        """Say at which end a signed gap is open."""
        return (
            ("none" if not self.shows(gap) else plus) if gap >= 0 or not self.shows(gap) else minus
        )


ToReadOf = Callable[[Seen], ToRead]
