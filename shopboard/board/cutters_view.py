"""The cutters of a machine: where each is, how sharp, what it costs, what to see to. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.dates import day
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import NINE
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.upkeep.changing import Changing
from shopboard.upkeep.cutter_outlook import CutterOutlook
from shopboard.upkeep.cutter_supply import urgency
from shopboard.upkeep.cutter_words import (
    SHARP_MARKS,
    cost_words,
    edge_words,
    left_words,
    life_words,
    serves_words,
    sharp_words,
    use_words,
)
from shopboard.upkeep.cutters import CutterStanding

SHARP_STYLES = {"sharp": "true", "dirty": "due", "dull": "due", "worn out": "out"}
_NAMES = 61
"""Columns for a name at the most."""


def cutters_lines(
    here: Sequence[CutterStanding],
    ahead: Sequence[CutterOutlook],
    under_way: Changing | None,
    cursor: int,
    size: tuple[int, int],
) -> list[Line]:
    """Draw the cutters, then what to see to.

    Args:
        here: how they stand.
        ahead: what lies ahead for them.
        under_way: the change that is under way on the machine.
        cursor: number of a cutter, from 0.
        size: columns and rows.
    """
    width, room = size
    top: list[Line] = [()]
    if under_way is not None:
        words = f"  {under_way.what.upper()} IN PROGRESS: 0 goes on with it"
        top = [(), ((words, "danger"),), ()]
    rest = _ahead(ahead, width)
    large = [_in_large(one) for one in here if len(here) <= NINE]
    if lines := large_list(large, cursor, top, (width, room - len(rest))):
        return [fit(line, width) for line in (*lines, *rest)]
    seen = max(2, room - len(top) - 1 - min(len(rest), 8))
    blocks = _blocks(here, cursor, width, 2)
    if sum(map(len, blocks)) > seen:
        blocks = _blocks(here, cursor, width, 1)
    listed = [line for block in blocks for line in block]
    first = max(0, sum(map(len, blocks[: cursor + 1])) - seen)
    lines = [*top, *listed[first : first + seen], (), *rest]
    return [fit(line, width) for line in lines[:room]]


def _blocks(here: Sequence[CutterStanding], cursor: int, width: int, most: int) -> list[list[Line]]:
    """Of each cutter a line how it stands, then in `most` lines what is known of it."""
    longest = max((cell_len(said(one.cutter.name)) for one in here), default=0)
    names = min(longest + 1, _NAMES, width - 53)
    blocks: list[list[Line]] = []
    for number, one in enumerate(here):
        style = "bar" if number == cursor else "bold"
        mark = "►" if number == cursor else " "
        name = fit(((clip(said(one.cutter.name), names), style),), names, style)
        state = f" {SHARP_MARKS[one.state]} {one.state:<9}"
        where = f"{one.where:<18}{clip(use_words(one), max(width - names - 33, 0))}"
        stands: Line = (
            (f"{mark}{number + 1} ", style),
            *name,
            (state, "due" if one.blunt else SHARP_STYLES[one.state]),
            (where, ""),
        )
        known = wrap(_known(one), width - 5, most)
        blocks.append([stands, *(((f"    {text}", "dim"),) for text in known)])
    return blocks


def _in_large(one: CutterStanding) -> LargeRow:
    """Put how it stands beside its name, and what is known of it below."""
    words = ", ".join(filter(None, (one.state, one.where, use_words(one))))
    style = "due" if one.blunt else SHARP_STYLES[one.state]
    known = _known(one)
    below = ((known, "dim"),) if known else ()
    return LargeRow(one.cutter.name, (f"{SHARP_MARKS[one.state]} {words}", style), below)


def _known(one: CutterStanding) -> str:
    doubt = sharp_words(one) if one.doubted else one.unsure
    sent = f"sent {day(one.sent)}" if one.sent else ""
    life = one.life
    learnt = life_words(one) if life is not None and life.times else ""
    words = (
        doubt,
        edge_words(one),
        serves_words(one),
        sent,
        left_words(one),
        cost_words(one),
        learnt,
    )
    told = [word for word in words if word]
    if one.note:
        told.append(f"note: {said(one.note)}")
    return " · ".join(told) or "no details"


def _ahead(ahead: Sequence[CutterOutlook], width: int) -> list[Line]:
    """What to see to, the most pressing first, then what the dates rest on."""
    todo = sorted((one for look in ahead for one in look.supply), key=urgency)
    lines: list[Line] = []
    for one in todo:
        mark = "► " if one.now else "  "
        style = "due" if one.now else ""
        for at, text in enumerate(wrap(said(one.words), width - 6)):
            lines.append(((f"  {'  ' if at else mark}{text}", style),))
    if lines:
        lines.insert(0, (("  Needs attention", "bold"),))
    for look in ahead:
        names = said(look.group[0].cutter.name)
        more = f" and {len(look.group) - 1} more" if len(look.group) > 1 else ""
        cuts = any(one.state in ("sharp", "dirty") for one in look.group)
        until = f", sharp until about {day(look.until)}" if look.until and cuts else ""
        words = f"{names}{more}: {look.basis}{until}"
        lines += [((f"  {text}", "dim"),) for text in wrap(words, width - 4)]
    return lines
