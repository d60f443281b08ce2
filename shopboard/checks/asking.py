"""Leads through the readings that a method declares, one question after the other."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asked import Pick, Reading, Taken
from shopboard.checks.inputs import input_of, leaf_input
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.steps import Choice, Number, Option, Step
from shopboard.metrology.feeler import thickest
from shopboard.metrology.instruments import FeelerSet
from shopboard.metrology.propagate import Input
from shopboard.metrology.quantity import Unit, parse_length, parse_number
from shopboard.metrology.wording import as_typed, leaf, length

CALLIPER, LEAVES = "calliper", "leaves"
"""Answers for what a gap was measured by that the leaves at hand do not fill."""


def _undrawn(step: Step, at: str, taken: Taken) -> Step:
    del at, taken
    return step


def ask_readings(
    job: CheckContext,
    asked: Sequence[Reading | Pick],
    answers: Mapping[str, str],
    prefix: str,
    known: Taken | None = None,
    again: Collection[str] = (),
    draw: Callable[[Step, str, Taken], Step] = _undrawn,
) -> Step | Taken:
    """Ask for the readings one after the other, or give them all.

    Args:
        job: the point.
        asked: what is read, in order.
        answers: answers so far.
        prefix: put before every key.
        known: readings taken before; then only those in `again` are asked, and what hangs on them.
        again: keys of the readings and picks to ask again.
        draw: puts its drawing to a step, by the key of what is asked and what was read before.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    inputs: dict[str, Input] = {}
    words: dict[str, str] = {}
    so_far = Taken(inputs, words)
    for one in asked:
        key = f"{prefix}{one.key}"
        if known is not None and not _hangs_on(one, again):
            if one.key in known.words:
                words[one.key] = known.words[one.key]
                continue
            if one.key in known.inputs:
                inputs[one.key] = known.inputs[one.key]
                continue
        if isinstance(one, Pick):
            if key not in answers:
                return draw(_pick(one, key), one.key, so_far)
            words[one.key] = answers[key]
        elif one.only_if[0] and words.get(one.only_if[0]) not in one.only_if[1]:
            continue
        elif one.tool == "leaves":
            read = _leaves(job, one, answers, prefix, closed=one.closed(words))
            if isinstance(read, Step):
                return draw(read, one.key, so_far)
            inputs[one.key] = read
        else:
            if key not in answers:
                return draw(_number(job, one, key), one.key, so_far)
            inputs[one.key] = _input(job, one, answers[key])
    return Taken(inputs, words, known.remarks if known else ())


def _hangs_on(one: Reading | Pick, again: Collection[str]) -> bool:
    """Tell whether it is asked again: itself, or the pick that says whether there is anything."""
    if one.key in again:
        return True
    return isinstance(one, Reading) and bool({one.closed_if[0], one.only_if[0]} & {*again})


def _pick(one: Pick, key: str) -> Choice:
    return Choice(
        key=key,
        title=one.title,
        lines=one.lines,
        options=tuple(Option(value, label) for value, label in one.options),
        default=one.usual,
        unasked=one.usual,
    )


def _number(job: CheckContext, one: Reading, key: str) -> Number:
    unit = job.drawer.feelers[0].unit if one.tool == "leaves" else job.unit
    size = job.sizes.get(one.size)
    most = too_large(one, unit)
    default = length(size, unit) if size and size <= one.at_most else None
    hint = (f"Enter alone takes {default}, from the shop file.",) if default else ()
    if size and not default:
        hint = (f"The shop file says {length(size, unit)}, but {most}.",)
    if one.size and job.need is not None and job.need.how:
        hint = (f"To prove what {job.need.whom} needs: {job.need.how}.", *hint)
    return Number(
        key=key,
        title=one.title,
        lines=(*one.lines, *hint),
        unit=unit,
        plain="count" if one.tool == "count" else "s" if one.tool == "watch" else "",
        above=one.above,
        may_equal=one.may_equal,
        at_most=one.at_most,
        too_small=f"it must be larger than {_limit(one, one.above, unit)}",
        too_large=most,
        default=default,
        unasked=default,
    )


def too_large(one: Reading, unit: Unit | None) -> str:
    """Say why a reading is refused as too large; without a shop's unit, in both."""
    return one.too_large or f"it can be {_limit(one, one.at_most, unit)} at the most"


def _limit(one: Reading, value: float, unit: Unit | None) -> str:
    """Write what a reading must be above, or may be at most."""
    if one.tool == "watch":
        return f"{value:g} s"
    if one.tool == "count" or not value:
        return f"{value:g}"
    if unit is None:
        return f"{length(value, 'inch')} ({length(value, 'mm')})"
    return length(value, unit)


def _input(job: CheckContext, one: Reading, answer: str) -> Input:
    """Give a typed reading with what its tool leaves uncertain."""
    plain = one.tool in ("count", "watch")
    value = parse_number(answer) if plain else parse_length(answer, job.unit).mm
    return input_of(job, one, value, {})


def _wider_than_leaves(one: Reading, leaves: FeelerSet) -> tuple[str, ...]:
    """Say what to type for a gap that is wider than the leaves at hand."""
    if one.at_most <= thickest(leaves):
        return ()
    most = leaf(thickest(leaves), leaves.unit)
    return (f"Wider than your leaves ({most})? Type what calliper or rule shows.",)


def _ask_what_by(job: CheckContext, one: Reading, key: str, refused_key: str) -> Choice:
    """Ask what a gap was measured by that is wider than the leaves at hand."""
    callipers = [tool for tool in job.drawer.others if tool.kind == CALLIPER]
    return Choice(
        key=key,
        title="Your leaves are not that thick. What is it measured with?",
        lines=(f"{one.title} Calliper or rule square across it, at its open end.",),
        options=(
            *((Option(CALLIPER, "with a calliper"),) if callipers else ()),
            Option("rule", "with a rule"),
            Option(LEAVES, "with leaves after all: more of them, or others"),
        ),
        implied_by=((refused_key, LEAVES),),
    )


def _leaves(
    job: CheckContext, one: Reading, answers: Mapping[str, str], prefix: str, *, closed: bool
) -> Step | Input:
    """Ask for the two leaves that hold a gap, and give it as their middle."""
    if not job.drawer.feelers:
        raise NotPossibleError("this check needs a set of feeler leaves among your tools")
    goes_key, refused_key = (f"{prefix}{name}" for name in one.answers)
    leaves = job.drawer.feelers[0]
    if closed:
        if refused_key not in answers:
            thinnest = leaf(leaves.leaves[0], leaves.unit)
            return replace(
                _number(job, one, refused_key),
                title="Which is the thinnest leaf that won't go anywhere?",
                lines=(
                    *one.lines,
                    f"Try the thinnest leaf all along. Enter alone takes {thinnest}.",
                ),
                default=thinnest,
                unasked=thinnest,
            )
        refused = parse_length(answers[refused_key], leaves.unit).mm
        return leaf_input(one.key, -refused, refused, leaves.leaf_tolerance)
    if goes_key not in answers:
        return replace(
            _number(job, one, goes_key),
            lines=(
                *one.lines,
                "Thickest leaf that goes; 0 when the thinnest won't.",
                *_wider_than_leaves(one, leaves),
            ),
            may_equal=True,
        )
    goes = parse_length(answers[goes_key], leaves.unit).mm
    if goes > thickest(leaves) + 1e-4:
        by = answers.get(f"{prefix}{one.key}.by")
        if by is None:
            return _ask_what_by(job, one, f"{prefix}{one.key}.by", refused_key)
        if by != LEAVES:
            measured = replace(one, tool="calliper" if by == CALLIPER else "rule")
            return input_of(job, measured, goes, {})
    if refused_key not in answers:
        typed = as_typed(answers[goes_key], goes, leaves.unit)
        return replace(
            _number(job, one, refused_key),
            title="Which is the thinnest leaf that won't go?",
            lines=(f"{typed} goes.",) if goes else (),
            above=goes,
            may_equal=False,
            too_small=f"{typed} goes, so what won't go must be thicker"
            if goes
            else "no leaf is as thin as 0",
        )
    refused = parse_length(answers[refused_key], leaves.unit).mm
    lowest = -refused if one.touches and not goes else goes
    return leaf_input(one.key, lowest, refused, leaves.leaf_tolerance)
