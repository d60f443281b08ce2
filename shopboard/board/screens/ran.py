"""Which machines ran for a finished project: it counts for these, and they are serviced next."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from typing import ClassVar

from shopboard.board.glue_lists import ran_lines
from shopboard.board.keys import BACK, DOWN, HELP, MORE, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.listed import ListScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.shop.machine import Machine
from shopboard.upkeep.ran_on import can_run


class RanScreen(ListScreen, SteadyScreen):
    """What is told of the machines that ran stands there; digits change it, Enter records it."""

    keys: ClassVar[tuple[Key, ...]] = (
        OPEN._replace(word="record", help="Record it as it stands there."),
        *(MORE, UP, DOWN, BACK, HELP),
    )

    def __init__(
        self, told: Mapping[str, str] | None, take: Callable[[Collection[str] | None], object]
    ) -> None:
        """Ask.

        Args:
            told: ids of the machines that ran as far as is known, with what tells it; None:
                nothing tells of any, it counts for every one.
            take: takes the ids of those that ran; None: that stays untold.
        """
        super().__init__()
        self._told, self._take = told, take
        self._changed: set[str] = set()
        """Ids of those of which the opposite was said."""

    def heading(self) -> str:
        """Say what is asked."""
        return "Project finished"

    def on_screen_resume(self) -> None:
        """From here on it can be read."""
        self.shows_anew()

    def rows(self) -> int:
        """Count the machines."""
        return len(self._machines)

    @property
    def _machines(self) -> tuple[Machine, ...]:
        return can_run(self.open_shop.shop)

    @property
    def _ran(self) -> list[str]:
        told, changed = self._told, self._changed
        ids = [machine.id for machine in self._machines]
        return [one for one in ids if (told is None or one in told) != (one in changed)]

    def body(self, width: int, room: int) -> list[Line]:
        """List them."""
        told, size = self._told or {}, (width, room)
        return ran_lines(self._machines, self._ran, told, self.settle(), size)

    def choose(self, line: int) -> None:
        """Add a machine, or take it away."""
        self._changed ^= {self._machines[line].id}

    def do_open(self) -> None:
        """Record it."""
        if not self.is_hasty():
            self._take(None if self._told is None and not self._changed else self._ran)
