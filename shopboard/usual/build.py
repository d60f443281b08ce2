"""From what a person chose to the plain data of a shop file: all else by default, written out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.usual.lookup import machine as usual_machine
from shopboard.usual.parts import Fineness, Says, UsualMachine, in_unit
from shopboard.usual.proving import proofs

BENCH = "bench"
"""Id of the bench at which tools are proven, where no machine bears it."""


class NewPoint(NamedTuple):
    """A usual point that was chosen."""

    id: str
    fineness: Fineness = "furniture"
    says: Mapping[str, Any] = {}
    """What differs from the usual, by key: ``{"lever": "90 mm"}``. Sizes: a table of them."""
    adjuster: Says | None = None
    """What sets it: its kind, and what differs from the usual of that kind; None: nothing does."""


class NewTask(NamedTuple):
    """A task that was chosen: a usual one by its id, or one of the shop's own."""

    id: str
    says: Mapping[str, Any] = {}


class NewCutter(NamedTuple):
    """A cutter that was chosen: a usual one by its id, or one of the shop's own."""

    id: str
    where: str = "on the machine"
    state: str = "sharp"
    says: Mapping[str, Any] = {}
    """What differs from the usual, by key: ``{"name": "Rip blade", "lasts": "20 hours"}``."""


class NewMachine(NamedTuple):
    """A machine, or a mode of one, as it was described."""

    kind: str
    id: str
    name: str
    points: Sequence[NewPoint] = ()
    tasks: Sequence[NewTask] = ()
    cutters: Sequence[NewCutter] = ()
    body: str = ""
    """What the whole of a combination machine is called; empty: it stands alone."""
    change: str = ""
    """How long a change to this mode takes: ``10 min``."""


class NewTool(NamedTuple):
    """A tool of the drawer, as it was described."""

    sort: str
    """As the file has it below `drawer`: ``square``."""
    says: Says
    """All that the file says of it, the id among it: `UsualTool.table` gives it."""
    prove_first: bool = False
    """Nobody vouches for it: a point at the bench proves it."""


class NewShop(NamedTuple):
    """A shop as it was described."""

    name: str
    unit: Unit
    machines: Sequence[NewMachine] = ()
    tools: Sequence[NewTool] = ()
    money: str = ""
    hours: Sequence[str] = ()
    """When somebody is there, as the file has it."""


def build(shop: NewShop) -> dict[str, Any]:
    """Give the data of its file."""
    head = {"name": shop.name, "unit": shop.unit, "money": shop.money, "hours": [*shop.hours]}
    drawer: dict[str, list[Says]] = {}
    for tool in shop.tools:
        drawer.setdefault(tool.sort, []).append(dict(tool.says))
    machines = [_machine(one, shop.unit) for one in shop.machines]
    unsure = {str(one.says["id"]) for one in shop.tools if one.prove_first}
    proven = [one.table(shop.unit) for one in proofs(drawer, unsure, shop.unit)]
    if proven:
        bench = next((one for one in machines if one.get("kind") == "hand tools"), None)
        if bench is None:
            ids = [one.id for one in shop.machines]
            bench = {"id": _free(BENCH, ids), "name": "Bench", "point": [], "task": []}
            machines.append(bench)
        bench["point"] = [*bench["point"], *proven]
    tables: list[tuple[str, object]] = [("shop", head), ("drawer", drawer), ("machine", machines)]
    return {key: _bare(one) for key, one in tables if one}


def machine_table(new: NewMachine, unit: Unit) -> dict[str, Any]:
    """Give what the file says of one machine."""
    table: dict[str, Any] = _bare(_machine(new, unit))
    return table


def _free(ident: str, taken: Sequence[str]) -> str:
    """Give an id that nothing bears yet: ``bench-2``."""
    number, free = 2, ident
    while free in taken:
        number, free = number + 1, f"{ident}-{number}"
    return free


def _bare(value: Any) -> Any:
    """Leave out what is empty, and give plain tables and lists."""
    if isinstance(value, Mapping):
        return {key: _bare(one) for key, one in value.items() if one not in ((), [], {}, "")}
    return [_bare(one) for one in value] if isinstance(value, list | tuple) else value


def _machine(new: NewMachine, unit: Unit) -> dict[str, Any]:
    usual = usual_machine(new.kind)
    here = [one.id for one in new.points]
    order = {one.id: at for at, one in enumerate(usual.points)}
    points = sorted(new.points, key=lambda one: order.get(one.id, len(order)))
    return {
        "id": new.id,
        "name": new.name,
        "kind": new.kind,
        "body": new.body,
        "change": new.change,
        "point": [_point(usual, one, here, unit) for one in points],
        "task": [_task(usual, one, unit) for one in new.tasks],
        "cutter": [_cutter(usual, one, unit) for one in new.cutters],
    }


def _point(usual: UsualMachine, new: NewPoint, here: Sequence[str], unit: Unit) -> dict[str, Any]:
    known = usual.point(new.id)
    told: dict[str, Any] = known.table(unit, new.fineness) if known else {"id": new.id}
    told["rests_on"] = usual.rests_on(new.id, here)
    sizes = {**told.get("sizes", {}), **new.says.get("sizes", {})}
    told |= {**new.says, "sizes": sizes}
    if new.adjuster is not None:
        kind = new.adjuster["kind"]
        words = in_unit(known.sets.get(kind, {}), unit) if known else {}
        if "pitch" in new.adjuster:
            words.pop("thread", None)
        told["adjuster"] = {**words, **new.adjuster}
    return told


def _task(usual: UsualMachine, new: NewTask, unit: Unit) -> dict[str, Any]:
    known = usual.task(new.id)
    told: dict[str, Any] = in_unit(known.says, unit) if known else {"id": new.id}
    return {**told, **new.says}


def _cutter(usual: UsualMachine, new: NewCutter, unit: Unit) -> dict[str, Any]:
    known = usual.cutter(new.id)
    told: dict[str, Any] = in_unit(known.says, unit) if known else {"id": new.id}
    return {**told, "where": new.where, "state": new.state, **new.says}
