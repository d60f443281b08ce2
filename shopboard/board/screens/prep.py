"""The prep day: what to do now opens with Enter, the others with their digits."""

from __future__ import annotations

import asyncio
from collections.abc import Iterator
from typing import TYPE_CHECKING, ClassVar

from shopboard.board import doors
from shopboard.board.keys import (
    ANOTHER_PROJECT,
    BACK,
    COST,
    DAY_SAID,
    DO_NOW,
    DOWN,
    END_DAY,
    HELP,
    MORE,
    SPARES,
    TIME_HAD,
    TWO_OPEN,
    UP,
    Key,
)
from shopboard.board.nines import line_of
from shopboard.board.notice import GOES_ON, UNDER_WAY, board_notice
from shopboard.board.paint import Line, plain
from shopboard.board.prep_view import ListPage, Shown, goes_on, prep_lines, working_lines
from shopboard.board.screens.opens_pieces import PieceScreen
from shopboard.board.to_come import NO_PROJECT, to_come
from shopboard.journal import JournalError
from shopboard.prep.begun_day import begin_day, end_day
from shopboard.prep.due_changes import unsaid_spares
from shopboard.prep.left_words import as_left
from shopboard.prep.plan import DayPlan
from shopboard.prep.point_need import need_for
from shopboard.prep.time_had import TimeHad
from shopboard.prep.timing import DayToPlan

if TYPE_CHECKING:
    from shopboard.checks.need import Need

TICK = 1.0
"""Seconds between looks at the clocks."""

AT_ONCE = 8
"""Pieces that are put in order so quickly that nobody waits for it."""


class PrepScreen(PieceScreen):
    """The plan, worked out anew whenever anything was recorded."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(DO_NOW, MORE, ANOTHER_PROJECT, TWO_OPEN, TIME_HAD, UP, DOWN, SPARES, COST, END_DAY),
        *(DAY_SAID, BACK, HELP),
    )

    of_the_day = True

    def __init__(self) -> None:
        super().__init__()
        self._working: DayToPlan | None = None
        self._project = ""
        self._paged = (0, ListPage())
        self._moment: Line = ()
        """What is said while the plan is worked out, and no longer."""
        self._further: tuple[int, ListPage] | None = None
        """Where + led, while the cursor stays there, and leads now; None: all is seen."""

    def heading(self) -> str:
        """Name the shop and the day."""
        return f"{self.open_shop.shop.name} · prep day"

    def on_mount(self) -> None:
        """Let the clocks be seen to run."""
        self.set_interval(TICK, self._tick)

    def _tick(self) -> None:
        if self.is_current:
            self.board.ring_when_over()
            self.repaint()

    def standing_notice(self) -> Line:
        """Say what the board would say, but for what is under way: it is part of the plan here."""
        notice = board_notice(self)
        begun = plain(notice).startswith((f" {GOES_ON}", f" {UNDER_WAY}"))
        return () if begun else notice

    # ------------------------------------------------------------------ the plan

    def pieces(self) -> Iterator[None]:
        """Work out what there is to do."""
        return self.planner.ahead()

    def _plan(self) -> DayPlan | None:
        """Give the plan; None while it is worked out, which goes on meanwhile."""
        planner = self.planner
        plan = planner.known()
        while plan is None and self.is_worked_out():
            asked = planner.asked()
            if len(asked.workday.jobs) > AT_ONCE:
                if asked is not self._working:
                    self._working = asked
                    self.run_worker(self._work_out(asked), exclusive=True)
                break
            planner.settle(asked, asked.shared())
            plan = planner.known()
        if plan is not None:
            self._last = plan
            if self._notice is self._moment:
                self._notice = self._moment = ()
        return plan

    def _say_moment(self) -> None:
        self.say("One moment: the plan is being worked out.")
        self._moment = self._notice

    async def _work_out(self, asked: DayToPlan) -> None:
        """Put the pieces in order beside the screen, which answers keys meanwhile."""
        found = await asyncio.to_thread(asked.shared)
        self.planner.settle(asked, found)
        self._working = None
        self.repaint()

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the day."""
        plan = self._plan()
        if plan is None:
            return working_lines(width)
        self._cursor = min(self._cursor, max(self._count() - 1, 0))
        shown = Shown(
            plan,
            {one.id: one.name for one in self.open_shop.shop.machines},
            self.open_shop.waits(),
            self._cursor,
            len(self.open_shop.shop.projects),
            self._allow_open,
            self.cost_words(plan.day) if plan.is_done else "",
            self._paged[1] if self._paged[0] == self._cursor else ListPage(),
        )
        self._further = goes_on(shown, (width, room))
        return prep_lines(shown, (width, room))

    # ------------------------------------------------------------------ keys

    def expects_quiet(self) -> bool:
        """By the plan it is still within what is in hand, or waits."""
        plan = self.planner.known() or self._last
        return plan is None or plan.day is None or plan.quiet_since is None

    def on_screen_resume(self) -> None:
        """Show the plan anew, from its beginning; what was chosen must be chosen anew."""
        self._chosen, self._cursor = "", 0

    def do_up(self) -> None:
        """Move to the piece above."""
        self._cursor, self._chosen = max(0, self._cursor - 1), ""

    def do_down(self) -> None:
        """Move to the piece below."""
        self._cursor, self._chosen = self._cursor + 1, ""

    def keys_now(self) -> tuple[Key, ...]:
        """Show what plans the day before it is begun, and after that what ends it."""
        begun, count = self.planner.day is not None, self._work() if self._last else 1
        gone = [ANOTHER_PROJECT, TWO_OPEN] if begun else [END_DAY] if count else [END_DAY, DO_NOW]
        if not unsaid_spares(self.open_shop.standing.machines):
            gone.append(SPARES)
        now = DO_NOW
        if begun and not count:
            now = DO_NOW._replace(word="end the day", help="End the prep day.")
        elif not begun and count and not self._cursor:
            now = DO_NOW._replace(word="begin", help="Begin this day.")
        keys = (now if key is DO_NOW else key for key in self.keys)
        gone += [MORE] if self._further is None else []
        return tuple(key for key in keys if key not in gone)

    def do_more(self) -> None:
        """Show the pieces that had no room, then what is said of the plan."""
        if self._further is not None:
            self._paged, self._cursor, self._chosen = self._further, self._further[0], ""

    def do_another_project(self) -> None:
        """Plan for the next project, and after the last one for all that is due."""
        if self.planner.day is not None:
            self.refuse("this day is in progress; / ends it")
            return
        found = to_come(self.open_shop)
        if not found.projects:
            self.refuse(NO_PROJECT)
            return
        self._project = found.after(self._project)
        self._choose_again()
        if words := found.finished_words(self._project):
            self.say(words)

    def do_two_open(self) -> None:
        """Let two machines stand open at once, or not."""
        if self.planner.day is not None:
            self.refuse("this day is in progress; / ends it")
            return
        self._allow_open = not self._allow_open
        self._choose_again()

    def _choose_again(self) -> None:
        """Plan anew for another choice, in the time that one has by now."""
        self._had = self.planner.had
        self.choose_anew()

    def choose_anew(self) -> None:
        """Plan anew for what was chosen."""
        self.planner.choose(self._project, allow_open=self._allow_open, had=self._had)
        self.work_out_anew()
        self._cursor, self._chosen = 0, ""

    def do_do_now(self) -> None:
        """Begin the day; when it is begun, open what the cursor is on."""
        plan = self._plan()
        if plan is None:
            self._say_moment()
        elif plan.day is None and self._cursor == 0:
            self._begin(plan)
        elif plan.is_done:
            self._end()
        else:
            self._open(self._cursor, "Enter")

    def do_digit(self, number: int) -> None:
        """Open the piece with that number."""
        self._open(line_of(number, self._cursor), str(number))

    def _begin(self, plan: DayPlan) -> None:
        if plan.is_done:
            self.refuse("nothing is left to do: there is no day to begin")
            return
        if self._had is None and (plan.opens is not None or plan.is_too_long):
            self.do_time_had()  # outside of the hours, or more than a day: it is asked first
            return
        had = self.planner.had or TimeHad()
        if not self.recorded(
            ("begin the day", self._project, self._allow_open, self._had),
            lambda uid: begin_day(
                *(self.open_shop.journal, self._project, plan.from_now),
                allow_open=self._allow_open,
                had=had,
                planned=plan.by_machine,
                put_off=len(plan.left),
                order=plan.order,
                uid=uid,
            ),
        ):
            return
        self._had = None  # it is on record now
        self.planner.choose(self._project, allow_open=self._allow_open)
        self.take_in()
        self.say("The prep day has begun. Enter opens what to do now.")

    def do_spares(self) -> None:
        """Say which sharp cutter does the work of a dull one."""
        if unsaid_spares(self.open_shop.standing.machines):
            self.app.push_screen(doors.SparesScreen())

    def do_end_day(self) -> None:
        """Show what the day would leave undone; there it is ended."""
        day = self.planner.day
        if day is None:
            self.refuse("no prep day is in progress")
        elif self._plan() is None:
            self._say_moment()
        else:
            left = as_left(self.planner.undone())
            self.app.push_screen(doors.EndDayScreen(day, left, self.cost_words(day)))

    def do_day_said(self) -> None:
        """Show what was said of the day, to withdraw a mistake."""
        self.app.push_screen(doors.DaySaidScreen())

    def _end(self) -> None:
        day = self.planner.day
        if day is None:
            return
        try:
            end_day(self.open_shop.journal, day)
        except JournalError as error:
            self.say_error(error)
            return
        took = self.cost_words(day).removeprefix("The day ")
        self.take_in()
        self.board.go_back_saying(f"The prep day is over: it {took}")

    # ------------------------------------------------------------------ opening a piece

    def _open(self, number: int, key: str) -> None:
        plan = self._plan()
        if plan is None:
            self._say_moment()
            return
        pieces = self.all_pieces(plan)
        if len(pieces) <= number < len(pieces) + len(plan.stays_open):
            self._cursor = number
            self.open_what_stays(plan.stays_open[number - len(pieces)])
            return
        if number >= len(pieces):
            self.refuse("there is no such line")
            return
        self._cursor, piece = number, pieces[number]
        opens = plan.lines[number].opens if number < len(plan.lines) else piece.machine
        if self.second_open(plan, piece, opens, key):
            return
        if piece.sort == "check":
            from shopboard.sittings.next_point import NextAfter

            project, names = plan.project, self.then_here(plan.lines[number + 1 :], piece)

            def need_of(name: str) -> Need | None:
                return need_for(self.open_shop, name, project) if project else None

            then = NextAfter(tuple(names), need_of)
            self.app.push_screen(doors.PointScreen(piece.target, need_of(piece.target), then))
        elif piece.sort == "cutter":
            self.open_change(piece, key)
        else:
            self.open_task_of(piece, key)
