"""Whether this program is the board of a browser: what `shopboard serve` tells it, and hears of it.

Both ways go packets: a letter, four bytes of length (big endian), so many bytes. D are the
terminal's own bytes, M is one object of JSON.
"""

from __future__ import annotations

import json
import os
import re
from collections.abc import Mapping
from typing import Any

from shopboard.base.light_tuple import NamedTuple

WIDEST, HIGHEST = 1000, 400
"""The largest window that is drawn; one that claims more is a mistake of what it runs in."""

DATA, TOLD = b"D", b"M"
HEAD = 5
"""Bytes before what a packet holds."""

_SERVED, _GO_ON = "SHOPBOARD_SERVED", "SHOPBOARD_GO_ON"


class Served(NamedTuple):
    """How a board is to be shown in a browser."""

    columns: int
    rows: int
    go_on: str = ""
    """What it was at when its connection was lost, as the board itself names it; empty: nothing."""


def served() -> Served | None:
    """Give how this program is shown in a browser; None where it is not."""
    found = re.fullmatch(r"(\d{1,6})x(\d{1,6})", os.environ.get(_SERVED, ""), re.ASCII)
    if found is None:
        return None
    return Served(*bounded(int(found[1]), int(found[2])), os.environ.get(_GO_ON, ""))


def bounded(columns: int, rows: int) -> tuple[int, int]:
    """Give a size that can be drawn."""
    return max(1, min(columns, WIDEST)), max(1, min(rows, HIGHEST))


def environment_of(board: Served, base: Mapping[str, str]) -> dict[str, str]:
    """Give the environment in which a board is served, made of another one."""
    told = {_SERVED: f"{board.columns}x{board.rows}", _GO_ON: board.go_on}
    drawn = {"TERM": "xterm-256color", "COLORTERM": "truecolor", "TEXTUAL_FPS": "30"}
    return {**base, **drawn, **told}


def packet(letter: bytes, payload: bytes) -> bytes:
    """Write one packet."""
    return letter + len(payload).to_bytes(4, "big") + payload


def told_packet(told: Mapping[str, Any]) -> bytes:
    """Write one object as a packet."""
    return packet(TOLD, json.dumps(told).encode())
