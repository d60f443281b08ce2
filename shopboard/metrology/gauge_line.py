"""What a line of a gauge says: a number, and a unit where it sends one. Pure.

A form says how the line looks: ``{number}`` stands for the reading, ``{unit}`` for its unit, ``*``
for anything; all else is what the gauge sends itself. It is not a regular expression: one of those
can take for ever, and nothing beside it could stop it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from functools import lru_cache
from itertools import product

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.metrology.quantity import QuantityError, parse_length

LONGEST_LINE = 200
"""Characters of a line; a longer one is no reading."""

USUAL_FORM = "{number} {unit}"

MOST_STARS = 2

_NUMBER = re.compile(
    r"(?P<number>[+-]? ?(?:\d{1,9}(?:[.,]\d{0,9})?|[.,]\d{1,9}))"
    r"(?:[eE](?P<power>[+-]?\d{1,2}))?(?!\d|[eE][+-]?\d)"
)
"""ISO 6093: NR1, NR2 and NR3, with either decimal mark, and none for thousands; from memory."""

_UNIT = r"(?<![^\W\d_])(?:mm|cm|um|µm|inch|in|thou|\")(?![^\W_])"

_UNIT_SAID = re.compile(rf"({{number}}[ ,;:|]*){_UNIT}", re.IGNORECASE)
"""A form that has the unit itself behind the number."""

_SWALLOWED = re.compile(_UNIT.replace(r"|\"", ""), re.IGNORECASE)

_RUNS_IN = re.compile(r".*(?:[^\W_]|[.,/]|[-+−–±] ?)", re.DOTALL)
"""What ends before a number with what may be part of it: a letter, a digit, a mark, a sign."""

_RUNS_ON = re.compile(r" ?[^\W\d_]|[\d+−–±-]| \d{3}(?!\d)| \d+/\d| ?[/^°%'’′\"”″*²³]|[.,]\d")
"""What begins behind a number with what may be part of it: another unit, a sign, thousands."""

_IN_THOUSANDS = re.compile(r"(?<=\d) \d{3}(?!\d)|(?<=\d )\d{3}(?!\d)")

_GOES_ON = re.compile(r" ?[/^*·²³]")
"""What makes another unit of one."""


class GaugeReading(NamedTuple):
    """What a gauge reads."""

    words: str
    """As it is typed into a field, with its unit: ``+0.012 in``."""
    mm: float


class LineFormError(ValueError):
    """A form by which no line can be read; the message says why."""


class LineForm(NamedTuple):
    """What lines are held against."""

    ways: tuple[tuple[re.Pattern[str], re.Pattern[str]], ...]
    """Before the number and behind it: with a unit that is sent, then without."""
    star_before: bool
    """Whether ``*`` stands at the number."""
    star_behind: bool
    star_behind_unit: bool


@lru_cache(maxsize=64)
def line_form(form: str) -> LineForm:
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
    named = form if "{unit}" in form else _UNIT_SAID.sub(r"\1{unit}", form)
    is_sent = named == form or "{unit}" not in named
    before, behind = named.split("{number}")
    has_unit = (True, False) if is_sent and "{unit}" in named else ("{unit}" in named,)
    return LineForm(
        tuple((_pattern(before, unit=one), _pattern(behind, unit=one)) for one in has_unit),
        before.replace("{unit}", "").rstrip().endswith("*"),
        behind.lstrip().startswith("*"),
        re.match(r" *\{unit\} *\*", behind) is not None,
    )


def _pattern(part: str, *, unit: bool) -> re.Pattern[str]:
    """Make a part of a form a pattern, in which a unit is sent or is not."""
    found = re.findall(r"\{unit\}|\*| +|[^ *{]+|\{", part)
    known = {"{unit}": rf" ?(?P<unit>{_UNIT})" if unit else "", "*": "(.*?)", " ": " ?"}
    made = (known.get(" " if one.isspace() else one, re.escape(one)) for one in found)
    return re.compile("".join(made), re.IGNORECASE)


def reading_of(line: str, form: str, unit: str) -> GaugeReading | None:
    """Read a line; None when it is not of the form, or can be read two ways.

    Args:
        line: as it came, without its end.
        form: what it looks like.
        unit: of a number that none stands behind.
    """
    tidy = " ".join(line.replace("\x00", "").split())
    if len(tidy) > LONGEST_LINE:
        return None
    found = set(_readings(tidy, line_form(form), unit))
    return found.pop() if len(found) == 1 else None


def _readings(line: str, form: LineForm, unit: str) -> Iterator[GaugeReading]:
    """Give what each number in a line would read, where it can be the one that is meant."""
    for at in range(len(line)):
        number = _NUMBER.match(line, at)
        if number is None or (form.star_before and _runs_in(line, at)):
            continue
        ends = {number.end(), number.end() - (line[number.end() - 1] in ".,")}
        for end, (before, behind) in product(ends, form.ways):
            head, tail = before.fullmatch(line, 0, at), behind.fullmatch(line, end)
            if head and tail and (reading := _reading(number, head, tail, form, unit)):
                yield reading


def _runs_in(line: str, at: int) -> bool:
    """Tell whether what stands before a number may be part of it."""
    return bool(_RUNS_IN.fullmatch(line, 0, at) or _IN_THOUSANDS.match(line, at))


def _reading(
    number: re.Match[str], head: re.Match[str], tail: re.Match[str], form: LineForm, unit: str
) -> GaugeReading | None:
    """Give the reading that a number is; None where a ``*`` took what may be part of it."""
    said = {**head.groupdict(), **tail.groupdict()}.get("unit")
    stars = [one for one in (*head.groups(), *tail.groups()) if one != said]
    at_number = form.star_behind or (form.star_behind_unit and not said)
    if at_number and _RUNS_ON.match(tail.string, tail.start()):
        return None
    if said and form.star_behind_unit and _GOES_ON.match(tail.string, tail.end("unit")):
        return None
    digits = number["number"].replace(" ", "").rstrip(".,")
    if not said and any(map(_SWALLOWED.search, stars)):
        return None
    digits = digits.replace(",", ".")
    if number["power"]:
        digits = f"{Decimal(digits).scaleb(int(number['power'])):f}"
    words = f"{digits} {said or unit}"
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
