"""The one widget: puts lines of styled text on the screen, as large as the terminal."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import TYPE_CHECKING, cast

from rich.segment import Segment
from textual import events
from textual.strip import Strip
from textual.widget import Widget

from shopboard.board.hits import bare, hits_of
from shopboard.board.paint import Line, Painted, fit

if TYPE_CHECKING:
    from shopboard.board.coloured import ColouredApp
    from shopboard.board.screens.keyed import KeyedScreen

Painter = Callable[[int, int], list[Line]]


class Canvas(Widget, inherit_css=False):
    """Draws what a painter gives for its size."""

    DEFAULT_CSS = "Canvas { width: 1fr; height: 1fr; }"

    def __init__(self, painter: Painter) -> None:
        super().__init__()
        self._painter = painter
        self._marked: list[Line] = []
        """As they were painted."""
        self._lines: list[Line] = []
        self._drawn_for: tuple[int, int] | None = None
        self._drawn_in = ""
        """The theme of what stands there."""

    def repaint(self) -> None:
        """Draw anew, only the rows that changed."""
        width, height = self.size
        if not width or not height:
            return
        before = self._lines
        self._paint(width, height)
        theme = cast("ColouredApp", self.app).theme_now
        all_is_new = self._drawn_for != (width, height) or theme != self._drawn_in
        if all_is_new or len(before) != len(self._lines):
            self._drawn_for, self._drawn_in = (width, height), theme
            self.refresh()
            return
        from textual.geometry import Region

        changed = [
            Region(0, y, width, 1)
            for y, (old, new) in enumerate(zip(before, self._lines, strict=True))
            if old != new
        ]
        if changed:
            self.refresh(*changed)

    def _paint(self, width: int, height: int) -> None:
        """Have it painted; what the lines know of keys is kept beside them."""
        self._marked = self._painter(width, height)
        self._lines = [bare(line) for line in self._marked]

    @property
    def picture(self) -> tuple[object, ...]:
        """What is drawn, and of which size."""
        return (self.size, self._drawn_for, self._lines)

    @property
    def marked(self) -> list[Line]:
        """What is drawn, with what it knows of keys."""
        return self._marked

    def key_at(self, x: int, y: int) -> str:
        """Give the key that is drawn at a cell; empty: none is."""
        line = self._marked[y] if 0 <= y < len(self._marked) else ()
        return next((one.key for one in hits_of(line) if one.start <= x < one.end), "")

    def on_mouse_down(self, event: events.MouseDown) -> None:
        """Press the key that is drawn there."""
        if event.button == 1:
            cast("KeyedScreen", self.screen).clicked(self.key_at(event.x, event.y))

    def on_mouse_scroll_up(self) -> None:
        """Move up."""
        cast("KeyedScreen", self.screen).wheeled("up")

    def on_mouse_scroll_down(self) -> None:
        """Move down."""
        cast("KeyedScreen", self.screen).wheeled("down")

    def render_line(self, y: int) -> Strip:
        """Give one row."""
        width, height = self.size
        if self._drawn_for != (width, height):
            self._paint(width, height)
            self._drawn_for = (width, height)
        line = self._lines[y] if y < len(self._lines) else ()
        styles = cast("ColouredApp", self.app).styles_now
        return Strip(
            [Segment(text, styles[style]) for text, style in _joined(fit(line, width))], width
        )

    @property
    def text(self) -> str:
        """What the screen says, row by row."""
        return "\n".join("".join(text for text, _ in line) for line in self._lines)


def _joined(line: Line) -> Iterator[Painted]:
    """Put neighbours of one style together: the terminal is told each change of style."""
    held = held_style = ""
    for text, style in line:
        if style == held_style:
            held += text
            continue
        if held:
            yield held, held_style
        held, held_style = text, style
    if held:
        yield held, held_style
