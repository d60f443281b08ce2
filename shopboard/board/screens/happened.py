"""What happened to a machine: it makes due what it undoes; the newest can be taken back."""

from __future__ import annotations

from typing import ClassVar

from shopboard.board.happened_view import happened_lines
from shopboard.board.keys import BACK, CHOOSE, DOWN, HELP, MORE, TAKE_BACK, UP, Key
from shopboard.board.nines import line_of, next_nine
from shopboard.board.paint import Line
from shopboard.board.screens.steady import SteadyScreen
from shopboard.dates import ago
from shopboard.journal import Entry, JournalError
from shopboard.past import counted_since, newest_happenings, record_happening
from shopboard.shop.model import NOTE, USES, Machine
from shopboard.upkeep.undone import undone_through
from shopboard.upkeep.uses import named_first, use_words


class HappenedScreen(SteadyScreen):
    """A list: a digit chooses, the same digit again records; a use asks how much."""

    keys: ClassVar[tuple[Key, ...]] = (CHOOSE, MORE, UP, DOWN, TAKE_BACK, BACK, HELP)

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine
        self._cursor = 0
        self._chosen: str | None = None
        """What is recorded, or the uid of what is taken back, when it is chosen once more."""
        self._listed: tuple[str, ...] = ()

    def heading(self) -> str:
        """Name the machine."""
        return f"{self._machine.name}: what happened?"

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine.id)

    def _newest(self, limit: int) -> list[Entry]:
        return newest_happenings(self.desk.journal, self._machine.id, limit)

    def body(self, width: int, room: int) -> list[Line]:
        """List what can have happened, what each undoes, and what is on record."""
        desk = self.desk
        self._listed = self._listed or named_first(desk.shop, self._machine)
        entries = self._newest(max(room - len(self._listed) - 2, 3))
        size = (width, room)
        return happened_lines(
            desk.shop, self._machine, self._listed, self._cursor, entries, desk.now(), size
        )

    def on_screen_resume(self) -> None:
        """Draw anew; what was chosen before must be chosen anew."""
        self._chosen = None
        super().on_screen_resume()

    def do_up(self) -> None:
        """Move to the line above."""
        self._move(self._cursor - 1)

    def do_down(self) -> None:
        """Move to the line below."""
        self._move(self._cursor + 1)

    def _move(self, line: int) -> None:
        self._cursor = min(max(line, 0), len(self._listed) - 1)
        self._chosen = None

    def do_more(self) -> None:
        """Give the digits to the next nine lines."""
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
        if what in USES or what == NOTE:
            self._ask(what)
        elif before != what:
            self._chosen = what
            self.say(f"{what}: press {key} once more to record it.")
        elif self._record(what):
            self.board.go_back_saying(f"Recorded: {what}.{self._to_check(what)}")

    def _to_check(self, what: str) -> str:
        """Say how many points are to be checked again because of it, and which one first."""
        shop, undone = self.desk.shop, undone_through(self.desk.shop, self._machine, what)
        due = [name for name in self.desk.standing.order if name in undone]
        return f" To check again: {len(due)}, first {shop.points[due[0]].name}." if due else ""

    def _ask(self, what: str) -> None:
        from shopboard.board.screens.ask import WORDS, AskScreen, amount_of

        machine, heading = self._machine.id, f"{self._machine.name}: {what}"
        if what == NOTE:
            screen = AskScreen(machine, heading, WORDS, lambda one: self._noted(str(one)))
        else:
            asked = amount_of(what, self.desk.shop.unit)
            screen = AskScreen(machine, heading, asked, lambda one: self._used(what, float(one)))
        self.app.push_screen(screen)

    def _used(self, what: str, amount: float) -> None:
        if self._record(what, amount):
            self._go_back_past_the_list(
                f"Recorded: {what}, {use_words(what, amount, self.desk.shop.unit)}."
            )

    def _noted(self, words: str) -> None:
        if self._record(NOTE, note=words):
            self._go_back_past_the_list("Recorded: a note.")

    def _go_back_past_the_list(self, words: str) -> None:
        self.app.pop_screen()
        self.board.go_back_saying(words)

    def _record(self, what: str, amount: float | None = None, note: str = "") -> bool:
        """Record it; False when it cannot be, which the screen on top says."""
        try:
            shop = self.desk.shop
            record_happening(self.desk.journal, self._machine.id, what, amount, note, shop=shop)
        except JournalError as error:
            screen = self.app.screen
            (screen if isinstance(screen, SteadyScreen) else self).say_error(error)
            return False
        self.take_in()
        return True

    def do_take_back(self) -> None:
        """Void the newest happening; asks once."""
        newest = self._newest(1)
        if not newest:
            self.refuse("nothing is on record to take back")
            return
        entry = newest[0]
        counted = counted_since(self.desk.journal, entry)
        if counted:
            self.refuse(f"{entry.point} is counted in {counted}, done since: take that back first")
            return
        if self._chosen != entry.uid:
            self._chosen = entry.uid
            self.say(f"Take back: {entry.point}, {ago(entry.when, self.desk.now())}? v once more.")
            return
        from shopboard.upkeep.cutter_acts import ActError
        from shopboard.upkeep.cutter_journal import take_back

        try:
            take_back(entry, "recorded by mistake", self.desk.journal)
        except ActError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self._chosen = None
        self.take_in()
        self.say("Taken back, and kept in the journal as void.")
