"""What a joint gets from the machines: every misfit, as it is likely and as it is not passed.

Every effect of a joint is a sum over the points that show in it. At the likely errors it gives the
likely misfit; at the bounds of the errors it gives one that is not passed, with the proof level for
all effects of the joint together (Bonferroni: of m points, each bound holds with
1 - (1 - level) / m).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence

from shopboard.metrology import joints
from shopboard.prep.cuts import CutKind, NoFrameError
from shopboard.prep.effects import Effect, Term, effects_of
from shopboard.prep.joint_fit import JointFit, JointNeeds, Share, box_of
from shopboard.prep.known import KnownPoint
from shopboard.shop.joint_forms import FORMS, cuts_of
from shopboard.shop.project import Joint, ShowsIn

MEASURED_BY_HAND = "measured by hand, as the shop file says: compare the pieces before the glue"
HELD_SQUARE = "held square it closes well enough, and need not rack"
DRAWN_CLOSED = "pulled tight it closes, and racks no more than is allowed"

_Shown = Mapping[ShowsIn, Sequence[KnownPoint]]
"""What shows in each cut."""


def joint_needs(joint: Joint, known: Mapping[str, KnownPoint], level: float) -> JointNeeds:
    """Work out what the points do to a joint.

    Args:
        joint: the joint.
        known: what is known of the points, by full name.
        level: probability with which no misfit of the joint is passed.
    """
    shown = _shown(joint, known)
    points = {cut: [one for one in found if one.adds] for cut, found in shown.items()}
    missing = _missing(joint, points, shown)
    not_set = _not_set([known[name] for name in joint.with_knives if name in known])
    every = {one.full_name: one for found in shown.values() for one in found}
    try:
        effects = effects_of(joint, _kinds(points))
    except ValueError as error:
        no_frame = isinstance(error, NoFrameError)
        return JointNeeds(
            joint, (), missing, (*_unknown(every.values()), *not_set), str(error), no_frame
        )
    each = _level_of_each(effects, points, level)
    every = {name: _in_reach(one, points, effects, each) for name, one in every.items()}
    sizes = {name: _sizes(one, each) for name, one in every.items()}
    fits = [_fit(joint, effect, points, sizes) for effect in effects]
    unknown = (*_unknown(every.values()), *not_set)
    return JointNeeds(joint, _either(fits), missing, unknown, level=level, each=each)


def _shown(joint: Joint, known: Mapping[str, KnownPoint]) -> _Shown:
    """Give what shows in each cut; in mitres of two fences, no result of one fence alone."""
    shown = {
        cut: [known[name] for name in names if name in known] for cut, names in joint.points.items()
    }
    if joint.two_fences:
        shown["mitre"] = [_of_both_fences(one) for one in shown.get("mitre", ())]
    return shown


def _missing(joint: Joint, points: _Shown, shown: _Shown) -> tuple[ShowsIn, ...]:
    """Give the cuts that nothing measured shows in and no hand measures, or fits to what is there.

    Where the shop file has a point for what a hand would fit, a yes of that one will do, too.
    """
    form = FORMS[joint.kind]
    by_hand = ("length", *form.with_lengths) if joint.lengths_by_hand else ()
    fitted = [cut for cut in form.if_shown if shown.get(cut) or not joint.points.get(cut)]
    cuts = cuts_of(joint.kind, tuple(joint.sizes))
    return tuple(cut for cut in cuts if not points.get(cut) and cut not in (*by_hand, *fitted))


def _unknown(points: Iterable[KnownPoint]) -> tuple[KnownPoint, ...]:
    return tuple(one for one in points if not one.stands)


def _not_set(beside: Iterable[KnownPoint]) -> tuple[KnownPoint, ...]:
    """Give what is set with the knives and is out, or of which nothing is known.

    A note judges nothing.
    """
    out = "all that these knives cut shows it"
    return tuple(
        one._replace(why=one.why or out, checks=one.checks or (one.point,))
        for one in beside
        if one.state == "out" or not (one.stands or one.state == "noted")
    )


def _level_of_each(effects: Sequence[Effect], points: _Shown, level: float) -> float:
    """Share the level out among the points that do something (Bonferroni)."""
    working = {term.shows_in for one in effects for term in one.terms if not term.cancels}
    count = len({one.full_name for cut in working for one in points.get(cut, ())})
    return 1 - (1 - level) / max(1, count)


def _fit(joint: Joint, effect: Effect, points: _Shown, sizes: Mapping[str, _Sizes]) -> JointFit:
    """Hold one effect against what is wanted of it."""
    shares = []
    for term in effect.terms:
        found = points.get(term.shows_in)
        name = found[term.at].full_name if found else ""
        shares.append(_share(term, name, sizes.get(name, (None, None))))
    waived = "" if effect.terms else effect.by_hand or MEASURED_BY_HAND
    return JointFit(effect, joint.fits.get(effect.fit), tuple(shares), waived)


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
    points: _Shown,
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


def _kinds(points: _Shown) -> dict[ShowsIn, tuple[CutKind, ...]]:
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
