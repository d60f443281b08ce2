"""What every screen has: a bar on top, a notice line, the keys at the bottom.

Pure: lines in, lines out.
"""

from __future__ import annotations

from shopboard.board.keys import ALSO, BACK, HELP, LEAVE, QUIT, Key, footer_words
from shopboard.board.paint import Line, clip, fit, plain, width_of, wrap

MOST_NOTICE_LINES = 4
SMALLEST = (60, 20)
"""Columns and rows below which nothing can be read."""

CURSOR = "►"
"""Begins the line that is chosen."""

DEMO: Line = (("▒DEMO▒", "due"),)
"""Stands before every bar where the records are made up."""


def bar(left: str, right: str, width: int) -> Line:
    """Write the top bar."""
    room = width - len(right) - 3
    words = fit(((f" {clip(left, room)} ", "top"),), width - len(right) - 1, "top")
    return (*words, (f"{right} ", "top"))


def footer(keys: tuple[Key, ...], width: int) -> Line:
    """Write the keys that count on this screen; those of leaving and of the rest are always there.

    Where room is short, the last of the others go: the list on `*` has them all.
    """
    shown = footer_words(keys)
    lasting = {key.label for key in (BACK, LEAVE, ALSO, HELP, QUIT)}
    for label, word in reversed(list(shown)):
        if width_of(_pieces(shown)) - 2 <= width:  # the two spaces behind it need not fit
            break
        if label not in lasting:
            shown.remove((label, word))
    return fit(_pieces(shown), width)


def _pieces(shown: list[tuple[str, str]]) -> Line:
    pieces: list[tuple[str, str]] = []
    for label, word in shown:
        pieces += [(f" {label} ", "key"), (f" {word}  ", "")]
    return tuple(pieces)


def framed(
    top: Line, body: list[Line], notice: Line, keys: tuple[Key, ...], size: tuple[int, int]
) -> list[Line]:
    """Put bar, body, notice and keys together to a screen of exactly `size` (columns, rows)."""
    width, height = size
    if width < SMALLEST[0] or height < SMALLEST[1]:
        return too_small(width, height)
    notices = _notice_lines(notice, width)
    room = height - 2 - len(notices)
    filled = [*(_whole_bar(one, width) for one in body[:room]), *([()] * (room - len(body)))]
    return [top, *filled, *notices, footer(keys, width)]


def _whole_bar(line: Line, width: int) -> Line:
    """Draw one unbroken bar over the line that is chosen; what is danger stays so.

    A pane beside others, which is one key as a whole, has its own.
    """
    text, style = line[0] if line else ("", "")
    if style not in ("bar", "key") or not text.lstrip().startswith(CURSOR):
        return line
    pieces = ((text, style if style.startswith("danger") else "bar") for text, style in line)
    return fit(tuple(pieces), width, "bar")


def _notice_lines(notice: Line, width: int) -> list[Line]:
    """Break a notice that is too long for one line: its end often says what to do."""
    if not notice:
        return [()]
    style = notice[0][1]
    return [((f" {one}", style),) for one in wrap(plain(notice), width - 2, MOST_NOTICE_LINES)]


def too_small(width: int, height: int) -> list[Line]:
    """Ask for a larger window."""
    words = f"Make the window larger: {SMALLEST[0]} x {SMALLEST[1]} at least."
    lines: list[Line] = [((one, "bold"),) for one in wrap(words, width, height)]
    return [*lines, *([()] * (height - len(lines)))]
