"""What happened to a machine: it makes due what it undoes; the newest can be withdrawn."""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime
from functools import partial
from typing import ClassVar

from textual import events

from shopboard.base.dates import ago, day
from shopboard.base.text import counted
from shopboard.board import doors
from shopboard.board.happened_view import happened_lines
from shopboard.board.keys import (
    BACK,
    CHOOSE,
    DOWN,
    HELP,
    MORE,
    SAID_LATER,
    TAKE_ONE_BACK,
    UP,
    Key,
)
from shopboard.board.nines import line_of, next_nine, without_more
from shopboard.board.paint import Line
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.steady import SteadyScreen
from shopboard.board.to_come import to_come
from shopboard.journal import Entry, JournalError, kinds
from shopboard.prep.needs_words import date_words
from shopboard.shop.machine import NOTE, PROJECT_FINISHED, TURNED, USES, Machine
from shopboard.shop.project import Project
from shopboard.upkeep.happenings import leaves_cutter_open, newest_happenings, record_happening
from shopboard.upkeep.ran_on import can_run, ran_on
from shopboard.upkeep.undone import undone_through
from shopboard.upkeep.uses import named_first, use_words

_LOOKED_AT = 60
"""Entries among which one can be chosen to be withdrawn."""


class HappenedScreen(SteadyScreen):
    """A list: a digit chooses, the same digit again records; a use asks how much."""

    keys: ClassVar[tuple[Key, ...]] = (
        *(CHOOSE, MORE, UP, DOWN, SAID_LATER, TAKE_ONE_BACK, BACK, HELP),
    )

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine
        self._chosen: str | None = None
        """What is recorded when it is chosen once more."""
        self._failed = ""
        """What was chosen twice already, and met an error: the same key alone tries it again."""
        self._taking = -1
        """Number of the entry that is withdrawn when that is said once more; below 0: none."""
        self._asked_back = ""
        """Its uid."""
        self._listed: tuple[str, ...] = ()

    def heading(self) -> str:
        """Name the machine."""
        return f"{self._machine.name}: what happened?"

    def machine_here(self) -> str:
        """It is the one that it happened to."""
        return self._machine.id

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine.id)

    def _newest(self, limit: int) -> list[Entry]:
        return newest_happenings(self.open_shop.journal, self._machine.id, limit)

    def body(self, width: int, room: int) -> list[Line]:
        """List what can have happened, what each undoes, and what is on record."""
        open_shop = self.open_shop
        self._listed = self._listed or named_first(open_shop.shop, self._machine)
        most = max(room - len(self._listed) - 2, 3)
        entries = self._newest(most if self._taking < 0 else _LOOKED_AT)
        size = (width, room)
        shown = (self._listed, self._cursor, entries)
        return happened_lines(
            open_shop.shop, self._machine, *shown, open_shop.now(), size, self._taking
        )

    def on_screen_resume(self) -> None:
        """Draw anew; what was chosen before must be chosen anew."""
        self._chosen, self._taking, self._failed = None, -1, ""

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen, self._taking = None, -1

    def pressed(self, event: events.Key) -> None:
        """Forget what was to be withdrawn when another key comes."""
        keys = (TAKE_ONE_BACK, UP, DOWN, MORE)
        if self._taking >= 0 and not any(event.key in key.names for key in keys):
            self._taking = -1
            if event.key in BACK.names:
                self.say("Nothing is withdrawn.")
                return
        super().pressed(event)

    def do_up(self) -> None:
        """Move to the line above, or to what was recorded later."""
        self._another(-1) if self._taking >= 0 else self._move(self._cursor - 1)

    def do_down(self) -> None:
        """Move to the line below, or to what was recorded before."""
        self._another(1) if self._taking >= 0 else self._move(self._cursor + 1)

    def _another(self, step: int) -> None:
        """Choose another entry to withdraw."""
        entries = self._newest(_LOOKED_AT)
        self._taking = min(max(self._taking + step, 0), len(entries) - 1)
        self._ask_back(entries[self._taking])

    def _move(self, line: int) -> None:
        self._cursor = min(max(line, 0), len(self._listed) - 1)
        self._chosen = None

    def keys_now(self) -> tuple[Key, ...]:
        """Show the key for more lines where there are more, or older entries to withdraw."""
        return self.keys if self._taking >= 0 else without_more(self.keys, len(self._listed))

    def do_more(self) -> None:
        """Give the digits to the next nine lines; while one is withdrawn, show an older one."""
        if self._taking >= 0:
            self._another(1)
            return
        self._move(next_nine(self._cursor, len(self._listed)))

    def do_digit(self, number: int) -> None:
        """Choose; the second time, record it and go back."""
        self._choose(line_of(number, self._cursor), str(number))

    def do_choose(self) -> None:
        """Choose the line under the cursor; the second time, record it and go back."""
        self._choose(self._cursor, "Enter")

    def _choose(self, line: int, key: str) -> None:
        if line >= len(self._listed):
            self.refuse("there is no such line")
            return
        what = self._listed[line]
        before = self._chosen
        self._move(line)
        if what == PROJECT_FINISHED:
            self._ask_which()
            return
        if what in USES or what == NOTE:
            self._ask(what)
        elif what not in (before, self._failed):
            self._chosen, self._failed = what, ""
            self.ask_once_more(f"{what}: press {key} once more to record it.")
        elif (entry := self._record(what)) is None:
            self._failed = what
        else:
            edges = self._edges(what, entry)
            self.board.go_back_saying(f"Recorded: {what}{edges}.{self._to_check(what)}")

    def _ask_which(self, on: datetime | None = None) -> None:
        """Ask which project was finished, where there are any, then which machines ran."""
        if self.open_shop.shop.projects:
            self.app.push_screen(doors.FinishedScreen(partial(self._ask_ran, on)))
        else:
            self._ask_ran(on, None)

    def _ask_ran(self, on: datetime | None, project: Project | None) -> None:
        try:
            ran = ran_on(self.open_shop.shop, self.open_shop.journal, project)
        except JournalError as error:
            self.say_error(error)
            return
        take = partial(self._finished, on, project)
        self.app.push_screen(doors.RanScreen(ran, take))

    def _finished(
        self, on: datetime | None, project: Project | None, machines: Collection[str] | None
    ) -> None:
        before = to_come(self.open_shop).over.get(project.id) if project is not None else None
        if self._record(PROJECT_FINISHED, on=on, project=project, machines=machines):
            name = f", {project.name}" if project is not None else ""
            name += f", again (before: {date_words(before)})" if before is not None else ""
            if machines is not None:
                of = counted(len(can_run(self.open_shop.shop)), "machine")
                name += f", for {len(machines)} of {of}"
            when = f", of {day(on)}" if on is not None else ""
            words = f"Recorded: {PROJECT_FINISHED}{name}{when}.{self._to_check(PROJECT_FINISHED)}"
            self._go_back_past_the_list(words)

    def _edges(self, what: str, entry: Entry) -> str:
        """Say which edge the knives show now, where they were turned."""
        if what != TURNED:
            return ""
        from shopboard.upkeep.cutter_turned import edge_words_of

        return edge_words_of(entry, self.open_shop.shop, self.open_shop.journal)

    def _to_check(self, what: str) -> str:
        """Say how many points are to be checked again because of it, which first, what is open."""
        shop, undone = self.open_shop.shop, undone_through(self.open_shop.shop, self._machine, what)
        due = [name for name in self.open_shop.standing.order if name in undone]
        again = f" To check again: {len(due)}, first {shop.points[due[0]].name}." if due else ""
        which = " Which one is on now: c." if leaves_cutter_open(self._machine, what) else ""
        return again + which

    def do_said_later(self) -> None:
        """Ask for the day, then record the line under the cursor."""
        from shopboard.board.questions import day_until

        what, now = self._listed[self._cursor], self.open_shop.now()
        heading = f"{self._machine.name}: {what}"
        take = partial(self._on_that_day, what)
        self.app.push_screen(doors.AskScreen(self._machine.id, heading, day_until(now), take))

    def _on_that_day(self, what: str, on: object) -> None:
        if not isinstance(on, datetime):
            return
        if what in USES or what == NOTE:
            self.app.pop_screen()
            self._ask(what, on)
        elif what == PROJECT_FINISHED:
            self.app.pop_screen()
            self._ask_which(on)
        elif entry := self._record(what, on=on):
            when = f"{day(on)}{self._edges(what, entry)}"
            self._go_back_past_the_list(f"Recorded: {what}, of {when}.{self._to_check(what)}")

    def _ask(self, what: str, on: datetime | None = None) -> None:
        from shopboard.board.questions import WORDS, amount_of

        machine, heading = self._machine.id, f"{self._machine.name}: {what}"
        heading += f", {day(on)}" if on is not None else ""
        asked = WORDS if what == NOTE else amount_of(what, self.open_shop.shop.unit)
        take = partial(self._told, what, on)
        self.app.push_screen(doors.AskScreen(machine, heading, asked, take))

    def _told(self, what: str, on: datetime | None, told: object) -> None:
        """Record an amount or words."""
        if what == NOTE:
            if self._record(NOTE, note=str(told), on=on):
                self._go_back_past_the_list("Recorded: a note.")
        elif isinstance(told, float) and self._record(what, told, on=on):
            words = use_words(what, told, self.open_shop.shop.unit)
            self._go_back_past_the_list(f"Recorded: {what}, {words}.")

    def _go_back_past_the_list(self, words: str) -> None:
        while self.app.screen is not self:
            self.app.pop_screen()
        self.board.go_back_saying(words)

    def _record(
        self,
        what: str,
        amount: float | None = None,
        note: str = "",
        on: datetime | None = None,
        project: Project | None = None,
        machines: Collection[str] | None = None,
    ) -> Entry | None:
        """Record it; None when it cannot be, which the screen on top says."""
        journal, shop = self.open_shop.journal, self.open_shop.shop
        which = (project, machines and tuple(machines))
        try:
            entry = self.once(
                ("happened", self._machine.id, what, amount, note, on and on.date(), which),
                lambda uid: record_happening(
                    *(journal, self._machine.id, what, amount, note),
                    shop=shop,
                    on=on,
                    uid=uid,
                    project=project,
                    machines=machines,
                ),
            )
        except JournalError as error:
            screen = self.app.screen
            (screen if isinstance(screen, ShopScreen) else self).say_error(error)
            return None
        self.take_in()
        return entry

    def do_take_back(self) -> None:
        """Void the newest happening, or an older one that was chosen; asks once."""
        entries = self._newest(_LOOKED_AT)
        if not entries:
            self.refuse("there is nothing to withdraw")
            return
        if self._taking < 0:
            self._chosen, self._taking = None, 0
            self._ask_back(entries[0])
            return
        entry = entries[min(self._taking, len(entries) - 1)]
        if entry.uid != self._asked_back:  # another program has recorded something meanwhile
            self._ask_back(entry)
            return
        from shopboard.upkeep.cutter_acts import ActError
        from shopboard.upkeep.cutter_journal import take_back

        self._taking = -1
        try:
            take_back(entry, "recorded by mistake", self.open_shop.journal)
        except ActError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self.take_in()
        self.say("Withdrawn; it stays on record.")

    def _ask_back(self, entry: Entry) -> None:
        """Ask whether that one is withdrawn: with how much it was."""
        self._asked_back = entry.uid
        what, amount = entry.point, kinds.HAPPENING.read(entry).amount
        if what in USES and amount is not None:
            what += f", {use_words(what, amount, self.open_shop.shop.unit)}"
        when = ago(entry.when, self.open_shop.now())
        self.ask_once_more(f"Withdraw: {what}, {when}? / or v once more. + or ↓: an older one.")
