"""Knife marks on a planed board: pitch = feed / (turns x knives), and how high they stand.

If one knife stands proud, it alone makes the marks: knives=1.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, Given, ReckoningError, read_fields
from shopboard.checks.report import value_json
from shopboard.metrology.cutting import (
    KnifeMarks,
    knife_marks,
    parse_speed,
    parse_turns_per_minute,
)
from shopboard.metrology.kind import in_units
from shopboard.metrology.quantity import QuantityError
from shopboard.metrology.uncertainty import Budget, Estimate

FINISHED = 20.0
"""Marks per inch from which a surface counts as finished: trade magazine FDMC, "Knife marks per
inch"."""

MOST_KNIVES = 100


class KnifeMarksSum:
    """The sum; its main value is the pitch of the marks."""

    name = "knife-marks"
    title = "Knife marks"
    fields = (
        Field("rpm", "points", "turns per minute of the head"),
        Field("knives", "number", "knives that cut; 1 when one stands proud"),
        Field("feed", "points", "feed speed: 20 ft/min, 6 m/min"),
        Field("circle", "length", "diameter of the cutting circle", needed=False),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        marks, feed = _marks(given)
        adds: dict[str, object] = {
            "marks_per_inch": marks.per_inch,
            "marks_per_cm": marks.per_inch / 2.54,
            "pitch": value_json(marks.pitch, "length"),
            "feed": in_units(feed, "speed"),
        }
        if given.has("circle"):
            try:
                height = marks.height(given.number("circle"))
            except QuantityError as error:
                raise ReckoningError([f"circle={values['circle'][:60]}: {error}"]) from None
            adds["mark_height"] = value_json(height, "length")
        coarse = marks.per_inch < FINISHED
        return Outcome(
            method=self.name,
            estimate=Estimate(marks.pitch, Budget(())),
            tolerance=None,
            kind="length",
            called="Pitch",
            working=("pitch = feed / (turns per minute x knives)",),
            note="a finished surface has 20 marks to the inch or more" if coarse else "",
            adds=adds,
        )


def _marks(given: Given) -> tuple[KnifeMarks, float]:
    """Give the marks, and the feed (mm/s)."""
    reasons, read = [], {}
    for name, parse in (("rpm", parse_turns_per_minute), ("feed", parse_speed)):
        try:
            read[name] = parse(given.word(name))
        except QuantityError as error:
            reasons.append(f"{name}={given.word(name)[:60]}: {error}")
    knives = given.number("knives")
    if not (1 <= knives <= MOST_KNIVES and knives == int(knives)):
        reasons.append(f"knives={knives:g}: a whole number from 1 to {MOST_KNIVES}")
    if reasons:
        raise ReckoningError(reasons)
    return knife_marks(read["rpm"], int(knives), read["feed"]), read["feed"]


METHOD = KnifeMarksSum()
