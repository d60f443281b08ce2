"""The pieces of a shop as plain frozen data: machines with their points, tasks and cutters.

Lengths are mm, angles rad, intervals days. Every name has passed the shop
file's text rules (one line, nothing invisible, no control characters).
"""

from collections.abc import Mapping
from typing import Literal, NamedTuple

from shopboard.checks.job import Geometry
from shopboard.metrology.adjuster import Adjuster
from shopboard.metrology.conformity import Tolerance

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
]
"""Where in the work a point's error shows: the edge out of square with the face, the edge not
straight, a crosscut seen from the face, a crosscut through the thickness, the angle of each mitre,
the angle of a stave's edge, pieces cut to one stop, thickness across the width, thickness across
the height of a resawn leaf."""


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
    was: tuple[str, ...] = ()
    """Names that its records stand under, too: ``blade-90``, ``tablesaw.blade-90``."""
    shows_in: tuple[ShowsIn, ...] = ()
    """Where in the work its error shows; empty: nowhere that a project asks for."""
    minutes: float | None = None
    """How long its check takes, minutes of a person's work; None: not told."""

    @property
    def full_name(self) -> str:
        """``machine.point``, the name used everywhere."""
        return f"{self.machine}.{self.id}"


class TaskStep(NamedTuple):
    """One thing to do within a task."""

    words: str
    wait_minutes: float = 0.0
    """How long it must be left alone afterwards: to soak, to dry, to haze."""


class Task(NamedTuple):
    """Recurring work on a machine, shown with the machine.

    It is due by whichever of its rules comes first; without any, it is done when needed.
    """

    id: str
    name: str
    every_days: int | None = None
    every_minutes: float | None = None
    """Minutes that the machine runs between two times."""
    every_projects: int | None = None
    """Projects finished between two times."""
    every: str = ""
    """The rules as the shop file says them: ``4 weeks or 40 hours``."""
    after: tuple[str, ...] = ()
    """Happenings (see HAPPENINGS) after which it is due."""
    steps: tuple[TaskStep, ...] = ()
    """What is done one after the other; empty: it is done in one go."""
    cutter_near: bool = False
    """Hands come near a cutter: it begins with the machine unplugged."""
    minutes: float | None = None
    """How long one has to work at it, waits not counted, minutes; None: not told."""
    was: tuple[str, ...] = ()
    """Ids that its records stand under, too."""


class Life(NamedTuple):
    """How long a cutter stays sharp, by what a person can tell."""

    amount: float
    """Minutes of running, cuts, mm of wood or projects."""
    unit: Literal["minutes", "cuts", "mm", "projects"]
    typed: str
    """As the shop file says it: ``20 hours``."""


Where = Literal["on the machine", "on the shelf", "at the sharpener"]
Sharpness = Literal["sharp", "dull", "dirty", "worn out"]
CutterKind = Literal["blade", "band", "knives", "bit"]

CHANGED_BY: dict[CutterKind, str] = {
    "blade": "blade changed",
    "band": "blade changed",
    "knives": "knives changed",
}
"""What has happened when a cutter of a kind was put on; a bit undoes nothing."""

TURNED = "knives turned"
"""What has happened when knives were turned to their next edge."""


class Cutter(NamedTuple):
    """A blade, band, knife set or bit, and how it was when the shop file was written."""

    id: str
    name: str
    where: Where
    state: Sharpness
    kind: CutterKind = "blade"
    """Of each kind one is on the machine at a time."""
    edges: int = 1
    """2: knives that can be turned over to a second edge."""
    edge: int = 1
    """The edge in use, from 1."""
    plate: float | None = None
    """How thick the plate of a blade is, mm; None: not told."""
    kerf: float | None = None
    """How wide it cuts, mm; None: not told."""
    lasts: Life | None = None
    """How long an edge stays sharp."""
    sharpenings: int | None = None
    """How often it can still be sharpened; None: not known."""
    cost: float | None = None
    """What a sharpening costs, or a new one that cannot be sharpened, in the shop's money."""
    money: str = ""
    """What the shop counts money in: ``dollars``; empty: not told."""
    away_days: int | None = None
    """How long it is away to be sharpened, or how long a new one takes to come."""
    spare_for: str = ""
    """Id of the cutter of the same machine whose work this one does, too."""
    serves: tuple[str, ...] = ()
    """Ids of the modes of its combination machine in which it cuts, as the shop file says it."""
    was: tuple[str, ...] = ()
    """Ids that its records stand under, too."""


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
]
"""What sort of machine it is, by the trade's name; empty: not told."""


class SafetyQuestion(NamedTuple):
    """One thing that a safety round looks at, asked by the state that a person sees."""

    id: str
    ask: str
    """What to look at, or what to do first: ``Lift the guard and let it go.``"""
    wanted: tuple[str, ...]
    """How it should be; any one of them will do."""
    others: tuple[str, ...]
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

    id: str
    name: str
    points: tuple[Point, ...] = ()
    tasks: tuple[Task, ...] = ()
    cutters: tuple[Cutter, ...] = ()
    was: tuple[str, ...] = ()
    """Ids that its records stand under, too."""
    kind: MachineKind = ""
    safety: tuple[SafetyQuestion, ...] = ()
    """Safety questions of the shop's own; one with the id of a usual one takes its place."""
    not_asked: tuple[str, ...] = ()
    """Ids of the usual safety questions that have no place on this machine."""
    body: str = ""
    """What a combination machine is called, of which this is one mode; empty: it stands alone."""
    change_minutes: float = 0.0
    """Minutes of work that the combination machine takes to be changed over to this mode."""

    @property
    def cuts(self) -> bool:
        """Whether it is a machine with a cutter; chisels and plane irons have no points."""
        near = self.cutters or any(point.cutter_near for point in self.points)
        return bool(self.kind or (self.points and near))

    @property
    def has_round(self) -> bool:
        """Whether a safety round asks anything of it."""
        return bool(self.safety or self.cuts)
