"""The line that a number or a note is typed into. Pure: text and keys in, text out."""

from __future__ import annotations

from typing import Literal

from rich.cells import cell_len

from shopboard.base.text import is_unfit, plain_signs
from shopboard.board.paint import Line, wrap
from shopboard.board.stepping import HALF_TYPED, stepped
from shopboard.checks.steps import LONGEST_WORDS
from shopboard.metrology.quantity import LONGEST, QuantityError, Unit, parse_length
from shopboard.metrology.wording import leaf

FieldSort = Literal["number", "decimal", "day", "words"]
"""What is typed into a field: a number that may be 3-1/4, one that is no fraction, a day."""

_NARROWEST = 24
"""Columns that words beside a field have at the least."""

MINUS_ONCE_MORE = "- once more goes back"
"""Said while a minus stands alone: it is the sign of a number, or the first half of going back."""


def typed(text: str, char: str) -> str | None:
    """Add a character to a number; None when it can only be a slip (the bell says so).

    What has no place in a number is taken, too, and refused with the whole: a sign that is dropped
    leaves another number.
    """
    if is_unfit(char) or len(text) > LONGEST:
        return None
    char = plain_signs(char)
    if char == "." and text.endswith("."):
        return None
    return text + char


def noted(text: str, char: str) -> str | None:
    """Add a character to a note; None when it may not be shown, or the note is full."""
    if is_unfit(char) or len(text) >= LONGEST_WORDS:
        return None
    return text + char


def edited(
    text: str, key: str, char: str | None, sort: FieldSort, *, at_once: bool = False
) -> str | None:
    """Give the text after a key; None when the key is not meant for the field.

    A key that has no place in it leaves the text as it is. ``*`` lists what else can be done, in
    every field. In an empty note ``-`` goes back and ``?`` asks for help; of a number ``?`` always
    does. In a number ``-`` is a sign, and goes back only where it stands alone already; behind one
    ``+`` and ``-`` step it, and behind a stroke ``/`` strikes it out.

    Args:
        text: what is typed so far.
        key: name of the key.
        char: the character that it types, if any.
        sort: what is typed.
        at_once: it came with what is before it, as from a gauge: it is typed as it is.
    """
    if key in ("backspace", "delete"):
        return text[:-1]
    if key == "ctrl+u":
        return ""
    if not char or not char.isprintable() or char == "*":
        return None
    sign = plain_signs(char)
    if (char in "-?" and not text) if sort == "words" else (sign == "?" or sign == text == "-"):
        return None
    made = None if at_once else _made_of(text, sign, sort)
    if made is None:
        made = (noted if sort == "words" else typed)(text, char)
    return text if made is None else made


def _made_of(text: str, sign: str, sort: FieldSort) -> str | None:
    """Strike out or step what is typed, where a sign means that; None: it is typed itself."""
    if sign == "/" and text.endswith("/") and not text.rstrip("/").endswith(":"):
        return ""  # but behind the colon of an address
    if sort == "words":
        return None
    if sign == "/" and not text:
        return text
    return stepped(text, sign, sort) if sign in "+-" else None


def pasted(text: str, clip: str, sort: FieldSort) -> str:
    """Add the first line of a pasted text, as far as it belongs in a number or a note."""
    first = next(iter(clip.strip().splitlines()), "")
    for char in first[: LONGEST_WORDS if sort == "words" else LONGEST + 1]:
        text = (noted if sort == "words" else typed)(text, char) or text
    return text


def echo(text: str, unit: Unit) -> str:
    """Say what is understood by now, in the shop's unit beside what was typed; or what is wrong."""
    if not text.strip():
        return ""
    if text == "-":
        return MINUS_ONCE_MORE
    if HALF_TYPED.fullmatch(text):
        return "as in 3-1/4; - once more: one less"
    try:
        mm = parse_length(text, unit).mm
    except QuantityError as error:
        return str(error)
    return leaf(mm, unit)


def field_lines(entry: str, understood: str, width: int) -> list[Line]:
    """Draw a field: the end of what is typed, and beside it, to its end, how that is understood."""
    beside = len("   ") + _NARROWEST if understood else 0
    shown = entry
    while shown and cell_len(shown) > width - len("  > _") - beside:
        shown = shown[1:]
    field: Line = (("  > ", "bold"), (f"{shown}_", "bold"))
    if not understood:
        return [field]
    aside = len("  > _   ") + cell_len(shown)
    words = wrap(understood, width - aside)
    first: Line = (*field, (f"   {words[0]}", "dim"))
    return [first, *(((f"{'':{aside}}{one}", "dim"),) for one in words[1:])]
