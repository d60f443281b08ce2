"""What the last prep day and the last year cost and brought, further down page by page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import ClassVar

from rich.cells import cell_len, chop_cells

from shopboard.board.keys import BACK, DOWN, HELP, PAGE, UP, Key
from shopboard.board.paint import Line, said, wrap, wrap_kept
from shopboard.board.screens.paged import PagedScreen
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.prep.cost_words import use_lines
from shopboard.prep.year_cost import use_ahead, use_of


class CostScreen(PagedScreen, SlicedScreen):
    """Minutes and findings by machine, and intervals that could be longer."""

    keys: ClassVar[tuple[Key, ...]] = (PAGE, UP, DOWN, BACK, HELP)

    def heading(self) -> str:
        """Say what it is about."""
        return f"{self.open_shop.shop.name} · cost and use"

    def pieces(self) -> Iterator[None]:
        """Read a year of records."""
        return use_ahead(self.open_shop)

    def lines(self, width: int) -> list[Line]:
        """Tell it, or that it is being worked out."""
        if not self.is_worked_out():
            return [(), (("  Reading a year of records ...", "bold"),)]
        told = use_lines(use_of(self.open_shop), self.open_shop.shop.accepted_risk)
        rows = [one for line in told for one in _whole(said(line), width - 4)]
        return [((f"  {one}", ""),) for one in rows]


def _whole(line: str, cells: int) -> list[str]:
    """Break a line that has no room; a row of a list keeps its columns, the rest stands in."""
    indent = line[: len(line) - len(line.lstrip())]
    if not indent or cell_len(line) <= cells:
        return wrap_kept(line, cells) or [""]
    first = chop_cells(line, cells)[0].rpartition(" ")[0]
    rest = wrap(line[len(first) :], cells - len(indent) - 2)
    return [first, *(f"{indent}  {one}" for one in rest)]
