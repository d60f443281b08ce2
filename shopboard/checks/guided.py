"""The way that every guided check goes; a method fills in what it measures.

Caution first, then the tools, then one measurement as found. If it can be set
right: the correction, the lock, and the same measurement as left, as often as
it takes. Last, the machine is cleared.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopboard.checks.advice import correction_of, is_enough
from shopboard.checks.correction_steps import (
    ASK_NEXT,
    CLOSE,
    adjust,
    ask_by_manual,
    ask_next,
    close,
    lock,
    set_by_manual,
    unplug,
)
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.job import CheckContext, Proves
from shopboard.checks.learning import what_the_screw_did
from shopboard.checks.outcome import Outcome
from shopboard.checks.settable import can_be_set, is_set_by_manual
from shopboard.checks.steps import Finding, Step, StepT
from shopboard.checks.turning import ask_turned, kept_turn, turned_by
from shopboard.checks.walk import Answers
from shopboard.metrology.adjuster import Screw, Toward
from shopboard.metrology.conformity import probability_within
from shopboard.metrology.kind import YES_NO_WORDS, Kind
from shopboard.metrology.reach import usual_of
from shopboard.metrology.uncertainty import Estimate

MOST_RUNS = 50
"""Corrections within one check; far more than anyone makes."""


@dataclass(frozen=True)
class Run:
    """One finished measurement within a check."""

    prefix: str
    """Put before the keys of its answers."""
    outcome: Outcome


class GuidedCheck:
    """Base of the methods; everything in it is a function of the job and the answers."""

    name = ""
    title = ""
    finds = ""
    """What it proves, one clause: ``a face is square to what the square stands on``."""
    signs = ""
    """What an error above 0 and below it is; empty where `plus` and `minus`, or its kind, tell."""
    by_hand = ""
    """How its error is worked out on paper, beside the formula that it declares, if any."""
    kind: Kind = "angle"
    """What sort of value it measures."""
    is_size = False
    """What it measures is a size, such as run-out, and never below 0."""
    tools = "-"
    """What it takes, as a person is told it: ``rule, leaves``."""
    minutes: float
    """How long it usually takes, with its correction: common practice, no source."""
    farther = ""
    """What makes the distance longer that an error is taken over; empty: readings farther apart."""
    widest_board = False
    """Its test board is as large as the machine takes already; no larger one is proposed."""
    hands_near = True
    """Measuring brings hands near the cutter; a test cut does not: it needs the machine running."""
    clears = True
    """Tools lie on the machine while hands measure it, and are taken off at the end."""
    above_all = ""
    """What must come off the machine at the end above all, one sentence."""
    reads_again = False
    """Its readings can be taken again within one check, where that may settle it."""
    takes_sizes: tuple[str, ...] = ()
    """Sizes of the shop file that it goes by and never asks for."""
    proves: Proves = ""
    """What sort of tool it proves, where it proves a tool of the drawer."""

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Ask what must be known before the first measurement, such as the tools taken."""
        return None

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for one measurement, or give its outcome; every key begins with `prefix`."""
        raise NotImplementedError

    def best(self, job: CheckContext) -> Estimate:
        """Give what a true point is usually measured as with the tools at hand.

        Raises:
            NotPossibleError: when the drawer lacks a tool.
        """
        raise NotImplementedError

    def of_true_points(self, job: CheckContext) -> Sequence[Estimate]:
        """Give what some true points are measured as, by a check that goes as is usual.

        Where leaves tell, their errors are spread over the tolerance: one without a gap is known to
        the thinnest leaf either way, one with a gap to the leaves about it.

        Raises:
            NotPossibleError: when the drawer lacks a tool.
        """
        return (self.best(job),)

    def surest(self, job: CheckContext, shown: Sequence[Estimate]) -> float:
        """Give the highest probability of conformity with which a true point is found true.

        Args:
            job: the point.
            shown: what true points are measured as there.
        """
        best = usual_of(shown)
        middle = job.tolerance.as_it_counts(size=best.size).middle
        centred = best._replace(error=0.0 if self.kind in YES_NO_WORDS else middle)
        return max(probability_within(one.spread, job.tolerance) for one in (centred, *shown))

    def set_right(self, job: CheckContext) -> Estimate:
        """Give what a point without any error is measured as with the tools at hand.

        Leaves may tell less of it than of one that shows a gap.

        Raises:
            NotPossibleError: when the drawer lacks a tool.
        """
        return self.best(job)

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the set-up at a step, from the geometry and the answers so far; size 1 or 2."""
        return ()

    def as_found(
        self,
        step: StepT,
        job: CheckContext,
        answers: Answers,
        outcome: Outcome,
        goes: Toward | None = None,
    ) -> StepT:
        """Put a drawing of what was found to a step that is about it; none unless a method does.

        Args:
            step: the result, or its correction.
            job: the point.
            answers: answers so far.
            outcome: what was found.
            goes: where the top (or tip) is to be moved; None: nothing is, or the method's own words
                tell what.
        """
        return step

    def next_step(self, job: CheckContext, answers: Answers) -> Step | None:
        """Give the first step that the answers leave open; None when the check is closed."""
        if job.cutter_near and self.hands_near and "unplugged" not in answers:
            return unplug("unplugged", "Unplug the machine. Wait until the cutter has stopped.")
        step = self.prepare(job, answers)
        if step is not None:
            return step
        before: Run | None = None
        for number in range(MOST_RUNS):
            run = self._run(job, answers, _prefix(number), before)
            if isinstance(run, Step):
                return run
            step = self._set_right(job, answers, run, _prefix(number + 1))
            if step is not None:
                return step
            if answers.get(f"{run.prefix}{ASK_NEXT}", "done") == "done":
                break
            before = run
        cleared = self.hands_near and (self.clears or job.cutter_near)
        return close(job, self.above_all) if cleared and CLOSE not in answers else None

    def _run(
        self, job: CheckContext, answers: Answers, prefix: str, before: Run | None
    ) -> Step | Run:
        """Ask for one measurement, or give it when it is recorded."""
        outcome = self.measure(job, answers, prefix)
        if isinstance(outcome, Step):
            return outcome
        turned = turned_by(answers, prefix)
        if before is not None and turned is not None and can_be_set(job, before.outcome):
            outcome = _with_screw(job, before.outcome, outcome, turned)
            advised = correction_of(job, before.outcome, insist=True)
            remark = kept_turn(advised, answers, prefix)
            outcome = replace(outcome, note=f"{outcome.note} {remark}".strip())
        if f"{prefix}record" not in answers:
            finding = _finding(outcome, left=bool(prefix) or job.was_moved, prefix=prefix)
            return self.as_found(finding, job, answers, outcome)
        return Run(prefix, outcome)

    def _set_right(
        self, job: CheckContext, answers: Answers, run: Run, following: str
    ) -> Step | None:
        """Ask the way through a correction; None when there is nothing more to ask."""
        outcome, key = run.outcome, f"{run.prefix}{ASK_NEXT}"
        by_manual = is_set_by_manual(job, outcome)
        if not by_manual and not _can_be_chosen(job, outcome):
            return None
        chosen = answers.get(key)
        if chosen is None and by_manual:
            return ask_by_manual(job, outcome, key)
        if chosen is None:
            return ask_next(job, outcome, correction_of(job, outcome), key)
        if chosen == "done":
            return None
        # Where hands measured it the plug is out since the first step: a pause asks for it again.
        runs = not self.hands_near
        if runs and f"{following}unplugged" not in answers:
            return unplug(f"{following}unplugged", "Is the machine unplugged?")
        step = (
            self._by_manual(job, answers, outcome, following)
            if by_manual
            else self._adjusted(job, answers, outcome, following)
        )
        if step is not None or f"{following}lock" in answers:
            return step
        return lock(job, f"{following}lock", outcome.kind, runs=runs)

    def _by_manual(
        self, job: CheckContext, answers: Answers, outcome: Outcome, following: str
    ) -> Step | None:
        """Have it set as the maker says."""
        if f"{following}adjust" in answers:
            return None
        move = set_by_manual(job, outcome, f"{following}adjust")
        return self.as_found(move, job, answers, outcome)

    def _adjusted(
        self, job: CheckContext, answers: Answers, outcome: Outcome, following: str
    ) -> Step | None:
        """Have it moved, and ask how far a screw was really turned."""
        correction = correction_of(job, outcome, insist=True)
        if f"{following}adjust" not in answers:
            move = adjust(job, outcome, correction, f"{following}adjust")
            goes = None if outcome.moves else correction.top_goes
            return self.as_found(move, job, answers, outcome, goes)
        if isinstance(job.adjuster, Screw) and not outcome.moves:
            return ask_turned(job, correction, answers, following)
        return None


def _can_be_chosen(job: CheckContext, outcome: Outcome) -> bool:
    """Tell whether there is a correction, and a choice about it."""
    if not can_be_set(job, outcome):
        return False
    had_better_stay = is_enough(job, outcome) and not correction_of(job, outcome).optional
    return not had_better_stay and not correction_of(job, outcome, insist=True).leave


def _prefix(number: int) -> str:
    """Name the answers of a run: none as found, ``left.``, ``left2.`` after corrections."""
    return "" if number == 0 else "left." if number == 1 else f"left{number}."


def _with_screw(job: CheckContext, before: Outcome, after: Outcome, turned: str) -> Outcome:
    """Put what the screw did since the run before into the outcome."""
    did = what_the_screw_did(job, before, after, turned)
    note = after.note
    if did.get("wrong_way"):
        wrong = "It moved the opposite way to the shop file: see 'clockwise' there."
        note = f"{note} {wrong}".strip()
    return replace(after, note=note, readings={**after.readings, "screw": did})


def _finding(outcome: Outcome, *, left: bool, prefix: str) -> Finding:
    return Finding(
        key=f"{prefix}record",
        title="As left." if left else "As found.",
        lines=(outcome.lean,),
        outcome=outcome,
        run="as-left" if left else "as-found",
    )
