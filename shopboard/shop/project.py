"""What will be made: projects with their joints, as plain frozen data.

Lengths are mm. Which point of which machine shows in a joint is settled when the shop file is
read, so that nothing here is left to be guessed.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from itertools import chain
from typing import TYPE_CHECKING, Annotated, Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.machine import ShowsIn as ShowsIn

if TYPE_CHECKING:
    from shopboard.shop.kinds import FLAG, ID, IDS, NAME, ONE_OF
    from shopboard.shop.project_values import COUNT, START

JointKind = Literal[
    "panel",
    "frame",
    "carcase",
    "drawer",
    "tenon",
    "stave ring",
    "segment ring",
    "veneer",
    "round tenon",
    "leg",
    "stretcher",
]

FitName = Literal["gap", "cup", "square", "length", "thickness", "spring", "aim"]
"""What is wanted of a joint: no gap wider, no cup higher, diagonals no more unequal, pieces no more
unequal in length, leaves no more unequal in thickness, no sprung edge further off its hollow, no
far end of a leg, stretcher or spindle further off its place than so much."""

Closed = Literal["as planed", "sprung", "all round", "last corner", "half rings"]
"""How a joint is closed: its edges as they come off the machine, or planed hollow on purpose and
clamped shut; a ring drawn together by a strap, one corner after the other with all that is left in
the last, or glued up as two halves whose ends are sanded to fit."""


class MisfitLimit(NamedTuple):
    """What is allowed of one sort of misfit."""

    mm: float
    typed: str
    """As the shop file says it, or as the default is written: ``6 thou``."""
    source: str
    """Where it comes from: ``shop file``, ``published: ...`` or ``common practice``."""

    @property
    def most(self) -> float:
        """The largest misfit that is allowed, mm: what is wanted is not missed by rounding."""
        return self.mm * (1 + 1e-9)


class Joint(NamedTuple):
    """One joint, or several alike, of a project."""

    project: str
    """Id of its project."""
    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    kind: Annotated[JointKind, ONE_OF]
    number: Annotated[int, COUNT, "count"] = 1
    """How many there are of it."""
    pieces: int = 0
    """Boards, sides or staves; 0 where the kind has none to count."""
    sizes: Mapping[str, float] = {}
    """mm, by name: ``width``, ``length``, ``other_length``, ``height``, ``depth``,
    ``thickness``."""
    alternate: Annotated[bool, FLAG] = False
    """Faces are alternated between the cuts, so that the error of one cancels the other's."""
    fits: Mapping[FitName, MisfitLimit] = {}
    """What is wanted of it, with the defaults filled in."""
    closed: Closed | None = None
    """How it is closed; None: as is usual for its kind."""
    two_fences: Annotated[bool, FLAG] = False
    """Each of its mitres cut on one fence meets one cut on another that stands square to it."""
    points: Mapping[ShowsIn, tuple[str, ...]] = {}
    """Full names of all points that show in each cut, by where it shows; a cut that no point of the
    shop shows in is missing."""
    with_knives: tuple[str, ...] = ()
    """Full names of the points of its machines that are said to show in no cut, but are set with
    their knives: how these stand bears on all that they cut."""
    lengths_by_hand: bool = False
    """Its pieces are measured by hand, to no stop: no point of a machine tells their lengths."""
    was: Annotated[tuple[str, ...], IDS] = ()
    """Ids that what was decided of it stands under, too."""

    @property
    def full_name(self) -> str:
        """``project.joint``."""
        return f"{self.project}.{self.id}"

    @property
    def point_names(self) -> tuple[str, ...]:
        """Full names of every point that shows in it, then of those set with knives."""
        return tuple(dict.fromkeys((*chain(*self.points.values()), *self.with_knives)))


class Project(NamedTuple):
    """Something to be made."""

    id: Annotated[str, ID]
    name: Annotated[str, NAME]
    start: Annotated[date | None, START] = None
    """The day on which its wood is cut; None: not told, as soon as possible."""
    joints: tuple[Joint, ...] = ()
    also_on: Annotated[tuple[str, ...], IDS] = ()
    """Ids of machines that it runs on, beside those that its joints tell."""
    was: Annotated[tuple[str, ...], IDS] = ()
    """Ids that it had before."""

    @property
    def machines(self) -> tuple[str, ...]:
        """Ids of the machines that its joints are cut on and that it says it runs on, each once."""
        names = (name for joint in self.joints for name in joint.point_names)
        return tuple(dict.fromkeys((*(name.partition(".")[0] for name in names), *self.also_on)))
