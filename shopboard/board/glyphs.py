"""Letters three rows high, and a picture for each state: what is read from two metres.

A letter is five pixels high; two pixels share a row (half blocks), or one
pixel takes a row where there is room.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from shopboard.base.painted import WHOLE

_FONT = {
    "A": "### #.# ### #.# #.#",
    "B": "##. #.# ##. #.# ##.",
    "C": "### #.. #.. #.. ###",
    "D": "##. #.# #.# #.# ##.",
    "E": "### #.. ##. #.. ###",
    "F": "### #.. ##. #.. #..",
    "G": "### #.. #.# #.# ###",
    "H": "#.# #.# ### #.# #.#",
    "I": "### .#. .#. .#. ###",
    "J": "..# ..# ..# #.# ###",
    "K": "#.# #.# ##. #.# #.#",
    "L": "#.. #.. #.. #.. ###",
    "M": "#...# ##.## #.#.# #...# #...#",
    "N": "#..# ##.# #.## #..# #..#",
    "O": ".#. #.# #.# #.# .#.",
    "P": "### #.# ### #.. #..",
    "Q": "### #.# #.# ### ..#",
    "R": "### #.# ##. #.# #.#",
    "S": "### #.. ### ..# ###",
    "T": "### .#. .#. .#. .#.",
    "U": "#.# #.# #.# #.# ###",
    "V": "#.# #.# #.# #.# .#.",
    "W": "#...# #...# #.#.# ##.## #...#",
    "X": "#.# #.# .#. #.# #.#",
    "Y": "#.# #.# .#. .#. .#.",
    "Z": "### ..# .#. #.. ###",
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# .## ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
    ".": "... ... ... ... .#.",
    "/": "..# ..# .#. #.. #..",
    "+": "... .#. ### .#. ...",
    ":": ". # . # .",
    ";": ".. .# .. .# #.",
    "±": ".#. ### .#. ... ###",
    ",": "... ... ... .#. #..",
    "'": "# # . . .",
    "-": "... ... ### ... ...",
    "?": "### ..# .## ... .#.",
    "[": "## #. #. #. ##",
    "]": "## .# .# .# ##",
    "(": ".# #. #. #. .#",
    ")": "#. .# .# .# #.",
    "&": ".#.. #.#. .#.. #.## .##.",
    " ": ".. .. .. .. ..",
}

_HALVES = {("#", "#"): "█", ("#", "."): "▀", (".", "#"): "▄", (".", "."): " "}

STATE_PICTURES = {
    "true": ("████", "████", "████"),
    "near": ("▄▀▄▀", "    ", "▄▀▄▀"),
    "out": ("  ▄█", " ▄█▀", "▄█▀ "),
    "due": ("▄▀▀▄", "█  █", "▀▄▄▀"),
    "waits": ("████", "▀▀▀▀", "▄  ▄"),
    "unproven": ("▄▀▀▄", "  ▄▀", "  ▄ "),
    "noted": ("▄▄▄▄", "▄▄▄▄", "▄▄  "),
    "kept": ("    ", "▀▀▀▀", "    "),
}
"""Four columns by three rows, told apart without colour."""

STATE_MARKS = {
    "true": "■",
    "near": "≈",
    "out": "╱",
    "due": "○",
    "waits": "▀",
    "unproven": "?",
    "noted": "≡",
    "kept": "─",
}
"""One character for lists."""


TAG_PICTURE = ("█ █", " █ ", "█ █")
"""A cross of three columns by three rows, unlike any state's picture."""

TAG_MARK = "╳"
"""The same for lists."""


_ROOMY = (110, 31)
"""Columns and rows from which letters may take more of the screen: a row is small there."""


def is_wide(width: int) -> bool:
    """Tell whether a window is so wide that letters may take more of it; what is told has none."""
    return _ROOMY[0] <= width < WHOLE


def is_roomy(size: tuple[int, int]) -> bool:
    """Tell whether letters may take more of the screen: there a row of it is small."""
    return is_wide(size[0]) and size[1] >= _ROOMY[1]


def big_words(words: str, tall: bool = False) -> tuple[str, ...]:
    """Draw several words in large letters, two columns apart: narrower than `big` has its gaps."""
    return tuple("  ".join(row) for row in zip(*(big(w, tall) for w in words.split()), strict=True))


def can_be_big(words: str) -> bool:
    """Tell whether every letter and digit has a large form; other signs may be left out."""
    return all(char in _FONT or not char.isalnum() for char in words.upper())


def has_form(words: str) -> bool:
    """Tell whether every sign has a large form: nothing of a name is left out."""
    return all(char in _FONT for char in words.upper())


_SPEAKABLE = re.compile(r"(?:(?! - )[\w\s.,:;?/+±'-])*")
"""What loses nothing in large letters: they have no other signs, and a dash would read as minus."""


def in_large(words: str, width: int, most: int) -> list[str]:
    """Break words into lines of large letters; none where they have no room, or no form, whole.

    Half of a sentence may be another one: who reads on finds all of it in smaller letters.
    """
    words = words.replace("°", " deg")
    if width >= WHOLE or not can_be_big(words) or not _SPEAKABLE.fullmatch(words):
        return []
    rows: list[str] = []
    for word in words.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and len(big(longer)[0]) <= width - 4:
            rows[-1] = longer
        elif len(rows) < most and len(big(word)[0]) <= width - 4:
            rows.append(word)
        else:
            return []
    return rows


@lru_cache(maxsize=128)
def big(word: str, tall: bool = False) -> tuple[str, ...]:
    """Draw a word in large letters: three rows high, or five when tall.

    Characters without a large form are left out.
    """
    pixels = _pixels(word)
    if tall:
        return tuple(line.replace("#", "█").replace(".", " ") for line in pixels)
    return _in_halves([*pixels, "." * len(pixels[0])])


def _pixels(word: str) -> list[str]:
    """Give the five rows of a word, a sign for each pixel."""
    letters = [_FONT[char].split() for char in word.upper() if char in _FONT]
    return [".".join(letter[row] for letter in letters) for row in range(5)]


def _in_halves(pixels: Sequence[str]) -> tuple[str, ...]:
    """Put every two rows of pixels into one of the screen."""
    return tuple(
        "".join(_HALVES[upper, lower] for upper, lower in zip(above, below, strict=True))
        for above, below in zip(pixels[::2], pixels[1::2], strict=True)
    )


_GAP = "..."
"""Pixels between a sign's picture and its word."""


@lru_cache(maxsize=128)
def sign(word: str, picture: tuple[str, ...] = (), tall: bool = False) -> tuple[str, ...]:
    """Draw a word, and a picture before it, as a sign: four rows high, with a margin all around.

    When tall it is seven rows high, and as wide.

    In the style of a bar it is filled.

    Args:
        word: the word.
        picture: three rows, set off from the word; empty: none.
        tall: whether each pixel takes a row.
    """
    drawn = ["." * len(picture[0]), *_apart(picture)] if picture else [""] * 7
    gap = _GAP if picture else ""
    letters = ["", *_pixels(word), ""]
    wide = len(letters[1])
    rows = [f".{left}{gap}{row:.<{wide}}." for left, row in zip(drawn, letters, strict=True)]
    if tall:
        return tuple(row.replace("#", "█").replace(".", " ") for row in rows)
    return _in_halves([*rows, "." * len(rows[0])])


def sign_width(word: str, picture: tuple[str, ...] = ()) -> int:
    """Give the columns that `sign` takes for a word and its picture, without drawing it."""
    letters = [_FONT[char].index(" ") for char in word.upper() if char in _FONT]
    before = len(picture[0]) + len(_GAP) if picture else 0
    return before + 1 + sum(letters) + max(1, len(letters))


def _apart(picture: Sequence[str]) -> list[str]:
    """Take rows of half blocks apart into pixels: twice as many."""
    halves = {drawn: both for both, drawn in _HALVES.items()}
    return ["".join(halves[char][half] for char in row) for row in picture for half in (0, 1)]
