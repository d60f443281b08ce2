"""Identities of sources of uncertainty, which records keep beside the words.

What is done by a source (its remedy, the tool that it tells of) goes by these alone; its name is
for a person, and may change. One that a single method makes stands in that method's file.
"""

from __future__ import annotations

from typing import Literal

from shopboard.base.light_tuple import NamedTuple


class Remedy(NamedTuple):
    """What makes a source of uncertainty smaller."""

    id: str
    words: str = ""
    """As it is said of readings that were taken; empty: nothing but what `longer` says."""
    before: str | None = None
    """As it is said before anything is read; None: the same."""
    longer: Literal["", "distance", "lever", "first"] = ""
    """Over what length the source makes less of an angle: a longer distance between readings, a
    longer lever in the shop file, or a distance that is spoken of only before anything is read."""
    by_going_back: bool = False
    """The check takes it when its steps are answered anew."""


NOTHING = Remedy("nothing")
"""Nothing that is done at the machine makes it smaller."""

LEVER_BRACKET = "lever-bracket"
"""The leaves that went and didn't, over the lever of a square."""
LEVER_LEAF = "lever-leaf"
"""How thick those leaves are."""
LEVER = "lever"
"""How long that lever is."""
FEEL = "feel"
"""Feel of leaves where nothing else is in the result: reading it again makes it smaller."""
SQUARE = "square"
"""The square's own error, by its grade."""
SQUARE_PROVEN = "square-proven"
"""The same, as it was certified or proven."""
SQUARE_TURNED = "square-turned"
"""The same, cancelled by turning it over."""

GAP_BRACKET = "gap-bracket"
"""The leaves that went and didn't, at one gap of a formula."""
GAP_LEAF = "gap-leaf"
GAP_FEEL = "gap-feel"
"""Feel of the leaves at one gap of a formula: each gap keeps its own."""
INDICATOR = "indicator"
CALLIPER = "calliper"
STRAIGHTEDGE = "straightedge"
SCALE = "scale"
"""How finely a scale is read."""
RULE = "rule"
WATCH = "watch"
TYPED = "typed"
"""Digits of a value that was typed as such."""
HEIGHTS = "heights"
"""How well heights that were typed are known, together."""

REPEATS = "repeats"
"""How well one set of readings usually repeats."""
SCATTER = "scatter"
"""How far the readings of this result scatter."""
APART = "apart"
"""Two readings that differ by more than they should."""

OF_THE_SQUARE = frozenset({SQUARE, SQUARE_PROVEN, SQUARE_TURNED})

TOOL_OF = {
    LEVER_BRACKET: "leaves",
    LEVER_LEAF: "leaves",
    FEEL: "leaves",
    GAP_BRACKET: "leaves",
    GAP_LEAF: "leaves",
    GAP_FEEL: "leaves",
    **dict.fromkeys(OF_THE_SQUARE, "square"),
    INDICATOR: "indicator",
    CALLIPER: "calliper",
    STRAIGHTEDGE: "straightedge",
    RULE: "rule",
    WATCH: "watch",
}
"""Sort of tool that leaves it uncertain; a source that is not here is of none."""
