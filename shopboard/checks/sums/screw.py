"""How far to turn a screw for a move: turns = move / advance per turn."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, read_fields
from shopboard.checks.report import value_json
from shopboard.metrology.thread import parse_pitch
from shopboard.metrology.uncertainty import Budget, Estimate
from shopboard.metrology.wording import turns


class ScrewSum:
    """The sum; its main value is the move."""

    name = "screw"
    title = "Turns of a screw"
    fields = (
        Field("thread", "points", "the screw's thread: 1/4-20, M8x1.25, 20 tpi"),
        Field("move", "length", "how far it must move"),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        advance = given.parsed("thread", parse_pitch).mm
        move = given.number("move")
        made = move / advance
        return Outcome(
            method=self.name,
            estimate=Estimate(move, Budget(())),
            tolerance=None,
            kind="length",
            called="Move",
            working=("turns = move / advance per turn",),
            note=turns(made),
            adds={
                "turns": made,
                "degrees": made * 360,
                "advance_per_turn": value_json(advance, "length"),
            },
        )


METHOD = ScrewSum()
