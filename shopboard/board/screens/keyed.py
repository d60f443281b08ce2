"""How a screen takes keys: once, by what it declares, and on the pad by one rule (`board/keys.py`).

Where NumLock is off the pad sends arrows. They move the screen's own cursor; where it has none, or
its lines have digits beside it, left and right move one over the digits, and Enter takes it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any, ClassVar, cast

from textual import events
from textual.screen import Screen

from shopboard.base.text import plain_signs
from shopboard.board import doors
from shopboard.board.frame import SMALLEST
from shopboard.board.hits import CHARACTERS, digits_of, with_cursor
from shopboard.board.keys import (
    ALSO,
    CURSOR,
    ENTER,
    HELP,
    MINUS,
    NO_BACK,
    PAD,
    QUIT,
    RESUME,
    STRIKE_OUT,
    TAG,
    Key,
    Role,
)
from shopboard.board.nines import digit_of
from shopboard.board.paint import Line, said
from shopboard.journal import JournalError

if TYPE_CHECKING:
    from shopboard.board.app import BoardApp

BOUNCE = 0.12
"""Seconds within which the same key counts once: a gloved finger strikes twice."""

_PAGES = {"pageup": ("up", 9), "pagedown": ("down", 9), "home": ("up", 99), "end": ("down", 99)}
"""Lines that the cursor moves by keys that the pad has while NumLock is off."""

PAD_WITHOUT_NUMLOCK = (*_PAGES, "insert", "delete", "kp_begin", "up", "down", "left", "right")
"""What the number pad sends in the place of digits and point."""

TWO_KEYS = "two keys at once: neither counts; press the one that you mean"

FIRST_OF_TWO = "two keys at once: only the first one counted"

MOST_STRUCK = 2
"""Keys that a hand strikes at once; more come from a gauge."""

NUMLOCK = "NumLock is off: press it once"

_IDLE: dict[Role, str] = {
    "back": "there is nothing to go back to",
    "more": "there is no more than what is shown",
    "strike": "there is nothing here to strike out",
    "tag": "no machine is shown here",
    "resume": "go on here: this is what is in progress",
}
"""What is said where a key of the pad has nothing to do."""


class KeyedScreen(Screen[None], inherit_css=False):
    """A screen that obeys the keys that it declares, and the number pad's own."""

    keys: ClassVar[tuple[Key, ...]] = (HELP,)
    in_progress: ClassVar[bool] = False
    """Whether it is itself what is gone on with."""
    leads_only: ClassVar[bool] = False
    """Whether each of its keys only leads to another screen, or moves its own cursor."""
    is_read: ClassVar[bool] = False
    """Whether a page says in large type, too, what is drawn on it and is no key."""
    of_the_day: ClassVar[bool] = False
    """Whether the minutes of a prep day go by on it."""

    def __init_subclass__(cls, **options: Any) -> None:
        """Give it the keys that are the same everywhere."""
        super().__init_subclass__(**options)
        own = [one for one in cls.keys if one not in (RESUME, TAG, ALSO, HELP, QUIT)]
        resumes = cls.in_progress or any(one.role == RESUME.role for one in own)
        tail = (*(() if resumes else (RESUME,)), TAG, ALSO, HELP)
        cls.keys = (*own, *tail, *(one for one in cls.keys if one is QUIT))

    def __init__(self) -> None:
        super().__init__()
        self._notice: Line = ()
        self._cursor = 0
        """The line that is chosen, where a list has a cursor; the body keeps it on one."""
        self._asked_at: float | None = None
        """When a key was asked for once more; None: none is."""
        self.bounced = False
        """Whether the key that is handed on came twice at once."""
        self._digit = ""
        """The digit that arrows have moved to; empty: none."""
        self._drawn: list[str] = []
        """Those that are drawn."""

    @property
    def board(self) -> BoardApp:
        """The application."""
        return cast("BoardApp", self.app)

    def keys_now(self) -> tuple[Key, ...]:
        """Give the keys that do something as it stands: the footer shows no others.

        Raises:
            JournalError: when it hangs on the journal, which cannot be read now.
        """
        return self.keys

    def keys_shown(self) -> tuple[Key, ...]:
        """Give those that the footer and the help show: none that would be typed."""
        return self.keys_now()

    def keys_of_use(self) -> tuple[Key, ...]:
        """Give those that do something, without what the pad has everywhere and not here."""
        idle = [] if self.machine_here() else [TAG]
        if not self.board.has_open_shop:
            idle += [RESUME]
        return tuple(key for key in self.keys_now() if key not in idle)

    def machine_here(self) -> str:
        """Give the id of the machine that is shown, or under the cursor; empty: none is."""
        return ""

    def on_key(self, event: events.Key) -> None:
        """Hand the key on, once: Textual calls this method of every class of a screen.

        A key that brought up another screen and bounced, or is still held, is dropped there: one
        digit would open a check and answer its caution. A key pressed ahead, while this screen
        still made way, is meant for the one on top now.
        """
        event.stop()
        event.prevent_default()
        if not self._is_readable() and not self._leads_out(event.key):
            self.app.bell()  # nothing is done, nor recorded, that nobody can have read
            return
        last, at, screen = self.board.last_key
        same = event.key == last or (event.key in ENTER and last in ENTER)  # a gauge ends its lines
        self.bounced = same and self.board.monotonic() - at < BOUNCE
        top = self.app.screen
        on_top = top is self or not isinstance(top, KeyedScreen)
        if not on_top and not self.bounced:
            # after what else waits there for its first picture
            top.call_after_refresh(top.post_message, events.Key(event.key, event.character))
            return
        if on_top and (not self.bounced or screen is self):
            self.drop_old_question()
            if self._leads_out(event.key) or not self.asks_first():
                self.pressed(event)
            screen = self
        self.board.last_key = (event.key, self.board.monotonic(), screen)

    def only_leads(self, key: str) -> bool:
        """Tell whether a key only leads to another screen: what it does needs no second thought."""
        leave = (one.names for one in self.keys if one.action in ("back", "leave"))
        return self.leads_only or any(key in names for names in leave)

    def came_at_once(self, keys: Sequence[events.Key], *, has_led: bool = False) -> None:
        """Take none of what came at once, as from a gauge: each would choose something here.

        Args:
            keys: what came.
            has_led: the first of them has led to this screen already.
        """
        words = "".join(key.character or "" for key in keys if key.key not in ENTER)
        is_reading = any(map(str.isdigit, words)) and len(keys) > MOST_STRUCK
        self.drop_old_question()
        if is_reading:
            taken = "only its first key counted" if has_led else "nothing was taken"
            self.refuse(f"a gauge typed {said(words[:20])} here; {taken}")
        else:
            self.refuse(FIRST_OF_TWO if has_led else TWO_KEYS)
        self.board.last_key = (ENTER[0], self.board.monotonic(), self)  # its end may come late

    def sent_by_gauge(self, name: str, words: str) -> None:
        """Take what a gauge sent when its button was pressed; none, where no length is asked."""
        self.refuse(f"{said(name)} sent {words} here; nothing was taken")

    def gauge_moved(self) -> None:
        """Show what a gauge reads by now, where that is shown."""

    def asks_first(self) -> bool:
        """Ask what has to be said before any key does what it does; tell whether one was asked."""
        return False

    def expects_quiet(self) -> bool:
        """Tell whether it is as it should be that nothing was recorded for long."""
        return False

    def clicked(self, key: str) -> None:
        """Take a click, in its turn, as the key that is drawn there, with all that guards a key."""
        if key:
            self.call_later(self._take_click, key)

    def _take_click(self, key: str) -> None:
        if self.app.screen is not self:
            return  # it means nothing on the screen that came up meanwhile
        if key.startswith("#"):
            self.to_line(int(key[1:]))
            return
        if key.startswith("="):  # it has its digit as soon as the cursor is among its nine
            self._cursor = int(key[1:])
            key = digit_of(self._cursor, self._cursor)
        self.on_key(events.Key(key, key if len(key) == 1 else CHARACTERS.get(key)))

    def to_line(self, line: int) -> None:
        """Take a click on a line that has no digit, from 0."""
        self._cursor = line
        self.on_key(events.Key("enter", None))

    def wheeled(self, way: str) -> None:
        """Move the cursor, or what is shown, by a line of the wheel: it answers nothing."""
        if self._is_readable() and any(key.action == way for key in self.keys_now()):
            self.does(way)

    def _is_readable(self) -> bool:
        """Tell whether the window is large enough for the screen to be shown."""
        return self.size.width >= SMALLEST[0] and self.size.height >= SMALLEST[1]

    def _leads_out(self, key: str) -> bool:
        """Tell whether a key only leaves the screen: nothing is lost by that."""
        ways = (one.names for one in self.keys if one.action in ("back", "leave", QUIT.action))
        return key not in MINUS and any(key in names for names in ways)

    def pressed(self, event: events.Key) -> None:
        """Do what the key is declared for."""
        picked = self._digit if event.key in ENTER else ""
        if picked:  # it goes the way of the digit itself, with all that guards it
            self._digit = ""
            self.pressed(events.Key(picked, picked))
            self._digit = picked
            self.repaint()
            return
        self._notice = ()
        asked, self._asked_at = self._asked_at is not None, None
        try:
            self._obey(event)
        except JournalError as error:  # it cannot be read now; the same key again may do
            self.refuse(f"{error.title} {error.advice}")
        if asked and self._asked_at is None:
            self.forget_chosen()  # the question is seen no more
        self.repaint()

    def does(self, action: str) -> None:
        """Do what was chosen from the list of what else can be done."""
        self._notice = ()
        try:
            getattr(self, f"do_{action}")()
        except JournalError as error:
            self.refuse(f"{error.title} {error.advice}")
        self.repaint()

    def _obey(self, event: events.Key) -> None:
        picks, self._digit = self._digit, ""
        for key in self.keys:
            if event.key in key.names:
                getattr(self, f"do_{key.action}")()
                return
        digit = plain_signs(event.character or "")
        if digit and digit in "123456789":
            self.do_digit(int(digit))
        elif event.key in PAD_WITHOUT_NUMLOCK:
            self._without_numlock(event.key, picks)
        else:
            words = (_IDLE.get(role) for role, key in PAD.items() if event.key in key.names)
            for why in filter(None, words):
                self.refuse(why)

    def _without_numlock(self, name: str, on: str) -> None:
        """Move a cursor by a key that the pad has while NumLock is off."""
        way, lines = _PAGES.get(name, ("", 0))
        if any(key.action == way for key in self.keys):
            for _ in range(lines):
                getattr(self, f"do_{way}")()
        elif name in CURSOR and self._drawn:
            step = 1 if name in ("down", "right") else -1
            at = self._drawn.index(on) + step if on in self._drawn else min(step, 0)
            self._digit = self._drawn[at % len(self._drawn)]
        else:
            self.refuse(NUMLOCK)

    def with_digit(self, lines: list[Line]) -> list[Line]:
        """Show which digit the arrows have moved to."""
        self._drawn = digits_of(lines)
        if self._digit not in self._drawn:
            self._digit = ""
        return [with_cursor(one, self._digit) for one in lines] if self._digit else lines

    def do_digit(self, number: int) -> None:
        """Do what a digit means; nothing on most screens."""

    def do_up(self) -> None:
        """Move the cursor up."""
        self._cursor = max(0, self._cursor - 1)

    def do_down(self) -> None:
        """Move the cursor down."""
        self._cursor += 1

    def heading(self) -> str:
        """Say what the screen is about."""
        return ""

    def told(self) -> Sequence[str]:
        """Give what it says and asks beside its keys, a sentence each, for a page in large type."""
        return ()

    def tag_here(self) -> str:
        """Say why the machine is not to be used that it is about, where no bar says so above it."""
        return ""

    def do_help(self) -> None:
        """Show every key of this screen; before there is a shop none that is for its machines."""
        digits = self.digits_choose
        more = self.explained()
        idle = () if self.board.has_open_shop else (RESUME, TAG)
        keys = tuple(one for one in self.keys_shown() if one not in idle)
        self.app.push_screen(doors.HelpScreen(self.heading(), keys, digits=digits, more=more))

    def explained(self) -> Sequence[str]:
        """Give what the help tells of what the cursor is on; nothing: the keys are all."""
        return ()

    def do_also(self) -> None:
        """List what else can be done here."""
        self.app.push_screen(doors.AlsoScreen(self))

    def also(self) -> tuple[Key, ...]:
        """Give what the list has, in an order that stays: first what has no key on the pad."""
        every = (one for one in self.keys if one.action not in (*CURSOR, ALSO.action))
        every = (one for one in every if one is not NO_BACK)
        return tuple(sorted((one for one in every if one.role != "on"), key=on_the_pad))

    def way_to(self, key: Key) -> str:
        """Name what does it here: its letter, and the pad's way through the list: ``n or * 1``."""
        at = [one.action for one in self.also()].index(key.action) + 1
        return f"{key.label} or * {at}" if at <= 9 else key.label

    @property
    def digits_choose(self) -> bool:
        """Whether a digit chooses a line."""
        return type(self).do_digit is not KeyedScreen.do_digit

    def repaint(self) -> None:
        """Draw anew what changed."""
        raise NotImplementedError

    def refuse(self, words: str) -> None:
        """Say why a key does nothing here."""
        raise NotImplementedError

    def forget_chosen(self) -> None:
        """Forget what waits for its key once more."""

    def drop_old_question(self) -> None:
        """Take a question off that has waited too long for its key."""
        raise NotImplementedError


def on_the_pad(key: Key) -> bool:
    """Tell whether the pad has a key for it."""
    return bool(key.role) or key is STRIKE_OUT


def actions(keys: Iterable[Key]) -> set[str]:
    """Give what keys do."""
    return {one.action for one in keys}
