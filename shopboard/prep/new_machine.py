"""A machine as most shops have one, of what the tools at hand can prove: to be added to a file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from shopboard.metrology.quantity import Unit
from shopboard.prep.first_look import usual_unproven
from shopboard.shop.problems import ShopFileError
from shopboard.usual.build import (
    NewCutter,
    NewMachine,
    NewPoint,
    NewTask,
    NewTool,
    machine_table,
)
from shopboard.usual.lookup import machine

ToolTables = Mapping[str, Sequence[Mapping[str, Any]]]
"""Measuring tools as a shop file has them, by sort."""


def usual_machine(kind: str, ident: str, drawer: ToolTables, unit: Unit) -> dict[str, Any]:
    """Give what the file says of a machine: its usual points, tasks and one cutter of each kind.

    Args:
        kind: sort of machine that is known.
        ident: its id.
        drawer: the tools; a point that they cannot prove is left out.
        unit: of the shop.
    """
    usual = machine(kind)
    tools = [NewTool(sort, says) for sort, many in drawer.items() for says in many]
    try:
        takes = usual_unproven(kind, tools, unit)
    except ShopFileError:  # what is wrong with the tools is told where the file is read
        takes = {}
    points = [NewPoint(one.id) for one in usual.points if one.common and not takes.get(one.id)]
    tasks = [NewTask(one.id) for one in usual.tasks if one.common]
    first = {str(one.says["kind"]): one.id for one in reversed(usual.cutters) if one.common}
    cutters = [NewCutter(one.id) for one in usual.cutters if one.id in first.values()]
    new = NewMachine(kind, ident, usual.name, points, tasks, cutters)
    return machine_table(new, unit)
