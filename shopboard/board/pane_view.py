"""One pane of the board: a machine's state large, its last check, what is open. Pure."""

from __future__ import annotations

from datetime import datetime

from rich.cells import cell_len

from shopboard.base.state_words import state_word
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, state_letters
from shopboard.board.paint import Line, clip, fit, said
from shopboard.board.pane_below import below, last_check
from shopboard.standing.model import MachineStanding
from shopboard.upkeep.cutter_words import SHARP_MARKS, blunt_word

TALL_FROM = 12
"""Rows from which the large letters take five rows instead of three."""
_SIDE_LEAST = 13
"""Columns beside the large word that are worth writing in."""


def pane(
    standing: MachineStanding,
    number: int,
    here: bool,
    now: datetime,
    size: tuple[int, int],
    wait: str = "",
) -> list[Line]:
    """Draw one pane, exactly as high as its size says.

    Args:
        standing: how the machine stands.
        number: the digit that opens it.
        here: whether the cursor is on it.
        now: the time, for ages.
        size: columns and rows.
        wait: what is left alone within one of its tasks, in words; empty: nothing.
    """
    width, height = size
    inner = width - 2
    rows = _large(standing, inner, now, height >= TALL_FROM)
    rows += below(standing, inner, now, height - 1 - len(rows))
    side = ("▌ ", "danger" if standing.tag else standing.state) if here else ("  ", "")
    framed = [(side, *row) for row in rows]
    return [_title(standing, number, here, width - 1, wait), *framed][:height]


def _title(standing: MachineStanding, number: int, here: bool, width: int, wait: str) -> Line:
    mark = "►" if here else " "
    name = f"{mark}{number} {said(standing.machine.name)} "
    right = clip(said(wait), width - 14) or _open_work(standing, width - cell_len(name) - 2)
    left = clip(name, width - cell_len(right) - 2)
    rule = "─" * max(0, width - cell_len(left) - cell_len(right) - 1)
    style = "bar" if here else "bold"
    return ((left, style), (rule, "dim"), (f" {right}", "due" if wait else "dim"))


def _open_work(standing: MachineStanding, room: int) -> str:
    """Say what is open, as fully as there is room for."""
    check, do = standing.to_check, len(standing.to_do)
    words: list[tuple[str, str]] = []  # each as it is said, and shorter
    if standing.changing is not None:
        words.append((standing.changing.what, standing.changing.what))
    if check:
        words.append((f"{check} to check", f"check {check}"))
    for one in standing.blunt:  # before the tasks: the last goes where room is short
        mark = SHARP_MARKS["dull"]
        words.append((f"{mark} cutter {blunt_word(one)}", f"{mark} {blunt_word(one)}"))
    if do:
        words.append((f"{do} to do", f"do {do}"))
    full, short = (" · ".join(form) for form in zip(*words, strict=True)) if words else ("", "")
    while len(full) > room and len(short) > room and len(words) > 1:
        words.pop()
        short = " · ".join(form for _, form in words)
    return full if len(full) <= room else short


def _large(standing: MachineStanding, width: int, now: datetime, tall: bool) -> list[Line]:
    """Picture and state in large letters, with the last check beside where there is room."""
    if standing.tag:
        return _large_tag(standing, width, now, tall)
    word = state_letters(standing.state, tall, width - 5)
    picture = STATE_PICTURES[standing.state]
    side_width = width - 5 - len(word[0]) - 2
    side = last_check(standing, now) if side_width >= _SIDE_LEAST else []
    lines: list[Line] = []
    for row, letters in enumerate(word):
        drawn = picture[row] if row < len(picture) else " " * 4
        beside_it = clip(side[row], side_width) if row < len(side) else ""
        lines.append(fit(((f"{drawn} {letters}  ", standing.state), (beside_it, "")), width))
    return lines


def _large_tag(standing: MachineStanding, width: int, now: datetime, tall: bool) -> list[Line]:
    """Say in large letters that it is not to be used; how it stands comes after that."""
    from shopboard.board.tag_view import large_tag

    rows = large_tag(tall)
    room = width - len(rows[0]) - 2
    state = f"{STATE_MARKS[standing.state]} {state_word(standing.state)}"
    told = [state, *last_check(standing, now)] if room >= _SIDE_LEAST else []
    words = [*told, *([""] * len(rows))][: len(rows)]
    return [
        fit(((f"{row}  ", "danger"), (clip(more, room), "")), width)
        for row, more in zip(rows, words, strict=True)
    ]
