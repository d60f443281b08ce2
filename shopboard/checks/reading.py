"""One reading with the square in one position: where is light, then leaf by leaf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopboard.checks.drawn.canvas import AtStep, drawn
from shopboard.checks.drawn.square_at_face import BOTH, LOOK, square_at_face
from shopboard.checks.job import CheckContext
from shopboard.checks.leaf_by_leaf import LeafPlace, ask_leaves
from shopboard.checks.own_hand import by_own_hand
from shopboard.checks.steps import Choice, Option, Step, StepT
from shopboard.checks.tools import Tools
from shopboard.metrology.conformity import probability_within, verdict
from shopboard.metrology.feeler import Bracket, Stack, Try, next_stack, stacks
from shopboard.metrology.reach import FINE_ENOUGH, set_up
from shopboard.metrology.square import Light, SquareReading, estimate
from shopboard.metrology.wording import held, length

STEEPEST = 5
"""A gap over a fifth of the lever is a slip of the unit, not an error of a machine."""


@dataclass(frozen=True)
class Read:
    """A finished reading."""

    reading: SquareReading
    tries: int
    """Leaves tried."""
    leaves: int
    """Leaves in the thickest stack that makes the bracket."""


def ask_reading(
    job: CheckContext,
    tools: Tools,
    answers: Mapping[str, str],
    prefix: str,
    *,
    turned: bool = False,
) -> Step | Read:
    """Give the next question of a reading, or the reading when it is done.

    Args:
        job: the point.
        tools: what is used.
        answers: answers so far.
        prefix: put before every key, so that a check can hold several readings.
        turned: the square stands turned over.
    """
    light = answers.get(f"{prefix}light")
    if light is None:
        return _ask_light(job, tools, prefix, turned)
    tries: list[Try] = []
    if light == "none":
        where = answers.get(f"{prefix}both")
        if where is None:
            return _ask_both_ends(job, tools, prefix)
        thinnest = stacks(tools.feelers)[0].thickness
        if where == "neither":
            return Read(SquareReading("none", 0.0, thinnest), 1, 1)
        light, tries = where, [Try(thinnest, goes=True)]
    side: Light = "top" if light == "top" else "bottom"
    found = ask_leaves(_place(job, tools, side), answers, prefix, tries)
    if isinstance(found, Step):
        return _drawn(found, job, tools, AtStep("leaf", 1 if side == "top" else -1))
    return Read(SquareReading(side, found.goes, found.refused), found.tries, found.leaves)


def _ask_light(job: CheckContext, tools: Tools, prefix: str, turned: bool) -> Choice:
    top, bottom = job.geometry.ends
    asked = Choice(
        key=f"{prefix}light",
        title="Look for light between square and face.",
        lines=(
            "Hold its stock tight, slide it along until the blade touches."
            if job.geometry.lies == "flat"
            else "Press it down tight, slide it up until the blade touches.",
            *((f"The square is turned over now{_side(job)}.",) if turned else ()),
        ),
        options=(
            Option("top", f"light at the {top}", also=top),
            Option("bottom", f"light at the {bottom}", also=bottom),
            Option("none", "no light"),
        ),
    )
    return _drawn(asked, job, tools, AtStep(LOOK))


def _side(job: CheckContext) -> str:
    return f": {job.geometry.other_side}" if job.geometry.other_side else ""


def _ask_both_ends(job: CheckContext, tools: Tools, prefix: str) -> Choice:
    thinnest = held(stacks(tools.feelers)[0].leaves, tools.feelers.unit)
    top, bottom = job.geometry.ends
    asked = Choice(
        key=f"{prefix}both",
        title=f"Try the {thinnest} leaf at both ends.",
        lines=("Slide it in without force; a leaf that you have to push won't go.",),
        big=f"{thinnest} at both ends",
        options=(
            Option("neither", "goes at neither end"),
            Option("top", f"goes at the {top}", also=top),
            Option("bottom", f"goes at the {bottom}", also=bottom),
        ),
    )
    return _drawn(asked, job, tools, AtStep(BOTH))


def _drawn(step: StepT, job: CheckContext, tools: Tools, seen: AtStep) -> StepT:
    """Put the drawing of square and face to a step."""
    lever = length(tools.lever, job.unit)
    return drawn(step, lambda size: square_at_face(job.geometry, seen, lever, size))


def _place(job: CheckContext, tools: Tools, side: Light) -> LeafPlace:
    # A gap larger than the lever is none that this check can read.
    candidates = tuple(one for one in stacks(tools.feelers) if one.thickness <= tools.lever)
    lever = length(tools.lever, job.unit)
    return LeafPlace(
        tools.feelers,
        f"at the {job.geometry.ends[0 if side == 'top' else 1].upper()}",
        lambda bracket, tried: _next(job, tools, side, bracket, tried, candidates),
        (job, tools, side),
        widest=tools.lever / STEEPEST,
        too_wide=f"the gap cannot be larger than a fifth of the reach, {lever}:"
        " that would be 11 degrees",
    )


def _next(
    job: CheckContext,
    tools: Tools,
    side: Light,
    bracket: Bracket,
    tried: int,
    candidates: tuple[Stack, ...],
) -> Stack | None:
    """Choose the next leaf, or None when another one would decide nothing."""
    wanted = job.worked_to
    if bracket.refused is not None:
        setup = set_up(tools.square, tools.feelers, tools.lever)
        reading = SquareReading(side, bracket.goes, bracket.refused)
        found = by_own_hand(estimate(setup, reading), job.hands)
        fine = bracket.width / 2 / tools.lever <= FINE_ENOUGH * wanted.half_width
        proven = verdict(probability_within(found.spread, wanted), job.level) != "near"
        if fine and proven:
            return None
    limit = wanted.high if side == "top" else -wanted.low
    return next_stack(candidates, bracket, tried, first=max(limit * tools.lever, 0.0))
