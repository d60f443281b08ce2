"""What a person types, as a plain number: decimals, inch fractions, what has two readings refused.

Never guesses: what has two readings is refused with both of them.
"""

from __future__ import annotations

import math
import re

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import first_unfit, plain_signs
from shopboard.metrology.units import PSI_PER_MPA, kind_of_unit

LONGEST = 60
"""More characters than any quantity needs; keeps a pasted page out."""

_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = r"([+-]?)(?:(\d+)(?:\s*-\s*|\s+))?(?:(\d+)\s*/\s*(\d+)|(\d+\.\d*|\.\d+|\d+))"
"""Made a pattern when a number is typed first, not at the start."""


class QuantityError(ValueError):
    """Text that is not one quantity of the kind asked for; the message says why."""


class NoNumberError(QuantityError):
    """Text that does not even begin with a number."""


class UnitError(QuantityError):
    """A unit that is none here."""


def wrong_unit(word: str, asked: str, allowed: str) -> UnitError:
    """Say what is wrong with a unit: nobody knows it, or it is one of something else.

    Args:
        word: as it was typed.
        asked: what is, in words: ``a length is asked``.
        allowed: what may stand there.
    """
    kind = kind_of_unit(word)
    known = f"{word} is {kind}; {asked}" if kind else f"unknown unit {word!r}"
    return UnitError(f"{known}: {allowed}")


class TypedNumber(NamedTuple):
    """A number and what stands behind it."""

    value: float
    rest: str
    is_fraction: bool


def tidied(text: str) -> str:
    """Normalise dashes, spaces and vulgar fractions; refuse what cannot be seen or is too long.

    Raises:
        QuantityError: with the reason.
    """
    tidy = text.strip()
    if not tidy:
        raise QuantityError("nothing typed")
    if len(tidy) > LONGEST:
        raise QuantityError(f"too long for one quantity (more than {LONGEST} characters)")
    unfit = first_unfit(tidy)
    if unfit is not None:
        raise QuantityError(f"invisible or control character U+{ord(tidy[unfit]):04X}")
    tidy = plain_signs(tidy)
    tidy = tidy.replace("⁄", "/").replace("\u00a0", " ").replace("\u202f", " ")
    for sign, fraction in _VULGAR.items():
        tidy = tidy.replace(sign, f" {fraction}")
    if any(char.isdigit() and char not in "0123456789" for char in tidy):
        raise QuantityError("use the digits 0 to 9")
    return re.sub(r"^([+-])\s+", r"\1", tidy.strip())


_TWO_MARKS = "two decimal marks: type one point, and no mark between thousands"


def settle_comma(text: str, bare: str = "") -> str:
    """Let a decimal comma stand for a point where the unit is mm, refuse it otherwise.

    Args:
        text: what was typed.
        bare: unit of a number without one, where that is mm.

    Raises:
        QuantityError: with how to write it.
    """
    comma = re.search(r"\d,\d|^,\d|[ +-],\d", text)
    if not comma:
        return text
    if re.search(r"\d,\d+\.\d|\d\.\d+,\d|\d,\d+,\d", text):
        raise QuantityError(_TWO_MARKS)
    bared = bool(bare) and text[-1:].isdigit()
    metric = re.fullmatch(r"([+-]?\d*),(\d+)\s*(mm.*)", f"{text} {bare}" if bared else text)
    if not metric:
        raise QuantityError(f"decimal comma: type a point, {text.replace(',', '.')}")
    whole, decimals, unit = metric.groups()
    leads = whole.strip("+-")
    if len(decimals) == 3 and leads and not leads.startswith("0"):
        raise QuantityError(
            f"{whole},{decimals} can be read two ways: type {whole}.{decimals} {unit}"
            f" or {whole}{decimals} {unit}"
        )
    return f"{whole}.{decimals} {unit}"


_SIGNS = {"-": "minus", "+": "plus"}


def take_number(text: str) -> TypedNumber:
    """Take the number at the start of a tidied text.

    Raises:
        QuantityError: with the reason.
    """
    if re.match(r"[+-]?(nan|inf)", text, re.IGNORECASE):
        raise QuantityError("not a measurement")
    if re.match(r"[+-]?[\d.]+[eE][+-]?\d", text):
        raise QuantityError("exponents are not accepted: write the number out")
    match = re.match(_NUMBER, text)
    if not match:
        raise NoNumberError("does not start with a number")
    sign, whole, above, below, decimal = match.groups()
    if whole and decimal:
        raise QuantityError("two numbers: a whole number stands only before a fraction, as 1 3/16")
    if below is not None and int(below) == 0:
        raise QuantityError("division by zero")
    value = float(decimal) if decimal else int(above) / int(below) + int(whole or 0)
    if not math.isfinite(value) or value > 1e9:
        raise QuantityError("larger than anything in a shop")
    rest = _behind(text, match.end())
    return TypedNumber(-value if sign == "-" else value, rest, above is not None)


def _behind(text: str, end: int) -> str:
    """Give what stands behind a number, which is no number any more.

    Raises:
        QuantityError: with the reason.
    """
    rest = text[end:].strip()
    if "." in text[:end] and text.startswith(".", end):
        raise QuantityError(_TWO_MARKS)
    if rest.endswith(("-", "+")):
        raise QuantityError(f"the {_SIGNS[rest[-1]]} stands before its number")
    if rest[:1] in (*"0123456789.+", "-") and not rest.startswith("-in"):
        raise QuantityError("two numbers: one quantity at a time")
    return rest


def parse_number(text: str, allowed: str = "a number, or seconds") -> float:
    """Read a count or a time in seconds: ``12``, ``8.5``, ``8.5 s``.

    Args:
        text: what was typed.
        allowed: what is said to be allowed where something else stands behind the number.

    Raises:
        QuantityError: with the reason, when the text is not a number.
    """
    number = take_number(settle_comma(tidied(text)))
    if number.rest.lower() in ("", "s", "sec", "seconds"):
        return number.value
    raise wrong_unit(number.rest, "it is not asked here", allowed)


def parse_stress(text: str) -> float:
    """Read a stress as MPa: ``20000 psi``, ``140 MPa``.

    Raises:
        QuantityError: with the reason.
    """
    match = re.fullmatch(r"(.*\d)\s*(psi|MPa)", text.strip(), re.IGNORECASE)
    if not match:
        raise QuantityError("no unit of stress: psi or MPa")
    value = parse_number(match[1])
    return value / PSI_PER_MPA if match[2].lower() == "psi" else value
