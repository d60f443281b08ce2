"""A leg's lean and line of sight from its rake and splay, for drill press, bevel gauge and jig."""

from __future__ import annotations

import math
from collections.abc import Mapping

from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields
from shopboard.checks.report import value_json
from shopboard.metrology.leg import STEEPEST, leg
from shopboard.metrology.uncertainty import Budget, Estimate


class LegSum:
    """The sum; its main value is the lean."""

    name = "leg"
    title = "Lean of a leg"
    fields = (
        Field("rake", "angle", "seen from the side: 12 deg"),
        Field("splay", "angle", "seen from the front: 8 deg"),
        Field("height", "length", "from floor to seat, upright", needed=False),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        both = {name: given.number(name) for name in ("rake", "splay")}
        reasons = [
            f"{name}={values[name][:60]}: from 0 to {math.degrees(STEEPEST):.0f} deg"
            for name, angle in both.items()
            if not 0 <= angle <= STEEPEST
        ]
        if reasons:
            raise ReckoningError(reasons)
        found = leg(**both)
        adds: dict[str, object] = {"sight_line": {"deg": math.degrees(found.sight_line)}}
        if given.has("height"):
            height = given.number("height")
            adds |= {
                "leg_length": value_json(found.length(height), "length"),
                "foot_back": value_json(height * math.tan(both["rake"]), "length"),
                "foot_out": value_json(height * math.tan(both["splay"]), "length"),
            }
        return Outcome(
            method=self.name,
            estimate=Estimate(found.lean, Budget(())),
            tolerance=None,
            kind="angle",
            called="Lean",
            working=("tan(lean)² = tan(rake)² + tan(splay)²",),
            note=f"line of sight: {math.degrees(found.sight_line):.1f} deg off front to back",
            adds=adds,
        )


METHOD = LegSum()
