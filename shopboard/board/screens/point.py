"""One point: check it, go on with a check, look at its history, void a result."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from datetime import datetime
from functools import partial
from typing import TYPE_CHECKING, ClassVar

from shopboard.board import doors
from shopboard.board.keys import (
    BACK,
    CHECK_NOW,
    DOWN,
    EDIT,
    GRAPH,
    HAPPENED,
    HELP,
    NOTE_RESULT,
    UP,
    VOID,
    WHY,
    Key,
)
from shopboard.board.paint import Line, clip
from shopboard.board.point_view import point_lines, point_words
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.results import ResultsScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.waiting_check import close_question, ways_on
from shopboard.checks.job import NotPossibleError
from shopboard.journal import Entry, JournalError
from shopboard.shop.machine import Point
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.next_point import NextAfter, carry, next_here, next_points
from shopboard.sittings.point_job import job_for
from shopboard.standing.model import PointStanding

if TYPE_CHECKING:
    from shopboard.checks.need import Need
    from shopboard.checks.ranking import Rank


class PointScreen(ResultsScreen):
    """A point with its results; 1 checks it."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(CHECK_NOW, UP, DOWN, WHY, GRAPH, VOID, NOTE_RESULT),
        *(HAPPENED._replace(footer=False), EDIT, BACK, HELP),
    )

    def __init__(
        self,
        full_name: str,
        need: Need | None = None,
        then: NextAfter | None = None,
        seen: frozenset[str] = frozenset(),
    ) -> None:
        """Show a point.

        Args:
            full_name: of the point.
            need: what the work asks of it that it is opened for.
            then: points to check after it, where a plan leads on; None: those that the shop's
                order gives.
            seen: full names of the points that led here, one after the other.
        """
        super().__init__(full_name)
        self._seen = seen
        self._need = need
        self._then = then
        self._closes = 0
        """The line that waits for its key once more: it closes the check that waits."""
        self._is_checked = False
        """A check of it has just come to its end: Enter leads on, never into the same one."""
        self._ranks: tuple[Rank, ...] = ()
        self._cannot = ""
        self._wander: list[str] = []
        self._study = self._study_words = ""
        """Method by which it can be read ten times; empty: none, or not worked out yet."""

    @property
    def _standing(self) -> PointStanding | None:
        return self.open_shop.standing.of_point(self._full_name)

    def heading(self) -> str:
        """Name machine and point."""
        standing = self._standing
        if standing is None:
            return self._full_name
        return self._named(standing, self._need)

    def _named(self, standing: PointStanding, need: Need | None) -> str:
        shop, point = self.open_shop.shop, standing.point
        name = f"{shop.machines_by_id[point.machine].name} · {point.name}"
        return f"{name}, {need.words(point.tolerance.kind, shop.unit)}" if need else name

    def told(self) -> Sequence[str]:
        """Say how it stands and why."""
        one = self._standing
        return point_words(one, self.open_shop.now(), self.open_shop.shop.unit) if one else ()

    def machine_here(self) -> str:
        """It is the point's."""
        return self._full_name.partition(".")[0]

    def tagged(self) -> str:
        """Say why its machine is not to be used."""
        return self.tag_of(self.machine_here())

    def _methods(self) -> list[str]:
        """Give the methods as they are offered: the shop file's order, however they rank."""
        standing = self._standing
        return list(standing.point.checks) if standing else []

    def _choices(self) -> list[str]:
        waiting, methods = self.open_shop.waiting.get(self._full_name), self._methods()
        ways = [self._way(name) for name in methods]
        if waiting is None:
            now = [f"check it now{f': {way}' if way else ''}" for way in ways]
            return [*now, *((self._study_words,) if self._study else ())]
        return ways_on(waiting, self.open_shop.journal, self.open_shop.now(), ways)

    def _way(self, method: str) -> str:
        """Name a method, and what it usually tells as soon as that is worked out."""
        one = next((one for one in self._ranks if one.method == method), None)
        if one is None:
            return method if len(self._methods()) > 1 else ""
        from shopboard.checks.ranking import at_best

        best = at_best(one, self.open_shop.shop.unit)
        return f"{one.title}{f', {best}' if best else ''}"

    def on_screen_resume(self) -> None:
        """Draw anew; what the drawer can prove and the wander come after the picture."""
        self.shows_anew()
        name, open_shop = self._full_name, self.open_shop
        known = open_shop.has_ranks(name) and open_shop.has_outlook(name)
        if known:
            self._work_out()
        if self._need is not None and self._need.how:
            self.say(f"To prove that much, check it {self._need.how}.")
        if not known:
            self.call_after_refresh(self._work_out)

    def _work_out(self) -> None:
        standing = self._standing
        if standing is None or not self.is_attached:
            return
        from shopboard.checks import registry
        from shopboard.checks.study import study_method, study_words

        with contextlib.suppress(JournalError):  # the next look says so
            self._ranks = self.open_shop.ranks(self._full_name)
            self._cannot = self.board.cannot_be_proven(self._full_name)
            self._wander = self.open_shop.wander_words(self._full_name)
            # Whether a hand reads it does not hang on what is on record: no journal is read for it.
            job = job_for(self.open_shop.shop, standing.point, None)
            self._study = study_method(job, standing.point.checks)
            if self._study:
                self._study_words = study_words(registry.method(self._study), job)
            self.repaint()

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the point."""
        standing = self._standing
        if standing is None:
            return [((clip("  This point is no longer in the shop file.", width), ""),)]
        history, self._leads = self._history(), self._leads_on()
        found = (self.open_shop.standing.of_point(base) for base in standing.point.rests_on)
        return point_lines(
            standing,
            [base for base in found if base is not None],
            self._choices(),
            history,
            self._cursor,
            self.open_shop.now(),
            self.open_shop.shop.unit,
            (width, room),
            self._cannot,
            self._wander,
            self._leads,
        )

    def _next_points(self) -> list[Point]:
        """Give the points to check after this one, the next one first."""
        open_shop = self.open_shop
        if self._then is not None:
            return next_points(
                open_shop.standing, open_shop.shop, self._full_name, self._then.names
            )
        screens = self.app.screen_stack
        below = screens[screens.index(self) - 1] if self in screens else None
        if not isinstance(below, ShopScreen) or not below.opens_in_order:
            return []  # what brought up this point says what comes next
        points = next_points(open_shop.standing, open_shop.shop, self._full_name)
        # What was just found out stays so until it is set: nobody is led round in a circle.
        return [one for one in points if not (one.full_name in self._seen or self._in_vain(one))]

    def _in_vain(self, point: Point) -> bool:
        """Tell whether another check as before would not settle a point that is near."""
        stands = self.open_shop.standing.of_point(point.full_name)
        if stands is None or stands.state != "near":
            return False
        from shopboard.prep.settle_next import to_settle

        try:
            return bool(to_settle(self.open_shop, stands))
        except JournalError:
            return False

    def _leads_on(self) -> str:
        """Say where Enter leads once the point is checked."""
        if not self._is_checked:
            return ""
        points = self._next_points()
        if not points:
            return "back"
        one = points[0]
        name = self.open_shop.shop.machines_by_id[one.machine].name
        where = "" if self._full_name.startswith(f"{one.machine}.") else f", {name}"
        return f"next to check: {one.name}{where}"

    def do_open(self) -> None:
        """Check it, or go on with the check; after its end, lead to the next point or back."""
        if self.is_hasty():
            return
        if not self._is_checked:
            self.choose(1)
            return
        points = self._next_points()
        if points:
            self._go_on_to(points[0])
        else:
            self.do_back()

    def _go_on_to(self, point: Point) -> PointScreen:
        """Put the next point in the place of this one."""
        name, then = point.full_name, self._then
        need = then.need_of(name) if then else None
        if then is not None:
            then = then._replace(names=tuple(one for one in then.names if one != name))
        screen = PointScreen(name, need, then, self._seen | {self._full_name})
        self.app.pop_screen()
        self.app.push_screen(screen)
        return screen

    def onward(self, sitting: CheckSitting) -> Point | None:
        """Give the next point if it can be checked before the machine is cleared."""
        open_shop = self.open_shop
        point = next_here(
            sitting, self._next_points(), open_shop.shop, open_shop.standing, open_shop.journal
        )
        need = self._then.need_of(point.full_name) if point and self._then else None
        # What it takes beyond the usual is read on the point's own screen first.
        return None if need is not None and need.how else point

    def check_closed(self, sitting: CheckSitting, last: datetime | None) -> None:
        """Lead on after a check: at once where the machine is not cleared yet."""
        self._is_checked = True
        point = self.onward(sitting) if sitting.goes_on_to_next else None
        if point is None:
            self.repaint()
            return
        self._go_on_to(point).begin_after(sitting, last)

    def begin_after(self, before: CheckSitting, last: datetime | None) -> None:
        """Begin the check with plug and tools as the one before left them."""
        standing = self._standing
        if standing is None:
            return
        open_shop = self.open_shop
        try:
            sitting = self._begin(standing.point, "", need=self._need)
            carry(sitting, before, last, open_shop.now())
        except NotPossibleError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)
        else:
            self._show(sitting)
            if sitting.carried:
                what = "Plug and tools" if sitting.carried_tools else "The plug is"
                self.app.call_after_refresh(self._say_on_it, f"{what} as at the last point.")

    def _say_on_it(self, words: str) -> None:
        if isinstance(self.app.screen, SteadyScreen):  # the check
            self.app.screen.say(words)

    def do_digit(self, number: int) -> None:
        """Begin a check, or go on with one; throw away one that waits."""
        if not self.is_hasty():
            self.choose(number)

    def choose(self, number: int) -> None:
        """Do what a line says."""
        standing = self._standing
        if standing is None or number > len(self._choices()):
            return
        waiting = self.open_shop.waiting.get(self._full_name)
        try:
            if waiting is not None and number > 1:
                self._close(standing.point, waiting, number)
                return
            self._closes = 0
            sitting = self._sitting(standing, number)
        except NotPossibleError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        if sitting is None:
            self.board.look_again()
            self.open_shop.refresh()
            self.say("Too old, a result withdrawn, or the shop file changed: that check is closed.")
            return
        self._show(sitting)
        if waiting is None and self._cannot:
            self.app.call_after_refresh(self._say_on_it, "Your tools cannot prove it true here.")

    def _show(self, sitting: CheckSitting) -> None:
        self.open_shop.refresh()
        self._is_checked = False
        standing = self._standing
        about = self._named(standing, sitting.job.need) if standing is not None else self.heading()
        self.app.push_screen(doors.CheckScreen(sitting, about, self))

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._closes = 0

    def _close(self, point: Point, waiting: Entry, number: int) -> None:
        """Close the check that waits, for a new one or for none; asks once.

        What it has recorded stays. One that has a result to be saved is closed for no other.
        """
        open_shop, asked = self.open_shop, self._closes == number
        self._closes = 0
        old = resume(open_shop.journal, open_shop.shop, point, waiting, open_shop.clock_now())
        starts_over = number < len(self._choices())
        if old is not None and starts_over and old.at_result:
            self.refuse("its result waits to be saved: 1 goes on with it")
        elif old is not None and not asked:
            self.ask_once_more(close_question(old, waiting, open_shop.journal, number))
            self._closes = number
        elif starts_over:
            name = point.checks[number - 2]
            closes = (old, "begun anew") if old is not None else None
            self._show(self._begin(point, name, need=self._need, closes=closes))
        else:
            if old is not None:
                old.discard("discarded")
            open_shop.refresh()
            clear = " Take the tools off, guards back, then plug in." if point.cutter_near else ""
            self.say(f"Discarded: that check is closed.{clear}")

    def _sitting(self, standing: PointStanding, number: int) -> CheckSitting | None:
        """Begin by the method of that number, or go on with the check that waits."""
        open_shop, point = self.open_shop, standing.point
        waiting = open_shop.waiting.get(self._full_name)
        if waiting is None:
            study = number > len(point.checks)
            name = self._study if study else point.checks[number - 1]
            need = None if study else self._need
            return self._begin(point, name, study=study, need=need)
        return resume(open_shop.journal, open_shop.shop, point, waiting, open_shop.clock_now())

    def _begin(
        self,
        point: Point,
        name: str,
        *,
        study: bool = False,
        need: Need | None = None,
        closes: tuple[CheckSitting, str] | None = None,
    ) -> CheckSitting:
        """Begin a check; after an error the same one."""
        open_shop = self.open_shop
        begin = partial(
            start, open_shop.journal, open_shop.shop, point, name, study=study, need=need
        )
        asked = ("begin", point.full_name, name, study, repr(need))
        return self.board.in_doubt.under_one_name(asked, lambda uid: begin(uid=uid, closes=closes))

    def do_edit(self) -> None:
        """Change what the shop file says of it."""
        self.app.push_screen(doors.EditScreen("point", self._full_name))

    def do_happened(self) -> None:
        """Say what happened to the point's machine."""
        standing = self._standing
        if standing is not None:
            machine = self.open_shop.shop.machines_by_id[standing.point.machine]
            self.app.push_screen(doors.HappenedScreen(machine))
