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
from shopboard.prep.cuts import CutKind, Cuts, Effect, Term, both, itself
from shopboard.shop.project import Joint, ShowsIn

__all__ = ["Effect", "Term", "effects_of"]


def effects_of(joint: Joint, kinds: Mapping[ShowsIn, Sequence[CutKind]]) -> tuple[Effect, ...]:
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
    sprung = cuts.closed == "sprung"
    each = 1 if sprung else 2
    along = cuts.terms(
        "edge line",
        lambda error: each * joints.kinked_edge(length, error),
        face=length,
        by_length=itself if sprung else both,
    )
    hollow = cuts.terms(
        "edge angle",
        partial(joints.cup, width, boards),
        face=thickness,
        most=joints.most_cup_angle(boards),
        cancels=turned,
    )
    if turned:
        gap = "Faces alternated: the edges' angles cancel. " + _TWO_EDGES
        cups = "Faces alternated: the edges' angles cancel, the panel stays flat."
    else:
        gap = (
            "Held flat, each joint opens by the error of two edges; with faces alternated they"
            " cancel. Two edges that are not straight add up."
        )
        cups = (
            f"Clamped shut, the panel bends by two errors at each of its joints, {boards - 1} in"
            " all; with faces alternated they cancel."
        )
    cup = Effect("cup", "cup across the panel", hollow, cups)
    if sprung:
        return (
            Effect("gap", "gap in the glue line", across, gap.removesuffix(_TWO_EDGES).rstrip()),
            Effect("spring", "edge off its planned hollow", along, _SPRUNG),
            cup,
        )
    return (Effect("gap", "gap in the glue line", (*across, *along), gap), cup)


_TWO_EDGES = "Two edges that are not straight add up."

_SPRUNG = (
    "Sprung: each edge is planed hollow on purpose and clamped shut (common practice, no source)."
    " What the machine leaves may be no more than that hollow."
)


def _ring_terms(cuts: Cuts, shows_in: ShowsIn, width: float, sides: int) -> tuple[Term, ...]:
    closes = joints.last_corner if cuts.closed == "last corner" else joints.all_round
    sanded = cuts.closed == "half rings"
    terms = cuts.terms(
        shows_in,
        partial(closes, width, sides),
        face=mitre.face(width, sides),
        most=joints.most_ring_angle(sides),
        cancels=sanded,
        why="the halves are sanded to fit",
    )
    return cuts.by_two_fences(shows_in, terms) if cuts.joint.two_fences else terms


def _ring_note(cuts: Cuts, sides: int, corner: str) -> str:
    """Say how the errors of a ring come together, and that this is a habit and no law."""
    notes = {
        "all round": f"Pulled together all round by a strap (common practice, no source): each"
        f" {corner} takes its own 2 errors.",
        "last corner": f"{2 * sides} errors add up in the last {corner}, the others closed first;"
        " pulled together all round each takes 2.",
        "half rings": "Two halves, their ends sanded to fit (common practice, no source): the"
        " errors go into the ends.",
    }
    return notes[cuts.closed]


def _ring_gap(cuts: Cuts, corner: str, ring: str) -> str:
    last = "the last" if cuts.closed == "last corner" else "a"
    return f"gap in {last} {corner}{ring}"


def _lean_terms(cuts: Cuts, thickness: float) -> tuple[Term, ...]:
    """Give what a blade that leans opens.

    Of two fences it cancels where they stand on either side of the blade, whichever face lies down,
    and opens every corner by two ends where they stand on one side, turned over or not. The shop
    file does not tell where they stand.
    """
    return cuts.terms(
        "end tilt",
        partial(joints.both_open, thickness),
        face=thickness,
        cancels=cuts.joint.alternate and not cuts.joint.two_fences,
    )


def _lean_note(cuts: Cuts, corner: str) -> str:
    if cuts.joint.two_fences:
        return f" The lean of the blade opens each {corner} if both fences stand on one side of it."
    if cuts.joint.alternate:
        return " Turned over for the second end: the lean of the blade cancels."
    return f" Same face down for both ends, on one side of the blade: its lean opens each {corner}."


def _sides(cuts: Cuts, default: int = 0) -> int:
    sides = cuts.joint.pieces or default
    if sides < 3:
        raise ValueError(f"{cuts.joint.full_name}: a {cuts.joint.kind} takes at least 3 pieces")
    return sides


def _frame(cuts: Cuts) -> tuple[Effect, ...]:
    width, thickness = cuts.size("width"), cuts.size("thickness")
    sides = _sides(cuts, 4)
    gap = (
        *_ring_terms(cuts, "mitre", width, sides),
        *_lean_terms(cuts, thickness),
        *cuts.length_terms(width, partial(joints.opened_by_lengths, sides)),
    )
    effects = [
        Effect(
            "gap",
            _ring_gap(cuts, "mitre", ""),
            gap,
            _ring_note(cuts, sides, "mitre") + _lean_note(cuts, "mitre"),
        ),
        cuts.lengths(width, "difference in length of opposite members"),
    ]
    if sides == _SQUARE:
        effects.insert(1, _frame_square(cuts))
    return tuple(effects)


_SQUARE = 4


def _frame_square(cuts: Cuts) -> Effect:
    """Give how far a frame is from square: closed corner by corner, it follows its mitres."""
    length = cuts.size("length")
    other = cuts.joint.sizes.get("other_length", length)
    drawn = cuts.closed == "all round"
    terms = cuts.terms(
        "mitre",
        lambda error: joints.lean(length, other, min(2 * error, joints.MOST_ANGLE)),
        face=mitre.face(cuts.size("width"), _SQUARE),
        most=joints.MOST_ANGLE / 2,
        cancels=drawn,
        why="all mitres are alike, and it is pulled together all round",
    )
    note = (
        "Pulled together all round, mitres that are all off alike pull it square; measure both"
        " diagonals while the strap is on."
        if drawn
        else "Closed one corner after the other, it racks by the 2 errors of a corner."
    )
    terms = cuts.by_two_fences("mitre", terms) if cuts.joint.two_fences else terms
    return Effect("square", "difference of the diagonals", terms, note)


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
        *cuts.terms("end angle", partial(joints.out_over, across), face=across, leans=not turned),
        *cuts.terms(
            "end tilt", partial(joints.out_over, thickness), face=thickness, cancels=turned
        ),
    )
    if turned:
        square = cuts.terms("end tilt", partial(joints.lean, *sides), face=thickness)
        notes = (
            "Held square, each end opens over its width. Other face down for the second end:"
            " through the thickness the ends lean alike and close.",
            "Other face down for the second end: the joints close and the box racks with the ends.",
        )
    else:
        square = cuts.terms("end angle", partial(joints.lean, ends, across), face=across)
        notes = (
            "Held square, each end opens over its width and through its thickness. Turned over for"
            " the second end it would close through the thickness, and the box rack.",
            "Same face down for both ends: pulled tight, the box racks with its parallel ends.",
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
    width, deep = cuts.size("width"), cuts.size("thickness") / 3
    gap = (
        *cuts.terms("end angle", partial(joints.out_over, width), face=width),
        *cuts.terms("end tilt", partial(joints.out_over, deep), face=deep),
        *cuts.length_terms(width, itself),
    )
    note = (
        "Over the width of the rail. The shoulders of the two faces are cut with opposite edges to"
        " the fence: they run out opposite ways, and closing one opens the other. A blade that"
        " leans opens both over their depth, a third of the thickness (common practice, no source)."
    )
    return (
        Effect("gap", "gap at the shoulder", gap, note),
        cuts.lengths(width, "difference from shoulder to shoulder"),
    )


def _stave_ring(cuts: Cuts) -> tuple[Effect, ...]:
    sides = _sides(cuts)
    gap = _ring_terms(cuts, "bevel", cuts.size("thickness"), sides)
    words = _ring_gap(cuts, "joint", " of the staves")
    return (Effect("gap", words, gap, _ring_note(cuts, sides, "joint")),)


def _segment_ring(cuts: Cuts) -> tuple[Effect, ...]:
    sides, thickness = _sides(cuts), cuts.size("thickness")
    gap = (
        *_ring_terms(cuts, "mitre", cuts.size("width"), sides),
        *_lean_terms(cuts, thickness),
    )
    note = _ring_note(cuts, sides, "joint") + _lean_note(cuts, "joint")
    return (Effect("gap", _ring_gap(cuts, "joint", " of the ring"), gap, note),)


def _veneer(cuts: Cuts) -> tuple[Effect, ...]:
    height = cuts.size("height")
    terms = [*cuts.terms("resaw", partial(joints.out_over, height), face=height)]
    note = "A leaf is as uneven as the blade is off over the height of the cut."
    if "width" in cuts.joint.sizes:
        width = cuts.size("width")
        terms += cuts.terms("thickness", partial(joints.out_over, width), face=width)
        note = "The taper of the saw cut and that of the planed face add up."
    return (Effect("thickness", "difference in thickness of a leaf", tuple(terms), note),)


def _tenon_gap(cuts: Cuts) -> Effect:
    """Give how loosely a round tenon sits in its hole."""
    depth = cuts.size("depth")
    terms = (
        *cuts.terms("hole size", partial(joints.out_over, depth), face=depth, by_length=itself),
        *cuts.terms("tenon taper", partial(joints.both_open, depth), face=depth),
    )
    note = (
        "A bit that runs out drills its hole larger by as much. A tenon that tapers is thinner at"
        " one end by twice its taper over the depth. All of it can be open at one side."
    )
    return Effect("gap", "gap beside the tenon", terms, note, _FITTED)


_FITTED = "fitted by hand to a test hole of the same bit, as no point tells it"


def _round_tenon(cuts: Cuts) -> tuple[Effect, ...]:
    return (_far_end(cuts), _tenon_gap(cuts))


def _far_end(cuts: Cuts) -> Effect:
    length = cuts.size("length")
    terms = cuts.terms("hole angle", partial(joints.out_over, length), face=cuts.size("depth"))
    note = (
        "A hole that is off its angle sends the far end aside over the length of the piece; drawn"
        " over when it is glued up, it strains both ends."
    )
    return Effect("aim", "far end off its place", terms, note)


def _leg(cuts: Cuts) -> tuple[Effect, ...]:
    length = cuts.size("length")
    terms = cuts.terms("leg angle", partial(joints.out_over, length), face=cuts.size("depth"))
    note = (
        "Over the length of the leg, to any side. How level the legs stand is another thing:"
        " they are cut to the floor afterwards (common practice, no source)."
    )
    return (Effect("aim", "lower end off its place", terms, note), _tenon_gap(cuts))


def _stretcher(cuts: Cuts) -> tuple[Effect, ...]:
    height, by_hand = cuts.size("height"), cuts.joint.lengths_by_hand
    legs = (
        () if by_hand else cuts.terms("leg angle", partial(joints.both_open, height), face=height)
    )
    # Its end is about as thick as its tenon is deep: common practice, no source.
    terms = (*legs, *cuts.length_terms(cuts.size("depth"), itself))
    note = (
        "Two legs, each off its angle: that far down they stand closer or further apart by both."
        ' Measured between the dry legs (length = "by hand") it does not matter.'
    )
    between = Effect("length", "room between the legs against its drawing", terms, note)
    return (_far_end(cuts), between, _tenon_gap(cuts))


_MADE: Mapping[str, Callable[[Cuts], tuple[Effect, ...]]] = {
    "panel": _panel,
    "frame": _frame,
    "carcase": _carcase,
    "drawer": _drawer,
    "tenon": _tenon,
    "stave ring": _stave_ring,
    "segment ring": _segment_ring,
    "veneer": _veneer,
    "round tenon": _round_tenon,
    "leg": _leg,
    "stretcher": _stretcher,
}
