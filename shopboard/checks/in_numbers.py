"""A result in numbers: error, uncertainty and tolerance, in one unit a line, and its share."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import (
    YES_NO_WORDS,
    Kind,
    as_kept,
    limit_in,
    measure,
    numbers,
    own_units,
)
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import UNITS
from shopboard.metrology.wording import share


class Found(NamedTuple):
    """What was found, of a check just made or of one on record."""

    error: float
    expanded: float
    """Its expanded uncertainty, 95 %."""
    kind: Kind
    tolerance: Tolerance | None
    used: float | None
    """Share of the tolerance that the error takes."""
    size: bool = False
    """Whether the error has no sign."""
    called: str = "Error"
    """What the value is called."""


def used_words(used: float | None) -> str:
    """Say how much of the tolerance an error takes: ``43 % of the tolerance``, ``5 times it``."""
    if used is None:
        return ""
    if used < 1.05:  # "1 times" says nothing
        return f"{share(used)} of the tolerance"
    return f"{used:.{1 if used < 9.95 else 0}f}".removesuffix(".0") + " times the tolerance"


def share_of(found: Found, unit: Unit) -> str:
    """Say how much of its tolerance a result takes, or of a range how far it is from its limit.

    Empty: nothing is measured, or no tolerance is set.
    """
    if found.kind in YES_NO_WORDS or found.tolerance is None:
        return ""
    counts = found.tolerance.as_it_counts(size=found.size)
    if counts.low == -counts.high:
        return used_words(found.used)
    error = as_kept(found.error, found.kind)
    inside = min(error - counts.low, counts.high - error)
    where = "inside" if inside >= 0 else "beyond"
    return f"{measure(inside, found.kind, unit)} {where} the limit"


def in_numbers(found: Found, unit: Unit) -> tuple[str, ...]:
    """Write error, uncertainty and tolerance, one unit a line, the shop's first.

    Of what was said and not measured, nothing: its words and its verdict say it.
    """
    if found.kind in YES_NO_WORDS:
        return ()
    names = [*reversed(own_units(found.kind, unit))]
    rows = [_in_one_unit(found, name) for name in names]
    wide = max(len(error) for error, _ in rows)
    called = (found.called, " " * len(found.called))
    return tuple(
        f"{called[at > 0]} {error:<{wide}}   {limits}".rstrip()
        for at, (error, limits) in enumerate(rows)
    )


def _in_one_unit(found: Found, name: str) -> tuple[str, str]:
    """Write a result in a unit: the error with its uncertainty; its tolerance."""
    value, expanded, sign = numbers_in(found, name)
    known = f" ± {expanded}" if expanded else ""
    limits = found.tolerance
    return (
        f"{value}{known} {sign}",
        f"tolerance {limits_in(limits, name, size=found.size)}" if limits else "",
    )


def numbers_in(found: Found, name: str) -> tuple[str, str, str]:
    """Write an error in a unit, to two digits of its uncertainty; that, if it has one; the unit."""
    value, expanded = numbers(found.error, found.expanded, found.kind, name, size=found.size)
    return value, expanded, UNITS[name].sign


def limits_in(limits: Tolerance, name: str, *, size: bool) -> str:
    """Write a tolerance in a unit: ``± 20.9 thou/ft``, ``at most 3 thou``, ``2 to 5 s``."""
    high, sign = end_in(limits.high, limits, name), UNITS[name].sign
    if limits.low < 0 and limits.is_one_sided(size=size):
        return f"at most {high} {sign}"
    if limits.low == -limits.high:
        return f"± {high} {sign}"
    return f"{end_in(limits.low, limits, name)} to {high} {sign}"


def end_in(value: float, limits: Tolerance, name: str) -> str:
    """Write one end of a tolerance: neither is written wider than it is."""
    return limit_in(value, limits.kind, name, lowest=value == limits.low)
