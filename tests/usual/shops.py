"""Shops made of what is usual, all of it or what was chosen."""

from __future__ import annotations

from typing import Any

from shopboard.metrology.quantity import Unit
from shopboard.usual.build import (
    NewCutter,
    NewMachine,
    NewPoint,
    NewShop,
    NewTask,
    NewTool,
    build,
)
from shopboard.usual.lookup import KINDS, machine
from shopboard.usual.parts import Fineness
from shopboard.usual.tools import tools

UNITS: tuple[Unit, ...] = ("inch", "mm")


def whole(kind: str, fineness: Fineness = "furniture") -> NewMachine:
    """Give a machine with all that is usual of its sort; one cutter of each kind is on it."""
    usual = machine(kind)
    kinds = [one.says["kind"] for one in usual.cutters]
    return NewMachine(
        kind,
        usual.id,
        usual.name,
        [NewPoint(one.id, fineness) for one in usual.points],
        [NewTask(one.id) for one in usual.tasks],
        [
            NewCutter(
                one.id, "on the shelf" if one.says["kind"] in kinds[:at] else "on the machine"
            )
            for at, one in enumerate(usual.cutters)
        ],
    )


def drawer(unit: Unit) -> list[NewTool]:
    """Give the usual tool of each sort."""
    return [NewTool(one.sort, one.table(unit)) for one in tools(unit)]


def whole_shop(unit: Unit, fineness: Fineness = "furniture") -> dict[str, Any]:
    """Give the data of a shop with a machine of each sort and the usual tools."""
    machines = [whole(kind, fineness) for kind in KINDS]
    return build(NewShop("The weir", unit, machines, drawer(unit)))
