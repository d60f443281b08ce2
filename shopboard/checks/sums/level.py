"""Shim or jack-screw moves that level a plane on three, four or more mounts.

The plane is z = a + b x + c y. A table that stays a plane can be levelled with
one mount untouched; ``keep=height`` brings it to z = 0 as well.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shopboard.checks.outcome import Outcome
from shopboard.checks.points import parse_length_mm, parse_values, slope_of
from shopboard.checks.reckoning import Field, Given, ReckoningError, read_fields
from shopboard.checks.surface import UNIT_FIELD, length_json, points_of
from shopboard.metrology.adjuster import SMALLEST_TURN
from shopboard.metrology.form import FittedForm, FormError, Points, spread_out
from shopboard.metrology.levelling import least_moves, moves_to_zero, residual
from shopboard.metrology.quantity import QuantityError
from shopboard.metrology.thread import parse_pitch
from shopboard.metrology.uncertainty import Budget, Estimate


class Level:
    """The sum."""

    name = "level"
    fields = (
        Field("plane", "points", "a,b,c of z = a + b x + c y: 1.5 thou, 0.1 thou/in, 2 thou/ft"),
        Field("screws", "points", "places of the mounts: x,y; x,y; x,y"),
        Field("pitch", "points", "thread or advance per turn: 5/16-18, 1 mm", needed=False),
        Field(
            "keep",
            "word",
            "screw: leave one untouched; height: bring it to z = 0",
            needed=False,
            words=("screw", "height"),
        ),
        UNIT_FIELD,
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Work out the move of each mount; the error is the steepest tilt.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        plane, pitch = _plane(given), _pitch(given)
        mounts = points_of(given, "screws", ("x", "y"))
        keep_height = given.has("keep") and given.word("keep") == "height"
        try:
            spread_out([(*mount, 0.0) for mount in mounts])
            moves = (moves_to_zero if keep_height else least_moves)(plane, mounts)
        except FormError as error:
            raise ReckoningError([f"screws: {error}"]) from None
        return Outcome(
            method=self.name,
            estimate=Estimate(math.atan(math.hypot(*plane.slopes)), Budget(())),
            tolerance=None,
            called="Tilt",
            working=("move = -(b x + c y), less the move of the screw that is left",),
            adds=_adds(plane, mounts, moves, pitch),
            note="a move is upward where it is positive; the plane is taken as exact",
        )


def _plane(given: Given) -> FittedForm:
    try:
        parses = (parse_length_mm, slope_of, slope_of)
        a, b, c = parse_values(given.word("plane"), ("a", "b", "c"), parses)
    except QuantityError as error:
        raise ReckoningError([f"plane: {error}"]) from None
    return FittedForm(a, (b, c))


def _pitch(given: Given) -> float | None:
    if not given.has("pitch"):
        return None
    try:
        return parse_pitch(given.word("pitch")).mm
    except QuantityError as error:
        raise ReckoningError([f"pitch: {error}"]) from None


def _adds(
    plane: FittedForm, mounts: Points, moves: Sequence[float], pitch: float | None
) -> dict[str, object]:
    """Give the moves, and what is left when each screw is set as finely as a hand can."""
    step = pitch * SMALLEST_TURN if pitch else 0.0
    set_by_hand = [round(move / step) * step if step else move for move in moves]
    return {
        "screws": [
            {
                "x": length_json(x),
                "y": length_json(y),
                "move": length_json(move),
                **({"turns": move / pitch, "degrees": move / pitch * 360} if pitch else {}),
            }
            for (x, y), move in zip(mounts, moves, strict=True)
        ],
        "residual": length_json(residual(plane, mounts, moves)),
        "residual_set_by_hand": length_json(residual(plane, mounts, set_by_hand)),
    }


METHOD = Level()
