"""Base of the checks whose readings can be taken again within one check, and are then judged."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Generic

from shopboard.checks.asked import Pick, Reading
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.repeats import SetsRead, SetT
from shopboard.checks.steps import Step
from shopboard.checks.walk import Answers


class RepeatedCheck(GuidedCheck, Generic[SetT]):
    """What a method fills in; one set is what it reads at once."""

    reads_again = True
    ask_in_vain = True
    """Whether to read on is asked even where that is not proposed."""

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Give what is read, or what a file of answers gives to read it again."""
        raise NotImplementedError

    def take(self, job: CheckContext, answers: Answers, prefix: str, number: int) -> Step | SetT:
        """Ask for one set of readings, or give it."""
        raise NotImplementedError

    def evaluate(self, job: CheckContext, sets: Sequence[SetT]) -> Outcome:
        """Turn the sets that count into an outcome."""
        raise NotImplementedError

    def outcome_of(self, job: CheckContext, sets: Sequence[SetT]) -> Outcome:
        """Give the outcome of sets, whether it is evaluated anew or known."""
        return self.evaluate(job, sets)

    def found_in(self, job: CheckContext, taken: SetT) -> float:
        """Give the error from one set of readings."""
        raise NotImplementedError

    def error_of(self, job: CheckContext, taken: SetT) -> float:
        """Give it as it is held against those of other sets."""
        return self.found_in(job, taken)

    def repeats_within(self, job: CheckContext, taken: SetT) -> float:
        """Give the standard deviation by which one set repeats, in the unit of the error."""
        raise NotImplementedError

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for sets of readings until they are enough, or give the outcome."""
        return SetsRead[SetT](self, job, answers, prefix).lead()
