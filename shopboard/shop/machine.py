"""The pieces of a shop as plain frozen data: machines with their points, tasks and cutters.

Lengths are mm, angles rad, intervals days. Every name has passed the shop
file's text rules (one line, nothing invisible, no control characters).
A field that is `Annotated` is a setting of the file (`settings.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Literal, cast

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.job import Geometry
from shopboard.metrology.adjuster import Adjuster
from shopboard.metrology.conformity import Tolerance

if TYPE_CHECKING:
    from shopboard.shop.kinds import FLAG, ID, IDS, NAME, OLD_NAMES, ONE_OF, UPKEEP_IDS, WORDS
    from shopboard.shop.machine_values import ANSWERS, CHECKS, POINTS, SHORT, SHOWS_IN, UNDONE_BY
    from shopboard.shop.measures import DAYS
    from shopboard.shop.minutes import MINUTES
    from shopboard.shop.upkeep_values import (
        AFTER,
        BLADE_WIDTH,
        COST,
        CUTTER_KIND,
        CUTTER_LEAVES,
        CUTTER_LIKE,
        EACH,
        EDGES,
        KNIVES,
        LIFE,
        SHARPENINGS,
        STEPS,
    )

HAPPENINGS = (
    "blade changed",
    "knives changed",
    "knives turned",
    "belt changed",
    "machine moved",
    "knocked",
    "stop re-set",
    "project finished",
)
"""What can undo a check, in the words that the shop file uses."""

OF_THE_BODY = ("machine moved", "knocked")
"""What happens to a combination machine as a whole, whatever mode it is in."""

PROJECT_FINISHED = "project finished"
"""Counts for the whole shop; undoes what says so, and makes tasks due."""

STOP_RESET = "stop re-set"
"""What is set then is another error than before."""

HOURS_RUN = "hours run"
USES = (HOURS_RUN, "cuts made", "length cut")
"""Use of a machine, as far as a person can tell: minutes, a count, mm."""

NOTE = "note"
"""Words for the record; it undoes nothing."""


ShowsIn = Literal[
    "edge angle",
    "edge line",
    "end angle",
    "end tilt",
    "mitre",
    "bevel",
    "length",
    "thickness",
    "resaw",
    "leg angle",
    "hole angle",
    "hole size",
    "tenon taper",
]
"""Where in the work a point's error shows: the edge out of square with the face, the edge not
straight, a crosscut seen from the face, a crosscut through the thickness, the angle of each mitre,
the angle of a stave's edge, pieces cut to one stop, thickness across the width, thickness across
the height of a resawn leaf; the lean of a leg's hole in its seat, that of any other round tenon's
hole, how much larger a hole is than its bit, a round tenon from end to end."""


class Point(NamedTuple):
    """One thing on a machine that must be true."""

    machine: str
    """Id of its machine."""
    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    checks: Annotated[tuple[str, ...], CHECKS, "check"]
    """Methods by the trade's name, the preferred one first: ``square``."""
    geometry: Geometry
    tolerance: Tolerance
    shows_in: Annotated[tuple[ShowsIn, ...], SHOWS_IN] = ()
    """Where in the work its error shows; empty: nowhere that a project asks for."""
    every_days: int | None = None
    """Longest time that a check holds; None: until something undoes it."""
    every: str = ""
    """The same as the shop file says it, of several the soonest: ``3 months``."""
    undone_by: Annotated[tuple[str, ...], UNDONE_BY] = ()
    """Happenings (see HAPPENINGS) that undo the check."""
    rests_on: Annotated[tuple[str, ...], POINTS] = ()
    """Full names (``machine.point``) that this point is measured from."""
    cutter_near: Annotated[bool, FLAG] = False
    """Hands come near a cutter: the check starts with the machine unplugged."""
    cutter_off: Annotated[bool, FLAG] = False
    """It is checked with the cutter off; told by its words where the shop file does not say."""
    guards: Annotated[bool, FLAG] = False
    """It proves what guards a person, such as a riving knife: time that is short goes to it first.
    """
    lock: Annotated[str, WORDS] = ""
    """What is locked after adjusting, in the shop's words: ``both trunnion bolts``."""
    sizes: Mapping[str, float] = {}
    """Sizes that checks of this point take as given, mm, by name: ``width``."""
    proves: Annotated[str, ID] = ""
    """Id of the drawer's tool that a check of this point proves; empty on a machine."""
    adjuster: Adjuster | None = None
    was: Annotated[tuple[str, ...], OLD_NAMES] = ()
    """Names that its records stand under, too: ``blade-90``, ``tablesaw.blade-90``."""
    minutes: Annotated[float | None, MINUTES] = None
    """How long its check takes, minutes of a person's work; None: not told."""

    @property
    def full_name(self) -> str:
        """``machine.point``, the name used everywhere."""
        return f"{self.machine}.{self.id}"


CutterMove = Literal["stays", "off", "on"]
"""What becomes of the cutter in a step: it stays where it is, comes off, or is on again."""

Leaves = Literal["nothing", "dirt", "wax"]
"""What a task leaves on its machine: dirt, so that it comes before what wants a clean machine; wax,
oil or another coat, so that it wants one; or nothing that matters to other tasks."""


class TaskStep(NamedTuple):
    """One thing to do within a task."""

    words: str
    wait_minutes: float = 0.0
    """How long it must be left alone afterwards: to soak, to dry, to haze."""
    cutter: CutterMove = "stays"
    """Told by the words of all steps where the shop file says it of none."""
    leaves: Leaves | None = None
    """What it leaves on the machine; None: what the whole task does."""
    off_machine: bool = False
    """It is done off the machine, as a bath in a tray: only a cutter that is out keeps it busy."""
    at_most_minutes: float | None = None
    """How long it may be left alone at the longest, minutes; None: nothing is said of that."""
    may_end_alone: bool = False
    """Whether its wait may end when nobody is in the shop, as that of glue or a bath may."""


class Task(NamedTuple):
    """Recurring work on a machine, shown with the machine.

    It is due by whichever of its rules comes first; without any, it is done when needed.
    """

    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    every_days: int | None = None
    every_minutes: float | None = None
    """Minutes that the machine runs between two times."""
    every_projects: int | None = None
    """Projects finished between two times."""
    every: str = ""
    """The rules as the shop file says them: ``4 weeks or 40 hours``."""
    after: Annotated[tuple[str, ...], AFTER] = ()
    """Happenings (see HAPPENINGS) after which it is due."""
    steps: Annotated[tuple[TaskStep, ...], STEPS] = ()
    """What is done one after the other, with each of `each`; empty: it is done in one go."""
    each: Annotated[tuple[str, ...], EACH] = ()
    """What of a set it is done with, one after the other: chisels by their width. Its steps are
    those of all of them."""
    cutter_near: Annotated[bool, FLAG] = False
    """Hands come near a cutter: it begins with the machine unplugged."""
    cleans: Annotated[bool, FLAG] = False
    """It cleans the cutters that are on the machine."""
    guards: Annotated[bool, FLAG] = False
    """It sees to what guards a person: time that is short goes to it first."""
    leaves: Annotated[Leaves, ONE_OF] = "nothing"
    """What it leaves on the machine; told by its words where the shop file does not say."""
    undoes: Annotated[tuple[str, ...], IDS] = ()
    """Ids of tasks of the machine whose work it undoes, such as grinding what was honed; told by
    their names where the shop file does not say."""
    before: Annotated[tuple[str, ...], UPKEEP_IDS] = ()
    """Tasks and cutters: it is done before them, or before their change; see `full_name`."""
    minutes: Annotated[float | None, MINUTES] = None
    """How long one has to work at it, waits not counted, minutes; None: not told."""
    was: Annotated[tuple[str, ...], IDS] = ()
    """Ids that its records stand under, too."""

    @property
    def comes_with_use(self) -> bool:
        """Whether work on the machine brings it about: by hours, projects, or what it leaves."""
        by_use = self.every_minutes or self.every_projects or PROJECT_FINISHED in self.after
        return bool(by_use) or self.leaves != "nothing"

    def left_by(self, number: int) -> Leaves:
        """Give what a step leaves on the machine, by its number from 1; without steps, the task."""
        if not self.steps:
            return self.leaves
        step = self.steps[number - 1]
        return step.leaves or ("nothing" if step.off_machine else self.leaves)


class Life(NamedTuple):
    """How long a cutter stays sharp, by what a person can tell."""

    amount: float
    """Minutes of running, cuts, mm of wood or projects."""
    unit: Literal["minutes", "cuts", "mm", "projects"]
    typed: str
    """As the shop file says it: ``20 hours``."""


Where = Literal["on the machine", "on the shelf", "at the sharpener"]
Sharpness = Literal["sharp", "dull", "dirty", "worn out"]
CutterLeaves = Literal["nothing", "dirt"]
CutterKind = Literal["blade", "band", "knives", "bit", "hand tool"]
"""How a cutter is changed, and what that does. A kind in the shop's own words says like which."""

CHANGED_BY: dict[CutterKind, str] = {
    "blade": "blade changed",
    "band": "blade changed",
    "knives": "knives changed",
}
"""What has happened when a cutter of a kind was put on; a bit or a hand tool undoes nothing."""

TURNED = "knives turned"
"""What has happened when knives were turned to their next edge."""


class Cutter(NamedTuple):
    """A blade, band, knife set or bit, and how it was when the shop file was written."""

    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    where: Annotated[Where, ONE_OF]
    state: Annotated[Sharpness, ONE_OF]
    kind: Annotated[str, CUTTER_KIND] = "blade"
    """A `CutterKind`, or words of the shop's own. Of each kind one is on the machine at a time."""
    edges: Annotated[int, EDGES] = 1
    """2: knives that can be turned over to a second edge."""
    edge: Annotated[int, EDGES] = 1
    """The edge in use, from 1."""
    pieces: Annotated[int, KNIVES] = 1
    """Knives of the set; 1: not told, they are changed in one go."""
    plate: Annotated[float | None, BLADE_WIDTH] = None
    """How thick the plate of a blade is, mm; None: not told."""
    kerf: Annotated[float | None, BLADE_WIDTH] = None
    """How wide it cuts, mm; None: not told."""
    lasts: Annotated[Life | None, LIFE] = None
    """How long an edge stays sharp."""
    sharpenings: Annotated[int | None, SHARPENINGS] = None
    """How often it can still be sharpened; None: not known."""
    cost: Annotated[float | None, COST] = None
    """What a sharpening costs, or a new one that cannot be sharpened, in the shop's money."""
    money: str = ""
    """What the shop counts money in: ``dollars``; empty: not told."""
    away_days: Annotated[int | None, DAYS, "away"] = None
    """How long it is away to be sharpened, or how long a new one takes to come."""
    spare_for: Annotated[str, ID] = ""
    """Id of the cutter of the same machine whose work this one does, too."""
    serves: Annotated[tuple[str, ...], IDS] = ()
    """Ids of the modes of its combination machine in which it cuts, as the shop file says it."""
    leaves: Annotated[CutterLeaves | None, CUTTER_LEAVES] = None
    """What its change leaves on the machine; None: knives leave dirt, for the head is cleaned
    (common practice, no source), others nothing."""
    before: Annotated[tuple[str, ...], UPKEEP_IDS] = ()
    """Tasks that are done after its change; see `full_name`."""
    was: Annotated[tuple[str, ...], IDS] = ()
    """Ids that its records stand under, too."""
    like: Annotated[CutterKind | None, CUTTER_LIKE] = None
    """How one of the shop's own kinds is changed; None: its kind says it."""

    @property
    def sort(self) -> CutterKind:
        """How it is changed: what putting it on does goes by that, and never by its kind's word."""
        return self.like or cast(CutterKind, self.kind)

    @property
    def makes_dirt(self) -> bool:
        """Whether its change leaves dirt on the machine."""
        return (self.leaves or ("dirt" if self.sort == "knives" else "nothing")) == "dirt"

    @property
    def honed_here(self) -> bool:
        """Whether its own maker of edges is at hand: a hand tool that goes to no sharpener."""
        return self.sort == "hand tool" and self.away_days is None

    @property
    def place(self) -> str:
        """Where it goes on: of all with the same place one is on. Hand tools lie side by side."""
        return self.id if self.sort == "hand tool" else self.kind


MachineKind = Literal[
    "",
    "table saw",
    "mitre saw",
    "bandsaw",
    "jointer",
    "planer",
    "drill press",
    "router table",
    "shaper",
    "lathe",
    "sander",
    "hand tools",
]
"""What sort of machine it is, by the trade's name; empty: not told. Hand tools are none, but what
is kept sharp and true of them stands in the place of one."""


class SafetyQuestion(NamedTuple):
    """One thing that a safety round looks at, asked by the state that a person sees."""

    id: Annotated[str, ID]
    ask: Annotated[str, WORDS]
    """What to look at, or what to do first: ``Lift the guard and let it go.``"""
    wanted: Annotated[tuple[str, ...], ANSWERS]
    """How it should be; any one of them will do."""
    others: Annotated[tuple[str, ...], ANSWERS]
    """How else it can be."""
    running: bool = False
    """The machine must run for it: it is asked last, with guards on and hands away."""
    plug: bool = False
    """Whether the machine is cut off: asked first; while it is not, nothing more is asked."""

    @property
    def name(self) -> str:
        """What is looked at, in a word or two: ``riving knife``."""
        return self.id.replace("-", " ")


class Machine(NamedTuple):
    """A machine with its points, in the order of the shop file."""

    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    kind: Annotated[MachineKind, ONE_OF] = ""
    body: Annotated[str, NAME] = ""
    """What a combination machine is called, of which this is one mode; empty: it stands alone."""
    change_minutes: Annotated[float, MINUTES, "change"] = 0.0
    """Minutes of work that the combination machine takes to be changed over to this mode."""
    points: tuple[Point, ...] = ()
    tasks: tuple[Task, ...] = ()
    cutters: tuple[Cutter, ...] = ()
    safety: tuple[SafetyQuestion, ...] = ()
    """Safety questions of the shop's own; one with the id of a usual one takes its place."""
    not_asked: tuple[str, ...] = ()
    """Ids of the usual safety questions that have no place on this machine."""
    was: Annotated[tuple[str, ...], IDS] = ()
    """Ids that its records stand under, too."""
    short: Annotated[str, SHORT] = ""
    """What the board calls it in large letters; empty: made of its name (`short_names`)."""

    @property
    def cuts(self) -> bool:
        """Whether it is a machine with a cutter; edges without a machine are held by hand."""
        near = any(point.cutter_near for point in self.points) or any(
            self.points or one.sort != "hand tool" for one in self.cutters
        )
        return self.kind != "hand tools" and bool(self.kind or near)

    @property
    def has_round(self) -> bool:
        """Whether a safety round asks anything of it."""
        return bool(self.safety or self.cuts)


def full_name(name: str, machine: str) -> str:
    """Put the machine before what is named by its id alone, as what stands on it may be."""
    return name if "." in name else f"{machine}.{name}"
