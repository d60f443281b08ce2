"""A bandsaw blade's tension from its stretch between two marks: stress = modulus x strain.

Stresses MPa, lengths mm, forces newton.
"""

from __future__ import annotations

import re

from shopboard.metrology.number import NoNumberError, QuantityError
from shopboard.metrology.units import PSI_PER_MPA

STEEL_MPA = 29_000_000 / PSI_PER_MPA
"""Modulus of band steel: 29 million psi, 200 GPa (common practice; handbooks give 28 to 30)."""

STEEL_WITHIN = 0.03
"""Share by which the modulus of a band may differ from that: common practice, no source."""

_MODULUS = re.compile(r"([\d.]+(?:e\d{1,2})?)\s*(psi|ksi|Mpsi|MPa|GPa)", re.IGNORECASE)
_MPA_PER = {
    "psi": 1 / PSI_PER_MPA,
    "ksi": 1e3 / PSI_PER_MPA,
    "mpsi": 1e6 / PSI_PER_MPA,
    "mpa": 1.0,
    "gpa": 1e3,
}
_SOFTEST, _STIFFEST = 50_000.0, 400_000.0
"""MPa; no metal that a saw band is made of lies outside."""


def parse_modulus(text: str) -> float:
    """Read a modulus as MPa: ``29000000 psi``, ``29e6 psi``, ``29 Mpsi``, ``200 GPa``.

    Raises:
        QuantityError: with the reason.
    """
    match = _MODULUS.fullmatch(text.strip()[:40])
    if not match:
        raise QuantityError("not a modulus: write 29e6 psi, 29 Mpsi or 200 GPa")
    try:
        value = float(match[1]) * _MPA_PER[match[2].lower()]
    except ValueError:
        raise NoNumberError("does not start with a number") from None
    if not _SOFTEST <= value <= _STIFFEST:
        raise QuantityError("no band has such a modulus: steel has 29e6 psi, 200 GPa")
    return value


def stress(stretch: float, over: float, modulus: float = STEEL_MPA) -> float:
    """Give the stress (MPa) in a strand that is stretched by so much over a length (mm)."""
    return modulus * stretch / over


def strand_force(stress_mpa: float, width: float, thickness: float) -> float:
    """Give the force (N) in one strand; the wheel carries two of them."""
    return stress_mpa * width * thickness
