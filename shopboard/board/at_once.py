"""Keys that came at once: a gauge whose plug types its reading, or a hand that struck several.

A key that types something waits a moment for what may follow it. What comes within that is one
thing: a field takes it whole, and where a key would choose or answer none of it counts. A key that
only leads to another screen waits for nothing; what follows it at once does not count.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, cast

from textual import events

from shopboard.board.drawn_once import DrawnOnceApp
from shopboard.board.keys import ENTER

if TYPE_CHECKING:
    from textual.timer import Timer

    from shopboard.board.app import BoardApp
    from shopboard.board.gauges_here import GaugesHere

APART = 0.025
"""Seconds from key to key within which no hand goes on to another one. A plug that types sends one
at each asking of the computer, every 1 ms to 16 ms (USB 2.0, interrupt transfers; from memory)."""

MOST = 200
"""Keys that are taken together; more are no reading."""


class AtOnceApp(DrawnOnceApp, inherit_css=False):
    """Hands keys that came at once to the screen together."""

    def __init__(self) -> None:
        super().__init__()
        self.waits_for_more: bool | None = None
        """Whether a key waits for what follows it; None: in a terminal it does."""
        self.gauges_here: GaugesHere | None = None
        """The gauges that are listened to; None until a number is asked that one may read."""
        self.hears_gauges: bool | None = None
        """Whether they are; None: in a terminal they are."""
        self._looks_at_gauges: Timer | None = None
        self._held: list[events.Key] = []
        self._has_led = False
        """Whether the first of them is obeyed already: it only leads somewhere."""
        self._last = 0.0
        """When the newest of them was taken in, by the clock of the loop."""

    async def on_event(self, event: events.Event) -> None:
        """Hold a key back for a moment; all else goes on, after what is held."""
        is_new = isinstance(event, events.InputEvent) and not event.is_forwarded
        if not is_new or not self._waits():
            await super().on_event(event)
            return
        if not isinstance(event, events.Key):
            await self.let_go()
            await super().on_event(event)
            return
        if self._held and event.time - self._held[-1].time > APART:
            await self.let_go()
        if not (event.is_printable or (self._held and event.key in ENTER)):
            await self.let_go()
            await super().on_event(event)
            return
        if not self._held:
            self.set_timer(APART, self._look_whether_over)
            top = cast("BoardApp", self).top
            self._has_led = top is not None and top.only_leads(event.key)
        if len(self._held) < MOST:
            self._held.append(event)
        self._last = self.monotonic_of_loop()
        if self._has_led and is_one_key(self._held):
            await super().on_event(event)

    def gauges(self) -> GaugesHere | None:
        """Listen to the gauges of the shop file, from the first time that a number is asked on."""
        board = cast("BoardApp", self)
        wanted = board.open_shop.shop.gauges if board.has_open_shop else ()
        here = self.gauges_here
        if here is not None and here.gauges != wanted:  # the shop file was changed
            here.end()
            here = self.gauges_here = None
        hears = not self.is_headless if self.hears_gauges is None else self.hears_gauges
        if here is None and wanted and hears:
            from shopboard.board import gauges_here

            here = self.gauges_here = gauges_here.GaugesHere(board.open_shop.shop)
            here.begin()
            if self._looks_at_gauges is None:
                every = gauges_here.LOOK_EVERY
                self._looks_at_gauges = self.set_interval(every, self._look_at_gauges)
        return here

    def _look_at_gauges(self) -> None:
        """Hand on what a button sent, and what a gauge reads by now."""
        here, top = self.gauges_here, cast("BoardApp", self).top
        if here is None or top is None:
            return
        sent = here.from_button()
        if sent is not None:
            name, reading = sent
            top.sent_by_gauge(name, reading.words)
        top.gauge_moved()

    def _waits(self) -> bool:
        return not self.is_headless if self.waits_for_more is None else self.waits_for_more

    @staticmethod
    def monotonic_of_loop() -> float:
        """Give seconds by which it is seen that nothing follows."""
        import asyncio

        return asyncio.get_running_loop().time()

    async def _look_whether_over(self) -> None:
        """Let go of what is held once nothing follows it."""
        left = self._last + APART - self.monotonic_of_loop()
        if self._held and left > 0:
            self.set_timer(left, self._look_whether_over)
        else:
            await self.let_go()

    async def let_go(self) -> None:
        """Hand on what is held, before what else comes."""
        held, self._held = self._held, []
        if is_one_key(held):
            for key in () if self._has_led else held:
                await super().on_event(key)
            return
        top = cast("BoardApp", self).top
        if top is not None:
            top.came_at_once(held, has_led=self._has_led)


def is_one_key(keys: Sequence[events.Key]) -> bool:
    """Tell whether all are the same key: it is held, or struck twice."""
    return len({key.key for key in keys}) <= 1
