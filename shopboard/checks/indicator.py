"""What every check with an indicator shares: how it touches, and what that does to its readings.

A lever indicator turns its pointer by the way across its lever. Where the
lever does not lie along the surface, the surface goes a shorter way than the
pointer says: true = reading x cos(angle). A tilted plunger does the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopboard.checks.asked import Chosen, Pick, Reading, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.reckoning import Field
from shopboard.metrology.own_hand import DIAL
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Source

_FLATTER = Remedy(
    "lever-slant", "setting the indicator's lever along the surface", by_going_back=True
)

EYE_RAD = math.radians(5)
"""Half-width within which the eye judges a lever's angle: common practice, no source."""

STEEPEST_LEVER = math.radians(60)
"""rad; further round, a lever slides rather than reads: common practice, no source."""

REPEATS_MM = 0.003
"""By how much an indicator repeats, mm: JIS B 7503:2011 (from a catalogue), up to 10 mm range."""

LOWEST_READING = -30.0
"""mm; an indicator may be read either side of its zero."""

LEVER = Pick(
    "lever",
    "How does the indicator touch?",
    (
        ("square", "plunger square to the surface, or lever along it"),
        ("15", "lever about 15 degrees off the surface"),
        ("30", "lever about 30 degrees off the surface"),
        ("45", "lever about 45 degrees off the surface"),
    ),
    lines=("A slanted lever reads too much: by 4, 15 or 41 %.",),
    usual="square",
)

COUNTS_UP = "Push its tip in: the reading must grow; if it falls, type each with a minus."
"""Where the sign of a reading tells the side; some dials count the other way round."""

LEVER_ANGLE = Field("lever_angle", "angle", "angle of a lever indicator to the surface", False)

SAME = Pick(
    "comes_back",
    "Go back to the first place: still the same?",
    (("yes", "yes, to half a division"), ("no", "no, it shows something else")),
    usual="yes",
)
"""A stand that slipped shows only here."""


def dial(
    key: str,
    title: str,
    *lines: str,
    reach: float = -LOWEST_READING,
    too_large: str = "",
) -> Reading:
    """Ask what an indicator shows, either side of its zero; at a true point that is 0 all along."""
    return Reading(
        key,
        title,
        "indicator",
        lines,
        above=-reach,
        at_most=reach,
        too_large=too_large,
        true=0.0,
    )


def shown(key: str, what: str) -> Field:
    """Declare for `reckon` what an indicator shows."""
    return Field(key, "length", what, reads="indicator", signed=True)


class IndicatorCheck(MeasuredCheck):
    """Base of these checks: it asks how the indicator touches, and last whether it comes back.

    In `formula_is`, ``{x_cos}`` or ``{cos_x}`` stands where a slanting lever comes in.
    """

    hand = DIAL

    def dials(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Give what is read between the two."""
        return self.reads

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Give what is read at this point."""
        return (LEVER, *self.dials(job), SAME)

    def impossible(self, values: Values, words: Chosen) -> Contradiction | None:
        """Say which readings cannot be; as `refuse`, which looks at lever and stand by itself."""
        return None

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Say which readings contradict each other and must be repeated; None when none do."""
        return self.impossible(values, words) or refuse_indicator(values, words)

    def formula_words(self, words: Chosen) -> str:
        """Write the formula, by how the lever stands."""
        lever = words.get("lever", "square")
        cos = "" if lever == "square" else f"cos {lever}°"
        return self.formula_is.format(x_cos=cos and f" x {cos}", cos_x=cos and f"{cos} x ")

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Add what the lever's angle leaves uncertain."""
        return lever_sources(self.formula(values, words), values, words)


def lever_angle(values: Values, words: Chosen) -> float:
    """Give the angle of the lever to the surface, rad; 0 for a plunger."""
    picked = words.get("lever", "square")
    return values.get("lever_angle", 0.0 if picked == "square" else math.radians(float(picked)))


def true_share(values: Values, words: Chosen) -> float:
    """Give what part of a reading's change the surface really made."""
    return math.cos(lever_angle(values, words))


def lever_sources(error: float, values: Values, words: Chosen) -> tuple[Source, ...]:
    """Give what judging the lever's angle by eye leaves uncertain, in the unit of the error."""
    half = abs(error) * math.tan(lever_angle(values, words)) * EYE_RAD
    if half <= 0:
        return ()
    named = "angle of the lever"
    return (Source.within("lever-slant", named, half, lasting=True, remedy=_FLATTER),)


def refuse_indicator(values: Values, words: Chosen) -> Contradiction | None:
    """Refuse readings whose first one does not come back, and a lever that stands too steep."""
    if words.get("comes_back") == "no":
        return contradict(
            "the first reading does not come back: something slipped; read them all again"
        )
    if lever_angle(values, words) > STEEPEST_LEVER:
        return contradict(
            "lever_angle: over 60 degrees a lever slides; set it flatter and read again"
        )
    return None
