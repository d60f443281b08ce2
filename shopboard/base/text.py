"""Text from outside (shop file, journal, answers, paths, errors) made harmless to show.

The terminal obeys control characters, and bidi or zero-width characters make
a line read differently from what it holds. Nothing from outside reaches a
screen or a pipe without passing `harmless`; the shop file refuses such
characters outright, at their place, with `first_unfit`.
"""

from __future__ import annotations

_BIDI_AND_INVISIBLE = frozenset(
    (
        *(0x00AD, 0x034F, 0x061C, 0x115F, 0x1160, 0x17B4, 0x17B5, 0x2800, 0x3164, 0xFEFF, 0xFFA0),
        *range(0x180B, 0x1810),  # Mongolian variation selectors and vowel separator
        *range(0x200B, 0x2010),  # zero-width, joiners, directional marks
        *range(0x2028, 0x202F),  # line and paragraph separators, bidi embeddings
        *range(0x2060, 0x2070),  # word joiner, bidi isolates, deprecated controls
        *range(0xFE00, 0xFE10),  # variation selectors change a cell's width
        *range(0xFFF0, 0xFFFD),  # annotations, object replacement
        *(0xFFFE, 0xFFFF),  # no characters at all
        *range(0x1BCA0, 0x1BCA4),  # shorthand format controls
        *range(0x1D173, 0x1D17B),  # musical format controls
    )
)
"""Every Default_Ignorable_Code_Point of Unicode below U+E0000, and what else draws nothing."""

_INVISIBLE_CHARS = frozenset(map(chr, _BIDI_AND_INVISIBLE))

_LAST_PLANES = 0xE0000
"""From here on there are only tags, selectors and private characters."""


def is_unfit(char: str) -> bool:
    """Tell whether a character may not be drawn: control, bidi, invisible, surrogate, private."""
    code = ord(char)
    return (
        code < 0x20
        or 0x7F <= code <= 0x9F
        or code in _BIDI_AND_INVISIBLE
        or 0xD800 <= code <= 0xDFFF
        or 0xE000 <= code <= 0xF8FF
        or code >= _LAST_PLANES
    )


def _draws(text: str) -> bool:
    """Tell at once whether a printable text is fit: most are, and a board has thousands."""
    return _INVISIBLE_CHARS.isdisjoint(text) and max(text) < chr(_LAST_PLANES)


def first_unfit(text: str) -> int | None:
    """Give the index of the first character that may not be drawn, or None."""
    if text.isprintable() and (text.isascii() or _draws(text)):
        return None
    return next((i for i, char in enumerate(text) if is_unfit(char)), None)


MOST_MARKS = 5
"""Marks on one letter that any script needs; more are a tower that covers other lines."""

_MARKS = frozenset(("Mn", "Me"))
"""Categories of Unicode: marks that are drawn on the letter before them."""


def harmless(text: str) -> str:
    """Give the text with every unfit character written out as ``<U+001B>``.

    Of the marks on a letter the first `MOST_MARKS` are kept.
    """
    if first_unfit(text) is not None:
        text = "".join(f"<U+{ord(char):04X}>" if is_unfit(char) else char for char in text)
    return text if text.isascii() else _without_towers(text)


def _without_towers(text: str) -> str:
    from unicodedata import category

    if _MARKS.isdisjoint(map(category, text)):
        return text
    kept, marks = [], 0
    for char in text:
        marks = marks + 1 if category(char) in _MARKS else 0
        if marks <= MOST_MARKS:
            kept.append(char)
    return "".join(kept)


_FULL_WIDTH = {code: chr(code - 0xFEE0) for code in range(0xFF01, 0xFF5F)} | {0x3000: " "}
_DASHES = dict.fromkeys(
    (
        *(0x58A, 0x5BE, 0x1400, 0x1806, 0x301C, 0x3030, 0x30A0, 0xFE31, 0xFE32, 0xFE58, 0xFE63),
        *range(0x2010, 0x2016),
        *(0x2E17, 0x2E1A, 0x2E3A, 0x2E3B, 0x2E40, 0x2E5D),
        *(0x2212, 0x207B, 0x208B),  # the mathematical minus; raised and lowered ones
    ),
    "-",
)
"""Every dash of Unicode (category Pd) but the plain one, and its minus signs."""


def counted(number: float, one: str, many: str = "") -> str:
    """Write a number of something: ``1 point``, ``2 points``; `many`: where it takes no s."""
    return f"{number:.0f} {one if number == 1 else many or f'{one}s'}"


def with_a(words: str) -> str:
    """Put "a" before a number and what it is of, or "an", as it is spoken: ``an 8 min wait``."""
    first = words.partition(" ")[0]
    is_an = first[:1] in tuple("aeiou8") or first.partition(".")[0] in ("11", "18")
    return f"{'an' if is_an else 'a'} {words}"


def plain_signs(text: str) -> str:
    """Give the text of a number with every dash as ``-``, full-width signs as the usual ones.

    A keyboard set to another script types them; dropped, they would leave another number.
    """
    if text.isascii():
        return text
    return text.translate(_FULL_WIDTH).translate(_DASHES)
