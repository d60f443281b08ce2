"""The board itself: every machine at a glance, the worst first."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from shopboard.board.board_view import grid, hidden, panes, shop_line
from shopboard.board.keys import (
    DOWN,
    GLUE_UP,
    HAPPENED,
    HELP,
    LEFT,
    LOOK_BACK,
    MINUS,
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
    Key,
)
from shopboard.board.paint import Line, plain, said
from shopboard.board.screens.base import ShopScreen
from shopboard.dates import ago, day
from shopboard.journal import JournalError
from shopboard.upkeep.safety_record import round_words

if TYPE_CHECKING:
    from textual import events

    from shopboard.upkeep.rename_hints import Hint

ON_THE_WAY_BACK = 0.8
"""Seconds within which a minus on the board is one too many on the way back to it."""

UNDER_WAY = "Under way:"
"""How a notice begins where no key of the screen goes on with it."""


class BoardScreen(ShopScreen):
    """Panes of machines with a cursor."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(OPEN, UP, DOWN, LEFT, RIGHT, PREP, GLUE_UP, HAPPENED, TASKS, ROUND),
        *(RESUME, HELP, QUIT, LOOK_BACK, RETIRED, PROBLEMS, RELOAD),
    )

    def __init__(self) -> None:
        super().__init__()
        self._cursor = ""

    def heading(self) -> str:
        """Name the shop."""
        return self.desk.shop.name

    def top(self, width: int) -> Line:
        """Draw the shop-wide line."""
        below = hidden(len(self.desk.standing.machines), width, self.size.height - 3)
        clock = self.desk.clock()
        return shop_line(self.desk.shop.name, self.desk.standing, clock, width, below)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the panes that fit."""
        self._settle_cursor()
        waits = {one.machine: one.words for one in reversed(self.desk.waits())}
        return panes(self.desk.standing, self._cursor, self.desk.now(), width, room, waits)

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
        order = [one.machine.id for one in self.desk.standing.worst_first]
        if self._cursor not in order:
            self._cursor = order[0] if order else ""

    def _move(self, step: int) -> None:
        order = [one.machine.id for one in self.desk.standing.worst_first]
        if order:
            at = order.index(self._cursor) + step
            self._cursor = order[min(max(at, 0), len(order) - 1)]

    def _columns(self) -> int:
        machines = len(self.desk.standing.machines)
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
        from shopboard.board.screens.machine import MachineScreen

        if self._cursor:
            self.app.push_screen(MachineScreen(self._cursor))

    def do_digit(self, number: int) -> None:
        """Go to the machine with that number and open it."""
        machines = self.desk.shop.machines
        if number <= len(machines):
            self._cursor = machines[number - 1].id
            self.do_open()

    def do_happened(self) -> None:
        """Say what happened to the machine under the cursor."""
        from shopboard.board.screens.happened import HappenedScreen

        machine = self.desk.shop.machines_by_id.get(self._cursor)
        if machine is not None:
            self.app.push_screen(HappenedScreen(machine))

    def do_tasks(self) -> None:
        """Show the tasks of the whole shop."""
        from shopboard.board.screens.tasks import TasksScreen

        self.app.push_screen(TasksScreen())

    def do_quit(self) -> None:
        """Leave the board."""
        self.app.exit(return_code=0)

    def do_round(self) -> None:
        """Show the safety rounds."""
        from shopboard.board.screens.rounds import RoundsScreen

        self.app.push_screen(RoundsScreen())

    def do_glue_up(self) -> None:
        """Ask before a glue-up: choose a project, where there are several, and a joint."""
        from shopboard.board.screens.projects import show_projects

        show_projects(self)

    def pressed(self, event: events.Key) -> None:
        """Do what the key is declared for; a minus too many on the way back here does nothing."""
        last, at, _ = self.board.last_key
        soon = self.board.monotonic() - at < ON_THE_WAY_BACK
        if not (soon and last in MINUS and event.key in MINUS):
            super().pressed(event)

    def do_prep(self) -> None:
        """Show the prep day."""
        from shopboard.board.screens.prep import PrepScreen

        self.app.push_screen(PrepScreen())

    def do_problems(self) -> None:
        """Show what is wrong in the shop file."""
        from shopboard.board.screens.problems import ProblemsScreen

        if self.desk.problems or self.desk.warnings or rename_hints(self):
            self.app.push_screen(ProblemsScreen())
        else:
            self.say("Nothing is wrong in the shop file.")

    def do_look_back(self) -> None:
        """Ask for a past day."""
        from shopboard.board.screens.look_back import LookBackScreen

        self.app.push_screen(LookBackScreen())

    def do_retired(self) -> None:
        """Show what is no longer in the shop file."""
        from shopboard.board.screens.retired import RetiredScreen

        try:
            retired = self.desk.retired()
        except JournalError as error:
            self.say(f"{error.title} {error.advice}", "out")
            return
        if retired:
            self.app.push_screen(RetiredScreen())
        else:
            self.say("Nothing is on record under a name that is not in the shop file.")

    def do_reload(self) -> None:
        """Read the shop file again."""
        self.board.look_again()
        if not self.desk.problems:
            self.say("The shop file is read.")


def _prep_day(screen: ShopScreen) -> str:
    """Say that a prep day is under way; empty while none is, or it cannot be read."""
    try:
        if not screen.desk.journal.recent("prep", "", "", 1, include_void=False):
            return ""  # none ever was: the first picture need not import what reads it
        from shopboard.prep.begun_day import day_under_way

        day_begun = day_under_way(screen.desk.journal)
    except JournalError:
        return ""  # the next look says so
    if day_begun is None:
        return ""
    return f"n: go on with the prep day, begun {ago(day_begun.when, screen.desk.now())}."


def rename_hints(screen: ShopScreen) -> tuple[Hint, ...]:
    """Give the hints at names that changed; none while the journal cannot be read."""
    try:
        return screen.desk.hints()
    except JournalError:
        return ()  # the next look says so


def _newly_renamed(screen: ShopScreen) -> str:
    """Ask whether a name changed, as long as the new one has no records of its own."""
    hints = rename_hints(screen)
    desk = screen.desk
    return next((one.problem.sentence for one in hints if not desk.has_results(one.retired)), "")


def _has(screen: ShopScreen, key: Key) -> bool:
    """Tell whether a key does on this screen what it does on the board."""
    return any(one.action == key.action for one in screen.keys)


_WAY_BACK = "`shopboard restore` puts a copy back, `shopboard salvage` saves what is left."


def board_notice(screen: ShopScreen) -> Line:
    """Give the most pressing sentence about the whole shop.

    It names a key only where that key does it on the screen.
    """
    desk = screen.desk
    if desk.problems:
        errors = [each for each in desk.problems if each.severity == "error"] or desk.problems
        one, files = errors[0], {each.file for each in errors}
        file = one.file if len(files) == 1 and one.file else "the shop file"
        words = f"{len(errors)} to mend in {file}; the last good one is shown. "
        words += f"Line {one.line}{f' of {one.file}' if len(files) > 1 and one.file else ''}"
        words = f"{words}: {one.what}"
        return ((f" ! {'p: ' if _has(screen, PROBLEMS) else ''}{said(words)}", "out"),)
    differs = desk.journal_differs
    if differs is not None:
        key = "0: " if _has(screen, RESUME) else ""
        return ((f" ! {key}This journal {said(differs.what)}.", "out"),)
    refusal = desk.journal.refusal
    if refusal is not None:
        return ((f" ! Nothing can be recorded. {said(refusal.title)}", "out"),)
    damage = desk.journal.damage
    if damage is not None:
        words = f"{damage.says} {_WAY_BACK}"
        return ((f" ! {said(words[0].upper() + words[1:])}", "out"),)
    if desk.unreadable:
        results = "1 result is" if desk.unreadable == 1 else f"{desk.unreadable} results are"
        words = f"{results} of a newer shopboard; this one cannot show what was found."
        return ((f" ! {words}", "out"),)
    if desk.clock_is_wrong:
        clock = desk.clock()
        return ((f" ! The clock looks wrong: {day(clock)}. `shopboard clock` says more.", "out"),)
    waiting = list(desk.waiting.items())
    go_on = "0: go on with" if _has(screen, RESUME) else UNDER_WAY
    if waiting:
        name, entry = waiting[0]
        begun = ago(entry.when, desk.now())
        about = said(desk.shop.points[name].name)
        others = f", and {len(waiting) - 1} more" if len(waiting) > 1 else ""
        return ((f" {go_on} {about}, begun {begun}{others}.", "due"),)
    under_way = desk.task_under_way()
    if under_way is not None:
        words = next((one.words for one in desk.waits()), "")
        name = said(under_way[1].task.name)
        return ((f" {go_on} {name}{f'. {said(words)}' if words else ''}.", "due"),)
    left = desk.standing.round_left(desk.now())
    if left is not None:
        about = said(left) if left else "the shop"
        go_on = f"{ROUND.label}: go on with" if _has(screen, ROUND) else UNDER_WAY
        return ((f" {go_on} the safety round of {about}.", "due"),)
    about_round = desk.standing.round
    rounds = f"Safety round of the shop: {said(round_words(about_round, desk.now()))}."
    if about_round is not None and about_round.wrong:
        return ((f" ! {rounds}", "out"),)
    copying = screen.board.copying
    if copying is not None and copying.words:
        return ((f" ! {said(copying.words)}", "out"),)
    renamed = _newly_renamed(screen)
    if renamed:
        return ((f" {'p: ' if _has(screen, PROBLEMS) else ''}{said(renamed)}", "due"),)
    due = desk.standing.next_due
    words = f"Next due: {said(due.point.name)}, {day(due.due_on)}." if due and due.due_on else ""
    both = f" {words}   {rounds}" if about_round is not None else f" {words}"
    words = both if len(both) < screen.size.width or not words else f" {words}"
    return ((words, "dim"),) if words.strip() else ()
