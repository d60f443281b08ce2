"""A small shop file that is right, and ways to spoil it at a marked place."""

from __future__ import annotations

from shopboard.shop.kept import Loaded
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop_text

MARK = "»"
"""Stands right before the place where a problem must be shown."""

SHOP = """\
[shop]
name = "The old boathouse"
unit = "inch"

[[drawer.square]]
id = "square-6"
name = "Machinist's square"
length = "6 in"
grade = "0"

[[drawer.feeler]]
id = "leaves"
name = "Feeler set"
leaves = [".0015 in", 0.002, "3 thou"]

[[machine]]
id = "saw"
name = "Table saw"

[[machine.point]]
id = "blade"
name = "Blade at 90"
check = "square"
datum = "table"
face = "blade plate"
lever = 3
tolerance = "0.1 deg"
"""

ANOTHER_POINT = """
[[machine.point]]
id = "fence"
name = "Rip fence"
check = "square"
datum = "table"
face = "fence face"
lever = "2 in"
tolerance = "0.1 deg"
"""


def spoilt(old: str, new: str) -> str:
    """Give the small shop with one stretch replaced; an empty `old` adds at the end."""
    if not old:
        return SHOP + new
    assert SHOP.count(old) == 1, f"{old!r} must stand once in the small shop"
    return SHOP.replace(old, new)


def unmark(text: str) -> tuple[str, int, int]:
    """Take the mark out of a text: the text, and the line and column it marked."""
    before, _, after = text.partition(MARK)
    line = before.count("\n") + 1
    return before + after, line, len(before) - before.rfind("\n")


def problems_of(text: str) -> tuple[Problem, ...]:
    """Give the problems of a text that cannot be used."""
    try:
        loaded = read_shop_text(text)
    except ShopFileError as error:
        return error.problems
    raise AssertionError(f"this was accepted, with {loaded.warnings}")


def only_problem(text: str) -> Problem:
    """Give the one problem that a text must have."""
    problems = problems_of(text)
    assert len(problems) == 1, [f"{p.line}:{p.column} {p.sentence}" for p in problems]
    return problems[0]


def load(text: str) -> Loaded:
    """Read a text that must be right."""
    return read_shop_text(text)
