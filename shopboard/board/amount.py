"""A value that is one number with its unit, as it is changed on the number pad. Pure.

``75 mm``, ``3 months``, ``0.1 mm over 250 mm``; of a range, ``0 to 3 thou``, its end is meant.
"""

from __future__ import annotations

import re

from shopboard.board.stepping import stepped

_NUMBER = r"\d[\d.,]*(?:[- ]\d+/\d+|/\d+)?|\.\d+|\d*[¼-¾⅐-⅞]"
_AMOUNT = re.compile(rf"([^;]* to )?({_NUMBER})( *(?:[^\W\d]|%)[^;]*)?")
_ONLY_NUMBER = re.compile(rf" *({_NUMBER}) *")


def is_amount(value: str) -> bool:
    """Tell whether a value is one number, with a unit or without."""
    return _AMOUNT.fullmatch(value) is not None


def completed(entry: str, there: str) -> str:
    """Give what is meant by what is typed: a number alone takes the unit of what stood there.

    Args:
        entry: what is typed.
        there: an amount.
    """
    found, alone = _AMOUNT.fullmatch(there), _ONLY_NUMBER.fullmatch(entry)
    if found is None or alone is None:
        return entry.strip()
    return f"{found[1] or ''}{alone[1]}{found[3] or ''}"


def one_step(value: str, sign: str) -> str | None:
    """Give an amount one step more or less; None where it is none, or has no unit behind it."""
    found = _AMOUNT.fullmatch(value)
    if found is None or found[3] is None:
        return None
    return f"{found[1] or ''}{stepped(found[2] + found[3], sign, 'decimal') or ''}"
