"""Centres of a lathe: does the tail point meet the axis that the spindle turns about?

The tail point makes a dent in a board that the spindle carries; half a turn of the spindle, and
it makes another. The first dent lies now as far beyond the axis as the point lies before it: from
the first dent to the fresh one is twice the way from the axis to the point,

    off = root(across² + up²) / 2

and board, faceplate and chuck may sit as crooked as they like.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.plans import dents
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.checks.two_axes import along_what_was_found, of_two_axes
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Estimate

DENT_MM = 0.15
"""Standard uncertainty with which two dents in wood are measured apart, middle to middle: common
practice, no source."""

MOST_MM = 25.0
"""Dents further apart are not those of one point."""

_FRESHER = Remedy("dents", "smaller dents, in end grain or card, measured again")


class Centres(MeasuredCheck):
    """The guided check."""

    name = "centres"
    title = "Centres that meet"
    finds = "the tail point of a lathe meets the spindle's axis, by two dents half a turn apart"
    tools = "calliper or rule"
    minutes = 10.0
    kind: Kind = "length"
    is_size = True
    fields = (
        Field("across", "length", "between the dents, level", reads="calliper"),
        Field("up", "length", "between the dents, upright", reads="calliper"),
        Field("nearer", "word", "fresh dent: on whose side", False, ("toward", "away")),
        Field("higher", "word", "fresh dent: high or low", False, ("high", "low")),
        Field("tolerance", "tolerance", "how far off it may be", needed=False),
    )
    care = (
        "Plug out, and out it stays: the spindle is turned by hand alone.",
        "Sleeves rolled up, hair tied back; no rag and no gloves near what turns.",
    )
    steps = (
        Do(
            key="board",
            title="Fix a scrap board to the spindle, flat side out.",
            lines=(
                "On a faceplate or a screw chuck; it need not run true.",
                "Tailstock where you usually work, as near as it goes; quill short.",
            ),
        ),
        Do(
            key="first",
            title="Lock the tailstock; run the point in to a small dent.",
            lines=("Just so deep that it shows. Draw back the quill and nothing else.",),
        ),
        Do(
            key="half",
            title="Turn the spindle half a turn; dent it once more.",
            lines=("By hand, to within a few degrees. Mark the fresh dent.",),
        ),
    )
    reads = (
        Pick(
            "nearer",
            "Which side of the first dent is the fresh one?",
            (("toward", "toward me, where I stand to turn"), ("away", "away from me")),
            lines=("Not turned on since. Straight above or below: choose either, then 0.",),
            true="toward",
        ),
        Reading(
            "across",
            "How far apart are they, measured level?",
            "calliper",
            ("Middle to middle. One dent alone: 0.",),
            may_equal=True,
            at_most=300,
            true=0.0,
        ),
        Pick(
            "higher",
            "Is the fresh dent the higher one?",
            (("high", "higher"), ("low", "lower")),
            lines=("Level with it: choose either, then 0.",),
            true="high",
        ),
        Reading(
            "up",
            "How far apart are they, measured upright?",
            "calliper",
            ("Middle to middle. One dent alone: 0.",),
            may_equal=True,
            at_most=300,
            true=0.0,
        ),
    )
    formula_is = "off = root(across² + up²) / 2: from dent to dent is twice the way"

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Ask by calliper, or by rule where there is none."""
        asked = super().asked(job)
        if any(tool.kind == "calliper" for tool in job.drawer.others):
            return asked
        return tuple(
            replace(one, tool="rule") if isinstance(one, Reading) else one for one in asked
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw both dents, and the axis midway between."""
        sides = {"nearer": ("toward", "away"), "higher": ("high", "low")}
        across, up = (
            {plus: 1, minus: -1}.get(seen.words.get(key, ""), 0)
            for key, (plus, minus) in sides.items()
        )
        if seen.at == FOUND:
            off = _off(seen.values, seen.words)
            across, up = ((one > 0) - (one < 0) for one in off)
        return dents(across, up, seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse dents that are not those of one point."""
        if math.hypot(values["across"], values["up"]) > MOST_MM:
            return contradict(
                "across and up: dents more than [1 in|25 mm] apart are not those of one point;"
                " read both again",
                "across",
                "up",
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give how far the point is off the axis, mm."""
        return math.hypot(*_off(values, words))

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give it along the direction in which it was found off."""
        return along_what_was_found(lambda read: _off(read, words), values)

    def repeats_to(self, values: Values) -> float:
        """Give how well the dents are found: half of that is in the point."""
        return DENT_MM / 2

    def sized(self, found: Estimate) -> Estimate:
        """Give a size that is made of two axes."""
        return of_two_axes(found, "across and up make one way", _FRESHER)

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give both ways of the point from the axis."""
        across, up = _off(values, words)
        return {
            "toward_you": value_json(across, "length"),
            "above_axis": value_json(up, "length"),
        }

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say where the point is, and which way it must go."""
        across, up = _off(taken.values, taken.words)
        ways = (
            (across, ("toward you", "away from you"), ("away from you", "toward you")),
            (up, ("too high", "too low"), ("down", "up")),
        )
        told, moves = [], []
        for way, where, goes in ways:
            if way:
                size, minus = measure(abs(way), "length", job.unit), way < 0
                told.append(f"{size} {where[minus]}")
                moves.append(f"The tail point must move {size} {goes[minus]}.")
        if up:
            moves.append(
                "Up or down: clean both seats first; only then pack the lower stock, as the maker's"
                " manual says."
            )
        return replace(
            outcome,
            lean=f"tail point {', '.join(told)}" if told else "one dent",
            moves=tuple(moves),
        )


def _off(values: Values, words: Chosen) -> tuple[float, float]:
    """Give the way from the axis to the point: toward the person, and up."""
    across = values["across"] / 2 * (-1 if words.get("nearer") == "away" else 1)
    return across, values["up"] / 2 * (-1 if words.get("higher") == "low" else 1)


METHOD = Centres()
