"""How fine a machine has to be, and which points are kept true on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import cast, get_args

from shopboard.checks.steps import SLACK
from shopboard.describing.ask import Row, choice, length, look, name, ticks, words
from shopboard.describing.chosen import ChosenMachine
from shopboard.describing.of_adjusters import adjuster_of
from shopboard.describing.of_tools import length_of
from shopboard.describing.talk import Asking, Talk
from shopboard.metrology.quantity import Unit
from shopboard.usual.build import NewPoint
from shopboard.usual.parts import Fineness, UsualPoint, in_unit

Takes = Callable[[str, Fineness], Mapping[str, str]]
"""Gives for each usual point of a sort of machine what it takes to prove it so fine; empty: the
tools do."""

_FINENESSES: tuple[Fineness, ...] = get_args(Fineness)
_WORK = {"rough": "rough work", "furniture": "furniture", "fine": "fine work"}
_SHOWN = 2
"""Points whose tolerances are told where it is asked how fine."""


def points_of(talk: Talk, machine: ChosenMachine, proof: Takes) -> Asking[None]:
    """Ask what is kept true on a machine."""
    usual = machine.usual.points
    if any(one.tolerances and one.common for one in usual):
        title = f"{machine.name}: how true must it be?"
        machine.fineness = yield from _fineness(
            talk, f"{machine.id}.fine", title, usual, machine.fineness
        )
    if usual:
        chosen = yield from _chosen(talk, machine, proof)
        machine.points = {
            one.id: NewPoint(one.id, machine.fineness, _no_longer(talk, one))
            for one in usual
            if one.id in chosen
        }
    if machine.points or machine.body or not machine.usual.kind:
        yield from look(
            f"{machine.id}.looks",
            f"{machine.name}: is it like this?",
            partial(_rows, talk, machine),
            *(["Of each: how fine, where it is read, what sets it."] if machine.points else []),
        )


def _chosen(talk: Talk, machine: ChosenMachine, proof: Takes) -> Asking[list[str]]:
    usual = machine.usual.points
    mostly = [one for one in usual if one.common]
    takes = {} if talk.hurried else proof(machine.usual.kind, machine.fineness)
    lines = (
        "Ticked is what most shops have and your tools can prove, once they are proven themselves.",
    )
    ticked = [one.id for one in mostly if not takes.get(one.id)]
    if mostly and not ticked:
        ticked = [one.id for one in usual if not takes.get(one.id)]
    return (
        yield from ticks(
            f"{machine.id}.points",
            f"{machine.name}: what should be kept true?",
            {one.id: one.name for one in usual},
            *lines,
            set_already=ticked,
            beside={name: f"not yet: {what}" for name, what in takes.items() if what},
        )
    )


def _rows(talk: Talk, machine: ChosenMachine) -> dict[str, Row]:
    rows = {"its-name": Row("What you call it", machine.name, partial(_name, talk, machine))}
    if machine.body:
        change = partial(_changeover, talk, machine)
        rows["its-change"] = Row(f"Changed over, as {machine.body}", machine.change, change)
    for one in machine.points.values():
        usual = machine.usual.point(one.id)
        if usual is not None:
            change = partial(_change, talk, machine, usual)
            rows[one.id] = Row(usual.name, _taken(usual, one, talk.unit), change)
    return rows


def _name(talk: Talk, machine: ChosenMachine) -> Asking[None]:
    machine.name = yield from name(
        talk, f"{machine.id}.name", "What do you call it?", ("machine", "name"), machine.name
    )


def _no_longer(talk: Talk, usual: UsualPoint) -> dict[str, str]:
    """Give what differs from the usual, because no square of the shop is so long."""
    lever, (most, words) = usual.table(talk.unit).get("lever"), talk.longest
    return {"lever": words} if lever and 0 < most < length_of(lever, talk.unit) else {}


def _changeover(talk: Talk, machine: ChosenMachine) -> Asking[None]:
    machine.change = yield from words(
        *(talk, f"{machine.id}.change", f"{machine.name}: how long does it take to change over?"),
        *(("machine", "change"), machine.change),
        behind="min",
    )


def _fineness(
    talk: Talk, key: str, title: str, points: Sequence[UsualPoint], default: Fineness
) -> Asking[Fineness]:
    """Ask how fine, with the numbers of the first points."""
    told = [one for one in points if one.tolerances and one.common]
    shown = (told or [one for one in points if one.tolerances])[:_SHOWN]

    def numbers(fineness: Fineness) -> str:
        found = [
            f"{one.name}: {in_unit(one.tolerances.of(fineness), talk.unit)}"
            for one in shown
            if one.tolerances
        ]
        return "; ".join(found)

    lines = ("How far off it may be, either way, and still be called true.",)
    beside = [numbers(one) for one in _FINENESSES]
    answer = yield from choice(key, title, _WORK, default, *lines, beside=beside)
    return cast(Fineness, answer)


def _taken(usual: UsualPoint, one: NewPoint, unit: Unit) -> str:
    """Say what is taken of a point."""
    table = {**usual.table(unit, one.fineness), **one.says}
    tolerance = table.get("tolerance", "")
    span = "from" if " to " in tolerance else "within"
    said = [f"{span} {tolerance}"] if tolerance else []
    said += [f"reach {table['lever']}"] if "lever" in table else []
    if one.adjuster is not None:
        said.append(f"set by {one.adjuster.get('name', 'shims')}")
    return ", ".join(said) or "yes or no"


def _change(talk: Talk, machine: ChosenMachine, usual: UsualPoint) -> Asking[None]:
    """Ask the three things about a point, as far as they can be asked of it."""
    one = machine.points[usual.id]
    key, called = f"{machine.id}.{usual.id}", usual.name
    if usual.tolerances is not None:
        title = f"{called}: how true must it be?"
        fineness = yield from _fineness(talk, f"{key}.fine", title, [usual], one.fineness)
        one = one._replace(fineness=fineness)
    table = usual.table(talk.unit, one.fineness)
    if "lever" in table:
        longest, blade = talk.longest
        way = "out" if table.get("lies") == "flat" else "up"
        lever = yield from length(
            talk,
            f"{key}.lever",
            f"{called}: how far {way} from the corner can a leaf go in?",
            ("machine.point", "lever"),
            one.says.get("lever", table["lever"]),
            "The farther from the corner of the square, the finer it reads.",
            because=lambda mm: (
                f"your longest square has a blade of {blade}" if 0 < longest < mm - SLACK else ""
            ),
        )
        one = one._replace(says={} if lever == table["lever"] else {"lever": lever})
    if usual.sets:
        one = one._replace(adjuster=(yield from adjuster_of(talk, key, usual)))
    machine.points[usual.id] = one
