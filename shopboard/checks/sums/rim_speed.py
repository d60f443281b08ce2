"""Speed of a rim: pi x diameter x turns per minute."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, read_fields
from shopboard.metrology.cutting import parse_turns_per_minute, rim_speed
from shopboard.metrology.kind import in_units
from shopboard.metrology.uncertainty import Budget, Estimate


class RimSpeedSum:
    """The sum; its main value is the speed."""

    name = "rim-speed"
    title = "Rim speed"
    fields = (
        Field("diameter", "length", "of the blade, head, bit or wheel"),
        Field("rpm", "points", "turns per minute"),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        rpm = given.parsed("rpm", parse_turns_per_minute)
        speed = rim_speed(given.number("diameter"), rpm)
        return Outcome(
            method=self.name,
            estimate=Estimate(speed, Budget(())),
            tolerance=None,
            kind="speed",
            working=("speed = pi x diameter x turns per minute",),
            adds={"speed": in_units(speed, "speed")},
        )


METHOD = RimSpeedSum()
