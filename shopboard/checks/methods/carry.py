"""Knife carry: how far above the outfeed table does each jointer knife stand?

A rule on the outfeed table is carried along by each knife as the head is turned
by hand; the carry is a chord of the cutting circle and gives the knife's height.
The error is the height that is farthest from the wanted one, over all knives and both
ends, above the table being plus.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from statistics import fmean

from shopboard.checks.advice import is_met
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict, far_above, unlikely
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.lying import over_knives
from shopboard.checks.inputs import typical_input
from shopboard.checks.job import CheckContext
from shopboard.checks.knives import end_words, heights, move, moves
from shopboard.checks.mean_of_sets import mean_taken, usual_scatter
from shopboard.checks.measured import EITHER, SIDE, MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, Given, ReckoningError, read_fields, tolerance_of
from shopboard.checks.steps import Do
from shopboard.checks.surface import length_json
from shopboard.metrology.carry import CarryError, carry_of, height_of
from shopboard.metrology.kind import measure
from shopboard.metrology.propagate import propagate, steepest
from shopboard.metrology.reach import true_errors
from shopboard.metrology.spread import IN_WORK
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.units import MM_PER_INCH
from shopboard.metrology.wording import small_move

KNIVES = ("two", "three", "four")
"""Words, not figures: a figure picks an answer by its number on the screen."""
LOW = "low"
"""Answer for how many knives carry the rule: not all of them do."""
ENDS = ("front", "back")
_KNIFE_ENDS = tuple(f"knife{number}_{end}" for number in (1, 2, 3, 4) for end in ENDS)
LEAST_MM = 3.0
"""A carry of many times the next longer one (or this) was probably misread."""
SLIP_MM = 0.3
"""Standard uncertainty with which a carry repeats, mm: common practice, no source."""
_ONE_KNIFE = "one knife alone; of a set every end counts: knife1_front=, knife1_back= and so on"
_UNLIKE = (1.0, 0.6, 0.3, 0.0, -0.3, 0.1)
"""How far the ends of three knives are off, as shares of the worst one."""


def _carried(number: int, end: str) -> Reading:
    return Reading(
        f"knife{number}_{end}",
        f"Knife {number}, {end}: how far does it carry the rule?",
        "rule",
        lines=("From mark to mark; 0 when it touches but does not carry.",),
        may_equal=True,
        at_most=500,
        only_if=("knives", KNIVES[max(0, number - 2) :]),
    )


class KnifeCarry(MeasuredCheck):
    """The guided check."""

    name = "carry"
    title = "Knife carry"
    finds = "each jointer knife is at its height, by how far it carries a rule"
    signs = "plus: a knife stands above the outfeed table; minus: below it"
    tools = "rule, leaves"
    minutes = 15.0
    kind = "length"
    fields = (
        Field("carry", "length", "how far the rule is carried", needed=False, reads="rule"),
        Field("height", "length", "height above the outfeed table", needed=False),
        *(
            Field(name, "length", f"carry of {end_words(name)}", needed=False, reads="rule")
            for name in _KNIFE_ENDS
        ),
        Field("circle", "length", "diameter of the cutting circle", reads="rule"),
        Field("tolerance", "tolerance", "what the height may be", needed=False),
    )
    steps = (
        Do(
            key="mark",
            title="Lay a straight wooden rule on the outfeed table.",
            lines=(
                "Its end reaches over the head. Mark it at the table's lip.",
                "Turn the head backwards by hand: at the top, the knives move to the outfeed.",
                "When ONE knife has passed, mark it again: mark to mark is that knife's carry.",
            ),
        ),
    )
    reads = (
        Reading("circle", "Diameter of the cutting circle?", "rule", above=20, size="circle"),
        Pick(
            "knives",
            "How many knives carry the rule, at both ends?",
            (  # in this order, so that 2, 3 and 4 are what they say
                (LOW, "not all of them do"),
                ("two", "both of two"),
                ("three", "all three"),
                ("four", "all four"),
            ),
            lines=(
                "A knife that does not even touch it is below the table.",
                "Chalk their numbers on the head: they are set and read again by number.",
            ),
        ),
        Reading(
            "below",
            "Lowest knife at the top: gap under the rule?",
            "leaves",
            lines=("At the end where it stands lowest; the head held by a wood wedge.",),
            at_most=5,
            may_equal=True,
            only_if=("knives", (LOW,)),
        ),
        *(_carried(number, end) for number in range(1, 5) for end in ENDS),
    )
    aims = ("Lower the knife into the head.", "Raise the knife out of the head.")

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Offer as many knives as the sets here have, where the shop file tells that."""
        reads = super().asked(job)
        if not {*job.knives} <= {2, 3, 4}:
            return reads
        offered = (LOW, *(KNIVES[number - 2] for number in job.knives or (2, 3, 4)))
        return tuple(
            replace(one, options=tuple(option for option in one.options if option[0] in offered))
            if isinstance(one, Pick)
            else one
            for one in reads
        )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Turn a carry into a height, a height into a carry, or judge a set of knives.

        A set is reckoned as its check does: every end that may be the worst counts.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        self.refuse_sizes(given, values)
        if any(given.has(name) for name in _KNIFE_ENDS):
            return self._reckon_set(given)
        if given.has("carry") == given.has("height"):
            raise ReckoningError(
                [
                    "give carry= or height=, one of them, with circle=; of a set, every end of two"
                    " to four knives: knife1_front=, knife1_back=, knife2_front= ..."
                ]
            )
        circle = given.number("circle")
        try:
            if given.has("carry"):
                estimate = _height(given.number("carry"), circle)
                adds = {"height": length_json(estimate.error)}
            else:
                estimate = Estimate(given.number("height"), Budget(()))
                adds = {"carry": length_json(carry_of(estimate.error, circle))}
        except CarryError as error:
            raise ReckoningError([str(error)]) from None
        return Outcome(
            method=self.name,
            estimate=estimate,
            tolerance=given.tolerance("tolerance"),
            kind="length",
            working=(self.formula_words({}),),
            note=_ONE_KNIFE if given.has("carry") else "the height is taken as exact",
            adds=adds,
        )

    def _reckon_set(self, given: Given) -> Outcome:
        """Judge a set of knives, as the check does of the same carries.

        Raises:
            ReckoningError: when an end is missing, or one carry is given beside them.
        """
        told = [name for name in _KNIFE_ENDS if given.has(name)]
        knives = max(2, int(told[-1].removeprefix("knife")[0]))
        ends = _KNIFE_ENDS[: knives * len(ENDS)]
        reasons = [
            f"{name}= is missing: a set is read at both ends of every knife"
            for name in ends
            if name not in told
        ]
        reasons += [
            f"{name}= does not go with a set of knives"
            for name in ("carry", "height")
            if given.has(name)
        ]
        if reasons:
            raise ReckoningError(reasons)
        limits = tolerance_of(given, "length")
        wanted = limits.middle if limits is not None else 0.0
        words = {"knives": KNIVES[knives - 2], "wanted": f"{wanted:.6f}"}
        return self.reckoned(given, words)

    def cautions(self, job: CheckContext) -> tuple[str, ...]:
        """Knives cut while they stand still."""
        plug = "" if job.cutter_near else "Unplugged, with the plug in sight. "
        return (  # near a cutter the plug was asked for just before
            f"{plug}Knives cut even at a standstill.",
            "Turn the head by its pulley or by a block of wood, never by a knife.",
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw head, knife and rule: a knife that carries it stands above the table."""
        way = -1 if seen.words.get("knives") == LOW else 1
        return over_knives(seen.way if seen.at == FOUND else way, seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a carry that the circle does not allow, and one that is far from all others."""
        carries = sorted((mm, name) for name, mm in values.items() if name.startswith("knife"))
        for carry, name in carries:
            if carry > values["circle"] / 2:
                return contradict(
                    f"{end_words(name)}: a carry of [{carry / MM_PER_INCH:.2f} in|{carry:.0f} mm]"
                    " is longer than the cutting circle allows; read it again",
                    "circle",
                    name,
                )
        wild = far_above({name: carry for carry, name in carries}, LEAST_MM)
        if wild:
            why = f"{end_words(wild)}: carried far longer than the others; read it again"
            return unlikely(why, wild)
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the height that is farthest from the wanted one."""
        if words["knives"] == LOW:
            return -values["below"]
        wanted = float(words.get("wanted", "0"))
        return max(heights(values).values(), key=lambda height: abs(height - wanted))

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give the formula with its corners, on the side of the wanted height where it was found.

        Where one knife is as much too high as another is too low, a hair's breadth makes the one
        or the other the worst: the side is open there, but not by how much it is off.
        """
        wanted = float(words.get("wanted", "0"))
        side = math.copysign(1.0, self.formula(values, words) - wanted)
        return steepest(
            lambda read: wanted + side * abs(self.formula(read, words) - wanted), values
        )

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        if words.get("knives") == LOW:
            return "error = minus the gap between the lowest knife and the rule"
        return "height = R - sqrt(R² - carry²/4), R half the cutting circle"

    def open_about(self, job: CheckContext) -> float | None:
        """Give the height that is wanted: one knife can be as much too high as another too low."""
        return job.tolerance.middle

    def rival(self, job: CheckContext, taken: Taken) -> float:
        """Give how far the worst knife on the other side is from the wanted height."""
        wanted = job.tolerance.middle
        above = self.formula(taken.values, taken.words) > wanted
        off = [h - wanted if not above else wanted - h for h in heights(taken.values).values()]
        return max((0.0, *off))

    def repeats_to(self, values: Values) -> float:
        """Give how well a carry repeats, as a height: a rule slips on the knife."""
        carry = max((mm for name, mm in values.items() if name.startswith("knife")), default=0.0)
        return carry / (2 * values["circle"]) * SLIP_MM

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give every height, and how far they spread."""
        if words["knives"] == LOW:
            return {}
        found = heights(values)
        return {
            "heights": {name: length_json(height) for name, height in found.items()},
            "spread": length_json(max(found.values()) - min(found.values())),
        }

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give three knives in the middle of the tolerance."""
        return self._three(job, 0.0)

    def good(self, job: CheckContext) -> Sequence[TruePoint]:
        """Give sets of three whose worst end is off within the tolerance, the others less."""
        middle = job.tolerance.middle
        return [self._three(job, error - middle) for error in true_errors(job.tolerance)]

    def _three(self, job: CheckContext, off: float) -> TruePoint:
        """Give three knives whose worst end is off by so much from the middle, mm."""
        circle = job.sizes.get("circle", 75.0)
        stand = [job.tolerance.middle + share * off for share in _UNLIKE]
        carries = [carry_of(min(max(one, 0.0), circle / 20), circle) for one in stand]
        read = dict(zip(_KNIFE_ENDS, carries, strict=False))
        return {"circle": circle, **read}, {"knives": "three"}

    def told(self, job: CheckContext, taken: Taken) -> Taken:
        """Let the formula know which height is wanted: the middle of the tolerance."""
        return replace(taken, words={**taken.words, "wanted": f"{job.tolerance.middle:.6f}"})

    def evaluate(self, job: CheckContext, sets: Sequence[Taken]) -> Outcome:
        """Judge the end that is farthest off; in the work shows the one that stands highest.

        The highest knife cuts the surface, the others only follow it.
        """
        outcome = super().evaluate(job, sets)
        shows: int | None = None
        if all(one.words["knives"] != LOW for one in sets):
            highest = [max(heights(one.values).values(), key=abs) for one in sets]
            shows = round(fmean(highest) * 1e6)
        outcome = replace(outcome, readings={**outcome.readings, IN_WORK: shows})
        if shows is None or outcome.moves:
            return outcome
        every = moves(job, heights(mean_taken(sets).values), all_told=True)
        # Where the work asks for no more, the worst one alone may be set, and is named.
        return replace(outcome, moves=every[:1] if is_met(job, outcome) else every)

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which knife is worst, and what to move at every end that is off."""
        wanted = job.tolerance.middle
        if taken.words["knives"] == LOW:
            lean = "the lowest knife is below the outfeed table"
            raised = move(job, "the lowest knife", outcome.estimate.error - job.set_to.middle)
            return replace(outcome, called="Height", lean=lean, aims=self.aims, moves=(raised,))
        found = heights(taken.values)
        worst = max(found, key=lambda name: abs(found[name] - wanted))
        spread = small_move(max(found.values()) - min(found.values()), job.unit)
        lean = f"{end_words(worst)} is farthest off; all within {spread} of each other"
        if outcome.adds.get(SIDE) == EITHER:
            lean = _either_way(job, found)
        return replace(
            outcome,
            called="Height",
            lean=lean,
            aims=self.aims,
            moves=moves(job, found),
        )


def _either_way(job: CheckContext, found: Mapping[str, float]) -> str:
    """Say how far knives are off where it is not told which side is worse."""
    wanted, aim = job.tolerance.middle, job.set_to.middle
    high, low = (pick(found, key=lambda name: found[name]) for pick in (max, min))
    if found[high] <= wanted or found[low] >= wanted:
        return "too little off to tell which way"
    above, below = (
        f"{end_words(name)} ({measure(found[name], 'length', job.unit, signed=True)})"
        for name in (high, low)
    )
    if not found[low] < aim < found[high]:  # the work asks for all of them lower, or higher
        return f"highest: {above}; lowest: {below}"
    is_high, is_low = found[high] > job.tolerance.high, found[low] < job.tolerance.low
    one, other = "too high" if is_high else "highest", "too low" if is_low else "lowest"
    return f"{one}: {above}; {other}: {below}; it cannot be told which is worse"


def _height(carry: float, circle: float) -> Estimate:
    """Give the height with what a rule leaves uncertain, and how well a carry repeats."""
    height_of(carry, circle)
    return propagate(
        lambda read: height_of(min(read["carry"], read["circle"]), read["circle"]),
        {
            "carry": typical_input("carry", "rule", carry),
            "circle": typical_input("circle", "rule", circle),
        },
        [usual_scatter(carry / (2 * circle) * SLIP_MM)],
    )


METHOD = KnifeCarry()
