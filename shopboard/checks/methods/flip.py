"""Flip test cut: a board is cut in two, one half is turned over, and the cut is closed.

Three uses: a crosscut laid flat (fence to blade), a board cut while standing
on edge (tilt of blade or fence), and two mitres that make a corner, held
against a square. error = atan(gap / width) / 2.
"""

from __future__ import annotations

from shopboard.checks.asked import Reading
from shopboard.checks.doubled import DoubledGap, TestUse, closed_or, gap_fields
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.leaning import closed_cut, in_corner
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.steps import Do
from shopboard.metrology.sources import Remedy
from shopboard.metrology.uncertainty import Source

TAPER = 0.05 / 600
"""Half-width of the angle between the edges of a test board, rad: 0.05 mm over 600 mm, as the steps
ask for. Turned over, the other edge bears, so all of it goes into the gap: half into the error."""

_TAPERED = Source.within(
    "board-taper",
    "edges of the board out of parallel",
    TAPER / 2,
    remedy=Remedy("board-taper", "a board whose edges are closer to parallel"),
)


def _lying_flat(geometry: Geometry, seen: AtStep, size: int) -> Lines:
    ends = ("away from it", "at the straightedge")
    return closed_cut(geometry, "straightedge", "from above", ends, seen, size)


def _standing(geometry: Geometry, seen: AtStep, size: int) -> Lines:
    ends = ("at the top", "at the table")
    return closed_cut(geometry, "table", "from where you feed", ends, seen, size)


def _steps(cut: tuple[str, str], flip: tuple[str, ...]) -> tuple[Do, Do]:
    """Cut a board whose edges are parallel in two, then turn one half: titles, then lines."""
    parallel = "Its width must be the same at both ends, to [2 thou|0.05 mm]."
    return (
        Do(key="cut", title=cut[0], lines=(cut[1], parallel)),
        Do(key="flip", title=flip[0], lines=flip[1:]),
    )


_CROSSCUT = TestUse(
    name="crosscut",
    label="crosscut, board lying flat: fence to blade",
    steps=_steps(
        (
            "Cut a wide, straight board in two.",
            "Mark its edge at the fence. Some [24 in|600 mm] long; the wider the better.",
        ),
        (
            "Turn one half face down and close the cut.",
            "Leave one half as it was cut, its fence edge to the straightedge.",
            "That is the half from here: {datum}.",
            "Roll the other over, so that its other edge comes to the straightedge.",
        ),
    ),
    where=closed_or(
        "Where is the cut open?",
        ("fence", "at the straightedge, where the fence was"),
        ("away", "at the edges away from the fence"),
    ),
    lever=Reading("width", "How wide is the board?", "rule", above=20, size="width"),
    plus="more than 90 degrees between fence and blade, on the side of the half that stayed",
    minus="less than 90 degrees between fence and blade, on the side of the half that stayed",
    aims=(
        "On the side of the half that stayed, the fence must move toward the work.",
        "On the side of the half that stayed, the fence must move away from the work.",
    ),
    crooked=_TAPERED,
    draw=_lying_flat,
)

_ON_EDGE = TestUse(
    name="on-edge",
    label="board cut on its edge: tilt of blade or fence",
    steps=_steps(
        (
            "Cut a straight board on its edge; mark the bottom edge.",
            "As high as the blade reaches; clamped or held to fence or gauge, never by hand alone.",
        ),
        (
            "Turn one half bottom edge up and close the cut.",
            "Both stand on a flat table, cut to cut.",
            "Leave one half as it was cut, bottom edge down.",
            "That is the half from here: {datum}.",
        ),
    ),
    where=closed_or(
        "Where is the cut open?",
        ("table", "at the bottom, at the table"),
        ("top", "at the top"),
    ),
    lever=Reading("width", "How wide is the board, edge to edge?", "rule", above=20, size="width"),
    plus="the cut leans away, at the top, from the half that stayed",
    minus="the cut leans over the half that stayed",
    aims=(
        "The top must move toward the half that stayed.",
        "The top must move away from the half that stayed.",
    ),
    crooked=_TAPERED,
    draw=_standing,
)

_MITRE = TestUse(
    name="mitre",
    label="two mitres in a corner, against a square",
    needs="square",
    steps=(
        Do(
            key="cut",
            title="Cut a mitre on each of two straight boards.",
            lines=(
                "Both against the same fence or stop; turn the second board over.",
                "Short pieces are clamped, never held by hand.",
            ),
        ),
        Do(
            key="flip",
            title="Close the mitres; stand the square inside the corner.",
            lines=(
                "Mitres tight all along. Stock along one board, blade along the other.",
                "Use this square: {tool}.",
            ),
        ),
    ),
    where=closed_or(
        "Where is there light along the blade?",
        ("tip", "at the tip of the blade"),
        ("heel", "at the heel, in the corner"),
    ),
    lever=Reading(
        "width",
        "How far from the touching end is the leaf?",
        "rule",
        ("At most the length of the blade.",),
        above=20,
        size="length",
    ),
    lever_is="from where the blade touches to the leaf",
    plus="each mitre's point is more than 45 degrees",
    minus="each mitre's point is less than 45 degrees",
    aims=("The mitre's point must become sharper.", "The mitre's point must become blunter."),
    draw=lambda _, seen, size: in_corner(seen, size),
)


class FlipTestCut(DoubledGap):
    """The guided check."""

    name = "flip"
    title = "Flip test cut"
    finds = (
        "a cut is right: one half of the board is turned over and the cut closed; a"
        " crosscut, a cut on edge, or two mitres round a square"
    )
    tools = "leaves; for mitres a square, too"
    minutes = 12.0
    farther = "a wider board"
    uses = (_CROSSCUT, _ON_EDGE, _MITRE)
    fields = gap_fields(
        "gap at the open end",
        "width",
        "width of the board; reach at the square",
        uses,
    )
    care = (
        "A test cut is a cut: guard on, riving knife in, push stick within reach.",
        "The offcut must be free: nothing may trap it between blade and stop.",
        "Let the blade stop before you reach for the pieces.",
    )

    def usual(self, job: CheckContext) -> TestUse:
        """Offer the cut on edge first where a square stands upright, else the crosscut."""
        upright = job.geometry.lies == "upright" and bool(job.geometry.datum)
        return _ON_EDGE if upright else _CROSSCUT


METHOD = FlipTestCut()
