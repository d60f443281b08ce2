"""The browser's terminal in the place of this computer's: packets in, packets out.

What is typed comes as it would from a terminal and is read by the same `KeysIn`; a button of the
page is pressed by its key, with the number of what it was shown with, so that a touch that was
meant for another question answers nothing. What stands in the page's own field comes with the press
that gives it, as one thing.
"""

from __future__ import annotations

import contextlib
import json
import os
import sys
from functools import partial
from threading import Thread
from time import monotonic
from typing import TYPE_CHECKING, Any, cast

from textual import events
from textual.driver import Driver
from textual.geometry import Size

from shopboard.base.served import DATA, HEAD, TOLD, bounded, packet, served, told_packet
from shopboard.board.going_on import go_on_at
from shopboard.board.keys_in import KeysIn
from shopboard.board.page_told import PageTold, told_of
from shopboard.board.paper_told import ASK
from shopboard.board.screens.typing import TypingScreen

if TYPE_CHECKING:
    from shopboard.board.app import BoardApp

_TAKEN = "\x1b[?1049h\x1b[?1000h\x1b[?1006h\x1b[?2004h\x1b[?25l\x1b[2J"
"""The other picture, buttons and wheel of the mouse, marks around what is pasted, no cursor."""


class PageTerminal(Driver):
    """Draws to a page, and hears what is done there."""

    def __init__(self, app: Any, **options: Any) -> None:
        super().__init__(app, **options)
        self._board = cast("BoardApp", app)
        shown = served()
        self._go_on = shown.go_on if shown is not None else ""
        """What is still to be gone on with."""
        self._size = (shown.columns, shown.rows) if shown is not None else (80, 24)
        self._in, self._out = sys.__stdin__.fileno(), sys.__stdout__.fileno()  # type: ignore[union-attr]
        self._keys = KeysIn()
        self._gone = False
        self._tells = False
        """Whether it is about to say what is shown."""
        self._told: PageTold | None = None
        self._turn = int.from_bytes(os.urandom(4)) << 16
        """Number of what is shown: of a question, whatever is typed to it; no other board has it,
        so that what was asked before a server was killed is not answered after it."""

    def write(self, data: str) -> None:
        """Draw, and say soon what is asked there."""
        self._send(packet(DATA, data.encode("utf-8", "replace")))
        if not self._tells:
            self._tells = True
            self._app.call_later(self._tell)

    def _send(self, data: bytes) -> None:
        try:
            while data and not self._gone:
                data = data[os.write(self._out, data) :]
        except OSError:
            self._gone = True
            self._board.terminal_gone()

    def _tell(self) -> None:
        """Say what is shown in words, where that changed."""
        self._tells = False
        top = self._board.top
        if top is None:
            return
        if self._go_on and self._board.has_open_shop:
            place, self._go_on = self._go_on, ""
            go_on_at(top, place)
            return
        told = told_of(top)
        if self._told is None or self._told.mark != told.mark:
            self._turn += 1
        if self._told != told:
            self._told = told
            self._send(told_packet({"type": "told", "turn": self._turn, **told.said}))

    def start_application_mode(self) -> None:
        """Take the page."""
        self.write(_TAKEN)
        self._resize(*(self._size or (80, 24)))
        Thread(target=self._read, daemon=True, name="page").start()

    def disable_input(self) -> None:
        """Hear no more; it ends with the program."""

    def stop_application_mode(self) -> None:
        """Say that no more will be drawn."""
        self._send(told_packet({"type": "exit"}))

    def ask_for_paper(self) -> None:
        """Ask for the colour behind everything; whoever reads the keys hears the answer."""
        self._send(packet(DATA, ASK.encode()))

    def _read(self) -> None:
        """Take packets until there are no more: then the page, or who serves it, is gone."""
        try:
            while head := self._take(HEAD):
                payload = self._take(int.from_bytes(head[1:], "big"))
                if head[:1] == DATA:
                    self._take_keys(payload)
                elif head[:1] == TOLD:
                    self._in_turn(json.loads(payload))
        except BaseException as error:  # noqa: BLE001 - deaf is worse than stopped
            self._board.failed_elsewhere(error)
        else:
            self._gone = True
            self._board.terminal_gone()

    def _take(self, size: int) -> bytes:
        """Read so many bytes; none where there are no more."""
        data = b""
        while len(data) < size:
            came = os.read(self._in, size - len(data))
            if not came:
                return b""
            data += came
        return data

    def _take_keys(self, data: bytes) -> None:
        """Read keys; a packet holds whole ones, so that Escape at its end is Escape."""
        now = monotonic()
        for message in self._keys.feed(data, now):
            self.process_message(message)
        for message in self._keys.lull(now):
            self.process_message(message)

    def _in_turn(self, told: dict[str, Any]) -> None:
        """Do what the page says, between the keys: in the order in which both came."""
        with contextlib.suppress(RuntimeError):  # it has ended meanwhile
            self.send_message(events.Callback(partial(self._heard, told)))

    async def _heard(self, told: dict[str, Any]) -> None:
        if told["type"] == "resize":
            self._resize(told["width"], told["height"])
        elif told["type"] == "press":
            await self._board.let_go()
            top, last = self._board.top, self._told
            if top is None or last is None or told["turn"] != self._turn:
                return
            if last.mark == told_of(top).mark:  # else another question came up, and is untold yet
                if isinstance(top, TypingScreen) and top.field == "words" and told.get("words"):
                    top.call_later(top.clear_field)
                    top.post_message(events.Paste(told["words"]))
                top.clicked(told["key"])
        elif told["type"] == "show":
            self._show_anew()

    def _resize(self, columns: int, rows: int) -> None:
        size = Size(*bounded(columns, rows))
        self._size = (size.width, size.height)
        self._app.post_message(events.Resize(size, size))

    def _show_anew(self) -> None:
        """Draw all of it and say all of it, to a page that knows nothing of it yet."""
        self._told = None
        self.write(_TAKEN)
        self._board.draw_anew()
        for screen in self._app.screen_stack:
            screen.refresh(layout=True)
        self.ask_for_paper()
