"""Numbers as the person reads them: leading zero, unit glued on, no more digits than are known."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence

from shopboard.metrology.units import MM_PER_INCH, Unit, by_unit, in_unit, rounded

WHOLE_ANGLE = 1e9
"""A record keeps angles in whole nanoradians."""

WHOLE_LENGTH = 1e6
"""A record keeps lengths in whole nanometres."""


def as_kept(value: float, per_unit: float) -> float:
    """Give a value as a record gives it back.

    Everything is written from that, or a result close to the middle between two digits would read
    one way while it is found and another once it is on record.

    Args:
        value: in our unit.
        per_unit: how many of the record's whole units make one of ours.
    """
    return round(value * per_unit) / per_unit if math.isfinite(value) else value


def _trim(text: str, least: int) -> str:
    """Drop trailing zeros down to `least` decimals."""
    whole, dot, decimals = text.partition(".")
    decimals = decimals.rstrip("0").ljust(least, "0")
    return f"{whole}{dot}{decimals}" if decimals else whole


def _inch_fraction(inches: float) -> str | None:
    """Write whole inches and 64ths, or None when the value is not one of them."""
    parts = round(inches * 64)
    if parts == 0 or abs(inches * 64 - parts) > 1e-4:
        return None
    whole, rest = divmod(parts, 64)
    if rest == 0:
        return f"{whole}"
    common = math.gcd(rest, 64)
    fraction = f"{rest // common}/{64 // common}"
    return f"{whole} {fraction}" if whole else fraction


def length(mm: float, unit: Unit) -> str:
    """Write a length, mm, in the shop's unit: ``3 1/4 in``, ``0.0015 in``, ``0.05 mm``."""
    sign = "-" if mm < 0 else ""
    return f"{sign}{by_unit(unit, _in_inches, _in_mm)(abs(mm))}"


def _in_mm(mm: float) -> str:
    return f"{_trim(rounded(mm, 3), 0)} mm"


def _in_inches(mm: float) -> str:
    inches = mm / MM_PER_INCH
    if inches >= 0.0995:
        return f"{_inch_fraction(inches) or _trim(rounded(inches, 3), 0)} in"
    return f"{_trim(rounded(inches, 5), 3)} in"


def leaf(mm: float, unit: Unit) -> str:
    """Write a leaf's thickness, mm, always in decimals: ``0.012 in``, ``0.05 mm``."""
    inches = f"{_trim(rounded(mm / MM_PER_INCH, 5), 3)} in"
    return by_unit(unit, inches, f"{_trim(rounded(mm, 4), 2)} mm")


def held(leaves: Sequence[float], unit: Unit) -> str:
    """Write leaves that are held together, mm, as they are marked: ``9 + 25 thou``."""
    if by_unit(unit, inch=True, mm=False):
        return f"{' + '.join(f'{round(mm / MM_PER_INCH * 1000, 2):g}' for mm in leaves)} thou"
    return f"{' + '.join(leaf(mm, unit).removesuffix(' mm') for mm in leaves)} mm"


def as_typed(text: str, mm: float, unit: Unit) -> str:
    """Write a length as it was typed, and what it is in `unit` where it was typed in another.

    A decimal mark is a point with a nought before it: ``0.004 in`` for what was typed as
    ``.004``, ``0.18 mm`` for ``0,18``.
    """
    text = text.replace(",", ".")
    text = f"0{text}" if text.startswith(".") else text
    metric = text.rstrip().lower().endswith("m")  # mm, cm, m, um: no unit of an inch ends so
    return text if metric == by_unit(unit, inch=False, mm=True) else f"{text} ({leaf(mm, unit)})"


_IN_BOTH = r"\[([^][|]+)\|([^][|]+)\]"


def own_words(text: str, unit: Unit | None) -> str:
    """Say a round length of a fixed sentence in the shop's unit: ``[24 in|600 mm]`` in either.

    Only for sentences of our own: a name of the shop file is put in afterwards.

    Args:
        text: the sentence; the inch shop's words stand first.
        unit: of the shop; None, where there is none: ``24 in (600 mm)``.
    """
    if unit is None:
        return re.sub(_IN_BOTH, r"\1 (\2)", text)
    return re.sub(_IN_BOTH, by_unit(unit, r"\1", r"\2"), text)


def exact(value: float) -> str:
    """Write a number that is exact to four digits at the least, without noughts at its end."""
    if value == 0:
        return "0"
    return _trim(rounded(value, 2 + places(abs(value))), 0)


def small_move(mm: float, unit: Unit) -> str:
    """Write a small move, mm, as thousandths or hundredths: ``4.2 thou``, ``0.11 mm``."""
    return in_unit(as_kept(mm, WHOLE_LENGTH), by_unit(unit, "thou", "mm"))


def small_limit(mm: float, unit: Unit) -> str:
    """Write a small length that is wanted, mm, as it is asked for: ``6.0 thou``, ``0.15 mm``."""
    return by_unit(unit, small_move, length)(mm, unit)


def slope(rad: float, unit: Unit, *, signed: bool = False) -> str:
    """Write an angle, rad, as the shop's slope: ``27.0 thou/ft`` or ``2.25 mm/m``."""
    rad = as_kept(rad, WHOLE_ANGLE)
    sign = ("+" if rad > 0 else "-" if rad < 0 else "") if signed else ""
    return in_unit(rad, by_unit(unit, "thou_per_ft", "mm_per_m"), sign)


def degrees(rad: float, *, signed: bool = False) -> str:
    """Write an angle, rad, in degrees to a thousandth: ``0.129°``."""
    found = math.degrees(as_kept(rad, WHOLE_ANGLE))
    return f"{rounded(found if signed else abs(found), 3, '+' * signed)}°"


def both(rad: float, unit: Unit) -> str:
    """Write an angle, rad, both ways: ``27.0 thou/ft (0.129°)``."""
    return f"{slope(rad, unit)} ({degrees(rad)})"


def places(expanded: float) -> int:
    """Give how many decimals show two significant digits of an expanded uncertainty.

    Below 0: so many digits before the point are noughts. Source: JCGM 100:2008, 7.2.6, two digits
    at the most, and the value to as many.

    Args:
        expanded: more than 0, in the unit in which it is written.
    """
    return 1 - int(f"{expanded:.1e}".partition("e")[2])


def percent(probability: float) -> str:
    """Write a probability so that neither certainty is claimed: ``97.2 %``, ``over 99.9 %``."""
    if probability > 0.999:
        return "over 99.9 %"
    if probability < 0.001:
        return "under 0.1 %"
    if 0.1 < probability < 0.9:
        return f"{probability * 100:.0f} %"
    # Cut toward the middle, so that what is just not proven never reads as the level itself.
    tenths = round(probability * 1000, 6)
    return f"{(math.floor(tenths) if probability > 0.5 else math.ceil(tenths)) / 10:.1f} %"


def share(part: float) -> str:
    """Write a share to a whole per cent: ``86 %``, of ten times and more ``over 999 %``."""
    return f"{part * 100:.0f} %" if part < 10 else "over 999 %"


EIGHTH_WITHIN_DEGREES = 4
"""A turn this near to an eighth is called that eighth; a hand sets a screw no finer."""


def _eighths(count: int) -> str:
    """Write a whole number of eighths: ``3/8``, ``1 1/4``, ``0``."""
    whole, rest = divmod(count, 8)
    common = math.gcd(rest, 8)
    fraction = f"{rest // common}/{8 // common}" if rest else ""
    return " ".join(part for part in (str(whole) if whole else "", fraction) if part) or "0"


def eighth(amount: float) -> str:
    """Write turns as an eighth, ``3/8``; empty when they lie clearly between two."""
    nearest = round(amount * 8)
    near = nearest > 0 and abs(amount * 360 - nearest * 45) <= EIGHTH_WITHIN_DEGREES
    return _eighths(nearest) if near else ""


def short_turn(amount: float) -> str:
    """Write turns of a screw in a few letters, for one of many: ``3/8 turn``, else ``73°``."""
    near = eighth(amount)
    return f"{near} turn" if near else f"{amount * 360:.0f}°"


NEAR_EIGHTH_DEGREES = 12
"""A turn this near to an eighth is a little less or more than that one to a hand: a quarter of
the way to the next."""


def turns(amount: float) -> str:
    """Write turns of a screw in eighths and degrees.

    ``3/8 turn (135°)`` where that is what a hand would set, else ``85°, a little less than 1/4
    turn``, or ``68°, between 1/8 and 1/4 turn``.
    """
    by_degrees, exact = f"{amount * 360:.0f}°", eighth(amount)
    if exact:
        return f"{exact} turn{'s' if amount > 1.01 else ''} ({by_degrees})"
    below, nearest = math.floor(amount * 8), round(amount * 8)
    if nearest and abs(amount * 360 - nearest * 45) <= NEAR_EIGHTH_DEGREES:
        way = "less" if nearest > below else "more"
        return f"{by_degrees}, a little {way} than {_eighths(nearest)} turn"
    if below == 0:
        return f"{by_degrees}, less than 1/8 turn"
    return f"{by_degrees}, between {_eighths(below)} and {_eighths(below + 1)} turn"
