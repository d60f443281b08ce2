"""The shop as plain frozen data: machines, points, drawer, tasks, cutters.

Lengths are mm, angles rad, intervals days. Every name has passed the shop
file's text rules (one line, nothing invisible, no control characters).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal, NamedTuple

from shopboard.checks.job import Geometry
from shopboard.metrology.adjuster import Adjuster
from shopboard.metrology.conformity import PROOF_LEVEL, Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.quantity import Unit

HAPPENINGS = (
    "blade changed",
    "knives changed",
    "knives turned",
    "belt changed",
    "machine moved",
    "knocked",
    "stop re-set",
)
"""What can undo a check, in the words that the shop file uses."""


class Point(NamedTuple):
    """One thing on a machine that must be true."""

    machine: str
    """Id of its machine."""
    id: str
    name: str
    checks: tuple[str, ...]
    """Methods by the trade's name, the preferred one first: ``square``."""
    geometry: Geometry
    tolerance: Tolerance
    every_days: int | None = None
    """Longest time that a check holds; None: until something undoes it."""
    every: str = ""
    """The same as the shop file says it: ``3 months``."""
    undone_by: tuple[str, ...] = ()
    """Happenings (see HAPPENINGS) that undo the check."""
    rests_on: tuple[str, ...] = ()
    """Full names (``machine.point``) that this point is measured from."""
    cutter_near: bool = False
    """Hands come near a cutter: the check starts with the machine unplugged."""
    lock: str = ""
    """What is locked after adjusting, in the shop's words: ``both trunnion bolts``."""
    sizes: Mapping[str, float] = {}
    """Sizes that checks of this point take as given, mm, by name: ``width``."""
    proves: str = ""
    """Id of the drawer's tool that a check of this point proves; empty on a machine."""
    adjuster: Adjuster | None = None

    @property
    def full_name(self) -> str:
        """``machine.point``, the name used everywhere."""
        return f"{self.machine}.{self.id}"


class Task(NamedTuple):
    """Recurring work on a machine, shown with the machine."""

    id: str
    name: str
    every_days: int | None = None


class Cutter(NamedTuple):
    """A blade, knife set or bit, shown with its machine."""

    id: str
    name: str
    where: Literal["on the machine", "on the shelf", "at the sharpener"]
    state: Literal["sharp", "dull", "dirty", "worn out"]


class Machine(NamedTuple):
    """A machine with its points, in the order of the shop file."""

    id: str
    name: str
    points: tuple[Point, ...] = ()
    tasks: tuple[Task, ...] = ()
    cutters: tuple[Cutter, ...] = ()


@dataclass(frozen=True)
class Shop:
    """Everything that the shop file says."""

    name: str
    unit: Unit
    machines: tuple[Machine, ...]
    drawer: Drawer = field(default_factory=Drawer)
    proof_level: float = PROOF_LEVEL
    """Probability at which a point counts as proven."""

    @cached_property
    def points(self) -> dict[str, Point]:
        """Every point by its full name, in the order of the shop file."""
        return {point.full_name: point for machine in self.machines for point in machine.points}

    @cached_property
    def machines_by_id(self) -> dict[str, Machine]:
        """Every machine by its id."""
        return {machine.id: machine for machine in self.machines}
