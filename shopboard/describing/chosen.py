"""What the answers come to, while they are given."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import dataclass, field
from datetime import date
from unicodedata import normalize

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.usual.build import NewCutter, NewMachine, NewPoint, NewShop, NewTask, NewTool
from shopboard.usual.parts import Fineness, UsualCutter, UsualMachine, UsualTask


@dataclass
class ChosenMachine:
    """A machine, or one mode of a combination machine, as it is told so far."""

    usual: UsualMachine
    id: str
    name: str
    body: str = ""
    change: str = ""
    fineness: Fineness = "furniture"
    points: dict[str, NewPoint] = field(default_factory=dict)
    cutters: dict[str, NewCutter] = field(default_factory=dict)
    tasks: dict[str, date | None] = field(default_factory=dict)
    """When each was last done; None: never, or nobody knows."""
    own_cutters: list[UsualCutter] = field(default_factory=list)
    own_tasks: list[UsualTask] = field(default_factory=list)
    """What is not usual of such a machine, in the person's own words."""

    def task(self, ident: str) -> NewTask:
        """Give a task as the file is made of it."""
        return NewTask(ident, next((one.says for one in self.own_tasks if one.id == ident), {}))

    def cutter(self, one: NewCutter) -> NewCutter:
        """Give a cutter as the file is made of it."""
        own = next((each.says for each in self.own_cutters if each.id == one.id), {})
        return one._replace(says={**own, **one.says})

    def made(self) -> NewMachine:
        """Give it as the file is made of it."""
        return NewMachine(
            self.usual.kind,
            self.id,
            self.name,
            tuple(self.points.values()),
            tuple(map(self.task, self.tasks)),
            tuple(map(self.cutter, self.cutters.values())),
            self.body,
            self.change,
        )


def free_id(name: str, taken: Collection[str]) -> str:
    """Give an id for what a person calls by its name."""
    plain = normalize("NFKD", name).encode("ascii", "ignore").decode().lower()
    ident = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:30].strip("-")
    ident = ident if re.match(r"[a-z]", ident) else f"own-{ident}".strip("-")
    number, free = 1, ident
    while free in taken:
        number += 1
        free = f"{ident}-{number}"
    return free


@dataclass
class ChosenShop:
    """The shop, as it is told so far."""

    name: str
    unit: Unit
    money: str
    hours: tuple[str, ...] = ()
    """When somebody is there, as the file has it."""
    tools: list[NewTool] = field(default_factory=list)
    machines: list[ChosenMachine] = field(default_factory=list)

    def made(self) -> NewShop:
        """Give it as the file is made of it."""
        machines = tuple(one.made() for one in self.machines)
        return NewShop(self.name, self.unit, machines, tuple(self.tools), self.money, self.hours)


class LastDone(NamedTuple):
    """A task that was done before the board knew of it."""

    machine: str
    task: str
    day: date


class Described(NamedTuple):
    """A shop as it was described, and what is told of the days before."""

    shop: NewShop
    done: tuple[LastDone, ...]


def described(shop: ChosenShop) -> Described:
    """Give all that was told."""
    done = [
        LastDone(one.id, task, day)
        for one in shop.machines
        for task, day in one.tasks.items()
        if day is not None
    ]
    return Described(shop.made(), tuple(done))
