"""What the errors of the machines' points do to one joint, each effect as a sum of terms.

How the work is turned decides what becomes of two ends of one piece cut on the same side of the
blade. With the same face down for both ends, a fence that is off gives parallel ends and a blade
that leans gives ends that lean apart. With the other face down for the second end it is the other
way round: the ends taper seen from the face, and lean alike through the thickness. Slid to the
other side of the blade with the same face down, the ends are parallel both ways.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial

from shopboard.metrology import joints, mitre
from shopboard.prep.cuts import Cuts, Effect, Kind, Term, both, itself
from shopboard.shop.project import Joint, ShowsIn

__all__ = ["Effect", "Kind", "Term", "effects_of"]


def effects_of(joint: Joint, kinds: Mapping[ShowsIn, Sequence[Kind]]) -> tuple[Effect, ...]:
    """Give what can be wrong with a joint once it is made.

    Args:
        joint: with its sizes; a cut that no point shows in has its term all the same.
        kinds: what the tolerance of each of the points is, by where they show; left out: an angle.

    Raises:
        ValueError: when the joint lacks a size, or has one that makes no such joint.
    """
    return _MADE[joint.kind](Cuts(joint, kinds))


def _panel(cuts: Cuts) -> tuple[Effect, ...]:
    width, length, thickness = (cuts.size(name) for name in ("width", "length", "thickness"))
    boards, turned = cuts.joint.pieces, cuts.joint.alternate
    if boards < 2:
        raise ValueError(f"{cuts.joint.full_name}: a panel takes at least 2 boards")
    across = cuts.terms(
        "edge angle", partial(joints.both_open, thickness), face=thickness, cancels=turned
    )
    along = cuts.terms(
        "edge line",
        lambda error: 2 * joints.kinked_edge(length, error),
        face=length,
        by_length=both,
    )
    hollow = cuts.terms(
        "edge angle",
        partial(joints.cup, width, boards),
        face=thickness,
        most=joints.most_cup_angle(boards),
        cancels=turned,
    )
    if turned:
        gap = "Faces alternated: the edges' angles cancel. Two edges that are not straight add up."
        cups = "Faces alternated: the edges' angles cancel, the panel stays flat."
    else:
        gap = (
            "Held flat, each joint opens by the error of two edges; with faces alternated they"
            " cancel. Two edges that are not straight add up."
        )
        cups = (
            f"Drawn closed, the panel turns by two errors in each of its joints, {boards - 1} in"
            " all; with faces alternated they cancel."
        )
    return (
        Effect("gap", "gap in the glue line", (*across, *along), gap),
        Effect("cup", "cup across the panel", hollow, cups),
    )


def _ring_terms(cuts: Cuts, shows_in: ShowsIn, width: float, sides: int) -> tuple[Term, ...]:
    return cuts.terms(
        shows_in,
        partial(joints.last_corner, width, sides),
        face=mitre.face(width, sides),
        most=joints.most_ring_angle(sides),
    )


def _ring_note(sides: int, corner: str) -> str:
    return (
        f"{2 * sides} errors add up in the last {corner} when the others are closed first; drawn"
        f" together all round, each takes 2."
    )


def _sides(cuts: Cuts, default: int = 0) -> int:
    sides = cuts.joint.pieces or default
    if sides < 3:
        raise ValueError(f"{cuts.joint.full_name}: a {cuts.joint.kind} takes at least 3 pieces")
    return sides


def _frame(cuts: Cuts) -> tuple[Effect, ...]:
    width, thickness = cuts.size("width"), cuts.size("thickness")
    sides, turned = _sides(cuts, 4), cuts.joint.alternate
    gap = (
        *_ring_terms(cuts, "mitre", width, sides),
        *cuts.terms(
            "end tilt", partial(joints.both_open, thickness), face=thickness, cancels=turned
        ),
        *cuts.length_terms(width, partial(joints.opened_by_lengths, sides)),
    )
    note = _ring_note(sides, "mitre") + (
        " Turned over for the second end: the lean of the blade cancels."
        if turned
        else " Same face down for both ends, on one side of the blade: its lean opens each mitre."
    )
    return (
        Effect("gap", "gap in the last mitre", gap, note),
        cuts.lengths(width, "difference in length of opposite members"),
    )


def _box(cuts: Cuts, across: float, sides: tuple[float, float], ends: float) -> tuple[Effect, ...]:
    """Give the effects of a box of four boards.

    Args:
        cuts: of the box.
        across: width of its boards.
        sides: of the rectangle seen along the joints.
        ends: longest of its boards.
    """
    thickness, turned = cuts.size("thickness"), cuts.joint.alternate
    gap = (
        *cuts.terms("end angle", partial(joints.out_over, across), face=across),
        *cuts.terms(
            "end tilt", partial(joints.out_over, thickness), face=thickness, cancels=turned
        ),
    )
    if turned:
        square = cuts.terms("end tilt", partial(joints.lean, *sides), face=thickness)
        notes = (
            "Held square, each end opens over its width. Other face down for the second end:"
            " through the thickness the ends lean alike and close.",
            "Other face down for the second end: the joints close and the box leans with the ends.",
        )
    else:
        square = cuts.terms("end angle", partial(joints.lean, ends, across), face=across)
        notes = (
            "Held square, each end opens over its width and through its thickness. Turned over for"
            " the second end it would close through the thickness, and the box lean.",
            "Same face down for both ends: drawn closed, the box leans with its parallel ends.",
        )
    return (
        Effect("gap", "gap at the end of a board", gap, notes[0]),
        Effect("square", "difference of the diagonals", square, notes[1]),
        cuts.lengths(across, "difference in length of opposite boards"),
    )


def _carcase(cuts: Cuts) -> tuple[Effect, ...]:
    width, height, depth = (cuts.size(name) for name in ("width", "height", "depth"))
    return _box(cuts, depth, (width, height), max(width, height))


def _drawer(cuts: Cuts) -> tuple[Effect, ...]:
    width, depth, height = (cuts.size(name) for name in ("width", "depth", "height"))
    return _box(cuts, height, (width, depth), max(width, depth))


def _tenon(cuts: Cuts) -> tuple[Effect, ...]:
    width = cuts.size("width")
    gap = (
        *cuts.terms("end angle", partial(joints.out_over, width), face=width),
        *cuts.length_terms(width, itself),
    )
    note = (
        "Over the width of the rail. The shoulders of the two faces are cut with opposite edges to"
        " the fence: they run out opposite ways, and closing one opens the other."
    )
    return (
        Effect("gap", "gap at the shoulder", gap, note),
        cuts.lengths(width, "difference from shoulder to shoulder"),
    )


def _stave_ring(cuts: Cuts) -> tuple[Effect, ...]:
    sides = _sides(cuts)
    gap = _ring_terms(cuts, "bevel", cuts.size("thickness"), sides)
    note = _ring_note(sides, "joint")
    return (Effect("gap", "gap in the last joint of the staves", gap, note),)


def _segment_ring(cuts: Cuts) -> tuple[Effect, ...]:
    sides = _sides(cuts)
    gap = _ring_terms(cuts, "mitre", cuts.size("width"), sides)
    note = _ring_note(sides, "joint")
    return (Effect("gap", "gap in the last joint of the ring", gap, note),)


def _veneer(cuts: Cuts) -> tuple[Effect, ...]:
    height = cuts.size("height")
    terms = [*cuts.terms("resaw", partial(joints.out_over, height), face=height)]
    note = "A leaf is as uneven as the blade is off over the height of the cut."
    if "width" in cuts.joint.sizes:
        width = cuts.size("width")
        terms += cuts.terms("thickness", partial(joints.out_over, width), face=width)
        note = "The taper of the saw cut and that of the planed face add up."
    return (Effect("thickness", "difference in thickness of a leaf", tuple(terms), note),)


_MADE: Mapping[str, Callable[[Cuts], tuple[Effect, ...]]] = {
    "panel": _panel,
    "frame": _frame,
    "carcase": _carcase,
    "drawer": _drawer,
    "tenon": _tenon,
    "stave ring": _stave_ring,
    "segment ring": _segment_ring,
    "veneer": _veneer,
}
