"""A machine as the file has it, with what goes without saying of its usual points and tasks.

A point that says no `check`, and a task or cutter without a name, is the usual one with that id on
that sort of machine; whatever it says itself goes before what is usual.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from typing import Any

from shopboard.metrology.quantity import Unit
from shopboard.usual.called import id_of
from shopboard.usual.lookup import FILES, machine
from shopboard.usual.parts import UsualMachine, in_unit

SIGNS = {"point": "check", "task": "name", "cutter": "name"}
"""The key whose absence says that the usual one is meant."""

_OTHERS = {"point": "rests_on", "task": "undoes", "cutter": "spare_for"}
"""The key that names others of the machine: only those that are there.

A point whose base is left out rests on what that rests on: guides without a tension on the wheels.
"""


def is_short(table: Mapping[str, Any]) -> bool:
    """Tell whether anything on a machine may be meant as the usual one."""
    return any(sign not in one for key, sign in SIGNS.items() for one in _tables(table.get(key)))


def _tables(value: object) -> Iterator[Mapping[str, Any]]:
    """Give the tables of a list, or the one alone."""
    for one in value if isinstance(value, list) else [value]:
        if isinstance(one, Mapping):
            yield one


def filled(table: Mapping[str, Any], unit: Unit) -> Mapping[str, Any]:
    """Give the table of a machine with what is usual where it says nothing.

    Args:
        table: as it stands in the file, right or wrong.
        unit: of the shop.
    """
    kind = table.get("kind")
    if not isinstance(kind, str) or not kind or kind not in FILES:
        return table
    usual = machine(kind)
    found = dict(table)
    for key, sign in SIGNS.items():
        here = {id_of(one) for one in _tables(table.get(key))}
        value = table.get(key)
        if isinstance(value, list):
            found[key] = [_filled(usual, key, sign, one, here, unit) for one in value]
    return found


def _filled(
    usual: UsualMachine, key: str, sign: str, one: Any, here: Collection[str], unit: Unit
) -> Any:
    """Give one of the things on a machine as it is meant."""
    if not isinstance(one, Mapping) or sign in one:
        return one
    told = _usual(usual, key, id_of(one), unit)
    if not told:
        return one
    others = told.pop(_OTHERS[key], ())
    if isinstance(others, str):
        others = [others]
    kept = [name for name in others if name in here]
    if key == "point":
        kept = usual.rests_on(id_of(one), here)
    if kept:
        told[_OTHERS[key]] = kept[0] if key == "cutter" else kept
    for own, but in _BESIDE:
        if own in one:
            told = {name: value for name, value in told.items() if name not in but}
    return {**told, **one}


_BESIDE = (
    ("lies", ("light_at_top", "light_at_bottom", "light_at_tip", "light_at_heel")),
    ("turn", ("other_side",)),
    ("cutter_near", ("cutter_off",)),
)
"""What of the usual does not hold any more where a key is set otherwise."""


def _usual(usual: UsualMachine, key: str, ident: str, unit: Unit) -> dict[str, Any]:
    """Give what the file would say of a usual thing; nothing where there is none of that id."""
    if key == "point":
        point = usual.point(ident)
        return point.table(unit) if point else {}
    found = usual.task(ident) if key == "task" else usual.cutter(ident)
    told: dict[str, Any] = in_unit(found.says, unit) if found else {}
    return told


def usual_ids(kind: object) -> tuple[str, ...]:
    """Give the ids of the usual points of a sort of machine."""
    known = isinstance(kind, str) and kind and kind in FILES
    return tuple(one.id for one in machine(str(kind)).points) if known else ()
