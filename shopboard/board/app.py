"""The application: holds the open shop, the clock and the screens, and nothing else."""

from __future__ import annotations

import asyncio
import contextlib
import gc
import sys
import time
from collections.abc import Callable
from datetime import date
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar

from textual.app import ScreenStackError
from textual.binding import Binding, BindingType
from textual.driver import Driver
from textual.screen import Screen

from shopboard.base.locations import answers_path, is_something_at
from shopboard.base.served import served
from shopboard.base.server_place import JournalPlace
from shopboard.board import doors
from shopboard.board.at_once import AtOnceApp
from shopboard.board.in_doubt import InDoubt
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.board import BoardScreen
from shopboard.board.unread import say_it_reads_again, takes_in
from shopboard.journal import JournalError, JournalMissing
from shopboard.journal.shop_clock import Clock
from shopboard.open_shop import OpenShop, utc_now
from shopboard.shop.problems import Problem, ShopFileError

if TYPE_CHECKING:
    from shopboard.board.copying import Copying

WAIT = 1.0
"""Seconds that the board waits for another program that is recording: it must not seem dead."""

GET_READY_AFTER = 0.1
"""Seconds after the first picture when what comes next is imported, beside the keys: before anybody
has read it and presses one."""

LOOK_CLOSER_AFTER = 1.0
"""Seconds after that when the shop file is held against the methods."""

SLICE = 0.005
"""Seconds of a slice of the look through the journal: a key does not notice it."""

LOOK_SLOWLY = 0.05
"""Seconds between two slices."""

KEYS_REST = 0.5
"""Seconds after a key in which none is taken: the next key is near."""

LOOK_THROUGH_EVERY = 3600.0
"""Seconds between two looks through the journal."""

LOOK_AGAIN_AFTER = 30.0
"""Seconds after one that failed: another program may have held the journal."""

AT_MOST = 0.001
"""Seconds that a key waits for another thread at work, such as one that plans the prep day."""

SAVE_EVERY = 1.0
"""Seconds between two times when it is written down how the journal was last seen."""

LOOK_EVERY = 2.0
"""Seconds between looks at the clock, the shop file and the journal."""


class BoardApp(AtOnceApp, inherit_css=False):
    """Full-screen board of one shop."""

    ENABLE_COMMAND_PALETTE = False
    ALLOW_SELECT = False  # with Shift it is the terminal that selects text
    BINDINGS: ClassVar[list[BindingType]] = [  # before the screens, which take every other key
        Binding("ctrl+c", "help_quit", show=False, priority=True),
        Binding("ctrl+q", "help_quit", show=False, priority=True),  # Textual would leave by it
        Binding("ctrl+z", "suspend_process", show=False, priority=True),
    ]
    DEFAULT_CSS = ""

    def __init__(
        self,
        shop_file: Path,
        journal_file: JournalPlace,
        clock: Clock = utc_now,
        monotonic: Callable[[], float] = time.monotonic,
        *,
        begin: bool = True,
        describes: bool = False,
    ) -> None:
        """Open the shop and the journal.

        Args:
            shop_file: path of the shop file.
            journal_file: where the journal is.
            clock: gives the time.
            monotonic: gives seconds, whatever the clock does.
            begin: make the journal where there is none, without asking.
            describes: where there is no shop file, ask at once what it is made of.

        Raises:
            JournalError: when the journal cannot be opened, not even for reading.
        """
        super().__init__()
        self.describes = describes
        self.then: tuple[str, ...] = ()
        """Words of the command that goes on once the board has ended."""
        self.in_doubt = InDoubt()
        self.shop_file = shop_file
        self.monotonic = monotonic
        self.last_key: tuple[str, float, object] = ("", -1.0, None)
        """The newest key, when it had done what it does, and the screen that it was meant for."""
        self.journal_file = journal_file
        self._begin = begin
        self._unread = False
        """Whether the journal could not be read when it was last looked at."""
        self.absent: JournalMissing | None = None
        """Why no journal is open: there is none, and a person is asked."""
        self._clock = clock
        self._open_shop: OpenShop | None = None
        self._problems: tuple[Problem, ...] = ()
        self._shown = ("", "")
        """The minute and the waits that the screen was drawn with."""
        self._over: dict[object, bool] = {}
        """Of each wait seen, whether it was over when it was last looked at."""
        self.copying: Copying | None = None
        """What has the journal copied; None before the first picture."""
        if is_something_at(shop_file):
            self._open()

    @property
    def open_shop(self) -> OpenShop:
        """The open shop and journal."""
        if self._open_shop is None:
            raise RuntimeError("no shop is open")
        return self._open_shop

    @property
    def top(self) -> ShopScreen | None:
        """The screen that is shown; None while the board ends, when a timer may still go off."""
        try:
            screen = self.screen
        except ScreenStackError:
            return None
        return screen if isinstance(screen, ShopScreen) else None

    @property
    def has_open_shop(self) -> bool:
        """Whether a shop is open."""
        return self._open_shop is not None

    def _finish_describing(self) -> None:
        """Record what was told while the shop was described, if that waits."""
        if self._open_shop is not None and is_something_at(answers_path(self.shop_file)):
            from shopboard.describing.draft import is_answered

            if is_answered(self.shop_file):
                import_module("shopboard.board.describing").finish_described(self)

    def today(self) -> date:
        """Give the day, where this computer stands."""
        return self._clock().astimezone().date()

    def _open(self) -> None:
        self.absent = None
        try:
            self._open_shop = OpenShop(
                self.shop_file, self.journal_file, self._clock, WAIT, begin=self._begin
            )
        except ShopFileError as error:
            self._problems = error.problems
        except JournalMissing as error:
            self._problems, self.absent = (), error

    def get_driver_class(self) -> type[Driver]:
        """Give the page that it is served to, or the guarded terminal where the system has one."""
        if served() is not None:
            from shopboard.board.on_page import PageTerminal

            return PageTerminal
        if sys.platform == "win32":
            return super().get_driver_class()
        from shopboard.board.terminal import ShopTerminal

        return ShopTerminal

    def get_default_screen(self) -> Screen[Any]:
        """Give the first screen: the board, or what keeps it from being shown."""
        if self._open_shop is not None:
            return BoardScreen()
        if self.absent is not None:
            return doors.AbsentScreen()
        return doors.BrokenFileScreen(self._problems) if self._problems else doors.FirstRunScreen()

    def on_mount(self) -> None:
        """Start the clock and answer to being told to stop."""
        self.animation_level = "none"
        self.set_interval(LOOK_EVERY, self.look_again)
        self.set_interval(SAVE_EVERY, self._save_memory)
        self.call_after_refresh(self._after_first_frame)
        self.hear_of_ends()
        self.app_resume_signal.subscribe(self, lambda _: self.draw_anew())

    def _after_first_frame(self) -> None:
        """Do what the first picture need not wait for."""
        sys.setswitchinterval(AT_MOST)
        if not gc.isenabled():
            gc.freeze()  # what the start made stays: a collection need not walk over it at a key
            gc.enable()
        self._hold_against_file()
        self.set_timer(KEYS_REST, self._look_for_damage)
        self._name_other_computer()
        self.set_timer(GET_READY_AFTER, lambda: self.run_worker(self._get_ready()))
        self.begin_copying()
        self._finish_describing()  # it may have been ended by force, its file written

    def _hold_against_file(self) -> None:
        """Compare all that is shown with its seals as they are now, where it was kept."""
        with contextlib.suppress(JournalError):  # the next look says so
            if self._open_shop is not None and self._open_shop.gather_anew():
                self._repaint()

    def begin_copying(self) -> None:
        """Have the journal copied from now on, once a shop is open."""
        shop, file = self._open_shop, self.journal_file
        if shop is None or self.copying or self.is_headless or not isinstance(file, Path):
            return  # without a terminal a test plays with it; on a server there is no file to copy
        from shopboard.board.copying import AGAIN_AFTER, FIRST_AFTER, MISSED_AGAIN_AFTER, Copying

        self.copying = Copying(self.shop_file, file, shop.journal.change_mark)
        self.set_timer(FIRST_AFTER, self.copying.begin)
        self.set_interval(AGAIN_AFTER, self.copying.begin)
        self.set_interval(MISSED_AGAIN_AFTER, self.copying.begin_where_missed)

    async def _get_ready(self) -> None:
        """Import in a thread what the next keys need: no key waits for more than its own."""
        if not self.is_headless:  # without a terminal it is a test
            from shopboard.board.soon import import_soon

            await asyncio.to_thread(import_soon, lambda: self.is_running)
        self.set_timer(LOOK_CLOSER_AFTER, self._look_closer)

    def _look_closer(self) -> None:
        """Look at what follows from the methods; the first picture did not wait for them."""
        if self._open_shop is not None:
            self._open_shop.look_closer()
            self.look_again()
        self._save_memory()

    def cannot_be_proven(self, full_name: str) -> str:
        """Say why the drawer cannot prove a point and what would; empty when it can."""
        from shopboard.checks.ranking import cannot_be_proven

        if full_name not in self.open_shop.shop.points:
            return ""
        try:
            return cannot_be_proven(self.open_shop.ranks(full_name))
        except JournalError:
            return ""  # the next look says so

    def _name_other_computer(self) -> None:
        """Say once that the journal is open for its owner, or comes from another computer."""
        if self._open_shop is None or self.top is None:
            return
        with contextlib.suppress(JournalError):  # the next look says so
            if owner := self._open_shop.as_owner:
                self.top.say(owner)
            elif words := self._open_shop.other_computer():
                self.top.say(f"{words} Times are shown in this computer's local time.")

    def _look_for_damage(self) -> None:
        """Look through the journal, a slice between the keys; when all is seen, again later."""
        wait = LOOK_SLOWLY
        if self.monotonic() - self.last_key[1] < KEYS_REST:
            self.set_timer(KEYS_REST, self._look_for_damage)
            return
        try:
            if self._open_shop is not None:
                before = self._open_shop.journal.damage
                if self._open_shop.look_on(SLICE):
                    self._open_shop.look_anew()
                    wait = LOOK_THROUGH_EVERY
                if self._open_shop.journal.damage != before and self._open_shop.poll():
                    self._repaint()
        except JournalError:
            wait = LOOK_AGAIN_AFTER  # it cannot be read now: the board says so by itself
        self.set_timer(wait, self._look_for_damage)

    def _save_memory(self) -> None:
        if self._open_shop is not None:
            self._open_shop.save_memory()

    def look_again(self) -> None:
        """Take in what changed: the shop file, the journal, the minute on the clock."""
        if self._open_shop is None:
            self.look_for_a_shop()
            return
        if self.top is not None and not takes_in(self, self.top):
            return
        minute = f"{self._clock():%Y-%m-%d %H:%M}"
        copied = self.copying is not None and self.copying.look()
        try:
            changed = self._open_shop.poll()
            if minute != self._shown[0] and not changed:
                self._open_shop.refresh()
        except JournalError as error:
            if self.top is not None and not self.top.says_something:
                self.top.say(f"{error.title} {error.advice}", "out")
            self._unread = True
            return
        self._say_it_reads_again()
        self.ring_when_over()
        if self.top is not None:
            self.top.drop_old_question()
        waits = "; ".join(one.words for one in self._open_shop.waits())
        if changed or copied or (minute, waits) != self._shown:
            self._shown = (minute, waits)
            self._repaint()

    def _say_it_reads_again(self) -> None:
        if self._unread and self.top is not None:
            say_it_reads_again(self, self.top)
        self._unread = False

    def ring_when_over(self) -> None:
        """Ring once when something within a task has been left alone for long enough."""
        for wait in self.open_shop.waits():
            over = wait.seconds <= 0
            known = self._over.get(wait.mark)
            self._over[wait.mark] = over
            if over and known is False:
                self.bell()
                screen = self.top  # the screen of the task itself shows it large
                if screen is not None and not screen.shows_wait(wait.mark[0]):
                    machine = self.open_shop.shop.machines_by_id[wait.machine].name
                    screen.say(f"{wait.words} ({machine}: {wait.standing.task.name}).", "due")

    def bell(self) -> None:
        """Ring, unless the shop file says that it stays quiet."""
        if self._open_shop is None or self._open_shop.shop.bell:
            super().bell()

    def look_for_a_shop(self) -> None:
        """Open the shop as soon as its file can be used."""
        making = self.top is not None and self.top.makes_the_file
        if making or not is_something_at(self.shop_file):
            return
        before, was_absent = self._problems, self.absent is not None
        if was_absent and not self._begin and not is_something_at(self.journal_file):
            return
        self._open()
        if self._open_shop is not None:
            self._problems = ()
            self.push_screen(BoardScreen())
            if not self.is_headless:
                self.begin_copying()
            self._finish_describing()
        elif self.absent is not None:
            if not was_absent:
                self.push_screen(doors.AbsentScreen())
        elif self._problems != before:
            self.push_screen(doors.BrokenFileScreen(self._problems))

    def begin_journal(self) -> None:
        """Make a journal where there is none, and open it."""
        self._begin = True
        try:
            self.look_for_a_shop()
        finally:
            self._begin = False

    def go_back_saying(self, words: str) -> None:
        """Go back one screen, take in what was recorded, and say something there."""
        self.pop_screen()
        self.look_again()
        if self.top is not None:
            self.top.say(words)

    def _repaint(self) -> None:
        if self.top is not None:
            self.top.repaint()

    def action_help_quit(self) -> None:
        """Answer Ctrl+C and Ctrl+Q: never by losing anything."""
        if self.top is not None:
            self.top.say(
                "Ctrl+C does not stop the board, nor Ctrl+Q: Esc leaves a check, q the board."
            )

    def close(self) -> None:
        """Close the journal; what is new in it is copied once the board is gone."""
        if self._open_shop is not None:
            if self.copying is not None:
                self.copying.leave()
            self._open_shop.close()
