"""What the modes of a combination machine share: what happens to one, and which cutters. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopboard.shop.machine import CHANGED_BY, OF_THE_BODY, TURNED, CutterKind, Machine

Reached = Mapping[str, Mapping[str, tuple[str, ...]]]
"""By the id of a machine and what happens to it, the ids of the other modes that it happens to."""


def reached(machines: Sequence[Machine]) -> Reached:
    """Give where else the happenings of each mode reach.

    A knock or a move goes through all modes of a body; a change of cutter through those that the
    cutter serves.
    """
    modes = [machine for machine in machines if machine.body]
    found: dict[str, dict[str, tuple[str, ...]]] = {}
    for one in modes:
        beside = tuple(m.id for m in modes if m.body == one.body and m is not one)
        if beside:
            found[one.id] = dict.fromkeys(OF_THE_BODY, beside)
    for machine in machines:
        for kind, sort in dict.fromkeys((one.kind, one.sort) for one in machine.cutters):
            heads = (machine.id, *served(machine, kind))
            for what in changed_by(sort) if len(heads) > 1 else ():
                for one_id in heads:
                    mine = found.setdefault(one_id, {})
                    others = (*mine.get(what, ()), *(ident for ident in heads if ident != one_id))
                    mine[what] = tuple(dict.fromkeys(others))
    return found


def changed_by(kind: CutterKind) -> tuple[str, ...]:
    """Give what has happened when a cutter of a kind is changed; nothing for a bit."""
    if kind == "knives":
        return CHANGED_BY[kind], TURNED
    return (CHANGED_BY[kind],) if kind in CHANGED_BY else ()


def served(machine: Machine, kind: str) -> tuple[str, ...]:
    """Give the ids of the other modes that the cutters of a kind on a machine serve.

    One of a kind is on at a time: what one of them says holds for all.
    """
    named = (name for one in machine.cutters if one.kind == kind for name in one.serves)
    return tuple(dict.fromkeys(name for name in named if name != machine.id))


def serving(machines: Sequence[Machine]) -> Mapping[str, tuple[str, ...]]:
    """Give the machines whose cutters serve another one, too, by the id of that one."""
    found: dict[str, tuple[str, ...]] = {}
    for machine in machines:
        for cutter in machine.cutters:
            for name in cutter.serves:
                if name != machine.id and machine.id not in found.get(name, ()):
                    found[name] = (*found.get(name, ()), machine.id)
    return found
