"""The mode that each combination machine is in, by what was done on it last, and its changes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from shopboard.journal import Entry, Store, kinds
from shopboard.prep.minutes import whole_minutes
from shopboard.prep.plan_words import span
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop

_KINDS = (
    *(kinds.CHECK, kinds.ANSWER, kinds.END, kinds.TASK, kinds.TASK_STEP, kinds.CUTTER),
    kinds.HAPPENING,
)

_ON_THE_MACHINE = ("put on", "taken off", "turned", "new")
"""What is done with a cutter on its machine; cleaned it is there, or beside it."""

_BACK = 50
"""How many records of one thing are looked through for one that was made at the machine."""


def changes_over(shop: Shop) -> dict[tuple[str, str], float]:
    """Give how long it takes to change each combination machine over, by its body and a mode."""
    modes = (one for one in shop.machines if one.body)
    return {(one.body, one.id): whole_minutes(one.change_minutes) for one in modes}


def modes_now(journal: Store, shop: Shop) -> dict[str, str]:
    """Give the mode that each combination machine is in: that in which it was last worked on.

    What is done beside it tells nothing of that: a step in a tray, the end of a wait, a cutter
    cleaned that is off, one found dull or sent out.

    Args:
        journal: the records.
        shop: the shop.
    """
    bodies = {one.id: one.body for one in shop.machines if one.body}
    newest: dict[str, tuple[int, str]] = {}
    for kind in _KINDS if bodies else ():
        for (machine, _), entry in journal.latest(kind.name).items():
            body = bodies.get(machine, "")
            if not body or entry.seq < newest.get(body, (0, ""))[0]:
                continue
            found = next(_at_machine(journal, shop, entry), None)
            if found is not None:
                newest[body] = max((found.seq, machine), newest.get(body, (0, "")))
    return {body: machine for body, (_, machine) in newest.items()}


def unknown_modes(
    modes: Mapping[str, str], used: Iterable[str], machines: Mapping[str, Machine]
) -> Iterator[str]:
    """Say of which combination machine the mode is not on record: it may be changed over first.

    Args:
        modes: by a combination machine, the mode that it is in.
        used: ids of the modes that are worked in, in order.
        machines: by id.
    """
    found = (machines[one] for one in used if machines[one].body not in modes)
    changed = {one.body: one for one in reversed([*found]) if one.body and one.change_minutes}
    for body, first in changed.items():
        yield (
            f"{body}: which mode it is in is not on record. If not in that of {first.name}, "
            f"{span(first.change_minutes)} more to change over."
        )


def _at_machine(journal: Store, shop: Shop, entry: Entry) -> Iterator[Entry]:
    """Give the records of one thing that were made at its machine, the newest first."""
    if _is_at_machine(journal, shop, entry):
        yield entry
        return
    older = journal.recent(entry.kind, entry.machine, entry.point, _BACK, include_void=False)
    yield from (one for one in older if _is_at_machine(journal, shop, one))


def _is_at_machine(journal: Store, shop: Shop, entry: Entry) -> bool:
    if entry.kind == kinds.CUTTER.name:
        said = kinds.CUTTER.read(entry)
        if said.what == "step":  # knives half turned, a blade half changed
            return kinds.CHANGE_WAY.read(entry).act != "clean"
        cleaned = said.what == "cleaned" and said.where == "on the machine"
        return cleaned or said.what in _ON_THE_MACHINE
    if entry.kind == kinds.TASK_STEP.name:
        return _is_done_at_machine(shop, entry)
    # of a task that was done step by step its last step tells it
    if entry.kind == kinds.TASK.name and entry.refers:
        return not any(one.kind == kinds.TASK_STEP.name for one in journal.thread(entry.refers))
    return True


def _is_done_at_machine(shop: Shop, entry: Entry) -> bool:
    """Tell whether a step was done at the machine; the end of a wait is no step."""
    said = kinds.TASK_STEP.read(entry)
    if said.wait is not None or said.step is None:
        return False
    machine = shop.machines_by_id.get(entry.machine)
    tasks = machine.tasks if machine is not None else ()
    steps = next((one.steps for one in tasks if one.id == entry.point), ())
    return not (0 < said.step <= len(steps) and steps[said.step - 1].off_machine)
