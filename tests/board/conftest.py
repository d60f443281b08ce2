"""What the board's tests share: a board that keys are pressed on and whose screen is read."""

from __future__ import annotations

import asyncio
import shutil
import time
from collections.abc import AsyncIterator, Collection, Iterator, Mapping
from contextlib import asynccontextmanager
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from textual import _wait, events
from textual.message_pump import MessagePump
from textual.pilot import Pilot
from textual.screen import Screen

from shopboard.board.app import BoardApp
from shopboard.board.canvas import Canvas
from shopboard.board.glyphs import big
from shopboard.checks.job import Facts
from shopboard.shop import reader
from shopboard.shop.model import Shop
from shopboard.shop.own_files import OwnFiles
from shopboard.shop.problems import Problem
from tests.journal.helpers import Clock
from tests.whole_shop import WHOLE_SHOP

# Textual's pilot sleeps until the process is idle, for milliseconds at each key. Here it is seen
# from the messages themselves when a board has come to rest: no test waits for a clock.
_wait.SLEEP_GRANULARITY = 0.0
_wait.SLEEP_IDLE = 1.0


def _drawn_when_read(screen: Screen[object]) -> None:
    """Leave out what Textual makes of a picture for a terminal: that of a test throws it away.

    A screen is painted as it would be, and drawn whole where its text is read.
    """
    for canvas in screen.query(Canvas):
        canvas.render_line(0)
    screen._dirty_widgets.clear()
    screen._compositor._dirty_regions.clear()


Screen._compositor_refresh = _drawn_when_read  # type: ignore[method-assign, assignment]

_usual_read = reader._read
_READ: dict[object, tuple[Shop, tuple[Problem, ...], OwnFiles | None]] = {}


def _read_once(
    text: str, name: str, known_checks: Collection[str], facts: Mapping[str, Facts] | None
) -> tuple[Shop, tuple[Problem, ...], OwnFiles | None]:
    """Read a text once, as nearly every test opens the same; files beside it may change."""
    of = (text, frozenset(known_checks), facts is None)
    if of in _READ:
        return _READ[of]
    found = _usual_read(text, name, known_checks, facts)
    if found[2] is None:
        _READ[of] = found
    return found


reader._read = _read_once

BESIDE = 0.002
"""Seconds between two looks at what is worked out beside the screen."""

MOST_PAUSES = 2000
"""For a board to come to rest; what asserts then says what it found."""

STILL = 2
"""Looks one after the other at which it must be."""


@dataclass
class Seconds:
    """A clock for key presses: a second goes by before each, so none counts as a bounce.

    It does not go on by being looked at: how often that is done hangs on how busy the computer is.
    """

    at: float = 0.0
    step: float = 1.0

    def __call__(self) -> float:
        return self.at


@dataclass
class Board:
    """A board under test, and a person at its keys."""

    app: BoardApp
    pilot: Pilot[None]
    seconds: Seconds = field(default_factory=Seconds)

    async def press(self, *keys: str) -> str:
        """Press keys, each when the one before did what it does; give the screen's text."""
        for key in keys:
            self.seconds.at += self.seconds.step
            await self.pilot.press(key)
            await self._rest()
        return await self.settle()

    async def strike(self, key: str, character: str) -> str:
        """Press a key that the pilot has no name for; give the screen's text."""
        self.seconds.at += self.seconds.step
        self.app.post_message(events.Key(key, character))
        return await self.settle()

    async def _rest(self) -> None:
        """Let what was begun be done, a key before the clock of the keys goes on.

        Two keys taken at one moment of that clock count as one that bounced.
        """
        still = 0
        for _ in range(MOST_PAUSES):
            await self._seen_to()
            if not self.app.is_running:
                return
            still = still + 1 if self._is_still else 0
            if still == STILL:
                return
            if not still:
                self.app.screen._on_timer_update()  # what else comes 60 times a second
                await asyncio.sleep(BESIDE if self._is_at_work else 0)

    async def _seen_to(self) -> None:
        """Let the application, then its screen, see to all that was sent to them until now.

        What is being seen to waits in no queue, so that an empty one does not tell.
        """
        await asyncio.wrap_future(  # behind a key that the loop has yet to hand on
            asyncio.run_coroutine_threadsafe(asyncio.sleep(0), asyncio.get_running_loop())
        )
        await _through(self.app)
        if self.app.is_running:
            await _through(self.app.screen)

    async def settle(self) -> str:
        """Wait until all that was begun is done; give the screen's text."""
        await self._rest()
        return self.text

    @property
    def _is_still(self) -> bool:
        """Whether the screen is drawn and no message waits in it or in the application."""
        screen = self.app.screen
        to_draw = screen._layout_required or screen._repaint_required or screen._dirty_widgets
        # a screen that is just being put up has no rows yet
        is_drawn = not to_draw and bool(screen._compositor.size)
        return is_drawn and self._is_idle and not self._is_at_work

    @property
    def _is_at_work(self) -> bool:
        """Whether something is worked out beside the screen."""
        return any(not one.is_finished for one in self.app.workers)

    @property
    def _is_idle(self) -> bool:
        """Whether nothing waits in the screen or in the application: no message, no call."""
        pumps = (self.app, *self.app.screen.walk_children(with_self=True))
        waits = any(not one._message_queue.empty() or one._next_callbacks for one in pumps)
        in_slices = getattr(self.app.screen, "_next_asked", False)  # a next one is to come
        return not (waits or in_slices or self.app.screen._callbacks)

    async def look(self) -> str:
        """Let the board look at the clock, the shop file and the journal."""
        self.app.look_again()
        return await self.settle()

    async def resize(self, width: int, height: int) -> str:
        """Make the window of another size."""
        await self.pilot.resize_terminal(width, height)
        for _ in range(MOST_PAUSES):
            lines = self.lines
            if len(lines) == height and len(lines[0]) == width:
                break
            await self.pilot.pause(BESIDE)  # Textual waits for more of the size before it draws
        return await self.settle()

    @property
    def lines(self) -> list[str]:
        """What the terminal shows, row by row."""
        strips = self.app.screen._compositor.render_strips()
        return ["".join(segment.text for segment in strip) for strip in strips]

    @property
    def text(self) -> str:
        """What the terminal shows."""
        return "\n".join(self.lines)

    def says(self, words: str) -> bool:
        """Tell whether the screen says something, over however many lines."""
        return words in " ".join(self.text.split())

    def asks(self, words: str) -> bool:
        """Tell whether it says something in letters of either size."""
        large = [big(word) for word in words.split()]
        drawn = all(all(row.rstrip() in self.text for row in word) for word in large)
        return self.says(words) or drawn


async def _through(pump: MessagePump) -> None:
    """Wait until somebody who takes messages one by one has come to one that is sent now."""
    come = asyncio.Event()
    if pump.call_later(come.set):
        while not come.is_set() and pump.is_running:
            await asyncio.sleep(0)


@dataclass
class Place:
    """The files of a shop under test, its clock and its key clock."""

    shop_file: Path
    journal_file: Path
    clock: Clock
    seconds: Seconds = field(default_factory=Seconds)

    @asynccontextmanager
    async def open(self, width: int = 80, height: int = 24) -> AsyncIterator[Board]:
        """Open the board, as one program from start to end."""
        app = BoardApp(self.shop_file, self.journal_file, self.clock, self.seconds)
        try:
            async with app.run_test(size=(width, height), notifications=True) as pilot:
                board = Board(app, pilot, self.seconds)
                await board.settle()
                yield board
        finally:
            app.close()


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Let local time be UTC, wherever the tests run."""
    monkeypatch.setenv("TZ", "UTC")
    if hasattr(time, "tzset"):
        time.tzset()
    yield
    monkeypatch.undo()
    if hasattr(time, "tzset"):
        time.tzset()


@pytest.fixture
def bare(tmp_path: Path, clock: Clock) -> Place:
    """A place where neither shop file nor journal are."""
    return Place(tmp_path / "shop.toml", tmp_path / "journal.sqlite3", clock)


@pytest.fixture
def place(bare: Place) -> Place:
    """A place with the sample shop."""
    shutil.copyfile(WHOLE_SHOP, bare.shop_file)
    return bare
