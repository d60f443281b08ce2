"""Go, or hold and why: the answer before a glue-up. It is about fit, never about safety.

Go only if every point that shows in the joint was measured and its result stands, those too whose
error cancels, no machine that made it is tagged or being changed over, and no misfit can pass what
is wanted, at the proof level. Making any of this worse never turns hold into go.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from typing import Literal, NamedTuple

from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import small_move
from shopboard.prep.known import Known
from shopboard.prep.needs import Fit, JointNeeds, Share, joint_needs
from shopboard.shop.project import Joint, Limit
from shopboard.upkeep.safety_record import DO_NOT_USE

ABOUT_FIT = "It speaks of fit, never of safety."

MOST_REASONS = 2

Sort = Literal["tag", "change", "nothing shows", "not proven", "too much"]
"""What holds it up, the worst first."""

Minutes = Callable[[str], float]
"""How long the check of a point takes, minutes, by its full name."""


class Reason(NamedTuple):
    """One reason to hold, and the shortest thing to do about it."""

    sort: Sort
    words: str
    """What holds it up."""
    to_do: str
    """What to do about it, without its minutes."""
    point: str = ""
    """Full name of the point to check; empty: a check does not help."""
    minutes: float | None = None
    """How long that check takes; None: a check does not help."""
    about: str = ""
    """Full name of the point, or id of the machine, that is the reason."""


class Answer(NamedTuple):
    """The answer before a glue-up."""

    needs: JointNeeds
    level: float
    """Probability with which no misfit is passed."""
    reasons: tuple[Reason, ...]
    """All there are to hold, the worst first; none: go."""

    @property
    def joint(self) -> Joint:
        """The joint that was asked about."""
        return self.needs.joint

    @property
    def go(self) -> bool:
        """Whether to go."""
        return not self.reasons

    @property
    def word(self) -> str:
        """``GO`` or ``HOLD``."""
        return "GO" if self.go else "HOLD"

    @property
    def told(self) -> tuple[Reason, ...]:
        """The one or two reasons that are told: the worst, and the worst that needs another act."""
        if not self.reasons:
            return ()
        worst = self.reasons[0]
        other = (one for one in self.reasons if (one.to_do, one.point) != (worst.to_do, worst.point))
        return (worst, *list(other)[: MOST_REASONS - 1])


def answer(
    joint: Joint, known: Mapping[str, Known], level: float, minutes: Minutes, unit: Unit
) -> Answer:
    """Answer before a glue-up.

    Args:
        joint: the joint.
        known: what is known today of the points that show in it, by full name.
        level: probability with which no misfit may be passed.
        minutes: how long the check of a point takes.
        unit: the shop's, for the words.
    """
    needs = joint_needs(joint, known, level)
    points = {name: known[name] for name in joint.points.values() if name in known}
    reasons = (
        *_machines(points.values()),
        *_missing(needs),
        *_unproven(needs, minutes),
        *_too_much(needs, points, minutes, unit),
    )
    return Answer(needs, level, reasons)


def _machines(points: Iterable[Known]) -> list[Reason]:
    """Name machines that are tagged, then those on which a cutter is being changed."""
    tags: dict[str, Reason] = {}
    changes: dict[str, Reason] = {}
    for one in points:
        ident, machine = one.point.machine, one.machine
        if one.tag:
            to_do = f"see to {machine} first, then clear its tag"
            tags[ident] = Reason("tag", f"{machine}: {DO_NOT_USE}. {one.tag}", to_do, about=ident)
        elif one.under_way:
            words = f"{machine}: {one.under_way} is under way"
            to_do = f"end it at {machine}, then ask again"
            changes[ident] = Reason("change", words, to_do, about=ident)
    return [*tags.values(), *changes.values()]


def _missing(needs: JointNeeds) -> list[Reason]:
    """Name cuts that no point of the shop shows in."""
    return [
        Reason(
            "nothing shows",
            f"nothing proves the {cut}: no point of the shop shows in it",
            f'write shows_in = "{cut}" at a point of the shop file',
            about=needs.joint.points.get(cut, ""),
        )
        for cut in needs.missing
    ]


def _unproven(needs: JointNeeds, minutes: Minutes) -> list[Reason]:
    """Name points that cannot be gone by: those never checked or moved first, then those due."""
    found = []
    for one in needs.unknown:
        shares = [share for fit in needs.fits for share in fit.shares]
        mine = [share for share in shares if share.point == one.full_name]
        words = f"{one.name} is {one.state}: {one.why}"
        if mine and all(share.cancels for share in mine):
            words += ". Its error cancels only while it is the same in every cut"
        first = one.first or one.full_name
        to_do = f"check first {one.first_name}" if one.first else f"check {one.name}"
        reason = Reason("not proven", words, to_do, first, minutes(first), one.full_name)
        found.append((one.state != "unproven", reason))
    return [reason for _, reason in sorted(found, key=lambda each: each[0])]


def _too_much(
    needs: JointNeeds, points: Mapping[str, Known], minutes: Minutes, unit: Unit
) -> list[Reason]:
    """Name misfits that can pass what is wanted, the worst first."""
    found = []
    for fit in needs.fits:
        if fit.limit is None or fit.known_so_far <= fit.limit.mm:
            continue
        ratio = fit.known_so_far / fit.limit.mm
        found.append((ratio, _misfit(fit, fit.limit, points, minutes, unit)))
    return [reason for _, reason in sorted(found, key=lambda each: -each[0])]


def _misfit(
    fit: Fit, limit: Limit, points: Mapping[str, Known], minutes: Minutes, unit: Unit
) -> Reason:
    """Say what a misfit can come to, which point makes most of it, and what would mend it."""
    shares = sorted(fit.measured, key=lambda one: -(one.at_most or 0.0))
    worst = shares[0]
    words = f"{fit.effect.words} can be {misfit_words(fit.known_so_far, unit)},"
    words += f" wanted is at most {limit.typed}"
    if len(shares) > 1:
        part = misfit_words(worst.at_most or 0.0, unit)
        words += f". {points[worst.point].name} makes most of it: {part}"
    mends = [one for one in shares if fit.known_so_far - _gain(one) <= limit.mm]
    best = min(mends, key=lambda one: minutes(one.point), default=worst)
    name = points[best.point].name
    if mends:
        to_do = f"check {name} and set it to nought"
    elif best.fresh is not None and best.fresh > limit.mm:
        to_do = f"check {name} with a finer method: the last one leaves too much open"
    else:
        to_do = f"check {name} and set it to nought; alone that will not do"
    return Reason("too much", words, to_do, best.point, minutes(best.point), worst.point)


def _gain(share: Share) -> float:
    """Give how much less it is once the point is set to nought and measured as it was, mm."""
    if share.at_most is None or share.fresh is None:
        return 0.0
    return max(0.0, share.at_most - share.fresh)


def misfit_words(mm: float, unit: Unit) -> str:
    """Write a misfit with its unit: ``4.2 thou``; what no formula reaches, in words."""
    return small_move(mm, unit) if math.isfinite(mm) else "more than can be told"
