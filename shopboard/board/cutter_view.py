"""One cutter: how it stands, what can be done with it, its record. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.base.dates import day, told_on
from shopboard.base.who import by_words
from shopboard.board.cutters_view import SHARP_STYLES
from shopboard.board.field import MINUS_ONCE_MORE, field_lines
from shopboard.board.glyphs import big, is_roomy
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.journal import Entry, kinds
from shopboard.journal.kinds import CutterSaid
from shopboard.shop.machine import USES
from shopboard.upkeep.cutter_journal import act_words
from shopboard.upkeep.cutter_words import (
    cost_words,
    edge_words,
    left_words,
    life_words,
    money,
    serves_words,
    sharp_words,
    use_words,
)
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.uses import use_words as amount_of


def cutter_lines(
    one: CutterStanding,
    choices: Sequence[str],
    chosen: int,
    field: tuple[str, str] | None,
    history: Sequence[Entry],
    size: tuple[int, int],
) -> list[Line]:
    """Draw a cutter.

    Args:
        one: how it stands.
        choices: what can be done, in words.
        chosen: number of the act that waits for its digit once more, from 1; 0: none.
        field: what is asked in the field, and what is typed into it; None: nothing is asked.
        history: its entries, newest first.
        size: columns and rows.
    """
    width, room = size
    style = "due" if one.blunt else SHARP_STYLES[one.state]
    beside = [one.where, edge_words(one) or use_words(one), edge_words(one) and use_words(one)]
    lines: list[Line] = [()] if is_roomy(size) else []
    lines += [
        ((f"  {letters}   ", style), (words, ""))
        for letters, words in zip(big(one.state), beside, strict=True)
    ]
    lines += _facts(one, width)
    lines.append(())
    lines += _choices(choices, chosen, width) if field is None else _asked(*field, width)
    lines.append(())
    title = "  Recorded, newest first" if history else "  Nothing recorded yet"
    lines.append(((title, "dim"),))
    lines += [_row(entry, one, width) for entry in history]
    return [fit(line, width) for line in lines[:room]]


def _facts(one: CutterStanding, width: int) -> list[Line]:
    """Say what is known of it, and what was noted."""
    sent = f"sent {day(one.sent)}" if one.sent else ""
    doubt = sharp_words(one) if one.doubted else one.unsure
    facts = [doubt, serves_words(one), sent, left_words(one), cost_words(one), life_words(one)]
    told = " · ".join(fact for fact in facts if fact)
    note = wrap(f"Note: {said(one.note)}", width - 4, 2) if one.note else []
    return [
        *(((f"  {text}", "dim"),) for text in wrap(told, width - 4, 2) if text),
        *(((f"  {text}", ""),) for text in note),
    ]


def _choices(choices: Sequence[str], chosen: int, width: int) -> list[Line]:
    return [
        (
            (f" {'►' if number == chosen else ' '}{number} ", "key"),
            (f" {clip(words, width - 7)}", "bold"),
        )
        for number, words in enumerate(choices, 1)
    ]


def _asked(asked: str, typed: str, width: int) -> list[Line]:
    lines: list[Line] = [((f"  {text}", "bold"),) for text in wrap(asked, width - 4)]
    return lines + field_lines(typed, MINUS_ONCE_MORE if typed == "-" else "", width)


def _row(entry: Entry, one: CutterStanding, width: int) -> Line:
    """Write one entry: when, what, and how it stood afterwards."""
    told, when = kinds.CUTTER.read(entry), entry.when.astimezone()
    paid_words = f", {money(told.paid, one.cutter.money)}" if told.paid is not None else ""
    used = _used_words(told, one.feet)
    stood = f"{told.state or ''}, {told.where or ''}"
    on = told_on(told.on, entry.when)
    of_day = f", of {day(on)}" if on is not None else ""
    by = f", {by_words(entry.by)}" if entry.by else ""
    words = f"{day(when):<15} {when:%H:%M}  {act_words(entry)}{used}{paid_words}{of_day}{by}"
    line = said(f"  {words:<50}  {stood}")
    if entry.void is not None:
        return ((clip(said(f"  {words}  WITHDRAWN: {entry.void}"), width), "struck"),)
    return ((clip(line, width), "dim"),)


def _used_words(told: CutterSaid, feet: bool) -> str:
    """Say how much was cut; a finished project is said already."""
    if not told.is_use or told.of not in USES:
        return ""
    if told.amount is None or not 0 <= told.amount < 1e12:
        return ""
    return f" {amount_of(told.of, told.amount, 'inch' if feet else 'mm')}"
