"""How far a screw goes in a turn: by the name of its thread, or as a length."""

from __future__ import annotations

import contextlib
import re

from shopboard.metrology.quantity import QuantityError, parse_length
from shopboard.metrology.thread import parse_pitch
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.shop.allowed import NUMBER, typed
from shopboard.shop.kinds import as_text
from shopboard.shop.measures import length
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

FINEST, COARSEST = 0.05, 12.7
"""mm a turn; beyond them it is no screw."""

USUAL = (0.2, 5.0)
"""mm a turn, of the screws that set a machine: common practice, no source."""

FEWEST_TURNS = 4
"""A number without a unit from here on is meant as threads per inch: no screw goes so far in one
turn, in mm or inches."""

_PITCH = length(FINEST, COARSEST, "1 mm")


def _read_thread(raw: object, spot: Spot) -> float:
    wanted = 'a thread such as "1/4-20", "M8x1.25" or "20 tpi"'
    turns = _turns_per_inch(raw)
    if turns:
        spot.refuse(f"{turns} of what?", f"write {wanted}", f'did you mean "{turns} tpi"?')
    words = as_text(raw, spot, wanted)
    try:
        mm = parse_pitch(words, spot.report.unit).mm
    except QuantityError as error:
        spot.refuse(f"{shorten(words)}: {error}")
    return _usual(mm, spot)


def _read_pitch(raw: object, spot: Spot) -> float:
    turns = _turns_per_inch(raw)
    if turns:
        what = f"{turns} without a unit is not a pitch: is it threads per inch?"
        allowed = 'a pitch is how far the screw goes in one turn, such as "1.25 mm"'
        hint = f'for threads per inch write thread = "{turns} tpi"'
        if spot.path[-1] != "pitch":  # a size has no thread beside it
            hint = f'{turns} threads per inch are "{MM_PER_INCH / float(turns):.4g} mm"'
        spot.refuse(what, allowed, hint)
    if spot.path[-1] == "pitch" and _is_thread(raw):
        allowed = 'a pitch is how far the screw goes in one turn, such as "1.25 mm"'
        spot.refuse(f"{shorten(raw)} names a thread", allowed, f'write thread = "{raw}"')
    return _usual(_PITCH.read(raw, spot), spot)


def _is_thread(raw: object) -> bool:
    """Tell whether a text is a thread and no length, such as ``20 tpi``."""
    with contextlib.suppress(QuantityError):
        parse_length(str(raw), "mm")
        return False
    with contextlib.suppress(QuantityError):
        parse_pitch(str(raw), "mm")
        return True
    return False


def _turns_per_inch(raw: object) -> str:
    """Give a bare number that can only be meant as threads per inch; empty where it is none."""
    said = str(raw).strip()
    bare = isinstance(raw, str | int | float) and re.fullmatch(r"\d{1,3}(\.\d{1,3})?", said)
    if isinstance(raw, bool) or not bare or not FEWEST_TURNS <= float(said) <= MM_PER_INCH / FINEST:
        return ""
    return f"{float(said):g}"


def _usual(mm: float, spot: Spot) -> float:
    low, high = USUAL
    if not low <= mm <= high:
        per_inch = f"{MM_PER_INCH / high:.0f} to {MM_PER_INCH / low:.0f} per inch"
        found, usual = by_unit(
            spot.report.unit,
            (f"{MM_PER_INCH / mm:.3g} threads per inch", per_inch),
            (f"{mm:.3g} mm in one turn", f"{low} to {high} mm"),
        )
        spot.warn(f"{found} is unusual", f"stop and levelling screws have {usual}")
    return mm


THREAD = Parser(
    _read_thread,
    1.0,
    lambda: typed("a thread, by its name or threads per inch", '"[5/16-18|M8x1.25]"', NUMBER),
)
"""A screw's advance per turn, mm, by the name of its thread."""

PITCH = Parser(_read_pitch, 1.0, _PITCH.allowed)
"""A screw's advance per turn, mm, as a length."""
