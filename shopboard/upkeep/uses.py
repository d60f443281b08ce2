"""Use of a machine as a person can tell it: hours run, cuts made, wood cut. Typed, and in words."""

from __future__ import annotations

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import plain_signs
from shopboard.metrology.duration import hours_words, parse_minutes
from shopboard.metrology.number import UnitError, wrong_unit
from shopboard.metrology.quantity import QuantityError, Unit, parse_length, parse_number
from shopboard.metrology.units import MM_PER_FOOT, by_unit
from shopboard.shop.machine import (
    HAPPENINGS,
    HOURS_RUN,
    NOTE,
    OF_THE_BODY,
    PROJECT_FINISHED,
    TURNED,
    USES,
    Machine,
)
from shopboard.shop.model import Shop
from shopboard.shop.one_body import changed_by

CUTS_MADE, LENGTH_CUT = USES[1:]

_MOST_CUTS = 1_000_000
_LONGEST_CUT = 1e8
"""mm: a hundred kilometres at once is a slip."""
_LENGTHS, _COUNT = "ft or m, as 120 ft or 40 m", "a count of cuts, as 40"
"""What may stand behind a number."""


class UseQuestion(NamedTuple):
    """What is asked about a use, and examples of answers."""

    title: str
    lines: tuple[str, ...]


def question(what: str, unit: Unit) -> UseQuestion:
    """Give the one question about a use."""
    if what == HOURS_RUN:
        return UseQuestion("How long did it run?", ("Hours: 2, 2.5 or 2h30. Or minutes: 90 min.",))
    if what == CUTS_MADE:
        return UseQuestion("How many cuts?", ("A count: 40.",))
    bare = by_unit(unit, "feet: 120", "metres: 40")
    return UseQuestion("How much wood was cut?", (f"A length, in {bare}.",))


def parse_use(what: str, text: str, unit: Unit) -> float:
    """Read how much a machine was used.

    Args:
        what: one of USES.
        text: what was typed: ``2.5``, ``2h30``, ``90 min``; ``40``; ``120 ft``.
        unit: the shop's; a bare length is feet by inches, metres by millimetres.

    Returns:
        Minutes, a count, or mm; more than 0.

    Raises:
        QuantityError: with the reason.
    """
    if what == HOURS_RUN:
        return parse_minutes(text)
    if what == CUTS_MADE:
        return _cuts(text)
    mm = _length(text, unit)
    if mm <= 0:
        raise QuantityError("it must be more than 0")
    if mm > _LONGEST_CUT:
        raise QuantityError(f"at most {use_words(LENGTH_CUT, _LONGEST_CUT, unit)}")
    return mm


def _length(text: str, unit: Unit) -> float:
    number, sign = _parted(text)
    if not sign:
        return parse_number(number, _LENGTHS) * by_unit(unit, MM_PER_FOOT, 1000.0)
    word = {"'": "ft", "metre": "m", "metres": "m", "meter": "m", "meters": "m"}.get(sign, sign)
    try:
        return parse_length(f"{number} {word}").mm
    except UnitError:
        raise wrong_unit(sign, "a length is asked", _LENGTHS) from None


def _parted(text: str) -> tuple[str, str]:
    """Part a number from its unit."""
    said = plain_signs(text).strip().lower()
    number = said.rstrip("abcdefghijklmnopqrstuvwxyz'\"")
    return number.rstrip() or said, said[len(number) :] if number else ""


def _cuts(text: str) -> float:
    number, word = _parted(text)
    if word not in ("", "cut", "cuts"):
        raise wrong_unit(word, "a count is asked", _COUNT)
    count = parse_number(number, _COUNT)
    if count != int(count):
        raise QuantityError("cuts are counted: a whole number")
    if not 1 <= count <= _MOST_CUTS:
        raise QuantityError(f"from 1 to {_MOST_CUTS:,} cuts")
    return count


def use_words(what: str, amount: float, unit: Unit) -> str:
    """Write an amount of use: ``2.5 h``, ``40 cuts``, ``120 ft``, ``3 projects``."""
    if what == HOURS_RUN:
        return hours_words(amount)
    if what == LENGTH_CUT:
        mm, sign = by_unit(unit, (MM_PER_FOOT, "ft"), (1000.0, "m"))
        length = amount / mm
        return f"{length:,.{0 if length >= 100 else 1}f} {sign}".replace(".0 ", " ")
    word = "project" if what == PROJECT_FINISHED else "cut"
    return f"{amount:,.0f} {word}{'' if amount == 1 else 's'}"


def named_first(shop: Shop, machine: Machine) -> tuple[str, ...]:
    """Give what can be recorded of a machine, what the shop file names first.

    Named are what undoes its points, what makes its tasks due, what its cutters' life is counted
    in and how they are changed. A blade, knives, a belt or a stop that it has not is not offered.
    """
    named: set[str] = set()
    for point in machine.points:
        named.update(point.undone_by)
    for task in machine.tasks:
        named.update(task.after)
        if task.every_minutes:
            named.add(HOURS_RUN)
        if task.every_projects:
            named.add(PROJECT_FINISHED)
    counted = {"minutes": HOURS_RUN, "cuts": CUTS_MADE, "mm": LENGTH_CUT}
    counted["projects"] = PROJECT_FINISHED
    for cutter in shop.cutters_at(machine.id):
        named.update(what for what in changed_by(cutter.sort) if what != TURNED or cutter.edges > 1)
        if cutter.lasts is not None:
            named.add(counted[cutter.lasts.unit])
    always = (*OF_THE_BODY, PROJECT_FINISHED, *USES, NOTE)
    every = (what for what in (*HAPPENINGS, *USES, NOTE) if what in named or what in always)
    first = (HOURS_RUN, NOTE)  # of what it does not name
    return tuple(sorted(every, key=lambda what: 0 if what in named else 1 + (what not in first)))
