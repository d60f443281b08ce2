"""What is to be done before what: refused where it is not there, or in a circle."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Machine, full_name
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Report

_LISTED = 12
"""Names listed in a message at the most."""


class _Said(NamedTuple):
    """What a task or a cutter says of what comes after it."""

    path: Path
    machine: str
    id: str
    before: tuple[str, ...]
    may: tuple[str, ...]
    """What it may name, in full."""


def check_order(machines: Sequence[Machine], report: Report) -> None:
    """Report what the `before` of tasks and cutters cannot mean, and orders that go in a circle.

    Args:
        machines: of the shop.
        report: takes what is found.
    """
    later = {
        f"{machine.id}.{one.id}": [full_name(name, machine.id) for name in one.undoes]
        for machine in machines
        for one in machine.tasks
    }
    for said in _said(machines):
        for word in filter(None, said.before):
            _check(said, word, later, report)


def _said(machines: Sequence[Machine]) -> Iterator[_Said]:
    tasks = tuple(f"{machine.id}.{one.id}" for machine in machines for one in machine.tasks)
    cutters = tuple(f"{machine.id}.{one.id}" for machine in machines for one in machine.cutters)
    for at, machine in enumerate(machines):
        spot = ("machine", at)
        for number, task in enumerate(machine.tasks):
            path: Path = (*spot, "task", number, "before")
            yield _Said(path, machine.id, task.id, task.before, (*tasks, *cutters))
        for number, cutter in enumerate(machine.cutters):
            path = (*spot, "cutter", number, "before")
            yield _Said(path, machine.id, cutter.id, cutter.before, tasks)


def _check(said: _Said, word: str, later: dict[str, list[str]], report: Report) -> None:
    """Look at one word of a `before`; what it means is kept in `later`."""
    own, name = f"{said.machine}.{said.id}", full_name(word, said.machine)
    way = _way(later, name, own)
    if way:
        words = " before ".join(shorten(_short(one, said.machine)) for one in (own, *way))
        report.add(Fault(said.path, f"{words}: a circle", "leave one of them out"))
    elif name not in said.may:
        one, all_ = "task or cutter", "tasks and cutters"
        if said.path[2] == "cutter":
            one, all_ = "task", "tasks"
        machine, _, ident = name.rpartition(".")
        where = "this machine" if machine == said.machine else shorten(machine)
        others = [_short(each, said.machine) for each in said.may if each != own]
        short = _short(name, said.machine)
        there = [each for each in others if each.rpartition(".")[0] == short.rpartition(".")[0]]
        listed = f"{all_}: {', '.join(there[:_LISTED])}" if there else ""
        what = f"there is no {one} {shorten(ident)} on {where}"
        report.add(Fault(said.path, what, listed, did_you_mean(short, others)))
    else:
        later.setdefault(own, []).append(name)


def _short(name: str, machine: str) -> str:
    """Name what is on a machine by its id alone, as its own settings do."""
    return name.removeprefix(f"{machine}.")


def _way(later: Mapping[str, list[str]], start: str, end: str) -> tuple[str, ...]:
    """Give a way from one to what comes after it, the first and the last on it; empty: none."""
    ways: list[tuple[str, ...]] = [(start,)]
    seen = {start}
    for way in ways:
        if way[-1] == end:
            return way
        for one in later.get(way[-1], ()):
            if one not in seen:
                seen.add(one)
                ways.append((*way, one))
    return ()
