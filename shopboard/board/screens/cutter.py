"""One cutter: a digit chooses what is done with it, the same digit again records it."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from shopboard.base.dates import ago
from shopboard.board import doors
from shopboard.board.cutter_view import cutter_lines
from shopboard.board.field import FieldSort
from shopboard.board.keys import BACK, CHANGE_ON, EDIT, HELP, RECORD, UNDO_ACT, Key
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.checks.steps import AnswerError, Words
from shopboard.journal import Entry, JournalError
from shopboard.upkeep.cutter_acts import Act, asks, possible, read_cost
from shopboard.upkeep.cutter_journal import (
    act_words,
    history,
    newest_act,
    record_act,
    take_back,
)
from shopboard.upkeep.cutter_words import money
from shopboard.upkeep.cutters import CutterStanding

NOTE = Words(key="note", title="")


class CutterScreen(TypingScreen):
    """What can be done with one cutter, and its record."""

    keys: ClassVar[tuple[Key, ...]] = (RECORD, UNDO_ACT, CHANGE_ON, EDIT, BACK, HELP)

    def __init__(self, machine_id: str, cutter_id: str) -> None:
        super().__init__()
        self._machine_id, self._cutter_id = machine_id, cutter_id
        self._chosen = 0
        self._taking_back = ""
        self._asked: Act | None = None
        self._read: tuple[object, list[Entry]] = (None, [])

    @property
    def _one(self) -> CutterStanding | None:
        machine = self.open_shop.standing.of_machine(self._machine_id)
        here = machine.cutters if machine else ()
        mine = (one for one in here if one.machine == self._machine_id)
        return next((one for one in mine if one.id == self._cutter_id), None)

    def keys_now(self) -> tuple[Key, ...]:
        """Leave out withdrawing where nothing on record stands."""
        one = self._one
        stands = one is not None and any(entry.void is None for entry in self._history(one))
        return self.keys if stands else tuple(key for key in self.keys if key is not UNDO_ACT)

    def heading(self) -> str:
        """Name machine and cutter."""
        one, machine = self._one, self.open_shop.shop.machines_by_id.get(self._machine_id)
        if one is None or machine is None:
            return "no longer in the shop file"
        return f"{machine.name} · {one.cutter.name}"

    def machine_here(self) -> str:
        """It is the one of the cutter."""
        return self._machine_id

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._machine_id)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the cutter."""
        one = self._one
        if one is None:
            return [(("  This cutter is no longer in the shop file.", ""),)]
        acts = [act.words for act in possible(one)]
        field = (self._question(one), self._entry) if self._asked else None
        lines = cutter_lines(one, acts, self._chosen, field, self._history(one), (width, room))
        machine = self.open_shop.standing.of_machine(self._machine_id)
        if machine is None or machine.changing is None:
            return lines
        words = f"  {machine.changing.what.upper()} IN PROGRESS: 0 goes on with it"
        return [((words, "danger"),), *lines[: room - 1]]

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen, self._taking_back = 0, ""

    def do_edit(self) -> None:
        """Change what the shop file says of it."""
        name = f"{self._machine_id}.{self._cutter_id}"
        self.app.push_screen(doors.EditScreen("cutter", name))

    def do_resume(self) -> None:
        """Go on with the change that is under way."""
        from shopboard.board.ways_in import go_on_changing

        go_on_changing(self, self._machine_id)

    def _question(self, one: CutterStanding) -> str:
        if self._asked is not None and self._asked.asks == "words":
            return "A note, in a few words:"
        unit = one.cutter.money
        known = "not told" if one.cost is None else f"{money(one.cost, unit)}, as before"
        return f"What did it cost{f', in {unit}' if unit else ''}? Enter alone: {known}."

    def _history(self, one: CutterStanding) -> list[Entry]:
        """Read the record, once until anything is recorded."""
        if self._read[0] is not self.open_shop.standing:
            self._read = (self.open_shop.standing, history(one, self.open_shop.journal, 60))
        return self._read[1]

    @property
    def field(self) -> FieldSort | None:
        """What the act asks for."""
        asked = self._asked
        return None if asked is None else "words" if asked.asks == "words" else "decimal"

    def pressed(self, event: events.Key) -> None:
        """Forget what was to be withdrawn at any other key."""
        if self._asked is not None or event.key not in UNDO_ACT.names:
            self._taking_back = ""
        super().pressed(event)

    def do_back(self) -> None:
        """Leave the field, or go back one screen."""
        if self._asked is None:
            super().do_back()
        self._asked, self._chosen = None, 0
        self.clear_field()

    def do_record(self) -> None:
        """Record what is typed, or the act that is chosen."""
        one = self._one
        if self._asked is not None and one is not None:
            self._told(one, self._asked)
        elif self._chosen:
            self.do_digit(self._chosen)
        else:
            self.refuse("press the number of what was done")

    def _told(self, one: CutterStanding, act: Act) -> None:
        """Take what is typed into the field."""
        cost, note = None, ""
        try:
            if act.asks == "words":
                note = NOTE.accept(self._entry)
            elif self._entry.strip():
                cost = read_cost(self._entry)
        except AnswerError as error:
            self._refused = True
            self.refuse(str(error))
            return
        if act.asks == "cost" and cost is None:
            cost = one.cost
        self._record(one, act, cost, note)

    def do_digit(self, number: int) -> None:
        """Choose; the second time, do it."""
        one = self._one
        acts = possible(one) if one else []
        if one is None or number > len(acts):
            self.refuse("there is no such line")
            return
        act = acts[number - 1]
        asked = asks(one, act)
        if asked == "change":
            self._change(one, act)
        elif asked:
            self._asked, self._chosen = act, 0
            self.clear_field()
        elif self._chosen != number:
            self._chosen = number
            self.ask_once_more(f"{act.words}: press {number} once more to record it.")
        else:
            self._record(one, act)

    def _record(
        self, one: CutterStanding, act: Act, cost: float | None = None, note: str = ""
    ) -> None:
        if not self.recorded(
            ("cutter", one.machine, one.id, act.name, cost, note),
            lambda uid: record_act(
                one, act.name, self.open_shop.now(), self.open_shop.journal, cost, note, uid
            ),
        ):
            return
        self._asked, self._chosen = None, 0
        self.clear_field()
        self.board.look_again()
        self.say(f"Recorded: {act.words}.")

    def _change(self, one: CutterStanding, act: Act) -> None:
        """Begin what is done step by step at the machine."""
        from shopboard.board.ways_in import begin_changing

        self._chosen = 0
        begin_changing(self, one, act.name)

    def do_take_back(self) -> None:
        """Void the newest record; the first time, say which."""
        one = self._one
        newest = newest_act(one, self.open_shop.journal) if one else None
        if newest is None:
            self.refuse("there is nothing to withdraw")
            return
        if self._taking_back != newest.uid:
            self._taking_back = newest.uid
            when = ago(newest.when, self.open_shop.now())
            self.ask_once_more(f"/ or v once more withdraws: {act_words(newest)}, {when}.")
            return
        try:
            taken = take_back(newest, "recorded by mistake", self.open_shop.journal)
        except AnswerError as error:
            self.refuse(str(error))
            return
        except JournalError as error:
            self.say_error(error)
            return
        self._taking_back = ""
        self.board.look_again()
        more = f", with {len(taken) - 1} more recorded with it" if len(taken) > 1 else ""
        self.say(f"Withdrawn{more}; it stays on record.")
