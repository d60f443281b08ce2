"""What a method gives beside the error, in plain lines: every number with its unit.

The same data goes into JSON as it is; there its units stand in the names.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from shopboard.checks.addition_names import FOR_PROGRAMS, WORDS, name_of
from shopboard.metrology.units import UNITS, Unit, by_unit, rounded
from shopboard.metrology.wording import exact, places

_SIGNS = {name: row.sign for name, row in UNITS.items()} | {"dms": ""}
"""How the units of data are written; degrees, minutes and seconds say it already."""

_NUMBERS = {
    "strain": (100.0, "%"),
    "closing_deg": (1.0, "deg"),
    "turns": (1.0, "turns"),
    "degrees": (1.0, "deg"),
    "marks_per_inch": (1.0, "to the inch"),
    "marks_per_cm": (1.0, "to the centimetre"),
}
"""Numbers that stand alone, by name: what they are multiplied by, and their unit."""

TYPED = "text"
"""Name of what a person wrote: shown as it was written."""

_ALONG = frozenset({"lead_length", "tail_length"})
"""Lengths along a board, of which nobody speaks in thousandths."""


def _left_out(unit: Unit) -> set[str]:
    return {"dms", *(name for name, row in UNITS.items() if unit not in row.shops)}


def addition_lines(
    adds: Mapping[str, object], unit: Unit | None = None, known: Mapping[str, float] | None = None
) -> list[str]:
    """Write every addition on a line of its own: its name in words, then its value.

    Args:
        adds: by name, units in the names of their numbers.
        unit: of the shop, in whose units alone they are written; None: in all of them.
        known: expanded uncertainty of the result, by the unit: what is in the same unit is
            written to two digits of it.
    """
    known = {name: u for name, u in (known or {}).items() if u > 0 and (name != "in" or not unit)}
    if unit is not None:
        left_out = _left_out(unit)
        long = by_unit(unit, left_out - {"in"} | {"thou"}, left_out)
        adds = {
            name: _of_shop(value, long if name in _ALONG else left_out, known, name)
            for name, value in adds.items()
        }
    rows = [*_rows(adds, known)]
    width = max((len(label) for label, _ in rows), default=0)
    return [f"{label:<{max(width, 12)}} {text}" for label, text in rows]


def _of_shop(
    value: object, left_out: set[str], known: Mapping[str, float], name: str = ""
) -> object:
    """Leave units out, at every depth, and round to what tools of a shop tell."""
    if isinstance(value, Mapping):
        kept = {key: one for key, one in value.items() if key not in left_out}
        return {key: _of_shop(one, left_out, known, key) for key, one in kept.items()}
    if isinstance(value, list):
        return [_of_shop(one, left_out, known) for one in value]
    if name in UNITS and name not in known and isinstance(value, float):
        return float(rounded(value, UNITS[name].beside))
    return value


def _rows(
    adds: Mapping[str, object], known: Mapping[str, float], before: str = ""
) -> Iterator[tuple[str, str]]:
    for name, value in adds.items():
        if name in FOR_PROGRAMS:
            continue
        label = f"{before}{name_of(name)}"
        if isinstance(value, Mapping):
            yield from _group(label, value, known)
        elif isinstance(value, list):
            for number, one in enumerate(value, 1):
                if isinstance(one, Mapping):
                    yield from _rows(one, known, f"{label.removesuffix('s')} {number} ")
            words = [str(one) for one in value if not isinstance(one, Mapping)]
            if words:
                yield label, ", ".join(words)
        else:
            yield label, _single(name, value)


def _group(
    label: str, value: Mapping[str, object], known: Mapping[str, float]
) -> Iterator[tuple[str, str]]:
    """Give a value in several units on one line, what else stands with it on lines below."""
    units = {name: one for name, one in value.items() if name in _SIGNS}
    if units:
        yield label, "   ".join(_in_unit(name, one, known) for name, one in units.items())
    others = {name: one for name, one in value.items() if name not in _SIGNS}
    yield from _rows(others, known, f"{label} ")


def _in_unit(name: str, value: object, known: Mapping[str, float]) -> str:
    shown = str(value)
    if isinstance(value, int | float):
        shown = rounded(value, places(known[name])) if name in known else _four(value)
    return f"{shown} {_SIGNS[name]}".strip()


def _four(value: float) -> str:
    """Write four digits of what has no uncertainty; a trace that reckoning left is nothing."""
    return exact(value) if abs(value) >= _TRACE else "0"


_TRACE = 1e-9


def _digits(value: float) -> str:
    """Write six digits, without an exponent."""
    if value == 0 or 1e-4 <= abs(value) < 1e6:
        return f"{value:.6g}"
    return f"{value:.0f}" if abs(value) >= 1 else f"{value:.9f}".rstrip("0")


def _single(name: str, value: object) -> str:
    if isinstance(value, bool) or not isinstance(value, int | float):
        text = str(value)
        by_method = text.isidentifier() and name != TYPED  # one word, as methods name things
        told = WORDS.get(name, {}).get(text, text)
        return told.replace("_", " ") if by_method else told
    factor, unit = _NUMBERS.get(name, (1.0, ""))
    return f"{_digits(value * factor)} {unit}".strip()
