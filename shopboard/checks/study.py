"""A study of one's own hand: one point, one tool, ten readings, each with the tool set up anew.

It goes the way of the point's check up to the reading, takes that ten times, and ends in one result
like any other, the mean of the ten. What the hand repeats to is learnt from it as from every check
that was read more than once.
"""

from __future__ import annotations

import contextlib
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from statistics import fmean

from shopboard.checks import registry
from shopboard.checks.correction_steps import CLOSE, close, unplug
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.outcome import Outcome
from shopboard.checks.own_hand import (
    SORTS,
    as_read,
    assumed_of,
    hand_words,
    sort_of,
)
from shopboard.checks.steps import Do, Finding, Step
from shopboard.checks.walk import Answers, Method
from shopboard.metrology.kind import RECORD_UNITS
from shopboard.metrology.own_hand import DIAL, LEAF, RULE, learnt, pairs_of
from shopboard.metrology.propagate import repeated
from shopboard.metrology.square import ReadingError
from shopboard.metrology.uncertainty import Budget, Estimate

READINGS = 10
"""Readings of a study: nine degrees of freedom, one more than what is usual is taken to have."""

_NEVER_SURE = 2.0
"""A level of proof that nothing reaches: each gap is read as finely as the leaves allow."""

_STEPS = {LEAF: "the leaves", DIAL: "the divisions", RULE: "the divisions"}


class Study(GuidedCheck):
    """The ten readings, by the method of the point's check."""

    def __init__(self, method: GuidedCheck, reckon: Callable[[Mapping[str, str]], Outcome]) -> None:
        self.method = method
        self.reckon = reckon
        self.name = method.name
        self.title = f"{method.title}, ten readings for your own hand"
        self.kind = method.kind
        self.hands_near = method.hands_near
        self.clears = method.clears
        self.above_all = method.above_all
        self.proves = method.proves

    def best(self, job: CheckContext) -> Estimate:
        """Give what one reading of the method is usually worth."""
        return self.method.best(job)

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Ask what the method asks before its first reading."""
        return self.method.prepare(job, answers)

    def next_step(self, job: CheckContext, answers: Answers) -> Step | None:
        """Give the first step that the answers leave open; None when the study is closed."""
        if job.cutter_near and self.hands_near and "unplugged" not in answers:
            return unplug("unplugged", "Unplug the machine. Wait until the cutter has stopped.")
        step = self.method.prepare(job, answers)
        if step is not None:
            return step
        read: list[Outcome] = []
        finely = job._replace(level=_NEVER_SURE)
        for number in range(1, READINGS + 1):
            prefix = "" if number == 1 else f"reading{number}."
            if number > 1 and f"{prefix}anew" not in answers:
                return _anew(f"{prefix}anew", number)
            found = self._read(finely, answers, prefix)
            if isinstance(found, Step):
                told = self._foreword(job, finely, answers, found.key) if number == 1 else ()
                said = (f"Reading {number} of {READINGS}.", *told)
                return replace(found, lines=(*said, *found.lines))
            read.append(found)
        if "record" not in answers:
            return self._finding(job, read)
        cleared = self.hands_near and (self.clears or job.cutter_near)
        return close(job, self.above_all) if cleared and CLOSE not in answers else None

    def _foreword(
        self, job: CheckContext, finely: CheckContext, answers: Answers, key: str
    ) -> tuple[str, ...]:
        """Give what ten readings tell here, where a key is that of the first question read."""
        known: dict[str, str] = {}
        while (step := self.method.prepare(job, known)) is not None and step.key in answers:
            known[step.key] = answers[step.key]
        first = self.method.measure(finely, known, "")
        is_first = isinstance(first, Step) and first.key == key
        return foreword(self, job) if is_first else ()

    def _read(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for one reading, or give it.

        What was set up or said at the first and goes without saying is not asked again: ten
        readings take five minutes.
        """
        known = {**answers, f"{prefix}repeat1": "no"}
        while True:
            found = self.method.measure(job, known, prefix)
            if not (prefix and isinstance(found, Step)):
                return found
            first = answers.get(found.key.removeprefix(prefix))
            usual = isinstance(found, Do) or getattr(found, "default", None) is not None
            if first is None or not usual:
                return found
            known[found.key] = first

    def _finding(self, job: CheckContext, read: list[Outcome]) -> Finding:
        """Make one result of them: their mean, and what they say of the hand."""
        errors, budget = [one.estimate.error for one in read], read[0].estimate.budget
        kept = [source for source in budget.sources if source.hand not in SORTS]
        mean = Estimate(fmean(errors), Budget((*kept, repeated(errors)[1])), read[0].estimate.size)
        nearest = min(read, key=lambda one: abs(one.estimate.error - mean.error))
        readings: dict[str, object] = {
            **nearest.readings,
            "repeats": as_read(budget, errors, RECORD_UNITS[self.kind][1]),
        }
        words = what_it_says(errors, budget)
        return Finding(
            key="record",
            title=f"{READINGS} readings.",
            lines=(nearest.lean,),
            outcome=replace(
                nearest,
                estimate=mean,
                level=job.level,
                note=" ".join((*words, f"The mean of {READINGS} readings.")),
                readings=readings,
            ),
            run="as-left" if job.was_moved else "as-found",
        )


def _anew(key: str, number: int) -> Do:
    return Do(
        key=key,
        title="Take the tool away, and set it up again.",
        lines=(
            f"For reading {number} of {READINGS}. Start fresh.",
            "Move nothing on the machine.",
        ),
    )


def can_study(method: Method, job: CheckContext) -> bool:
    """Tell whether a point can be studied by a method: a hand reads it, and nothing is cut for it.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    assumed, _ = assumed_of(method.best(job).budget)
    return method.hands_near and sort_of(assumed) in SORTS


def coarseness(method: Method, job: CheckContext) -> float:
    """Give half the step that a method reads by over what a hand is taken to repeat to.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    assumed, half = assumed_of(method.best(job._replace(level=_NEVER_SURE)).budget)
    return half / math.hypot(*assumed.values())


FINE_STEPS = 0.35
"""Coarseness up to which ten readings tell what any hand repeats to: the usual one then has the
degrees of freedom that it takes to be gone by (simulated, in the tests)."""

COARSEST = 4.5
"""Coarseness from which on they tell of no hand."""


def tells_from(coarse: float) -> int:
    """Give how many times as rough as usual a hand must be for ten readings to tell.

    A hand that scatters by less than the steps reads the same step ten times, or the two beside a
    leaf that it is as likely to get in as not, and so does one that is finer still. Eight of ten
    hands that are so rough are told (simulated, in the tests).

    Returns:
        0 where any hand is told.
    """
    if coarse <= FINE_STEPS:
        return 0
    return 2 if coarse <= 0.8 else max(3, math.ceil(1.5 * coarse))


def foreword(method: Method, job: CheckContext) -> tuple[str, ...]:
    """Say before they are taken how little ten readings tell here; nothing where they tell all.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    coarse = coarseness(method, job)
    times = tells_from(coarse)
    if not times:
        return ()
    steps = _STEPS[sort_of(assumed_of(method.best(job).budget)[0])]
    if coarse > COARSEST:
        return (f"They say nothing about your hand here: {steps} are too far apart.",)
    rough = f"They only show here whether your readings scatter {times} times the usual, or more:"
    return (f"{rough} {steps} are too far apart for less.",)


def study_method(job: CheckContext, names: Sequence[str]) -> str:
    """Name the method by which ten readings of a point tell most; empty where none tells any."""
    found: dict[str, float] = {}
    for name in names:
        method = registry.method(name)
        with contextlib.suppress(NotPossibleError, ReadingError):
            if method.kind == job.tolerance.kind and can_study(method, job):
                found[name] = coarseness(method, job)
    best = min(found, key=lambda name: found[name], default="")
    return best if best and found[best] <= COARSEST else ""


def study_words(method: Method, job: CheckContext) -> str:
    """Say what is offered, in a few words."""
    times = tells_from(coarseness(method, job))
    what = f"whether your readings scatter {times} times the usual" if times else ""
    return f"read it ten times: {what or 'what your own hand repeats to'}"


def studied(method: Method) -> Method:
    """Give a method as a study of the hand."""
    return Study(method, method.reckon) if isinstance(method, GuidedCheck) else method


def what_it_says(errors: list[float], budget: Budget) -> tuple[str, ...]:
    """Say what readings of one thing tell of the hand, and what comes of it."""
    assumed, half = assumed_of(budget)
    sort = sort_of(assumed)
    if sort not in SORTS:
        return ()
    pairs = pairs_of(errors, [half] * len(errors), math.hypot(*assumed.values()))
    hand = learnt(sort, pairs)
    if hand is None:
        return (f"They agree as well as {_STEPS[sort]} can tell: the usual value stays in use.",)
    return (hand_words(hand),)
