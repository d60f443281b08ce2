"""One cut of a joint: what the error of the point that shows in it adds to the work, in mm.

A term grows with the size of its point's error. Errors of different points are never counted on to
cancel: the terms of an effect add up. What one point does the same way in every cut can cancel
exactly where the work is turned between the cuts; then the term is 0 and says so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Literal, NamedTuple

from shopboard.metrology import joints
from shopboard.shop.project import FitName, Joint, ShowsIn

Kind = Literal["angle", "length"]
"""What a point's tolerance is: rad or mm."""

STOP_FACE_MM = 75.0
"""Widest face of a stop that a piece touches: common practice, no source."""

Work = Callable[[float], float]


class Term(NamedTuple):
    """What one point's error adds to an effect."""

    shows_in: ShowsIn
    work: Work
    """Size of the point's error (rad, or mm where its tolerance is a length) to mm in the work:
    0 at 0, never falling; beyond the error at which the joint has lost its shape it stays as it
    is."""
    cancels: bool = False
    """The work is turned so that the error of one cut takes up that of the next: always 0."""


class Effect(NamedTuple):
    """One sort of misfit of a joint: at most the sum of its terms."""

    fit: FitName
    words: str
    """What it is: ``gap in the last mitre``."""
    terms: tuple[Term, ...]
    note: str
    """How the errors come together: ``8 errors add up in the last mitre``."""


def itself(size: float) -> float:
    """Give the error of a point that is a length: as large in the work."""
    if not size >= 0:
        raise ValueError(f"an error of {size:g} is outside 0 to inf")
    return size


def both(size: float) -> float:
    """Give two errors, one of each edge."""
    return 2 * itself(size)


def _nothing(size: float) -> float:
    """Give what is left of an error that cancels."""
    return 0 * min(itself(size), 1.0)


class Cuts:
    """The cuts of one joint and what the points in them are measured in."""

    def __init__(self, joint: Joint, kinds: Mapping[ShowsIn, Kind]) -> None:
        self.joint = joint
        self.kinds = kinds

    def size(self, name: str) -> float:
        """Give a size of the joint, mm."""
        size = self.joint.sizes.get(name)
        if size is None or not size > 0:
            raise ValueError(f"{self.joint.full_name}: a {self.joint.kind} needs its {name}")
        return size

    def term(
        self,
        shows_in: ShowsIn,
        by_angle: Work,
        *,
        face: float,
        most: float = joints.MOST_ANGLE,
        cancels: bool = False,
    ) -> Term:
        """Give the term of an angle; a point that has a length is that much out over the face."""
        if cancels:
            return Term(shows_in, _nothing, cancels=True)
        in_mm = self.kinds.get(shows_in, "angle") == "length"

        def work(size: float) -> float:
            angle = joints.angle_of(size, face) if in_mm else size
            return by_angle(min(angle, most))

        return Term(shows_in, work)

    def length_term(self, touches: float, by_length: Work) -> Term:
        """Give the term of pieces cut to one stop; a stop's face is touched here or there."""
        if self.kinds.get("length", "angle") == "length":
            return Term("length", by_length)
        face = min(touches, STOP_FACE_MM)

        def work(size: float) -> float:
            return by_length(joints.out_over(face, min(size, joints.MOST_ANGLE)))

        return Term("length", work)

    def lengths(self, touches: float, words: str) -> Effect:
        """Give how unequal pieces are that were cut to one stop."""
        note = "One stop for all pieces: they differ by as much as its face is out, no more."
        return Effect("length", words, (self.length_term(touches, itself),), note)
