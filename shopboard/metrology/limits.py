"""Tolerances as people type them: of an angle, a length, a stress or a time.

The unit says which: ``0.1 deg``, ``0 to 3 thou/ft``, ``3 thou``, ``0.002 to 0.005 in``,
``15000 to 20000 psi``, ``0 to 10 s``. One value alone is meant either way.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable
from functools import lru_cache

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import KINDS, Kind
from shopboard.metrology.quantity import (
    LONGEST,
    QuantityError,
    Unit,
    parse_angle,
    parse_length,
)
from shopboard.metrology.units import by_unit

WIDEST = math.radians(5)
"""No machine is set to a tolerance wider than this, rad."""

_RANGE = re.compile(r"(.+?)\s+to\s+(.+)")
_BARE_NUMBER = r"[+\-−–]?(?:(?:\d+(?:\s*-\s*|\s+))?\d+\s*/\s*\d+|\d+(?:[.,]\d*)?|[.,]\d+)"


def parse_tolerance(text: str, default: Unit | None = None) -> Tolerance:
    """Read a tolerance: ``0.1 deg`` (either way), ``0 to 3 thou/ft``, ``-1 to 3 thou/ft``.

    Args:
        text: what was typed; a leading plus-minus sign is allowed.
        default: the unit of bare lengths inside a slope.

    Raises:
        QuantityError: with the reason.
    """
    if len(text) > 2 * LONGEST:
        raise QuantityError("too long for one tolerance")
    words = _without_plus_minus(text)
    between = _RANGE.fullmatch(words)
    if between:
        low, high = _range_ends(between[1], between[2], default)
    else:
        high = parse_angle(words, default).rad
        low = -high
    if not between and high <= 0:
        raise QuantityError("a tolerance must be more than 0")
    if low >= high:
        raise QuantityError("the first number of the range must be below the second")
    if low > 0 or high < 0:
        raise QuantityError("the range must hold 0, dead square, as 0 to 3 thou/ft")
    if max(high, -low) > WIDEST:
        raise QuantityError("more than 5 degrees either way is no tolerance")
    return Tolerance(low, high, text.strip())


def _range_ends(low: str, high: str, default: Unit | None) -> tuple[float, float]:
    low, high = _with_one_unit(low, high)
    return parse_angle(low, default).rad, parse_angle(high, default).rad


def _with_one_unit(low: str, high: str) -> tuple[str, str]:
    """Give a bare number at one end the unit of the other."""
    if re.fullmatch(_BARE_NUMBER, low):
        low = f"{low} {_unit_of(high)}"
    elif re.fullmatch(_BARE_NUMBER, high):
        high = f"{high} {_unit_of(low)}"
    return low, high


def is_bare(text: str) -> bool:
    """Tell whether a tolerance says no unit: ``0.02``, ``0 to 0.05``."""
    return all(re.fullmatch(_BARE_NUMBER, one) for one in _ends_of(text))


def unit_behind(text: str) -> str:
    """Give what stands behind a number, or behind the second of two: ``mm``, ``thou over 8 in``."""
    return _unit_of(_ends_of(text)[-1])


def _ends_of(text: str) -> tuple[str, ...]:
    words = _without_plus_minus(text)
    ends = _RANGE.fullmatch(words)
    return (ends[1], ends[2]) if ends else (words,)


def _unit_of(text: str) -> str:
    number = re.match(_BARE_NUMBER, text)
    return text[number.end() :].strip() if number else ""


def _without_plus_minus(text: str) -> str:
    return text.strip().removeprefix("±").removeprefix("+/-").removeprefix("+-").strip()


_BY_ITS_UNIT: tuple[tuple[Kind, re.Pattern[str]], ...] = tuple(
    (kind, re.compile(rf".*\d\s*(?:{row.typed})", re.IGNORECASE))
    for kind, row in KINDS.items()
    if row.typed
)


@lru_cache(maxsize=1024)  # a shop file says the same few tolerances again and again
def parse_limits(text: str, default: Unit | None = None) -> Tolerance:
    """Read a tolerance of any kind; its unit tells which.

    A bare number is a length, and told with the unit that it took.

    Args:
        text: what was typed.
        default: the unit of bare lengths.

    Raises:
        QuantityError: with the reason.
    """
    words = _without_plus_minus(text)
    if len(text) > 2 * LONGEST:
        raise QuantityError("too long for one tolerance")
    for kind, pattern in _BY_ITS_UNIT:
        if pattern.fullmatch(words):
            return _limits(words, text, kind, KINDS[kind].parse)
    try:
        return parse_tolerance(text, default)
    except QuantityError as not_an_angle:
        try:
            typed = (
                f"{text.strip()} {by_unit(default, 'in', 'mm')}"
                if default and is_bare(text)
                else text
            )
            return _limits(words, typed, "length", lambda one: parse_length(one, default).mm)
        except QuantityError:
            raise not_an_angle from None


def in_own_unit(typed: str, unit: Unit) -> str:
    """Write a tolerance of a record in the shop's unit; one that no longer reads, as it stands."""
    try:
        return parse_limits(typed, unit).words(unit)
    except QuantityError:
        return typed


def _limits(words: str, typed: str, kind: Kind, parse: Callable[[str], float]) -> Tolerance:
    """Read one value, meant either way, or a range; a bare end takes the unit of the other."""
    between = _RANGE.fullmatch(words)
    if between:
        low, high = map(parse, _with_one_unit(between[1], between[2]))
    else:
        high = parse(words)
        low = -high
    if low >= high:
        raise QuantityError("the tolerance must be more than 0, the first number the lower one")
    return Tolerance(low, high, typed.strip(), kind)
