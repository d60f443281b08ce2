"""Go, or hold and why: the answer before a glue-up. It is about fit, never about safety.

Go only if every point that shows in the joint was measured and its result stands, those too whose
error cancels; if no machine that made it is tagged or has its cutter out, and no misfit
can pass what is wanted, at the proof level. Making any of this worse never turns hold into go.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import combinations
from typing import Literal, NamedTuple

from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import small_move
from shopboard.prep.known import Known
from shopboard.prep.needs import Fit, JointNeeds, Share, joint_needs
from shopboard.shop.project import Joint, Limit
from shopboard.upkeep.safety_record import DO_NOT_USE

ABOUT_FIT = "It speaks of fit, never of safety."

MOST_REASONS = 2

Sort = Literal["tag", "change", "clock", "nothing shows", "not proven", "too much"]
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
    points: tuple[str, ...] = ()
    """Full names of the points to check, in that order; none: a check does not help."""
    minutes: float | None = None
    """How long these checks take; None: a check does not help."""
    about: str = ""
    """Full name of the point, or id of the machine, that is the reason."""
    short: str = ""
    """Name of the point to check first, to be read from afar; empty: a check does not help."""

    @property
    def point(self) -> str:
        """Full name of the point to check first; empty: a check does not help."""
        return self.points[0] if self.points else ""


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
        """The one or two reasons that are told: the worst, and the worst that needs another act.

        An unproven point that is checked on the way to the first one asks for nothing more.
        """
        if not self.reasons:
            return ()
        worst = self.reasons[0]
        other = (one for one in self.reasons if _needs_more(one, worst))
        return (worst, *list(other)[: MOST_REASONS - 1])


def _needs_more(one: Reason, worst: Reason) -> bool:
    """Tell whether a reason asks for more than what is done about the worst."""
    if one.sort == worst.sort == "not proven":
        return not {*one.points} <= {*worst.points}
    return (one.points or one.to_do) != (worst.points or worst.to_do)


_CLOCK = Reason(
    "clock",
    "The computer's clock looks wrong: how old the results are cannot be told",
    "set the clock; `shopboard clock` tells more",
)


def answer(
    joint: Joint,
    known: Mapping[str, Known],
    level: float,
    minutes: Minutes,
    unit: Unit,
    *,
    clock_is_wrong: bool = False,
) -> Answer:
    """Answer before a glue-up.

    Args:
        joint: the joint.
        known: what is known today of the points that show in it, by full name.
        level: probability with which no misfit may be passed.
        minutes: how long the check of a point takes.
        unit: the shop's, for the words.
        clock_is_wrong: whether ages cannot be told, so that a point may be due and not look it.
    """
    needs = joint_needs(joint, known, level)
    points = {name: known[name] for name in joint.point_names if name in known}
    reasons = (
        *_machines(points.values()),
        *((_CLOCK,) if clock_is_wrong else ()),
        *_missing(needs),
        *_unproven(needs, minutes),
        *_too_much(needs, points, minutes, unit),
    )
    return Answer(needs, level, reasons)


def _machines(points: Iterable[Known]) -> list[Reason]:
    """Name machines that are tagged, then those whose cutter is out or being changed."""
    tags: dict[str, Reason] = {}
    changes: dict[str, Reason] = {}
    for one in points:
        ident = one.stopped or one.point.machine
        machine = one.stopped_name or one.machine
        body = f" (one body with {one.machine})" if one.stopped else ""
        if one.tag:
            words = f"{machine}{body}: {DO_NOT_USE}. {one.tag}"
            to_do = f"see to {machine} first, then clear its tag"
            tags[ident] = Reason("tag", words, to_do, about=ident)
        elif one.under_way:
            words = f"{machine}{body}: {one.under_way}"
            to_do = f"see to it at {machine}, then ask again"
            changes[ident] = Reason("change", words, to_do, about=ident)
    return [*tags.values(), *changes.values()]


def _missing(needs: JointNeeds) -> list[Reason]:
    """Name cuts that no point of the shop shows in."""
    if needs.refused:
        what = "look at the joint's sizes in the shop file"
        return [Reason("nothing shows", f"It cannot be worked out: {needs.refused}", what)]
    return [
        Reason(
            "nothing shows",
            f"Nothing proves the {cut}: no point of the shop shows in it",
            f'write shows_in = "{cut}" at a point of the shop file',
            about=next(iter(needs.joint.points.get(cut, ())), ""),
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
        checks = tuple(point.full_name for point in one.checks) or (one.full_name,)
        took = sum(map(minutes, checks))
        to_do = f"check {one.name}"
        short = one.checks[0].name if one.checks else one.point.name
        if checks[0] != one.full_name:
            to_do = f"check first {one.first_machine}: {short}"
        if len(checks) > 1:
            to_do += ", then it" if len(checks) == 2 else f", then {len(checks) - 1} more"
        reason = Reason("not proven", words, to_do, checks, took, one.full_name, short)
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
    what = fit.effect.words
    words = f"{what[:1].upper()}{what[1:]} can be {small_move(fit.known_so_far, unit)},"
    words += f" wanted is at most {small_move(limit.mm, unit)}"
    if len(shares) > 1:
        part = small_move(worst.at_most or 0.0, unit)
        words += f". {points[worst.point].name} makes most of it: {part}"
    mend = _shortest(fit, shares, limit, minutes)
    if not mend:
        coarse = max(shares, key=lambda one: one.fresh or 0.0).point
        to_do = (
            f"check {points[coarse].name} by a finer method: the last result leaves too much open"
        )
        mend = (coarse,)
        return Reason(
            *("too much", words, to_do, mend, minutes(coarse), worst.point),
            short=points[coarse].point.name,
        )
    names = ", then ".join(points[one].name for one in mend)
    to_do = f"check {names}, and set {'it' if len(mend) == 1 else 'them'} right"
    return Reason(
        *("too much", words, to_do, mend, sum(map(minutes, mend)), worst.point),
        short=points[mend[0]].point.name,
    )


def _shortest(fit: Fit, shares: Sequence[Share], limit: Limit, minutes: Minutes) -> tuple[str, ...]:
    """Find the checks that take least and do, if the points are set to nought at them.

    Each is taken to be measured as finely as it was. An effect has few points: every choice is
    tried.

    Returns:
        Their full names, what makes most first; none where even all of them would not do.
    """
    found = []
    names = list(dict.fromkeys(one.point for one in shares))
    for number in range(1, len(names) + 1):
        for chosen in combinations(names, number):
            gain = sum(_gain(one) for one in shares if one.point in chosen)
            if fit.known_so_far - gain <= limit.mm:
                found.append((sum(map(minutes, chosen)), number, chosen))
    return min(found, key=lambda each: each[:2])[2] if found else ()


def _gain(share: Share) -> float:
    """Give how much less it is once the point is set to nought and measured as it was, mm."""
    if share.at_most is None or share.fresh is None:
        return 0.0
    return max(0.0, share.at_most - share.fresh)
