"""What a person types of a screw: how far it goes in a turn, and how far it is turned."""

from __future__ import annotations

import math
import re

from shopboard.metrology.number import (
    QuantityError,
    settle_comma,
    take_number,
    tidied,
    wrong_unit,
)
from shopboard.metrology.quantity import Length, parse_dms, parse_length
from shopboard.metrology.units import MM_PER_INCH, Unit

_METRIC_THREAD = r"M(\d+(?:\.\d+)?)(?:\s*x\s*(\d+(?:\.\d+)?))?"
_INCH_THREAD = r"(?:#\d+|\d+|\d+\s*/\s*\d+|\d*\.\d+)\s*-\s*(\d+(?:\.\d+)?)"
_TPI = r"(\d+(?:\.\d+)?)\s*tpi"

_METRIC_COARSE_PITCH = {
    3.0: 0.5,
    4.0: 0.7,
    5.0: 0.8,
    6.0: 1.0,
    8.0: 1.25,
    10.0: 1.5,
    12.0: 1.75,
    14.0: 2.0,
    16.0: 2.0,
    20.0: 2.5,
}
"""ISO 261 coarse pitches by nominal diameter (mm); M5 to M12 checked, the others from memory."""


def parse_pitch(text: str, default: Unit | None = None) -> Length:
    """Read a screw's advance per turn: ``1/4-20``, ``M8x1.25``, ``20 tpi``, ``1 mm``.

    Raises:
        QuantityError: when the text names no thread, or a metric size without a known coarse pitch.
    """
    tidy = tidied(text).replace("×", "x")
    metric = re.fullmatch(_METRIC_THREAD, tidy, re.IGNORECASE)
    if metric:
        size, pitch = float(metric[1]), metric[2]
        if pitch is None and size not in _METRIC_COARSE_PITCH:
            raise QuantityError(
                f"no coarse pitch known for M{size:g}: write M{size:g}x followed by it"
            )
        mm = float(pitch) if pitch else _METRIC_COARSE_PITCH[size]
    else:
        inch = re.fullmatch(_INCH_THREAD, tidy) or re.fullmatch(_TPI, tidy, re.IGNORECASE)
        per_inch = float(inch[1]) if inch else 0.0
        if inch and per_inch == 0:
            raise QuantityError("a thread has more than 0 turns per inch")
        mm = MM_PER_INCH / per_inch if inch else parse_length(tidy, default).mm
    if not 0.05 <= mm <= 12.7:
        raise QuantityError("a screw advances between 0.05 mm and 1/2 in per turn")
    return Length(mm, text.strip())


def parse_turns(text: str) -> float:
    """Read turns of a screw: ``3/8``, ``1 1/4``, ``0.5``, ``3/8 turn``, ``135 deg``.

    Raises:
        QuantityError: with the reason, when the text is not a number of turns.
    """
    tidy = settle_comma(tidied(text))
    dms = parse_dms(tidy)
    if dms is not None:
        return dms / math.tau
    number = take_number(tidy)
    if number.rest.lower() in ("", "turn", "turns"):
        return number.value
    raise wrong_unit(number.rest, "turns are asked", "turns, or deg")
