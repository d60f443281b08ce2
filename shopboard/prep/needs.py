"""What a joint gets from the machines: every misfit, as it is likely and as it is not passed.

Every effect of a joint is a sum over the points that show in it. At the likely errors it gives the
likely misfit; at the bounds of the errors it gives one that is not passed, with the proof level for
all effects of the joint together (Bonferroni: of m points, each bound holds with
1 - (1 - level) / m).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Literal, NamedTuple

from shopboard.metrology import joints
from shopboard.prep.cuts import CutKind
from shopboard.prep.effects import Effect, Term, effects_of
from shopboard.prep.known import KnownPoint
from shopboard.shop.joint_forms import cuts_of
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
        if self.limit is None or self.waived:
            return True
        return self.at_most is not None and self.at_most <= self.limit.most

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


def joint_needs(joint: Joint, known: Mapping[str, KnownPoint], level: float) -> JointNeeds:
    """Work out what the points do to a joint.

    Args:
        joint: the joint.
        known: what is known of the points, by full name.
        level: probability with which no misfit of the joint is passed.
    """
    shown = {
        cut: [known[name] for name in names if name in known] for cut, names in joint.points.items()
    }
    points = {cut: [one for one in found if one.adds] for cut, found in shown.items()}
    cuts = cuts_of(joint.kind, tuple(joint.sizes))
    by_hand = ("length",) if joint.lengths_by_hand else ()
    missing = tuple(cut for cut in cuts if not points.get(cut) and cut not in by_hand)
    if joint.two_fences:
        shown["mitre"] = [_of_both_fences(one) for one in shown.get("mitre", ())]
        points["mitre"] = [one for one in shown["mitre"] if one.adds]
    every = {one.full_name: one for found in shown.values() for one in found}
    try:
        effects = effects_of(joint, _kinds(points))
    except ValueError as error:
        unknown = tuple(one for one in every.values() if not one.stands)
        return JointNeeds(joint, (), missing, unknown, str(error))
    working = {term.shows_in for one in effects for term in one.terms if not term.cancels}
    count = len({one.full_name for cut in working for one in points.get(cut, ())})
    each = 1 - (1 - level) / max(1, count)
    every = {name: _in_reach(one, points, effects, each) for name, one in every.items()}
    unknown = tuple(one for one in every.values() if not one.stands)
    sizes = {name: _sizes(one, each) for name, one in every.items()}
    fits = []
    for effect in effects:
        shares = []
        for term in effect.terms:
            found = points.get(term.shows_in)
            name = found[term.at].full_name if found else ""
            shares.append(_share(term, name, sizes.get(name, (None, None))))
        waived = "" if effect.terms else MEASURED_BY_HAND
        fits.append(JointFit(effect, joint.fits.get(effect.fit), tuple(shares), waived))
    return JointNeeds(joint, _either(fits), missing, unknown, level=level, each=each)


MEASURED_BY_HAND = "measured by hand, as the shop file says: compare the pieces before the glue"
HELD_SQUARE = "held square, it closes well enough; it need not lean"
DRAWN_CLOSED = "drawn closed, it leans no more than is allowed"


class Box(NamedTuple):
    """The two misfits of a box that exclude each other."""

    gap: JointFit
    """Of its ends, held square."""
    closed: JointFit
    """The same, drawn closed: what makes it lean opens nothing."""
    square: JointFit
    """How much it leans, drawn closed."""


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


def _either(fits: Sequence[JointFit]) -> tuple[JointFit, ...]:
    """Ask for the gap or for the lean of a box, not for both: they exclude each other.

    Held square its ends stand open and it does not lean; drawn closed it leans and what makes it
    lean opens nothing. It is enough that one of the two fits.
    """
    box = box_of(fits)
    if box is None:
        return tuple(fits)
    if box.gap.fits:
        return tuple(one._replace(waived=HELD_SQUARE) if one is box.square else one for one in fits)
    if box.square.fits and box.closed.fits:
        return tuple(one._replace(waived=DRAWN_CLOSED) if one is box.gap else one for one in fits)
    return tuple(fits)


def _in_reach(
    one: KnownPoint,
    points: Mapping[ShowsIn, Sequence[KnownPoint]],
    effects: Sequence[Effect],
    level: float,
) -> KnownPoint:
    """Refuse to go by an error so large that the joint would be another one."""
    if one.now is None:
        return one
    bound = one.now.bound(level)
    for effect in effects:
        for term in effect.terms:
            shown = points.get(term.shows_in)
            mine = shown and shown[term.at].full_name == one.full_name
            if mine and bound > term.most:
                why = f"it can be out {_size_words(term)}: that is another cut"
                return one._replace(now=None, state="out", why=why, checks=(one.point,))
    return one


def _size_words(term: Term) -> str:
    if term.most > joints.MOST_ANGLE:  # then it is a length
        return "as far as its face is wide, or nearly"
    return f"by more than {math.degrees(term.most):.3g} deg"


def _kinds(points: Mapping[ShowsIn, Sequence[KnownPoint]]) -> dict[ShowsIn, tuple[CutKind, ...]]:
    return {cut: tuple(map(_kind, found)) for cut, found in points.items()}


def _kind(one: KnownPoint) -> CutKind:
    if one.point.tolerance.kind == "length":
        return "length"
    return "pair" if one.point.checks == (_FRAME,) else "angle"


_Sizes = tuple[float | None, float | None]
"""The likely size of an error, and its bound."""


def _of_both_fences(one: KnownPoint) -> KnownPoint:
    """Go by no result of one fence alone, be it of a point that a whole frame tells today."""
    if _kind(one) != "pair" or one.now is None or one.method in ("", _FRAME):
        return one
    why = "measured on one fence; a whole frame tells how square the two are"
    return one._replace(now=None, state="due", why=why, checks=(one.point,))


_FRAME = "frame"
"""The method that tells two fences together."""


def _sizes(one: KnownPoint, level: float) -> _Sizes:
    likely = one.now.likely if one.now is not None else None
    bound = one.now.bound(level) if one.now is not None else None
    return likely, bound


def _share(term: Term, name: str, sizes: _Sizes) -> Share:
    likely, at_most = (None if size is None else term.work(size) for size in sizes)
    return Share(term.shows_in, name, likely, at_most, term.cancels)


def _sum(values: Iterable[float | None]) -> float | None:
    total = 0.0
    for value in values:
        if value is None:
            return None
        total += value
    return total
