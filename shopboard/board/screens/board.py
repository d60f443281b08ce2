"""The board itself: every machine at a glance, each at its place, and what to do next."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from shopboard.base.dates import ago
from shopboard.board import doors
from shopboard.board.board_view import PaneGrid, called, panes, place_of, shop_grid, shop_line
from shopboard.board.kept_panes import KeptPanes
from shopboard.board.keys import (
    DEVICES,
    DOWN,
    EDIT,
    GLUE_UP,
    HAPPENED,
    LEFT,
    LOOK_BACK,
    MORE,
    NO_BACK,
    OPEN,
    PREP,
    PROBLEMS,
    QUIT,
    RELOAD,
    RESUME,
    RETIRED,
    RIGHT,
    ROUND,
    TASKS,
    UP,
    WHO,
    Key,
)
from shopboard.board.next_list import in_view, next_lines
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.notice import board_notice, rename_hints
from shopboard.board.paint import WHOLE, Line
from shopboard.board.prep_day import prep_day_begun
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError
from shopboard.up_next.items import NextItem, is_fresh, next_items
from shopboard.up_next.known import begin_with, known_minutes, known_settles, work_out_next
from shopboard.up_next.under_way import all_under_way, said_of

if TYPE_CHECKING:
    from shopboard.board.questions import AnswerRead
    from shopboard.standing.model import ShopStanding
    from shopboard.up_next.under_way import UnderWay

    _NextOf = tuple[ShopStanding, list[UnderWay], Sequence[str] | None, dict[str, str]]
    """What the list of what is next was made of."""

MINUTES_AFTER = 1.5
"""Seconds after which it is worked out how long things take; what that needs is imported."""
BETWEEN = 0.05
"""Seconds between two of them, for the keys."""


class BoardScreen(ShopScreen):
    """Panes of machines with a cursor."""

    leads_only = True
    opens_in_order = True
    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN, MORE, UP, DOWN, LEFT, RIGHT, PREP, GLUE_UP, HAPPENED, TASKS, ROUND),
        *(NO_BACK, QUIT, LOOK_BACK, RETIRED, EDIT, PROBLEMS, RELOAD, WHO, DEVICES),
    )

    def __init__(self) -> None:
        super().__init__()
        self._on = ""
        """Id of the machine that the cursor is on, or was last."""
        self._at_next: str | None = None
        """What the cursor is on of what to do next; None: it is on a pane."""
        self._next: list[NextItem] = []
        """What to do next, as it was drawn last."""
        self._next_of: _NextOf | None = None
        """What that was made of."""
        self._panes = KeptPanes()
        self._who: str | None = None
        """The name of this bench; None: it is looked up at the next picture."""
        self._in_view: Sequence[NextItem] = []
        """What of it there was room for."""

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for more machines only where there are more than nine."""
        return without_more(self.keys, len(self.open_shop.standing.machines))

    def heading(self) -> str:
        """Name the shop."""
        return self.open_shop.shop.name

    def top(self, width: int) -> Line:
        """Draw the shop-wide line, with the name of this bench where it has one."""
        standing, clock = self.open_shop.standing, self.open_shop.clock()
        if self._who is None:
            self._who = self.open_shop.who()
        name = ", ".join(filter(None, (self.open_shop.shop.name, self._who)))
        return shop_line(name, standing, clock, width, is_fresh(standing))

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the panes, and what to do next."""
        self._settle_cursor()
        standing, found = self.open_shop.standing, all_under_way(self.open_shop)
        fresh = is_fresh(standing)
        begin = begin_with(self.open_shop) if fresh else None
        told = standing, found, begin, {**known_settles(self.open_shop)}
        if self._next_of is None or self._next_of[0] is not standing or self._next_of != told:
            self._next, self._next_of = next_items(*told), told
        at = self._line()
        if at is None:
            self._at_next = None
        going: dict[str, list[str]] = {}
        for one in found:
            if one.point or one.task is not None:  # a change is told by what it is
                words = said_of(one)
                going.setdefault(one.machine, []).append(words)
        where = standing, self._on, self.open_shop.now()
        if width >= WHOLE:
            from shopboard.board.whole_panes import machine_lines  # of a page alone

            lay = self._grid()
            lines, below = machine_lines(*where, lay, going, fresh=fresh), lay.room_below
        else:
            drawn, here = self._panes.pane, at is None
            lines = panes(*where, width, room, going, here=here, fresh=fresh, draw=drawn)
            below = room - len(lines)
        names, minutes = called(standing, self._on), known_minutes(self.open_shop)
        self._in_view = in_view(self._next, at, below)
        return [*lines, *next_lines(self._next, at, names, minutes, (width, below))]

    def on_mount(self) -> None:
        """Work out how long things take once the first picture stands."""
        self.set_timer(MINUTES_AFTER, self._work_out)

    def on_screen_resume(self) -> None:
        """Draw anew; what was recorded meanwhile may take another time from now on."""
        self._who = None
        self.set_timer(MINUTES_AFTER, self._work_out)

    def _work_out(self) -> None:
        """Work out how long the next thing takes: one at a time, keys come first."""
        if not self.is_attached or not self.is_current:
            return
        with contextlib.suppress(JournalError):  # the next look says so
            fresh = is_fresh(self.open_shop.standing)
            if work_out_next(self.open_shop, self._in_view, fresh=fresh):
                self.repaint()
                self.set_timer(BETWEEN, self._work_out)

    def standing_notice(self) -> Line:
        """Say the most pressing of: broken shop file, no recording, wrong clock, next due.

        A prep day that is under way is named with it.
        """
        notice, day = board_notice(self, listed=True), _prep_day(self)
        return ((f" {day}", "due"),) if day and not (notice and notice[0][1] == "out") else notice

    def _settle_cursor(self) -> None:
        """Keep the cursor on its machine, or on the worst when that is gone."""
        if self._on not in self.open_shop.shop.machines_by_id:
            worst = self.open_shop.standing.worst_first
            self._on = worst[0].machine.id if worst else ""

    def _line(self) -> int | None:
        """Give the number of the line of what to do next that the cursor is on."""
        keys = [one.key for one in self._next]
        return keys.index(self._at_next) if self._at_next in keys else None

    def _move(self, step: int) -> None:
        order = [one.machine.id for one in self.open_shop.standing.machines]
        if order:
            at = order.index(self._on) + step
            self._on = order[min(max(at, 0), len(order) - 1)]

    def _grid(self) -> PaneGrid:
        return shop_grid(self.open_shop.standing, self.size.width, self.size.height - 3)

    def do_up(self) -> None:
        """Move one line or one row of panes up."""
        at = self._line()
        if at is None:
            self._move(-self._grid().columns)
        else:
            self._at_next = self._next[at - 1].key if at else None

    def do_down(self) -> None:
        """Move one row of panes down, from the last of a page to what to do next, there a line."""
        at, lay = self._line(), self._grid()
        place = place_of(self.open_shop.standing, self._on)
        machines = len(self.open_shop.standing.machines)
        if at is not None:
            self._at_next = self._next[min(at + 1, len(self._next) - 1)].key
            self.set_timer(MINUTES_AFTER, self._work_out)  # of what comes into view
        elif place + lay.columns < machines:
            self._move(lay.columns)
        elif place // lay.columns < (machines - 1) // lay.columns:
            self._move(machines)  # the last row is shorter
        elif self._next:
            self._at_next = self._next[0].key

    def do_left(self) -> None:
        """Move one pane left."""
        self._at_next = None
        self._move(-1)

    def do_right(self) -> None:
        """Move one pane right."""
        self._at_next = None
        self._move(1)

    def do_more(self) -> None:
        """Give the digits to the next nine machines."""
        machines = self.open_shop.standing.machines
        at = next_nine(place_of(self.open_shop.standing, self._on), len(machines))
        self._at_next, self._on = None, machines[at].machine.id if machines else ""

    def do_open(self) -> None:
        """Open what the cursor is on."""
        at = self._line()
        if at is not None:
            from shopboard.board.ways_in import open_next  # not needed for the first picture

            open_next(self, self._next[at])
        elif self._on:
            self.app.push_screen(doors.MachineScreen(self._on))

    def do_digit(self, number: int) -> None:
        """Go to the machine with that number and open it."""
        machines = self.open_shop.shop.machines
        at = line_of(number, place_of(self.open_shop.standing, self._on))
        if at < len(machines):
            self._at_next, self._on = None, machines[at].id
            self.do_open()

    def to_line(self, line: int) -> None:
        """Open the machine whose pane was clicked on, or what to do next, which comes after."""
        machines = self.open_shop.shop.machines
        if line < len(machines):
            self._at_next, self._on = None, machines[line].id
            self.do_open()
        elif line - len(machines) < len(self._next):
            self._at_next = self._next[line - len(machines)].key
            self.do_open()

    def do_happened(self) -> None:
        """Say what happened to the machine under the cursor."""
        at = self._line()
        on = self._next[at].machine if at is not None else self._on
        machine = self.open_shop.shop.machines_by_id.get(on)
        if machine is not None:
            self.app.push_screen(doors.HappenedScreen(machine))

    def do_edit(self) -> None:
        """Change what the shop file says: of the shop, and from there of all in it."""
        self.app.push_screen(doors.EditScreen("shop", "shop"))

    def do_who(self) -> None:
        """Ask what this bench is called."""
        from shopboard.board.bench_name import started_as, take_name, what_name

        now = self.open_shop.who()
        if started_as():
            self.say(f"This is {now}: the board was started here with that name.")
            return

        def take(answer: AnswerRead) -> None:
            self.board.go_back_saying(take_name(str(answer)))

        self.app.push_screen(doors.AskScreen("", "Name of this bench", what_name(now), take))

    def do_devices(self) -> None:
        """Show the phones and tablets."""
        self.app.push_screen(doors.DevicesScreen())

    def do_tasks(self) -> None:
        """Show the tasks of the whole shop."""
        self.app.push_screen(doors.TasksScreen())

    def do_quit(self) -> None:
        """Leave the board."""
        self.app.exit(return_code=0)

    def do_round(self) -> None:
        """Show the safety rounds."""
        self.app.push_screen(doors.RoundsScreen())

    def do_glue_up(self) -> None:
        """Ask before a glue-up: choose a project, where there are several, and a joint."""
        from shopboard.board.ways_in import show_projects

        show_projects(self)

    def do_back(self) -> None:
        """Say what leaves: nothing is behind the board."""
        self.say("Nothing is behind the board: q leaves it, or its line under *.")

    def machine_here(self) -> str:
        """It is the one under the cursor."""
        return self._on

    def do_prep(self) -> None:
        """Show the prep day."""
        self.app.push_screen(doors.PrepScreen())

    def do_problems(self) -> None:
        """Show what is wrong in the shop file."""
        if self.open_shop.problems or self.open_shop.warnings or rename_hints(self):
            self.app.push_screen(doors.ProblemsScreen())
        else:
            self.say("Nothing is wrong in the shop file.")

    def do_look_back(self) -> None:
        """Ask for a past day."""
        self.app.push_screen(doors.LookBackScreen())

    def do_retired(self) -> None:
        """Show what is no longer in the shop file."""
        try:
            retired = self.open_shop.retired()
        except JournalError as error:
            self.say(f"{error.title} {error.advice}", "out")
            return
        if retired:
            self.app.push_screen(doors.RetiredScreen())
        else:
            self.say("Every record has its name in the shop file.")

    def do_reload(self) -> None:
        """Read the shop file again."""
        self.board.look_again()
        if not self.open_shop.problems:
            self.say("The shop file is reloaded.")


def _prep_day(screen: ShopScreen) -> str:
    """Say that a prep day is under way, and which key goes on with it; empty while none is."""
    try:
        begun = prep_day_begun(screen.open_shop)
    except JournalError:
        return ""  # the next look says so
    if begun is None:
        return ""
    key = screen.way_to(PREP) if all_under_way(screen.open_shop) else RESUME.label
    return f"{key}: go on with the prep day, begun {ago(begun, screen.open_shop.now())}."
