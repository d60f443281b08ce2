"""Record that a task was done, or take the newest such mark back."""

from __future__ import annotations

import argparse
from contextlib import closing

from shopboard.base.dates import day, told_on
from shopboard.commands.acts import act, another, found, say_on_record, uid_argument
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say
from shopboard.commands.shared import (
    ON_HELP,
    few_words,
    no_such,
    refuse_beside_take_back,
    said_of,
    shop_opened,
    withdraw_argument,
)
from shopboard.journal import kinds
from shopboard.open_shop import OpenShop
from shopboard.shop.machine import Task
from shopboard.upkeep.task_marks import record_task, take_back_task
from shopboard.upkeep.tasks import TaskStanding, done_since


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("task", metavar="MACHINE.TASK", help="as `tasks` lists it")
    withdraw_argument(parser, "withdraw the newest mark")
    parser.add_argument("--on", metavar="DAY", help=ON_HELP)
    parser.add_argument("--note", metavar="WORDS", help="words about it")
    uid_argument(parser)


def run(options: argparse.Namespace) -> int:
    """Record the mark, or void it."""
    back = options.take_back is not None
    with act(options) as uid, closing(shop_opened(options, records=True)) as open_shop:
        machine_id, task = _named(open_shop, options.task)
        if back:
            refuse_beside_take_back(options)
        reason = few_words(options.take_back, "a reason") if back else ""
        note = few_words(options.note, "a note") if options.note is not None else ""
        kind = (kinds.VOID if back else kinds.TASK).name
        gone = None
        before = found(open_shop, options, kind, machine_id, task.id)
        if before is not None:
            if not back and note != kinds.TASK.read(before).note:
                raise another(options)
            say_on_record(before)
        elif not back:
            _record(open_shop, options, machine_id, task.id, note, uid)
        else:
            gone = take_back_task(open_shop.journal, machine_id, task.id, reason, uid)
            if gone is None:
                raise UsageError(f"there is no mark that {options.task} was done")
        open_shop.refresh()
        now = _standing(open_shop, machine_id, task.id)
    stands = f"{task.name}; {'due: ' if now.due else ''}{now.reason}"
    if gone is not None:
        on = told_on(kinds.TASK.read(gone).on, gone.when)
        of = f"{gone.when.astimezone():%H:%M}, {day(gone.when)}" if on is None else day(on)
        say(f"Withdrawn: what was said to be done {of}.", f"So it stands now: {stands}.")
    else:
        say(f"{'Recorded' if before is None else 'Nothing new'}: {stands}.")
    return 0


def _record(
    open_shop: OpenShop,
    options: argparse.Namespace,
    machine_id: str,
    task_id: str,
    note: str,
    uid: str,
) -> None:
    """Record the mark, of an earlier day where that is said, unless it was done since."""
    on = said_of(options.on, open_shop.now())
    later = done_since(_standing(open_shop, machine_id, task_id).done, on) if on else ""
    if later:
        raise UsageError(f"{options.task}: {later}")
    record_task(open_shop.journal, machine_id, task_id, note=note, on=on, uid=uid)


def _named(open_shop: OpenShop, name: str) -> tuple[str, Task]:
    known = {
        f"{machine.id}.{task.id}": (machine.id, task)
        for machine in open_shop.shop.machines
        for task in machine.tasks
    }
    if name not in known:
        if not known:
            raise UsageError("there is no task in the shop file")
        raise no_such("task", name, known)
    return known[name]


def _standing(open_shop: OpenShop, machine_id: str, task_id: str) -> TaskStanding:
    machine = open_shop.standing.of_machine(machine_id)
    its = machine.tasks if machine else ()
    return next(one for one in its if one.task.id == task_id)
