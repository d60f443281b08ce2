"""Reading the drawer: squares, feeler sets, shim stock and the other tools."""

from __future__ import annotations

import math
from itertools import pairwise
from typing import Literal, cast

from shopboard.metrology.instruments import (
    RULE_WITHIN_MM,
    Drawer,
    FeelerSet,
    OtherTool,
    ShimSet,
    Square,
    SquareGrade,
    grade_limit,
)
from shopboard.metrology.quantity import Unit
from shopboard.shop.kinds import ID, IDS, NAME, choice, list_of, whole
from shopboard.shop.measures import angle, length
from shopboard.shop.report import Fault
from shopboard.shop.settings import read_as
from shopboard.shop.table import Table, reads

THINNEST_LEAF, THICKEST_LEAF = 0.01, 3.0
"""mm."""


@reads("[drawer]")
def read_drawer(t: Table) -> Drawer:
    """Read every tool."""
    return Drawer(
        squares=tuple(t.many("square", read_square)),
        feelers=tuple(t.many("feeler", read_feeler)),
        shims=tuple(t.many("shims", read_shims)),
        others=(
            *t.many("straightedge", read_straightedge),
            *t.many("indicator", read_indicator),
            *t.many("calliper", read_calliper),
            *t.many("tape", read_tape),
        ),
    )


@reads("[[drawer.square]]")
def read_square(t: Table) -> Square:
    """Read a square; its own error is known by grade, by a limit, or by a certificate."""
    ident = t.take("id", ID)
    name = t.take("name", NAME)
    blade = t.take("length", length(10, 2000, "[6 in|150 mm]"))
    grade = t.take("grade", choice("0", "00", "1", "2"), None)
    within = t.take("within", angle(above_zero=True), None)
    certified = t.take("certified", angle(), None)
    if certified is None:
        certified_to = t.take("certified_to", angle(above_zero=True), None)
        if certified_to is not None:
            t.refuse("certified_to", "certified_to without certified", "write both, or neither")
    else:
        certified_to = t.take("certified_to", angle(above_zero=True))
    was = t.take("was", IDS, ())
    known_by = t.just_one(("grade", "within", "certified"))
    if known_by == "certified" and certified is not None and certified_to is not None:
        source = f"certified {_typed(t, 'certified')}, to {_typed(t, 'certified_to')}"
        return Square(ident, name, blade, 0.0, certified, certified_to / 2, source, was)
    if known_by == "within" and within is not None:
        source = f"within {_typed(t, 'within')}"
        return Square(ident, name, blade, within, source=source, was=was)
    grade = cast(SquareGrade, grade or "2")
    limit = math.atan(grade_limit(grade, blade) / blade)
    return Square(ident, name, blade, limit, source=f"grade {grade}, DIN 875-1", was=was)


def _typed(t: Table, key: str) -> str:
    return str(t.raw.get(key, "")).strip()


@reads("[[drawer.feeler]]")
def read_feeler(t: Table) -> FeelerSet:
    """Read a set of feeler leaves."""
    return read_as(
        t,
        FeelerSet,
        id=ID,
        name=NAME,
        leaves=lambda _: _thicknesses(t, "leaves"),
        leaf_tolerance=length(0.0001, 0.1, "[0.1 thou|0.003 mm]"),
        most_leaves=whole(1, 3),
        unit=lambda _: _marked_in(t),
        was=IDS,
    )


def _marked_in(t: Table) -> Unit:
    """Tell the unit that leaves are marked in, from the first one with a unit."""
    leaves = t.raw.get("leaves")
    for typed in leaves if isinstance(leaves, list) else (leaves,):
        if isinstance(typed, str) and typed.strip().endswith(("mm", "um", "cm")):
            return "mm"
        if isinstance(typed, str) and not typed.strip()[-1:].isdigit():
            return "inch"
    return t.report.unit


@reads("[[drawer.shims]]")
def read_shims(t: Table) -> ShimSet:
    """Read shim stock."""
    return read_as(
        t, ShimSet, id=ID, name=NAME, thicknesses=lambda _: _thicknesses(t, "thicknesses")
    )


def _thicknesses(t: Table, key: str) -> tuple[float, ...]:
    """Read a list of thicknesses, mm; sort it and drop repeats, with a warning."""
    read = t.take(key, list_of(length(THINNEST_LEAF, THICKEST_LEAF, "[0.002 in|0.05 mm]"), least=1))
    path = (*t.path, key)
    if any(t.report.has_error((*path, index)) for index in range(len(read))):
        return read
    seen: dict[float, int] = {}
    for index, mm in enumerate(read):
        micron = round(mm, 5)
        if micron in seen:
            again = Fault(
                (*path, index),
                "this thickness is there twice",
                severity="warning",
                first=(*path, seen[micron]),
            )
            t.report.add(again)
        seen.setdefault(micron, index)
    for index, (before, after) in enumerate(pairwise(read), 1):
        if after < before:
            what = "thinner than the one before it"
            t.report.add(Fault((*path, index), what, "they are put in order", severity="warning"))
            break
    return tuple(sorted(read[index] for index in seen.values()))


def _other(
    t: Table, kind: Literal["straightedge", "indicator", "calliper"], shortest: float = 1.0
) -> OtherTool:
    return OtherTool(
        id=t.take("id", ID),
        name=t.take("name", NAME),
        kind=kind,
        reach=t.take("reach", length(shortest, 5000, "[24 in|600 mm]")),
        limit=t.take("within", length(0.0001, 2, "[1 thou|0.02 mm]")),
        was=t.take("was", IDS, ()),
    )


@reads("[[drawer.straightedge]]")
def read_straightedge(t: Table) -> OtherTool:
    """Read a straightedge."""
    return _other(t, "straightedge")


@reads("[[drawer.indicator]]")
def read_indicator(t: Table) -> OtherTool:
    """Read a dial or lever indicator; the travel of a lever is short."""
    return _other(t, "indicator", shortest=0.1)


@reads("[[drawer.calliper]]")
def read_calliper(t: Table) -> OtherTool:
    """Read a calliper."""
    return _other(t, "calliper")


@reads("[[drawer.tape]]")
def read_tape(t: Table) -> OtherTool:
    """Read a tape: it is read as a rule is, and shows no more than its length."""
    return OtherTool(
        id=t.take("id", ID),
        name=t.take("name", NAME),
        kind="tape",
        reach=t.take("reach", length(300, 100_000, "[16 ft|5 m]")),
        limit=RULE_WITHIN_MM,
        was=t.take("was", IDS, ()),
    )
