"""What `reckon` takes where no shop file says which tools are used: those that are usual."""

from __future__ import annotations

from shopboard.checks.inputs import TYPICAL_LIMIT
from shopboard.checks.job import CheckContext, Geometry
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer, FeelerSet, OtherTool, Square, grade_limit

_BLADE_MM = 150.0
"""Length of a usual square's blade: common practice, no source."""

STRAIGHTEDGE_MM = 0.03
"""Half-width within which a usual straightedge is straight: common practice, no source."""

USUAL_DRAWER = Drawer(
    squares=(Square("square", "square", _BLADE_MM, grade_limit("2", _BLADE_MM) / _BLADE_MM),),
    feelers=(FeelerSet("leaves", "leaves", (0.0254, 0.0508)),),
    others=(
        OtherTool("straightedge", "straightedge", "straightedge", 1000.0, STRAIGHTEDGE_MM),
        OtherTool("calliper", "calliper", "calliper", 150.0, TYPICAL_LIMIT["calliper"]),
        OtherTool("indicator", "indicator", "indicator", 10.0, TYPICAL_LIMIT["indicator"]),
    ),
)
"""A square of grade 2 (DIN 875-1), a straightedge, and what `typical_input` takes of the others."""

USUAL_JOB = CheckContext("", "", Geometry("", "", 0.0), Tolerance(0.0, 0.0), USUAL_DRAWER)
"""No point at all, with those tools."""
