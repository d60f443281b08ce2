"""Streams of one to six sequences that no terminal should send, to the reader of the terminal.

Half of the streams are noise, of which is asked only that nothing fails, that nothing comes of it
but keys, pastes and focus, that it does not matter where the reads cut it, and that a key after
it is that key. The other half are put together of pieces whose meaning is known from outside:
text by the decoder of Python (the Unicode standard, 3.9, says what is replaced), sequences and
answers in words by their form (ECMA-48, 5.4 and 5.6: what is no key gives nothing, not its
digits), keys by the table of Textual, pastes by their brackets (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from random import Random

from textual import events
from textual._ansi_sequences import ANSI_SEQUENCES_KEYS
from textual._xterm_parser import XTermParser
from textual.message import Message

from shopboard.board.keys_in import LONGEST_PASTE, MOST_PASTED, KeysIn
from tests.campaigns.frame import Campaign, Try, chance

Meaning = tuple[str, str]
"""What came, and its text: the character of a key, or else its name; what was pasted."""

_KNOWN = sorted(key for key in ANSI_SEQUENCES_KEYS if key.startswith("\x1b") and len(key) > 2)
_START, _END = b"\x1b[200~", b"\x1b[201~"
_VAST = (-1, 0, 1, 48, 0xD800, 0x10FFFF, 0x110000, 2**31, 2**63, 10**15)
_FINALS = bytes(range(0x40, 0x7F))
_LAST_WORDS = (b"\x1b[48;0;0;0;0t", b"\x1b[?2048;1$y", b"\x1b[<35;1;1M", b"\x1b[12;40R")
"""What no key is: a size among the keys, a mode, a mouse that is off, a place of the cursor."""


def meaning(message: Message) -> Meaning:
    """Give what came, in a form that can be compared."""
    if isinstance(message, events.Key):
        return "key", message.character or message.key
    if isinstance(message, events.Paste):
        return "paste", message.text
    return type(message).__name__, ""


def read(keys: KeysIn, chunks: Sequence[bytes], now: float) -> list[Meaning]:
    """Feed what comes at one time, read by read; give what it means once nothing more comes."""
    found = [one for chunk in chunks for one in keys.feed(chunk, now)]
    return [meaning(one) for one in (*found, *keys.tick(now + LONGEST_PASTE))]


def cut(draw: Random, stream: bytes) -> list[bytes]:
    """Cut a stream where reads might."""
    places = sorted(draw.choices(range(len(stream) + 1), k=draw.randint(0, 4)))
    return [stream[a:b] for a, b in zip([0, *places], [*places, len(stream)], strict=True)]


def _text(draw: Random) -> tuple[bytes, list[Meaning]]:
    """Text as it is typed, some of it in another encoding."""
    letters = "".join(
        chr(draw.choice((draw.randint(32, 126), draw.randint(0xA1, 0x2000)))) for _ in "abc"
    )
    data = letters.encode(draw.choice(("utf-8", "utf-8", "latin-1", "utf-16-le")), "replace")
    data = bytes(byte for byte in data if byte >= 32 and byte != 0x7F)
    data += b"."  # so that no letter is made of this and the next piece
    return data, [("key", char) for char in data.decode("utf-8", "replace")]


def _key(draw: Random) -> tuple[bytes, list[Meaning]]:
    """A key that Textual knows."""
    sequence = draw.choice(_KNOWN)
    found = [one for one in XTermParser().feed(sequence) if isinstance(one, events.Key)]
    return sequence.encode(), [meaning(one) for one in found]


def _too_large(draw: Random) -> tuple[bytes, list[Meaning]]:
    """A sequence with a number that no character has."""
    numbers = [str(draw.randint(0, 99)) for _ in range(draw.randint(0, 2))]
    numbers.insert(draw.randint(0, len(numbers)), str(draw.randint(0x110000, 10**15)))
    return b"\x1b[%s%c" % (";".join(numbers).encode(), draw.choice(b"u~ABCDEFHPQRSt")), []


def _words(draw: Random) -> tuple[bytes, list[Meaning]]:
    """An answer in words, of any length."""
    body = bytes(draw.choices(range(32, 127), k=draw.choice((1, 20, 300))))
    return b"\x1b%c%s%s" % (draw.choice(b"]PX^_"), body, draw.choice((b"\x07", b"\x1b\\"))), []


def _no_key(draw: Random) -> tuple[bytes, list[Meaning]]:
    """A whole sequence that is no key, or one that is far too long."""
    long = b"\x1b[%s%c" % (bytes(draw.choices(b"0123456789;", k=60)), draw.choice(_FINALS))
    return draw.choice((*_LAST_WORDS, long)), []


def _paste(draw: Random) -> tuple[bytes, list[Meaning]]:
    """A paste, which may hold anything but its own end."""
    inside = bytes(draw.choices(range(256), k=draw.choice((0, 1, 40, 400))))
    inside = inside.replace(_END, b"")
    text = inside.decode("utf-8", "replace").replace("\x00", "")
    return _START + inside + _END, [("paste", text)]


PIECES = (_text, _key, _too_large, _words, _no_key, _paste)
Piece = Callable[[Random], tuple[bytes, list[Meaning]]]


def noise(draw: Random) -> bytes:
    """Draw one piece of noise: bytes, a known piece that was damaged, or vast numbers."""
    sort = draw.randrange(4)
    if sort == 0:
        return draw.randbytes(draw.randint(1, 24))
    if sort == 1:
        numbers = (str(draw.choice(_VAST)) for _ in range(draw.randint(0, 5)))
        joined = draw.choice(";:").join(numbers).encode()
        return b"\x1b[%s%s%c" % (
            draw.choice((b"", b"<", b"?", b">", b"M")),
            joined,
            draw.choice(_FINALS),
        )
    piece = bytearray(draw.choice(PIECES)(draw)[0] or b"\x1b")
    if sort == 2:
        return bytes(piece[: draw.randint(1, len(piece))])
    piece[draw.randrange(len(piece))] = draw.choice(b"\x1b\x07\x9b\x90\xff[;0u~")
    return bytes(piece)


def _is_fit(one: Meaning) -> bool:
    """Tell whether something may come of a sequence: known, of text that can be kept, in bounds."""
    what, text = one
    known = what in ("key", "paste", "AppFocus", "AppBlur", "TerminalSupportsSynchronizedOutput")
    return known and len(text) <= MOST_PASTED and text.encode("utf-8", "replace").decode() == text


def attempt(draw: Random) -> str:
    """Try one stream; give what went wrong, with its bytes."""
    pieces = draw.randint(1, 6)
    wanted: list[Meaning] | None = None
    if draw.random() < 0.5:
        stream = b"".join(noise(draw) for _ in range(pieces))
    else:
        drawn = [draw.choice(PIECES)(draw) for _ in range(pieces)]
        stream = b"".join(data for data, _ in drawn)
        wanted = [one for _, means in drawn for one in means]
    chunks, keys = cut(draw, stream), KeysIn()
    try:
        found = read(keys, chunks, 100.0)
        whole = read(KeysIn(), [stream], 100.0)
        after = read(keys, [b"q"], 150.0)
        twice = read(keys, chunks, 200.0)
    except Exception as error:  # noqa: BLE001 - that is what is looked for
        return f"{chunks!r}: {error!r}"
    wrong = []
    if found != whole:
        wrong.append(f"{chunks!r} gives {found!r}, in one read {whole!r}")
    if wanted is not None and found != wanted:
        wrong.append(f"{stream!r} gives {found!r}, not {wanted!r}")
    if not all(map(_is_fit, found)):
        wrong.append(f"{stream!r} gives {found!r}")
    if after != [("key", "q")]:
        wrong.append(f"{chunks!r}, and a key after it gives {after!r}")
    if twice != found:
        wrong.append(f"{chunks!r} gives {found!r}, a second time {twice!r}")
    return "\n".join(wrong)


@contextmanager
def streams(seed: int) -> Iterator[Try]:
    """Try a stream at each index."""
    yield lambda index: attempt(chance(seed, index))


CAMPAIGN = Campaign(streams, count=300_000, in_ci=400)
