"""Three straightedges against each other: each pair shows the sum of its two bows.

Held edge to edge, a pair is open in the middle (together hollow) or at both
ends (together crowned). Three pairs give each one's own bow at the middle.
Positive: hollow. A wave that crosses zero at the middle is not seen by this.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.checks.asked import Chosen, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.lying import pair_of_edges
from shopboard.checks.job import CheckContext, Proves
from shopboard.checks.outcome import Outcome
from shopboard.checks.proving import proven
from shopboard.checks.reckoning import Field
from shopboard.checks.three_pairs import PAIRS, ThreePairs
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.reach import true_errors

WIDEST_MM = 5.0
"""A pair that is open wider is no pair of straightedges."""


class ThreeStraightedges(ThreePairs):
    """The guided check; it proves a straightedge of the drawer."""

    name = "three-straightedges"
    title = "Three straightedges in pairs"
    finds = "a straightedge is straight, with two others, in pairs"
    signs = "plus: it is hollow; minus: it is crowned"
    tools = "leaves"
    minutes = 20.0
    kind: Kind = "length"
    proves: Proves = "straightedge"
    fields = (
        Field("ab", "length", "gap of A and B; plus: in the middle", reads="leaves", signed=True),
        Field("bc", "length", "gap of B and C", reads="leaves", signed=True),
        Field("ac", "length", "gap of A and C", reads="leaves", signed=True),
        Field("tolerance", "tolerance", "what the bow of A may be", needed=False),
    )
    what = "straightedges"
    hold = "Edge to edge, a lamp behind. Open at both ends: hold it so that both are alike."
    open_plus = ("middle", "in the middle; they touch at both ends")
    open_minus = ("ends", "at both ends; they touch in the middle")

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the pair, edge to edge."""
        return () if seen.at == "three" else pair_of_edges(*self.way_of_pair(seen), seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a gap that no two straightedges show."""
        for pair in PAIRS:
            if abs(values[pair]) > WIDEST_MM:
                most = f"[3/16 in|{WIDEST_MM:g} mm]"
                why = f"{pair}: more than {most} is no straightedge; read it again"
                return contradict(why, pair)
        return None

    def shown(self, pair: str, values: Values) -> float:
        """Give the gap."""
        return values[pair]

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give straightedges that are bowed within the tolerance."""
        return self.as_shown(job, true_errors(job.tolerance))

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say how A is bowed, and what the other two showed."""
        others = (measure(one, self.kind, job.unit, signed=True) for one in self.others(taken))
        more = "B {}, C {} (plus: hollow).".format(*others)
        return proven(job, outcome, self.kind, "hollow", "crowned", more)


METHOD = ThreeStraightedges()
