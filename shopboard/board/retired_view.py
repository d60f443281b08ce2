"""What is gone from the shop file, and its records. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from rich.cells import cell_len

from shopboard.base.dates import day
from shopboard.base.state_words import state_word
from shopboard.base.who import with_bench
from shopboard.board.glyphs import STATE_MARKS
from shopboard.board.paint import Line, clip, fit, said, wrap
from shopboard.board.result_row import method_columns, result_row, why_withdrawn
from shopboard.board.results_list import in_sight
from shopboard.journal import Entry, kinds
from shopboard.journal.kinds.rounds import answered_of
from shopboard.metrology.quantity import Unit
from shopboard.results.record import CheckRecord
from shopboard.upkeep.cutter_journal import act_words
from shopboard.upkeep.rename_hints import hint_words
from shopboard.upkeep.retired import Retired, what_it_is
from shopboard.upkeep.safety_record import DO_NOT_USE


def retired_lines(retired: Sequence[Retired], cursor: int, size: tuple[int, int]) -> list[Line]:
    """List what is gone; below it, what the one under the cursor may have become.

    Args:
        retired: what is on record under names that are not in the shop file.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    width, room = size
    words = "No longer in the shop file; every record stays. An id that changed gets its records"
    words += ' back by a line  was = "old-id"  below the new id.'
    lines: list[Line] = [((f" {one}", "dim"),) for one in wrap(words, width - 2, 3)]
    lines.append(())
    below = (
        [f"Probably: {'; '.join(hint_words(retired[cursor]))}"] if _hinted(retired, cursor) else []
    )
    rest = [((f"  {one}", "due"),) for words in below for one in wrap(said(words), width - 4, 3)]
    names = min(max((cell_len(one.full_name) for one in retired), default=0), width // 2)
    digits = len(str(len(retired)))
    seen = max(2, room - len(lines) - 4)
    first = max(0, cursor - seen + 1)
    for number, one in list(enumerate(retired))[first : first + seen]:
        lines.append(_row(one, f"{number + 1:<{digits}}", number == cursor, names))
    return [fit(line, width) for line in [*lines, (), *rest][:room]]


def _hinted(retired: Sequence[Retired], cursor: int) -> bool:
    return cursor < len(retired) and bool(retired[cursor].became)


def _row(one: Retired, number: str, here: bool, names: int) -> Line:
    style = "bar" if here else "bold"
    at = (f"{'►' if here else ' '}{number} ", style)
    name = (at, *fit(((clip(said(one.full_name), names), style),), names + 2))
    verdict = one.verdict if one.verdict in STATE_MARKS else ""
    state = f"{STATE_MARKS[verdict]} {state_word(verdict)}" if verdict else what_it_is(one)
    return (
        *name,
        (f"{day(one.when):<16} ", "dim"),
        (f"{state:<12} ", verdict or "dim"),
        (said(one.name), ""),
    )


def kept_lines(
    history: Sequence[CheckRecord],
    others: Sequence[Entry],
    cursor: int,
    unit: Unit,
    size: tuple[int, int],
) -> list[Line]:
    """List the records of one that is gone.

    Args:
        history: results of a point, newest first; empty for a machine.
        others: what else is on record of a machine, newest first.
        cursor: number of a result, from 0.
        unit: the shop's unit.
        size: columns and rows.
    """
    width, room = size
    lines: list[Line] = [(), (("  Recorded, newest first", "bold"),)]
    columns, seen = method_columns((), history), room - 2
    first = max(0, cursor - seen + 1)
    blocks: list[list[Line]] = []
    for number, record in list(enumerate(history))[first : first + seen]:
        row = result_row(record, number == cursor, unit, width, columns)
        blocks.append([row, *why_withdrawn(record, row, width)])
    lines += in_sight(blocks, cursor - first, seen)
    for entry in others[:seen]:
        void = f"  WITHDRAWN: {entry.void}" if entry.void is not None else ""
        words = f"  {day(entry.when):<16} {with_bench(_told(entry), entry.by)}{void}"
        lines.append(((clip(said(words), width), "struck" if void else ""),))
    return [fit(line, width) for line in lines[:room]]


def _told(entry: Entry) -> str:
    """Say what an entry of a machine records; its other things have no names but their ids now."""
    if entry.kind == kinds.HAPPENING.name:
        return kinds.HAPPENING.read(entry).what
    if entry.kind == kinds.CUTTER.name:
        if entry.point:
            return f"cutter {entry.point}: {act_words(entry)}"
        return f"change of cutter: {kinds.CHANGE_WAY.read(entry).what}"
    if entry.kind == kinds.ROUND.name:
        count, of = answered_of(entry.body)
        return f"daily safety walk, {count} of {of} answered"
    if entry.kind == kinds.TAG.name:
        tag = kinds.TAG.read(entry)
        up = f"{DO_NOT_USE}: {tag.why or 'no reason'}"
        return up if tag.out_of_use else f"tag cleared: {tag.why}"
    return f"task {entry.point}: done"
