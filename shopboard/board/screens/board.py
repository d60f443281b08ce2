"""The board itself: every machine at a glance, the worst first."""

from __future__ import annotations

from typing import ClassVar

from shopboard.base.dates import ago
from shopboard.board import doors
from shopboard.board.board_view import grid, hidden, panes, shop_line
from shopboard.board.keys import (
    DOWN,
    EDIT,
    GLUE_UP,
    HAPPENED,
    LEFT,
    LOOK_BACK,
    NO_BACK,
    OPEN,
    PREP,
    PROBLEMS,
    QUIT,
    RELOAD,
    RETIRED,
    RIGHT,
    ROUND,
    TASKS,
    UP,
    Key,
)
from shopboard.board.notice import board_notice, rename_hints
from shopboard.board.paint import Line, plain
from shopboard.board.screens.base import ShopScreen
from shopboard.journal import JournalError, kinds


class BoardScreen(ShopScreen):
    """Panes of machines with a cursor."""

    opens_in_order = True
    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN, UP, DOWN, LEFT, RIGHT, PREP, GLUE_UP, HAPPENED, TASKS, ROUND),
        *(NO_BACK, QUIT, LOOK_BACK, RETIRED, EDIT, PROBLEMS, RELOAD),
    )

    def __init__(self) -> None:
        super().__init__()
        self._on = ""

    def heading(self) -> str:
        """Name the shop."""
        return self.open_shop.shop.name

    def top(self, width: int) -> Line:
        """Draw the shop-wide line."""
        below = hidden(len(self.open_shop.standing.machines), width, self.size.height - 3)
        clock = self.open_shop.clock()
        return shop_line(self.open_shop.shop.name, self.open_shop.standing, clock, width, below)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the panes that fit."""
        self._settle_cursor()
        waits = {one.machine: one.words for one in reversed(self.open_shop.waits())}
        return panes(self.open_shop.standing, self._on, self.open_shop.now(), width, room, waits)

    def standing_notice(self) -> Line:
        """Say the most pressing of: broken shop file, no recording, wrong clock, next due.

        A prep day that is under way is named with what goes on.
        """
        notice, day = board_notice(self), _prep_day(self)
        if not day or (notice and notice[0][1] == "out"):
            return notice
        goes_on = plain(notice) if plain(notice).startswith(" 0:") else ""
        return ((f"{goes_on}  {day}" if goes_on else f" {day}", "due"),)

    def _settle_cursor(self) -> None:
        """Keep the cursor on its machine, or on the worst when that is gone."""
        order = [one.machine.id for one in self.open_shop.standing.worst_first]
        if self._on not in order:
            self._on = order[0] if order else ""

    def _move(self, step: int) -> None:
        order = [one.machine.id for one in self.open_shop.standing.worst_first]
        if order:
            at = order.index(self._on) + step
            self._on = order[min(max(at, 0), len(order) - 1)]

    def _columns(self) -> int:
        machines = len(self.open_shop.standing.machines)
        return grid(machines, self.size.width, self.size.height - 3).columns

    def do_up(self) -> None:
        """Move one row up."""
        self._move(-self._columns())

    def do_down(self) -> None:
        """Move one row down."""
        self._move(self._columns())

    def do_left(self) -> None:
        """Move one pane left."""
        self._move(-1)

    def do_right(self) -> None:
        """Move one pane right."""
        self._move(1)

    def do_open(self) -> None:
        """Open the machine under the cursor."""
        if self._on:
            self.app.push_screen(doors.MachineScreen(self._on))

    def do_digit(self, number: int) -> None:
        """Go to the machine with that number and open it."""
        machines = self.open_shop.shop.machines
        if number <= len(machines):
            self._on = machines[number - 1].id
            self.do_open()

    def to_line(self, line: int) -> None:
        """Open the machine whose pane was clicked on."""
        self.do_digit(line + 1)

    def do_happened(self) -> None:
        """Say what happened to the machine under the cursor."""
        machine = self.open_shop.shop.machines_by_id.get(self._on)
        if machine is not None:
            self.app.push_screen(doors.HappenedScreen(machine))

    def do_edit(self) -> None:
        """Change what the shop file says: of the shop, and from there of all in it."""
        self.app.push_screen(doors.EditScreen("shop", "shop"))

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
            self.say("Nothing is on record under a name that is not in the shop file.")

    def do_reload(self) -> None:
        """Read the shop file again."""
        self.board.look_again()
        if not self.open_shop.problems:
            self.say("The shop file is read.")


def _prep_day(screen: ShopScreen) -> str:
    """Say that a prep day is under way; empty while none is, or it cannot be read."""
    try:
        if not screen.open_shop.journal.recent(kinds.PREP.name, "", "", 1, include_void=False):
            return ""  # none ever was: the first picture need not import what reads it
        from shopboard.prep.begun_day import day_under_way

        day_begun = day_under_way(screen.open_shop.journal)
    except JournalError:
        return ""  # the next look says so
    if day_begun is None:
        return ""
    return f"n: go on with the prep day, begun {ago(day_begun.when, screen.open_shop.now())}."
