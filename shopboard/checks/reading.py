"""One reading with the square in one position: where is light, then leaf by leaf."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopboard.checks.diagram import square_at_face
from shopboard.checks.job import CheckContext
from shopboard.checks.own_hand import by_own_hand
from shopboard.checks.steps import Choice, Number, Option, Step
from shopboard.checks.tools import Tools
from shopboard.metrology.conformity import probability_within, verdict
from shopboard.metrology.feeler import Bracket, Stack, Try, bracket_of, fills, next_stack, stacks
from shopboard.metrology.quantity import parse_length
from shopboard.metrology.reach import FINE_ENOUGH, set_up
from shopboard.metrology.square import Light, SquareReading, estimate
from shopboard.metrology.wording import as_typed, leaf, length

WIDER_LEAST = "Wider than all your leaves: the least that it is by calliper or rule."
WIDER_MOST = "Wider than all your leaves: the most that it is by calliper or rule."
"""What to type for a gap that the leaves at hand do not fill."""

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
    return _ask_leaves(job, tools, answers, prefix, side, tries)


def _ask_light(job: CheckContext, tools: Tools, prefix: str, turned: bool) -> Choice:
    top, bottom = job.geometry.ends
    return Choice(
        key=f"{prefix}light",
        title="Look for light between square and face.",
        lines=(
            "Press its stock to the rest, slide it along until it touches."
            if job.geometry.lies == "flat"
            else "Press it down on its rest, slide it up until it touches.",
            *((f"The square is turned over now{_side(job)}.",) if turned else ()),
        ),
        diagram=square_at_face(job.geometry, None, length(tools.lever, job.unit)),
        options=(
            Option("top", f"light at the {top}", also=top),
            Option("bottom", f"light at the {bottom}", also=bottom),
            Option("none", "no light"),
        ),
    )


def _side(job: CheckContext) -> str:
    return f": {job.geometry.other_side}" if job.geometry.other_side else ""


def _ask_both_ends(job: CheckContext, tools: Tools, prefix: str) -> Choice:
    thinnest = leaf(stacks(tools.feelers)[0].thickness, tools.feelers.unit)
    top, bottom = job.geometry.ends
    return Choice(
        key=f"{prefix}both",
        title=f"Try the {thinnest} leaf at both ends.",
        lines=("Slide it in without force; a leaf that must be pushed won't go.",),
        diagram=square_at_face(job.geometry, "none", length(tools.lever, job.unit)),
        big=thinnest,
        options=(
            Option("neither", "goes at neither end"),
            Option("top", f"goes at the {top}", also=top),
            Option("bottom", f"goes at the {bottom}", also=bottom),
        ),
    )


def _ask_leaves(
    job: CheckContext,
    tools: Tools,
    answers: Mapping[str, str],
    prefix: str,
    side: Light,
    tries: list[Try],
) -> Step | Read:
    # A gap larger than the lever is none that this check can read.
    candidates = tuple(one for one in stacks(tools.feelers) if one.thickness <= tools.lever)
    leaves = 1
    while True:
        bracket = bracket_of(tries)
        stack = _next(job, tools, side, bracket, len(tries), candidates)
        if stack is None and bracket.refused is not None:
            return Read(SquareReading(side, bracket.goes, bracket.refused), len(tries), leaves)
        if stack is None:
            return _ask_typed(job, tools, answers, prefix, side, len(tries), bracket)
        key = f"{prefix}leaf{len(tries) + 1}"
        said = answers.get(key)
        if said is None:
            return _ask_leaf(job, tools, prefix, len(tries) + 1, side, stack, bracket)
        if said == "typed":
            return _ask_typed(job, tools, answers, prefix, side, len(tries), bracket)
        tries.append(Try(stack.thickness, said == "goes"))
        leaves = max(leaves, len(stack.leaves))


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


def _ask_leaf(
    job: CheckContext,
    tools: Tools,
    prefix: str,
    number: int,
    side: Light,
    stack: Stack,
    bracket: Bracket,
) -> Choice:
    unit = tools.feelers.unit
    known = [f"{leaf(bracket.goes, unit)} goes"] if bracket.goes else []
    if bracket.refused is not None:
        known.append(f"{leaf(bracket.refused, unit)} won't go")
    end = job.geometry.ends[0 if side == "top" else 1]
    held = " + ".join(leaf(one, unit) for one in stack.leaves)
    together = f"Hold together {held}. " if len(stack.leaves) > 1 else ""
    return Choice(
        key=f"{prefix}leaf{number}",
        title=f"Try {leaf(stack.thickness, unit)} at the {end}.",
        lines=(
            f"{together}Slide it in without force.",
            f"Leaf {number}. {'So far: ' if known else ''}{', '.join(known)}".rstrip(),
        ),
        diagram=square_at_face(job.geometry, side, length(tools.lever, job.unit)),
        big=leaf(stack.thickness, unit),
        options=(
            Option("goes", "goes in"),
            Option("refused", "won't go"),
            Option("typed", "type the two leaves instead"),
        ),
        implied_by=((f"{prefix}goes", "typed"), (f"{prefix}refused", "typed")),
    )


def _ask_typed(
    job: CheckContext,
    tools: Tools,
    answers: Mapping[str, str],
    prefix: str,
    side: Light,
    tries: int,
    known: Bracket,
) -> Step | Read:
    """Ask for the two leaves; they must agree with what the leaves tried so far have shown."""
    goes = answers.get(f"{prefix}goes")
    if goes is None:
        return _ask_thickest(job, tools, f"{prefix}goes", known)
    goes_mm = parse_length(goes, tools.feelers.unit).mm
    goes = as_typed(goes, goes_mm, tools.feelers.unit)
    refused = answers.get(f"{prefix}refused")
    if refused is None:
        return _ask_thinnest(job, tools, f"{prefix}refused", known, goes, goes_mm)
    reading = SquareReading(side, goes_mm, parse_length(refused, tools.feelers.unit).mm)
    return Read(reading, tries + 2, tools.feelers.most_leaves)


def _ask_thickest(job: CheckContext, tools: Tools, key: str, known: Bracket) -> Number:
    unit = tools.feelers.unit
    went = f"{leaf(known.goes, unit)} went already"
    most, too_large = _largest_gap(job, tools)
    if known.refused is not None:
        most = known.refused - 1e-4  # less than two leaves ever differ by
        too_large = f"{leaf(known.refused, unit)} did not go, so what goes must be thinner"
    return Number(
        key=key,
        title="Which is the thickest that goes?",
        lines=(
            *(("Type 0 when the thinnest leaf won't go.",) if not known.goes else ()),
            *(() if known.refused else (WIDER_LEAST,)),
        ),
        unit=unit,
        above=known.goes,
        may_equal=True,
        at_most=most,
        too_small=went if known.goes else "a leaf cannot be thinner than 0",
        too_large=too_large,
    )


def _ask_thinnest(
    job: CheckContext, tools: Tools, key: str, known: Bracket, goes: str, goes_mm: float
) -> Number:
    most, too_large = _largest_gap(job, tools)
    if known.refused is not None:
        most = known.refused
        too_large = f"{leaf(known.refused, tools.feelers.unit)} did not go already"
    return Number(
        key=key,
        title="Which is the thinnest that won't go?",
        lines=(
            *((f"{goes} goes.",) if goes_mm else ()),
            *(() if fills(tools.feelers, goes_mm) else (WIDER_MOST,)),
        ),
        unit=tools.feelers.unit,
        above=goes_mm,
        at_most=most,
        too_small=f"{goes} goes, so what won't go must be thicker",
        too_large=too_large,
    )


def _largest_gap(job: CheckContext, tools: Tools) -> tuple[float, str]:
    lever = length(tools.lever, job.unit)
    return tools.lever / STEEPEST, (
        f"the gap cannot be larger than a fifth of the lever, {lever}: that would be 11 degrees"
    )
