"""What a click on a line does: a piece of the line knows its key. Pure.

What is drawn as a key (style ``key``) is one, and so are the words behind it, up to the next; so is
a line that begins with a digit in a piece of its own, as the line under the cursor does. Where a
whole pane is meant, `hit` says so in the styles: ``bar@3``. Nothing else says where what is, so a
click can never mean anything but what is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.nines import digit_of
from shopboard.board.paint import Line

_NAMES = {
    "Enter": "enter",
    "Esc": "escape",
    "-": "minus",
    "+": "plus",
    "*": "asterisk",
    "/": "slash",
    ".": "full_stop",
    "?": "question_mark",
    "F1": "f1",
    "//": "ctrl+u",
    "↑": "up",
    "↓": "down",
    "←": "left",
    "→": "right",
    "▲": "up",
    "▼": "down",
}
"""What keys are called, by how they are drawn."""

_DIGITS = frozenset("123456789")

_AT = "@"


CHARACTERS = {"minus": "-", "plus": "+", "asterisk": "*", "slash": "/", "full_stop": "."}
"""What keys of the pad type."""


class Hit(NamedTuple):
    """Some cells of a line, and the key that they are."""

    start: int
    end: int
    """The first cell behind it."""
    key: str
    """Its name; of a character the character itself."""


def hit(line: Line, key: str) -> Line:
    """Let all of a line be a key: a digit, or ``#12``: the line of a list that has none."""
    return tuple((text, f"{style.partition(_AT)[0]}{_AT}{key}") for text, style in line)


def of_nines(line: Line, number: int, cursor: int) -> Line:
    """Let a line of a list be clicked that has its digit only after +: ``=12``, from 0."""
    return line if digit_of(number, cursor) else hit(line, f"={number}")


def bare(line: Line) -> Line:
    """Give a line with its styles alone."""
    if not any(_AT in style for _, style in line):
        return line
    return tuple((text, style.partition(_AT)[0]) for text, style in line)


def hits_of(line: Line) -> Iterator[Hit]:
    """Find the keys of a line, from left to right."""
    at = begun = 0
    key = ""
    for number, (text, style) in enumerate(line):
        _, marked, named = style.partition(_AT)
        begins = style == "key" or (not number and _is_digit(text))
        other = named if marked else key_named(text) if begins else key
        if other != key or (begins and not marked):
            if key:
                yield Hit(begun, at, key)
            begun, key = at, other
        at += cell_len(text)
    if key:
        yield Hit(begun, at, key)


def _is_digit(text: str) -> bool:
    return text.strip(" ►") in _DIGITS


def key_named(text: str) -> str:
    """Give the key that stands first in some words; empty: none does."""
    word = next(iter(text.replace("►", " ").split()), "")
    return _NAMES.get(word, word if len(word) == 1 else "")


def digits_of(lines: Iterable[Line]) -> list[str]:
    """Give the digits that choose something, in the order in which they are drawn."""
    found = (one.key for line in lines for one in hits_of(line))
    return list(dict.fromkeys(key for key in found if key in _DIGITS))


def with_cursor(line: Line, digit: str) -> Line:
    """Show that the cursor is on what a digit chooses."""
    if not any(one.key == digit for one in hits_of(line)):
        return line
    return tuple((text, f"bar{_AT}{digit}") for text, _ in line)
