"""Tasks of a machine or of the whole shop: a digit twice marks one done, or opens its steps."""

from __future__ import annotations

from datetime import datetime
from typing import ClassVar

from shopboard.base.dates import ago, day
from shopboard.board import doors
from shopboard.board.keys import (
    BACK,
    CHOOSE,
    CUTTERS,
    DOWN,
    HELP,
    MORE,
    SAID_LATER,
    TAKE_BACK,
    UP,
    Key,
)
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.notice import board_notice
from shopboard.board.paint import Line
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.tasks_view import TaskRow, task_rows, tasks_lines
from shopboard.upkeep.task_marks import record_task, take_back_task
from shopboard.upkeep.tasks import done_since


class TasksScreen(SteadyScreen):
    """A list with a cursor."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(CHOOSE, MORE, UP, DOWN, SAID_LATER, CUTTERS, TAKE_BACK, BACK, HELP),
    )

    def __init__(self, machine_id: str = "", at: int = 0) -> None:
        """List tasks.

        Args:
            machine_id: of one machine; empty: of the whole shop.
            at: number of the line that the cursor begins on.
        """
        super().__init__()
        self._cursor = at
        self._machine_id = machine_id
        self._places: dict[tuple[str, str], int] = {}
        """Where each task stood when the list was opened: a number keeps its meaning."""
        self._chosen: tuple[str, str, str] | None = None
        """What is done, and to which task, when it is chosen once more."""
        self._not_done: tuple[str, str, str] | None = None
        """What was chosen twice already, and met an error: the same key alone tries it again."""

    def heading(self) -> str:
        """Name the machine, or the shop."""
        one = self.open_shop.standing.of_machine(self._machine_id)
        return f"{one.machine.name if one else self.open_shop.shop.name}: tasks"

    @property
    def _rows(self) -> list[TaskRow]:
        standing = self.open_shop.standing
        one = standing.of_machine(self._machine_id)
        if self._machine_id and one is None:
            return []
        rows = task_rows(standing.machines if one is None else (one,))
        for row in rows:
            self._places.setdefault((row.machine, row.standing.task.id), len(self._places))
        return sorted(rows, key=lambda row: self._places[row.machine, row.standing.task.id])

    def machine_here(self) -> str:
        """It is that of the list; of the shop's, that of the task under the cursor."""
        rows = self._rows
        here = rows[self._cursor].machine if self._cursor < len(rows) else ""
        return self._machine_id or here

    def tagged(self) -> str:
        """Say why its machine is not to be used."""
        return self.tag_of(self._machine_id)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the list."""
        rows = self._rows
        self._cursor = min(self._cursor, max(len(rows) - 1, 0))
        waits = {(one.machine, one.standing.task.id): one.words for one in self.open_shop.waits()}
        return tasks_lines(rows, self._cursor, waits, (width, room))

    def standing_notice(self) -> Line:
        """Say what the board would say."""
        return board_notice(self)

    def on_screen_resume(self) -> None:
        """Draw anew; what was chosen before must be chosen anew."""
        self._chosen = self._not_done = None

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = None

    def do_up(self) -> None:
        """Move to the task above."""
        self._cursor, self._chosen = max(0, self._cursor - 1), None

    def do_down(self) -> None:
        """Move to the task below."""
        self._cursor, self._chosen = self._cursor + 1, None

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for more tasks only where there are more, and v where a mark stands."""
        rows = self._rows
        marked = rows and rows[min(self._cursor, len(rows) - 1)].standing.done is not None
        keys = without_more(self.keys, len(rows))
        return keys if marked else tuple(key for key in keys if key.action != "take_back")

    def do_more(self) -> None:
        """Give the digits to the next nine tasks."""
        self._cursor, self._chosen = next_nine(self._cursor, len(self._rows)), None

    def do_digit(self, number: int) -> None:
        """Choose the task with that number; the second time, mark it done."""
        self._choose(line_of(number, self._cursor), str(number))

    def do_choose(self) -> None:
        """Choose the task under the cursor; the second time, mark it done."""
        self._choose(self._cursor, "Enter")

    def _choose(self, line: int, key: str) -> None:
        rows = self._rows
        if line >= len(rows):
            self.refuse("there is no such line")
            return
        self._cursor, row = line, rows[line]
        task = row.standing.task
        if task.steps or task.cutter_near:
            self._chosen = None
            from shopboard.board.ways_in import open_task

            open_task(self, row.machine, row.standing)
            return
        chosen = ("done", row.machine, task.id)
        again = self._not_done == chosen
        self._not_done = None
        if self._chosen != chosen and not again:
            self._chosen = chosen
            self.ask_once_more(f"{task.name}: press {key} once more when it is done.")
            return
        self._chosen = None
        if not self._done(row, None):
            self._not_done = chosen

    def _done(self, row: TaskRow, on: datetime | None) -> bool:
        """Record that a task was done; tell whether it is on record."""
        task = row.standing.task
        if not self.recorded(
            ("done", row.machine, task.id, on and on.date()),
            lambda uid: record_task(self.open_shop.journal, row.machine, task.id, on=on, uid=uid),
        ):
            return False
        self.take_in()
        self.say(f"Done{f' on {day(on)}' if on else ''} and recorded: {task.name}.")
        return True

    def do_said_later(self) -> None:
        """Ask for the day on which the task under the cursor was done, then record it."""
        from shopboard.board.questions import day_until

        rows = self._rows
        if not rows:
            self.refuse("no task is listed here")
            return
        row = rows[self._cursor]

        def take(on: object) -> None:
            later = done_since(row.standing.done, on) if isinstance(on, datetime) else ""
            self.app.pop_screen()
            if later:
                self.refuse(f"{row.standing.task.name}: {later}")
            else:
                self._done(row, on if isinstance(on, datetime) else None)

        heading = f"{row.name}: done"
        asked = day_until(self.open_shop.now())
        self.app.push_screen(doors.AskScreen(row.machine, heading, asked, take))

    def do_cutters(self) -> None:
        """Show the cutters of this machine; on the shop's list, of that under the cursor."""
        from shopboard.board.ways_in import show_cutters

        rows = self._rows
        here = self._machine_id or (rows[self._cursor].machine if rows else "")
        if here:
            show_cutters(self, here)
        else:
            self.refuse("no machine is listed here")

    def do_take_back(self) -> None:
        """Void the newest mark of the task under the cursor; asks once."""
        rows = self._rows
        done = rows[self._cursor].standing.done if rows else None
        if done is None:
            self.refuse("there is no mark to withdraw")
            return
        row = rows[self._cursor]
        task, chosen = row.standing.task, ("take back", row.machine, row.standing.task.id)
        if self._chosen != chosen:
            self._chosen = chosen
            when = ago(done.when, self.open_shop.now())
            self.ask_once_more(f"Withdraw that {task.name} was done {when}? / or v once more.")
            return
        self._chosen = None
        journal, why = self.open_shop.journal, "recorded by mistake"
        if not self.recorded(
            (*chosen, done.seq),  # a try that is made again takes back no other mark
            lambda uid: take_back_task(journal, row.machine, task.id, why, uid),
        ):
            return
        self.take_in()
        self.say("Withdrawn; it stays on record.")
