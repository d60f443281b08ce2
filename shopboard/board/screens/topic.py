"""One topic of the help."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.help_tables import help_tables
from shopboard.board.keys import BACK, DOWN, HELP, PAGE, UP, Key
from shopboard.board.paint import PROSE, WHOLE, Line, plain
from shopboard.board.screens.paged import PagedScreen
from shopboard.handbook.topics import title_of, topic_lines


class TopicScreen(PagedScreen):
    """One topic of the help."""

    keys: ClassVar[tuple[Key, ...]] = (PAGE, UP, DOWN, BACK, HELP)

    def __init__(self, topic: str) -> None:
        super().__init__()
        self._topic = topic

    def heading(self) -> str:
        """Name the topic."""
        return f"Help: {title_of(self._topic)}"

    def lines(self, width: int) -> list[Line]:
        """Lay it out; what is told of a key is no button of a page."""
        if width >= WHOLE:
            told = topic_lines(self._topic, help_tables(), width)
            return [((plain(line), ""),) for line in told]
        told = topic_lines(self._topic, help_tables(), min(width - 4, PROSE))
        return [(), *((("  ", ""), *line) for line in told)]
