"""The shop itself: its name and units, and which machines stand in it."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import cast

from shopboard.describing.ask import Row, choice, few, look, name, ticks, words
from shopboard.describing.asked import parts
from shopboard.describing.chosen import ChosenMachine, ChosenShop
from shopboard.describing.talk import Asking, Talk
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import by_unit
from shopboard.usual.lookup import KINDS, machine
from shopboard.usual.parts import UsualMachine
from shopboard.writing.spelling import BETWEEN

_OTHER = "other"
"""Answer for a machine of no sort that is known."""

_MODES = ("table saw", "jointer", "planer", "shaper")
"""What a combination machine mostly is; common practice, no source."""

_CHANGEOVER = "10 min"
"""How long a combination machine takes to be changed over; common practice, no source."""


def head_of(talk: Talk) -> Asking[ChosenShop]:
    """Ask for name, unit, money and hours."""
    talk.part = "the shop"
    called = yield from name(
        *(talk, "name", "What is your shop called?", ("shop", "name"), "My shop"),
        "It shows at the top of the board.",
    )
    units = {"inch": "inches", "mm": "millimetres"}
    unit = yield from choice("unit", "What do you measure in?", units, talk.unit)
    talk.unit = cast(Unit, unit)
    usual = talk.money or by_unit(talk.unit, "dollars", "euros")
    money = yield from words(
        *(talk, "money", "What are costs counted in?", ("shop", "money"), usual),
        "A word or a sign: sharpening costs are shown in it.",
    )
    hours = yield from _hours_of(talk)
    return ChosenShop(called, talk.unit, money, hours)


_NO_HOURS = "no fixed hours"

_EVENINGS = "Mon to Fri 18:00 to 21:00; Sat 9:00 to 17:00"

_HOURS = {
    _NO_HOURS: "at no fixed hours",
    "Mon to Fri 8:00 to 17:00": "Monday to Friday, 8:00 to 17:00",
    "Mon to Fri 8:00 to 12:00 and 13:00 to 17:00": "the same, with a pause from 12:00 to 13:00",
    _EVENINGS: "evenings, 18:00 to 21:00, and Saturday, 9:00 to 17:00",
    "Sat and Sun 9:00 to 17:00": "Saturday and Sunday, 9:00 to 17:00",
}
"""When a shop is mostly open; common practice, no source."""


def _hours_of(talk: Talk) -> Asking[tuple[str, ...]]:
    """Ask when somebody is there; empty: that is not told."""
    hours = yield from few(
        *(talk, "hours", "When are you in the shop?", ("shop", "hours"), _HOURS, _NO_HOURS),
        "From when to when, on all days or on those named: 8-17, Mon to Fri 8:00 to 12:00.",
        f"With {BETWEEN} before other days: Mon to Thu 8-12, 13-17:30{BETWEEN} Sat 9-13.",
        typed="Mon to Fri 8:00 to 17:00",
    )
    if hours == _NO_HOURS:
        return ()
    return (*parts(hours),)


def machines_of(talk: Talk) -> Asking[list[ChosenMachine]]:
    """Ask what stands there, and what of it is one machine, or stands there more than once."""
    sorts = {kind or _OTHER: machine(kind) for kind in KINDS}
    chosen = yield from ticks(
        "machines",
        "What is in the shop?",
        {kind: one.name for kind, one in sorts.items()},
        "A combination machine: tick each of its modes.",
        least="tick what is there, at least one; + shows more",
    )
    machines = [_machine(talk, sorts[kind]) for kind in chosen]
    if _OTHER in chosen:
        machines[-1].name = yield from name(
            *(talk, "other", "The other machine: what do you call it?", ("machine", "name")),
            machines[-1].name,
        )
    bodies: list[str] = []
    standing = [one for one in machines if one.usual.kind != "hand tools"]
    if standing:
        yield from look(
            "apart",
            lambda: "Is that all of it?" if bodies else "Is each of these a machine of its own?",
            lambda: _apart(talk, standing, bodies),
            _standing(standing),
        )
    return [*standing, *(one for one in machines if one.usual.kind == "hand tools")]


def _machine(talk: Talk, usual: UsualMachine) -> ChosenMachine:
    ident, number = usual.id, 1
    while ident in talk.taken:
        number += 1
        ident = f"{usual.id}-{number}"
    talk.taken.add(ident)
    return ChosenMachine(usual, ident, usual.name if number == 1 else f"{usual.name} {number}")


def _standing(machines: Sequence[ChosenMachine]) -> str:
    return f"{', '.join(one.name for one in machines)}."


def _apart(talk: Talk, machines: list[ChosenMachine], bodies: list[str]) -> dict[str, Row]:
    """Give what can be changed in what stands there."""
    rows: dict[str, Row] = {}
    for body in bodies:
        names = ", ".join(one.name for one in machines if one.body == body)
        change = partial(_part, machines, body, bodies)
        rows[f"apart.{len(rows)}"] = Row(body, f"one machine: {names}", change)
    free = [one for one in machines if not one.body]
    if len(free) > 1:
        modes = partial(_one_body, talk, free, bodies)
        rows["modes"] = Row("no: some are one machine in several modes", "", modes)
    rows["two"] = Row("no: of some there is more than one", "", partial(_two, talk, machines))
    return rows


def _part(machines: Sequence[ChosenMachine], body: str, bodies: list[str]) -> Asking[None]:
    """Take a combination machine apart again."""
    told = yield from choice(
        f"body.{bodies.index(body)}",
        f"{body}: one machine in several modes?",
        {"yes": "yes", "no": "no, each is a machine of its own"},
        "yes",
    )
    if told == "no":
        bodies.remove(body)
        for one in machines:
            if one.body == body:
                one.body = one.change = ""


def _one_body(talk: Talk, free: list[ChosenMachine], bodies: list[str]) -> Asking[None]:
    """Ask which are modes of one machine, and how long a change takes."""
    mostly = [one.id for one in free if one.usual.kind in _MODES]
    chosen = yield from ticks(
        "modes",
        "Which are modes of one machine?",
        {one.id: one.name for one in free},
        "A move or a knock counts for all of them; each needs it changed over first.",
        set_already=mostly if len(mostly) > 1 else [one.id for one in free],
    )
    if len(chosen) < 2:
        return
    default = f"combination {len(bodies) + 1}" if bodies else "combination"
    body = yield from name(
        talk, "body", "What is that machine called?", ("machine", "body"), default
    )
    while body in bodies:
        body = f"{body} 2"
    change = yield from words(
        talk,
        "change",
        "How long does it take to change it over?",
        ("machine", "change"),
        _CHANGEOVER,
        "From one mode to another; for a single mode you can set it further on.",
        behind="min",
    )
    bodies.append(body)
    for one in free:
        if one.id in chosen:
            one.body, one.change = body, change


def _two(talk: Talk, machines: list[ChosenMachine]) -> Asking[None]:
    """Ask what stands there once more."""
    kinds = {one.usual.id: one.usual.name for one in machines}
    again = yield from ticks("again", "Of which is there one more?", kinds)
    for ident in again:
        usual = next(one.usual for one in machines if one.usual.id == ident)
        last = max(at for at, one in enumerate(machines) if one.usual.id == ident)
        machines.insert(last + 1, _machine(talk, usual))
