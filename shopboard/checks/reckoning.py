"""Named values for a method run alone: declared as data, read and refused in one place."""

from __future__ import annotations

import difflib
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeVar

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind as ErrorKind
from shopboard.metrology.limits import WIDEST, parse_limits
from shopboard.metrology.quantity import QuantityError, parse_angle, parse_length, parse_number

FieldKind = Literal["length", "angle", "angle over reach", "tolerance", "word", "number", "points"]
"""``angle over reach``: an angle, or a length taken over the value named ``lever``. ``number``: a
count, a speed; without a unit of length. ``points``: text that the method reads itself."""

T = TypeVar("T")


class ReckoningError(ValueError):
    """Values that cannot be reckoned with; one sentence each in `reasons`."""

    def __init__(self, reasons: Sequence[str]) -> None:
        super().__init__("; ".join(reasons))
        self.reasons = tuple(reasons)


@dataclass(frozen=True)
class Field:
    """One named value of a method."""

    name: str
    kind: FieldKind
    help: str
    needed: bool = True
    words: tuple[str, ...] = ()
    """Allowed words, for kind ``word``."""
    reads: str = ""
    """Tool that such a value is read with: ``calliper``, ``indicator``, ``leaves``, ``rule``."""
    signed: bool = False
    """It may be negative."""


@dataclass(frozen=True)
class Given:
    """Values that were read: lengths mm, angles rad."""

    numbers: Mapping[str, float]
    words: Mapping[str, str]
    tolerances: Mapping[str, Tolerance]

    def has(self, name: str) -> bool:
        """Tell whether a value was given."""
        return name in self.numbers or name in self.words or name in self.tolerances

    def number(self, name: str) -> float:
        """Give a needed length or angle."""
        return self.numbers[name]

    def optional(self, name: str) -> float:
        """Give a length or angle, 0 when left out."""
        return self.numbers.get(name, 0.0)

    def word(self, name: str) -> str:
        """Give a needed word."""
        return self.words[name]

    def parsed(self, name: str, parse: Callable[[str], T]) -> T:
        """Give a needed word as what it means; a reason to refuse it names the value."""
        try:
            return parse(self.words[name])
        except QuantityError as error:
            raise ReckoningError([f"{name}={self.words[name][:60]}: {error}"]) from None

    def tolerance(self, name: str) -> Tolerance | None:
        """Give a tolerance, None when left out."""
        return self.tolerances.get(name)

    def need_both(self, *names: str) -> None:
        """Refuse when only some of the names are given."""
        missing = [name for name in names if not self.has(name)]
        if missing:
            raise ReckoningError([f"{name} is missing: it goes with the other" for name in missing])


def read_fields(fields: Sequence[Field], values: Mapping[str, str]) -> Given:
    """Read every value; lengths need their unit, since there is no shop to take it from.

    Raises:
        ReckoningError: with one sentence per name that is wrong, unknown or missing.
    """
    reasons = _unknown(fields, values)
    numbers: dict[str, float] = {}
    words: dict[str, str] = {}
    tolerances: dict[str, Tolerance] = {}
    for field in fields:
        text = values.get(field.name)
        if text is None:
            if field.needed:
                reasons.append(f"{field.name}= is missing: {field.help}")
            continue
        try:
            if field.kind == "word":
                words[field.name] = _word(field, text)
            elif field.kind == "points":
                words[field.name] = text
            elif field.kind == "tolerance":
                tolerances[field.name] = _tolerance(text, numbers.get("lever"))
            else:
                numbers[field.name] = _number(field, text, numbers.get("lever"))
        except QuantityError as error:
            reasons.append(f"{field.name}={text[:60]}: {error}")
    if reasons:
        raise ReckoningError(reasons)
    return Given(numbers, words, tolerances)


def tolerance_of(given: Given, kind: ErrorKind, over: str = "") -> Tolerance | None:
    """Give the tolerance in the unit of the error; a length becomes an angle over a given length.

    Args:
        given: what was read.
        kind: what sort of value the error is.
        over: name of the length over which a length is taken; empty where there is none.

    Raises:
        ReckoningError: when the tolerance limits another sort of value.
    """
    found = given.tolerance("tolerance")
    if found is None or found.kind == kind:
        return found
    if (found.kind, kind) == ("length", "angle") and given.optional(over) > 0:
        low, high = (math.atan(end / given.number(over)) for end in (found.low, found.high))
        return Tolerance(low, high, found.typed)
    wrong = f"tolerance={found.typed}: of kind {found.kind}, the error of kind {kind}"
    raise ReckoningError([wrong])


def _unknown(fields: Sequence[Field], values: Mapping[str, str]) -> list[str]:
    names = [field.name for field in fields]
    reasons = []
    for name in values:
        if name not in names:
            near = difflib.get_close_matches(name, names, 1, 0.6)
            hint = f"; did you mean {near[0]}=?" if near else f"; it takes {', '.join(names)}"
            reasons.append(f"{name[:40]}= is not known here{hint}")
    return reasons


def _word(field: Field, text: str) -> str:
    word = text.strip().lower()
    if word not in field.words:
        raise QuantityError(f"it can be {', '.join(field.words)}")
    return word


def _number(field: Field, text: str, lever: float | None) -> float:
    if field.kind == "length":
        # Nothing is as long as no unit: 0 needs none.
        value = 0.0 if text.strip() == "0" else parse_length(text).mm
    elif field.kind == "number":
        value = parse_number(text)
    elif field.kind == "angle":
        value = parse_angle(text).rad
    else:
        value = _angle_over(text, lever)
    if value < 0 and not field.signed:
        raise QuantityError("it cannot be negative")
    return value


def _angle_over(text: str, lever: float | None) -> float:
    """Read an angle, or a length taken over the lever."""
    try:
        length = parse_length(text).mm
    except QuantityError:
        angle = parse_angle(text).rad
    else:
        if not lever:
            raise QuantityError("a length alone needs a reach to be taken over")
        angle = math.atan(length / lever)
    if angle > WIDEST:
        raise QuantityError("more than 5 degrees is out of all reason")
    return angle


def _tolerance(text: str, lever: float | None) -> Tolerance:
    """Read a tolerance of any kind; a length becomes an angle where there is a lever."""
    found = parse_limits(text)
    if found.kind == "length" and lever:
        low, high = (math.atan(end / lever) for end in (found.low, found.high))
        return Tolerance(low, high, text.strip())
    return found
