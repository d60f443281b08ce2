"""Tolerances in records of before that say no unit: in inches or mm, as the shop then was."""

from __future__ import annotations

import math

from shopboard.journal.kinds import KeptResult
from shopboard.metrology.units import Unit

_UNITS: tuple[tuple[str, Unit], ...] = (("mm", "mm"), ("in", "inch"))


def tolerance_said(kept: KeptResult, per_unit: float) -> str:
    """Give what a result was held against, with its unit; empty: nothing.

    Args:
        kept: the result.
        per_unit: how many of what it keeps make a mm, or a rad.
    """
    if kept.tolerance is None:
        return ""
    typed, low, high = kept.tolerance
    if kept.kind != "length" or low is None or high is None or not typed[-1:].isdigit():
        return typed
    return _with_its_unit(typed, (high - low) / per_unit)


def _with_its_unit(typed: str, width: float) -> str:
    """Give a tolerance with the unit that its numbers have: so wide they are, mm."""
    from shopboard.metrology.limits import is_bare, parse_limits  # for records of before alone
    from shopboard.metrology.quantity import QuantityError

    for name, unit in _UNITS if is_bare(typed) else ():
        try:
            found = parse_limits(typed, unit)
        except QuantityError:
            continue
        if math.isclose(found.high - found.low, width, rel_tol=1e-3, abs_tol=1e-6):
            return f"{typed.strip()} {name}"
    return typed
