"""How a joint stands: its misfits held against what is wanted of them, share by share. Pure.

Every effect of a joint is a sum over the points that show in it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.prep.effects import Effect
from shopboard.prep.known import KnownPoint
from shopboard.shop.project import Joint, MisfitLimit, ShowsIn


class Share(NamedTuple):
    """What one point does in one effect, mm in the work."""

    shows_in: ShowsIn
    point: str
    """Its full name; empty: no point of the shop shows there."""
    likely: float | None
    """None: nothing is known of it."""
    at_most: float | None
    cancels: bool
    """Faces are alternated: it does nothing here, however large."""


class JointFit(NamedTuple):
    """One effect of a joint, held against what is wanted."""

    effect: Effect
    limit: MisfitLimit | None
    """None: nothing is wanted of it."""
    shares: tuple[Share, ...]
    """In the order of the effect's terms."""
    waived: str = ""
    """Why it need not be as wanted, in words: the joint is closed so that it does not come about.
    Empty: it must."""

    @property
    def likely(self) -> float | None:
        """The likely misfit, mm: every error taken to add up; None: not all is known."""
        return _sum(one.likely for one in self.shares if not one.cancels) if self.shares else None

    @property
    def at_most(self) -> float | None:
        """The misfit that is not passed, mm; None: not all is known."""
        return _sum(one.at_most for one in self.shares if not one.cancels) if self.shares else None

    @property
    def measured(self) -> tuple[Share, ...]:
        """What is known of what does something."""
        return tuple(one for one in self.acting if one.at_most is not None)

    @property
    def acting(self) -> tuple[Share, ...]:
        """What does something, known or not."""
        return tuple(one for one in self.shares if not one.cancels)

    @property
    def known_so_far(self) -> float:
        """What is known makes up to so much, mm; what is not known comes on top."""
        return sum(one.at_most or 0.0 for one in self.measured)

    @property
    def fits(self) -> bool:
        """Whether it surely is no more than wanted, as far as the points that matter go."""
        return bool(self.waived) or self.is_within

    @property
    def is_within(self) -> bool:
        """Whether it surely is no more than wanted, though it need not be."""
        if self.limit is None:
            return True
        return self.at_most is not None and self.at_most <= self.limit.most

    @property
    def is_passed_over(self) -> bool:
        """Whether it can be more than wanted and that does not matter, as the joint is closed."""
        return bool(self.shares and self.waived) and not self.is_within

    @property
    def cancels(self) -> bool:
        """Whether all that would make it cancels."""
        return bool(self.shares) and all(one.cancels for one in self.shares)


class JointNeeds(NamedTuple):
    """One joint."""

    joint: Joint
    fits: tuple[JointFit, ...]
    missing: tuple[ShowsIn, ...]
    """Cuts that no point of the shop shows in."""
    unknown: tuple[KnownPoint, ...]
    """Points that show in it and cannot be gone by, those too whose error cancels."""
    refused: str = ""
    """Why its effects cannot be worked out; empty: they can."""
    no_frame: bool = False
    """Whether that is because no point tells how square two fences are to each other."""
    level: float = 0.0
    """Probability with which no misfit is passed."""
    each: float = 0.0
    """Probability with which the error of each of its points is not passed."""

    @property
    def stands(self) -> Literal["fits", "may not fit", "not proven"]:
        """How it stands in a word or two."""
        if self.missing or self.unknown or self.refused:
            return "not proven"
        return "fits" if all(one.fits for one in self.fits) else "may not fit"

    @property
    def must_close(self) -> Literal["", "held square", "pulled tight"]:
        """How a box has to be closed so that it fits; empty: it is no box, or either way does."""
        box = box_of(self.fits)
        if box is not None and box.gap.is_passed_over:
            return "pulled tight"
        return "held square" if box is not None and box.square.is_passed_over else ""


class Box(NamedTuple):
    """The two misfits of a box that exclude each other."""

    gap: JointFit
    """Of its ends, held square."""
    closed: JointFit
    """The same, pulled tight: what makes it lean opens nothing."""
    square: JointFit
    """How much it leans, pulled tight."""

    @property
    def ways(self) -> tuple[tuple[JointFit, ...], tuple[JointFit, ...]]:
        """What must be as wanted where it is held square, and where it is pulled tight.

        Each for itself: that one of them is waived, since the other is as wanted, is left out.
        """
        held, tight = (self.gap,), (self.closed, self.square)
        return tuple(one._replace(waived="") for one in held), tuple(
            one._replace(waived="") for one in tight
        )


def box_of(fits: Sequence[JointFit]) -> Box | None:
    """Give the two misfits of a box, of which it is enough that one is as wanted."""
    gap = next((one for one in fits if any(term.leans for term in one.effect.terms)), None)
    square = next((one for one in fits if one.effect.fit == "square"), None)
    if gap is None or square is None:
        return None
    closed = tuple(
        share._replace(cancels=share.cancels or term.leans)
        for term, share in zip(gap.effect.terms, gap.shares, strict=True)
    )
    return Box(gap, gap._replace(shares=closed), square)


def _sum(values: Iterable[float | None]) -> float | None:
    total = 0.0
    for value in values:
        if value is None:
            return None
        total += value
    return total
