"""A check whose error comes from typed readings through a formula.

A method declares what is read and the formula; this asks for the readings, has those that
contradict each other read again, proposes to repeat them where that would help, and makes the
budget.
"""

from __future__ import annotations

import math
from collections import deque
from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from statistics import fmean

from shopboard.checks.advice import way_of
from shopboard.checks.asked import Chosen, Reading, Taken, Values
from shopboard.checks.asking import ask_readings
from shopboard.checks.contradiction import (
    KEEP,
    Contradiction,
    ask_recheck,
    read_again,
    with_remark,
)
from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.counting import counted
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.drawn.canvas import FOUND, AtStep, drawn
from shopboard.checks.inputs import input_of, tools_spoken_of
from shopboard.checks.job import CheckContext
from shopboard.checks.mean_of_sets import budget_of_mean, mean_taken
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import as_read
from shopboard.checks.repeats import as_kept
from shopboard.checks.steps import Choice, Option, Step, StepT
from shopboard.checks.walk import Answers
from shopboard.checks.within_reach import beyond_the_sizes, beyond_the_tool
from shopboard.checks.working import inputs_working
from shopboard.metrology.adjuster import Toward
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.reach import usual_of
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.wording import own_words

_LATELY: deque[tuple[object, Outcome]] = deque(maxlen=16)
"""What was evaluated lately, and what it gave: a way has few sets, and many answers after them."""

SIDE, EITHER = "side", "either"
"""Name and value of what is added to an error whose side can be open, and is."""


class MeasuredCheck(DeclaredCheck):
    """Base of the methods with typed readings; everything is a function of job and answers."""

    def best(self, job: CheckContext) -> Estimate:
        """Give what a true point is usually measured as with the tools at hand."""
        found = self.of_true_points(job)
        if len(found) == 1:
            return found[0]
        middle = job.tolerance.as_it_counts(size=found[0].size).middle
        return usual_of(found)._replace(error=middle)

    def of_true_points(self, job: CheckContext) -> Sequence[Estimate]:
        """Give what the points of `good` are measured as."""
        return [self._measured_as(job, values, words) for values, words in self.good(job)]

    def set_right(self, job: CheckContext) -> Estimate:
        """Give what a point without any error is measured as."""
        return self._measured_as(job, *self.perfect(job))

    def _measured_as(self, job: CheckContext, values: Values, words: Chosen) -> Estimate:
        inputs = {
            one.key: input_of(job, one, values[one.key], words)
            for one in self.asked(job)
            if isinstance(one, Reading) and one.key in values
        }
        return self.evaluate(job, [Taken(inputs, words)]).estimate

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Show the method's cautions once."""
        words = self.cautions(job)
        if not words or "care" in answers:
            return None
        return Choice(
            key="care",
            title="Take care.",
            lines=(*words, MANUAL),
            options=(
                Option(
                    "understood",
                    "understood: go on" if self.hands_near else "guards on, hands clear: go on",
                ),
            ),
        )

    def outcome_of(self, job: CheckContext, sets: Sequence[Taken]) -> Outcome:
        """Evaluate once what is asked at every answer that follows: the way is walked anew then."""
        read = (self.name, {**vars(self)}, [*sets], job)
        for one, outcome in _LATELY:
            if one == read:
                return outcome
        outcome = self.evaluate(job, sets)
        _LATELY.append((read, outcome))
        return outcome

    def take(self, job: CheckContext, answers: Answers, prefix: str, number: int) -> Step | Taken:
        """Ask for one set of readings that do not contradict each other, or give it."""
        job = self.fit(job)
        for step in self.to_do(job):
            if f"{prefix}{step.key}" not in answers:
                shown = drawn(step, partial(self.sketch, job, AtStep(step.key)))
                return _numbered(replace(shown, key=f"{prefix}{step.key}"), number)
        asked = self.asked(job)
        draw = partial(self._draw, job)
        taken = ask_readings(job, asked, answers, prefix, draw=draw)
        if isinstance(taken, Step):
            return _numbered(counted(taken, asked, answers, prefix), number)
        turn, kept = 1, set[str]()
        while isinstance(taken, Taken):
            found = self.contradictions(job, taken)
            wrong = next((one for one in found if not (one.may_be and one.why in kept)), None)
            if wrong is None:
                return taken
            key, anew = f"{prefix}doubt{turn}", f"{prefix}reread{turn}."
            said = answers.get(key)
            if said is None:
                return ask_recheck(wrong, key, job, asked, taken, anew)
            if said == KEEP:
                kept.add(wrong.why)
                taken = with_remark(taken, f"Kept on purpose: {wrong.what}.")
            else:
                again = wrong.again or [one.key for one in asked]
                after = ask_readings(job, asked, answers, anew, taken, again, draw)
                taken = after if isinstance(after, Step) else read_again(job, asked, taken, after)
            turn += 1
        return _numbered(taken, number)

    def _draw(self, job: CheckContext, step: StepT, at: str, taken: Taken) -> StepT:
        """Put the drawing to what is asked, as far as the answers tell the way of the error."""
        key, ways = self.tells
        way = ways.get(taken.words.get(key, ""), 0)
        seen = AtStep(at, way, taken.values, taken.words)
        return drawn(step, partial(self.sketch, job, seen))

    def as_found(
        self,
        step: StepT,
        job: CheckContext,
        answers: Answers,
        outcome: Outcome,
        goes: Toward | None = None,
    ) -> StepT:
        """Draw what was found."""
        taken = outcome.taken or Taken({}, {})
        seen = AtStep(FOUND, way_of(outcome.estimate), taken.values, taken.words, goes)
        return drawn(step, partial(self.sketch, self.fit(job), seen))

    def contradictions(self, job: CheckContext, taken: Taken) -> list[Contradiction]:
        """Name what contradicts in one set of readings, the impossible before the unlikely."""
        asked = self.asked(job)
        found = (
            self.refuse(taken.values, taken.words),
            beyond_the_tool(job, asked, taken),
            self.beyond_the_job(job, taken.values, taken.words),
            beyond_the_sizes(job, asked, taken),
        )
        told = (replace(one, why=own_words(one.why, job.unit)) for one in found if one)
        return sorted(told, key=lambda one: one.may_be)

    def found_in(self, job: CheckContext, taken: Taken) -> float:
        """Give the error from one set of readings."""
        told = self.told(job, taken)
        return self.formula(told.values, told.words)

    def error_of(self, job: CheckContext, taken: Taken) -> float:
        """Give the error from one set, to be held against others: on one side, if it is open."""
        error, about = self.found_in(job, taken), self.open_about(job)
        return error if about is None else about + abs(error - about)

    def repeats_within(self, job: CheckContext, taken: Taken) -> float:
        """Give the standard deviation by which one set repeats, in the unit of the error."""
        return self.budget_of_one(job, self.told(job, taken)).u_repeat

    def evaluate(self, job: CheckContext, sets: Sequence[Taken]) -> Outcome:
        """Turn sets of readings into an outcome: mean, budget, verdict, words."""
        job = self.fit(job)
        sets = [self.told(job, one) for one in sets]
        first, mean = sets[0], mean_taken(sets)
        results = [self.formula(one.values, one.words) for one in sets]
        single = self.budget_of_one(job, first)
        side = {}
        about = self.open_about(job)
        if about is not None:
            off = [one - about for one in results]
            known = all(
                abs(away) - self.rival(job, one) > single.expanded
                for away, one in zip(off, sets, strict=True)
            ) and (min(off) > 0 or max(off) < 0)
            side = {SIDE: ("above" if off[0] > 0 else "below") if known else EITHER}
            # Where one set found the worst above and the next below, the mean is no less for it.
            results = [about + math.copysign(away, off[0]) for away in off]
        budget = budget_of_mean(single, results)
        tools = tools_spoken_of(job.drawer, budget)
        outcome = Outcome(
            method=self.name,
            estimate=self.sized(Estimate(fmean(results), budget)),
            tolerance=job.tolerance,
            kind=self.kind,
            taken=mean,
            level=job.level,
            working=inputs_working(
                own_words(self.formula_words(first.words), job.unit),
                [one.values for one in sets],
                results,
                self.kind,
                job.unit,
                size=self.is_size,
            ),
            adds={**self.adds(mean.values, mean.words), **side},
            readings={
                "sets": [as_kept(one) for one in sets],
                "repeats": as_read(single, results, RECORD_UNITS[self.kind][1]),
                "tools": list(tools.values()),
                "tool_ids": list(tools),
            },
        )
        return self.describe(job, outcome, mean)


def _numbered(step: Step, number: int) -> Step:
    """Say which reading it is, from the second one on."""
    return step if number == 1 else replace(step, lines=(f"Reading {number}.", *step.lines))
