"""Go, or hold and why: the answer before a glue-up. It is about fit, never about safety.

Go only if every point that shows in the joint was measured and its result stands, those too whose
error cancels; if no machine that made it is tagged or has its cutter out, and no misfit
can pass what is wanted, at the proof level. Making any of this worse never turns hold into go.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.quantity import Unit
from shopboard.metrology.spread import Spread
from shopboard.prep.joint_fit import JointNeeds
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import MendOption, Minutes, Options
from shopboard.prep.misfits import misfit_reasons
from shopboard.prep.needs import joint_needs
from shopboard.prep.open_misfits import mends_of
from shopboard.prep.present import present
from shopboard.prep.reason import Reason
from shopboard.prep.unproven import unprovable, unproven
from shopboard.shop.project import Joint, ShowsIn
from shopboard.upkeep.safety_record import DO_NOT_USE, see_to

__all__ = ["ABOUT_FIT", "GlueUpAnswer", "Minutes", "Reason", "answer"]

ABOUT_FIT = "It speaks of fit, never of safety."

MOST_REASONS = 2


class GlueUpAnswer(NamedTuple):
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
    known: Mapping[str, KnownPoint],
    level: float,
    minutes: Minutes,
    unit: Unit,
    *,
    clock_is_wrong: bool = False,
    options: Options | None = None,
    cannot_be_true: Callable[[str], str] = lambda _: "",
) -> GlueUpAnswer:
    """Answer before a glue-up.

    Args:
        joint: the joint.
        known: what is known today of the points that show in it, by full name.
        level: probability with which no misfit may be passed.
        minutes: how long the check of a point takes.
        unit: the shop's, for the words.
        clock_is_wrong: whether ages cannot be told, so that a point may be due and not look it.
        options: the ways to check a point; None: as it was checked last.
        cannot_be_true: says of a point that no check can prove it true; empty where one can.
    """
    needs = joint_needs(joint, known, level)
    points = {name: known[name] for name in joint.point_names if name in known}
    ways = options or _as_before(known)
    mends = mends_of(needs, points, ways, minutes)
    misfits = misfit_reasons(needs, points, mends, ways, minutes, unit)
    cannot = [one for one in misfits if one.sort == "cannot"]
    cannot += unprovable(needs, cannot_be_true)
    missing = _missing(needs)
    in_vain = bool(cannot or missing)
    reasons = (
        *_machines(points.values()),
        *((_CLOCK,) if clock_is_wrong else ()),
        *missing,
        *cannot,
        *unproven(needs, minutes, [one.mend for one in mends if one.mend], in_vain=in_vain),
        *(_in_vain(one) if in_vain else one for one in misfits if one.sort != "cannot"),
    )
    return GlueUpAnswer(needs, level, reasons)


def _machines(points: Iterable[KnownPoint]) -> list[Reason]:
    """Name machines that are tagged, then those whose cutter is out or being changed."""
    tags: dict[str, Reason] = {}
    changes: dict[str, Reason] = {}
    for one in points:
        ident = one.stopped or one.point.machine
        machine = one.stopped_name or one.machine
        body = f" (one body with {one.machine})" if one.stopped else ""
        if one.tag:
            words = f"{machine}{body}: {DO_NOT_USE}. {one.tag}"
            tags[ident] = Reason("tag", words, see_to(machine, one.tag), about=ident)
        elif one.under_way:
            words = f"{machine}{body}: {one.under_way}"
            to_do = f"finish it at {machine}, then ask again"
            changes[ident] = Reason("change", words, to_do, about=ident)
    return [*tags.values(), *changes.values()]


def _missing(needs: JointNeeds) -> list[Reason]:
    """Name cuts that no point of the shop shows in, or none but a yes or no, which has no size."""
    if needs.refused:
        what = "look at the joint's sizes in the shop file"
        if needs.no_frame:
            what = 'write check = "frame" at a point of those fences, or leave out two_fences'
        return [Reason("nothing shows", f"It cannot be worked out: {needs.refused}", what)]
    return [_nothing_shows(cut, needs.joint.points.get(cut, ())) for cut in needs.missing]


def _nothing_shows(cut: ShowsIn, said: Sequence[str]) -> Reason:
    lead, to_do = "no point of the shop shows in it", f'write shows_in = "{cut}" at a point'
    to_do += " of the shop file that measures it"
    if said:
        lead = "a yes or no shows in it, nothing that is measured"
        to_do = f'the shop file must have a point that measures it, with shows_in = "{cut}"'
    if cut == "length":
        to_do += ', or in the joint\'s made_on length = "by hand", if no stop is used'
    return Reason(
        "nothing shows", f"Nothing proves the {cut}: {lead}", to_do, about="".join(said[:1])
    )


def _as_before(known: Mapping[str, KnownPoint]) -> Options:
    """Take each point to be checked as it was last; what never was, exactly."""
    exactly = present(Spread(0.0, (), 0.0))
    return lambda name: (MendOption(known[name].fresh or exactly),) if name in known else ()


def _in_vain(one: Reason) -> Reason:
    """Ask for no check: another reason stays, whatever it finds."""
    return Reason(
        one.sort, one.words, f"{one.to_do}: that alone does not make it go", about=one.about
    )
