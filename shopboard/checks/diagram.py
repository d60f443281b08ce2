"""Drawings of a square at a face, from the point's geometry.

Side view of an upright square, or a flat one seen from above. The error is
drawn far larger than it is, and the drawing says so.
"""

from __future__ import annotations

from typing import Literal

from shopboard.checks.job import Geometry

_HEIGHT = 8
"""Rows of the square's blade."""
_BLADE = 12
"""Column of the square's blade."""
_WIDEST = 5
"""Columns of the exaggerated gap."""

_MIRRORED = str.maketrans("╱╲", "╲╱")

_PLAIN = str.maketrans("█▄▀║╱╲▒═◄►─│●○┌┐└┘├┤┬┴┼╪■▲▼", '##"|/\\:=<>-|*o++++++++++#^v')


def as_ascii(lines: tuple[str, ...]) -> tuple[str, ...]:
    """Give a drawing for a terminal that has no box characters."""
    return tuple(line.translate(_PLAIN) for line in lines)


def _mirrored(rows: list[str]) -> list[str]:
    width = max(map(len, rows))
    return [row.ljust(width)[::-1].translate(_MIRRORED) for row in rows]


def square_at_face(
    geometry: Geometry, light: Literal["top", "bottom", "none"] | None, lever: str
) -> tuple[str, ...]:
    """Draw the square, the face and where the leaf is tried.

    Args:
        geometry: how the square meets the point.
        light: where light shows; None before that is known.
        lever: the lever in words: ``6 in``.
    """
    top, bottom = geometry.ends
    rows, indent = [_blade_row(row, light) for row in range(_HEIGHT)], _BLADE - 9
    if geometry.side == "right":  # the face then is left of the square
        shapes = _mirrored([row[_BLADE:] for row in rows])
        rows, indent = [" " * _BLADE + shape for shape in shapes], _BLADE + len(shapes[0]) - 1
    rows[0] += f"  {top}"
    rows[-1] += f"  {bottom}"
    if light == "top":
        rows[1] += "  ◄ leaf here"
    elif light == "bottom":
        rows[-2] += "  ◄ leaf here"
    middle = _HEIGHT // 2
    rows[middle - 1] += f"  {_short(geometry.face)}"
    rows[middle] = f" {lever:>8} │ {rows[middle][_BLADE:]}"
    stock = " " * indent + "█" * 10 + " stock of the square"
    datum = "═" * 34 + f" {_short(geometry.datum, 44)}"
    view = "side view" if geometry.lies == "upright" else "seen from above"
    drawn = f"({view}" + (", gap drawn far too large)" if light in ("top", "bottom") else ")")
    return (*rows, stock, datum, drawn)


def _blade_row(row: int, light: Literal["top", "bottom", "none"] | None) -> str:
    """One row: the blade, the gap, the face."""
    share = 1 - row / (_HEIGHT - 1)
    if light == "top":
        gap, stroke = round(share * _WIDEST), "╱"
    elif light == "bottom":
        gap, stroke = round((1 - share) * _WIDEST), "╲"
    else:
        gap, stroke = 0, "▒"
    face = stroke + "▒▒" if light in ("top", "bottom") else "▒▒▒"
    return " " * (_BLADE - 1) + " █" + " " * gap + face


def _short(words: str, most: int = 46) -> str:
    return words if len(words) <= most else words[: most - 1] + "…"
