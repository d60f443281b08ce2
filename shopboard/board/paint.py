"""Lines of styled text: what every view returns and the canvas draws.

A line is a tuple of (text, style name) pieces. Text from outside goes through
`said`, so no control character or markup in it can act.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from rich.cells import cell_len, chop_cells, set_cell_size

from shopboard.base.painted import WHOLE as WHOLE
from shopboard.base.painted import Line as Line
from shopboard.base.painted import Painted as Painted
from shopboard.base.text import harmless

PLAIN = ""

PROSE = 96
"""Cells of the longest line of a text: behind a longer one the eye loses the next."""

_READABLE = 20
"""Cells; in a narrower column a word broken over lines cannot be read."""


def said(text: str) -> str:
    """Make text from outside fit to be drawn."""
    return harmless(text)


def width_of(line: Line) -> int:
    """Give the cells that a line takes."""
    return sum(cell_len(text) for text, _ in line)


def clip(text: str, cells: int) -> str:
    """Shorten text to so many cells, with an ellipsis where something is cut."""
    if cells <= 0:
        return ""
    if cell_len(text) <= cells:
        return text
    return set_cell_size(text, cells - 1).rstrip() + "…"


def fit(line: Line, cells: int, style: str = PLAIN) -> Line:
    """Cut or fill a line to exactly so many cells; whatever could act on a terminal is written out.

    Every line passes here on its way to the screen: the last net behind `said`.
    """
    pieces: list[Painted] = []
    left = cells
    for raw, piece_style in line:
        if raw.isascii() and raw.isprintable():  # most of it, and the quickest to see
            text, size = raw, len(raw)
        else:
            text = harmless(raw)
            size = cell_len(text)
        if size > left:
            pieces.append((set_cell_size(text, left), piece_style))
            return tuple(pieces)
        pieces.append((text, piece_style))
        left -= size
    if left:
        pieces.append((" " * left, style))
    return tuple(pieces)


def beside(columns: Iterable[Line], widths: Iterable[int]) -> Line:
    """Put lines side by side, each filled to its width."""
    return tuple(
        piece for line, cells in zip(columns, widths, strict=True) for piece in fit(line, cells)
    )


def wrap(text: str, cells: int, most: int = 99) -> list[str]:
    """Break text at spaces into lines of so many cells; the last one is clipped.

    What has no space and is longer than a line, as a path can be, goes on in the next; in a column
    too narrow to be read so, it is clipped.
    """
    if text.isascii() and len(text) <= cells:  # most of it, and the quickest to see
        return [" ".join(text.split())]
    lines: list[str] = []
    line = ""
    for word in _words(text, cells):
        longer = f"{line} {word}" if line else word
        if cell_len(longer) > cells and line:
            lines.append(line)
            line = word
        else:
            line = longer
    lines.append(line)
    if len(lines) > most:
        rest = " ".join(lines[most - 1 :])
        lines = [*lines[: most - 1], rest]
    return [clip(one, cells) for one in lines]


def with_words(row: str, words: str, style: str, cells: int) -> list[Line]:
    """Write words behind a row's columns, and what has no room there below themselves."""
    first, *more = wrap(said(words), cells - cell_len(row) - 1)
    return [
        ((f"{row}{first}", style),),
        *(((f"{' ' * cell_len(row)}{one}", style),) for one in more),
    ]


def wrap_kept(text: str, cells: int) -> list[str]:
    """Break text, but leave a line that fits as it is, columns and all."""
    return [text] if cell_len(text) <= cells else wrap(text, cells)


def _words(text: str, cells: int) -> Iterator[str]:
    for word in text.split():
        if cells < _READABLE or cell_len(word) <= cells:
            yield word
        else:
            yield from chop_cells(word, cells)


def plain(line: Line) -> str:
    """Give a line's text without its styles."""
    return "".join(text for text, _ in line)
