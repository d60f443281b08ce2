"""A check whose error comes from typed readings through a formula.

A method declares what is read and the formula; this asks for the readings,
proposes to repeat them where repeating would help, and makes the budget.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asking import Pick, Reading, Taken, ask_readings, input_of, typical_input
from shopboard.checks.guided import Answers, GuidedCheck
from shopboard.checks.job import Job
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields, tolerance_of
from shopboard.checks.setting import MANUAL
from shopboard.checks.steps import Choice, Do, Option, Step
from shopboard.checks.working import inputs_working
from shopboard.metrology.propagate import Input, propagate, repeated
from shopboard.metrology.uncertainty import Budget, Estimate, Source

MOST_SETS = 9
"""Sets of readings that are taken at the most."""
ENOUGH_FOR_SCATTER = 3
"""From so many sets on, their own scatter says how well they repeat (GUM 4.2); with fewer, k would
be 12.7 and what is usual in the trade says more."""
_SCATTER = "how well it repeats"


class MeasuredCheck(GuidedCheck):
    """Base of the methods with typed readings; everything is a function of job and answers."""

    fields: tuple[Field, ...] = ()
    """Names of the values that `reckon` takes."""
    over = ""
    """Name of the length over which a tolerance typed as a length is taken, for an angle."""

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone, with what such tools usually leave uncertain.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        inputs = {
            one.name: typical_input(one.name, one.reads, given.number(one.name))
            for one in self.fields
            if one.name in given.numbers
        }
        taken = Taken(inputs, given.words)
        wrong = self.refuse(taken.values, taken.words)
        if wrong:
            raise ReckoningError([wrong])
        found = propagate(
            self.near(taken.values, given.words), inputs, self.more(taken.values, given.words)
        )
        found = Estimate(self.formula(taken.values, given.words), found.budget)
        return Outcome(
            method=self.name,
            estimate=found,
            tolerance=tolerance_of(given, self.kind, self.over),
            kind=self.kind,
            working=(self.formula_words(given.words),),
            adds=self.adds(taken.values, taken.words),
        )

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give what the method tells beside the error, ready for JSON, units in the names."""
        del values, words
        return {}

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Give what to take care of, one short sentence each, before anything is cut or moved."""
        del job
        return ()

    def to_do(self, job: Job) -> Sequence[Do]:
        """Give what to do before reading, such as cutting the test pieces; keys without prefix."""
        raise NotImplementedError

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Give what is read."""
        raise NotImplementedError

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the signed error from the readings (mm, s; the error in the unit of `kind`)."""
        raise NotImplementedError

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula: ``error = atan(gap / (2 width))``."""
        raise NotImplementedError

    def near(
        self, values: Mapping[str, float], words: Mapping[str, str]
    ) -> Callable[[Mapping[str, float]], float]:
        """Give the formula through which uncertainties go, near these readings.

        A size without a sign has no slope at 0, where it would seem to be known exactly: such a
        method gives the signed value along the direction that was found.
        """
        del values
        return lambda read: self.formula(read, words)

    def more(self, values: Mapping[str, float], words: Mapping[str, str]) -> tuple[Source, ...]:
        """Give what makes the error uncertain beside the readings, in the error's own unit."""
        del values, words
        return ()

    def own(self, job: Job) -> Mapping[str, Input]:
        """Give what goes into the formula without being read, such as a tool's own bow (0)."""
        del job
        return {}

    def also(
        self, job: Job, values: Mapping[str, float], words: Mapping[str, str]
    ) -> tuple[Source, ...]:
        """Give what tools of the drawer that are not read add, in the error's own unit."""
        del job, values, words
        return ()

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give the standard uncertainty by which the error usually repeats (common practice)."""
        del values
        return 0.0

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Say which reading contradicts the others and must be repeated; empty when none does."""
        del values, words
        return ""

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give readings (mm, s) and picked words of a point without error, for `best`."""
        raise NotImplementedError

    def best(self, job: Job) -> Estimate:
        """Give what a perfect point would be measured as with the tools at hand."""
        values, words = self.perfect(job)
        inputs = {
            one.key: input_of(job, one, values[one.key], words)
            for one in self.asked(job)
            if isinstance(one, Reading) and one.key in values
        }
        return self.evaluate(job, [Taken(inputs, words)]).estimate

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Put words, aims and additions to an outcome."""
        raise NotImplementedError

    def prepare(self, job: Job, answers: Answers) -> Step | None:
        """Show the method's cautions once."""
        words = self.cautions(job)
        if not words or "care" in answers:
            return None
        return Choice(
            key="care",
            title="Take care.",
            lines=(*words, MANUAL),
            options=(Option("understood", "guards on, hands clear: go on"),),
        )

    def measure(self, job: Job, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for sets of readings until they are enough, or give the outcome."""
        sets: list[Taken] = []
        while True:
            number = len(sets) + 1
            here = prefix if number == 1 else f"{prefix}again{number}."
            taken = self._take(job, answers, here)
            if isinstance(taken, Step):
                return taken
            sets.append(taken)
            outcome = self.evaluate(job, sets)
            key = f"{prefix}repeat{number}"
            if number >= MOST_SETS or answers.get(key) == "no":
                return outcome
            if key not in answers:
                return _ask_repeat(key, outcome, number, f"{prefix}again{number + 1}.")

    def _take(self, job: Job, answers: Answers, prefix: str) -> Step | Taken:
        for step in self.to_do(job):
            if f"{prefix}{step.key}" not in answers:
                return replace(step, key=f"{prefix}{step.key}")
        taken = ask_readings(job, self.asked(job), answers, prefix)
        if isinstance(taken, Step):
            return taken
        wrong = self.refuse(taken.values, taken.words)
        if wrong and f"{prefix}sure" not in answers:
            return Do(
                key=f"{prefix}sure",
                title="These readings contradict each other.",
                lines=(wrong, "Go back and read it again."),
                unasked=None,
                refusal=wrong,
            )
        return taken

    def evaluate(self, job: Job, sets: Sequence[Taken]) -> Outcome:
        """Turn sets of readings into an outcome: mean, budget, verdict, words."""
        first = sets[0]

        usual = Source(_SCATTER, self.repeats_to(first.values) / len(sets) ** 0.5, 8.0)
        others = (
            *self.more(first.values, first.words),
            *self.also(job, first.values, first.words),
            *((usual,) if usual.u else ()),
        )
        inputs = {**first.inputs, **self.own(job)}
        formula = self.near({name: one.value for name, one in inputs.items()}, first.words)
        results = [self.formula(one.values, one.words) for one in sets]
        found = Estimate(results[0], propagate(formula, inputs, others).budget)
        if len(results) >= ENOUGH_FOR_SCATTER:
            mean, scatter = repeated(results)
            kept = [one for one in found.budget.sources if one.name != _SCATTER]
            found = Estimate(mean, Budget((*kept, scatter)))
        elif len(results) > 1:
            found = Estimate(sum(results) / len(results), found.budget)
        outcome = Outcome(
            method=self.name,
            estimate=found,
            tolerance=job.tolerance,
            kind=self.kind,
            level=job.level,
            working=inputs_working(
                self.formula_words(first.words),
                [one.values for one in sets],
                results,
                self.kind,
                job.unit,
            ),
            adds=self.adds(first.values, first.words),
            readings={"sets": [{**one.words, **_whole(one.values)} for one in sets]},
        )
        return self.describe(job, outcome, first)


def _whole(values: Mapping[str, float]) -> dict[str, int]:
    """Give readings as the whole millionths (nanometres, microseconds) that a record keeps."""
    return {name: round(value * 1e6) for name, value in values.items()}


def _ask_repeat(key: str, outcome: Outcome, number: int, following: str) -> Choice:
    budget = outcome.estimate.budget
    scatter = sum(budget.share(one) for one in budget.sources if not one.even)
    worth = outcome.verdict == "near" and scatter > 0.5
    return Choice(
        key=key,
        title="Read it all once more?",
        lines=(
            f"Readings so far: {number}.",
            "It would help: how well it repeats makes most of what is not known."
            if worth
            else "It is not needed.",
        ),
        options=(Option("no", "no, that is it"), Option("yes", "yes, read again")),
        default="yes" if worth else "no",
        unasked="no",
        implied_by=((f"{following}sets", "yes"),),
    )
