"""One cut of a joint: what the error of the point that shows in it adds to the work, in mm.

A term grows with the size of its point's error. Errors of different points are never counted on to
cancel: the terms of an effect add up. What one point does the same way in every cut can cancel
exactly where the work is turned between the cuts; then the term is 0 and says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology import joints
from shopboard.shop.joint_forms import FORMS
from shopboard.shop.project import Closed, FitName, Joint, ShowsIn

CutKind = Literal["angle", "length", "pair"]
"""What a point's tolerance is: rad, mm, or rad of mitres in pairs, as a whole frame tells it."""

STOP_FACE_MM = 75.0
"""Widest face of a stop that a piece touches: common practice, no source."""

_NO_FRAME = (
    "mitres cut on two fences close only as well as the fences stand square to each other, which"
    " a test frame tells, and no point here is checked by that alone"
)


class NoFrameError(ValueError):
    """No point tells how square the two fences are to each other."""


ALTERNATED = "the faces are alternated"

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
    at: int = 0
    """Which of the points that show there it is the term of."""
    most: float = math.inf
    """Largest error, rad or mm, that is one; beyond it is another cut."""
    leans: bool = False
    """Pulled tight, it does nothing here: the work leans instead."""
    why: str = ALTERNATED
    """Why it cancels, where it does."""


class Effect(NamedTuple):
    """One sort of misfit of a joint: at most the sum of its terms."""

    fit: FitName
    words: str
    """What it is: ``gap in the last mitre``."""
    terms: tuple[Term, ...]
    note: str
    """How the errors come together: ``8 errors add up in the last mitre``."""
    by_hand: str = ""
    """Why nothing makes it where it has no terms; empty: the pieces are measured by hand."""


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

    def __init__(self, joint: Joint, kinds: Mapping[ShowsIn, Sequence[CutKind]]) -> None:
        """Take a joint.

        Args:
            joint: with its sizes.
            kinds: of the points that show in each cut, in their order; a cut left out, or without
                any, counts as one of an angle.
        """
        self.joint = joint
        self._kinds = kinds

    def kinds(self, shows_in: ShowsIn) -> tuple[CutKind, ...]:
        """Give what the points of a cut are measured in; there is one at the least."""
        return tuple(self._kinds.get(shows_in, ())) or ("angle",)

    @property
    def closed(self) -> Closed:
        """How the joint is closed: as the shop file says, else as is usual."""
        return self.joint.closed or FORMS[self.joint.kind].closings[0]

    def by_two_fences(self, shows_in: ShowsIn, terms: tuple[Term, ...]) -> tuple[Term, ...]:
        """Give the terms of mitres of which one is cut on either fence of two.

        What turns both fences alike makes one mitre as much too large as it makes the other too
        small. What they are out of square to each other stays, and a whole frame tells it.

        Raises:
            NoFrameError: when no point tells that.
        """
        if "pair" not in self.kinds(shows_in):
            raise NoFrameError(f"{self.joint.full_name}: {_NO_FRAME}")
        return tuple(
            term
            if kind == "pair"
            else Term(
                shows_in, _nothing, cancels=True, at=term.at, why="one fence makes up for the other"
            )
            for kind, term in zip(self.kinds(shows_in), terms, strict=True)
        )

    def size(self, name: str) -> float:
        """Give a size of the joint, mm."""
        size = self.joint.sizes.get(name)
        if size is None or not size > 0:
            raise ValueError(f"{self.joint.full_name}: a {self.joint.kind} needs its {name}")
        return size

    def terms(
        self,
        shows_in: ShowsIn,
        by_angle: Work,
        *,
        face: float,
        most: float = joints.MOST_ANGLE,
        cancels: bool = False,
        by_length: Work | None = None,
        leans: bool = False,
        why: str = ALTERNATED,
    ) -> tuple[Term, ...]:
        """Give the term of each point that shows in a cut: they add up.

        None where none need show there, and none does.

        Args:
            shows_in: the cut.
            by_angle: what an angle does.
            face: over which a point that is measured as a length is that much out, mm.
            most: largest angle for which `by_angle` is given, rad.
            cancels: the work is turned, so that it does nothing.
            by_length: what a length does, where that is no angle over the face.
            leans: pulled tight, the work leans instead.
            why: why it cancels.
        """
        if shows_in in FORMS[self.joint.kind].if_shown and not self._kinds.get(shows_in):
            return ()

        def term(at: int, kind: CutKind) -> Term:
            if cancels:
                return Term(shows_in, _nothing, cancels=True, at=at, why=why)
            if kind == "length" and by_length is not None:
                return Term(shows_in, by_length, at=at, leans=leans)
            largest = joints.out_over(face, most) if kind == "length" else most

            def work(size: float) -> float:
                angle = joints.angle_of(size, face) if kind == "length" else size
                return by_angle(min(angle, most))

            return Term(shows_in, work, at=at, most=largest, leans=leans)

        return tuple(term(at, kind) for at, kind in enumerate(self.kinds(shows_in)))

    def length_terms(self, touches: float, by_length: Work) -> tuple[Term, ...]:
        """Give the terms of pieces cut to one stop; a stop's face is touched here or there.

        None where they are measured by hand.
        """
        if self.joint.lengths_by_hand:
            return ()
        face = min(touches, STOP_FACE_MM)

        def by_angle(angle: float) -> float:
            return by_length(joints.out_over(face, angle))

        return self.terms("length", by_angle, face=face, by_length=by_length)

    def lengths(self, touches: float, words: str) -> Effect:
        """Give how unequal pieces are that were cut to one stop."""
        note = "One stop for all pieces: they differ by as much as its face is out, no more."
        if self.joint.lengths_by_hand:
            note = "Measured by hand: what they differ by may open the joints, too."
        return Effect("length", words, self.length_terms(touches, itself), note)
