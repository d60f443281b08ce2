"""What the answers come to, while they are given."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import NamedTuple

from shopboard.metrology.quantity import Unit
from shopboard.usual.build import NewCutter, NewMachine, NewPoint, NewShop, NewTask, NewTool
from shopboard.usual.parts import Fineness, UsualMachine


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

    def made(self) -> NewMachine:
        """Give it as the file is made of it."""
        return NewMachine(
            self.usual.kind,
            self.id,
            self.name,
            tuple(self.points.values()),
            tuple(NewTask(one) for one in self.tasks),
            tuple(self.cutters.values()),
            self.body,
            self.change,
        )


@dataclass
class ChosenShop:
    """The shop, as it is told so far."""

    name: str
    unit: Unit
    money: str
    tools: list[NewTool] = field(default_factory=list)
    machines: list[ChosenMachine] = field(default_factory=list)

    def made(self) -> NewShop:
        """Give it as the file is made of it."""
        machines = tuple(one.made() for one in self.machines)
        return NewShop(self.name, self.unit, machines, tuple(self.tools), self.money)


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
