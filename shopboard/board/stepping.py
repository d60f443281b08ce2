"""Plus and minus step what is typed: by one in its last place, a day by a day. Pure.

A number keeps the form in which it was typed: .012 becomes .013, 3/16 becomes 4/16, 12 thou 13
thou. Behind a whole number the first minus is that of 3-1/4, which is typed so on the pad; the
second one steps.
"""

from __future__ import annotations

import re
from datetime import date, timedelta
from decimal import Decimal

HALF_TYPED = re.compile(r"\d+-", re.ASCII)
"""A whole number and the minus of a fraction that is to come."""

_FRACTION = re.compile(r"(-?)(?:(\d+)([- ]+))?(\d+)/(\d+)(.*)", re.ASCII)
_DECIMAL = re.compile(r"([+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+))(\D.*)?", re.ASCII)
_DAY = re.compile(r"(\d{4})([-./])(\d{1,2})\2(\d{1,2})", re.ASCII)
_PART_OF_DAY = re.compile(r"\d{4}(?:-\d{1,2})?", re.ASCII)


def stepped(text: str, sign: str, sort: str) -> str | None:
    """Step what is typed.

    Args:
        text: what is typed so far.
        sign: ``+`` or ``-``.
        sort: what is typed, as `field.FieldSort` has it.

    Returns:
        What stands there then; None where the sign itself is typed.
    """
    by = 1 if sign == "+" else -1
    if sort == "day":
        if sign == "-" and _PART_OF_DAY.fullmatch(text):
            return None
        if found := _DAY.fullmatch(text):
            return _other_day(found, by, text)
    elif sort == "number" and sign == "-" and re.fullmatch(r"\d+", text, re.ASCII):
        return None
    if HALF_TYPED.fullmatch(text):
        text = text[:-1]
    if found := _FRACTION.fullmatch(text):
        return _other_fraction(found, by)
    if found := _DECIMAL.fullmatch(text):
        return _other_decimal(found[1], by) + (found[2] or "")
    return text if text else None


def _other_day(found: re.Match[str], by: int, text: str) -> str:
    try:
        day = date(int(found[1]), int(found[3]), int(found[4])) + timedelta(days=by)
    except (ValueError, OverflowError):
        return text
    return day.isoformat().replace("-", found[2])


def _other_fraction(found: re.Match[str], by: int) -> str:
    minus, whole, joint, part, of, rest = found.groups()
    parts = int(part) + int(whole or 0) * int(of)
    parts = (-parts if minus else parts) + by
    sign, parts = ("-" if parts < 0 else ""), abs(parts)
    if not whole or int(of) == 0:
        return f"{sign}{parts}/{of}{rest}"
    wholes, parts = divmod(parts, int(of))
    return f"{sign}{wholes}{joint}{parts}/{of}{rest}"


def _other_decimal(number: str, by: int) -> str:
    comma, bare = "," in number, not number.lstrip("+-")[0].isdigit()
    typed = number.replace(",", ".")
    places = len(typed.partition(".")[2])
    made = f"{Decimal(typed) + by * Decimal(1).scaleb(-places):.{places}f}"
    if Decimal(made) == 0:
        made = made.lstrip("-")
    if bare:
        made = re.sub(r"^(-?)0\.", r"\1.", made)
    return made.replace(".", ",") if comma else made
