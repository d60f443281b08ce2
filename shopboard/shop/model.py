"""The shop as plain frozen data: its machines, the drawer, what will be made."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import TYPE_CHECKING, Annotated

from shopboard.metrology.conformity import PROOF_LEVEL, RISK
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.quantity import Unit
from shopboard.shop.gauge import Gauge
from shopboard.shop.hours import OpenHours
from shopboard.shop.machine import Cutter, Machine, Point, SafetyQuestion
from shopboard.shop.one_body import Reached, reached, served, serving

if TYPE_CHECKING:
    from shopboard.shop.kinds import COLOURS, FILE_NAMES, FLAG, FOLDER, MONEY, NAME
    from shopboard.shop.machine_values import BENCHES
    from shopboard.shop.measures import PROOF, RISK_TAKEN, UNIT
    from shopboard.shop.project import Project
    from shopboard.shop.read_hours import HOURS


@dataclass(frozen=True)
class Shop:
    """Everything that the shop file says; what is `Annotated` stands in its [shop]."""

    name: Annotated[str, NAME]
    unit: Annotated[Unit, UNIT]
    machines: tuple[Machine, ...]
    drawer: Drawer = field(default_factory=Drawer)
    money: Annotated[str, MONEY] = ""
    """What costs are counted in: ``dollars``; empty: not told."""
    proof_level: Annotated[float, PROOF, "proof"] = PROOF_LEVEL
    """Probability at which a point counts as proven."""
    risk: Annotated[float, RISK_TAKEN] = RISK
    """How likely a point may be out before its next check is due."""
    safety: tuple[SafetyQuestion, ...] = ()
    """Safety questions about the shop itself, beside or in place of the usual ones."""
    not_asked: tuple[str, ...] = ()
    """Ids of the usual safety questions about a shop that have no place in this one."""
    files: Annotated[tuple[str, ...], FILE_NAMES, "projects"] = ()
    """Files beside the shop file, with more projects."""
    projects: tuple[Project, ...] = ()
    """What will be made, in the order of the files."""
    made_ids: frozenset[str] = frozenset()
    """What has an id made of its name, as what it is and in full: ``point saw.blade-90``."""
    copies: Annotated[str, FOLDER] = ""
    """Folder for copies of the journal, from that of the shop file; empty: beside the journal."""
    tags_off_by: Annotated[tuple[str, ...], BENCHES] = ()
    """Names of the benches that may take a DO NOT USE tag off; empty: any may."""
    bell: Annotated[bool, FLAG] = True
    """Whether the board rings: at a key that does nothing, and when a wait is over."""
    colours: Annotated[str, COLOURS] = ""
    """Theme of the board; empty: by what the terminal tells."""
    hours: Annotated[tuple[OpenHours, ...], HOURS] = ()
    """When somebody is in the shop; empty: not told."""
    gauges: tuple[Gauge, ...] = ()
    """What sends its readings over a serial line."""

    @property
    def accepted_risk(self) -> float:
        """The risk as it counts: never less than a proof leaves."""
        return max(self.risk, 1 - self.proof_level)

    @cached_property
    def points(self) -> dict[str, Point]:
        """Every point by its full name, in the order of the shop file."""
        return {point.full_name: point for machine in self.machines for point in machine.points}

    @cached_property
    def reached(self) -> Reached:
        """Where else what happens to a mode of a combination machine happens."""
        return reached(self.machines) if any(one.body for one in self.machines) else {}

    @cached_property
    def serving(self) -> Mapping[str, tuple[str, ...]]:
        """Ids of the machines whose cutters serve another mode, too, by the id of that mode."""
        return serving(self.machines)

    def modes_beside(self, machine_id: str) -> tuple[Machine, ...]:
        """Give a machine with all modes of its body: they share one plug. None of one that is gone.

        It may be: the shop file can be edited while a check is under way.
        """
        machine = self.machines_by_id.get(machine_id)
        body = machine.body if machine is not None else ""
        return tuple(
            one for one in self.machines if one.id == machine_id or (body and one.body == body)
        )

    def happens_to(self, machine_id: str, what: str) -> tuple[Machine, ...]:
        """Give the machines to which something happens with one: itself first, then its modes."""
        ids = (machine_id, *self.reached.get(machine_id, {}).get(what, ()))
        return tuple(self.machines_by_id[one] for one in ids if one in self.machines_by_id)

    def cutters_at(self, machine_id: str) -> tuple[Cutter, ...]:
        """Give the cutters of a machine, then those of other modes that serve it, too."""
        own = self.machines_by_id[machine_id].cutters if machine_id in self.machines_by_id else ()
        others = (
            cutter
            for name in self.serving.get(machine_id, ())
            for cutter in self.machines_by_id[name].cutters
            if machine_id in served(self.machines_by_id[name], cutter.kind)
        )
        return (*own, *others)

    @cached_property
    def tools_were(self) -> Mapping[str, str]:
        """Ids of today of the tools that checks take, by those that they had before."""
        found = {old: one.id for one in self.drawer.squares for old in one.was}
        found |= {old: one.id for one in self.drawer.feelers for old in one.was}
        return found | {old: one.id for one in self.drawer.others for old in one.was}

    @cached_property
    def projects_by_id(self) -> dict[str, Project]:
        """Every project by its id."""
        return {project.id: project for project in self.projects}

    @cached_property
    def machines_by_id(self) -> dict[str, Machine]:
        """Every machine by its id."""
        return {machine.id: machine for machine in self.machines}
