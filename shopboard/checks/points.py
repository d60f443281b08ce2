"""Lists of points as people type them: ``0 in, 0 in, 2 thou; 0 in, 12 in, 1 thou``.

A unit travels with every value. So that a list need not repeat it, a bare
number takes the unit that its column had before; 0 needs none.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence

from shopboard.metrology.quantity import QuantityError, parse_angle, parse_length

MOST_POINTS = 1000
_LONGEST = 100_000
_NUMBER = re.compile(r"[^A-Za-zµμ°\"'″′]*")
"""What comes before a unit."""
_ZERO = re.compile(r"[+-]?0*\.?0*")

Parse = Callable[[str], float]


def parse_length_mm(text: str) -> float:
    """Read a length with its unit, mm.

    Raises:
        QuantityError: with the reason.
    """
    return parse_length(text).mm


def slope_of(text: str) -> float:
    """Read a slope as rise over run; its tangent.

    Raises:
        QuantityError: with the reason.
    """
    return math.tan(parse_angle(text).rad)


def parse_points(
    text: str, columns: Sequence[str], units: str = ""
) -> tuple[tuple[float, ...], ...]:
    """Read points: values by commas, points by semicolons; all lengths, mm.

    Args:
        text: what was typed.
        columns: names of the values of a point: ``("x", "y", "z")``.
        units: units of bare numbers, by commas: one for all or one for each column.

    Raises:
        QuantityError: with the reason and the number of the point.
    """
    if len(text) > _LONGEST:
        raise QuantityError("too long for a list of points")
    parts = [part for part in re.split(r"[;\n]", text) if part.strip()]
    if len(parts) > MOST_POINTS:
        raise QuantityError(f"{len(parts)} points; {MOST_POINTS} at the most")
    bare = _units(units, columns) or [""] * len(columns)
    found: list[tuple[float, ...]] = []
    for number, part in enumerate(parts, 1):
        try:
            values = _values(part, columns)
            bare = [known or _unit_of(v) for known, v in zip(bare, values, strict=True)]
            found.append(tuple(_value(v, unit) for v, unit in zip(values, bare, strict=True)))
        except QuantityError as error:
            raise QuantityError(f"point {number}, {part.strip()[:40]}: {error}") from None
    return tuple(found)


def parse_values(text: str, columns: Sequence[str], parses: Sequence[Parse]) -> tuple[float, ...]:
    """Read one point whose values are of different kinds, each with its unit.

    Raises:
        QuantityError: with the reason.
    """
    values = _values(text, columns)
    return tuple(0.0 if _is_zero(v) else parse(v) for v, parse in zip(values, parses, strict=True))


def _values(part: str, columns: Sequence[str]) -> list[str]:
    values = [value.strip() for value in part.split(",")]
    if len(values) != len(columns):
        names = ",".join(columns)
        raise QuantityError(
            f"{len(values)} values where {len(columns)} belong, {names}"
            + ("; decimals have a point, not a comma" if len(values) > len(columns) else "")
        )
    return values


def _units(units: str, columns: Sequence[str]) -> list[str]:
    given = [unit.strip() for unit in units.split(",")] if units.strip() else []
    if len(given) == 1:
        return given * len(columns)
    if given and len(given) != len(columns):
        raise QuantityError(f"unit: one for all, or one each for {','.join(columns)}")
    return given


def _unit_of(value: str) -> str:
    start = _NUMBER.match(value)
    return value[start.end() :].strip() if start else ""


def _is_zero(value: str) -> bool:
    return bool(_ZERO.fullmatch(value)) and "0" in value


def _value(value: str, unit: str) -> float:
    if _is_zero(value):
        return 0.0
    if value and not _unit_of(value):
        if not unit:
            raise QuantityError(f"{value}: no unit; say it once in each column, or by unit=")
        value = f"{value} {unit}"
    return parse_length_mm(value)
