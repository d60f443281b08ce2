"""What can have happened to a machine, what each undoes, and what is on record. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.dates import ago, day, told_on
from shopboard.base.text import counted
from shopboard.base.who import by_words
from shopboard.board.nines import digit_of, first_of_nine
from shopboard.board.paint import Line, fit, said, with_words, wrap
from shopboard.journal import Entry, kinds
from shopboard.shop.machine import NOTE, PROJECT_FINISHED, USES, Machine
from shopboard.shop.model import Shop
from shopboard.upkeep.happenings import project_name
from shopboard.upkeep.undone import to_check, undone_through
from shopboard.upkeep.uses import use_words

_MOST_ORDER = 4
"""Lines that the order of checking may take."""
_ROOM_FOR_ORDER = _MOST_ORDER + 4
"""Rows that must be left for it, and for what is on record."""


def happened_lines(
    shop: Shop,
    machine: Machine,
    listed: Sequence[str],
    cursor: int,
    entries: Sequence[Entry],
    now: datetime,
    size: tuple[int, int],
    taking: int = -1,
) -> list[Line]:
    """Draw the list, and below it what is on record.

    Args:
        shop: the shop.
        machine: the machine it happened to.
        listed: what can have happened, in its order.
        cursor: number of a line of it, from 0.
        entries: what is on record, newest first.
        now: the time.
        size: columns and rows.
        taking: number of the entry that may be withdrawn, from 0; below 0: none.
    """
    width, room = size
    seen = min(len(listed), room - 3)
    first = max(0, min(first_of_nine(cursor), len(listed) - seen), cursor - seen + 1)
    lines: list[Line] = []
    for number, what in list(enumerate(listed))[first : first + seen]:
        here = number == cursor
        label = digit_of(number, cursor) or " "
        mark, style = ("►", "bar") if here else (" ", "key")
        lines.append(
            (
                (f" {mark}{label} ", style),
                (f" {what:<18}", "bold"),
                (undoes(shop, machine, what), "dim"),
            )
        )
    if room - len(lines) >= _ROOM_FOR_ORDER:
        lines += in_order(shop, machine, listed[cursor], width)
    lines += [(), (("  Recorded, newest first:" if entries else "  Nothing on record.", "dim"),)]
    for number, entry in list(enumerate(entries))[max(0, taking - 1) :]:
        what = said(kinds.HAPPENING.read(entry).what)
        mark, style = (" ►", "bold") if number == taking else ("  ", "dim")
        row = f"{mark}{what:<18} {ago(entry.when, now):<15} "
        lines += with_words(row, _details(entry, shop, machine.id), style, width)
    return [fit(line, width) for line in lines[:room]]


def in_order(shop: Shop, machine: Machine, what: str, width: int) -> list[Line]:
    """Name what a happening makes to be checked again, in the order to check it."""
    names = to_check(shop, machine.id, what)
    if not names:
        return []
    order = ", in this order" if len(names) > 1 else ""
    words = said(f"To check after {what}{order}: {', '.join(names)}.")
    return [(), *(((f"  {one}", ""),) for one in wrap(words, width - 4, _MOST_ORDER))]


def undoes(shop: Shop, machine: Machine, what: str) -> str:
    """Say what a happening makes to be checked or done again, through the chain."""
    if what in USES:
        return "counts toward what falls due by use"
    if what == NOTE:
        return "words for the record"
    machines = shop.machines
    if what != PROJECT_FINISHED:
        machines = shop.happens_to(machine.id, what)
    points = undone_through(shop, machine, what)
    tasks = sum(1 for one in machines for task in one.tasks if what in task.after)
    words = []
    if points:
        words.append(f"{counted(len(points), 'point')} to check again")
    if tasks:
        words.append(f"{counted(tasks, 'task')} due")
    if what == PROJECT_FINISHED:
        words.append("counts for the machines that ran")
    return "; ".join(words) or "no check affected"


def _details(entry: Entry, shop: Shop, machine_id: str) -> str:
    """Write amount and words of a happening; of a project, what counts for this machine."""
    told, unit = kinds.HAPPENING.read(entry), shop.unit
    what, amount, total = told.what, told.amount, told.total
    on = told_on(told.on, entry.when)
    words = [f"of {day(on)}"] if on is not None else []
    words += [said(project_name(shop, told.project))] if told.project else []
    if amount is not None and total is not None and what in USES:
        words.append(f"{use_words(what, amount, unit)}, {use_words(what, total, unit)} in all")
    if what == PROJECT_FINISHED and total is not None:
        here = max(0.0, total - told.not_on.get(machine_id, 0.0))
        words += ["did not run here"] if machine_id in told.spared else []
        words.append(f"{use_words(what, here, unit)} here in all")
    if told.machines is not None:
        words.append(f"ran on {counted(len(told.machines), 'machine')}")
    if told.note:
        words.append(said(told.note))
    words += [by_words(entry.by)] if entry.by else []
    return "; ".join(words)
