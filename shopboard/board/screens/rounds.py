"""The safety round: the shop and every machine with a cutter, and what is on record of each."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.keys import BACK, DOWN, HELP, OPEN, UP, Key
from shopboard.board.paint import Line
from shopboard.board.rounds_view import RoundPlace, places_lines
from shopboard.board.screens.base import ShopScreen
from shopboard.board.ways_in import begin_round


class RoundsScreen(ShopScreen):
    """A list with a cursor; Enter walks the round under it, then the cursor moves on."""

    keys: ClassVar[tuple[Key, ...]] = (OPEN, UP, DOWN, BACK, HELP)

    def __init__(self) -> None:
        super().__init__()
        self._place: int | None = None
        """None: at what was left, or else at what was not walked lately."""
        self._walked = False
        """Whether the round under the cursor was just looked at."""

    def heading(self) -> str:
        """Name the shop."""
        return f"{self.open_shop.shop.name}: daily safety walk"

    def _places(self) -> list[RoundPlace]:
        standing = self.open_shop.standing
        return [
            RoundPlace("", "The shop itself", standing.round),
            *(
                RoundPlace(one.machine.id, one.machine.name, one.round, bool(one.tag))
                for one in standing.machines
                if one.machine.has_round
            ),
        ]

    def body(self, width: int, room: int) -> list[Line]:
        """List what is on record."""
        places = self._places()
        return places_lines(places, self._at(places), self.open_shop.now(), (width, room))

    def _at(self, places: list[RoundPlace]) -> int:
        """Settle the cursor on a line that is there."""
        if self._place is None:
            now = self.open_shop.now()
            left = [
                at for at, one in enumerate(places) if one.standing and one.standing.goes_on(now)
            ]
            self._place = next(iter([*left, *self._not_lately(places, 0)]), 0)
        self._place = max(0, min(self._place, len(places) - 1))
        return self._place

    def _not_lately(self, places: list[RoundPlace], first: int) -> list[int]:
        now = self.open_shop.now()
        return [
            at
            for at, one in enumerate(places)
            if at >= first and not (one.standing and one.standing.lately(now))
        ]

    def machine_here(self) -> str:
        """It is the one under the cursor; none at the shop itself."""
        places = self._places()
        return places[self._at(places)].machine

    def standing_notice(self) -> Line:
        """Say what a round is for."""
        words = " It asks what you see and records it with its date. You judge what follows."
        return ((words, "dim"),)

    def on_screen_resume(self) -> None:
        """Draw anew; after a round that is finished, go to the next that is not."""
        places = self._places()
        at, standing = self._at(places), places[self._at(places)].standing
        if self._walked and standing is not None and standing.lately(self.open_shop.now()):
            self._place = next(iter(self._not_lately(places, at + 1)), at)
        self._walked = False

    def do_up(self) -> None:
        """Move up."""
        self._place = self._at(self._places()) - 1

    def do_down(self) -> None:
        """Move down."""
        self._place = self._at(self._places()) + 1

    def do_open(self) -> None:
        """Walk the round under the cursor."""
        places = self._places()
        self._walked = True
        begin_round(self, places[self._at(places)].machine)

    def do_digit(self, number: int) -> None:
        """Walk the round with that number."""
        if number <= len(self._places()):
            self._place = number - 1
            self.do_open()
