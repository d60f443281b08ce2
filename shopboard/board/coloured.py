"""An application that knows in which colours it is drawn: by the shop file, else the terminal."""

from __future__ import annotations

import os
from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from rich.style import Style
from textual.filter import LineFilter

from shopboard.board.colours import styles_of, told_by
from shopboard.board.ending import EndingApp
from shopboard.board.paper_told import PaperTold

if TYPE_CHECKING:
    from shopboard.board.app import BoardApp


class ColouredApp(EndingApp, inherit_css=False):
    """Takes its theme from the shop file; where that leaves it open, from what the terminal tells.

    The first picture waits for no answer: one that comes later changes the theme.
    """

    def __init__(self) -> None:
        super().__init__()
        self.told_theme = told_by(dict(os.environ), self.console.color_system)
        """What the terminal has told so far."""

    def on_mount(self) -> None:
        """Ask the terminal once the first picture stands; Textual calls every class's own."""
        self.call_after_refresh(self._ask_for_paper)

    def get_line_filters(self) -> Sequence[LineFilter]:
        """Change nothing of what is drawn: each style is what it is to be already."""
        return ()

    @property
    def theme_now(self) -> str:
        """The theme that the board is drawn in."""
        board = cast("BoardApp", self)
        return (board.has_open_shop and board.open_shop.shop.colours) or self.told_theme

    @property
    def styles_now(self) -> dict[str, Style]:
        """What each style is now."""
        return styles_of(self.theme_now)

    def _ask_for_paper(self) -> None:
        """Ask whether the terminal's paper is light, where that would tell anything."""
        ask = getattr(self._driver, "ask_for_paper", None)
        if ask is not None and self.told_theme in ("dark", "light"):
            ask()

    def on_paper_told(self, event: PaperTold) -> None:
        """Take the terminal's answer."""
        self.told_theme = "light" if event.is_light else "dark"
        top = cast("BoardApp", self).top
        if top is not None:
            top.repaint()
