"""The tag of a machine: put it up with a reason, clear it with a reason."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from typing import ClassVar

from shopboard.board.asked import asked_lines
from shopboard.board.field import FieldSort, field_lines
from shopboard.board.keys import BACK, GO_ON, HELP, Key
from shopboard.board.paint import Line
from shopboard.board.screens.typing import TypingScreen
from shopboard.board.state_head import tag_head
from shopboard.board.tag_view import choice_lines, past_lines, taken_off, taken_off_lines, those
from shopboard.journal import Entry, JournalError
from shopboard.shop.machine import Machine
from shopboard.upkeep.safety_record import DO_NOT_USE, tag_words
from shopboard.upkeep.standing_tags import in_one, reasons, standing_tags, told_of
from shopboard.upkeep.tags import CLEARED, REASONS, clear_tag, newest_tags, record_tag, why_not_off

_OWN = "in my own words"

_NONE = "I looked: it carries none"

_TOO = "tag it for another reason, too"

_AT_ONCE = 5
"""So many tags are shown, and taken off, at once: the oldest."""


class TagScreen(TypingScreen):
    """A short list of reasons. One key puts the tag up; the same key twice clears it."""

    keys: ClassVar[tuple[Key, ...]] = (GO_ON, BACK, HELP)

    def __init__(self, machine: Machine) -> None:
        super().__init__()
        self._machine = machine
        self._chosen = 0
        self._in_own_words = False
        self._adds = False
        """Whether a tag is put up, also where one stands or came while this was shown."""
        self._shown_tags: tuple[str, ...] = ()
        """Uids of the tags that are shown: a clearing takes off these, and none that came since."""
        self._looked_at: tuple[str, ...] = ()
        """Those that were shown when the clearing was begun."""
        self._found: tuple[list[Entry], list[Entry]] | None = None
        """What is on record, and what stands, as read last; None: it could not be read yet."""

    def _read(self) -> tuple[list[Entry], list[Entry]]:
        """Read what is on record, and what of it stands; while that cannot be, it is as it was."""
        one, journal = self._machine.id, self.open_shop.journal
        with suppress(JournalError):  # the next look says so
            self._found = newest_tags(one, journal), standing_tags(one, journal)
        return self._found or ([], [])

    @property
    def _tag(self) -> str:
        standing = self.open_shop.standing.of_machine(self._machine.id)
        return standing.tag if standing else ""

    @property
    def _may_carry_one(self) -> bool:
        """Whether its tag may be lost, and none is on record."""
        return bool(self._tag) and self._found is not None and not self._found[1]

    @property
    def _why_not(self) -> str:
        """Why this bench takes no tag off; empty: it may."""
        return why_not_off(self.open_shop.shop, self.open_shop.who())

    def heading(self) -> str:
        """Name the machine."""
        if self._may_carry_one:
            return f"{self._machine.name}: does it carry a tag {DO_NOT_USE}?"
        if self._adds and self._tag:
            return f"{self._machine.name}: tag it {DO_NOT_USE}, too?"
        if self._tag and self._why_not:
            return f"{self._machine.name}: tagged {DO_NOT_USE}"
        return f"{self._machine.name}: {'clear its tag' if self._tag else f'tag it {DO_NOT_USE}'}?"

    def body(self, width: int, room: int) -> list[Line]:
        """Show the tag, the reasons, and what is on record."""
        now = self.open_shop.now()
        self._adds |= not self._tag
        past, stand = self._read()
        lines: list[Line] = [()]
        tag, shown = in_one(stand) or self._tag, stand[-_AT_ONCE:]
        self._shown_tags = tuple(one.uid for one in shown)
        if tag:
            lines = [*tag_head(tag, (width, room)), ()]
        if taken := self._taken_off(stand):
            lines += taken_off_lines(taken, width)
        lines += self._what_is_asked(tag, width, room)
        told = [(one.when, bool(tag_words(one)), tag_words(one) or told_of(one)) for one in past]
        sure = self._found is not None and not self._may_carry_one
        lines += [(), *past_lines(told, now, width, sure=sure)]
        return lines[:room]

    def told(self) -> Sequence[str]:
        """Give what a clearing takes off, and what is asked."""
        _, stand = self._found or ([], [])
        return (*self._taken_off(stand), self._asked(in_one(stand) or self._tag))

    def tag_here(self) -> str:
        """Say why it is not to be used."""
        return in_one(self._found[1] if self._found is not None else []) or self._tag

    def _taken_off(self, stand: Sequence[Entry]) -> Sequence[str]:
        """List what a clearing takes off, where that is more than one tag."""
        shown = stand[-_AT_ONCE:]
        if self._adds or not shown[1:]:
            return ()
        return taken_off(reasons(shown), len(stand) - len(shown))

    def _stays_on(self, tag: str) -> bool:
        return bool(tag and self._why_not) and not self._may_carry_one and not self._adds

    def _asked(self, tag: str) -> str:
        """Say what is asked, or why nothing is."""
        if self._stays_on(tag):
            return f"It stays on: {self._why_not}."
        if self._may_carry_one:
            return "Look at the machine. What does its tag say?"
        return "What was fixed?" if tag and not self._adds else "Why is it out of use?"

    def _what_is_asked(self, tag: str, width: int, room: int) -> list[Line]:
        """Show what is asked, with the lines to choose from, or why nothing is."""
        asked = self._asked(tag)
        if self._stays_on(tag):
            lines = asked_lines(asked, (width, room))
            lines.append(((f"  {len(CLEARED) + 2} ", "key"), (f" {_TOO}", "bold")))
        elif self._in_own_words:
            lines = [*asked_lines(asked, (width, room)), ()]
            lines += field_lines(self._entry, "", width)
        else:
            too = _TOO if self._may_add else ""
            lines = choice_lines(asked, self._reasons(), self._chosen, _OWN, (width, room), too)
        return lines

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""
        self._chosen = 0

    def _reasons(self) -> tuple[str, ...]:
        if self._may_carry_one:
            return (_NONE, *REASONS)
        return CLEARED if self._tag and not self._adds else REASONS

    @property
    def _may_add(self) -> bool:
        """Whether one more tag is offered."""
        return bool(self._tag) and not self._may_carry_one and not self._adds

    def on_screen_resume(self) -> None:
        """Draw anew; from here on it can be read."""
        self.shows_anew()

    def do_digit(self, number: int) -> None:
        """Put the tag up; clear it when the same digit comes twice."""
        reasons = self._reasons()
        if self.is_hasty():
            return
        if self._may_add and number == len(reasons) + 2:
            self._adds, self._chosen = True, 0
        elif number > len(reasons) + 1:
            self.refuse("there is no such line")
        elif self._clears(reasons[number - 1] if number <= len(reasons) else "") and self._why_not:
            self.refuse(self._why_not)
        elif self._tag and self._found is None:  # nobody has seen what would be taken off
            self.refuse("the record of its tag cannot be read now")
        elif number == len(reasons) + 1:
            self._in_own_words = True
            self._looked_at = self._shown_tags
            self.clear_field()
        elif self._clears(reasons[number - 1]) and self._chosen != number:
            self._chosen = number
            self._looked_at = self._shown_tags
            done = "keep that" if self._may_carry_one else f"clear {those(len(self._looked_at))}"
            self.ask_once_more(f"{reasons[number - 1]}: press {number} once more to {done}.")
        else:
            self._record(reasons[number - 1])

    def _clears(self, why: str) -> bool:
        """Tell whether these words take a tag off, or say that there is none."""
        return why == _NONE if self._may_carry_one else bool(self._tag) and not self._adds

    def _record(self, why: str) -> None:
        machine, journal = self._machine, self.open_shop.journal
        # One that stands by a try that met an error is put up once more, not cleared, and so back.
        up, off = ("tag", machine.id, True, why), ("tag", machine.id, False, why)
        doubt = self.board.in_doubt
        tagged = doubt.holds(off) or (self._clears(why) and not doubt.holds(up))
        why_not, looked_at = self._why_not, self._looked_at

        def record(uid: str) -> Entry:
            if tagged:
                return clear_tag(machine.id, why, journal, uid, why_not, looked_at)
            return record_tag(machine.id, why, journal, uid)

        if not self.recorded(off if tagged else up, record):
            return
        self.take_in()
        many = len(looked_at)
        cleared = f"{those(many)} {'are' if many > 1 else 'is'}"
        off_words = "it carries no tag" if why == _NONE else f"{cleared} cleared"
        still = f"; it stays {DO_NOT_USE}: {self._tag}" if tagged and self._tag else ""
        self.board.go_back_saying(f"{machine.name}: {off_words if tagged else DO_NOT_USE}{still}.")

    def keys_now(self) -> tuple[Key, ...]:
        """Show no Enter where only the number of a reason goes on."""
        return tuple(key for key in self.keys if self._in_own_words or key is not GO_ON)

    @property
    def field(self) -> FieldSort | None:
        """Words, when none of the reasons will do."""
        return "words" if self._in_own_words else None

    def do_go_on(self) -> None:
        """Take the words that are typed."""
        if not self._in_own_words:
            self.refuse("press the number of a reason")
        else:
            self._record(self._entry)

    def do_back(self) -> None:
        """Leave the field, or the screen."""
        if self._in_own_words:
            self._in_own_words = False
        elif self._adds and self._tag:
            self._adds = False
        else:
            super().do_back()
