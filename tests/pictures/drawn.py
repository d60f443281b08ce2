"""A screen as an SVG: each run of one style as a box and its text, blocks as boxes.

Boxes, because a font leaves hairlines between rows that a terminal draws without any.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import NamedTuple
from xml.sax.saxutils import escape

from rich.cells import cell_len
from rich.color import Color
from rich.segment import Segment
from rich.style import Style
from rich.terminal_theme import TerminalTheme

from tests.palettes import XTERM

CELL = (10, 20)
"""Width and height of a character's place, in pixels."""

_SIZE = 16.61
"""Pixels of the font: DejaVu Sans Mono is 0.602 of that wide."""

_BASE = 15
"""Pixels from the top of a place down to the line that letters stand on."""

BLOCKS = {
    "█": (0.0, 0.0, 1.0, 1.0),
    "▀": (0.0, 0.0, 1.0, 0.5),
    "▄": (0.0, 0.5, 1.0, 0.5),
    "▌": (0.0, 0.0, 0.5, 1.0),
    "▐": (0.5, 0.0, 0.5, 1.0),
}
"""Left, top, width and height of each, in shares of a character's place."""


class Look(NamedTuple):
    """How a run of text is drawn."""

    ink: str
    paper: str
    bold: bool
    underline: bool
    strike: bool


def svg(rows: Sequence[Iterable[Segment]], width: int, palette: TerminalTheme = XTERM) -> str:
    """Draw the rows of a screen of so many columns."""
    wide, high = CELL
    paper = palette.background_color.hex
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * wide}" '
        f'height="{len(rows) * high}" font-family="DejaVu Sans Mono, monospace" '
        f'font-size="{_SIZE}" xml:space="preserve">',
        f'<rect width="100%" height="100%" fill="{paper}"/>',
    ]
    for number, row in enumerate(rows):
        at = 0
        for segment in row:
            look = look_of(segment.style or Style(), palette)
            parts += _run(segment.text, at, number, look, paper)
            at += segment.cell_length
    return "\n".join([*parts, "</svg>"]) + "\n"


def look_of(style: Style, palette: TerminalTheme) -> Look:
    """Tell how a terminal with that palette draws a style."""
    ink = _hex(style.color, palette, foreground=True)
    paper = _hex(style.bgcolor, palette, foreground=False)
    if style.reverse:
        ink, paper = paper, ink
    if style.dim:
        ink = _between(ink, paper)
    return Look(ink, paper, bool(style.bold), bool(style.underline), bool(style.strike))


def _hex(color: Color | None, palette: TerminalTheme, *, foreground: bool) -> str:
    return (color or Color.default()).get_truecolor(palette, foreground).hex


def _between(ink: str, paper: str) -> str:
    """Give the colour half-way, as most terminals draw what is dim; from memory."""
    pairs = ((int(ink[i : i + 2], 16), int(paper[i : i + 2], 16)) for i in (1, 3, 5))
    return "#" + "".join(f"{(a + b) // 2:02x}" for a, b in pairs)


def _run(text: str, column: int, row: int, look: Look, behind: str) -> Iterator[str]:
    """Draw a run of text of one look."""
    (wide, high), cells = CELL, cell_len(text)
    x, y = column * wide, row * high
    if look.paper != behind:
        yield f'<rect x="{x}" y="{y}" width="{cells * wide}" height="{high}" fill="{look.paper}"/>'
    at = column
    for char, same in groupby(text, lambda one: one if one in {" ", *BLOCKS} else ""):
        piece = "".join(same)
        if char in BLOCKS:
            yield from _blocks(piece, at * wide, y, look.ink)
        elif char != " ":
            yield _word(piece, at * wide, y, look)
        at += cell_len(piece)


def _word(word: str, x: int, y: int, look: Look) -> str:
    long = cell_len(word) * CELL[0]
    line = " ".join(("underline",) * look.underline + ("line-through",) * look.strike)
    weight = ' font-weight="bold"' if look.bold else ""
    under = f' text-decoration="{line}"' if line else ""
    return (
        f'<text x="{x}" y="{y + _BASE}" textLength="{long}" fill="{look.ink}"{weight}{under}>'
        f"{escape(word)}</text>"
    )


def _blocks(same: str, x: int, y: int, ink: str) -> Iterator[str]:
    """Draw some of one block beside each other, as one box where they touch."""
    (wide, high), (left, top, share, tall) = CELL, BLOCKS[same[0]]
    once = len(same) if share == 1.0 else 1
    for number in range(0, len(same), once):
        at = x + (left + number) * wide
        size = f'width="{share * once * wide:g}" height="{tall * high:g}"'
        yield f'<rect x="{at:g}" y="{y + top * high:g}" {size} fill="{ink}"/>'
