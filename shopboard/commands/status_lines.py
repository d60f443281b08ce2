"""A machine of the shop in short lines, and a point as data: now, or as it stood on a past day."""

from __future__ import annotations

import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from datetime import datetime
from textwrap import wrap
from typing import TYPE_CHECKING

from shopboard.base.dates import age
from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.base.text import counted, harmless
from shopboard.base.who import with_bench
from shopboard.commands.output import moment_json
from shopboard.metrology.kind import in_units
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.up_next.items import NextItem, left_words
from shopboard.upkeep.cutter_words import blunt_words
from shopboard.upkeep.safety_record import DO_NOT_USE, round_words

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop

_NEXT = 3
"""Things to do that are named as the next ones."""


def machine_lines(one: MachineStanding, now: datetime, waits: Sequence[str] = ()) -> Iterator[str]:
    """Write one machine: what is wrong with it, a line each, and how many points are true."""
    yield from machine_head(one, now)
    listed = [each for each in one.points if each.state != "true"]
    yield from (point_line(each) for each in listed)
    yield from upkeep_lines(one, now)
    yield from (f"  {words}" for words in waits)
    good = len(one.points) - len(listed)
    if good and (listed or one.tag):
        yield f"  {counted(good, 'other')} true" if listed else f"  {counted(good, 'point')} true"


def machine_head(one: MachineStanding, now: datetime) -> Iterator[str]:
    """Write its state, its name, its id and when it was last checked; why it is not to be used."""
    state = DO_NOT_USE if one.tag else state_word(one.state)
    yield f"{_first(state)}  {one.machine.name} ({one.machine.id}), {_age(one, now)}"
    if one.tag:
        yield f"  why: {one.tag}"


def point_line(one: PointStanding, when: str = "") -> str:
    """Write a point: its state, its name, its full name as commands take it, and why.

    Args:
        one: how it stands.
        when: when it was checked, in words; empty: not told.
    """
    said = ": ".join(filter(None, (when, one.reason)))
    line = f"  {_first(state_word(one.state))}  {one.point.name} ({one.point.full_name})"
    return f"{line}: {said}" if said else line


def upkeep_lines(one: MachineStanding, now: datetime) -> Iterator[str]:
    """Write what is to be seen to on a machine besides its points."""
    if one.changing is not None:
        yield f"  {one.changing.what.upper()} IN PROGRESS"
    ident = one.machine.id
    yield from (f"  {blunt_words(each)} ({ident}.{each.cutter.id})" for each in one.due_off)
    yield from (f"  to do: {each.task.name} ({ident}.{each.task.id})" for each in one.to_do)
    if one.round is not None and one.round.wrong:
        yield f"  safety walk: {round_words(one.round, now)}"


def next_lines(open_shop: OpenShop) -> Iterator[str]:
    """Write what to do next: the tags, then the first few of the rest with their minutes."""
    from shopboard.up_next.known import known_minutes, worked_out

    most = len(open_shop.standing.tagged) + _NEXT
    items = worked_out(open_shop, most)
    minutes = known_minutes(open_shop)
    for one in items[:most]:
        yield f"next: {_next(one, minutes.get(one.key, ''))}"
    if left := left_words(items[most:]):
        yield f"and {left}; `shopboard prep` plans them"


def _next(one: NextItem, takes: str) -> str:
    """Write one thing to do, with its name as commands take it; of a tag its machine is told."""
    words = one.said if one.sort == "tag" else one.named
    return f"{words}, {takes}" if takes else words


def short(lines: Iterable[str]) -> Iterator[str]:
    """Break lines where a terminal ends; one that is read by another program stays whole."""
    columns = shutil.get_terminal_size().columns
    for line in map(harmless, lines):
        if not on_terminal() or len(line) <= columns:
            yield line
            continue
        indent = " " * (len(line) - len(line.lstrip()))
        yield from wrap(
            line.strip(),
            max(columns, 20),
            initial_indent=indent,
            subsequent_indent=f"{indent}    ",
            break_on_hyphens=False,  # an id stays whole, to be copied
        )


def on_terminal() -> bool:
    """Tell whether a person reads it."""
    return sys.stdout.isatty()


def _first(state: str) -> str:
    return f"{state:<{WIDEST_STATE}}"


def _age(one: MachineStanding, now: datetime) -> str:
    """Say when it was last checked; where there is nothing to check, when a task was done."""
    if one.points or not one.tasks:
        last = one.last
        return with_bench(last.age(now, "checked"), last.by) if last else "never checked"
    done = [task.done for task in one.tasks if task.done is not None]
    newest = max(done, key=lambda each: each.when, default=None)
    if newest is None:
        return "never done"
    return with_bench(age(newest.when, now, "done", clock_ok=newest.clock_ok), newest.by)


def point_json(one: PointStanding) -> dict[str, object]:
    """Give a point as data."""
    record = one.record
    return {
        "id": one.point.full_name,
        "name": one.point.name,
        "state": one.state,
        "reason": one.reason,
        "tolerance_used": one.used if one.used is None or one.used < 1e9 else None,
        "probability": one.probability,
        "due": moment_json(one.due_on) if one.due_on else None,
        "last": None
        if record is None
        else {
            "uid": record.uid,
            "when": moment_json(record.when),
            "by": record.by or None,
            "run": record.run,
            "method": record.method,
            "error": in_units(record.error, record.kind),
            "expanded": in_units(record.expanded, record.kind),
            "verdict": record.verdict,
        },
    }
