"""What a check is told about the point it is run on."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.need import Need, set_to
from shopboard.metrology.adjuster import Adjuster, Side
from shopboard.metrology.conformity import PROOF_LEVEL, Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.kind import Kind
from shopboard.metrology.own_hand import OwnHand
from shopboard.metrology.quantity import Unit

if TYPE_CHECKING:
    from shopboard.metrology.drift import Wander

Proves = Literal["", "square", "straightedge"]
"""What sort of tool of the drawer a check proves; empty: it checks a machine."""

Turn = Literal["no", "other side", "end for end"]
"""How the square can be turned over at a point, if at all."""


class Geometry(NamedTuple):
    """How the square meets the point."""

    datum: str
    """What the square's stock rests on: ``table``."""
    face: str
    """What its blade touches: ``blade plate, between two teeth``."""
    lever: float
    """Distance from where the blade touches to where the leaf is tried, mm."""
    lies: Literal["upright", "flat"] = "upright"
    """Upright: the ends are top and bottom. Flat: tip and heel."""
    turn: Turn = "no"
    """``other side``: the square can stand against the opposite face too; ``end for end``: a
    block square, without a stock, can be turned upside down against the same face."""
    other_side: str = ""
    """Where the square stands when it is turned to the other side: ``left of the blade``."""
    light_at_top: str = ""
    """What light at the top (or tip) means, in the shop's words: ``leans toward the fence``."""
    light_at_bottom: str = ""
    """What light at the bottom (or heel) means."""
    side: Side = ""
    """Of the face, on which the datum is: the square, or the slot."""
    turned_side: Side = ""
    """The same of a square that is turned to the other side."""
    in_slot: bool = False
    """The datum is a slot, in which a base can ride."""

    @property
    def ends(self) -> tuple[str, str]:
        """Names of the far and the near end of the square's blade."""
        return ("top", "bottom") if self.lies == "upright" else ("tip", "heel")


class Wanders(NamedTuple):
    """How a point wanders, the result that stands before the person among what it is told from."""

    wander: "Wander"
    every_days: int | None
    """Longest time that a check holds by the shop file; None: no limit."""
    risk: float
    """Accepted probability of being out before the next check."""


class CheckContext(NamedTuple):
    """One point, the tools at hand and what is known from before."""

    machine: str
    """Name of the machine."""
    point: str
    """Name of the point."""
    geometry: Geometry
    tolerance: Tolerance
    drawer: Drawer
    unit: Unit = "inch"
    level: float = PROOF_LEVEL
    """Probability at which the point counts as proven."""
    cutter_near: bool = False
    """Hands come near a cutter: unplug first."""
    lock: str = ""
    """What is locked after adjusting."""
    sizes: Mapping[str, float] = {}
    """Sizes that the shop file gives for this point, mm, by name."""
    proves: str = ""
    """Id of the drawer's tool that this point proves; empty on a machine."""
    was_moved: bool = False
    """It was moved since it was last measured: the next result is as left, not as found."""
    adjuster: Adjuster | None = None
    mm_per_turn: float | None = None
    """What the screw really did before, mm per turn; None: not known."""
    hands: tuple[OwnHand, ...] = ()
    """What the person's own hand repeats to, by sort of reading, as far as that is known."""
    wanders: Wanders | None = None
    """How it wanders; None: not known, or not asked for."""
    need: Need | None = None
    """What the work asks of the point; None: it is checked for nothing in particular."""
    knives: tuple[int, ...] = ()
    """How many knives the sets have that go on here; empty: the shop file tells of none."""

    @property
    def worked_to(self) -> Tolerance:
        """The values that it is read and set to: the shop file's, or fewer where the work asks."""
        return self.need.band(self.tolerance, self.unit) if self.need else self.tolerance

    @property
    def set_to(self) -> Tolerance:
        """The band whose middle a correction goes to."""
        return set_to(self.need, self.worked_to)


class Facts(NamedTuple):
    """What a shop file's reader must know of a method."""

    kind: Kind
    """What sort of value it measures, and so what sort its tolerance must be."""
    proves: Proves = ""


class NotPossibleError(Exception):
    """The check cannot be run with what the shop has; the message says what is missing."""
