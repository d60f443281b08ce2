"""Readings that are typed in: what is read with which tool, and how well that tool tells it.

A method declares its readings as data; this leads through them and gives each
as an input for a formula, with its uncertainty.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from shopboard.checks.job import Job, NotPossibleError
from shopboard.checks.steps import Choice, Number, Option, Step
from shopboard.metrology.instruments import OtherTool
from shopboard.metrology.propagate import Input
from shopboard.metrology.quantity import Unit, parse_length, parse_number
from shopboard.metrology.reach import best_reading
from shopboard.metrology.square import FEEL_DOF, FEEL_U_MM
from shopboard.metrology.uncertainty import Source
from shopboard.metrology.wording import leaf, length

ToolKind = Literal["calliper", "indicator", "straightedge", "leaves", "rule", "count", "watch"]

RULE_WITHIN_MM = 0.5
"""Half-width within which a length is read from a rule: common practice, no source."""

WATCH_WITHIN_S = 0.5
"""Half-width within which a time is read from a watch by hand: common practice, no source."""

TYPICAL_LIMIT = {
    "calliper": 0.02,
    "indicator": 0.01,
    "leaves": 0.0127,
    "rule": RULE_WITHIN_MM,
    "watch": WATCH_WITHIN_S,
}
"""Half-widths (mm, s) taken where no drawer says better: calliper of DIN 862 (from a catalogue),
indicator within one turn of JIS B 7503:2011 (from a catalogue), a gap read to half a thousandth of
an inch with leaves and a length read from a rule (common practice, no source)."""

READING_HALF_STEP = {"calliper": 0.0127, "indicator": 0.0127}
"""Half of the smallest step that is read, mm (half a thousandth of an inch): common practice."""


@dataclass(frozen=True)
class Reading:
    """One value that is read and typed."""

    key: str
    """Name of its answer: ``front``."""
    title: str
    """What to do, one short sentence."""
    tool: ToolKind
    lines: tuple[str, ...] = ()
    above: float = 0.0
    """The value must be larger than this (mm, s or a count), or equal where `may_equal`."""
    may_equal: bool = False
    at_most: float = 10_000.0
    size: str = ""
    """Name of the shop file's size that Enter alone takes."""
    diagram: tuple[str, ...] = ()
    closed_if: tuple[str, str] = ("", "")
    """(key of a pick, its value): then no leaf goes at either end, and the gap is 0, give or take
    the thinnest leaf. For tool ``leaves`` only."""
    only_if: tuple[str, tuple[str, ...]] = ("", ())
    """(key of a pick, its values): asked for only then."""
    touches: bool = False
    """Where the thinnest leaf won't go it touches: the gap is 0, give or take that leaf."""


@dataclass(frozen=True)
class Pick:
    """One of a few words, such as which end is wider."""

    key: str
    title: str
    options: tuple[tuple[str, str], ...]
    """(value, label)."""
    lines: tuple[str, ...] = ()
    diagram: tuple[str, ...] = ()
    usual: str | None = None
    """The value that Enter alone means, and that a file of answers need not give."""


@dataclass(frozen=True)
class Taken:
    """Every reading of one set."""

    inputs: Mapping[str, Input]
    """Lengths mm, times s, with what makes them uncertain."""
    words: Mapping[str, str]
    """What was picked."""

    @property
    def values(self) -> dict[str, float]:
        """The readings without their uncertainty."""
        return {name: one.value for name, one in self.inputs.items()}


def ask_readings(
    job: Job, asked: Sequence[Reading | Pick], answers: Mapping[str, str], prefix: str
) -> Step | Taken:
    """Ask for the readings one after the other, or give them all.

    Raises:
        NotPossibleError: when the drawer lacks a tool.
    """
    inputs: dict[str, Input] = {}
    words: dict[str, str] = {}
    for one in asked:
        key = f"{prefix}{one.key}"
        if isinstance(one, Pick):
            if key not in answers:
                return _pick(one, key)
            words[one.key] = answers[key]
        elif one.only_if[0] and words.get(one.only_if[0]) not in one.only_if[1]:
            continue
        elif one.tool == "leaves":
            closed = words.get(one.closed_if[0], "") == one.closed_if[1] != ""
            read = _leaves(job, one, answers, prefix, closed=closed)
            if isinstance(read, Step):
                return read
            inputs[one.key] = read
        else:
            if key not in answers:
                return _number(job, one, key)
            inputs[one.key] = _input(job, one, answers[key])
    return Taken(inputs, words)


def _pick(one: Pick, key: str) -> Choice:
    return Choice(
        key=key,
        title=one.title,
        lines=one.lines,
        diagram=one.diagram,
        options=tuple(Option(value, label) for value, label in one.options),
        default=one.usual,
        unasked=one.usual,
    )


def _number(job: Job, one: Reading, key: str) -> Number:
    unit = job.drawer.feelers[0].unit if one.tool == "leaves" else job.unit
    size = job.sizes.get(one.size)
    default = length(size, unit) if size else None
    hint = (f"Enter alone: {default}, as the shop file says.",) if default else ()
    return Number(
        key=key,
        title=one.title,
        lines=(*one.lines, *hint),
        diagram=one.diagram,
        unit=unit,
        plain="count" if one.tool == "count" else "s" if one.tool == "watch" else "",
        above=one.above,
        may_equal=one.may_equal,
        at_most=one.at_most,
        too_small=f"it must be larger than {_least(one, unit)}",
        default=default,
        unasked=default,
    )


def _least(one: Reading, unit: Unit) -> str:
    plain = one.tool in ("count", "watch") or not one.above
    return f"{one.above:g}" if plain else length(one.above, unit)


def tool_of(job: Job, kind: ToolKind) -> OtherTool:
    """Find the drawer's best tool of a kind.

    Raises:
        NotPossibleError: when there is none.
    """
    found = [tool for tool in job.drawer.others if tool.kind == kind]
    if not found:
        raise NotPossibleError(f"this check needs a tool of kind {kind} in the drawer")
    return min(found, key=lambda tool: tool.limit)


def _input(job: Job, one: Reading, answer: str) -> Input:
    """Give a typed reading with what its tool leaves uncertain."""
    plain = one.tool in ("count", "watch")
    value = parse_number(answer) if plain else parse_length(answer, job.unit).mm
    return input_of(job, one, value, {})


def input_of(job: Job, one: Reading, value: float, words: Mapping[str, str]) -> Input:
    """Give a value (mm, s or a count) as the reading of its tool, as fine as the drawer allows.

    Raises:
        NotPossibleError: when the drawer lacks the tool.
    """
    if one.tool == "leaves":
        if not job.drawer.feelers:
            raise NotPossibleError("this check needs a set of feeler leaves in the drawer")
        leaves = job.drawer.feelers[0]
        low, high = best_reading(value, leaves).ends
        closed = words.get(one.closed_if[0], "") == one.closed_if[1] != ""
        return leaf_input(one.key, low if closed else max(low, 0.0), high, leaves.leaf_tolerance)
    if one.tool in ("count", "watch"):
        half = WATCH_WITHIN_S if one.tool == "watch" else 0.0
        return Input(value, (Source.within(f"{one.key}, the watch", half),))
    if one.tool == "rule":
        return Input(value, (Source.within(f"{one.key}, the rule", RULE_WITHIN_MM),))
    tool = tool_of(job, one.tool)
    return Input(value, tool_sources(one.key, tool.kind, tool.limit))


def tool_sources(name: str, kind: str, limit: float) -> tuple[Source, ...]:
    """Give what makes one reading of a calliper, indicator or straightedge uncertain, mm."""
    step = READING_HALF_STEP.get(kind, 0.0)
    return (
        Source.within(f"{name}, the {kind}", limit),
        *((Source.within(f"{name}, reading it", step),) if step else ()),
    )


def typical_input(name: str, tool: str, value: float) -> Input:
    """Give a value with what such a tool usually leaves uncertain; exact where no tool is named."""
    limit = TYPICAL_LIMIT.get(tool)
    if limit is None:
        return Input(value)
    sources = [*tool_sources(name, tool, limit)]
    if tool == "leaves":
        sources.append(Source(f"{name}, feel of the leaf", FEEL_U_MM, FEEL_DOF))
    return Input(value, tuple(sources))


def _leaves(
    job: Job, one: Reading, answers: Mapping[str, str], prefix: str, *, closed: bool
) -> Step | Input:
    """Ask for the two leaves that hold a gap, and give it as their middle."""
    if not job.drawer.feelers:
        raise NotPossibleError("this check needs a set of feeler leaves in the drawer")
    goes_key, refused_key = f"{prefix}{one.key}.goes", f"{prefix}{one.key}.refused"
    leaves = job.drawer.feelers[0]
    if closed:
        if refused_key not in answers:
            thinnest = leaf(leaves.leaves[0], leaves.unit)
            return replace(
                _number(job, one, refused_key),
                title="Which thinnest leaf goes in nowhere?",
                lines=(*one.lines, f"Try the thinnest leaf all along. Enter alone: {thinnest}."),
                default=thinnest,
                unasked=thinnest,
            )
        refused = parse_length(answers[refused_key], leaves.unit).mm
        return leaf_input(one.key, -refused, refused, leaves.leaf_tolerance)
    if goes_key not in answers:
        return replace(
            _number(job, one, goes_key),
            lines=(*one.lines, "Thickest leaf that goes; 0 when the thinnest won't."),
            may_equal=True,
        )
    goes = parse_length(answers[goes_key], leaves.unit).mm
    if refused_key not in answers:
        return replace(
            _number(job, one, refused_key),
            title="Which is the thinnest leaf that won't go?",
            lines=(f"{answers[goes_key]} goes.",),
            above=goes,
            may_equal=False,
            too_small=f"{answers[goes_key]} goes, so what won't go must be thicker",
        )
    refused = parse_length(answers[refused_key], leaves.unit).mm
    lowest = -refused if one.touches and not goes else goes
    return leaf_input(one.key, lowest, refused, leaves.leaf_tolerance)


def leaf_input(name: str, goes: float, refused: float, leaf_tolerance: float) -> Input:
    """Give a gap between two leaves, mm, with what leaves and hand leave uncertain."""
    return Input(
        (goes + refused) / 2,
        (
            Source.within(f"{name}, between the leaves", (refused - goes) / 2),
            Source.within(f"{name}, leaf thickness", leaf_tolerance),
            Source(f"{name}, feel of the leaf", FEEL_U_MM, FEEL_DOF),
        ),
    )
