"""What a terminal answers when it is asked for the colour of its paper (xterm's OSC 11)."""

from __future__ import annotations

import re

from textual.message import Message

ASK = "\x1b]11;?\x1b\\"

_BEGINS = "\x1b]11;"

LATE = 2.0
"""Seconds for which the rest of an answer that stopped half-way is waited for."""

_HALF = 0.184
"""Luminance of a grey half-way between black and white for the eye: L* = 50 (CIE 1976)."""

_SO_FAR = r"\x1b\]11;(|r|rg|rgba?|rgba?:[0-9a-fA-F]{0,4}(/[0-9a-fA-F]{0,4}){0,3})\x1b?"
_WHOLE = r"(?i)\x1b\]11;rgba?:([0-9a-f]{1,4})/([0-9a-f]{1,4})/([0-9a-f]{1,4})"


class PaperTold(Message):
    """Message that a terminal has told the colour of its paper."""

    def __init__(self, is_light: bool) -> None:
        super().__init__()
        self.is_light = is_light


def goes_on(held: str) -> bool:
    """Tell whether this is so far an answer, and no key."""
    return re.fullmatch(_SO_FAR, held) is not None


def may_be(held: str) -> bool:
    """Tell whether this may become an answer."""
    return _BEGINS.startswith(held) or goes_on(held)


def told(held: str) -> list[Message]:
    """Give what a whole sequence tells; nothing where it is another one.

    Each part is 1 to 4 hexadecimal digits, of which all set is full (XParseColor); luminance is
    that of sRGB (IEC 61966-2-1).
    """
    found = re.match(_WHOLE, held)
    if found is None:
        return []
    parts = (int(one, 16) / (16 ** len(one) - 1) for one in found.groups())
    linear = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)
    luminance = sum(k * c for k, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))
    return [PaperTold(luminance > _HALF)]
