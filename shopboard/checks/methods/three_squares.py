"""Three squares against each other: two stand on one flat surface, blade to blade.

Light at the top means that together they lean back toward their stocks. Each
pair shows the sum of its two errors, atan(gap / length); three pairs give each
one's own. Positive: light at the top against a face that is true.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import two_squares
from shopboard.checks.job import CheckContext, Proves
from shopboard.checks.outcome import Outcome
from shopboard.checks.proving import LIGHT_AT_BOTTOM, LIGHT_AT_TOP, blade_length, proven
from shopboard.checks.reckoning import Field
from shopboard.checks.three_pairs import PAIRS, ThreePairs
from shopboard.checks.within_reach import longer_than_blade, proven_blade
from shopboard.metrology.kind import measure
from shopboard.metrology.reach import true_errors
from shopboard.metrology.sources import TYPED
from shopboard.metrology.uncertainty import Source

SEAT_U_MM = 0.002
"""Standard uncertainty with which a wiped stock seats on a flat surface, over its own length:
common practice, no source."""
STOCK_SHARE = 0.6
"""Length of a stock over that of its blade: common practice, no source."""

_EXACT = "the angles are taken as exact"


class ThreeSquares(ThreePairs):
    """The guided check; it proves a square of the drawer."""

    name = "three-squares"
    title = "Three squares in pairs"
    finds = "a square is square, with two others, in pairs, blade to blade"
    signs = "plus: it shows light at the top against a face that is true"
    tools = "leaves"
    minutes = 20.0
    proves: Proves = "square"
    fields = (
        Field("ab", "angle", "what A and B show together; plus: light at the top", signed=True),
        Field("bc", "angle", "what B and C show together", signed=True),
        Field("ac", "angle", "what A and C show together", signed=True),
        Field("within", "angle", "half-width within which each of them is known", needed=False),
        Field("tolerance", "tolerance", "what the error of A may be", needed=False),
    )
    what = "squares"
    hold = "Stocks down on one flat surface, apart; blades upright, edge to edge."
    open_plus = ("top", "at the top; they touch at the bottom")
    open_minus = ("bottom", "at the bottom; they touch at the top")
    first = (
        Reading(
            "length",
            "How long are the blades where they meet?",
            "rule",
            ("From where they touch to where the leaf goes in.",),
            above=20,
            at_most=2000,
            size="length",
        ),
    )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the pair, blade to blade."""
        return () if seen.at == "three" else two_squares(*self.way_of_pair(seen), size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a gap that no two squares show."""
        for pair in PAIRS:
            if values[pair] > values.get("length", math.inf) / 20:
                return contradict(
                    f"{pair}: the gap is more than a twentieth of the length; read it again",
                    "length",
                    pair,
                )
        return None

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone; say what is taken for granted."""
        found = super().reckon(values)
        return found if "within" in values else replace(found, note=_EXACT)

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Give how well angles that are typed as such are known: half of each is in the error."""
        half = values.get("within", 0.0) / 2
        return tuple(Source.within(TYPED, f"{pair}, as typed", half) for pair in PAIRS if half > 0)

    def beyond_the_job(
        self, job: CheckContext, values: Values, words: Chosen
    ) -> Contradiction | None:
        """Refuse blades that are longer than that of the square that is proven."""
        return longer_than_blade(job, "length", values["length"], proven_blade(job))

    def shown(self, pair: str, values: Values) -> float:
        """Give the angle between two blades; typed as an angle where there is no length."""
        length = values.get("length")
        return values[pair] if length is None else math.atan(values[pair] / length)

    def repeats_to(self, values: Values) -> float:
        """Give how well six stocks seat, as it comes through to the error of A."""
        if "length" not in values:
            return 0.0  # angles that are typed as such
        seat = SEAT_U_MM / (STOCK_SHARE * values["length"])
        return math.sqrt(2 * len(PAIRS)) * seat / 2

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give three true squares."""
        values, words = super().perfect(job)
        return {**values, "length": blade_length(job)}, words

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give squares that lean within the tolerance."""
        length = blade_length(job)
        leans = [length * math.tan(one) for one in true_errors(job.tolerance)]
        return [({"length": length, **gaps}, words) for gaps, words in self.as_shown(job, leans)]

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the blade of A leans, and what the other two showed."""
        b, c = self.others(taken)
        others = (measure(one, self.kind, job.unit, signed=True) for one in (b, c))
        more = "B {}, C {}.".format(*others)
        return proven(job, outcome, self.kind, LIGHT_AT_TOP, LIGHT_AT_BOTTOM, more)


METHOD = ThreeSquares()
