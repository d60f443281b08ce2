"""Usual tools of one sort, each as a shop file has it: what is offered where one is added."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from shopboard.metrology.quantity import Unit
from shopboard.usual.parts import in_unit
from shopboard.usual.tools import FEELERS, UsualTool, tools


def usual_tools(sort: str, unit: Unit) -> Iterator[tuple[str, dict[str, Any]]]:
    """Give each usual tool of a sort by what tells it from the others, with what the file says.

    One that nobody vouches for is not among them: a point at the bench would have to prove it.

    Args:
        sort: as the file has it below `drawer`: ``square``.
        unit: of the shop; leaves of the other unit do as well.
    """
    for one in tools(unit):
        if one.sort == sort:
            yield from _by_promise(one, unit)
    if sort == "feeler":
        for other in FEELERS.keys() - {unit}:
            yield from _by_promise(FEELERS[other], unit)


def _by_promise(usual: UsualTool, unit: Unit) -> Iterator[tuple[str, dict[str, Any]]]:
    sizes: list[str] = in_unit(list(usual.sizes), unit)
    if not usual.promises:
        for number, size in enumerate(sizes):
            yield size, usual.table(unit, number) | {"name": f"{usual.name}, {size}"}
    for number, promise in enumerate(usual.promises):
        if not promise.prove_first:
            table = usual.table(unit, 0, number)
            called = {"name": f"{usual.name}, {sizes[0]}"} if sizes else {}
            yield in_unit(promise.words, unit), table | called
