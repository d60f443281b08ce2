"""A machine of the shop in one line, and a point as data: now, or as it stood on a past day."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.dates import age
from shopboard.base.state_words import WIDEST_STATE, state_word
from shopboard.metrology.kind import in_units
from shopboard.standing.model import MachineStanding, PointStanding
from shopboard.upkeep.cutter_words import blunt_words
from shopboard.upkeep.safety_record import DO_NOT_USE, round_words


def machine_line(one: MachineStanding, now: datetime, waits: Sequence[str] = ()) -> str:
    """Write one machine: id, state, age of its last result, name, why, what waits."""
    said = [f"{DO_NOT_USE}: {one.tag}"] if one.tag else []
    if one.changing is not None:
        said.append(f"{one.changing.what.upper()} IN PROGRESS")
    said += [blunt_words(cutter, cutter.id) for cutter in one.blunt]
    worst, first = one.worst, one.first if one.to_check > 1 else None
    if worst and first != worst and one.state not in ("true", "noted"):
        said.append(f"{worst.point.id}: {worst.reason}")
    if first:
        here = first.point.machine == one.machine.id
        name = first.point.id if here else first.point.full_name
        said.append(f"{first.comes_first} first: {name}: {first.reason}")
    if one.to_do:
        said.append(f"to do: {', '.join(task.task.id for task in one.to_do)}")
    if one.round is not None and one.round.wrong:
        said.append(f"safety walk: {round_words(one.round, now)}")
    age = _age(one, now)
    state = f"{state_word(one.state):<{WIDEST_STATE}}"
    line = f"{one.machine.id:<16} {state} {age:<22} {one.machine.name:<24} "
    return f"{line}{'; '.join([*said, *waits])}".rstrip()


def _age(one: MachineStanding, now: datetime) -> str:
    """Say when it was last checked; where there is nothing to check, when a task was done."""
    if one.points or not one.tasks:
        return one.last.age(now, "checked") if one.last else "never checked"
    done = [task.done for task in one.tasks if task.done is not None]
    newest = max(done, key=lambda each: each.when, default=None)
    if newest is None:
        return "never done"
    return age(newest.when, now, "done", clock_ok=newest.clock_ok)


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
        "due": one.due_on.isoformat() if one.due_on else None,
        "last": None
        if record is None
        else {
            "uid": record.uid,
            "when": record.when.isoformat(),
            "run": record.run,
            "method": record.method,
            "error": in_units(record.error, record.kind),
            "expanded": in_units(record.expanded, record.kind),
            "verdict": record.verdict,
        },
    }
