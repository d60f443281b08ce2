"""The shop is described: what to check first, and how long that takes."""

from __future__ import annotations

from typing import ClassVar

from rich.cells import cell_len

from shopboard.board import doors
from shopboard.board.keys import BACK, HELP, OPEN, Key
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.board.screens.steady import SteadyScreen
from shopboard.prep.first_look import FirstCheck, first_checks


class DescribedScreen(SteadyScreen):
    """The first checks; Enter begins the first of them."""

    is_read = True
    keys: ClassVar[tuple[Key, ...]] = (OPEN, BACK, HELP)

    def __init__(self) -> None:
        super().__init__()
        self._first: tuple[FirstCheck, ...] | None = None

    def heading(self) -> str:
        """Name the shop."""
        return self.open_shop.shop.name

    def _listed(self) -> tuple[FirstCheck, ...]:
        if self._first is None:
            self._first = first_checks(self.open_shop.shop)
        return self._first

    def body(self, width: int, room: int) -> list[Line]:
        """List the first checks with their minutes."""
        self.shows("described")
        shop, path = self.open_shop.shop, said(str(self.board.shop_file))
        lines: list[Line] = [()]
        lines += [((f"  {one}", ""),) for one in wrap(f"Your shop is in {path}", width - 4)]
        lines += [(), (("  Nothing checked yet. What to check first:", "bold"),), ()]
        listed = self._listed()
        names = [
            said(f"{shop.machines_by_id[point.machine].name}: {point.name}") for point, _ in listed
        ]
        widest = min(max(map(cell_len, names), default=0), width - 26)
        for number, (words, (_, minutes)) in enumerate(zip(names, listed, strict=True), 1):
            lines.append(
                (
                    (f"  {number} ", "key"),
                    *fit(((f" {clip(words, widest)}", "bold"),), widest + 1),
                    (f"{minutes:>5.0f} min{'   Enter' if number == 1 else ''}", "dim"),
                )
            )
        if not listed:
            lines.append((("  Nothing to check that your tools can prove.", ""),))
        onward = "  - leads to the board, which shows the others in their order."
        return [*lines, (), ((onward, "dim"),)][:room]

    def do_open(self) -> None:
        """Begin the first."""
        self.do_digit(1)

    def do_digit(self, number: int) -> None:
        """Begin the check of that number."""
        if self.is_hasty():
            return
        listed = self._listed()
        if number > len(listed):
            self.refuse("there is no such line")
            return
        screen = doors.PointScreen(listed[number - 1].point.full_name)
        self.app.pop_screen()
        self.app.push_screen(screen)
        screen.call_after_refresh(screen.choose, 1)
