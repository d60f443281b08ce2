"""What a terminal sends, made into keys: any bytes at all, and never an error.

Textual's own reader (8.2.8) stands behind this and sees one whole sequence at a time, because by
itself it can be brought down: a byte that is not UTF-8, a number beyond Unicode in a key, a key
that tells of its own release, all end its thread; a paste without an end and a window of no
columns leave the program deaf; a sequence that it does not know comes out as keys, digits among
them. Here a byte that is no text becomes U+FFFD, a number out of bounds or an unknown sequence
becomes nothing, and what never ends is ended by time.
"""

from __future__ import annotations

import re
from codecs import getincrementaldecoder
from collections.abc import Iterator

from textual import events, messages
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._xterm_parser import XTermParser
from textual.constants import ESCAPE_DELAY
from textual.message import Message

from shopboard.board import paper_told

PASTE_LULL = 1.0
"""Seconds without a byte after which a paste is over, though no end was sent."""

LONGEST_PASTE = 10.0
"""Seconds after which it is over, though something still comes: it may be a person's keys."""

MOST_PASTED = 10_000
"""Characters that are kept of a paste; a field takes the first line of it."""

REPLACED = "\ufffd"
"""Stands for bytes that are not UTF-8; it is seen in a note, and no number is taken with it."""

_ESC = "\x1b"
_PASTE, _PASTE_END = "\x1b[200~", "\x1b[201~"
_STRINGS = "]PX^_"
"""What begins an answer in words (ECMA-48: OSC, DCS, SOS, PM, APC); one is asked for."""

_LONGEST = 32
"""Characters of the longest sequence that can be a key."""

_LAST_CHARACTER = 0x10FFFF
_TAKEN = (
    events.Key,
    events.AppFocus,
    events.AppBlur,
    events.MouseDown,
    events.MouseUp,
    events.MouseScrollUp,
    events.MouseScrollDown,
    messages.TerminalSupportsSynchronizedOutput,
)
"""What may come of a sequence: of the mouse its buttons and wheel; how large the window is says the
system."""


class KeysIn:
    """Takes bytes as they come, with the seconds of a clock, and gives what they mean."""

    def __init__(self) -> None:
        self._decoder = getincrementaldecoder("utf-8")("replace")
        self._held = ""
        """A sequence that has begun; of one that is too long, or of words, no more than counts."""
        self._is_late = False
        """Whether the rest of an answer is waited for that stopped half-way."""
        self._paste: list[str] | None = None
        self._tail = ""
        """The newest characters of the paste, in which its end is looked for."""
        self._begun = self._last = 0.0

    def feed(self, data: bytes, now: float) -> Iterator[Message]:
        """Give what some bytes mean, as far as it is known by now."""
        yield from self.tick(now)
        self._last = now
        for char in self._decoder.decode(data):
            yield from self._take(char)

    def tick(self, now: float) -> Iterator[Message]:
        """Give what follows from nothing having come for a while."""
        if now - self._last >= ESCAPE_DELAY:
            yield from self.lull(now)

    def lull(self, now: float) -> Iterator[Message]:
        """Give what follows from no more of it coming, whatever the clock says."""
        for char in self._decoder.decode(b"", final=True):  # the rest of no character
            yield from self._take(char)
        self._decoder.reset()
        is_answer = paper_told.goes_on(self._held)
        if is_answer and now - self._last < paper_told.LATE:
            self._is_late = True
        else:
            yield from self._end()
        over = now - self._last >= PASTE_LULL or now - self._begun >= LONGEST_PASTE
        if self._paste is not None and over:
            yield self._pasted("".join(self._paste))

    def _take(self, char: str) -> Iterator[Message]:
        """Take one more character."""
        if self._paste is not None:
            yield from self._take_pasted(char, self._paste)
        elif not self._held:
            if char == _ESC:
                self._held = char
            else:
                yield from _meaning(char)
        elif self._held[1:] and self._held[1] in _STRINGS:
            yield from self._take_words(char)
        elif char == _ESC:
            yield from self._end()
            self._held = char
        elif self._held.startswith("\x1b[") and not " " <= char <= "~":
            self._held = ""  # no sequence has such a character: it was cut off
            yield from self._take(char)
        else:
            self._held = f"{self._held[:_LONGEST]}{char}"
            if _is_whole(self._held):
                whole, self._held = self._held, ""
                yield from self._whole(whole)

    def _take_words(self, char: str) -> Iterator[Message]:
        """Take one more character of an answer in words; of the one asked for all is kept."""
        after_esc = self._held.endswith(_ESC)
        longer = f"{self._held}{char}"
        if char == "\x07" or (after_esc and char == "\\"):
            self._is_late, whole, self._held = False, self._held, ""
            yield from paper_told.told(whole)
        elif self._is_late and not paper_told.goes_on(longer):  # a key: the rest never came
            self._is_late, self._held = False, ""
            yield from self._take(char)
        elif after_esc:
            self._held = _ESC
            yield from self._take(char)
        else:
            self._held = longer if paper_told.may_be(longer) else f"{self._held[:2]}{char}"

    def _take_pasted(self, char: str, paste: list[str]) -> Iterator[Message]:
        if len(paste) < MOST_PASTED:
            paste.append(char)
        self._tail = f"{self._tail}{char}"[-len(_PASTE_END) :]
        if self._tail == _PASTE_END:
            yield self._pasted("".join(paste).removesuffix(_PASTE_END))

    def _pasted(self, text: str) -> events.Paste:
        self._paste, self._tail = None, ""
        return events.Paste(text.replace("\x00", ""))

    def _whole(self, sequence: str) -> Iterator[Message]:
        """Give what a whole sequence means."""
        if sequence == _PASTE:
            self._paste, self._begun = [], self._last
        elif not sequence.startswith("\x1b[") or _is_bounded(sequence):
            yield from _meaning(sequence)

    def _end(self) -> Iterator[Message]:
        """Give what was begun and goes on no more: Escape, Alt and a key, or nothing."""
        held, self._held, self._is_late = self._held, "", False
        if held and len(held) <= 2:
            yield from _meaning(held)


def _is_whole(sequence: str) -> bool:
    """Tell whether a sequence has come to its end (ECMA-48, 5.4)."""
    first, rest = sequence[1], sequence[2:]
    if first == "O":
        return bool(rest)
    if first != "[":
        return first not in _STRINGS
    if rest[:1] == "[":  # function keys of a Linux console
        return len(rest) == 2
    if rest[:1] == "M":  # an old mouse: three characters that are no keys
        return len(rest) == 4
    return "@" <= rest[-1:] <= "~" or sequence in ANSI_SEQUENCES_KEYS  # some older keys end in $


def _is_bounded(sequence: str) -> bool:
    """Tell whether a sequence can be a key: its length, and each number in it a character."""
    numbers = [int(digits) for digits in re.findall("[0-9]+", sequence[: _LONGEST + 1])]
    fit = all(one <= _LAST_CHARACTER and not 0xD800 <= one <= 0xDFFF for one in numbers)
    return len(sequence) <= _LONGEST and fit


def _meaning(sequence: str) -> list[Message]:
    """Give what Textual makes of a character, a sequence, or Alt and a key; nothing in doubt."""
    parser = XTermParser()
    try:
        found = list(parser.feed(sequence))
        if not found and len(sequence) <= 2:
            found = list(parser.feed(""))
    except Exception:  # noqa: BLE001 - whatever it stumbles on is no key
        return []
    return [one for one in found if isinstance(one, _TAKEN)]
