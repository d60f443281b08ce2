"""Every kind of value that a check can measure, one row each: a new one is a row here.

Angles are radians, lengths millimetres, stresses megapascals, times seconds,
speeds mm/s inside; the person's units are those of UNITS.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.number import parse_number, parse_stress
from shopboard.metrology.wording import WHOLE_ANGLE, WHOLE_LENGTH

Kind = Literal["angle", "length", "stress", "time", "speed", "yes or no", "note"]
"""Each has its row in KINDS."""


class KindRow(NamedTuple):
    """A kind of value: how a record keeps it, its units, and how a tolerance of it is written."""

    one: str
    """With its article: ``an angle``."""
    record: tuple[str, float]
    """Unit of the whole numbers that a record keeps, and how many make one of ours."""
    units: tuple[str, ...] = ()
    """Every unit that it is spoken of in, by their names in UNITS; none where it was said."""
    inch: str = ""
    """The unit in which a shop by inches reads it, and in which a budget is listed."""
    mm: str = ""
    """The unit in which a shop by millimetres reads it."""
    beside: tuple[str, ...] = ()
    """Units in which both are told it, too."""
    si: tuple[str, float] = ("", 1.0)
    """The SI unit, and how many of it one of ours is."""
    departs: bool = False
    """It is an error about 0, plus or minus, which something on a machine is moved for."""
    signed: bool = False
    """A plus is written where a sign is asked for."""
    from_nought: bool = False
    """None is below 0, whatever a tolerance says."""
    example: str = ""
    """What is to be written where its tolerance is of another kind."""
    typed: str = ""
    """Pattern of the units that tell it in a tolerance; none: `limits` tells it."""
    parse: Callable[[str], float] = parse_number
    """What reads one value with such a unit."""
    said: tuple[str, str] | None = None
    """What 0 and 1 are called where it is no measure, but something that was said."""


KINDS: dict[Kind, KindRow] = {
    "angle": KindRow(
        "an angle",
        ("nrad", WHOLE_ANGLE),
        ("deg", "thou_per_ft", "mm_per_m"),
        inch="thou_per_ft",
        mm="mm_per_m",
        beside=("deg",),
        si=("rad", 1.0),
        departs=True,
        signed=True,
        example='say over what length, as "[3 thou over 9 in|0.1 mm over 250 mm]"',
    ),
    "length": KindRow(
        "a length",
        ("nm", WHOLE_LENGTH),
        ("in", "thou", "mm"),
        inch="thou",
        mm="mm",
        si=("m", 1e-3),
        departs=True,
        signed=True,
        example='write a length such as "[3 thou" or "0 to 4 thou|0.1 mm" or "0 to 0.1 mm]"',
    ),
    "stress": KindRow(
        "a stress",
        ("Pa", 1e6),
        ("psi", "MPa"),
        inch="psi",
        mm="MPa",
        si=("Pa", 1e6),
        example='write a stress such as "[15000 to 20000 psi|100 to 140 MPa]"',
        typed="psi|MPa",
        parse=parse_stress,
    ),
    "time": KindRow(
        "a time",
        ("us", 1e6),
        ("s",),
        inch="s",
        mm="s",
        si=("s", 1.0),
        signed=True,
        from_nought=True,
        example='write a time such as "0 to 10 s"',
        typed="s|sec|seconds",
    ),
    "speed": KindRow(
        "a speed",
        ("um per s", 1e3),
        ("ft_per_min", "m_per_s", "m_per_min", "mph"),
        inch="ft_per_min",
        mm="m_per_s",
        si=("m/s", 1e-3),
    ),
    "yes or no": KindRow(
        "a yes or no", ("of 1000", 1e3), example="make it a point of its own", said=("yes", "no")
    ),
    "note": KindRow(
        "a note", ("of 1000", 1e3), example="make it a point of its own", said=("noted", "noted")
    ),
}
"""A yes is 0 and a no is 1; a note is always 0."""
