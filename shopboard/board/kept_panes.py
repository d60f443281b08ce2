"""Panes as they were drawn last: a key that moves the cursor draws the two that it changes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.board.paint import Line
from shopboard.board.pane_view import PaneLook, pane
from shopboard.standing.model import MachineStanding


class KeptPanes:
    """The newest picture of each pane, with the cursor and without."""

    def __init__(self) -> None:
        self._drawn: dict[tuple[str, bool], tuple[MachineStanding, object, list[Line]]] = {}

    def pane(
        self,
        standing: MachineStanding,
        called: tuple[str, str],
        here: bool,
        now: datetime,
        look: PaneLook,
        going: Sequence[str] = (),
        key: str = "",
    ) -> list[Line]:
        """Give what `pane_view.pane` draws; ages in it may be a minute old."""
        place = standing.machine.id, here
        minute = now.replace(second=0, microsecond=0)
        told = called, minute, look, tuple(going), key
        kept = self._drawn.get(place)
        if kept is not None and kept[0] is standing and kept[1] == told:
            return kept[2]
        lines = pane(standing, called, here, now, look, going, key)
        self._drawn[place] = standing, told, lines
        return lines
