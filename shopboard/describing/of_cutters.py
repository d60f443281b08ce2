"""The cutters of a machine: where each is, how sharp, how long it lasts, what becomes of it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from shopboard.describing.ask import Row, choice, look, name, unit_behind, words
from shopboard.describing.chosen import ChosenMachine, free_id
from shopboard.describing.talk import Asking, Talk
from shopboard.usual.build import NewCutter
from shopboard.usual.parts import UsualCutter, in_unit

_ON, _SHELF = "on the machine", "on the shelf"
_NONE = "none"

_ONE_HEAD = {"jointer", "planer"}
"""Modes of a combination machine in which mostly one head cuts; common practice, no source."""

_KINDS = {
    "bit": "a bit, or what goes in like one",
    "blade": "a blade",
    "band": "a band",
    "knives": "a set of knives",
}
"""What cuts in a machine of no sort that is known."""

_LASTS = "20 hours"
"""How long an edge lasts where nothing is usual; common practice, no source."""


def cutters_of(talk: Talk, machine: ChosenMachine, before: Sequence[ChosenMachine]) -> Asking[None]:
    """Ask which cutters there are.

    Args:
        talk: what is known.
        machine: whose.
        before: the machines asked about before.
    """
    usual: Sequence[UsualCutter] = machine.usual.cutters
    for other in before:
        one_head = {other.usual.kind, machine.usual.kind} == _ONE_HEAD
        if one_head and other.body and other.body == machine.body:
            usual = yield from _not_shared(machine, other, usual)
    if not usual and machine.usual.kind:
        return
    for one in usual:
        if one.common:
            machine.cutters[one.id] = _first(one, machine)
    yield from look(
        f"{machine.id}.cutters",
        lambda: f"{machine.name}: {_asked(machine, usual)}",
        lambda: {
            **{one.id: _row(talk, machine, one) for one in (*usual, *machine.own_cutters)},
            "own": Row(
                "another one" if usual or machine.own_cutters else "it has one",
                "",
                partial(_own, talk, machine),
            ),
        },
    )
    for ident, had in list(machine.cutters.items()):
        if _spare_for(machine, had) not in machine.cutters:
            machine.cutters[ident] = had._replace(says={**had.says, "spare_for": ""})


def _asked(machine: ChosenMachine, usual: Sequence[UsualCutter]) -> str:
    if machine.cutters:
        return "are these your cutters?"
    return "have you none of these cutters?" if usual else "has it no cutter?"


def _spare_for(machine: ChosenMachine, one: NewCutter) -> str:
    """Give the cutter whose work one does, too; empty: none's."""
    usual = machine.usual.cutter(one.id)
    told = {**(usual.says if usual else {}), **one.says}
    return str(told.get("spare_for", ""))


def _own(talk: Talk, machine: ChosenMachine) -> Asking[None]:
    """Ask for a cutter in the person's own words; it is of a kind that is usual there, if any."""
    kinds = {kind: kind for one in machine.usual.cutters if (kind := str(one.says["kind"]))}
    kinds = kinds or _KINDS
    kind = next(iter(kinds))
    key = f"{machine.id}.own-cutter"
    called = yield from name(
        *(talk, f"{key}.name", "What do you call it?", ("machine.cutter", "name")),
        f"Another {kind}" if machine.usual.cutters else "Cutter",
    )
    if len(kinds) > 1:
        kind = yield from choice(f"{key}.kind", f"{called}: what is it?", kinds, kind)
    taken = [one.id for one in (*machine.usual.cutters, *machine.own_cutters)]
    same = next((one.says for one in machine.usual.cutters if one.says["kind"] == kind), {})
    likes = {"like": same["like"]} if "like" in same else {}
    one = UsualCutter({"id": free_id(called, taken), "name": called, "kind": kind, **likes})
    machine.own_cutters.append(one)
    yield from _change(talk, machine, one)


def _not_shared(
    machine: ChosenMachine, other: ChosenMachine, usual: Sequence[UsualCutter]
) -> Asking[Sequence[UsualCutter]]:
    """Ask whether a cutter of another mode cuts in this one, too; give those that are its own."""
    kinds = {one.says["kind"] for one in usual}
    for kind in sorted(kinds):
        shared = [one for one in other.cutters if _kind(other, one) == kind]
        if not shared:
            continue
        answer = yield from choice(
            f"{machine.id}.shares.{kind}",
            f"Do the same {kind} cut as {machine.name} and as {other.name}?",
            {"yes": "yes: one head for both", "no": "no: each has its own"},
            "yes",
        )
        if answer == "yes":
            usual = [one for one in usual if one.says["kind"] != kind]
            for ident in shared:
                one = other.cutters[ident]
                serves = [*one.says.get("serves", ()), machine.id]
                other.cutters[ident] = one._replace(says={**one.says, "serves": serves})
    return usual


def _kind(machine: ChosenMachine, ident: str) -> str:
    every = (*machine.usual.cutters, *machine.own_cutters)
    return next((str(one.says["kind"]) for one in every if one.id == ident), "")


def _first(usual: UsualCutter, machine: ChosenMachine) -> NewCutter:
    """Give a cutter as it most likely is: of each kind the first is on the machine."""
    if _by_hand(usual):
        return NewCutter(usual.id, _ON)
    kind = usual.says["kind"]
    there = any(
        one.where == _ON and _kind(machine, one.id) == kind for one in machine.cutters.values()
    )
    return NewCutter(usual.id, _SHELF if there else _ON)


def _by_hand(usual: UsualCutter) -> bool:
    """Tell whether it is held by hand: any number of these are in use beside one another."""
    return usual.says.get("like") == "hand tool"


def _says(talk: Talk, usual: UsualCutter, one: NewCutter) -> Mapping[str, Any]:
    return {**in_unit(usual.says, talk.unit), **one.says}


def _row(talk: Talk, machine: ChosenMachine, usual: UsualCutter) -> Row:
    one = machine.cutters.get(usual.id)
    change = partial(_change, talk, machine, usual)
    if one is None:
        return Row(usual.name, "I have none", change)
    says = _says(talk, usual, one)
    told = [*([] if _by_hand(usual) else [one.where]), one.state]
    told += [f"lasts {says['lasts']}"] if "lasts" in says else []
    told += ["thrown away when dull"] if says.get("sharpenings") == 0 else []
    return Row(usual.name, ", ".join(told), change)


def _change(talk: Talk, machine: ChosenMachine, usual: UsualCutter) -> Asking[None]:
    """Ask where it is, how sharp, how long an edge lasts, and what becomes of a dull one."""
    one = machine.cutters.get(usual.id) or _first(usual, machine)
    says, key = _says(talk, usual, one), f"{machine.id}.{usual.id}"
    places = {_ON: _ON, _SHELF: f"{_SHELF}, beside it", _NONE: "I have none"}
    if _by_hand(usual):
        places = {_ON: "here in the shop", _NONE: "I have none"}
    where = yield from choice(f"{key}.where", f"{usual.name}: where is it?", places, one.where)
    if where == _NONE:
        machine.cutters.pop(usual.id, None)
        return
    states = {"sharp": "sharp", "dirty": "sharp, but dirty", "dull": "dull"}
    title = f"{usual.name}: how is its edge?"
    state = yield from choice(f"{key}.state", title, states, one.state)
    lasted = says.get("lasts", _LASTS)
    lasts = yield from words(
        *(talk, f"{key}.lasts", f"{usual.name}: how long does an edge last?"),
        *(("machine.cutter", "lasts"), lasted),
        "Hours of running, cuts, a length that is cut, or projects: 20 hours, 400 cuts.",
        f"A number alone means {unit_behind(lasted)}.",
        behind=unit_behind(lasted),
    )
    thrown = says.get("sharpenings") == 0
    becomes = yield from choice(
        f"{key}.dull",
        f"{usual.name}: when it is dull, what happens to it?",
        {"sharpen": "it is sharpened", "throw": "it is thrown away"},
        "throw" if thrown else "sharpen",
    )
    told = {"lasts": lasts, **({"sharpenings": 0} if becomes == "throw" else {})}
    if where == _SHELF:
        told["spare_for"] = yield from _spare(machine, key, usual, one)
    if becomes == "sharpen" and thrown:
        told["sharpenings"] = _OFTEN
    for other in list(machine.cutters.values()):
        alike = not _by_hand(usual) and _kind(machine, other.id) == usual.says["kind"]
        if alike and where == _ON == other.where:
            machine.cutters[other.id] = other._replace(where=_SHELF)  # one of a kind is on it
    serves = {key: one.says[key] for key in ("serves",) if key in one.says}
    machine.cutters[usual.id] = NewCutter(usual.id, where, state, {**told, **serves})


def _spare(machine: ChosenMachine, key: str, usual: UsualCutter, one: NewCutter) -> Asking[str]:
    """Ask whose work it does, too, where others of its kind are there; empty: none's."""
    others = [other for other in machine.cutters if other != usual.id]
    others = [other for other in others if _kind(machine, other) == usual.says["kind"]]
    if not others:
        return ""
    every = {each.id: each.name for each in (*machine.usual.cutters, *machine.own_cutters)}
    now = _spare_for(machine, one)
    spare = yield from choice(
        f"{key}.spare",
        f"{usual.name}: does it cut for another one that is away?",
        {_NONE: "no", **{other: every[other] for other in others}},
        now if now in others else _NONE,
    )
    return "" if spare == _NONE else spare


_OFTEN = 5
"""How often a cutter can be sharpened that others throw away; common practice, no source."""
