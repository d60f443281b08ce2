"""Go or no-go: something is as it should be, or it is not.

For what has no number: a riving knife in line with the blade, a guard that
falls back by itself, a dust port that is clear. What is looked at comes from
the point: its name, its `face` and its `datum`.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, read_fields
from shopboard.checks.steps import Choice, Option, Step, Words
from shopboard.checks.walk import Answers
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.uncertainty import Budget, Estimate

_NOT_SO = "it is not as it should be"


class GoNoGo(GuidedCheck):
    """The guided check: one question, yes or no."""

    name = "go-no-go"
    title = "Go or no-go"
    finds = "something is as it should be, by looking at it"
    minutes = 3.0
    clears = False
    kind: Kind = "yes or no"
    fields = (
        Field("answer", "word", "yes: it is as it should be; no: it is not", words=("yes", "no")),
    )

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask whether it is so; if not, what is wrong, in a few words."""
        key = f"{prefix}answer"
        if key not in answers:
            return _ask(job, key)
        if answers[key] == "yes":
            return _outcome(job.tolerance, good=True, lean="as it should be")
        what = f"{prefix}wrong"
        if what not in answers:
            return Words(
                key=what,
                title="What is wrong with it?",
                lines=("A few words for the record.", f"Enter alone takes: {_NOT_SO}."),
                default=_NOT_SO,
                unasked=_NOT_SO,
            )
        return _outcome(job.tolerance, good=False, lean=answers[what])

    def best(self, job: CheckContext) -> Estimate:
        """Give a yes: looking needs no tool."""
        return Estimate(0.0, Budget(()))

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Judge a yes or a no.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        good = read_fields(self.fields, values).word("answer") == "yes"
        return _outcome(
            Tolerance(-0.5, 0.5, "yes", self.kind), good=good, lean="" if good else _NOT_SO
        )


def _ask(job: CheckContext, key: str) -> Choice:
    geometry = job.geometry
    looked_at = (("Look at", geometry.face), ("Against", geometry.datum))
    return Choice(
        key=key,
        title=f"{job.point}: is it as it should be?",
        lines=(
            *(("Look again.",) if key.startswith("left") else ()),
            *(f"{label}: {words}." for label, words in looked_at if words),
            MANUAL,
        ),
        options=(Option("yes", "yes"), Option("no", "no")),
    )


def _outcome(tolerance: Tolerance, *, good: bool, lean: str) -> Outcome:
    return Outcome(
        method=METHOD.name,
        estimate=Estimate(0.0 if good else 1.0, Budget(())),
        tolerance=tolerance,
        kind=METHOD.kind,
        lean=lean,
        moves=() if good else ("Put it right as the maker's manual says, then look again.",),
        working=("looked at: yes is within, no is out",),
        readings={"answer": "yes" if good else "no"},
    )


METHOD = GoNoGo()
