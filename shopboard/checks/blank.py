"""Every question that a check can ask, found by walking it with every answer to every choice.

The readings are those of a point without error, the tolerance is one that they miss: so the way
leads on through a correction. Readings that contradict each other, and those that are taken once
more, are left out: they are asked for again under the same names.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from shopboard.checks.contradiction import KEEP, Recheck
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import AnswerError, Choice, Finding, Number, Step, Words
from shopboard.checks.walk import Method, Walk, walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import YES_NO_WORDS

MOST_WAYS = 300
"""Ways that are walked at the most; a check has some dozens."""

MEASURED_BY = ".by"
"""End of the name of what is asked of a gap wider than the leaves at hand: seldom."""

_LED = re.compile(r"(?:^|\.)(?:leaf\d+)$")
"""A leaf that is tried: in a file the two leaves are given instead."""

_ONCE_MORE = re.compile(r"(?:^|\.)repeat\d+$")

_GUESSES_MM = (0.0, 0.05, 0.2, 1.0, 5.0, 25.0, 100.0, 250.0, 600.0)
"""Tried for a number that is known neither by default nor from a point without error."""


@dataclass(frozen=True)
class AskedStep:
    """One question that a check can ask."""

    step: Step
    always: bool
    """It is asked on every way (that leads through a correction); else only after some answers."""
    after_correction: bool
    """It belongs to the run after a correction."""


def questions(method: Method, job: CheckContext) -> list[AskedStep]:
    """Give every question of a check in the order in which they are asked.

    The questions of the run after a correction come last, those of further runs are the same.

    Raises:
        NotPossibleError: when the shop lacks what the check needs.
    """
    return questions_and_outcome(method, job)[0]


def questions_and_outcome(
    method: Method, job: CheckContext
) -> tuple[list[AskedStep], Outcome | None]:
    """Give the questions, and what the check finds at a point without error.

    Raises:
        NotPossibleError: when the shop lacks what the check needs.
    """
    found = _Ways(method, job)
    found.try_all()
    usual = [way for way in found.ways if not any(key.endswith(MEASURED_BY) for key in way)]
    ways, steps, left = usual or found.ways, found.steps, found.left
    corrected = [way for way in ways if way & left]
    asked = [
        AskedStep(
            steps[key],
            always=all(key in way for way in (corrected if key in left else ways)),
            after_correction=key in left,
        )
        for key in sorted(found.order, key=left.__contains__)
        if not _LED.search(key) and not isinstance(steps[key], Finding | Recheck)
    ]
    outcomes = (one.outcome for one in steps.values() if isinstance(one, Finding))
    return asked, next(outcomes, None)


_Branch = tuple[dict[str, str], Walk | None]
"""Answers of a way that is still to be gone, and where it parts from one that was gone."""


class _Ways:
    """The ways through a check: every answer that may lead on is tried once."""

    def __init__(self, method: Method, job: CheckContext) -> None:
        self.method = method
        self.values = _without_error(method, job)
        self.missed = job._replace(tolerance=_missed(job))
        self.order: list[str] = []
        """Of the questions, by their keys."""
        self.steps: dict[str, Step] = {}
        self.left: set[str] = set()
        """Questions of the run after a correction."""
        self.ways: list[set[str]] = []
        """The questions of each way that came to its end."""
        self._tried: set[tuple[str, str]] = set()

    def try_all(self) -> None:
        """Go all ways, those found first to their end first."""
        waiting: list[_Branch] = [({}, None)]
        while waiting and len(self.ways) < MOST_WAYS:
            self._go(*waiting.pop(0), waiting)

    def _go(self, answers: dict[str, str], after: Walk | None, waiting: list[_Branch]) -> None:
        """Go one way to its end; what may be answered otherwise waits its turn."""
        before = ""
        reached: set[str] = set()
        while True:
            stands = after = walk(self.method, self.missed, answers, after=after)
            reached.update(step.key for step, _ in stands.answered)
            step = stands.step
            if step is None:
                self.ways.append(reached)
                return
            before = stands.answered[-1][0].key if stands.answered else before
            self._meet(step, before, answers)
            ways = _ways_on(step, self.values)
            new = [one for one in ways if (step.key, one) not in self._tried]
            if not ways:
                return
            self._tried |= {(step.key, one) for one in new}
            waiting += [({**answers, step.key: one}, stands) for one in new[1:]]
            answers = {**answers, step.key: (new or ways)[0]}

    def _meet(self, step: Step, before: str, answers: Mapping[str, str]) -> None:
        """Take in a question that was not met yet, behind the one before it."""
        if step.key in self.steps:
            return
        self.steps[step.key] = step
        place = self.order.index(before) + 1 if before in self.order else 0
        self.order.insert(place, step.key)
        if answers.get("next") == "adjust" and step.key.startswith("left."):
            self.left.add(step.key)


def _ways_on(step: Step, values: Mapping[str, float]) -> tuple[str, ...]:
    """Give the answers that lead on from a step; none where it is the end of the way."""
    if isinstance(step, Recheck):
        return tuple(one.value for one in step.options if one.value == KEEP)
    if _LED.search(step.key):
        return ("typed",)
    if _ONCE_MORE.search(step.key):
        return ("no",)
    if step.key == "left.next":
        return ("done",)
    if isinstance(step, Choice):
        return tuple(one.value for one in step.options)
    if isinstance(step, Number):
        # A gap that is wider than the leaves at hand is asked about further.
        wide = (f"{step.at_most:g} mm",) if step.key.endswith(".goes") else ()
        return (*tuple(_numbers(step, values))[:1], *wide)
    return ("noted",) if isinstance(step, Words) else ("done",)


def _numbers(step: Number, values: Mapping[str, float]) -> Iterator[str]:
    """Give numbers that the step takes, the likeliest first."""
    key = step.key.removeprefix("left.")
    known = [values[one] for one in (key, key.rpartition(".")[2]) if one in values]
    unit = "" if step.plain or step.is_turns else " mm"
    guesses = [f"{one:g}{unit}" for one in (*known, *_GUESSES_MM)]
    for said in (step.default, *guesses):
        try:
            if said is not None:
                yield step.accept(said)
        except AnswerError:
            continue


def _without_error(method: Method, job: CheckContext) -> Mapping[str, float]:
    return method.perfect(job)[0] if isinstance(method, DeclaredCheck) else {}


def _missed(job: CheckContext) -> Tolerance:
    """Give a tolerance that a point without error misses; what is looked at is found either way."""
    kept = job.tolerance
    far = 10 * max(abs(kept.low), abs(kept.high))
    return kept if kept.kind in YES_NO_WORDS else kept._replace(low=far, high=1.2 * far)
