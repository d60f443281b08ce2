"""What a person types, as a length in millimetres, an angle in radians or a screw's pitch.

Accepted: decimals with or without a leading zero, inch fractions (``1/64``,
``3 1/4``, ``3-1/4"``), thou, mm, degrees, degrees-minutes-seconds, and slopes
(``5 thou/ft``, ``0.1 mm/m``, ``3 thou over 9 in``). A slope is one-sided: the
angle of one face, atan(rise/run). Never guesses: what has two readings is
refused with both of them.
"""

import math
import re
from functools import lru_cache
from typing import Literal, NamedTuple

from shopboard.base.text import first_unfit, plain_signs

Unit = Literal["inch", "mm"]

MM_PER_INCH = 25.4
"""Exact since 1959 (international inch)."""

LONGEST = 60
"""More characters than any quantity needs; keeps a pasted page out."""

_LENGTH_UNITS = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "um": 0.001,
    "µm": 0.001,  # micro sign
    "μm": 0.001,  # Greek mu
    "in": MM_PER_INCH,
    "inch": MM_PER_INCH,
    "inches": MM_PER_INCH,
    '"': MM_PER_INCH,
    "''": MM_PER_INCH,
    "″": MM_PER_INCH,
    "ft": 12 * MM_PER_INCH,
    "foot": 12 * MM_PER_INCH,
    "feet": 12 * MM_PER_INCH,
    "thou": MM_PER_INCH / 1000,
}
_ANGLE_UNITS = {
    **dict.fromkeys(("°", "d", "deg", "degree", "degrees"), math.radians(1)),
    "arcmin": math.radians(1 / 60),
    "arcsec": math.radians(1 / 3600),
    "rad": 1.0,
    "mrad": 0.001,
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = re.compile(r"([+-]?)(?:(\d+)(?:\s*-\s*|\s+))?(?:(\d+)\s*/\s*(\d+)|(\d+\.\d*|\.\d+|\d+))")
_DMS = (
    r"([+-]?)(\d+(?:\.\d*)?|\.\d+)\s*(?:°|deg|degrees?|d)\s*"
    r"(?:(\d+(?:\.\d*)?|\.\d+)\s*(?:′|'|m|min)\s*)?"
    r"(?:(\d+(?:\.\d*)?|\.\d+)\s*(?:″|\"|''|s|sec)\s*)?"
)
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


class QuantityError(ValueError):
    """Text that is not one quantity of the kind asked for; the message says why."""


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


class _Number(NamedTuple):
    value: float
    rest: str
    is_fraction: bool


def _tidy(text: str) -> str:
    """Normalise dashes, spaces and vulgar fractions; refuse what cannot be seen or is too long."""
    tidy = text.strip()
    if not tidy:
        raise QuantityError("nothing typed")
    if len(tidy) > LONGEST:
        raise QuantityError(f"too long for one quantity (more than {LONGEST} characters)")
    unfit = first_unfit(tidy)
    if unfit is not None:
        raise QuantityError(f"invisible or control character U+{ord(tidy[unfit]):04X}")
    tidy = plain_signs(tidy)
    tidy = tidy.replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ")
    for sign, fraction in _VULGAR.items():
        tidy = tidy.replace(sign, f" {fraction}")
    if any(char.isdigit() and char not in "0123456789" for char in tidy):
        raise QuantityError("use the digits 0 to 9")
    return re.sub(r"^([+-])\s+", r"\1", tidy.strip())


def _settle_comma(text: str) -> str:
    """Let a decimal comma stand for a point where the unit is mm, refuse it otherwise."""
    comma = re.search(r"\d,\d|^,\d|[ +-],\d", text)
    if not comma:
        return text
    metric = re.fullmatch(r"([+-]?\d*),(\d+)\s*(mm.*)", text)
    if not metric:
        raise QuantityError(f"decimal comma: type a point, {text.replace(',', '.')}")
    whole, decimals, unit = metric.groups()
    if len(decimals) == 3 and whole.strip("+-") not in ("", "0"):
        raise QuantityError(
            f"{whole},{decimals} can be read two ways: type {whole}.{decimals} {unit}"
            f" or {whole}{decimals} {unit}"
        )
    return f"{whole}.{decimals} {unit}"


_SIGNS = {"-": "minus", "+": "plus"}


def _take_number(text: str) -> _Number:
    if re.match(r"[+-]?(nan|inf)", text, re.IGNORECASE):
        raise QuantityError("not a measurement")
    if re.match(r"[+-]?[\d.]+[eE][+-]?\d", text):
        raise QuantityError("exponents are not accepted: write the number out")
    match = _NUMBER.match(text)
    if not match:
        raise QuantityError("does not start with a number")
    sign, whole, above, below, decimal = match.groups()
    if whole and decimal:
        raise QuantityError("two numbers: a whole number stands only before a fraction, as 1 3/16")
    if below is not None and int(below) == 0:
        raise QuantityError("division by zero")
    value = float(decimal) if decimal else int(above) / int(below) + int(whole or 0)
    if not math.isfinite(value) or value > 1e9:
        raise QuantityError("larger than anything in a shop")
    rest = text[match.end() :].strip()
    if rest.endswith(("-", "+")):
        raise QuantityError(f"the {_SIGNS[rest[-1]]} stands before its number")
    if rest[:1] in (*"0123456789.+", "-") and not rest.startswith("-in"):
        raise QuantityError("two numbers: one quantity at a time")
    return _Number(-value if sign == "-" else value, rest, above is not None)


def _length_unit(word: str, number: _Number, default: Unit | None) -> float:
    """Give millimetres per unit, from the word typed or the shop's unit."""
    if not word:
        if default is None:
            raise QuantityError("no unit: add in, thou or mm")
        if number.is_fraction and default == "mm":
            raise QuantityError("a fraction without a unit: add in, or mm")
        return MM_PER_INCH if default == "inch" else 1.0
    known = _LENGTH_UNITS.get(word, _LENGTH_UNITS.get(word.lower().lstrip("-")))
    if known is None:
        if word.lower() in ("mil", "mils"):
            raise QuantityError("'mil' means different things: write thou or mm")
        raise QuantityError(f"unknown unit {word!r}: in, thou or mm")
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
    tidy = _settle_comma(_tidy(text))
    number = _take_number(tidy)
    return Length(number.value * _length_unit(number.rest, number, default), text.strip())


def _parse_dms(tidy: str) -> float | None:
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
    rise, run = parse_length(rise_text, default).mm, parse_length(run_text, default).mm
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
    tidy = _tidy(text)
    rad = _parse_dms(tidy)
    if rad is None:
        rad = _parse_slope(_settle_comma(tidy), default)
    if rad is None:
        rad = _parse_single_angle(_settle_comma(tidy), default)
    if abs(rad) > math.tau:
        raise QuantityError("more than a full turn")
    return Angle(rad, text.strip())


def _parse_single_angle(tidy: str, default: Unit | None) -> float:
    """Read a number with a unit of angle that is no degrees-minutes-seconds: ``1/4 deg``."""
    number = _take_number(tidy)
    scale = _ANGLE_UNITS.get(number.rest.lower())
    if scale is not None:
        return number.value * scale
    if number.rest:
        parse_length(tidy, default)  # an unknown unit is named rather than called a missing run
        raise QuantityError("a length is no angle: say over what, as 3 thou over 9 in")
    raise QuantityError("no unit: add deg, thou/ft or mm/m")


def parse_pitch(text: str, default: Unit | None = None) -> Length:
    """Read a screw's advance per turn: ``1/4-20``, ``M8x1.25``, ``20 tpi``, ``1 mm``.

    Raises:
        QuantityError: when the text names no thread, or a metric size without a known coarse pitch.
    """
    tidy = _tidy(text).replace("×", "x")
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
    tidy = _settle_comma(_tidy(text))
    dms = _parse_dms(tidy)
    if dms is not None:
        return dms / math.tau
    number = _take_number(tidy)
    if number.rest.lower() in ("", "turn", "turns"):
        return number.value
    raise QuantityError(f"unknown unit {number.rest!r}: turns, or deg")


def parse_number(text: str, allowed: str = "a number, or seconds") -> float:
    """Read a count or a time in seconds: ``12``, ``8.5``, ``8.5 s``.

    Args:
        text: what was typed.
        allowed: what is said to be allowed where something else stands behind the number.

    Raises:
        QuantityError: with the reason, when the text is not a number.
    """
    number = _take_number(_settle_comma(_tidy(text)))
    if number.rest.lower() in ("", "s", "sec", "seconds"):
        return number.value
    raise QuantityError(f"unknown unit {number.rest!r}: {allowed}")
