"""List the tasks: what is due and why, what is under way, what comes next."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from contextlib import closing

from shopboard.commands.output import moment_json, out, out_json
from shopboard.commands.shared import no_such, shop_opened
from shopboard.open_shop import OpenShop
from shopboard.upkeep.tasks import TaskStanding, task_words


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("machine", metavar="MACHINE", nargs="?", help="its id; left out: all")
    parser.add_argument("--json", action="store_true", help="JSON")
    parser.add_argument("--due", action="store_true", help="only those that are due or in progress")


def run(options: argparse.Namespace) -> int:
    """Print one task a line: those under way, those due, then the others as they fall due."""
    with closing(shop_opened(options)) as open_shop:
        machines = open_shop.shop.machines_by_id
        if options.machine is not None and options.machine not in machines:
            raise no_such("machine", options.machine, machines)
        rows = [
            (machine.machine.id, one)
            for machine in open_shop.standing.machines
            if options.machine in (None, machine.machine.id)
            for one in machine.tasks
        ]
        if options.due:
            rows = [row for row in rows if row[1].due or row[1].begun is not None]
        rows.sort(key=_coming)
        if options.json:
            out_json({"tasks": [task_json(open_shop, machine, one) for machine, one in rows]})
        else:
            widths = [max((len(f"{machine}.{one.task.id}") for machine, one in rows), default=0)]
            widths.append(max((len(one.task.name) for _, one in rows), default=0))
            out(*(_line(open_shop, machine, one, widths) for machine, one in rows))
    return 0


def _coming(row: tuple[str, TaskStanding]) -> tuple[bool, bool, bool, float]:
    one = row[1]
    on = one.due_on.timestamp() if one.due_on is not None else 0.0
    return (one.begun is None, not one.due, one.due_on is None, on if not one.due else 0.0)


def state_words(open_shop: OpenShop, one: TaskStanding) -> str:
    """Say how a task stands, in a few words."""
    begun = one.begun.uid if one.begun is not None else ""
    waits = (wait.words for wait in open_shop.waits() if begun and wait.mark[0] == begun)
    return task_words(one, next(waits, ""))


def _line(open_shop: OpenShop, machine: str, one: TaskStanding, widths: Sequence[int]) -> str:
    name = f"{machine}.{one.task.id:<{max(widths[0] - len(machine) - 1, 0)}}"
    return f"{name}  {state_words(open_shop, one):<12}  {one.task.name:<{widths[1]}}  {one.reason}"


def task_json(open_shop: OpenShop, machine: str, one: TaskStanding) -> dict[str, object]:
    """Give a task as data."""
    left = open_shop.seconds_left(one.begun)
    return {
        "id": f"{machine}.{one.task.id}",
        "name": one.task.name,
        "due": one.due,
        "reason": one.reason,
        "due_on": moment_json(one.due_on) if one.due_on else None,
        "last": moment_json(one.done.day) if one.done else None,
        "recorded": moment_json(one.done.when) if one.done else None,
        "by": (one.done.by or None) if one.done else None,
        "under_way": None
        if one.begun is None
        else {
            "steps_done": one.begun.steps,
            "steps": len(one.task.steps),
            "wait_seconds": None if left is None else max(0, round(left)),
        },
    }
