"""How well each tool tells what is read with it: a typed value as an input for a formula."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.checks.asked import Reading, ToolKind
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.metrology.instruments import (
    LEAF_TOLERANCE_MM,
    RULE_WITHIN_MM,
    Drawer,
    OtherTool,
    Square,
)
from shopboard.metrology.own_hand import BRACKET, LEAF
from shopboard.metrology.own_hand import RULE as RULE_HAND
from shopboard.metrology.propagate import Input
from shopboard.metrology.reach import best_reading
from shopboard.metrology.sources import (
    GAP_BRACKET,
    GAP_FEEL,
    GAP_LEAF,
    RULE,
    SCALE,
    STRAIGHTEDGE,
    TOOL_OF,
    WATCH,
)
from shopboard.metrology.square import FEEL_DOF, FEEL_U_MM
from shopboard.metrology.uncertainty import Budget, Source

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


def tool_of(job: CheckContext, kind: ToolKind) -> OtherTool:
    """Find the drawer's best tool of a kind.

    Raises:
        NotPossibleError: when there is none.
    """
    found = [tool for tool in job.drawer.others if tool.kind == kind]
    if not found:
        named = f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"
        raise NotPossibleError(f"this check needs {named} among your tools")
    return min(found, key=lambda tool: tool.limit)


def off_at_most(square: Square) -> float:
    """Give by how much a square may be off, rad."""
    return square.limit + abs(square.known_error) + 2 * square.known_u


def truest_square(drawer: Drawer) -> Square:
    """Give the square that may be off by least; the drawer holds one at least."""
    return min(drawer.squares, key=off_at_most)


def tools_spoken_of(drawer: Drawer, budget: Budget) -> dict[str, str]:
    """Give the drawer's tools that a budget speaks of, for the record: by id, their names.

    None for reckoning, which knows no drawer.
    """
    sorts = {TOOL_OF.get(source.id) for source in budget.sources}
    found: dict[str, str] = {}
    if drawer.squares and "square" in sorts:
        square = truest_square(drawer)
        found[square.id] = square.name
    if drawer.feelers and "leaves" in sorts:
        found[drawer.feelers[0].id] = drawer.feelers[0].name
    for kind in ("calliper", "indicator", "straightedge"):
        tools = [tool for tool in drawer.others if tool.kind == kind and kind in sorts]
        if tools:
            best = min(tools, key=lambda tool: tool.limit)
            found[best.id] = best.name
    return found


def input_of(job: CheckContext, one: Reading, value: float, words: Mapping[str, str]) -> Input:
    """Give a value (mm, s or a count) as the reading of its tool, as fine as the drawer allows.

    Raises:
        NotPossibleError: when the drawer lacks the tool.
    """
    if one.tool == "leaves":
        if not job.drawer.feelers:
            raise NotPossibleError("this check needs a set of feeler leaves among your tools")
        leaves = job.drawer.feelers[0]
        low, high = best_reading(value, leaves).ends
        least = low if one.closed(words) else max(low, 0.0)
        return leaf_input(one.key, least, high, leaves.leaf_tolerance)
    if one.tool in ("count", "watch"):
        half = WATCH_WITHIN_S if one.tool == "watch" else 0.0
        return Input(value, (Source.within(WATCH, f"{one.key}, the watch", half),))
    if one.tool == "rule":
        rule = Source.within(RULE, f"{one.key}, the rule", RULE_WITHIN_MM, hand=RULE_HAND)
        return Input(value, (rule,))
    tool = tool_of(job, one.tool)
    return Input(value, tool_sources(one.key, tool.kind, tool.limit))


def tool_sources(name: str, kind: str, limit: float) -> tuple[Source, ...]:
    """Give what makes one reading of a calliper, indicator or straightedge uncertain, mm."""
    step = READING_HALF_STEP.get(kind, 0.0)
    return (
        Source.within(kind, f"{name}, the {kind}", limit),
        *((Source.within(SCALE, f"{name}, reading it", step, hand=BRACKET),) if step else ()),
    )


def own_bow(job: CheckContext) -> Input:
    """Give the straightedge's own bow, mm: none, as far as it is known to be straight.

    Raises:
        NotPossibleError: when there is none.
    """
    limit = tool_of(job, "straightedge").limit
    return Input(0.0, (Source.within(STRAIGHTEDGE, "straightedge, its bow", limit, lasting=True),))


def open_at(job: CheckContext, gap: float, plus: str, minus: str) -> str:
    """Say where a signed gap (mm) shows: no leaf goes into one that is narrower than the thinnest.

    Raises:
        NotPossibleError: when the drawer has no leaves.
    """
    if not job.drawer.feelers:
        raise NotPossibleError("this check needs a set of feeler leaves among your tools")
    if abs(gap) < job.drawer.feelers[0].leaves[0]:
        return "none"
    return plus if gap > 0 else minus


def typical_input(name: str, tool: str, value: float) -> Input:
    """Give a value with what such a tool usually leaves uncertain; exact where no tool is named."""
    limit = TYPICAL_LIMIT.get(tool)
    if limit is None:
        return Input(value)
    if tool == "leaves":
        return leaf_input(name, value - limit, value + limit, LEAF_TOLERANCE_MM)
    return Input(value, tool_sources(name, tool, limit))


def leaf_input(name: str, goes: float, refused: float, leaf_tolerance: float) -> Input:
    """Give a gap between two leaves, mm, with what leaves and hand leave uncertain."""
    return Input(
        (goes + refused) / 2,
        (
            Source.within(
                GAP_BRACKET, f"{name}, between the leaves", (refused - goes) / 2, hand=BRACKET
            ),
            Source.within(GAP_LEAF, f"{name}, leaf thickness", leaf_tolerance),
            Source(GAP_FEEL, f"{name}, feel of the leaf", FEEL_U_MM, FEEL_DOF, hand=LEAF),
        ),
    )
