"""Times as a person types them, in minutes: ``2``, ``2.5``, ``2h30``, ``2:30``, ``90 min``."""

from __future__ import annotations

import re
from typing import Literal

from shopboard.base.text import plain_signs
from shopboard.metrology.number import LONGEST, NoNumberError, QuantityError, parse_number

_HOURS = ("h", "hr", "hrs", "hour", "hours")
_MINUTES = ("min", "mins", "minute", "minutes")
_BOTH = r"(\d{1,5})\s*(?:h|hrs?|hours?|:)\s*(\d{1,2})\s*(?:m|mins?|minutes?)?"
"""Hours and minutes together; a minute alone is never ``m``, which is a metre."""

_ALLOWED = "h or min, as 2.5, 2h30 or 90 min"

LONGEST_RUN = 10_000 * 60.0
"""Minutes; more is a slip of the unit."""


def parse_minutes(text: str, bare: Literal["h", "min"] = "h") -> float:
    """Read one time.

    Args:
        text: what was typed.
        bare: the unit that a bare number takes.

    Returns:
        Minutes, more than 0.

    Raises:
        QuantityError: with the reason, when the text is not one time.
    """
    said = plain_signs(text).strip().lower()
    if len(said) > LONGEST:
        raise QuantityError(f"too long for one time (more than {LONGEST} characters)")
    both = re.fullmatch(_BOTH, said, re.ASCII)
    if both:
        if int(both[2]) >= 60:
            raise QuantityError("minutes after hours run from 0 to 59")
        minutes = int(both[1]) * 60.0 + int(both[2])
    else:
        number, unit = _parted(said)
        minutes = parse_number(number, _ALLOWED) * _scale(unit or bare)
    if minutes <= 0:
        raise QuantityError("it must be more than 0")
    if minutes > LONGEST_RUN:
        raise QuantityError(f"at most {LONGEST_RUN / 60:,.0f} hours")
    return minutes


def _parted(said: str) -> tuple[str, str]:
    """Part a number from the word behind it."""
    unit = re.search(r"[a-z]+$", said)
    if unit is not None and not unit.start():
        raise NoNumberError("does not start with a number: write 2.5, 2h30 or 90 min")
    return (said, "") if unit is None else (said[: unit.start()].rstrip(), unit[0])


def _scale(unit: str) -> float:
    """Give the minutes in a unit."""
    if unit in _HOURS:
        return 60.0
    if unit in _MINUTES:
        return 1.0
    raise QuantityError(f"unknown unit {unit!r}: {_ALLOWED}")


def hours_words(minutes: float) -> str:
    """Write a run, minutes, as a person says it: ``45 min``, ``2.5 h``, ``1,200 h``."""
    hours = minutes / 60
    if minutes < 59.5:
        return f"{minutes:.0f} min"
    if hours >= 100:
        return f"{hours:,.0f} h"
    return f"{hours:.2f}".rstrip("0").rstrip(".") + " h"
