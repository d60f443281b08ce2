"""What is only read: lines that a small window shows a page at a time."""

from __future__ import annotations

from shopboard.board.keys import PAGE, Key
from shopboard.board.needs_view import page_of
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen


class PagedScreen(ShopScreen):
    """Lines to read, a page at a time: none is out of reach in a small window."""

    is_read = True

    def __init__(self) -> None:
        super().__init__()
        self._first = 0
        self._most = 0
        """The first line of the last page."""
        self._page = 1
        """Lines of a page."""

    def lines(self, width: int) -> list[Line]:
        """Give all lines."""
        raise NotImplementedError

    def body(self, width: int, room: int) -> list[Line]:
        """Show the page; what is above and below is said."""
        lines = self.lines(width)
        self._most, self._page = max(0, len(lines) - room + 1), room - 2
        if len(lines) <= room:
            self._most = 0
        self._first = max(0, min(self._first, self._most))
        return page_of(lines, self._first, room)

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for the next page only where there is one."""
        return tuple(key for key in self.keys if self._most or key.action != PAGE.action)

    def do_page(self) -> None:
        """Show the next page; from the end, the top again."""
        self._first = 0 if self._first >= self._most else self._first + self._page

    def do_down(self) -> None:
        """Show what is below."""
        self._first += self._page // 2

    def do_up(self) -> None:
        """Show what is above."""
        self._first -= self._page // 2
