"""Leads through a check: which steps are answered, which one is asked now.

A method gives its next step from the answers so far and nothing else, so the
same answers lead to the same place on screen, in plain lines, from a file,
and after a power cut.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Protocol

from shopboard.checks.job import CheckContext, Proves
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import AnswerError, Finding, Step
from shopboard.metrology.kind import Kind
from shopboard.metrology.uncertainty import Estimate

Answers = Mapping[str, str]


class Reckoner(Protocol):
    """Something that `reckon` can work out."""

    name: str
    """The trade's name, as the command line writes it."""

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone, without shop or journal."""


class Method(Reckoner, Protocol):
    """A guided check."""

    title: str
    """The name as a heading."""
    finds: str
    """What it proves, one clause."""
    signs: str
    """What an error above 0 and below it is, where nothing else says so."""
    kind: Kind
    """What sort of value it measures."""
    is_size: bool
    """What it measures is a size, such as run-out, and never below 0."""
    proves: Proves
    """What sort of tool it proves."""
    hands_near: bool
    """Measuring brings hands near the cutter; where it does not, the machine runs for it."""
    takes_sizes: tuple[str, ...]
    """Sizes of the shop file that it goes by and never asks for."""
    tools: str
    """What it takes, as the lists of checks say it."""
    minutes: float
    """How long it usually takes."""
    farther: str
    """What makes the distance longer that an error is taken over."""
    widest_board: bool
    """Its test board is as large as the machine takes already."""

    def next_step(self, job: CheckContext, answers: Answers) -> Step | None:
        """Give the first step that the answers leave open; None when the check is closed."""

    def best(self, job: CheckContext) -> Estimate:
        """Give what a true point is usually measured as with the tools at hand."""

    def surest(self, job: CheckContext, shown: Sequence[Estimate]) -> float:
        """Give the highest probability of conformity with which a true point is found true."""

    def of_true_points(self, job: CheckContext) -> Sequence[Estimate]:
        """Give what some true points are measured as, by a check that goes as is usual."""

    def set_right(self, job: CheckContext) -> Estimate:
        """Give what a point without any error is measured as with the tools at hand."""


@dataclass(frozen=True)
class Walk:
    """Where a check stands."""

    answered: tuple[tuple[Step, str], ...]
    """Steps answered so far with their answers, in the order asked."""
    step: Step | None
    """The step that is asked now; None when the check is closed."""
    used: Answers = field(default_factory=dict)
    """Every answer that led here, those that went without saying among them, in order."""

    @property
    def answers(self) -> dict[str, str]:
        """The answers that the check has used."""
        return {step.key: answer for step, answer in self.answered}

    @property
    def findings(self) -> tuple[Finding, ...]:
        """The findings taken so far."""
        return tuple(step for step, _ in self.answered if isinstance(step, Finding))

    def one_back(self) -> Walk:
        """Give where it stood before the last answer; there must be one."""
        step, _ = self.answered[-1]
        names = list(self.used)
        used = {name: self.used[name] for name in names[: names.index(step.key)]}
        return Walk(self.answered[:-1], step, used)


class StepError(AnswerError):
    """An answer that its step refuses, with the step."""

    def __init__(self, step: Step, reason: str) -> None:
        super().__init__(reason)
        self.step = step


def walk(
    method: Method,
    job: CheckContext,
    answers: Answers,
    *,
    from_file: bool = False,
    after: Walk | None = None,
) -> Walk:
    """Follow the answers as far as they lead.

    Args:
        method: the check.
        job: the point it is run on.
        answers: answer by step key; those of steps that are not reached are left out.
        from_file: take what a file of answers need not say.
        after: where the same check stood by answers that are all among these: it is gone on from
            there, since the same answers lead to the same place.

    Raises:
        StepError: when a step refuses its answer.
        NotPossibleError: when the shop lacks what the check needs.
    """
    answered = list(after.answered) if after else []
    used = dict(after.used) if after else {}
    known = after.step if after else None
    while True:
        step, known = known or method.next_step(job, used), None
        if step is None:
            return Walk(tuple(answered), None, used)
        answer = answers.get(step.key)
        if answer is None and from_file:
            answer = _implied(step, answers)
        if answer is None and step.assumed is not None:
            used[step.key] = step.assumed
            continue
        if answer is None and from_file:
            answer = step.unasked
        if answer is None:
            return Walk(tuple(answered), step, used)
        try:
            used[step.key] = step.accept(answer)
        except AnswerError as error:
            raise StepError(step, str(error)) from None
        answered.append((step, used[step.key]))


def _implied(step: Step, answers: Answers) -> str | None:
    return next((implied for other, implied in step.implied_by if other in answers), None)
