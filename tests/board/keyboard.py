"""Any keys on the board, as bytes of a terminal, and what must hold of whatever comes of them."""

from __future__ import annotations

import asyncio
from collections.abc import Sequence
from contextlib import closing
from typing import NamedTuple

from textual import events
from textual.geometry import Size

from shopboard.base.text import first_unfit
from shopboard.board.app import BoardApp
from shopboard.board.canvas import Canvas
from shopboard.board.frame import SMALLEST
from shopboard.board.keys import ENTER
from shopboard.board.keys_in import KeysIn
from shopboard.board.paint import plain, width_of
from shopboard.board.screens.base import ShopScreen
from shopboard.board.screens.board import BoardScreen
from tests.board.conftest import Place
from tests.journal.helpers import plainly

MOST_TURNS = 20_000
"""Turns of the event loop for a board to come to rest."""

STILL = 6
"""Turns without anything left to do after which it is at rest."""

MOMENT, BETWEEN = 0.001, 1.0
"""Seconds that go by at each look at the clock of the keys, and between two keys."""

TOO_SMALL = "Make the window larger: 60 x 20 at least."

RECORDING = frozenset((*"0123456789-vxg.+*/y", *ENTER, "escape"))
"""What may record: digits and Enter, going back and leaving, and the keys that withdraw, end, give
up, or glue up on hold."""

ASKED = {"happening", "task", "void", "tag", "remark", "glue-up"}
"""Acts that are recorded only where a question stood: once more, or what is typed or chosen."""

QUESTIONS = (
    *("once more", "when it is done", "> ", "?", "tag it DO NOT USE", "add this to its tag"),
    *("done, go on", "It stays in the history, marked void"),
)
"""One of these stands on a screen that asks, between its top and its footer."""


class Act(NamedTuple):
    """Something that comes to the board."""

    sort: str
    """``keys`` (each by itself), ``at once`` (struck together), ``size``, ``later``, ``look``,
    ``home``: Esc until the board is there."""
    data: tuple[bytes, ...] = ()
    numbers: tuple[int, int] = (0, 0)
    """Columns and rows; seconds."""


class WrongError(AssertionError):
    """What must not be on a board."""


class Keyboard:
    """An open board, and whoever is at its keys."""

    def __init__(self, app: BoardApp, place: Place) -> None:
        self.app = app
        self._place = place
        self._keys_in = KeysIn()
        self._now = 0.0
        place.seconds.step = MOMENT
        self.recorded = self._count()

    async def do(self, act: Act) -> None:
        """Do it, key by key, and look at what comes of it.

        Raises:
            WrongError: with what must not be.
        """
        if act.sort == "size":
            size = Size(*act.numbers)
            self.app._driver._size = size  # type: ignore[union-attr]  # a headless one has it
            self.app.post_message(events.Resize(size, size))
        elif act.sort in ("later", "look"):
            self._place.clock.pass_by(seconds=act.numbers[0])
            self.app.look_again()
        elif act.sort == "home":
            await self.go_home()
        if not act.data:
            await self._looked_over((), "", again=False)
        for number, data in enumerate(act.data):
            together = act.sort == "at once" and number > 0
            if not together:
                self._place.seconds.at += BETWEEN
            await self._strike(data, again=together and data == act.data[0])

    async def _strike(self, data: bytes, *, again: bool) -> None:
        if not self.app.is_running:
            return
        shown = "\n".join(self.text.split("\n")[1:-1])
        self._now += 100.0
        came = [*self._keys_in.feed(data, self._now), *self._keys_in.tick(self._now + 50.0)]
        for message in came:
            self.app.post_message(message)
        keys = [one for one in came if isinstance(one, events.Key)]
        await self._looked_over(keys, shown, again=again)

    async def _looked_over(self, keys: Sequence[events.Key], shown: str, *, again: bool) -> None:
        await self.rest()
        self._was_asked_for(keys, shown, again=again)
        if self.app.is_running:
            self._is_drawn()

    async def rest(self) -> None:
        """Wait until nothing is left to do.

        Raises:
            WrongError: when it never comes to that.
        """
        still = 0
        for _ in range(MOST_TURNS):
            await asyncio.sleep(0)
            if self.app._exception is not None:
                raise self.app._exception
            if not self.app.is_running:
                return
            screen = self.app.screen
            if screen._callbacks or screen._dirty_widgets or screen._layout_required:
                screen._on_timer_update()
            still = still + 1 if self._is_still(screen) else 0
            if still >= STILL:
                return
        raise WrongError("it does not come to rest")

    def _is_still(self, screen: object) -> bool:
        top = self.app.screen
        pumps = (self.app, *top.walk_children(with_self=True))
        waits = any(not one._message_queue.empty() or one._next_callbacks for one in pumps)
        drawn = [one._drawn_for == top.size == self.app.size for one in top.query(Canvas)]
        return screen is top and not waits and not top._callbacks and drawn == [True]

    @property
    def text(self) -> str:
        """What the screen says."""
        return "\n".join(canvas.text for canvas in self.app.screen.query(Canvas))

    def _is_drawn(self) -> None:
        """Hold what is drawn against its size, its footer and what a terminal may be sent."""
        screen = self.app.screen
        if not isinstance(screen, ShopScreen):
            raise WrongError(f"{screen!r} is none of the board's screens")
        width, height = screen.size
        lines = screen.query_one(Canvas)._lines
        if len(lines) != height:
            raise WrongError(f"{len(lines)} lines on {height} rows")
        for line in lines:
            if width_of(line) > width:
                raise WrongError(f"{width_of(line)} cells in {width} columns: {plain(line)!r}")
            if first_unfit(plain(line)) is not None:
                raise WrongError(f"a character that a terminal obeys: {plain(line)!r}")
        if width < SMALLEST[0] or height < SMALLEST[1]:
            if " ".join(" ".join(map(plain, lines)).split()) != TOO_SMALL:
                raise WrongError(f"at {width} x {height} it says {self.text!r}")
        elif not self._ways_back(screen) & set(plain(lines[-1]).split()):
            raise WrongError(f"no way back is shown: {plain(lines[-1])!r}")

    @staticmethod
    def _ways_back(screen: ShopScreen) -> set[str]:
        leads = {"back", "leave", "quit"}
        return {key.word for key in screen.keys if key.action in leads}

    def _was_asked_for(self, keys: Sequence[events.Key], shown: str, *, again: bool) -> None:
        """Hold what was recorded against the key that was struck, and what the screen asked."""
        kinds = self._kinds_after(self.recorded)
        self.recorded += len(kinds)
        if not kinds:
            return
        said = " ".join(kinds)
        if again:
            raise WrongError(f"a key that bounced recorded: {said}")
        if not any(one.key in RECORDING or one.character in RECORDING for one in keys):
            raise WrongError(f"{keys} recorded: {said}")
        if ASKED & set(kinds) and not any(words in shown for words in QUESTIONS):
            raise WrongError(f"{keys} recorded, without a question: {said}; shown was\n{shown}")

    def _kinds_after(self, seq: int) -> list[str]:
        query = "SELECT kind FROM entries WHERE seq > ? ORDER BY seq"
        with closing(plainly(self._place.journal_file)) as file:
            return [str(kind) for (kind,) in file.execute(query, (seq,))]

    def _count(self) -> int:
        return len(self._kinds_after(0))

    async def go_home(self) -> None:
        """Go back to the board by Esc alone.

        Raises:
            WrongError: when it does not lead there.
        """
        ways: Sequence[str] = ()
        for _ in range(len(self.app.screen_stack) + 3):
            if not self.app.is_running or isinstance(self.app.screen, BoardScreen):
                return
            ways = (*ways, type(self.app.screen).__name__)
            await self.do(Act("keys", (b"\x1b",)))
        raise WrongError(f"Esc does not lead to the board: {' '.join(ways)}")
