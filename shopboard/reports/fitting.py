"""Fits a table on a printed page: letters as large as there is room, nothing cut unless it must be.

What a browser makes of it is estimated with letters wider than usual ones, so that what fits here
fits there.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.metrology.units import MM_PER_INCH
from shopboard.reports.plot_marks import cells

MM_PER_PT = MM_PER_INCH / 72
LETTER = 0.58
"""Width of a letter on average, in letter heights: that of wide typefaces in bold (measured in
DejaVu Sans; plain ones there take 0.52)."""

Cell = Sequence[str]
"""Lines of a cell; each may be wrapped."""


class PageTable(NamedTuple):
    """How a table is set."""

    width: float
    """mm."""
    shares: Sequence[float]
    """Width of each column, percent."""
    beside: float
    """What a cell keeps free at its sides together, mm."""
    above: float
    """What a row takes beside its lines, mm."""
    line: float
    """Height of a line, in letters."""

    def letters(self, column: int, points: float) -> int:
        """Give how many letters of a size a line of a column holds."""
        room = self.width * self.shares[column] / 100 - self.beside
        return max(1, int(room / (points * MM_PER_PT * LETTER)))

    def tallest(self, rows: Sequence[Sequence[Cell]], points: float) -> int:
        """Give the lines of the cell that has most."""
        return max(
            sum(len(wrapped(line, self.letters(at, points))) for line in cell)
            for row in rows
            for at, cell in enumerate(row)
        )

    def height(self, rows: Sequence[Sequence[Cell]], points: float) -> float:
        """Give how high rows are, mm."""
        line = self.line * points * MM_PER_PT
        return sum(self.above + line * self.tallest([row], points) for row in rows)


def fitted(
    rows: Sequence[Sequence[Cell]],
    grid: PageTable,
    room: float,
    sizes: Sequence[float],
    least: int,
) -> tuple[float, list[list[list[str]]]]:
    """Give the size of the letters and the rows as they are printed.

    Args:
        rows: texts by cell.
        grid: how the table is set.
        room: height for the rows, mm.
        sizes: of letters, pt, the largest first.
        least: lines of a cell that are never cut, even where that is more than there is room for.
    """
    for points in sizes:
        if grid.height(rows, points) <= room:
            return points, [[[harmless(line) for line in cell] for cell in row] for row in rows]
    points = sizes[-1]
    most = grid.tallest(rows, points)
    while True:
        cut = [
            [_cut(cell, grid.letters(at, points), most) for at, cell in enumerate(row)]
            for row in rows
        ]
        if most <= least or grid.height(cut, points) <= room:
            return points, cut
        most -= 1


def wrapped(text: str, letters: int) -> list[str]:
    """Break a text into lines as a browser does; a letter as wide as high counts twice."""
    lines = [""]
    for word in harmless(text).split(" "):
        longer = f"{lines[-1]} {word}" if lines[-1] else word
        if cells(longer) <= letters:
            lines[-1] = longer
            continue
        if lines[-1]:
            lines.append("")
        for char in word:
            if lines[-1] and cells(lines[-1]) + cells(char) > letters:
                lines.append("")
            lines[-1] += char
    return lines


def _cut(cell: Cell, letters: int, most: int) -> list[str]:
    """Keep so many lines of a cell; where something goes, an ellipsis stands."""
    lines = [(at, line) for at, text in enumerate(cell) for line in wrapped(text, letters)]
    if len(lines) <= most:
        return [harmless(text) for text in cell]
    kept: dict[int, list[str]] = {}
    for at, line in lines[:most]:
        kept.setdefault(at, []).append(line)
    last = kept[max(kept)]
    while cells(last[-1]) + 1 > letters:
        last[-1] = last[-1][:-1]
    last[-1] = f"{last[-1].rstrip()}…"
    return [" ".join(one) for one in kept.values()]
