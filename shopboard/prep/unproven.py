"""Points of a joint that cannot be gone by: what is wrong with each, and how to check it. Pure."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from shopboard.base.state_words import stands_words
from shopboard.prep.joint_fit import JointNeeds
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import Mend, MendOption, Minutes, minutes_for
from shopboard.prep.reason import Reason


def unprovable(needs: JointNeeds, cannot_be_true: Callable[[str], str]) -> list[Reason]:
    """Name points that rest on one that no check can prove: it would stay due all the same."""
    found = []
    for one in needs.unknown:
        bases = (base for base in one.checks if base.full_name != one.full_name)
        base, why = next(
            ((base, why) for base in bases if (why := cannot_be_true(base.full_name))), (None, "")
        )
        if base is not None:
            words = f"{one.name} {stands_words(one.state)}, and depends on {base.name}"
            found.append(
                Reason("cannot", words, f"{base.name}: {why.rstrip('.')}", about=one.full_name)
            )
    return found


def unproven(
    needs: JointNeeds, minutes: Minutes, mends: Sequence[Mend], *, in_vain: bool
) -> list[Reason]:
    """Name points that cannot be gone by: those never checked or moved first, then those due.

    Args:
        needs: of the joint.
        minutes: how long the check of a point takes.
        mends: what would do for each misfit.
        in_vain: whether no check can make it go: then none is asked for.
    """
    found = []
    for one in sorted(needs.unknown, key=lambda one: one.state != "unproven"):
        words = _words(one, needs)
        if in_vain:
            to_do = "checking it is not enough for a GO"
            found.append(Reason("not proven", words, to_do, about=one.full_name))
        else:
            found.append(_to_check(one, words, minutes, mends))
    return found


def _words(one: KnownPoint, needs: JointNeeds) -> str:
    """Say how a point stands, and what becomes of its error in the joint."""
    shares = [share for fit in needs.fits for share in fit.shares]
    mine = [share for share in shares if share.point == one.full_name]
    words = f"{one.name} {stands_words(one.state)}: {one.why}"
    if mine and all(share.cancels for share in mine):
        words += ". Its error cancels only while it is the same in every cut"
    return words


def _to_check(one: KnownPoint, words: str, minutes: Minutes, mends: Sequence[Mend]) -> Reason:
    """Ask for a point's check, in the way that would mend most, and for what comes before it."""
    ways = [mend.chosen[one.full_name] for mend in mends if one.full_name in mend.chosen]
    way = max(ways, key=lambda each: each.trouble, default=None)
    checks = tuple(point.full_name for point in one.checks) or (one.full_name,)
    before = [name for name in way.first if name not in checks] if way is not None else []
    checks = (*before, *checks)
    took = minutes_for(checks, {one.full_name: way} if way is not None else {}, minutes)
    to_do, short = _how(one, way, checks, comes_first=bool(before))
    methods = {one.full_name: way.method} if way is not None and way.how else {}
    return Reason("not proven", words, to_do, checks, took, one.full_name, short, methods)


def _how(
    one: KnownPoint, way: MendOption | None, checks: Sequence[str], *, comes_first: bool
) -> tuple[str, str]:
    """Say what to check, and the name of what comes first; that may be what the way asks for."""
    how = f" {way.how}" if way is not None and way.how else ""
    short = one.checks[0].name if one.checks else one.point.name
    to_do = f"check {one.name}{how}"
    if checks[0] != one.full_name:
        leads = f"{one.first_machine}: {short}"
        if way is not None and comes_first:
            leads, short = way.first_name, way.first_name.rpartition(": ")[2]
        to_do = f"check first {leads}"
    if len(checks) > 1:
        itself = len(checks) == 2 and checks[1] == one.full_name
        to_do += f", then it{how}" if itself else f", then {len(checks) - 1} more"
    return to_do, short
