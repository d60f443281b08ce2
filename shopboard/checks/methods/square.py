"""Square and feeler: is a face square to its datum?

A square stands on the datum with its blade against the face. It touches at one
end; the gap at the other, read with feeler leaves, over the lever between is
the angle: error = atan(gap / lever), positive with light at the top (or tip).
The square's own error goes into the budget, or is cancelled by turning the
square over. After a correction is locked, the same reading is taken again.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import is_enough, is_open, wanted_of, way_of
from shopboard.checks.contradiction import AGAIN, KEEP, Recheck
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines, drawn
from shopboard.checks.drawn.square_at_face import PLACE, square_at_face
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.leaf_by_leaf import LeafByLeaf
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import by_own_hand
from shopboard.checks.reading import Read, ask_reading
from shopboard.checks.reckoning import Field, read_fields
from shopboard.checks.settle import WORTH_READING, chance_by_turning, chance_words
from shopboard.checks.square_finding import (
    SquareSet,
    as_set,
    beyond_its_grade,
    estimate_of,
    evaluate,
)
from shopboard.checks.steps import Choice, Do, Option, Step, StepT
from shopboard.checks.tools import Tools, reaches_of, take_tools, tools_taken
from shopboard.checks.working import square_working
from shopboard.metrology.adjuster import Toward
from shopboard.metrology.reach import Reach, best_reading, set_up
from shopboard.metrology.square import Light, SetUp, SquareReading, estimate
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import length, percent

_OPPOSITE: dict[Light, Light] = {"top": "bottom", "bottom": "top", "none": "none"}


_LIGHT = ("top", "bottom", "none", "tip", "heel")
"""Where light may be; the tip stands for the top, the heel for the bottom."""


class SquareAndFeeler(LeafByLeaf[SquareSet]):
    """The guided check; everything in it is a function of the job and the answers."""

    name = "square"
    title = "Square and feeler"
    finds = "a face is square to what the square stands on"
    signs = "plus: light shows at the top, or at the tip where the square lies flat"
    by_hand = "error = atan(gap / reach), the reach from where the blade touches to the leaf"
    tools = "square, leaves"
    minutes = 6.0
    begins = ("light",)
    fields = (
        Field("goes", "length", "thickest leaf that goes; 0 when the thinnest was refused"),
        Field("refused", "length", "thinnest leaf that won't go"),
        Field("lever", "length", "from where the blade touches to the leaf"),
        Field(
            "light",
            "word",
            "top, bottom or none; flat: tip or heel",
            words=_LIGHT,
        ),
        Field("square_error", "angle over reach", "limit of the square's own error", needed=False),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
        Field("turned_goes", "length", "as goes, with the square turned over", needed=False),
        Field("turned_refused", "length", "as refused, square turned over", needed=False),
        Field(
            "turned_light",
            "word",
            "as light, square turned over; the same as light when left out",
            needed=False,
            words=_LIGHT,
        ),
    )

    def prepare(self, job: CheckContext, answers: Mapping[str, str]) -> Step | None:
        """Ask which square and leaves are taken."""
        return take_tools(job) if tools_taken(job, answers.get("tools")) is None else None

    def take(
        self, job: CheckContext, answers: Mapping[str, str], prefix: str, number: int
    ) -> Step | SquareSet:
        """Ask for one measurement whose two readings do not contradict each other, or give it."""
        taken, turn = self._take(job, answers, prefix, prefix), 1
        while isinstance(taken, SquareSet):
            excess = beyond_its_grade(job, [taken])
            key, anew = f"{prefix}doubt{turn}", f"{prefix}reread{turn}."
            said = answers.get(key)
            if excess and said is None:
                return _ask_recheck(key, anew)
            if not excess or said == KEEP:
                remark = "Both were read again." if turn > 1 else ""
                remark = "They were kept on purpose." if excess else remark
                return replace(taken, remarks=(remark,)) if remark else taken
            taken, turn = self._take(job, answers, anew, prefix), turn + 1
        return taken if number == 1 else replace(taken, lines=(f"Reading {number}.", *taken.lines))

    def _take(
        self, job: CheckContext, answers: Mapping[str, str], prefix: str, first: str
    ) -> Step | SquareSet:
        """Ask for one measurement, or give it; `first` is the prefix of the one it repeats."""
        tools = _tools(job, answers)
        first = _AGAIN.sub("", first)
        if f"{prefix}place" not in answers:
            return _place(job, tools, prefix, is_again=prefix != first)
        read = ask_reading(job, tools, answers, prefix)
        if isinstance(read, Step):
            return read
        turned = _turned(job, tools, answers, prefix, first, read)
        return turned if isinstance(turned, Step) else as_set(tools, read, turned)

    def estimate_of(self, job: CheckContext, sets: Sequence[SquareSet]) -> Estimate:
        """Give the error, or the mean of several measurements, and its budget."""
        return estimate_of(job, sets)

    def evaluate(self, job: CheckContext, sets: Sequence[SquareSet]) -> Outcome:
        """Turn measurements with the same tools into an outcome."""
        return evaluate(job, sets)

    def best(self, job: CheckContext) -> Estimate:
        """Give what a true point is usually measured as by the best square and leaves."""
        return max(_reached(job), key=lambda one: one.probability).best

    def of_true_points(self, job: CheckContext) -> Sequence[Estimate]:
        """Give what true points are measured as with the tools that are offered first.

        The square is turned over only where that is proposed: where it proves nothing as it stands.
        """
        found = _reached(job)
        first = next(one for one in found if not one.turned)
        if first.probability < job.level:
            first = max(found, key=lambda one: one.probability)
        return first.shown

    def surest(self, job: CheckContext, shown: Sequence[Estimate]) -> float:
        """Give the highest probability of conformity that the tools at hand can show."""
        return max(one.probability for one in reaches_of(job))

    def set_right(self, job: CheckContext) -> Estimate:
        """Give what a face without any error is measured as by the best square and leaves."""
        found = []
        for one in _reached(job):
            own = math.tan(one.square.known_error) * one.lever  # the light that the square makes
            as_set = set_up(one.square, one.feelers, one.lever)
            reading = best_reading(own, one.feelers)
            turned = best_reading(-own, one.feelers) if one.turned else None
            found.append(by_own_hand(estimate(as_set, reading, turned), job.hands))
        return min(found, key=lambda one: one.budget.u)

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw square, face and leaf, at the lever that the shop file gives."""
        lever = job.geometry.lever
        words = length(lever, job.unit) if lever else ""
        return square_at_face(job.geometry, seen, words, size)

    def as_found(
        self,
        step: StepT,
        job: CheckContext,
        answers: Mapping[str, str],
        outcome: Outcome,
        goes: Toward | None = None,
    ) -> StepT:
        """Draw the face as it was found."""
        lever = length(_tools(job, answers).lever, job.unit)
        seen = AtStep(FOUND, way_of(outcome.estimate), goes=goes)
        return drawn(step, lambda size: square_at_face(job.geometry, seen, lever, size))

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
            ReadingError: when the readings cannot be.
        """
        given = read_fields(self.fields, values)
        light = _light(given.word("light"))
        reading = SquareReading(light, given.number("goes"), given.number("refused"))
        turned = None
        if given.has("turned_goes") or given.has("turned_refused") or given.has("turned_light"):
            given.need_both("turned_goes", "turned_refused")
            turned_light = (
                _light(given.word("turned_light")) if given.has("turned_light") else light
            )
            turned = SquareReading(
                turned_light, given.number("turned_goes"), given.number("turned_refused")
            )
        setup = SetUp(given.number("lever"), square_limit=given.optional("square_error"))
        taken_exact = not given.has("square_error") and turned is None
        return Outcome(
            method=self.name,
            estimate=estimate(setup, reading, turned),
            tolerance=given.tolerance("tolerance"),
            working=square_working(setup, reading, turned, "inch"),
            note="the square is taken as exact" if taken_exact else "",
        )


def _reached(job: CheckContext) -> tuple[Reach, ...]:
    found = reaches_of(job)
    if not found:
        raise NotPossibleError("it needs a square and a set of feeler leaves among your tools")
    return found


def _tools(job: CheckContext, answers: Mapping[str, str]) -> Tools:
    tools = tools_taken(job, answers.get("tools"))
    if tools is None:
        raise NotPossibleError("the shop file does not list these tools")
    return tools


def _light(word: str) -> Light:
    if word == "none":
        return "none"
    return "top" if word in ("top", "tip") else "bottom"


def _place(job: CheckContext, tools: Tools, prefix: str, *, is_again: bool) -> Do:
    geometry, lever = job.geometry, length(tools.lever, job.unit)
    flat = geometry.lies == "flat"
    put = "Lay the square flat, its stock against" if flat else "Set its stock on"
    before = ("As before, now that it is locked.",) if prefix else ()
    if is_again:
        before = ("Take it away first, then read it afresh.",)
    place = Do(
        key=f"{prefix}place",
        title=f"{put}: {geometry.datum}.",
        lines=(
            *before,
            f"Its blade up to: {geometry.face}.",
            f"Leaves go in {lever} from where the blade touches.",
        ),
    )
    return drawn(place, lambda size: square_at_face(geometry, AtStep(PLACE), lever, size))


_AGAIN = re.compile(r"(again|retake|reread)\d+\.$")
"""End of the prefix of a measurement that repeats another."""


def _turned(
    job: CheckContext, tools: Tools, answers: Mapping[str, str], prefix: str, first: str, read: Read
) -> Step | Read | None:
    """Ask for the reading with the square turned over, where the point allows it.

    What was chosen for the first measurement goes for those that repeat it.
    """
    if job.geometry.turn == "no":
        return None
    chosen = answers.get(f"{first}turn")
    if chosen is None:
        return _ask_turn(job, as_set(tools, read), first)
    if chosen == "no":
        return None
    if job.geometry.other_side:  # the drawing names where it stands now
        job = job._replace(
            geometry=job.geometry._replace(
                datum=job.geometry.other_side, side=job.geometry.turned_side
            )
        )
    second = ask_reading(job, tools, answers, f"{prefix}turned.", turned=True)
    if isinstance(second, Step) or job.geometry.turn == "end for end":
        return second
    # On the other side of a face, light at the top means that it leans the other way.
    one = second.reading
    return Read(
        SquareReading(_OPPOSITE[one.light], one.goes, one.refused), second.tries, second.leaves
    )


def _where(side: str) -> str:
    return f", {side}" if side else ""


def _ask_turn(job: CheckContext, taken: SquareSet, prefix: str) -> Choice:
    outcome = evaluate(job, [taken])
    budget = outcome.estimate.budget
    from_square = sum(budget.share(source) for source in budget.sources if source.lasting)
    worth = not is_enough(job, outcome) and from_square > 0.25
    settles = ""
    if is_open(job, outcome):
        chance = chance_by_turning(outcome, wanted_of(job, outcome))
        worth = chance >= WORTH_READING
        settles = f" {chance_words(chance, 'That')}."
    how = (
        f"Stand it against the other side of the face{_where(job.geometry.other_side)}."
        if job.geometry.turn == "other side"
        else "Turn the block square end for end, against the same face."
    )
    cancels = f"It cancels the square's own error, {percent(from_square)} of the uncertainty."
    return Choice(
        key=f"{prefix}turn",
        title="Turn the square over and read again?",
        lines=(how, f"{cancels}{settles}"),
        options=(Option("no", "no, go on"), Option("yes", "yes, read again")),
        default="yes" if worth else "no",
        assumed=None if worth else "no",
        unasked="no",
        implied_by=((f"{prefix}turned.light", "yes"),),
    )


def _ask_recheck(key: str, following: str) -> Recheck:
    """Ask to read both again where they say that the square is worse than it may be."""
    why = "the two readings say that the square is off by more than it should be"
    return Recheck(
        key=key,
        title="Can this be right?",
        lines=(f"{why[0].upper()}{why[1:]}.",),
        options=(
            Option(AGAIN, "read both again"),
            Option(KEEP, "it really is so: keep it, with a remark"),
        ),
        default=AGAIN,
        implied_by=((f"{following}light", AGAIN),),
        refusal=f'{why}; read both again (or {key} = "{KEEP}", if it really is so)',
    )


METHOD = SquareAndFeeler()
