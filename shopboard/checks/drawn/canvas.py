"""What drawings are made on: cells, straight edges in them, words beside them.

Every drawing names its view. An error is drawn far larger than it is, and then the drawing says so.
`●` is the place of this step, `○` where else is read; both mean the same on every drawing.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from shopboard.checks.drawing import Drawing
from shopboard.checks.steps import StepT
from shopboard.metrology.adjuster import Toward

Lines = tuple[str, ...]
Draw = Callable[[int], Lines]
"""Draws at a size: 1 fits beside the words at 80x24, 2 is twice as large."""

COLUMNS, ROWS = 34, 9
"""Cells of the smallest drawing at the most; twice as many of the larger one."""

HERE, THERE = "●", "○"
HATCH, SOLID = "▒", "█"

_MIRRORED = str.maketrans("╱╲◄►├┤┌┐└┘[]", "╲╱►◄┤├┐┌┘└][")
_PLAIN = str.maketrans("█▄▀║╱╲▒═◄►─│●○┌┐└┘├┤┬┴┼╪■▲▼▌▐", '#."|/\\:=<>-|*o++++++++++#^v||')


@dataclass(frozen=True)
class AtStep:
    """What a drawing follows from beside the geometry: which step it is, what was answered."""

    at: str = ""
    """Key of the reading or step asked; `FOUND` when all is read."""
    way: int = 0
    """1 for an error above 0, -1 below; 0: none, or it is not told yet."""
    values: Mapping[str, float] = field(default_factory=dict)
    words: Mapping[str, str] = field(default_factory=dict)
    goes: Toward | None = None
    """Where the top (or tip, or front) is to be moved, seen from the square."""


FOUND = "found"


def drawn(step: StepT, draw: Draw) -> StepT:
    """Put a drawing to a step, in both sizes."""
    return replace(step, drawing=Drawing(draw))


def as_ascii(lines: Lines) -> Lines:
    """Give a drawing for a terminal that has no box characters."""
    return tuple(line.translate(_PLAIN) for line in lines)


class Sketch:
    """A field of cells; what is put outside of it is cut."""

    def __init__(self, columns: int, rows: int) -> None:
        self._cells = [[" "] * columns for _ in range(rows)]
        self.columns, self.rows = columns, rows

    def put(self, column: int, row: int, text: str) -> None:
        """Write from a cell on."""
        for at, char in enumerate(text, column):
            if 0 <= at < self.columns and 0 <= row < self.rows:
                self._cells[row][at] = char

    def mirror(self, wide: int) -> None:
        """Change left and right of the first columns; what is right of them stays."""
        for row in self._cells:
            row[:wide] = "".join(row[:wide])[::-1].translate(_MIRRORED)

    def lines(self, view: str, *, larger: bool = False) -> Lines:
        """Give the rows, and last which view it is, and whether an error is drawn too large."""
        rows = tuple("".join(row).rstrip() for row in self._cells)
        return (*rows, f"({view}{'; exaggerated' if larger else ''})")


def slanted(
    on: Sketch, top: int, edge: Callable[[int], float], rows: int, thick: int, *, left: bool = False
) -> None:
    """Draw something whose upright edge leans: hatched, its edge in column `edge(row)`.

    Args:
        on: what to draw on.
        top: first row.
        edge: column of the edge in each of the rows, 0 at the top.
        rows: how many.
        thick: columns of hatching beside the edge.
        left: the body is left of its edge, not right of it.
    """
    lean = edge(rows - 1) - edge(0)
    stroke = HATCH if not lean else "╱" if lean < 0 else "╲"
    for row in range(rows):
        at = round(edge(row))
        on.put(at, top + row, stroke)
        on.put(at - thick if left else at + 1, top + row, HATCH * thick)


def lying(on: Sketch, left: int, bottom: int, heights: Sequence[int], fill: str = HATCH) -> None:
    """Draw something that lies on a row, so many half cells high in each column."""
    for at, height in enumerate(heights, left):
        for up in range(height // 2):
            on.put(at, bottom - up, fill)
        if height % 2:
            on.put(at, bottom - height // 2, "▄")


def short(words: str, most: int) -> str:
    """Give words before their first comma, cut to a length."""
    first = words.split(",")[0].strip()
    return first if len(first) <= most else f"{first[: most - 1]}…"


def here(now: bool) -> str:
    """Give the mark of a place, by whether it is that of this step."""
    return HERE if now else THERE
