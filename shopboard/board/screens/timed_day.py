"""What a screen of the prep day knows of its plan, and the time that one has for it."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import takewhile

from shopboard.board import doors
from shopboard.board.screens.sliced import SlicedScreen
from shopboard.prep.begun_day import PrepDay, change_time
from shopboard.prep.cost import day_cost
from shopboard.prep.cost_words import taken_words
from shopboard.prep.day import Planner
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.time_had import TimeHad


class TimedDayScreen(SlicedScreen):
    """Asks what time one has, and counts the lines: of work, then of what stays open."""

    def __init__(self) -> None:
        super().__init__()
        self._planner: Planner | None = None
        self._last: DayPlan | None = None
        """The newest plan, shown while the next one is worked out."""
        self._had: TimeHad | None = None
        """What was said of the time for a day that is not begun; None: nothing."""

    def choose_anew(self) -> None:
        """Plan anew what a day that is not begun would be for."""
        raise NotImplementedError

    @property
    def planner(self) -> Planner:
        """Plans the day of this shop."""
        if self._planner is None:
            self._planner = Planner(self.open_shop)
        return self._planner

    def _count(self) -> int:
        """Count the lines: pieces of the plan, those that do not fit, what stays open."""
        opens = len(self._last.stays_open) if self._last is not None else 0
        return self._work() + opens

    def _work(self) -> int:
        """Count the pieces: of the plan, and those that do not fit."""
        return len(self.all_pieces(self._last)) if self._last is not None else 0

    def cost_words(self, day: PrepDay | None) -> str:
        """Say what a prep day took and found so far; empty: none is in progress."""
        if day is None:
            return ""
        kept: dict[str, str] = self.open_shop.kept("cost of the day")
        if day.uid not in kept:
            journal = self.open_shop.journal
            cost = day_cost(journal, self.open_shop.shop, day, journal.last_seq())
            kept[day.uid] = f"The day {taken_words(cost)}."
        return kept[day.uid]

    def do_cost(self) -> None:
        """Show what the day and the year cost and brought."""
        self.app.push_screen(doors.CostScreen())

    def do_time_had(self) -> None:
        """Ask what time one has; of a day under way it goes on record."""
        self.app.push_screen(doors.TimeHadScreen(self._take_time))

    def _take_time(self, had: TimeHad) -> None:
        day = self.planner.day
        if day is None:
            self._had = had
            self.choose_anew()
            return
        if self.recorded(
            ("time for the day", had),
            lambda uid: change_time(self.open_shop.journal, day, had, uid),
        ):
            self.work_out_anew()
            self.repaint()

    def machine_here(self) -> str:
        """It is that of the piece under the cursor."""
        if self._last is None:
            return ""
        machines = [one.machine for one in self.all_pieces(self._last)]
        machines += [one.machine for one in self._last.stays_open]
        return machines[self._cursor] if self._cursor < len(machines) else ""

    def open_what_stays(self, one: StaysOpen) -> None:
        """Open what no work of the day settles: it may be looked at all the same."""
        if one.sort == "point":
            self.app.push_screen(doors.PointScreen(one.target))
        elif one.sort == "joint":
            self.app.push_screen(doors.GlueUpScreen(*one.target.split(".", 1)))
        elif one.sort == "cutter":
            self.app.push_screen(doors.CuttersScreen(one.machine))
        else:
            self.app.push_screen(doors.MachineScreen(one.machine))

    def all_pieces(self, plan: DayPlan) -> list[Piece]:
        """Give what is planned, then what does not fit."""
        return [*(one.piece for one in plan.lines), *(one.piece for one in plan.left)]

    def then_here(self, lines: Sequence[PlanLine], piece: Piece) -> list[str]:
        """Give the points to check on the same machine, in any mode, right after one."""
        modes = [one.id for one in self.open_shop.shop.modes_beside(piece.machine)]
        pieces = (line.piece for line in lines)
        here = takewhile(lambda one: one.sort == "check" and one.machine in modes, pieces)
        return [one.target for one in here]
