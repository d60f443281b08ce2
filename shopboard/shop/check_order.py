"""What is to be done before what on a machine: refused where it is not there, or in a circle."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import Machine
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault, Path, Report

_LISTED = 12
"""Names listed in a message at the most."""


def check_order(machine: Machine, path: Path, report: Report) -> None:
    """Report what the `before` of tasks and cutters cannot mean, and orders that go in a circle.

    Args:
        machine: the machine.
        path: of its table.
        report: takes what is found.
    """
    tasks, cutters = [one.id for one in machine.tasks], [one.id for one in machine.cutters]
    later = {one.id: [*one.undoes] for one in machine.tasks}
    said = [
        (("task", at), one.id, one.before, (*tasks, *cutters))
        for at, one in enumerate(machine.tasks)
    ]
    said += [
        (("cutter", at), one.id, one.before, (*tasks,)) for at, one in enumerate(machine.cutters)
    ]
    for place, ident, before, known in said:
        spot, others = (*path, *place, "before"), [one for one in known if one != ident]
        for name in filter(None, before):
            way = _way(later, name, ident)
            if way:
                words = " before ".join(map(shorten, (ident, *way)))
                report.add(Fault(spot, f"{words}: a circle", "leave one of them out"))
            elif name not in known:
                one, all_ = "task or cutter", "tasks and cutters"
                if place[0] == "cutter":
                    one, all_ = "task", "tasks"
                listed = f"{all_}: {', '.join(others[:_LISTED])}" if others else ""
                what = f"there is no {one} {shorten(name)} on this machine"
                report.add(Fault(spot, what, listed, did_you_mean(name, others)))
            else:
                later.setdefault(ident, []).append(name)


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
