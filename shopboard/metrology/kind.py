"""How each kind of value is written, and what of it a record keeps."""

from __future__ import annotations

import math

from shopboard.metrology import wording
from shopboard.metrology.kind_rows import KINDS as KINDS
from shopboard.metrology.kind_rows import Kind as Kind
from shopboard.metrology.spread import Spread
from shopboard.metrology.units import UNITS, Unit, by_unit, in_unit, rounded

YES_NO_WORDS: dict[str, tuple[str, str]] = {
    kind: row.said for kind, row in KINDS.items() if row.said is not None
}
"""What 0 and 1 are called where a result is no measure, but something that was said."""

RECORD_UNITS: dict[Kind, tuple[str, float]] = {kind: row.record for kind, row in KINDS.items()}
"""Unit of the whole numbers that a record keeps, and how many make one of ours."""


def as_kept(value: float, kind: Kind) -> float:
    """Give a value of any kind as a record gives it back: of that every number is written."""
    return wording.as_kept(value, RECORD_UNITS[kind][1])


def spread_as_kept(spread: Spread, kind: Kind) -> Spread:
    """Give what is known of a value as a record gives it back: a verdict goes by that."""
    return spread._replace(
        centre=as_kept(spread.centre, kind),
        even=tuple(as_kept(half, kind) for half in spread.even),
        sigma=as_kept(spread.sigma, kind),
    )


def in_units(value: float, kind: Kind) -> dict[str, float]:
    """Give a value in every unit that its kind is spoken of in, by the unit's short name."""
    return {name: UNITS[name].of(value) for name in KINDS[kind].units} or {"share": value}


def as_written(value: float, kind: Kind) -> dict[str, float]:
    """Give what a value is written from, in every unit: the record's value, now and later."""
    return in_units(as_kept(value, kind), kind)


def main_unit(kind: Kind, unit: Unit) -> str:
    """Name the unit of `in_units` in which a shop reads a kind."""
    row = KINDS[kind]
    return by_unit(unit, row.inch, row.mm) or "share"


def own_units(kind: Kind, unit: Unit) -> tuple[str, ...]:
    """Name the units of `in_units` that a shop speaks of a kind in: an angle has two of its own."""
    if kind == "speed":  # of which a shop has no one unit
        return KINDS[kind].units
    return (*KINDS[kind].beside, main_unit(kind, unit))


def measure(value: float, kind: Kind, unit: Unit, *, signed: bool = False) -> str:
    """Write a value of any kind with its unit: ``27.0 thou/ft``, ``3.1 thou``, ``16200 psi``."""
    row, value = KINDS[kind], as_kept(value, kind)
    if row.said:
        return row.said[0 if value < 0.5 else 1]
    sign = ("+" if value > 0 else "-" if value < 0 else "") if signed and row.signed else ""
    return in_unit(value, main_unit(kind, unit), sign)


def measure_to(value: float, u: float, kind: Kind, unit: Unit, *, signed: bool = False) -> str:
    """Write a value as `measure` does, to two significant digits of `u`.

    Args:
        value: of any kind.
        u: its uncertainty, standard or expanded, in the same unit.
        kind: what sort of value it is.
        unit: the person's unit.
        signed: put its sign before it.
    """
    words = measure(value, kind, unit, signed=signed)
    if u <= 0 or kind in YES_NO_WORDS or kind == "speed":
        return words
    own = own_units(kind, unit)[-1]
    number, _, name = words.partition(" ")
    decimals = wording.places(as_written(u, kind)[own])
    if decimals == len(number.partition(".")[2]):
        return words
    found = as_written(value, kind)[own]
    return f"{rounded(found if signed else abs(found), decimals, '+' * signed)} {name}"


def value_words(value: float, kind: Kind, unit: Unit, u: float = 0.0) -> str:
    """Write a value with its sign, to the digits of its uncertainty: an angle also in degrees."""
    words = measure_to(value, u, kind, unit, signed=True)
    if kind == "angle":
        return f"{words} ({wording.degrees(value, signed=True)})"
    return words


def measure_both(value: float, kind: Kind, unit: Unit, u: float = 0.0) -> str:
    """Write a value, to the digits of its uncertainty: an angle also in degrees."""
    first = measure_to(value, u, kind, unit)
    if kind == "angle":
        return f"{first} ({wording.degrees(value)})"
    return first


def numbers(
    value: float, expanded: float, kind: Kind, name: str, *, size: bool = False
) -> tuple[str, str]:
    """Write a result and its expanded uncertainty in a unit, without it.

    Both to two significant digits of the uncertainty; of what is exact, that is empty.

    Args:
        value: of a kind that is measured.
        expanded: its expanded uncertainty, in the same unit.
        kind: what sort of value it is.
        name: of the unit in which it is written.
        size: whether the value is a size, which has no sign.
    """
    found, u = as_written(value, kind)[name], as_written(expanded, kind)[name]
    decimals = wording.places(u) if u > 0 else UNITS[name].exact
    plus = "+" if KINDS[kind].departs and not size else ""
    return rounded(found, decimals, plus), rounded(u, decimals) if u > 0 else ""


def with_expanded(
    value: float,
    expanded: float,
    kind: Kind,
    unit: Unit,
    columns: tuple[int, int] = (0, 0),
    *,
    size: bool = False,
) -> str:
    """Write a result with its expanded uncertainty, each padded to its columns.

    Both to two significant digits of the uncertainty, where there is one; a size has no sign. A
    note has no value: its state says that it is noted.
    """
    if kind == "note":
        return " " * (sum(columns) + 3)
    if kind in YES_NO_WORDS:
        return f"{measure(value, kind, unit):>{columns[0]}}   {'':<{columns[1]}}"
    first, second = measure(value, kind, unit, signed=not size), measure(expanded, kind, unit)
    if expanded > 0 and kind != "speed":
        name = own_units(kind, unit)[-1]
        found, u = numbers(value, expanded, kind, name, size=size)
        first, second = f"{found} {UNITS[name].sign}", f"{u} {UNITS[name].sign}"
    return f"{first:>{columns[0]}} ± {second:<{columns[1]}}"


AS_PROMISED = 1.25
"""Uncertainties within this ratio are told as one."""


def promised(usual: float, most: float, kind: Kind, unit: Unit) -> str:
    """Say what a check of a true point usually tells, and the most where that is far more.

    So it is where leaves tell: of a point that shows no light, no more than the thinnest leaf
    either way is known. ``typically ± 0.28, up to ± 0.52 mm/m``.
    """
    words = measure_to(usual, usual, kind, unit)
    if most <= AS_PROMISED * usual:
        return f"typically ± {words}"
    number = words.partition(" ")[0]
    return f"typically ± {number}, up to ± {measure_to(most, most, kind, unit)}"


_LOST = 0.01
"""Share of a limit that may be lost in rounding it down."""


def limit_words(size: float, kind: Kind, unit: Unit, below: float | None = None) -> str:
    """Write the largest size that will do, never rounded up: ``0.19 mm/m``.

    Args:
        size: more than 0.
        kind: of the value.
        unit: of the shop.
        below: a size that it is said to be below of: with so many digits that it reads so.
    """
    if kind in YES_NO_WORDS or kind == "speed":
        return measure(size, kind, unit)
    name = own_units(kind, unit)[-1]
    other = None if below is None else in_units(below, kind)[name]
    return f"{_floored(in_units(size, kind)[name], name, other)} {UNITS[name].sign}"


def limit_in_degrees(rad: float) -> str:
    """Write the largest angle that will do in degrees, never rounded up: ``0.011°``."""
    return f"{_floored(math.degrees(rad), 'deg')}°"


def limit_in(end: float, kind: Kind, name: str, *, lowest: bool = False) -> str:
    """Write one end of a tolerance in a unit, without it, never wider than it is: ``20.9``.

    As it was typed where it was typed in that unit.

    Args:
        end: the highest value that will do, or the lowest one.
        kind: what sort of value it is.
        name: of the unit in which it is written.
        lowest: it is the lowest: rounded up, not down.
    """
    value = in_units(end, kind)[name]
    words = f"{value:.{UNITS[name].limit + _TYPED}f}"
    if not math.isclose(float(words), value):
        words = _floored(-value if lowest else value, name)
        if lowest:
            words = words[1:] if words.startswith("-") else f"-{words}"
    return words.rstrip("0").rstrip(".") if "." in words else words


def _floored(value: float, name: str, below: float | None = None) -> str:
    decimals = UNITS[name].limit
    while True:
        step = 10.0**-decimals
        down = math.floor(value / step + 1e-6) * step
        fine = value - down <= _LOST * abs(value) and (below is None or down <= below - step / 2)
        if fine or decimals >= _MOST_DECIMALS:
            return f"{down:.{decimals}f}"
        decimals += 1


_TYPED = 2
"""Decimals beyond those of a limit that a person may have typed."""

_MOST_DECIMALS = 6
