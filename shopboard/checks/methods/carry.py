"""Knife carry: how far above the outfeed table does each jointer knife stand?

A rule on the outfeed table is carried along by each knife as the head is turned
by hand; the carry is a chord of the cutting circle and gives the knife's height.
The error is the height that is farthest from the wanted one, over all knives and both
ends, above the table being plus.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asking import Pick, Reading, Taken, typical_input
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields
from shopboard.checks.steps import Do
from shopboard.checks.surface import length_json
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.carry import CarryError, carry_of, height_of
from shopboard.metrology.propagate import Input, propagate, steepest
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.wording import small_move, turns

KNIVES = ("2", "3", "4")
ENDS = (("front", "front"), ("back", "back, by the fence"))
WORTH_MM = 0.01
"""A knife this near to where it is wanted is left: setting it again repeats no better."""
MOST_MOVES = 6

_DRAWING = (
    "     ├ carry ┤",
    "   ══╪═══════╪══════════════ rule",
    "       ▄▀▀▀▄  ▒▒▒▒▒▒▒▒▒▒▒▒▒▒",
    "     ▄▀  ●  ▀▄ ▒▒ outfeed ▒▒",
    "   (side view, knife drawn far too high)",
)


class KnifeCarry(MeasuredCheck):
    """The guided check."""

    name = "carry"
    title = "Knife carry"
    kind = "length"
    fields = (
        Field("carry", "length", "how far the rule is carried", needed=False, reads="rule"),
        Field("height", "length", "height above the outfeed table", needed=False),
        Field("circle", "length", "diameter of the cutting circle"),
        Field("tolerance", "tolerance", "what the height may be", needed=False),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Turn a carry into a height, or a height into a carry.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        if given.has("carry") == given.has("height"):
            raise ReckoningError(["give carry= or height=, one of them, with circle="])
        circle = given.number("circle")
        try:
            if given.has("carry"):
                estimate = _height(given.number("carry"), circle)
                adds = {"height": length_json(estimate.error)}
            else:
                estimate = Estimate(given.number("height"), Budget(()))
                adds = {"carry": length_json(carry_of(estimate.error, circle))}
        except CarryError as error:
            raise ReckoningError([str(error)]) from None
        return Outcome(
            method=self.name,
            estimate=estimate,
            tolerance=given.tolerance("tolerance"),
            kind="length",
            working=(self.formula_words({}),),
            adds=adds,
        )

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Knives cut while they stand still."""
        del job
        return (
            "Unplugged, with the plug in sight. Knives cut standing still, too.",
            "Turn the head by its pulley or by a block of wood, never by a knife.",
        )

    def to_do(self, job: Job) -> Sequence[Do]:
        """Lay the rule on and mark it."""
        del job
        return (
            Do(
                key="mark",
                title="Lay a straight wooden rule on the outfeed table.",
                lines=(
                    "Its end reaches over the head. Mark it at the table's lip.",
                    "Turn the head backward once by hand; mark it again: that is the carry.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Ask for the carry of every knife at both ends."""
        del job
        return (
            Pick("knives", "How many knives are in the head?", tuple((n, n) for n in KNIVES)),
            Reading("circle", "Diameter of the cutting circle?", "rule", above=20, size="circle"),
            Pick(
                "carried",
                "Does every knife carry the rule at both ends?",
                (("all", "all of them"), ("some", "some do not even touch it")),
            ),
            Reading(
                "below",
                "Turn the lowest knife up. Gap under the rule?",
                "leaves",
                lines=("At the end where it stands lowest.",),
                at_most=5,
                only_if=("carried", ("some",)),
            ),
            *(
                Reading(
                    f"knife{number}_{end}",
                    f"Knife {number}, {name}: how far is it carried?",
                    "rule",
                    lines=("0 when the rule is just touched, and not carried.",),
                    may_equal=True,
                    at_most=200,
                    only_if=("knives", KNIVES[max(0, number - 2) :]),
                )
                for number in range(1, 5)
                for end, name in ENDS
            ),
        )
