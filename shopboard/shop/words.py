"""Text rules for every key and text of the shop file, known or not, and how deep it may nest.

The terminal obeys control characters, and bidi or invisible characters make a
line read differently from what it holds: they are refused wherever they stand
in a key or a value, written out or as an escape.
"""

from __future__ import annotations

import re

from shopboard.base.text import first_unfit
from shopboard.shop.report import Fault, Path, Report

DEEPEST = 32
"""Tables and lists inside each other; the format needs seven."""

_DOTTED = r"(?<![\w-])(?:(?:[\w-]++|\"[^\"\n]*\"|'[^'\n]*')[ \t]*+\.[ \t]*+){32}"


def too_many_dots(text: str) -> int | None:
    """Give where a key of very many parts begins: reading it would take quadratic time."""
    if all(line.count(".") < DEEPEST for line in text.split("\n")):
        return None  # nearly every file: a key ends with its line
    match = re.search(_DOTTED, text, re.ASCII)
    return match.start() if match else None


def check_words(data: dict[str, object], report: Report) -> bool:
    """Report every key and text that may not be drawn; False when it is nested too deeply."""
    waiting: list[tuple[Path, object]] = [((), data)]
    while waiting:
        path, value = waiting.pop()
        if isinstance(value, str):
            _check(value, path, report, at_key=False)
        elif len(path) > DEEPEST:
            return False
        elif isinstance(value, dict):
            for key, below in value.items():
                plain = key.isascii() and key.isprintable()
                if plain and _is_plain(below):
                    continue  # nearly every setting: nothing to look into
                _check(key, (*path, key), report, at_key=True)
                waiting.append(((*path, key), below))
        elif isinstance(value, list):
            waiting.extend(((*path, index), below) for index, below in enumerate(value))
    return True


def _is_plain(value: object) -> bool:
    """Tell whether a value holds no other and no character that could be unfit."""
    if isinstance(value, str):
        return value.isascii() and value.isprintable()
    return not isinstance(value, dict | list)


def _check(text: str, path: Path, report: Report, *, at_key: bool) -> None:
    unfit = first_unfit(text)
    if unfit is not None:
        what = describe(text[unfit])
        allowed = "keep it on one line" if text[unfit] == "\n" else "leave it out"
        report.add(Fault(path, what, allowed, at_key=at_key, unfit=True))
    elif "\ufffd" in text:
        report.add(Fault(path, "U+FFFD stands for a letter that was lost", severity="warning"))


def describe(char: str) -> str:
    """Name an unfit character, and what it would do."""
    code = f"U+{ord(char):04X}"
    if char == "\n":
        return f"more than one line (line feed, {code}) in a text"
    if char == "\t":
        return f"a tab ({code}) in a text"
    if ord(char) < 0x20 or 0x7F <= ord(char) <= 0x9F:
        return f"control character {code} in a text"
    if char in "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069":
        return f"{code} turns the direction of the text"
    return f"invisible character {code} in a text"
