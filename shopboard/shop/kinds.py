"""Kinds of plain values in the shop file: text, ids, choices, yes or no, whole numbers, lists."""

from __future__ import annotations

import re
from collections.abc import Collection
from typing import NoReturn, TypeVar

from shopboard.shop.allowed import Allowed, one_word, several, typed
from shopboard.shop.hints import did_you_mean, type_name
from shopboard.shop.problems import shorten
from shopboard.shop.report import Spot
from shopboard.shop.table import Parser

LONGEST_NAME = 60
"""Characters of a name: it must fit a board of 80 columns."""
LONGEST_WORDS = 120
"""Characters of a description."""

LONGEST_TEXT = 400
"""Characters of any text: longer ones are not looked at."""
LONGEST_LIST = 200
"""Elements of a list; a set of feeler leaves has 30."""

T = TypeVar("T")
_ID_PATTERN = "[a-z][a-z0-9_-]{0,39}"
_ID = re.compile(_ID_PATTERN)
_ID_RULE = "a small letter, then small letters, digits, - and _ (40 at the most)"


def refuse_type(raw: object, spot: Spot, wanted: str, hint: str = "") -> NoReturn:
    """Refuse a value of the wrong type, in words."""
    spot.refuse(f"{type_name(raw)} where {wanted} belongs", "", hint)


def as_text(raw: object, spot: Spot, wanted: str = "text", *, any_words: bool = False) -> str:
    """Give the trimmed text of a value; refuse anything else.

    Args:
        raw: the value.
        spot: where it stands.
        wanted: what belongs there.
        any_words: whether a number would do between quotes.
    """
    if not isinstance(raw, str):
        plain = any_words and isinstance(raw, int | float) and not isinstance(raw, bool)
        hint = f"write {shorten(shorten(raw))}, with quotes" if plain else ""
        refuse_type(raw, spot, wanted, hint)
    trimmed = raw.strip()
    if len(trimmed) > LONGEST_TEXT:  # before any pattern is tried on it
        spot.refuse(f"{len(trimmed)} characters", f"at most {LONGEST_TEXT}")
    if not trimmed:
        spot.refuse("nothing between the quotes", f"write {wanted}")
    if trimmed != raw:
        spot.warn("spaces at the start or end", "they are left out")
    return trimmed


def text(most: int = LONGEST_WORDS, what: str = "") -> Parser[str]:
    """Words on one line, up to so many characters; `what`: what they are, to explain it."""

    def read(raw: object, spot: Spot) -> str:
        words = as_text(raw, spot, any_words=True)
        if len(words) > most:
            spot.refuse(f"{len(words)} characters", f"at most {most}")
        return words

    rule = {"type": "string", "minLength": 1, "maxLength": most}
    return Parser(read, "", lambda: Allowed(what or f"words, at most {most} characters", "", rule))


NAME = text(LONGEST_NAME)
WORDS = text()
MONEY = text(12)
FOLDER = text(400)
"""A folder by its path; whether it is there is found out when it is used."""


def _read_id(raw: object, spot: Spot) -> str:
    word = as_text(raw, spot, "an id")
    if not _ID.fullmatch(word):
        tidy = re.sub(r"[^a-z0-9_-]+", "-", word.lower()).strip("-_")[:40]
        hint = f'did you mean "{tidy}"?' if _ID.fullmatch(tidy) else ""
        spot.refuse(f"{shorten(word)} cannot be an id", _ID_RULE, hint)
    return word


ID = Parser(_read_id, "", lambda: typed(_ID_RULE, "", f"^{_ID_PATTERN}$"))
"""A short name for the command line and the journal."""


def _id_anywhere(wanted: str, elsewhere: str) -> Parser[str]:
    """An id, or with a machine's before it: ``machine.point``."""

    def read(raw: object, spot: Spot) -> str:
        word = as_text(raw, spot, wanted)
        machine, dot, ident = word.partition(".")
        if dot and _ID.fullmatch(machine) and _ID.fullmatch(ident):
            return word
        return _read_id(word, spot)

    words, pattern = f"{wanted}, {elsewhere}", rf"^{_ID_PATTERN}(\.{_ID_PATTERN})?$"
    return Parser(read, "", lambda: typed(words, "", pattern))


OLD_NAME = _id_anywhere("the id that it had", 'on another machine "machine.point"')
"""The name that a point had: its id, or ``machine.point``."""


def choice(*allowed: str) -> Parser[str]:
    """One of a few words; the first stands in for a wrong one."""

    def read(raw: object, spot: Spot) -> str:
        listed = " or ".join(f'"{word}"' for word in allowed)
        if isinstance(raw, bool) and not raw and "no" in allowed:
            spot.refuse("false where words belong", listed, 'did you mean "no"?')
        return one_of(raw, allowed, spot, listed)

    return Parser(read, allowed[0], lambda: one_word(allowed))


COLOURS = choice("dark", "light", "16", "none")
"""A theme of the board."""


ONE_OF = Parser(as_text, "", lambda: one_word([""]))
"""One of the words of the type that it stands beside (`settings.py`)."""


def one_of(raw: object, allowed: Collection[str], spot: Spot, listed: str = "") -> str:
    """Give the word when it is one of those allowed; refuse it otherwise."""
    wanted = listed or f"one of {', '.join(allowed)}"
    word = as_text(raw, spot, wanted, any_words=str(raw) in allowed)
    if word not in allowed:
        hint = did_you_mean(word, allowed)
        spot.refuse(
            f"{shorten(word)} is not known here", f"allowed: {listed or ', '.join(allowed)}", hint
        )
    return word


def word_of(allowed: Collection[str]) -> Parser[str]:
    """One word of a longer list, such as a happening."""
    return Parser(lambda raw, spot: one_of(raw, allowed, spot), "", lambda: one_word(allowed))


def _read_flag(raw: object, spot: Spot) -> bool:
    if isinstance(raw, bool):
        return raw
    meant = {"yes": "true", "true": "true", "no": "false", "false": "false"}.get(
        str(raw).lower()[:9], ""
    )
    return refuse_type(
        raw, spot, "true or false", f"write {meant}, without quotes" if meant else ""
    )


FLAG = Parser(_read_flag, False, lambda: Allowed("true or false", "true", {"type": "boolean"}))
"""true or false."""


def whole(low: int, high: int) -> Parser[int]:
    """A whole number within a range."""

    def read(raw: object, spot: Spot) -> int:
        if isinstance(raw, str) and raw.strip().isdecimal():
            refuse_type(raw, spot, "a number", f"take the quotes off: {raw.strip()[:12]}")
        if isinstance(raw, bool) or not isinstance(raw, int):
            refuse_type(raw, spot, f"a whole number from {low} to {high}")
        if not low <= raw <= high:
            spot.refuse(f"{shorten(raw)} is out of range", f"from {low} to {high}")
        return raw

    words = f"a whole number from {low} to {high}"
    rule = {"type": "integer", "minimum": low, "maximum": high}
    return Parser(read, low, lambda: Allowed(words, str(max(low, min(2, high))), rule))


def list_of(kind: Parser[T], *, least: int = 0) -> Parser[tuple[T, ...]]:
    """One value of a kind, or a list of them, each reported at its own place.

    Args:
        kind: of each element.
        least: how many there must be in a list.
    """

    def read(raw: object, spot: Spot) -> tuple[T, ...]:
        if not isinstance(raw, list):
            return (kind.take(raw, spot.inside(0)),)  # one alone stands as the first
        if len(raw) < least:
            spot.refuse("an empty list", "write at least one")
        if len(raw) > LONGEST_LIST:
            spot.refuse(f"a list of {len(raw)}", f"at most {LONGEST_LIST}")
        return tuple(kind.take(item, spot.inside(index)) for index, item in enumerate(raw))

    return Parser(read, (), lambda: several(kind.allowed(), least, LONGEST_LIST))


def _read_file_name(raw: object, spot: Spot) -> str:
    wanted = 'the name of a file, such as "chest.toml"'
    name = as_text(raw, spot, wanted)
    if "\\" in name:
        tidy = name.replace("\\", "/")
        spot.refuse(f"{shorten(name)} with a backslash", "write /", f'did you mean "{tidy}"?')
    if name.startswith("/") or re.match("[A-Za-z]:", name) or ".." in name.split("/"):
        spot.refuse(f"{shorten(name)} is not beside the shop file", f"write {wanted}")
    return name


FILE_NAME = Parser(
    _read_file_name,
    "",
    lambda: typed(
        "the name of a file beside the shop file", '"chest.toml"', r"^(?!/|[A-Za-z]:)[^\\]+$"
    ),
)
"""A file beside the shop file, or in a folder beside it."""
FILE_NAMES = list_of(FILE_NAME, least=1)

IDS = list_of(ID, least=1)
OLD_NAMES = list_of(OLD_NAME, least=1)
UPKEEP_IDS = list_of(_id_anywhere("an id", 'of another machine "machine.id"'), least=1)
"""Tasks and cutters: by their ids, on another machine ``machine.id``."""


def _read_check(raw: object, spot: Spot) -> str:
    return one_of(raw, spot.report.known_checks, spot)


def _any_check() -> Allowed:
    from shopboard.checks.registry import names

    return one_word(names())


CHECK = Parser(_read_check, "", _any_check)
"""A method of checking, by the trade's name."""
