"""What is usual on a sort of machine, as data: points, tasks and cutters with what the file says.

Values are written as a shop file has them, a length for both shops (`own_words`): ``[3 in|75 mm]``.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any, Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import own_words

Says = Mapping[str, Any]
"""Settings as a shop file has them, by key."""

Fineness = Literal["rough", "furniture", "fine"]
"""How true a point is to be, for the work that is done there."""

PRACTICE = "common practice, no source"


OFTEN = ("1 week", "2 weeks", "4 weeks", "3 months", "1 year", "20 hours", "40 hours", "1 project")
"""How often a task of one's own mostly is due; common practice, no source."""


class Tolerances(NamedTuple):
    """How far off a point may be, by the work that is done there."""

    rough: str
    furniture: str
    fine: str

    def of(self, fineness: Fineness) -> str:
        """Give the one for a sort of work."""
        found: str = getattr(self, fineness)
        return found


class UsualPoint(NamedTuple):
    """One thing that must be true on most machines of a sort."""

    says: Says
    """All that the file says of it, but how far off it may be and what sets it."""
    tolerances: Tolerances | None = None
    """None: it is looked at, and has none."""
    sets: Mapping[str, Mapping[str, Any]] = {}
    """What may set it, by kind of adjuster; none is taken unless it is chosen."""
    common: bool = True
    """Nearly every machine of the sort has it."""
    remark: str = ""
    """A line above it in the file, where it is not plain why it stands there, or what it means."""
    source: str = PRACTICE
    """Of its numbers."""

    @property
    def id(self) -> str:
        """Its id."""
        return str(self.says["id"])

    @property
    def name(self) -> str:
        """What the board calls it."""
        return str(self.says["name"])

    @property
    def checks(self) -> tuple[str, ...]:
        """Its methods, the preferred one first."""
        check = self.says["check"]
        return (check,) if isinstance(check, str) else tuple(check)

    @property
    def rests_on(self) -> tuple[str, ...]:
        """Ids of the points of its machine that it is measured from."""
        return tuple(self.says.get("rests_on", ()))

    def table(self, unit: Unit, fineness: Fineness = "furniture") -> dict[str, Any]:
        """Give it as the file of a shop has it."""
        told = {} if self.tolerances is None else {"tolerance": self.tolerances.of(fineness)}
        found: dict[str, Any] = in_unit({**self.says, **told}, unit)
        return found


class UsualTask(NamedTuple):
    """Work that comes again and again on most machines of a sort."""

    says: Says
    common: bool = True
    """Nearly every machine of the sort wants it."""
    source: str = PRACTICE

    @property
    def id(self) -> str:
        """Its id."""
        return str(self.says["id"])

    @property
    def name(self) -> str:
        """What the board calls it."""
        return str(self.says["name"])


class UsualCutter(NamedTuple):
    """A cutter that such a machine often has, without where it is and how sharp."""

    says: Says
    common: bool = True
    """Nearly every machine of the sort has it; else it is offered."""
    source: str = PRACTICE

    @property
    def id(self) -> str:
        """Its id."""
        return str(self.says["id"])

    @property
    def name(self) -> str:
        """What the board calls it."""
        return str(self.says["name"])


class UsualMachine(NamedTuple):
    """What is usual of a sort of machine."""

    kind: str
    """As the file has it; empty: of no sort that is known."""
    id: str
    name: str
    points: tuple[UsualPoint, ...] = ()
    """In the order in which they are checked: what others rest on comes first."""
    tasks: tuple[UsualTask, ...] = ()
    cutters: tuple[UsualCutter, ...] = ()

    def point(self, ident: str) -> UsualPoint | None:
        """Give a point by its id."""
        return next((one for one in self.points if one.id == ident), None)

    def rests_on(self, ident: str, here: Collection[Any]) -> list[str]:
        """Give what a point rests on, in place of a point that is not there what that rests on.

        Args:
            ident: of the point.
            here: ids of the points that are there.
        """
        found: list[str] = []
        for base in one.rests_on if (one := self.point(ident)) else ():
            nearest = [base] if base in here else self.rests_on(base, here)
            found += [each for each in nearest if each not in found]
        return found

    def task(self, ident: str) -> UsualTask | None:
        """Give a task by its id."""
        return next((one for one in self.tasks if one.id == ident), None)

    def cutter(self, ident: str) -> UsualCutter | None:
        """Give a cutter by its id."""
        return next((one for one in self.cutters if one.id == ident), None)


def in_unit(value: Any, unit: Unit) -> Any:
    """Give a value, or all that a table or a list holds, as a shop of that unit writes it."""
    if isinstance(value, str):
        return own_words(value, unit)
    if isinstance(value, Mapping):
        return {key: in_unit(one, unit) for key, one in value.items()}
    if isinstance(value, list | tuple):
        return [in_unit(one, unit) for one in value]
    return value


def point(
    ident: str,
    name: str,
    check: str | list[str],
    tolerances: tuple[str, str, str] | None = None,
    *,
    sets: Mapping[str, Says] | None = None,
    common: bool = True,
    remark: str = "",
    source: str = PRACTICE,
    **says: Any,
) -> UsualPoint:
    """Write down a point: what else the file says of it by its keys there."""
    told = {"id": ident, "name": name, "check": check, **says}
    levels = Tolerances(*tolerances) if tolerances else None
    return UsualPoint(told, levels, sets or {}, common, remark, source)


def task(
    ident: str, name: str, minutes: str, *, common: bool = True, source: str = PRACTICE, **says: Any
) -> UsualTask:
    """Write down a task."""
    return UsualTask({"id": ident, "name": name, "minutes": minutes, **says}, common, source)


def cutter(
    ident: str, name: str, kind: str, *, common: bool = True, source: str = PRACTICE, **says: Any
) -> UsualCutter:
    """Write down a cutter."""
    return UsualCutter({"id": ident, "name": name, "kind": kind, **says}, common, source)
