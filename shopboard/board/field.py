"""The line that a number or a note is typed into. Pure: text and keys in, text out."""

from __future__ import annotations

from shopboard.checks.steps import LONGEST_WORDS
from shopboard.metrology.quantity import LONGEST, QuantityError, Unit, parse_length
from shopboard.metrology.wording import in_both_units
from shopboard.text import is_unfit

_ALLOWED = frozenset("0123456789./-+,' \"°abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ")


def typed(text: str, char: str) -> str | None:
    """Add a character; None when it has no place in a number (the bell says so)."""
    if char not in _ALLOWED or len(text) >= LONGEST:
        return None
    if char == "." and "." in text.rpartition(" ")[2]:
        return None
    return text + char


def noted(text: str, char: str) -> str | None:
    """Add a character to a note; None when it may not be shown, or the note is full."""
    if is_unfit(char) or len(text) >= LONGEST_WORDS:
        return None
    return text + char


def edited(text: str, key: str, char: str | None, *, words: bool) -> str | None:
    """Give the text after a key; None when the key is not meant for the field.

    A key that has no place in it leaves the text as it is. In an empty field ``-`` goes back and
    ``?`` asks for help; of a number, ``?`` always does.

    Args:
        text: what is typed so far.
        key: name of the key.
        char: the character that it types, if any.
        words: whether words are typed, not a number.
    """
    if key == "backspace":
        return text[:-1]
    if key == "ctrl+u":
        return ""
    if not char or not char.isprintable():
        return None
    if (char in "-?" and not text) or (char == "?" and not words):
        return None
    more = (noted if words else typed)(text, char)
    return text if more is None else more


def pasted(text: str, clip: str, *, words: bool = False) -> str:
    """Add the first characters of a pasted text, as far as they belong in a number or a note."""
    for char in clip[: LONGEST_WORDS if words else LONGEST]:
        text = (noted if words else typed)(text, char) or text
    return text


def echo(text: str, unit: Unit) -> str:
    """Say what is understood by now, in both units; or what is wrong."""
    if not text.strip():
        return ""
    try:
        mm = parse_length(text, unit).mm
    except QuantityError as error:
        return str(error)
    return in_both_units(mm)
