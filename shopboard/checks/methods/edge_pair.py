"""Edge pair: two edges are jointed, one board is turned end for end, and they are closed.

Both faces that were against the jointer's fence then lie on the same side, and
the fence's error shows doubled: between the edges over the thickness, or under
a straightedge across the faces. Rolled over instead, so that the faces
alternate, the errors cancel: that makes a flat panel with a crooked fence, and
checks nothing. Stood one on the other, the boards must be kept in one plane: left
to themselves, the upper one tips until the edges close.
error = atan(gap / thickness) / 2.
"""

from __future__ import annotations

from shopboard.checks.asked import Pick, Reading
from shopboard.checks.doubled import FLUSH, DoubledGap, TestUse, closed_or, gap_fields
from shopboard.checks.drawn.leaning import two_edges
from shopboard.checks.drawn.lying import across
from shopboard.checks.steps import Do
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Source

_OTHER_WAY = Remedy(
    "board-faces",
    "the other way of this check: a straightedge across the faces",
    by_going_back=True,
)

EDGES_CLOSE_TO_MM = 0.005
"""Standard uncertainty with which two jointed edges close: common practice, no source."""

FLUSH_TO = 0.02 / 75
"""Half-width of the angle, rad, between two marked faces that lie on one straightedge without light
between: 0.02 mm, which an eye sees, over boards 3 in wide (common practice, no source). They stand
one on the other, so that all of it goes into the gap: half into the error."""

FACES_LIE_TO_MM = 0.03
"""Standard uncertainty with which planed faces lie on a straightedge: common practice, no source.
"""

_PLUS = "the fence leans back at the top: more than 90 degrees to the table"
_MINUS = "the fence leans over the table at the top: less than 90 degrees"
_AIMS = (
    "The top of the fence must move toward the table.",
    "The top of the fence must move away from the table.",
)

_JOINT = Do(
    key="cut",
    title="Joint one edge each of two flat boards.",
    lines=(
        "The same way for both: a face planed flat, held to the fence.",
        "Mark both faces that were against the fence.",
    ),
)

_BETWEEN = TestUse(
    name="edges",
    label="gap between the edges, by leaf",
    steps=(
        _JOINT,
        Do(
            key="flip",
            title="Turn one end for end; stand the other on it.",
            lines=(
                "Edge on edge, both marked faces on the same side (opposite: no check).",
                "Hold BOTH marked faces flat to one straightedge (or a straight fence):",
                "left to itself the upper board tips until the edges close.",
                "Try the leaves beside it, or where the boards stand out past the fence.",
            ),
        ),
    ),
    kept=Pick(
        "flush",
        "Were both marked faces held flat the whole time?",
        (
            (FLUSH, "yes, both, from edge to edge, without light"),
            ("tips", "no, one tipped, or nothing straight was held to them"),
        ),
        lines=("To one straightedge, or to a straight fence.",),
    ),
    not_kept="flush: a board that tips closes the edges and hides the error; hold both marked faces"
    " flat against something straight and read it all again",
    where=closed_or(
        "On which side are the edges open?",
        ("fence", "at the marked faces, which were at the fence"),
        ("away", "at the other faces"),
    ),
    lever=Reading("thickness", "How thick are the boards?", "rule", above=5, size="thickness"),
    gap="How wide is the gap at the open faces?",
    plus=_PLUS,
    minus=_MINUS,
    aims=_AIMS,
    closes_to=EDGES_CLOSE_TO_MM,
    crooked=Source.within(
        "board-faces", "marked faces out of one plane", FLUSH_TO / 2, remedy=_OTHER_WAY
    ),
    draw=lambda _, seen, size: two_edges(seen, size),
)

_ACROSS = TestUse(
    name="straightedge",
    label="straightedge across the faces: finer",
    needs="straightedge",
    steps=(
        _JOINT,
        Do(
            key="flip",
            title="Turn one end for end; clamp them edge to edge.",
            lines=(
                "Tight all along, both marked faces on the same side.",
                "Marked faces on opposite sides cancel the error: no check.",
                "{tool}: flat on one board, across the joint, where the other falls away.",
            ),
        ),
    ),
    where=closed_or(
        "Which faces fall away from the straightedge?",
        ("hollow", "the other faces; the marked ones make a hollow"),
        ("away", "the marked faces, which were at the fence"),
    ),
    lever=Reading(
        "thickness",
        "How far from the joint is the leaf?",
        "rule",
        ("The straightedge must reach as far on the board that it lies on.",),
        above=30,
        size="width",
    ),
    lever_is="from the joint to the leaf",
    gap="How wide is the gap there?",
    plus=_PLUS,
    minus=_MINUS,
    aims=_AIMS,
    closes_to=FACES_LIE_TO_MM,
    draw=lambda _, seen, size: across(seen, size),
)


class EdgePair(DoubledGap):
    """The guided check."""

    name = "edge-pair"
    title = "Edge pair"
    finds = "a jointer's fence is square to its tables, by two edges, one board turned end for end"
    tools = "leaves"
    minutes = 15.0
    uses = (_BETWEEN, _ACROSS)
    fields = gap_fields(
        "gap at the open faces",
        "thickness",
        "of the boards, or joint to leaf",
        uses,
    )
    care = (
        "Guard over the knives, push blocks in both hands, never a hand over the cutterhead.",
        "Boards longer than [12 in|300 mm], with sound edges and no loose knots.",
    )


METHOD = EdgePair()
