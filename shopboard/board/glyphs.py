"""Letters three rows high, and a picture for each state: what is read from two metres.

A letter is five pixels high; two pixels share a row (half blocks), or one
pixel takes a row where there is room.
"""

from __future__ import annotations

from functools import lru_cache

from shopboard.base.state_words import state_word

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
    "O": ".##. #..# #..# #..# .##.",
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
    "±": ".#. ### .#. ... ###",
    ",": "... ... ... .#. #..",
    "'": "# # . . .",
    "-": "... ... ### ... ...",
    "?": "### ..# .## ... .#.",
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


def big_words(words: str, tall: bool = False) -> tuple[str, ...]:
    """Draw several words in large letters, two columns apart: narrower than `big` has its gaps."""
    return tuple("  ".join(row) for row in zip(*(big(w, tall) for w in words.split()), strict=True))


def can_be_big(words: str) -> bool:
    """Tell whether every letter and digit has a large form; other signs may be left out."""
    return all(char in _FONT or not char.isalnum() for char in words.upper())


def in_large(words: str, width: int, most: int) -> list[str]:
    """Break words into lines of large letters; what has no room there is left out."""
    rows: list[str] = []
    for word in words.split() if can_be_big(words) else ():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and len(big(longer)[0]) <= width - 4:
            rows[-1] = longer
        elif len(rows) < most and len(big(word)[0]) <= width - 4:
            rows.append(word)
        else:
            break
    return rows


def state_letters(state: str, tall: bool, width: int) -> tuple[str, ...]:
    """Draw the word of a state in large letters; in ordinary ones where those have no room."""
    word = state_word(state)
    drawn = big(word, tall)
    if len(drawn[0]) <= width:
        return drawn
    return tuple(f"{word.upper() if row == 1 else '':<{width}}" for row in range(len(drawn)))


@lru_cache(maxsize=128)
def big(word: str, tall: bool = False) -> tuple[str, ...]:
    """Draw a word in large letters: three rows high, or five when tall.

    Characters without a large form are left out.
    """
    letters = [_FONT[char].split() for char in word.upper() if char in _FONT]
    pixels = [".".join(letter[row] for letter in letters) for row in range(5)]
    if tall:
        return tuple(line.replace("#", "█").replace(".", " ") for line in pixels)
    pixels.append("." * len(pixels[0]))
    return tuple(
        "".join(_HALVES[upper, lower] for upper, lower in zip(above, below, strict=True))
        for above, below in zip(pixels[::2], pixels[1::2], strict=True)
    )
