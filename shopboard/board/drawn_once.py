"""An application that draws no picture that stands there already.

Textual (8.2.8) draws a screen that comes up three times, whole: as it is laid out, as its widget is
told that it is shown, and as the layout is looked at once more. The first is all of it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from textual._compositor import LayoutUpdate
from textual.screen import Screen

from shopboard.board.canvas import Canvas
from shopboard.board.coloured import ColouredApp

if TYPE_CHECKING:
    from rich.console import RenderableType


class DrawnOnceApp(ColouredApp, inherit_css=False):
    """Knows which picture stands on the terminal."""

    def __init__(self) -> None:
        super().__init__()
        self._stands: tuple[object, ...] = ()
        """The screen whose picture stands there whole, and what that is; empty: not known."""

    def _display(self, screen: Screen[Any], renderable: RenderableType | None) -> None:
        """Draw what is new of a screen."""
        picture = (screen, self.theme_now, *(one.picture for one in screen.query(Canvas)))
        if picture == self._stands:
            return
        if renderable is not None and self._running and not self._batch_count:
            whole = isinstance(renderable, LayoutUpdate) or self._stands[:1] == (screen,)
            self._stands = picture if whole else ()
        super()._display(screen, renderable)

    def draw_anew(self) -> None:
        """Draw all anew, to a terminal or a page that shows none of it by now."""
        self._stands = ()
        self.refresh(layout=True)
