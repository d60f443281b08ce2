"""Three tools of a kind held against each other in pairs: each one's own error comes out.

A pair shows the sum of its two errors, ab = a + b; three pairs give all three,
a = (ab + ac - bc) / 2 (Evans, Hocken and Estler 1996, from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.drawn.canvas import AtStep
from shopboard.checks.inputs import open_at
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.proving import tool_name
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do

PAIRS = ("ab", "ac", "bc")
_NAMES = {"ab": "A and B", "ac": "A and C", "bc": "B and C"}


def split(ab: float, ac: float, bc: float) -> tuple[float, float, float]:
    """Give the errors of A, B and C from the sums that their pairs show."""
    return (ab + ac - bc) / 2, (ab + bc - ac) / 2, (ac + bc - ab) / 2


class ThreePairs(MeasuredCheck):
    """Base of the three-way comparisons; A is the tool that is proven."""

    hands_near = False
    clears = False
    what = ""
    """What is compared: ``squares``."""
    hold = ""
    """How a pair is held together, one sentence."""
    open_plus: tuple[str, str] = ("", "")
    """Word for a pair that shows a sum above 0, and its label."""
    open_minus: tuple[str, str] = ("", "")
    first: tuple[Reading, ...] = ()
    """What is read before the pairs."""

    steps = (
        Do(
            key="three",
            title="Take three {what} and mark them A, B and C.",
            lines=(
                "A is the one to prove: {tool}.",
                "B and C need not be good, only sound. Wipe them clean.",
            ),
        ),
    )
    formula_is = "a = (ab + ac - bc) / 2: each pair shows the sum of its two errors"

    def said_of(self, job: CheckContext) -> dict[str, str]:
        """Name the tool that is proven."""
        return {**super().said_of(job), "what": self.what, "tool": tool_name(job)}

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Ask for each pair: where it is open, and how wide."""
        asked: list[Reading | Pick] = [*self.first]
        for pair in PAIRS:
            options = (self.open_plus, self.open_minus, ("none", "no light"))
            title = f"{_NAMES[pair]}: where does light show?"
            asked += [
                Pick(
                    f"{pair}_light",
                    title,
                    options,
                    (self.hold,),
                    true="none",
                ),
                Reading(
                    pair,
                    f"{_NAMES[pair]}: how wide is the gap there?",
                    "leaves",
                    at_most=20,
                    closed_if=(f"{pair}_light", "none"),
                    true=0.0,
                ),
            ]
        return asked

    def way_of_pair(self, seen: AtStep) -> tuple[tuple[str, str], int]:
        """Give the names of the pair that is asked (at the end the first), and where it is open."""
        pair = seen.at.removesuffix("_light")
        pair = pair if pair in PAIRS else PAIRS[0]
        ways = {self.open_plus[0]: 1, self.open_minus[0]: -1}
        told = seen.words.get(f"{pair}_light", "")
        return (pair[0].upper(), pair[1].upper()), ways.get(told, 0)

    def shown(self, pair: str, values: Values) -> float:
        """Give the size of the sum that a pair shows, in the unit of `kind`."""
        raise NotImplementedError

    def sums(self, values: Values, words: Chosen) -> tuple[float, ...]:
        """Give the three sums with their signs."""
        return tuple(
            -self.shown(pair, values)
            if words.get(f"{pair}_light") == self.open_minus[0]
            else self.shown(pair, values)
            for pair in PAIRS
        )

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the error of A."""
        ab, ac, bc = self.sums(values, words)
        return split(ab, ac, bc)[0]

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give all three errors, in every unit."""
        ab, ac, bc = self.sums(values, words)
        each = zip("abc", split(ab, ac, bc), strict=True)
        return {name: value_json(error, self.kind) for name, error in each}

    def as_shown(
        self, job: CheckContext, errors: Sequence[float]
    ) -> list[tuple[dict[str, float], dict[str, str]]]:
        """Give what three tools show in pairs: the first as far off as told (mm), C alike.

        B is nearly true, and off the other way: of any three tools two are.
        """
        found = []
        for error in errors:
            off = {"a": error, "b": -error / 5, "c": error}
            sums = {pair: off[pair[0]] + off[pair[1]] for pair in PAIRS}
            words = {
                f"{pair}_light": open_at(job, one, self.open_plus[0], self.open_minus[0])
                for pair, one in sums.items()
            }
            shut = {pair for pair in PAIRS if words[f"{pair}_light"] == "none"}
            gaps = {pair: 0.0 if pair in shut else abs(one) for pair, one in sums.items()}
            found.append((gaps, words))
        return found

    def others(self, taken: Taken) -> tuple[float, float]:
        """Give the errors of B and C."""
        ab, ac, bc = self.sums(taken.values, taken.words)
        return split(ab, ac, bc)[1:]
