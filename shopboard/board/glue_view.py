"""The answer before a glue-up. Pure."""

from __future__ import annotations

from rich.cells import cell_len

from shopboard.base.text import counted
from shopboard.board.glue_lists import ANSWER_STYLES
from shopboard.board.glyphs import big, can_be_big
from shopboard.board.paint import Line, fit, said, wrap
from shopboard.metrology.quantity import Unit
from shopboard.prep.glue_up import ABOUT_FIT, GlueUpAnswer, Reason
from shopboard.prep.needs_words import (
    fit_mark,
    fit_words,
    minutes_words,
    sure_words,
    to_do_words,
)

GONE = "It is no longer in the shop file."
"""Said in the place of a project."""

_LARGER = (120, 40)
"""Columns and rows from which the answer is drawn twice as large."""


def working_lines(width: int) -> list[Line]:
    """Say that the answer is being worked out."""
    return [(), fit((("  Working it out ...", "bold"),), width)]


def answer_lines(
    found: GlueUpAnswer, unit: Unit, size: tuple[int, int], decided: str = ""
) -> list[Line]:
    """Draw the answer: large, then why and what to do, then every misfit that there is room for.

    Args:
        found: the answer.
        unit: the shop's.
        size: columns and rows.
        decided: what the person decided on hold; empty: nothing.
    """
    width, room = size
    lines: list[Line] = [()]
    lines += [((f"  {row}", ANSWER_STYLES[found.word]),) for row in _large(found.word, size)]
    lines += [((f"  {one}", "bold"),) for one in wrap(_decided(decided), width - 4, 2)]
    lines.append(())
    misfits = _misfits(found, unit, width)
    rest: list[Line] = []
    if found.go:
        rest += [((f"  {one}", "bold"),) for one in wrap(sure_words(found), width - 4)]
    reasons = [_reason(number, one, width) for number, one in enumerate(found.told, 1)]
    used = len(lines) + len(rest) + sum(map(len, reasons)) + 1
    rest = [*_others(found, width, room - used), *rest]
    used = len(lines) + len(rest) + sum(map(len, reasons)) + 1
    begun = set[str]()
    for one, drawn in zip(found.told, reasons, strict=True):
        lines += drawn[:-1]
        large = _large_act(one, width, room - used) if one.short not in begun else []
        begun.add(one.short)
        used += len(large)
        lines += [*large, ()]
    lines += rest
    while misfits and len(lines) + sum(map(len, misfits)) + 2 > room:
        misfits.pop()
    lines += [()] if misfits and not found.go else []
    lines += [line for drawn in misfits for line in drawn]
    lines = lines[: room - 1]
    lines += [()] * (room - 1 - len(lines))
    return [fit(line, width) for line in [*lines, ((f"  {ABOUT_FIT}", "dim"),)]]


def _others(found: GlueUpAnswer, width: int, room: int) -> list[Line]:
    """Name the reasons that are not told at length; where there is no room, say how many."""
    others = [one for one in found.reasons if one not in found.told]
    named: list[Line] = [
        ((f"    {'  ' if at else ''}{row}", "dim"),)
        for one in others
        for at, row in enumerate(wrap(said(f"and {one.words}."), width - 8, 3))
    ]
    if not named or len(named) <= room:
        return named
    return [((f"    and {counted(len(others), 'more reason')}, under n: needs", "dim"),)]


def _decided(words: str) -> str:
    return said(f"Your decision: {words}.") if words else ""


def _large_act(reason: Reason, width: int, room: int) -> list[Line]:
    """Write large what is to be checked, and how long it takes; whole or not at all."""
    if not reason.short:
        return []
    short, took, count = said(reason.short), minutes_words(reason), len(reason.points)
    parts = [f"{short}, {took}"] if count == 1 else [short, f"{count} checks, {took}"]
    rows = [row for words in parts for row in _packed(words, width - 4)]
    fits = all(map(can_be_big, parts)) and 4 * len(rows) <= room
    if not fits or any(cell_len(big(row)[0]) > width - 4 for row in rows):
        return []
    return [((f"  {line}", "bold"),) for row in rows for line in ("", *big(row))]


def _packed(words: str, cells: int) -> list[str]:
    """Break words into lines that fit in large letters, where each word does by itself."""
    rows: list[str] = []
    for word in words.split():
        longer = f"{rows[-1]} {word}" if rows else word
        if rows and cell_len(big(longer)[0]) <= cells:
            rows[-1] = longer
        else:
            rows.append(word)
    return rows


def _large(word: str, size: tuple[int, int]) -> list[str]:
    """Draw a word with square pixels: two columns to a row, or four to two where there is room."""
    times = 2 if size[0] >= _LARGER[0] and size[1] >= _LARGER[1] - 5 else 1
    rows = ["".join(pixel * 2 * times for pixel in row) for row in big(word, tall=True)]
    return [row for row in rows for _ in range(times)]


def _reason(number: int, reason: Reason, width: int) -> list[Line]:
    style = "danger" if reason.sort == "tag" else "bold"
    key = (
        (f" {number} ", "key") if reason.point or reason.sort in ("tag", "change") else ("   ", "")
    )
    words = said(f"{reason.words}.")
    first, *others = wrap(words, width - 8, 4)
    lines: list[Line] = [((" ", ""), key, (f" {first}", style))]
    lines += [((f"     {one}", style),) for one in others]
    to_do = to_do_words(reason)
    lines += [
        ((f"   {'→' if at == 0 else ' '} {one}", "due"),)
        for at, one in enumerate(wrap(said(to_do), width - 8, 4))
    ]
    return [*lines, ()]


def _misfits(found: GlueUpAnswer, unit: Unit, width: int) -> list[list[Line]]:
    """Write each misfit whole, over several lines where it must be."""
    drawn: list[list[Line]] = []
    for one in found.needs.fits:
        words = f"{fit_mark(one)} {one.effect.words}: {fit_words(one, unit)}"
        rows = wrap(words, width - 7, 4)
        drawn.append([((f"  {'  ' if at else ''}{row}", ""),) for at, row in enumerate(rows)])
    return drawn
