"""Seating: indexed knives, with two edges, lie where their pins and clamps put them.

They have no height to set: a knife that is seated clean and clamped in order is
right, and one that is not is wrong. So each is looked at, point by point; one
no is enough.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial

from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines, drawn
from shopboard.checks.drawn.knife_seat import knife_seat
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, read_fields
from shopboard.checks.steps import Choice, Option, Step, StepT
from shopboard.checks.walk import Answers
from shopboard.metrology.adjuster import Toward
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.uncertainty import Budget, Estimate

LOOKED_AT = (
    ("clean", "Seats, clamps and knife backs clean, no chip or pitch?", "a seat is not clean"),
    ("pins", "Every knife down on its pins, over its whole length?", "a knife is not on its pins"),
    ("light", "No light between any knife and its seat?", "light under a knife"),
    ("screws", "Screws tight in the maker's order, to the maker's torque?", "screws not in order"),
    ("edges", "All edges sound, and turned to the same side?", "an edge is nicked or not turned"),
)
"""Key, question, and what a no means."""

_SEAT = "Take that knife out; clean knife, clamp and seat; seat it on its pins; tighten it."
PUT_RIGHT = {
    "clean": _SEAT,
    "pins": _SEAT,
    "light": _SEAT,
    "screws": "Slacken and tighten the screws in the maker's order, to the maker's torque.",
    "edges": "Turn or change all knives of the head, so that they stay alike.",
}
"""What to do about a no, by its key."""

YES = Tolerance(-0.5, 0.5, "yes", "yes or no")


class Seating(GuidedCheck):
    """The guided check."""

    name = "seating"
    title = "Seating of indexed knives"
    finds = "indexed knives lie clean and tight, where their pins put them"
    minutes = 10.0
    kind: Kind = "yes or no"
    fields = tuple(
        Field(key, "word", f"yes or no: {question}", words=("yes", "no"))
        for key, question, _ in LOOKED_AT
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Judge the answers alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        return _outcome(read_fields(self.fields, values).words, YES)

    def prepare(self, job: CheckContext, answers: Answers) -> Step | None:
        """Say what to take care of: knives cut while they stand still."""
        if "care" in answers:
            return None
        plug = "" if job.cutter_near else "Unplugged. "  # else that was asked just before
        return Choice(
            key="care",
            title="Take care.",
            lines=(
                f"{plug}Jam the head with a wood wedge. Knives cut even at a standstill.",
                "Hold a knife by its ends, with gloves; tighten away from the edge.",
                MANUAL,
            ),
            options=(Option("understood", "the head cannot turn: go on"),),
        )

    def measure(self, job: CheckContext, answers: Answers, prefix: str) -> Step | Outcome:
        """Ask for each thing that is looked at."""
        for key, question, _ in LOOKED_AT:
            if f"{prefix}{key}" not in answers:
                ask = Choice(
                    key=f"{prefix}{key}",
                    title=question,
                    options=(Option("yes", "yes, every knife"), Option("no", "no, not everywhere")),
                )
                return drawn(ask, partial(self.sketch, job, AtStep(key)))
        said = {key: answers[f"{prefix}{key}"] for key, _, _ in LOOKED_AT}
        return _outcome(said, job.tolerance)

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the knife in its seat where it is looked at; then what is wrong with it."""
        return knife_seat(seen, size)

    def as_found(
        self,
        step: StepT,
        job: CheckContext,
        answers: Answers,
        outcome: Outcome,
        goes: Toward | None = None,
    ) -> StepT:
        """Draw what is wrong; where nothing is, nothing."""
        said = {key: str(one) for key, one in outcome.readings.items()}
        return drawn(step, partial(self.sketch, job, AtStep(FOUND, words=said)))

    def best(self, job: CheckContext) -> Estimate:
        """Give a yes: looking needs no tool."""
        return Estimate(0.0, Budget(()))


def _outcome(said: Mapping[str, str], tolerance: Tolerance) -> Outcome:
    wrong = [what for key, _, what in LOOKED_AT if said[key] == "no"]
    return Outcome(
        method=METHOD.name,
        estimate=Estimate(1.0 if wrong else 0.0, Budget(())),
        tolerance=tolerance,
        kind=METHOD.kind,
        lean=" and ".join(wrong) or "every knife is seated",
        moves=tuple(dict.fromkeys(PUT_RIGHT[key] for key in said if said[key] == "no")),
        working=("one no is enough: yes is within, no is out",),
        adds={"wrong": wrong},
        readings=dict(said),
    )


METHOD = Seating()
