"""Reads drawings of set-ups by their characters alone: what leans where, which end is open.

It knows nothing of how they are made: only that `█` and hatching are bodies and that strokes are
edges, as a person sees it.
"""

from __future__ import annotations

from collections.abc import Sequence

BODY = "█▒╱╲▄▀"


def first(row: str, signs: str, start: int = 0) -> int:
    """Give the first column with one of the signs."""
    return next(at for at in range(start, len(row)) if row[at] in signs)


def last(row: str, signs: str, end: int = 99) -> int:
    """Give the last column with one of the signs."""
    return max(at for at, sign in enumerate(row[:end]) if sign in signs)


def holes(row: str, wide: int) -> int:
    """Give how many cells are open between the leftmost and the rightmost body of a row."""
    scene = row[:wide]
    return sum(sign not in BODY for sign in scene[first(scene, BODY) : last(scene, BODY) + 1])


def leans(columns: Sequence[int]) -> str:
    """Say where the top of an edge is, by its column in each row."""
    top, bottom = columns[0], columns[-1]
    return "right" if top > bottom else "left" if top < bottom else "upright"


def open_end(rows: Sequence[str], wide: int) -> str:
    """Say at which end of an upright gap more cells are open."""
    top, bottom = holes(rows[0], wide), holes(rows[-1], wide)
    return "top" if top > bottom else "bottom" if top < bottom else "none"


def surface(rows: Sequence[str], column: int, signs: str = "▒▄█") -> float:
    """Give the row of what lies highest in a column, half cells as halves."""
    for at, row in enumerate(rows):
        sign = row[column] if column < len(row) else " "
        if sign in signs:
            return at + (0.5 if sign == "▄" else 0.0)
    raise AssertionError(rows)


def tells(left: float, right: float) -> str:
    """Say which of two heights, counted in rows from above, is higher."""
    return "left" if left < right else "right" if right < left else "level"


def where(rows: Sequence[str], sign: str) -> list[tuple[int, int]]:
    """Give every (column, row) of a sign."""
    return [
        (at, row) for row, line in enumerate(rows) for at, one in enumerate(line) if one == sign
    ]
