"""Which points of which machine show in a cut, where a project does not say so, or says it wrong.

The machines preferred for a cut are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from functools import cached_property
from itertools import chain

from shopboard.shop.hints import did_you_mean
from shopboard.shop.machine import CHANGED_BY, TURNED, Machine, MachineKind, Point
from shopboard.shop.problems import shorten
from shopboard.shop.project import ShowsIn
from shopboard.shop.table import Table

PREFERRED: dict[ShowsIn, tuple[MachineKind, ...]] = {
    "edge angle": ("jointer", "table saw"),
    "edge line": ("jointer", "table saw"),
    "end angle": ("table saw", "mitre saw"),
    "end tilt": ("table saw", "mitre saw"),
    "length": ("table saw", "mitre saw"),
    "mitre": ("mitre saw", "table saw"),
    "bevel": ("table saw",),
    "thickness": ("planer",),
    "resaw": ("bandsaw",),
    "leg angle": ("drill press",),
    "hole angle": ("drill press",),
    "hole size": ("drill press",),
    "tenon taper": ("lathe",),
}
"""Sorts of machines by the cut, the usual one first."""

LEADS: tuple[ShowsIn, ...] = ("end angle", "mitre")
"""Where an end is cut, there its tilt and its length come from, too."""
FOLLOWS: tuple[ShowsIn, ...] = ("end tilt", "length")

_LISTED = 12
"""Names listed in a message at the most."""


class Makers:
    """The machines of a shop, by what they cut."""

    def __init__(self, machines: Sequence[Machine] = (), *, whole: bool = True) -> None:
        """Take the machines.

        Args:
            machines: in the order of the shop file.
            whole: nothing of them was refused, so that what is missing is really missing.
        """
        self._machines = machines
        self.whole = whole

    @cached_property
    def machines(self) -> dict[str, Machine]:
        """The machines by id."""
        return {machine.id: machine for machine in self._machines}

    @cached_property
    def shown(self) -> dict[ShowsIn, list[Point]]:
        """The points that show in a cut, in the order of the shop file."""
        found: dict[ShowsIn, list[Point]] = {}
        for machine in self._machines:
            for point in machine.points:
                for cut in point.shows_in:
                    found.setdefault(cut, []).append(point)
        return found

    def measures(self, names: Sequence[str]) -> bool:
        """Tell whether any of the points has a size; a yes or no has none."""
        kinds = {
            point.full_name: point.tolerance.kind
            for machine in self._machines
            for point in machine.points
        }
        return any(kinds.get(name) != "yes or no" for name in names)

    def usual(self, cut: ShowsIn, beside: str = "") -> tuple[str, ...]:
        """Give the full names of the points that show in a cut, all on one machine.

        Args:
            cut: where in the work.
            beside: id of the machine that the piece lies on already; it comes first.
        """
        points = self.shown.get(cut, [])
        kinds = PREFERRED[cut]

        def rank(point: Point) -> tuple[bool, int]:
            kind = self.machines[point.machine].kind
            return point.machine != beside, kinds.index(kind) if kind in kinds else len(kinds)

        machine = min(points, key=rank).machine if points else ""
        return tuple(point.full_name for point in points if point.machine == machine)

    def fill_in(
        self, cuts: Sequence[ShowsIn], said: Mapping[ShowsIn, tuple[str, ...]]
    ) -> dict[ShowsIn, tuple[str, ...]]:
        """Give the points of each cut, by what is said, else the usual ones; none is left out.

        Args:
            cuts: of the joint.
            said: full names by cut; none for one that was refused, which stays open.
        """
        found: dict[ShowsIn, tuple[str, ...]] = {}
        for cut in sorted(cuts, key=lambda cut: cut in FOLLOWS):
            lead = next((found[one] for one in LEADS if found.get(one)), ("",))
            beside = lead[0].partition(".")[0] if cut in FOLLOWS else ""
            found[cut] = said[cut] if cut in said else self.usual(cut, beside)
        return {cut: found[cut] for cut in cuts if found[cut]}

    def with_knives(self, points: Mapping[ShowsIn, Sequence[str]]) -> tuple[str, ...]:
        """Give what is set with the knives of the machines of a joint and is said to show nowhere.

        A blade has its place by its arbor; knives are set, and all that they cut shows it (common
        practice, no source).
        """
        knives = {CHANGED_BY["knives"], TURNED}
        machines = dict.fromkeys(name.partition(".")[0] for name in chain(*points.values()))
        return tuple(
            point.full_name
            for name in machines
            for point in self.machines[name].points
            if not point.shows_in and not knives.isdisjoint(point.undone_by)
        )

    def named(self, t: Table, key: str, cut: ShowsIn, names: Sequence[str]) -> tuple[str, ...]:
        """Give the points meant by machines and points; refuse what is not there or not in the cut.

        Returns:
            Their full names, each once; none when any was refused.
        """
        found = [self._named(t, key, cut, name) for name in names]
        return tuple(dict.fromkeys(chain(*found))) if all(found) else ()

    def _named(self, t: Table, key: str, cut: ShowsIn, name: str) -> tuple[str, ...]:
        ident, dot, _ = name.partition(".")
        machine = self.machines.get(ident)
        if machine is None:
            return self._missing(t, key, ident)
        if not dot:
            return self._on(t, key, cut, machine)
        points = {point.full_name: point for point in machine.points}
        if name not in points:
            what = f"there is no point {shorten(name, 81)}"
            now = next((full for full, one in points.items() if _was(one, name)), "")
            hint = f"it is {now} now" if now else did_you_mean(name, points)
            return _refuse(t, key, what, _listed("points", list(points)), hint)
        if cut in points[name].shows_in or not self.whole:
            return (name,)
        what = f"{name} does not show in the {cut}"
        return _refuse(t, key, what, self._instead(cut), self._add(cut))

    def refuse_missing(self, t: Table, key: str, names: Sequence[str]) -> None:
        """Refuse each machine that is not there."""
        for name in names:
            if name and name not in self.machines:
                self._missing(t, key, name)

    def _missing(self, t: Table, key: str, ident: str) -> tuple[str, ...]:
        known = list(self.machines)
        what = f"there is no machine {shorten(ident)}"
        now = next((one.id for one in self.machines.values() if ident in one.was), "")
        hint = f"it is {now} now" if now else did_you_mean(ident, known)
        return _refuse(t, key, what, _listed("machines", known), hint)

    def _on(self, t: Table, key: str, cut: ShowsIn, machine: Machine) -> tuple[str, ...]:
        """Give every point of a machine that shows in a cut."""
        found = tuple(point.full_name for point in machine.points if cut in point.shows_in)
        if found or not self.whole:
            return found
        what = f"no point of {shorten(machine.name)} shows in the {cut}"
        return _refuse(t, key, what, self._instead(cut), self._add(cut))

    def _instead(self, cut: ShowsIn) -> str:
        shown = [point.full_name for point in self.shown.get(cut, [])]
        return _listed("there show", shown)

    def _add(self, cut: ShowsIn) -> str:
        return f'or write shows_in = "{cut}" at the point'


def _was(point: Point, name: str) -> bool:
    return any(name in (old, f"{point.machine}.{old}") for old in point.was)


def _listed(what: str, names: Sequence[str]) -> str:
    more = " ..." if len(names) > _LISTED else ""
    return f"{what}: {', '.join(names[:_LISTED])}{more}" if names else ""


def _refuse(t: Table, key: str, what: str, allowed: str, hint: str) -> tuple[str, ...]:
    t.refuse(key, what, allowed, hint, at_key=False)
    return ()
