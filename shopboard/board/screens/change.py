"""A change of cutter under way: one step a screen, each on disk before the next."""

from __future__ import annotations

from typing import ClassVar

from textual import events

from shopboard.board import doors
from shopboard.board.check_view import step_lines
from shopboard.board.keys import BACK, BACK_STEP, GIVE_UP, GO_ON, HELP, LEAVE_CHANGE, Key
from shopboard.board.paint import Line, said, wrap
from shopboard.board.screens.steady import SteadyScreen
from shopboard.checks.steps import AnswerError, Choice
from shopboard.journal import JournalError
from shopboard.shop.machine import Point
from shopboard.sittings.cutter_change import CutterSitting
from shopboard.upkeep.cutters import change_words
from shopboard.upkeep.undone import below, first_of, to_check, undone_at


class ChangeScreen(SteadyScreen):
    """Asks the steps of a change; at its end, offers the first check that it made due."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK_STEP, LEAVE_CHANGE, GIVE_UP, HELP)

    def __init__(self, change: CutterSitting) -> None:
        super().__init__()
        self._change = change
        self._giving_up = False

    def heading(self) -> str:
        """Name the machine and what is under way."""
        job = self._change.job
        machine = self.open_shop.shop.machines_by_id.get(job.machine_id)
        return f"{machine.name if machine else job.machine_id} · {change_words(job.kind)}"

    def keys_now(self) -> tuple[Key, ...]:
        """Show no way back into a change that is recorded, nor out of it."""
        return (GO_ON, BACK, HELP) if self._change.step is None else self.keys

    def tagged(self) -> str:
        """Say why the machine is not to be used."""
        return self.tag_of(self._change.job.machine_id)

    def body(self, width: int, room: int) -> list[Line]:
        """Draw the step, or what was recorded."""
        step = self._change.step
        if step is None:
            self.shows("recorded")
            return self._recorded(width)[:room]
        self.shows((len(self._change.walk.answered), step.key))
        return step_lines(step, self._change.walk.answered, None, "", (width, room))

    def _undone(self) -> list[Point]:
        return undone_at(self.open_shop.shop, self._change.job.machine_id, self._change.happened)

    def _to_check(self) -> list[str]:
        return to_check(self.open_shop.shop, self._change.job.machine_id, self._change.happened)

    def _first(self) -> Point | None:
        return first_of(self._undone(), self.open_shop.shop.points)

    def _recorded(self, width: int) -> list[Line]:
        """Say what was recorded, what it made due, and what to check first."""
        points, first = self._undone(), self._first()
        name, every = said(first.name) if first else "", self.open_shop.shop.points
        carries = first and any(first.full_name in below(point, every) for point in points)
        words = [
            f"Recorded: {self._change.happened}.",
            said(f"To check: {', '.join(self._to_check())}."),
            f"First: {name}{', which others of them rest on' if carries else ''}.",
        ]
        lines: list[Line] = [()]
        for number, sentence in enumerate(words):
            style = "" if number else "bold"
            lines += [((f"  {text}", style),) for text in wrap(sentence, width - 4, 4)]
        lines.append(())
        nexts = (f"check {name} now (or Enter)", "later: the board shows it")
        for number, label in enumerate(nexts, 1):
            lines.append(((f"  {number} ", "key"), (f" {label}", "bold")))
        return lines

    def pressed(self, event: events.Key) -> None:
        """Forget what was to be confirmed when another key comes."""
        if event.key not in GIVE_UP.names:
            self._giving_up = False
        super().pressed(event)

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._giving_up = False

    def do_go_on(self) -> None:
        """Take the answer that Enter alone means."""
        step = self._change.step
        if self.is_hasty():
            return
        if step is None:
            self._next(1)
        elif isinstance(step, Choice) and step.default is None:
            self.refuse("press the number of your answer")
        else:
            self._answer("")

    def do_digit(self, number: int) -> None:
        """Choose an answer, or at the end what comes next."""
        if self.is_hasty():
            return
        if self._change.step is None:
            self._next(number)
        elif isinstance(self._change.step, Choice):
            self._answer(str(number))

    def _answer(self, text: str) -> None:
        if isinstance(self._change.step, Choice):
            self.takes_choice()
        try:
            self._change.answer(text)
            if self._change.step is None:
                self.board.look_again()
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)
        else:
            if self._change.step is None and self._first() is None:
                self.board.go_back_saying("The change is recorded.")

    def _next(self, number: int) -> None:
        """Open the first check, or go back."""
        first = self._first()
        if number == 1 and first is not None:
            screen = doors.PointScreen(first.full_name)
            self.app.pop_screen()
            self.app.push_screen(screen)
            screen.call_after_refresh(screen.choose, 1)
        elif number == 2:
            self.board.go_back_saying("The change is recorded.")
        else:
            self.refuse("there is no such line")

    def take_choice_back(self) -> bool:
        """Go back to the choice that two keys at once answered."""
        if self._change.step is None:
            return False
        self.do_back()
        return True

    def do_back(self) -> None:
        """Go back one step."""
        if self._change.step is None:
            self.board.go_back_saying("The change is recorded.")
            return
        try:
            self._change.back()
        except AnswerError as error:
            self.refuse(str(error))
        except JournalError as error:
            self.say_error(error)

    def do_leave(self) -> None:
        """Leave the change; it can be gone on with."""
        if self._change.step is None:
            self.board.go_back_saying("The change is recorded.")
        elif self._change.is_open:
            self.board.go_back_saying("The change waits: 0 on the list of cutters goes on with it.")
        else:
            self.app.pop_screen()

    def do_give_up(self) -> None:
        """Give the change up; the first time, ask."""
        if self._change.step is None:
            self.refuse("it is recorded; v on the cutter's screen takes it back")
            return
        if not self._giving_up:
            self._giving_up = True
            words = "Is everything on the machine as it was? g once more gives the change up."
            self.ask_once_more(words)
            return
        try:
            self._change.give_up()
        except JournalError as error:
            self.say_error(error)
            return
        self.board.go_back_saying("Given up: nothing is recorded as changed.")
