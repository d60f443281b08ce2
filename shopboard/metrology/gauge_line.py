"""What a line of a gauge says: a number, and a unit where it sends one. Pure.

A form says how the line looks: ``{number}`` stands for the reading, ``{unit}`` for its unit, ``*``
for anything; all else is what the gauge sends itself. It is not a regular expression: one of those
can take for ever, and nothing beside it could stop it.
"""

from __future__ import annotations

import re
from decimal import Decimal
from functools import lru_cache

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.metrology.quantity import QuantityError, parse_length

LONGEST_LINE = 200
"""Characters of a line; a longer one is no reading."""

USUAL_FORM = "{number} {unit}"

MOST_STARS = 2

_NUMBER = (
    r"(?<![\d.,])(?P<number>[+-]? ?(?:\d{1,9}(?:[.,]\d{0,9})?|[.,]\d{1,9}))"
    r"(?:[eE](?P<power>[+-]?\d{1,2}))?(?![\d.,]|[eE][+-]?\d)"
)
"""ISO 6093: NR1, NR2 and NR3, with either decimal mark; from memory."""

_PARTS = {
    "{number}": _NUMBER,
    "{unit}": r" ?(?P<unit>mm|cm|um|µm|inch|in|thou|\")?",
    "*": ".*?",
    " ": " ?",
}


class GaugeReading(NamedTuple):
    """What a gauge reads."""

    words: str
    """As it is typed into a field, with its unit: ``+0.012 in``."""
    mm: float


class LineFormError(ValueError):
    """A form by which no line can be read; the message says why."""


@lru_cache(maxsize=64)
def pattern_of(form: str) -> re.Pattern[str]:
    """Make a form what lines are held against.

    Raises:
        LineFormError: when it has not one number in it, two units, or too many ``*``.
    """
    if form.count("{number}") != 1:
        raise LineFormError("{number} stands in it once")
    if form.count("{unit}") > 1:
        raise LineFormError("{unit} stands in it once at the most")
    if form.count("*") > MOST_STARS:
        raise LineFormError(f"* stands in it {MOST_STARS} times at the most")
    parts = re.findall(r"\{number\}|\{unit\}|\*| +|[^ *{]+|\{", form)
    made = (_PARTS.get(" " if one.isspace() else one, re.escape(one)) for one in parts)
    return re.compile("".join(made), re.IGNORECASE)


def reading_of(line: str, form: str, unit: str) -> GaugeReading | None:
    """Read a line; None when it is not of the form.

    Args:
        line: as it came, without its end.
        form: what it looks like.
        unit: of a number that none stands behind.
    """
    tidy = " ".join(line.replace("\x00", "").split())
    found = pattern_of(form).fullmatch(tidy) if len(tidy) <= LONGEST_LINE else None
    if found is None:
        return None
    number = found["number"].replace(",", ".").replace(" ", "")
    if found["power"]:
        number = f"{Decimal(number).scaleb(int(found['power'])):f}"
    said = found["unit"] if "unit" in found.re.groupindex else None
    words = f"{number} {said or unit}"
    try:
        return GaugeReading(words, parse_length(words).mm)
    except QuantityError:
        return None


class GaugeLines:
    """Puts bytes together into lines, whatever comes: at CR, at LF, at both."""

    def __init__(self) -> None:
        self._held = b""
        self._too_long = False

    def feed(self, data: bytes) -> list[str]:
        """Give the lines that end in these bytes; none that is too long, and no empty one."""
        *whole, rest = re.split(rb"[\r\n]", self._held + data)
        if whole and self._too_long:
            whole, self._too_long = whole[1:], False
        self._held = rest
        if len(rest) > LONGEST_LINE:
            self._held, self._too_long = b"", True
        fit = (one for one in whole if one.strip() and len(one) <= LONGEST_LINE)
        return [one.decode("utf-8", "replace") for one in fit]


def shown(line: str) -> str:
    """Give the start of a line that is no reading, fit to be drawn."""
    return harmless(" ".join(line.replace("\x00", "").split()))[:24]
