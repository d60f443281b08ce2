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
from shopboard.metrology.quantity import parse_length, parse_number
from shopboard.metrology.square import FEEL_DOF, FEEL_U_MM
from shopboard.metrology.uncertainty import Source
from shopboard.metrology.wording import leaf

ToolKind = Literal["calliper", "indicator", "straightedge", "leaves", "rule", "count", "watch"]

RULE_WITHIN_MM = 0.5
"""Half-width within which a length is read from a rule: common practice, no source."""

WATCH_WITHIN_S = 0.5
"""Half-width within which a time is read from a watch by hand: common practice, no source."""

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


@dataclass(frozen=True)
class Pick:
    """One of a few words, such as which end is wider."""

    key: str
    title: str
    options: tuple[tuple[str, str], ...]
    """(value, label)."""
    lines: tuple[str, ...] = ()
    diagram: tuple[str, ...] = ()


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
        elif one.tool == "leaves":
            read = _leaves(job, one, answers, prefix)
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
    )


def _number(job: Job, one: Reading, key: str) -> Number:
    size = job.sizes.get(one.size)
    default = leaf(size, job.unit) if size else None
    hint = (f"Enter alone: {default}, as the shop file says.",) if default else ()
    return Number(
        key=key,
        title=one.title,
        lines=(*one.lines, *hint),
        diagram=one.diagram,
        unit=job.unit,
        plain="count" if one.tool == "count" else "s" if one.tool == "watch" else "",
        above=one.above,
        may_equal=one.may_equal,
        at_most=one.at_most,
        default=default,
        unasked=default,
    )


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
    if one.tool in ("count", "watch"):
        value = parse_number(answer)
        half = WATCH_WITHIN_S if one.tool == "watch" else 0.0
        return Input(value, (Source.within(f"{one.key}, the watch", half),))
    value = parse_length(answer, job.unit).mm
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


def _leaves(job: Job, one: Reading, answers: Mapping[str, str], prefix: str) -> Step | Input:
    """Ask for the two leaves that hold a gap, and give it as their middle."""
    if not job.drawer.feelers:
        raise NotPossibleError("this check needs a set of feeler leaves in the drawer")
    goes_key, refused_key = f"{prefix}{one.key}.goes", f"{prefix}{one.key}.refused"
    if goes_key not in answers:
        return replace(
            _number(job, one, goes_key),
            lines=(*one.lines, "Thickest leaf that goes; 0 when the thinnest won't."),
            may_equal=True,
        )
    goes = parse_length(answers[goes_key], job.unit).mm
    if refused_key not in answers:
        return replace(
            _number(job, one, refused_key),
            title="Which is the thinnest leaf that won't go?",
            lines=(f"{answers[goes_key]} goes.",),
            above=goes,
            may_equal=False,
            too_small=f"{answers[goes_key]} goes, so what won't go must be thicker",
        )
    refused = parse_length(answers[refused_key], job.unit).mm
    return leaf_input(one.key, goes, refused, job.drawer.feelers[0].leaf_tolerance)


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
