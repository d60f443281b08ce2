"""The gauges of the shop at the board: which of them is read, and what its button sent."""

from __future__ import annotations

import time
from collections.abc import Callable

from shopboard.base.light_tuple import NamedTuple
from shopboard.gauges.listening import Heard, Listening
from shopboard.metrology.gauge_line import GaugeReading
from shopboard.metrology.units import by_unit
from shopboard.shop.model import Shop

LOOK_EVERY = 0.1
"""Seconds between looks at what was heard."""

OLD_AFTER = 2.0
"""Seconds after which a reading that goes by is none of now."""

IN_HAND = 0.05
"""mm that a gauge has moved which somebody handles: less is the flicker of its last digit."""


class BesideField(NamedTuple):
    """What stands beside a field."""

    name: str
    reading: GaugeReading | None
    """What Enter takes; None: nothing."""
    words: str


class GaugesHere:
    """Hears every gauge of a shop, and knows which one was handled last."""

    def __init__(self, shop: Shop, monotonic: Callable[[], float] = time.monotonic) -> None:
        self.gauges = shop.gauges
        self._monotonic = monotonic
        unit = by_unit(shop.unit, "in", "mm")
        self._listening = [Listening(one, unit, monotonic) for one in shop.gauges]
        self._rests: dict[int, float] = {}
        """mm that each stood at when it was last moved."""
        self._in_hand = 0
        self._taken = [0] * len(self._listening)
        """Of each, how many readings of its button were seen to."""

    def begin(self) -> None:
        """Begin to listen to each."""
        for one in self._listening:
            one.begin()

    def end(self) -> None:
        """Let go of all ports."""
        for one in self._listening:
            one.end()

    def from_button(self) -> tuple[str, GaugeReading] | None:
        """Give what a button sent since it was last asked, and the name of its gauge."""
        found = None
        for at, one in enumerate(self._listening):
            heard = one.heard
            if one.gauge.is_taken and heard.number > self._taken[at]:
                self._taken[at] = heard.number
                if heard.reading is not None:
                    found = (one.gauge.name, heard.reading)
        return found

    def read(self) -> BesideField | None:
        """Give what the gauge says that was moved last."""
        for at, one in enumerate(self._listening):
            reading = one.heard.reading
            if reading is not None and abs(reading.mm - self._rests.get(at, 1e9)) > IN_HAND:
                self._rests[at] = reading.mm
                self._in_hand = at
        one = self._listening[self._in_hand]
        return self._said(one, one.heard)

    def _said(self, one: Listening, heard: Heard) -> BesideField:
        name = one.gauge.name
        if heard.trouble:
            return BesideField(name, None, f"{name}: {heard.trouble}")
        if one.gauge.is_taken:
            return BesideField(name, None, f"{name}: press its button")
        if heard.reading is None or self._monotonic() - heard.at > OLD_AFTER:
            return BesideField(name, None, f"{name}: sends nothing")
        return BesideField(name, heard.reading, f"{name}: {heard.reading.words}")
