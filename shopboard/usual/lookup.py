"""Finds what is usual of a sort of machine: each file of `machines/` is imported when asked for."""

from __future__ import annotations

from functools import cache
from importlib import import_module

from shopboard.usual.parts import UsualMachine

FILES = {
    "table saw": "table_saw",
    "mitre saw": "mitre_saw",
    "bandsaw": "bandsaw",
    "jointer": "jointer",
    "planer": "planer",
    "drill press": "drill_press",
    "router table": "router_table",
    "shaper": "shaper",
    "lathe": "lathe",
    "sander": "sander",
    "hand tools": "hand_tools",
    "": "other",
}
"""By the sort of machine as the shop file has it, in the order in which it is asked for."""

KINDS = tuple(FILES)


@cache
def machine(kind: str) -> UsualMachine:
    """Give what is usual of a sort of machine.

    Args:
        kind: as the shop file has it; empty: of no sort that is known.

    Raises:
        KeyError: when there is no such sort.
    """
    found: UsualMachine = import_module(f"shopboard.usual.machines.{FILES[kind]}").MACHINE
    return found
