"""What a project needs and what it gets, in words."""

from __future__ import annotations

import math
from datetime import date

from shopboard.metrology.kind import limit_in_degrees, limit_words
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import length, small_limit, small_move
from shopboard.prep.glue_up import GlueUpAnswer, Reason
from shopboard.prep.joint_fit import JointFit, JointNeeds
from shopboard.prep.project_needs import PointNeeds
from shopboard.shop.joint_forms import FORMS
from shopboard.shop.project import Joint

STANDS_MARKS = {"fits": "■", "may not fit": "╱", "not proven": "?", "by hand": "≡"}
"""One character for lists."""

_LOOSEST = 0.2
"""rad; an angle that is allowed to be larger is not one of a machine."""


def date_words(day: date) -> str:
    """Write a day of the calendar: ``Mon 7 Dec 2026``."""
    return f"{day:%a} {day.day} {day:%b %Y}"


def joint_words(joint: Joint) -> str:
    """Say what a joint is: ``panel of 5 pieces, faces alternated, 2 alike``."""
    words = f"{joint.kind} of {joint.pieces} pieces" if joint.pieces else joint.kind
    if joint.alternate:
        words += ", faces alternated"
    closings = FORMS[joint.kind].closings
    if closings and (joint.closed or closings[0]) != "as planed":
        words += f", closed {joint.closed or closings[0]}"
    if joint.two_fences:
        words += ", mitred on two fences"
    return f"{words}, {joint.number} alike" if joint.number > 1 else words


def sizes_words(joint: Joint, unit: Unit) -> str:
    """List the sizes of a joint: ``width 3 in, length 20 in``."""
    sizes = joint.sizes.items()
    return ", ".join(f"{name.replace('_', ' ')} {length(mm, unit)}" for name, mm in sizes)


def fit_words(fit: JointFit, unit: Unit) -> str:
    """Say how large a misfit is likely and at most, against what is wanted; or that it cancels."""
    if fit.cancels:
        return f"cancels: {fit.effect.terms[0].why}"
    if not fit.shares:
        return fit.waived
    likely, at_most = fit.likely, fit.at_most
    words = "not proven"
    if likely is not None and at_most is not None:
        words = f"likely {small_move(likely, unit)}, at most {small_move(at_most, unit)}"
    if fit.limit is None:
        return words
    words += f"; allowed {small_limit(fit.limit.mm, unit)}"
    return f"{words}, but {fit.waived}" if fit.is_passed_over else words


def fit_mark(fit: JointFit) -> str:
    """Give the mark of a misfit; what is measured by hand, or need not be, is noted only."""
    if not fit.shares or fit.is_passed_over:
        return STANDS_MARKS["by hand"]
    if fit.cancels or fit.fits:
        return STANDS_MARKS["fits"]
    return STANDS_MARKS["not proven" if fit.at_most is None else "may not fit"]


def cancelling_words(needs: JointNeeds) -> list[str]:
    """Say of each cut whose error cancels in an effect that it does."""
    found = {
        f"{fit.effect.words}: the error of the {share.shows_in} cancels: {term.why}"
        for fit in needs.fits
        for term, share in zip(fit.effect.terms, fit.shares, strict=True)
        if share.cancels and not fit.cancels
    }
    return sorted(found)


def needed_words(one: PointNeeds, unit: Unit) -> str:
    """Say how true a point must be for the project, beside what the shop file asks of it."""
    tolerance = one.known.point.tolerance
    asks = f"shop file {tolerance.words(unit)}"
    if not one.known.adds:
        return "adds nothing, and must be a yes"
    if one.of_knives:
        return f"set with the knives: must be known, and not out; {asks}"
    if one.cancels:
        return f"any steady error will do: it cancels; {asks}"
    if one.needed is None or (tolerance.kind == "angle" and one.needed > _LOOSEST):
        return f"any error that a machine can have will do; {asks}"
    below = one.asked if one.tighter else None
    words = f"needs {limit_words(one.needed, tolerance.kind, unit, below)}"
    words += f" ({limit_in_degrees(one.needed)})" if tolerance.kind == "angle" else ""
    if one.tighter:
        return f"{words}: {asks} is too loose"
    return f"{words}; {asks} is tighter" if one.needed > 1.001 * one.asked else f"{words}; {asks}"


def cost_words(one: PointNeeds) -> str:
    """Say what a point costs the project."""
    if one.cost is None:
        return f"not proven: {one.known.why}"
    if one.cancels or not one.costs:
        return "costs nothing"
    share = f"up to {math.ceil(100 * one.cost - 1e-6)} %" if one.cost >= 0.01 else "under 1 %"
    return f"uses {share} of what is allowed: {one.costs}"


def sure_words(found: GlueUpAnswer) -> str:
    """Say how sure a go is, and of what: not of lengths that are measured by hand.

    Where a box fits in one way of closing it alone, that is said first.
    """
    machines = "that the machines make " if found.joint.lengths_by_hand else ""
    sure = f"{100 * found.level:g} % certain"
    lead = f"{way.capitalize()}, every" if (way := found.needs.must_close) else "Every"
    return f"{lead} gap and error {machines}stays within what is allowed, {sure}."


def at_most_words(level: float) -> str:
    """Say what is meant by at most."""
    return f"what is given as at most is not exceeded, {100 * level:g} % certain"


def to_do_words(reason: Reason) -> str:
    """Say what to do about a reason, and how long it takes."""
    if reason.minutes is None:
        return reason.to_do
    return f"{reason.to_do}: about {minutes_words(reason)}"


def command_words(point: str, reason: Reason, joint: Joint) -> str:
    """Write the command that does a check that a reason asks for."""
    words = f"shopboard check {point}"
    method = reason.methods.get(point)
    words += f" --method {method}" if method else ""
    return f"{words} --for {joint.full_name}" if point in joint.point_names else words


def minutes_words(reason: Reason) -> str:
    """Write how long it takes: ``25 min``."""
    return f"{max(1, round(reason.minutes or 0.0))} min"
