"""Kinds of measured values in the shop file: lengths, angles, tolerances, intervals, turns."""

from __future__ import annotations

import math
import re
from collections.abc import Callable

from shopboard.metrology.conformity import PROOF_LEVEL, RISK, Tolerance
from shopboard.metrology.limits import parse_limits
from shopboard.metrology.quantity import (
    QuantityError,
    Unit,
    parse_angle,
    parse_length,
)
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import own_words
from shopboard.shop.allowed import NUMBER, Allowed, any_case, typed
from shopboard.shop.kinds import as_text, refuse_type
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

LONGEST_INTERVAL = 3653
"""Days: ten years."""
FINEST_TOLERANCE = math.radians(0.001)
"""rad, both sides together: no drawer proves less."""

_DAYS = {"day": 1.0, "week": 7.0, "month": 365.25 / 12, "year": 365.25}
_INTERVAL = re.compile(r"(\d{1,6})\s*(day|week|month|year)s?", re.IGNORECASE)
_PLUS_MINUS = re.compile(r"^\s*(?:±|\+\s*/?\s*[-−])\s*")
_TURNS = re.compile(r"(?:(\d+)\s*/\s*(\d+)|(\d+\.?\d*|\.\d+))\s*(?:of a\s+)?turns?")


def _finite(raw: object, spot: Spot, wanted: str) -> str | float:
    """Give text, or a number that measures something; refuse the rest."""
    if isinstance(raw, str):
        return as_text(raw, spot, wanted)
    if isinstance(raw, bool) or not isinstance(raw, int | float):
        refuse_type(raw, spot, wanted)
    if not abs(raw) <= 1e9:  # also nan
        what = "is larger than anything in a shop" if abs(raw) > 1e9 else "is not a measurement"
        if isinstance(raw, float) and not math.isfinite(raw):
            what = "is not a measurement"
        spot.refuse(f"{shorten(raw)} {what}", f"write {wanted}")
    return float(raw)


def length(low: float, high: float, example: str = "[3 in|80 mm]") -> Parser[float]:
    """A length in mm: text with a unit, or a number in the shop's unit.

    Args:
        low: smallest allowed, mm; 0 means more than 0.
        high: largest allowed, mm.
        example: a good value, for the hint, in an inch shop and in a metric one.
    """

    def read(raw: object, spot: Spot) -> float:
        report = spot.report
        wanted = f'a length such as "{own_words(example, report.unit)}"'
        value = _finite(raw, spot, wanted)
        if isinstance(value, str):
            mm = _parsed(lambda text: parse_length(text, report.unit).mm, value, spot)
        else:
            mm = value * by_unit(report.unit, MM_PER_INCH, 1.0)
        bare = not isinstance(value, str) or not re.search(r"[^\d\s./+-]", value)
        if mm <= 0:
            spot.refuse(f"{shorten(raw)} is not more than 0", f"write {wanted}")
        if bare and not report.unit_known:
            return mm  # the missing unit is the problem, not this value
        if not low <= mm <= high:
            _refuse_range(raw, mm, low, high, spot)
        return mm

    return Parser(read, max(low, 1.0), lambda: _length_allowed(low, high, example))


def _length_allowed(low: float, high: float, example: str) -> Allowed:
    least, most = (f"[{_in_inches(mm)}|{in_unit(mm, 'mm')}]" for mm in (low, high))
    words = f"a length {f'from {least}' if low else 'of more than 0, up'} to {most}"
    rule = {"type": ["string", "number"], "exclusiveMinimum": 0, "pattern": NUMBER}
    return Allowed(words, f'"{example}"', rule)


def _in_inches(mm: float) -> str:
    thou = mm / MM_PER_INCH * 1000
    return f"{thou:.4g} thou" if thou < 10 else in_unit(mm, "inch")


def _refuse_range(raw: object, mm: float, low: float, high: float, spot: Spot) -> None:
    """Refuse a length out of range, and say which other unit would make sense of it."""
    unit = spot.report.unit
    number = re.match(r"[\d./ ]*[\d.]", str(raw).strip())
    hint = ""
    for word in ("in", "thou", "mm") if high < 25 else ("in", "mm"):
        other = f"{number[0]} {word}" if number else ""
        try:
            fits = bool(other) and low <= parse_length(other).mm <= high
        except QuantityError:
            fits = False
        if fits:
            hint = f'did you mean "{other}"?'
            break
    allowed = (
        f"{f'from {in_unit(low, unit)}' if low else 'more than 0, up'} to {in_unit(high, unit)}"
    )
    spot.refuse(f"{shorten(raw)} is {in_unit(mm, unit)}, out of range", allowed, hint)


def in_unit(mm: float, unit: Unit) -> str:
    """Write a length for a message."""
    value = by_unit(unit, mm / MM_PER_INCH, mm)
    shown = f"{value:.0f}" if value >= 1000 else f"{value:.4g}"
    return f"{shown} {by_unit(unit, 'in', 'mm')}"


def _parsed(parse: Callable[[str], float], value: str, spot: Spot) -> float:
    """Parse text; the reason of a refusal becomes the problem."""
    try:
        return parse(value)
    except QuantityError as error:
        spot.refuse(f"{shorten(value)}: {error}")


def _angle(value: str, spot: Spot) -> float:
    unit = spot.report.unit
    return _parsed(lambda text: parse_angle(text, unit).rad, value, spot)


def _angle_text(raw: object, spot: Spot, wanted: str) -> str:
    """Give the text of an angle; a bare number has no unit."""
    if isinstance(raw, int | float) and not isinstance(raw, bool):
        shown = shorten(raw)
        hint = f'did you mean "{shown} deg"?'
        spot.refuse(f"{shown} has no unit of angle", f"write {wanted}", hint)
    return as_text(raw, spot, wanted)


def angle(*, above_zero: bool = False) -> Parser[float]:
    """An angle in rad, up to one degree either way: the error of a square."""

    def read(raw: object, spot: Spot) -> float:
        example = own_words("[1 thou over 6 in|0.02 mm over 150 mm]", spot.report.unit)
        wanted = f'an angle such as "{example}"'
        rad = _angle(_PLUS_MINUS.sub("", _angle_text(raw, spot, wanted)), spot)
        if above_zero and rad <= 0:
            spot.refuse(f"{shorten(raw)} is not more than 0", f"write {wanted}")
        if abs(rad) > math.radians(1):
            spot.refuse(f"{shorten(raw)} is more than 1 degree", "no square is off by so much")
        return rad

    sign = "more than 0" if above_zero else "either way"
    words = f"an angle up to 1 deg, {sign}"
    example = '"[1 thou over 6 in|0.02 mm over 150 mm]"'
    return Parser(read, 1e-4, lambda: typed(words, example, NUMBER))


def _read_tolerance(raw: object, spot: Spot) -> Tolerance:
    unit = spot.report.unit
    example = own_words("[3 thou|0.1 mm]", unit)
    wanted = f'an angle such as "0.1 deg", a length such as "{example}", or a range of them'
    value = _finite(raw, spot, wanted)
    words = value if isinstance(value, str) else str(raw)
    try:
        tolerance = parse_limits(words, unit)
    except QuantityError as error:
        spot.refuse(f"{shorten(words)}: {error}", f"write {wanted}")
    if tolerance.kind == "angle" and tolerance.high - tolerance.low < FINEST_TOLERANCE:
        spot.warn(f"{shorten(words)} is finer than a square and leaves can show")
    return tolerance


TOLERANCE = Parser(
    _read_tolerance,
    Tolerance(-1e-3, 1e-3),
    lambda: Allowed(
        "an angle, a length, a stress or a time, or a range",
        '"0.1 deg"',
        {"type": ["string", "number"], "exclusiveMinimum": 0, "minLength": 1, "pattern": NUMBER},
    ),
)
"""What a point may be off by."""


def _read_days(raw: object, spot: Spot) -> int:
    wanted = 'a time such as "30 days", "6 weeks" or "1 year"'
    if isinstance(raw, int) and not isinstance(raw, bool):
        hint = f'did you mean "{shorten(raw)} days"?'
        spot.refuse(f"{shorten(raw)} without days, weeks, months or years", f"write {wanted}", hint)
    words = as_text(raw, spot, wanted)
    match = _INTERVAL.fullmatch(words)
    if not match:
        spot.refuse(f"{shorten(words)} is not a time", f"write {wanted}")
    days = round(int(match[1]) * _DAYS[match[2].lower()])
    if not 1 <= days <= LONGEST_INTERVAL:
        spot.refuse(f"{shorten(words)} is out of range", "from 1 day to 10 years")
    return days


_DAYS_PATTERN = rf"^\s*\d{{1,6}}\s*({'|'.join(map(any_case, _DAYS))})[sS]?\s*$"
DAYS = Parser(
    _read_days, 1, lambda: typed("a time from 1 day to 10 years", '"3 months"', _DAYS_PATTERN)
)
"""An interval, in days; a month is a twelfth of a year."""


def _read_turns(raw: object, spot: Spot) -> float:
    wanted = 'part of a turn such as "1/4 turn"'
    words = as_text(raw, spot, wanted)
    match = _TURNS.fullmatch(words)
    if not match or (match[2] and int(match[2]) == 0):
        spot.refuse(f"{shorten(words)} is no part of a turn", f"write {wanted}")
    turns = float(match[3]) if match[3] else int(match[1]) / int(match[2])
    if not 0 <= turns <= 2:
        spot.refuse(f"{shorten(words)} is out of range", "from 0 to 2 turns")
    return turns


TURNS = Parser(
    _read_turns, 0.25, lambda: typed("part of a turn, up to 2 turns", '"1/4 turn"', r"\d.*turn")
)
"""Turns of a screw."""


_UNITS: dict[str, Unit] = {
    "inch": "inch", "inches": "inch", "in": "inch", '"': "inch", "imperial": "inch",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm",
    "millimeter": "mm", "millimeters": "mm", "metric": "mm",
}  # fmt: skip


def _read_unit(raw: object, spot: Spot) -> Unit:
    words = as_text(raw, spot, '"inch" or "mm"')
    if words.lower() not in _UNITS:
        hint = 'did you mean "mm"?' if words.lower() in ("m", "cm") else ""
        spot.refuse(f"{shorten(words)} is no unit of a shop", 'write "inch" or "mm"', hint)
    return _UNITS[words.lower()]


def _unit_allowed() -> Allowed:
    spelt = "|".join(map(any_case, _UNITS))
    either = [{"enum": ["inch", "mm"]}, {"pattern": f"^({spelt})$"}]
    return Allowed('"inch" or "mm"', '"[inch|mm]"', {"type": "string", "anyOf": either})


UNIT: Parser[Unit] = Parser(_read_unit, "inch", _unit_allowed)
"""The unit that a bare number takes."""


def _share(raw: object, spot: Spot, wanted: str, what: str) -> float:
    """Read a share of 1, written in per cent or bare."""
    value = _finite(raw, spot, wanted)
    if isinstance(value, str):
        percent = re.fullmatch(r"(\d{1,3}(?:\.\d+)?)\s*%", value)
        if not percent:
            spot.refuse(f"{shorten(value)} is no {what}", f"write {wanted}")
        value = round(float(percent[1]) / 100, 9)
    return value


def _read_proof(raw: object, spot: Spot) -> float:
    value = _share(raw, spot, '"95 %" or 0.95', "share of certainty")
    if not 0.5 <= value <= 0.999:
        hint = f'did you mean "{value:g} %"?' if 50 <= value < 100 else ""
        spot.refuse(f"{shorten(raw)} is out of range", "from 50 % to 99.9 %", hint)
    return value


def _read_risk(raw: object, spot: Spot) -> float:
    value = _share(raw, spot, '"5 %" or 0.05', "share of risk")
    if not 0.001 <= value <= 0.5:
        hint = f'did you mean "{value:g} %"?' if 1 <= value <= 50 else ""
        if 0.5 < value < 1:  # how sure it must be, where how likely it may be out belongs
            hint = f'did you mean "{(1 - value) * 100:g} %"?'
        spot.refuse(f"{shorten(raw)} is out of range", "from 0.1 % to 50 %", hint)
    return value


def _share_allowed(words: str, example: str, low: float, high: float) -> Callable[[], Allowed]:
    rule = {"type": ["string", "number"], "minimum": low, "maximum": high, "pattern": r"^\d.*%$"}
    return lambda: Allowed(words, example, rule)


PROOF = Parser(
    _read_proof,
    PROOF_LEVEL,
    _share_allowed("from 50 % to 99.9 %, or a share of 1", '"95 %"', 0.5, 0.999),
)
"""The probability at which a point counts as proven."""
RISK_TAKEN = Parser(
    _read_risk, RISK, _share_allowed("from 0.1 % to 50 %, or a share of 1", '"5 %"', 0.001, 0.5)
)
"""How likely a point may be out before its next check is due."""
