"""What is asked, in large letters where there is room for them. Pure."""

from __future__ import annotations

from shopboard.board.glyphs import big, in_large, is_roomy
from shopboard.board.paint import Line, said, wrap


def asked_lines(title: str, size: tuple[int, int]) -> list[Line]:
    """Write what is asked, as large as columns and rows of `size` allow."""
    large = large_title(title, size[0] - 4) if is_roomy(size) else ()
    if large:
        return [*(((f"  {row}", "bold"),) for row in large), ()]
    return [((f"  {one}", "bold"),) for one in wrap(said(title), size[0] - 4)]


def large_title(title: str, width: int) -> tuple[str, ...]:
    """Write what is asked in large letters, where it goes whole into two lines of them."""
    lines = in_large(said(title).rstrip("."), width, 2)
    return tuple(row for at, line in enumerate(lines) for row in (*([""] * at), *big(line)))
