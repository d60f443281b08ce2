"""At most the sum of its terms: joints put together by coordinates from cuts with errors by chance.

Every cut is made by the virtual saw of the metrology room's tests; nothing here uses the program's
formulas but the effects under test.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.prep.cuts import STOP_FACE_MM, CutKind
from shopboard.prep.effects import Effect, effects_of
from shopboard.shop.project import Closed, FitName, Joint, JointKind, ShowsIn
from tests.in_turn import part
from tests.metrology.virtual_shop import (
    Array,
    Blade,
    Board,
    closed_in_turn,
    gap_across,
    gap_when_touching,
    hollow,
    in_section,
)

FLIP = "end for end, same face down"
TURN = "end for end, same edge to the fence"
OVER = "same end, other face down"
MOST = math.radians(0.5)
ROUNDING = 1 + 10 * MOST**2
"""Two angles in one cut act on each other by their squares: no term can tell that."""

SIZES: Mapping[JointKind, dict[str, float]] = {
    "panel": {"width": 120, "length": 900, "thickness": 22},
    "frame": {"width": 60, "length": 700, "other_length": 500, "thickness": 20},
    "carcase": {"width": 800, "height": 600, "depth": 350, "thickness": 19},
    "drawer": {"width": 450, "depth": 500, "height": 120, "thickness": 14},
    "tenon": {"width": 90, "thickness": 22},
    "stave ring": {"thickness": 22},
    "segment ring": {"width": 50, "thickness": 20},
    "veneer": {"height": 200, "width": 180},
    "round tenon": {"depth": 25, "length": 400},
    "leg": {"depth": 40, "length": 430},
    "stretcher": {"height": 200, "depth": 25, "length": 350},
}
PIECES: Mapping[JointKind, int] = {"panel": 5, "frame": 4, "stave ring": 8, "segment ring": 12}
ALL = [(kind, turned) for kind in get_args(JointKind) for turned in (False, True)]


RINGS = ("frame", "stave ring", "segment ring")


def joint(
    kind: JointKind,
    *,
    turned: bool = False,
    pieces: int = 0,
    closed: Closed | None = "last corner",
    **sizes: float,
) -> Joint:
    """A joint; a ring is closed corner by corner, where all its errors come together."""
    return Joint(
        "chest",
        "j",
        "a joint",
        kind,
        1,
        pieces or PIECES.get(kind, 0),
        {**SIZES[kind], **sizes},
        turned,
        closed=closed if kind in RINGS or closed != "last corner" else None,
    )


def effect(made: Joint, fit: FitName, kinds: Mapping[ShowsIn, CutKind] | None = None) -> Effect:
    (found,) = [
        one
        for one in effects_of(made, {cut: (one,) for cut, one in (kinds or {}).items()})
        if one.fit == fit
    ]
    return found


def total(found: Effect, errors: Mapping[ShowsIn, float]) -> float:
    return sum(term.work(abs(errors.get(term.shows_in, 0.0))) for term in found.terms)


errors = st.floats(-MOST, MOST)

# Each kind against boards cut by coordinates


@given(st.integers(2, 9), errors, errors, st.booleans(), st.floats(60, 200), st.floats(12, 50))
def test_panel(
    boards: int, fence: float, tables: float, turned: bool, width: float, thickness: float
) -> None:
    made = joint("panel", turned=turned, pieces=boards, width=width, thickness=thickness)
    cut = []
    for number in range(boards):
        board = Board(width, 900, thickness)
        for turn in (OVER, TURN) if turned and number % 2 else ("as it lies", FLIP):
            board.cut(Blade(tilt=fence), width, turn)
        cut.append(board.corners)
    gap = effect(made, "gap")
    across = gap_when_touching(cut[0][1], cut[1][0])
    assert total(gap, {"edge angle": fence}) == pytest.approx(across, abs=1e-9)
    # The edge follows one table for half of its length, then the other; two such edges meet.
    bend = abs(tables) / 2
    kink = hollow(np.array([[-450, 0], [0, 450 * math.tan(bend)], [450, 0]]))
    assert total(gap, {"edge line": tables}) == pytest.approx(2 * kink, abs=1e-9)
    placed = closed_in_turn([in_section(piece) for piece in cut])
    for side in (0, 1):
        face = np.array([p[0, side, 0, :2] for p in placed] + [placed[-1][1, side, 0, :2]])
        wide = max(float(np.linalg.norm(b - a)) for a, b in pairwise(face))
        cup = total(effect(made, "cup"), {"edge angle": fence})
        assert hollow(face) <= cup * max(1.0, wide / width) + 1e-9
        if wide >= width:
            assert hollow(face) == pytest.approx(cup * wide / width, rel=1e-9, abs=1e-9)


def member(length: float, width: float, thickness: float, blade: Blade, *, turned: bool) -> Array:
    """A mitred member; the longer edge (side 0) as long as is told, at the lower face."""
    board = Board(length, width, thickness)
    board.cut(blade, length)
    if turned:
        board.cut(blade, length, TURN)
    else:
        board.cut(Blade(-blade.swing, blade.tilt), length + width * math.tan(blade.swing), FLIP)
    return board.corners


def last_gap(ring: list[Array], level: int) -> float:
    """Gap of the last mitre, drawn together until a corner touches."""
    placed = closed_in_turn(ring, level)
    return gap_across(placed[-1][1], placed[0][0])


@given(
    st.sampled_from(["frame", "segment ring"]),
    st.integers(3, 10),
    errors,
    errors,
    st.booleans(),
    st.floats(20, 150),
    st.floats(10, 50),
)
def test_frames_and_segments(
    kind: JointKind,
    sides: int,
    mitre: float,
    tilt: float,
    turned: bool,
    width: float,
    thickness: float,
) -> None:
    made = joint(kind, turned=turned, pieces=sides, width=width, thickness=thickness)
    blade = Blade(-(math.pi / sides + mitre), tilt)
    ring = [member(900, width, thickness, blade, turned=turned)] * sides
    bound = total(effect(made, "gap"), {"mitre": mitre, "end tilt": tilt})
    gap = last_gap(ring, int(tilt > 0))
    assert gap <= bound * (1 + 4 * abs(mitre) + 4 * abs(tilt)) + 1e-9
    if mitre >= 0:
        assert gap == pytest.approx(bound, rel=2e-2, abs=1e-9)


@given(st.integers(3, 16), errors, st.floats(20, 150))
def test_drawn_together_all_round_each_corner_takes_its_own_two(
    sides: int, off: float, width: float
) -> None:
    """The neighbour is the mirror image at the true mitre through the tips that touch."""
    true, cut = (
        member(900, width, 20, Blade(-(math.pi / sides + one)), turned=True)[1, :, 0, :2]
        for one in (0.0, off)
    )
    along = (true[1] - true[0]) / np.linalg.norm(true[1] - true[0])
    across = cut[1] - cut[0]
    gap = 2 * abs(across[0] * along[1] - across[1] * along[0])
    made = joint("frame", pieces=sides, width=width, closed="all round")
    bound = total(effect(made, "gap"), {"mitre": off})
    assert gap <= bound * (1 + 4 * abs(off)) + 1e-9
    if off >= 0:
        assert gap == pytest.approx(bound, rel=1e-7, abs=1e-9)


@given(errors, st.floats(200, 1200), st.floats(200, 1200))
def test_a_frame_closed_corner_by_corner_leans_by_two_mitres(
    off: float, length: float, other: float
) -> None:
    """A parallelogram by coordinates: one corner is off by its two mitres."""
    corner = math.pi / 2 + 2 * off
    side = other * np.array([math.cos(corner), math.sin(corner)])
    apart = abs(
        np.linalg.norm(np.array([length, 0.0]) + side)
        - np.linalg.norm(np.array([length, 0.0]) - side)
    )
    made = joint("frame", length=length, other_length=other)
    assert total(effect(made, "square"), {"mitre": off}) == pytest.approx(apart, abs=1e-8)
    drawn = effect(joint("frame", closed="all round"), "square")
    assert all(term.cancels for term in drawn.terms)
    assert "measure both diagonals" in drawn.note


def test_the_lean_of_a_blade_opens_a_ring_of_segments_by_hand() -> None:
    """0.334 deg over 3/4 in, two ends to a joint: 2 x 750 thou x tan 0.334 deg = 8.7 thou."""
    made = joint("segment ring", thickness=0.75 * 25.4, closed=None)
    found = total(effect(made, "gap"), {"end tilt": math.radians(0.334)})
    assert found / 0.0254 == pytest.approx(8.74, abs=0.01)
    over = joint("segment ring", turned=True, closed=None)
    assert total(effect(over, "gap"), {"end tilt": math.radians(0.334)}) == 0.0


def test_half_rings_are_sanded_to_fit_but_for_the_lean() -> None:
    made = joint("segment ring", closed="half rings")
    gap = effect(made, "gap")
    assert {term.shows_in: term.cancels for term in gap.terms} == {"mitre": True, "end tilt": False}
    assert "sanded to fit" in gap.note
    assert gap.terms[0].why == "the halves are sanded to fit"


def test_a_sprung_edge_may_be_out_by_its_hollow_and_leaves_the_gap_alone() -> None:
    made = joint("panel", closed="sprung")
    gap, spring = effect(made, "gap"), effect(made, "spring")
    assert [term.shows_in for term in gap.terms] == ["edge angle"]
    kink = hollow(np.array([[-450, 0], [0, 450 * math.tan(0.001 / 2)], [450, 0]]))
    assert total(spring, {"edge line": 0.001}) == pytest.approx(kink, rel=1e-6)
    (term,) = effect(made, "spring", {"edge line": "length"}).terms
    assert term.work(0.2) == 0.2
    assert "not straight add up" not in gap.note
    assert "not straight add up" in effect(joint("panel"), "gap").note


@given(errors, errors)
def test_two_fences_make_up_for_each_other_as_far_as_they_are_square(
    turned: float, pair: float
) -> None:
    """Corners by angles: the one mitre is 45 + turned, the other 45 - turned + twice the pair's."""
    corner = (math.pi / 4 + turned) + (math.pi / 4 - turned + 2 * pair)
    made = joint("frame", closed=None)._replace(two_fences=True)
    (gap,) = (one for one in effects_of(made, {"mitre": ("angle", "pair")}) if one.fit == "gap")
    each, both = (term for term in gap.terms if term.shows_in == "mitre")
    assert each.work(abs(turned)) == 0.0
    assert each.why == "one fence makes up for the other"
    face = 60 / math.cos(math.pi / 4 + abs(pair))
    opens = 2 * face * math.sin(abs(corner - math.pi / 2) / 2)
    assert both.work(abs(pair)) == pytest.approx(opens, rel=1e-9, abs=1e-12)
    with pytest.raises(
        ValueError, match="which a test frame tells, and no point here is checked by that alone"
    ):
        effects_of(made, {"mitre": ("angle",)})


def two_fenced(sides: int, tilt: float, *, either_side: bool, turned: bool) -> list[Array]:
    """Members of a ring, one mitre of either fence at each corner; outer edge (side 0) 900.

    Not turned, each member has one end of either fence. Turned over for its second end it has both
    of its ends from one fence, and its neighbours from the other.
    """
    swing = math.pi / sides
    ring = []
    for number in range(sides):
        board = Board(900, 60, 20)
        first = Blade(-swing, tilt)  # its outer edge lies at the fence
        if either_side:
            second = Blade(swing, tilt)
            if not turned:
                board.cut(first, 900)
                board.cut(second, 0, beyond=True)
            elif number % 2:
                board.cut(second, 0, beyond=True)
                board.cut(second, 0, TURN, beyond=True)
            else:
                board.cut(first, 900)
                board.cut(first, 900, TURN)
        else:
            second, at = Blade(swing, tilt), 900 - 60 * math.tan(swing)  # the outer edge lies away
            if not turned:
                board.cut(first, 900)
                board.cut(second, at, FLIP)
            elif number % 2:
                board.cut(second, at, FLIP)
                board.cut(second, at, OVER)
            else:
                board.cut(first, 900)
                board.cut(first, 900, TURN)
        ring.append(board.corners)
    return ring


def corner_gaps(ring: list[Array]) -> list[float]:
    """Gap of every mitre, each closed at the level at which it touches."""
    gaps = []
    for one, other in pairwise([*ring, ring[0]]):
        tries = [closed_in_turn([one, other], level) for level in (0, 1)]
        gaps.append(min(gap_across(placed[0][1], placed[1][0]) for placed in tries))
    return gaps


@given(
    st.sampled_from(["frame", "segment ring"]),
    st.sampled_from([4, 6, 8, 12]),
    errors,
    st.booleans(),
)
def test_the_lean_of_a_blade_between_two_fences_cancels_only_on_its_two_sides(
    kind: JointKind, sides: int, tilt: float, turned: bool
) -> None:
    """With both fences on one side it opens every mitre, turned over or not.

    Which sled it is no shop file tells: the worse of the two is counted, never less.
    """
    cancels = corner_gaps(two_fenced(sides, tilt, either_side=True, turned=turned))
    assert max(cancels) == pytest.approx(0.0, abs=1e-9)
    opens = corner_gaps(two_fenced(sides, tilt, either_side=False, turned=turned))
    for closed in ("all round", "last corner"):
        made = joint(kind, turned=turned, pieces=sides, closed=closed)._replace(two_fences=True)
        gap, *others = effects_of(made, {"mitre": ("pair",)})
        counted = total(gap, {"end tilt": tilt})
        assert counted == pytest.approx(max(opens), rel=1e-3, abs=1e-9)
        assert not any(total(one, {"end tilt": tilt}) for one in others)
        assert "if both fences stand on one side" in gap.note


@given(errors, st.booleans(), st.sampled_from([4, 6, 8]))
def test_faces_alternated_do_nothing_to_what_two_fences_are_out_of_square(
    pair: float, turned: bool, sides: int
) -> None:
    """Mitres of both fences meet in every corner, so that all corners are off alike, either way."""
    made = joint("frame", turned=turned, pieces=sides)._replace(two_fences=True)
    plain = made._replace(alternate=False)
    for one, other in zip(
        *(effects_of(each, {"mitre": ("pair",)}) for each in (made, plain)), strict=True
    ):
        assert total(one, {"mitre": pair, "length": 0.1}) == total(
            other, {"mitre": pair, "length": 0.1}
        )


@given(st.sampled_from(["carcase", "drawer"]), errors, errors, st.booleans(), st.floats(300, 1200))
def test_box(kind: JointKind, swing: float, tilt: float, turned: bool, width: float) -> None:
    made = joint(kind, turned=turned, width=width)
    across = made.sizes["depth" if kind == "carcase" else "height"]
    other = made.sizes["height" if kind == "carcase" else "depth"]
    thickness = made.sizes["thickness"]

    def cut(length: float, blade: Blade) -> Array:
        board = Board(length, across, thickness)
        board.cut(blade, length)
        board.cut(blade, length, TURN if turned else FLIP)
        return board.corners

    # Held square: the side is a plumb face, square to the front; both ends of a board the same.
    board = cut(width, Blade(swing, tilt))
    held = max(float(np.ptp(end[..., 0])) for end in board)
    gap = total(effect(made, "gap"), {"end angle": swing, "end tilt": tilt})
    if turned:
        # Nothing through the thickness: the sides lean as the ends do, and the ends close on them.
        ends = [end[:, 1] - end[:, 0] for end in board]
        assert np.allclose(ends[0], ends[1], atol=1e-9)
        held = max(float(np.ptp(end[:, 0, 0])) for end in board)
    assert held == pytest.approx(gap, rel=1e-3, abs=1e-9)

    # Drawn closed, seen along the joints, and from the face of the longest board.
    found = effect(made, "square")
    lean = math.tan(tilt) * np.array([1.0, 0.0]) * other * math.cos(tilt)
    up = np.array([0.0, other * math.cos(tilt)])
    section = np.array([[0.0, 0.0], [width, 0.0]])
    raised = section + lean + up
    apart = abs(np.linalg.norm(raised[1] - section[0]) - np.linalg.norm(raised[0] - section[1]))
    assert total(found, {"end tilt": tilt}) == pytest.approx(
        apart if turned else 0.0, rel=1e-6, abs=1e-9
    )
    plan = cut(max(width, other), Blade(swing))[:, :, 0, :2]
    seen = abs(np.linalg.norm(plan[1, 1] - plan[0, 0]) - np.linalg.norm(plan[1, 0] - plan[0, 1]))
    assert total(found, {"end angle": swing}) == pytest.approx(seen, rel=2e-2, abs=1e-8)


@given(st.floats(30, 250), st.floats(12, 60), errors)
def test_a_blade_that_leans_opens_both_shoulders_over_their_depth(
    width: float, thickness: float, tilt: float
) -> None:
    """Each face of the rail lies down for its own shoulder, so that both lean alike."""
    deep = thickness / 3
    gaps = []
    for turn in ("as it lies", OVER):
        shoulder = Board(400, width, deep)
        shoulder.cut(Blade(tilt=tilt), 380, turn)
        gaps.append(float(np.ptp(shoulder.right[..., 0])))
    made = joint("tenon", width=width, thickness=thickness)
    assert total(effect(made, "gap"), {"end tilt": tilt}) == pytest.approx(max(gaps), abs=1e-9)


@given(st.floats(30, 250), errors, st.floats(-MOST, MOST), st.booleans())
def test_tenon(width: float, swing: float, stop: float, near: bool) -> None:
    """The rail's end is a little rough: it stands on one edge of the stop's face or the other."""
    made = joint("tenon", width=width)
    shoulders = []
    touches = min(width, STOP_FACE_MM)
    for turn, at in (("as it lies", 0.0), (OVER, touches if near else 0.0)):
        rail = Board(400, width, 22)
        rail.cut(Blade(swing), 380 - at * math.tan(stop), turn)
        shoulders.append(rail.right[:, 0, 0])
    furthest = max(map(max, shoulders))
    gap = max(furthest - min(line) for line in shoulders)
    bound = total(effect(made, "gap"), {"end angle": swing, "length": stop})
    assert gap <= bound + 1e-9
    if near:
        assert gap == pytest.approx(bound, abs=1e-9)
    assert (
        abs(shoulders[0].max() - shoulders[1].max())
        <= total(effect(made, "length"), {"length": stop}) + 1e-9
    )


@given(st.integers(3, 16), st.floats(0, 1), st.floats(8, 60), st.booleans())
def test_rings(sides: int, share: float, stock: float, staves: bool) -> None:
    off = share * math.pi / (8 * sides)
    if staves:
        made = joint("stave ring", pieces=sides, thickness=stock)
        stave = Board(200 + 4 * stock, 600, stock)
        for turn in ("as it lies", FLIP):
            stave.cut(Blade(tilt=-(math.pi / sides + off)), stave.size[0], turn)
        piece = in_section(stave.corners)
        errors: Mapping[ShowsIn, float] = {"bevel": off}
    else:
        made = joint("segment ring", pieces=sides, width=stock)
        piece = member(200 + 4 * stock, stock, 20, Blade(-(math.pi / sides + off)), turned=True)
        errors = {"mitre": off}
    placed = closed_in_turn([piece] * sides)
    gap = gap_when_touching(placed[-1][1, :, 0], placed[0][0, :, 0])
    assert total(effect(made, "gap"), errors) == pytest.approx(gap, rel=1e-7, abs=1e-9)


@given(errors, errors, st.floats(50, 300))
def test_veneer(saw: float, planed: float, height: float) -> None:
    """A leaf between the saw cut and a face that was planed before, measured over its width."""
    over = np.linspace(0, height, 5)
    leaf = 5 + over * math.tan(planed) - over * math.tan(saw)
    made = joint("veneer", height=height, width=height)
    bound = total(effect(made, "thickness"), {"resaw": saw, "thickness": planed})
    assert np.ptp(leaf) <= bound + 1e-9
    if saw * planed <= 0:
        assert np.ptp(leaf) == pytest.approx(bound, abs=1e-9)


def test_a_leaf_that_is_not_planed_is_the_saw_s_alone() -> None:
    sizes = {"height": 200.0}
    (found,) = effects_of(Joint("chest", "j", "", "veneer", sizes=sizes), {})
    assert [term.shows_in for term in found.terms] == ["resaw"]


# Chance


def by_chance() -> Iterator[np.random.Generator]:
    for seed in range(150):
        yield np.random.default_rng(seed)


@pytest.mark.parametrize("turned", [False, True])
def test_no_frame_by_chance_opens_further_than_the_terms_together(turned: bool) -> None:
    """Each mitre off by its own error, each member by its own length: one way or the other."""
    made = joint("frame", turned=turned)
    most = {"mitre": MOST / 4, "end tilt": MOST, "length": 0.3}
    found = effect(made, "gap", {"length": "length"})
    bound = sum(term.work(most[term.shows_in]) for term in found.terms)
    gaps = []
    for chance in by_chance():
        tilt = chance.choice([-1, 1]) * most["end tilt"] * chance.uniform()
        ring = []
        for side in range(4):
            left, right = (-(math.pi / 4 + off) for off in chance.uniform(-1, 1, 2) * MOST / 4)
            length = (700, 500)[side % 2] + chance.uniform(0, most["length"])
            board = Board(length, 60, 20)
            board.cut(Blade(right, tilt), length)
            if turned:
                board.cut(Blade(left, tilt), length, TURN)
            else:
                board.cut(Blade(-left, tilt), length + 60 * math.tan(left), FLIP)
            ring.append(board.corners)
        gaps.append(last_gap(ring, int(tilt > 0)))
    assert 0 < max(gaps) <= bound * ROUNDING
    # The worst is not far off what can be: all eight one way.
    worst = [
        member(length, 60, 20, Blade(-(math.pi / 4 + MOST / 4), MOST), turned=turned)
        for length in (700, 500, 700, 500)
    ]
    alone = bound - found.terms[-1].work(most["length"])
    assert last_gap(worst, 1) == pytest.approx(alone, rel=2e-2)
    assert max(gaps) <= last_gap(worst, 1) * ROUNDING + found.terms[-1].work(most["length"])


def test_no_panel_by_chance_opens_or_cups_further_than_the_terms_together() -> None:
    made = joint("panel")
    gap, cup = (total(effect(made, fit), {"edge angle": MOST}) for fit in ("gap", "cup"))
    seen_gap = seen_cup = 0.0
    for chance in by_chance():
        cut = []
        for _ in range(5):
            board = Board(120, 900, 22)
            for turn in ("as it lies", FLIP):
                board.cut(Blade(tilt=chance.uniform(-MOST, MOST)), 120 + 22 * MOST, turn)
            cut.append(board.corners)
        seen_gap = max(seen_gap, *(gap_when_touching(a[1], b[0]) for a, b in pairwise(cut)))
        placed = closed_in_turn([in_section(piece) for piece in cut])
        lower = np.array([p[0, 0, 0, :2] for p in placed] + [placed[-1][1, 0, 0, :2]])
        seen_cup = max(seen_cup, hollow(lower))
    assert gap / 2 < seen_gap <= gap * ROUNDING
    assert cup / 4 < seen_cup <= cup * (1 + 44 * MOST / 120)


# What holds for all of them


@pytest.mark.parametrize(("kind", "turned"), ALL)
@pytest.mark.parametrize("measured", get_args(CutKind))
@settings(max_examples=part(40))
@given(st.floats(0, 2), st.floats(0, 2))
def test_each_term_is_nothing_at_0_and_never_falls(
    kind: JointKind, turned: bool, measured: CutKind, one: float, other: float
) -> None:
    kinds = dict.fromkeys(get_args(ShowsIn), (measured,))
    small, large = sorted((one, other))
    for found in effects_of(joint(kind, turned=turned), kinds):
        assert found.terms
        assert found.words
        assert found.note.endswith(".")
        for term in found.terms:
            assert term.work(0.0) == 0.0
            assert 0 <= term.work(small) <= term.work(large) < math.inf
            if term.cancels:
                assert term.work(large) == 0.0
            elif large > 1e-6:
                assert term.work(large) > 0.0


@pytest.mark.parametrize(("kind", "turned"), ALL)
def test_an_error_beyond_all_reason_is_still_far_too_large(kind: JointKind, turned: bool) -> None:
    for found in effects_of(joint(kind, turned=turned), {}):
        assert all(term.work(1e6) > 5 for term in found.terms if not term.cancels)


@pytest.mark.parametrize(("kind", "turned"), ALL)
def test_what_is_no_size_of_an_error_is_refused(kind: JointKind, turned: bool) -> None:
    for measured in get_args(CutKind):
        kinds = dict.fromkeys(get_args(ShowsIn), (measured,))
        for found in effects_of(joint(kind, turned=turned), kinds):
            for term in found.terms:
                for size in (-0.001, math.nan):
                    with pytest.raises(ValueError, match="outside 0 to"):
                        term.work(size)


def test_what_cancels_is_the_edges_of_a_panel_and_the_lean_of_a_blade() -> None:
    cancelling = {
        (kind, found.fit, term.shows_in)
        for kind, turned in ALL
        for found in effects_of(joint(kind, turned=turned), {})
        for term in found.terms
        if term.cancels and turned
    }
    assert cancelling == {
        ("panel", "gap", "edge angle"),
        ("panel", "cup", "edge angle"),
        ("frame", "gap", "end tilt"),
        ("segment ring", "gap", "end tilt"),
        ("carcase", "gap", "end tilt"),
        ("drawer", "gap", "end tilt"),
    }


def test_every_cut_of_a_joint_is_in_one_of_its_effects() -> None:
    """The cuts by kind of joint, as the shop file's points show in them."""
    cuts = {
        "panel": {"edge angle", "edge line"},
        "frame": {"mitre", "end tilt", "length"},
        "carcase": {"end angle", "end tilt", "length"},
        "drawer": {"end angle", "end tilt", "length"},
        "tenon": {"end angle", "end tilt", "length"},
        "stave ring": {"bevel"},
        "segment ring": {"mitre", "end tilt"},
        "veneer": {"resaw", "thickness"},
        # what a point tells of how tightly a round tenon sits counts where there is one
        "round tenon": {"hole angle"},
        "leg": {"leg angle"},
        "stretcher": {"hole angle", "leg angle"},
    }
    for kind, turned in ALL:
        found = effects_of(joint(kind, turned=turned), {})
        assert {term.shows_in for one in found for term in one.terms} == cuts[kind]


@pytest.mark.parametrize(
    ("kind", "fit", "shows_in", "work"),
    [
        ("panel", "gap", "edge angle", 2.0),
        ("panel", "gap", "edge line", 2.0),
        ("carcase", "gap", "end angle", 1.0),
        ("carcase", "gap", "end tilt", 1.0),
        ("carcase", "length", "length", 1.0),
        ("tenon", "gap", "end angle", 1.0),
        ("frame", "gap", "mitre", 8.0),
        ("stave ring", "gap", "bevel", 16.0),
        ("veneer", "thickness", "resaw", 1.0),
        ("veneer", "thickness", "thickness", 1.0),
    ],
)
def test_a_point_that_is_a_length_is_that_much_out_in_each_cut(
    kind: JointKind, fit: FitName, shows_in: ShowsIn, work: float
) -> None:
    """Small against the face it is out over: then every cut counts once."""
    (term,) = [
        term
        for term in effect(joint(kind), fit, {shows_in: "length"}).terms
        if term.shows_in == shows_in
    ]
    assert term.work(0.01) == pytest.approx(work * 0.01, rel=0.01)


def test_the_stop_s_face_counts_as_far_as_a_piece_touches_it() -> None:
    narrow, wide = (
        total(effect(joint("tenon", width=width), "length"), {"length": 0.001})
        for width in (40.0, 400.0)
    )
    assert narrow == pytest.approx(40 * math.tan(0.001))
    assert wide == pytest.approx(STOP_FACE_MM * math.tan(0.001))


def test_a_joint_that_cannot_be_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"^chest\.j: a tenon needs its width$"):
        effects_of(Joint("chest", "j", "", "tenon"), {})
    with pytest.raises(ValueError, match=r"^chest\.j: a panel takes at least 2 boards$"):
        effects_of(joint("panel", pieces=1), {})
    with pytest.raises(ValueError, match=r"^chest\.j: a stave ring takes at least 3 pieces$"):
        effects_of(joint("stave ring", pieces=2), {})


def test_the_words_say_how_many_errors_come_together() -> None:
    assert "8 errors add up in the last mitre" in effect(joint("frame"), "gap").note
    assert "24 errors add up" in effect(joint("segment ring"), "gap").note
    assert "takes its own 2 errors" in effect(joint("segment ring", closed=None), "gap").note
    assert "alternated" in effect(joint("panel", turned=True), "cup").note
