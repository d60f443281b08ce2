"""The signs of a plot, in line drawing and in plain ASCII, and what each means."""

from __future__ import annotations

from collections.abc import Sequence
from unicodedata import east_asian_width

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.painted import Line, Painted

VERDICT_MARKS = {"true": "█", "near": "▒", "out": "▞"}
"""A result, by its verdict; told apart without colour."""

UNREADABLE = "!"
"""A result whose verdict this program does not know."""

VOID, BAR, RANGE, SET, LIMIT, OUTSIDE, ZERO, EVENT = "×", "│", "┃", "║", "─", "░", "·", "┊"

SEVERAL = "*"
"""Different things in one column."""

UNMEASURED = "?"
"""Set, and not measured since."""

_ASCII = str.maketrans(
    {
        "█": "#",
        "▒": "%",
        "▞": "/",
        "×": "x",
        "│": "|",
        "┃": "I",
        "║": "H",
        "─": "-",
        "░": ":",
        "·": ".",
        "┊": "'",
        "┤": "+",
        "└": "+",
        "┬": "+",
        "±": "+-",
    }
)


class Sign(NamedTuple):
    """One sign of the plot and its meaning, for the lines below it."""

    mark: str
    style: str
    words: str


def as_ascii(line: Line) -> Line:
    """Draw a line without line drawing; a letter that ASCII lacks becomes a question mark."""
    return tuple((_plain(text), style) for text, style in line)


def _plain(text: str) -> str:
    if text.isascii():
        return text
    return text.translate(_ASCII).encode("ascii", "replace").decode("ascii")


def cells(text: str) -> int:
    """Give the columns that a text takes at the most."""
    return sum(2 if east_asian_width(char) in "WF" else 1 for char in text)


def wrapped(signs: Sequence[Sign], width: int, most: int) -> list[Line]:
    """Write signs with their meanings side by side over so many lines; the rest is left out."""
    lines: list[list[Painted]] = []
    used = width
    for mark, style, words in signs:
        size = cells(f" {mark} {words}")
        if used + 2 + size > width:
            lines.append([])
            used = -2
        lines[-1] += [("  " if used > 0 else "", ""), (f" {mark}", style), (f" {words}", "dim")]
        used += 2 + size
    return [tuple(line) for line in lines[: max(most, 0)]]
