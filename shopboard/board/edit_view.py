"""What the shop file says of a thing, to be changed from the board. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.light_tuple import NamedTuple
from shopboard.board.field import field_lines
from shopboard.board.hits import of_nines
from shopboard.board.nines import digit_of, out_of_sight
from shopboard.board.paint import Line, clip, said, wrap
from shopboard.writing.offers import Offer
from shopboard.writing.spelling import BETWEEN
from shopboard.writing.splice import LineChange


class EditRow(NamedTuple):
    """One line of the list: what can be chosen there."""

    sort: str
    """``setting``, ``not set``, ``thing``, ``add``, ``take out`` or ``write``."""
    name: str
    """Key of a setting, name of a thing, sort of what is added."""
    words: str
    of: str = ""
    """Sort of a thing."""
    called: str = ""
    """What a setting is called across the bench; empty: by its key."""


def rows_lines(rows: Sequence[EditRow], cursor: int, size: tuple[int, int]) -> list[Line]:
    """List what can be changed, nine lines with digits."""
    width, room = size
    room = max(room - 2, 1)
    first = max(0, min(cursor - room // 2, len(rows) - room))
    lines: list[Line] = [()]
    shown = [one.called or one.name for one in rows]
    wide = max((len(shown[at]) for at, one in enumerate(rows) if "set" in one.sort), default=0)
    for number, row in enumerate(rows[first : first + room], first):
        mark = "►" if number == cursor else " "
        name = f"{shown[number]:<{wide}}  " if "set" in row.sort else ""
        style = {"setting": "bold", "thing": "bold", "write": "bold"}.get(row.sort, "dim")
        words = clip(said(f"{name}{row.words}"), width - 7)
        digit = digit_of(number, cursor) or " "
        line: Line = ((f" {mark}{digit} ", "key"), (f" {words}", style))
        lines.append(of_nines(line, number, cursor))
    lines.append(((f"  {out_of_sight(first, len(rows) - first - room)}", "dim"),))
    return lines


class Answering(NamedTuple):
    """How far the answer to a setting is."""

    entry: str
    """What is typed; not shown where there are options."""
    meant: str
    """How that is understood, where it is no more than a number."""
    ticked: frozenset[str]
    cursor: int


def asked_lines(offer: Offer, asked: Answering, now: str, size: tuple[int, int]) -> list[Line]:
    """Ask for the value of a setting: what it is for, what may stand there, field or options.

    Args:
        offer: what is asked for.
        asked: how far the answer is.
        now: what stands there, as it is written; empty: nothing.
        size: columns and lines.
    """
    width, room = size
    lines: list[Line] = [()]
    lines += _wrapped(offer.words, "bold", width)
    if not offer.options:
        lines += _wrapped(f"Allowed: {offer.allowed}.", "", width)
        more = f"; several with {BETWEEN} between them" if offer.several else ""
        lines += _wrapped(f"Such as {offer.example}{more}", "dim", width)
    left_out = f"Left out: {offer.left_out}" if offer.left_out else ""
    lines += _wrapped(f"In the file: {offer.key}", "dim", width) if offer.key else []
    lines += [*_wrapped(f"Now: {now}" if now else left_out, "dim", width), ()]
    if not offer.options:
        return [*lines, *field_lines(asked.entry, said(asked.meant), width)][:room]
    left = max(room - len(lines) - 1, 1)
    first = max(0, min(asked.cursor - left // 2, len(offer.options) - left))
    values = [cell_len(_yes_no(value)) for value, means in offer.options if means]
    wide = min(max(values, default=0), width // 3)
    for number, (value, means) in enumerate(offer.options[first : first + left], first):
        mark = "►" if number == asked.cursor else " "
        tick = ("[x] " if value in asked.ticked else "[ ] ") if offer.several else ""
        told = _yes_no(value)
        words = clip(f"{tick}{told:<{wide}}  {means}" if means else f"{tick}{told}", width - 7)
        digit = digit_of(number, asked.cursor) or " "
        line: Line = ((f" {mark}{digit} ", "key"), (f" {words}", "bold"))
        lines.append(of_nines(line, number, asked.cursor))
    if len(offer.options) > left:
        beyond = out_of_sight(first, len(offer.options) - first - left)
        lines.append(((f"  {beyond}", "dim"),))
    return lines[:room]


def _yes_no(value: str) -> str:
    return {"true": "yes", "false": "no"}.get(value, value.replace("_", " "))


def changed_lines(changed: Sequence[LineChange], odd: Sequence[str], width: int) -> list[Line]:
    """Show the lines of the file that go and come, with their numbers, and what is odd then."""
    lines: list[Line] = [(), (("  These lines of the shop file change:", "bold"),), ()]
    for one in changed:
        for sign, first, texts, style in (
            ("-", one.old_line, one.old, "dim"),
            ("+", one.new_line, one.new, "bold"),
        ):
            for number, text in enumerate(texts, first):
                lines.append(((clip(said(f"{number:>6} {sign} {text}"), width - 1), style),))
    return [*(line for words in odd for line in _wrapped(f"odd: {words}", "due", width)), *lines]


def _wrapped(text: str, style: str, width: int) -> list[Line]:
    return [((f"  {line}", style),) for line in wrap(said(text), width - 4)]
