"""What a person types, as a length in millimetres or an angle in radians.

Accepted: decimals with or without a leading zero, inch fractions (``1/64``,
``3 1/4``, ``3-1/4"``), thou, mm, degrees, degrees-minutes-seconds, and slopes
(``5 thou/ft``, ``0.1 mm/m``, ``3 thou over 9 in``). A slope is one-sided: the
angle of one face, atan(rise/run).
"""

import math
import re
from functools import lru_cache

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.number import LONGEST as LONGEST
from shopboard.metrology.number import QuantityError as QuantityError
from shopboard.metrology.number import (
    TypedNumber,
    UnitError,
    settle_comma,
    take_number,
    tidied,
    wrong_unit,
)
from shopboard.metrology.number import parse_number as parse_number
from shopboard.metrology.units import ANGLE_UNITS, LENGTH_UNITS, MM_PER_INCH, by_unit
from shopboard.metrology.units import Unit as Unit

_DMS = (
    r"([+-]?)(\d+(?:\.\d*)?|\.\d+)\s*(?:°|deg|degrees?|d)\s*"
    r"(?:(\d+(?:\.\d*)?|\.\d+)\s*(?:′|'|m|min)\s*)?"
    r"(?:(\d+(?:\.\d*)?|\.\d+)\s*(?:″|\"|''|s|sec)\s*)?"
)


class Length(NamedTuple):
    """A length as typed."""

    mm: float
    """Millimetres."""
    typed: str
    """The text it came from, trimmed."""


class Angle(NamedTuple):
    """An angle or one-sided slope as typed."""

    rad: float
    """Radians."""
    typed: str
    """The text it came from, trimmed."""


def _length_unit(word: str, number: TypedNumber, default: Unit | None) -> float:
    """Give millimetres per unit, from the word typed or the shop's unit."""
    if not word:
        if default is None:
            raise QuantityError("no unit: add in, thou or mm")
        if number.is_fraction and by_unit(default, inch=False, mm=True):
            raise QuantityError("a fraction without a unit: add in, or mm")
        return by_unit(default, MM_PER_INCH, 1.0)
    known = LENGTH_UNITS.get(word, LENGTH_UNITS.get(word.lower().lstrip("-")))
    if known is None:
        if word.lower() in ("mil", "mils"):
            raise QuantityError("'mil' means different things: write thou or mm")
        raise wrong_unit(word, "a length is asked", "in, thou or mm")
    return known


@lru_cache(maxsize=1024)  # a shop file says the same few lengths again and again
def parse_length(text: str, default: Unit | None = None) -> Length:
    """Read one length.

    Args:
        text: what was typed, such as ``.0015``, ``1.5 thou``, ``3-1/4"``, ``0,04 mm``.
        default: the unit that a bare number takes; None refuses bare numbers.

    Raises:
        QuantityError: with the reason, when the text is not one length.
    """
    tidy = settle_comma(tidied(text), by_unit(default, "", "mm") if default else "")
    number = take_number(tidy)
    return Length(number.value * _length_unit(number.rest, number, default), text.strip())


def parse_dms(tidy: str) -> float | None:
    """Read degrees, minutes and seconds; None when the text is of another form."""
    match = re.fullmatch(_DMS, tidy, re.IGNORECASE)
    if not match:
        return None
    sign, degrees, minutes, seconds = match.groups()
    if (minutes and float(minutes) >= 60) or (seconds and float(seconds) >= 60):
        raise QuantityError("minutes and seconds run from 0 to below 60")
    if (minutes or seconds) and "." in degrees:
        raise QuantityError("degrees before minutes or seconds are whole")
    if minutes and seconds and "." in minutes:
        raise QuantityError("minutes before seconds are whole")
    total = float(degrees) + float(minutes or 0) / 60 + float(seconds or 0) / 3600
    return math.radians(-total if sign == "-" else total)


def _parse_slope(tidy: str, default: Unit | None) -> float | None:
    """Read ``rise/run`` or ``rise over run``; None when the text is of another form."""
    over = re.fullmatch(r"(.+?)\s+over\s+(.+)", tidy, re.IGNORECASE)
    if over:
        rise_text, run_text = over.groups()
    else:
        # The last slash divides; an earlier one belongs to a fraction.
        per = re.fullmatch(r"(.+[A-Za-zµμ\"″'])\s*/\s*(.+)", tidy)
        if not per:
            return None
        rise_text, run_text = per.groups()
        if run_text[0].isalpha():
            run_text = f"1 {run_text}"
    try:
        rise, run = parse_length(rise_text, default).mm, parse_length(run_text, default).mm
    except UnitError as error:
        raise QuantityError(f"a slope is a length over a length: {error}") from None
    if run <= 0:
        raise QuantityError("a slope needs a length above zero to be taken over")
    return math.atan(rise / run)


@lru_cache(maxsize=1024)
def parse_angle(text: str, default: Unit | None = None) -> Angle:
    """Read one angle or slope: ``0.1 deg``, ``0d35m49s``, ``5 thou/ft``, ``3 thou over 9 in``.

    Args:
        text: what was typed.
        default: the unit of bare lengths inside a slope.

    Raises:
        QuantityError: with the reason; a bare number has no unit of angle and is refused.
    """
    tidy = tidied(text)
    rad = parse_dms(tidy)
    if rad is None:
        rad = _parse_slope(settle_comma(tidy), default)
    if rad is None:
        rad = _parse_single_angle(settle_comma(tidy), default)
    if abs(rad) > math.tau:
        raise QuantityError("more than a full turn")
    return Angle(rad, text.strip())


def _parse_single_angle(tidy: str, default: Unit | None) -> float:
    """Read a number with a unit of angle that is no degrees-minutes-seconds: ``1/4 deg``."""
    number = take_number(tidy)
    scale = ANGLE_UNITS.get(number.rest.lower())
    if scale is not None:
        return number.value * scale
    if number.rest:
        try:
            parse_length(tidy, default)
        except QuantityError:  # an unknown unit is named rather than called a missing run
            raise wrong_unit(number.rest, "an angle is asked", "deg, thou/ft or mm/m") from None
        raise QuantityError("a length is not an angle: say over what length, as 3 thou over 9 in")
    raise QuantityError("no unit: add deg, thou/ft or mm/m")
