"""What was begun in the shop and is not done: changes of cutter, checks, tasks. Pure."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len

from shopboard.base.dates import ago
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.who import with_bench
from shopboard.board.hits import of_nines
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.nines import digit_of, first_of_nine, out_of_sight
from shopboard.board.paint import Line, clip, fit, said

if TYPE_CHECKING:
    from shopboard.open_shop import OpenShop
    from shopboard.upkeep.tasks import TaskStanding


class UnderWay(NamedTuple):
    """One thing that was begun."""

    name: str
    """Of the check or task; ``Blade change``."""
    machine: str
    """Its id."""
    where: str
    """Its name."""
    words: str
    """``begun 5 min ago``, ``Soak: 6 min left``; may be empty."""
    point: str = ""
    """Full name of the point that is being checked."""
    task: TaskStanding | None = None
    """With no point and no task it is a change of cutter."""


def all_under_way(open_shop: OpenShop) -> list[UnderWay]:
    """Give what is under way: where a cutter may be loose first, then checks, then tasks."""
    return [*_changes(open_shop), *_checks(open_shop), *_tasks(open_shop)]


def _changes(open_shop: OpenShop) -> Iterator[UnderWay]:
    """Give each change once, though it shows at every mode that the cutter serves."""
    under_way = (one.changing for one in open_shop.standing.machines)
    for one in dict.fromkeys(filter(None, under_way)):
        where = open_shop.shop.machines_by_id[one.machine].name
        yield UnderWay(f"{one.what[0].upper()}{one.what[1:]}", one.machine, where, "")


def _checks(open_shop: OpenShop) -> Iterator[UnderWay]:
    for name, entry in open_shop.waiting.items():
        point, begun = open_shop.shop.points[name], f"begun {ago(entry.when, open_shop.now())}"
        words = with_bench(begun, entry.by)
        where = open_shop.shop.machines_by_id[point.machine].name
        yield UnderWay(point.name, point.machine, where, words, point=name)


def _tasks(open_shop: OpenShop) -> Iterator[UnderWay]:
    """Give tasks, that which is to be gone on with first at the front."""
    waits = {(one.machine, one.standing.task.id): one.words for one in reversed(open_shop.waits())}
    begun = [
        (machine.machine, one)
        for machine in open_shop.standing.machines
        for one in machine.tasks
        if one.begun is not None
    ]
    first = open_shop.task_under_way()
    for machine, one in sorted(begun, key=lambda each: (each[0].id, each[1]) != first):
        words = waits.get((machine.id, one.task.id), "")
        yield UnderWay(one.task.name, machine.id, machine.name, words, task=one)


def named(found: Sequence[UnderWay]) -> str:
    """Name what is under way in a sentence; of more than two the first, and how many more."""
    first, *others = found
    if not others:
        join = ", " if first.point else ". "
        return said(f"{_called(first)}{join if first.words else ''}{first.words}")
    more = _called(others[0]) if len(others) == 1 else f"{len(others)} more"
    return said(f"{_called(first)}, or {more}")


def _called(one: UnderWay) -> str:
    """Name one; a change of cutter is called by its machine."""
    return one.name if one.point or one.task else f"{one.name} ({one.where})"


def said_of(one: UnderWay) -> str:
    """Say what is in progress in a few words: ``Wax the table: Haze: 8 min left``."""
    return f"{one.name}: {one.words}" if one.words else one.name


def under_way_lines(found: Sequence[UnderWay], cursor: int, size: tuple[int, int]) -> list[Line]:
    """List what is under way.

    Args:
        found: all of it.
        cursor: number of one, from 0.
        size: columns and rows.
    """
    width, room = size
    if not found:
        return [(), fit((("  Nothing is in progress any more.", "bold"),), width)]
    head = ("  Go on with which?", "bold")
    large = [LargeRow(one.name, (said(_about(one)), "")) for one in found]
    if lines := large_list(large, cursor, ((), (head,), ()), size):
        return lines
    names = min(max(cell_len(said(one.name)) for one in found) + 1, width // 2)
    seen = max(1, room - 3)
    first = max(0, min(first_of_nine(cursor), len(found) - seen), cursor + 1 - seen)
    lines = []
    for number, one in list(enumerate(found))[first : first + seen]:
        here = "bar" if number == cursor else "bold"
        at = f"{'►' if number == cursor else ' '}{digit_of(number, cursor):<2}"
        about = said(_about(one))
        name = fit(((clip(said(one.name), names), here),), names, here)
        line: Line = ((at, here), *name, (f" {clip(about, width - names - 5)}", "dim"))
        lines.append(of_nines(line, number, cursor))
    more = (f"   {out_of_sight(first, len(found) - first - seen)}", "dim")
    return [fit(line, width) for line in [(), (head, more), (), *lines]]


def _about(one: UnderWay) -> str:
    """Say where it is, and how far."""
    return f"{one.where}{', ' if one.words else ''}{one.words}"
