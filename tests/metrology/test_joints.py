"""What crooked cuts do to a joint, against numbers worked by hand and boards cut by coordinates.

Where nothing else is said, a number is worked by hand beside the program from the formula that is
named (derived). Lengths are in the unit of the line; angles in degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import linprog

from shopboard.metrology import joints, mitre
from shopboard.metrology.panel import Panel
from tests.metrology.virtual_shop import (
    Blade,
    Board,
    angle_between,
    closed_in_turn,
    gap_across,
    gap_when_touching,
    hollow,
    in_section,
    turned,
)

FLIP = "end for end, same face down"
TURN = "end for end, same edge to the fence"
OVER = "same end, other face down"

deg = math.radians

errors = st.floats(-deg(1), deg(1))
widths = st.floats(20, 200)
thicknesses = st.floats(6, 60)
lengths = st.floats(300, 2000)
ring_sides = st.integers(3, 16)

# Numbers worked by hand


def test_gap_between_two_edges_one_face_closed() -> None:
    assert joints.both_open(0.75, deg(0.1)) == pytest.approx(0.002618, abs=5e-7)
    assert joints.both_open(19, deg(0.1)) == pytest.approx(0.066323, abs=5e-7)
    assert joints.out_over(0.75, deg(0.1)) == pytest.approx(0.001309, abs=5e-7)
    assert joints.out_over(19, deg(0.1)) == pytest.approx(0.033161, abs=5e-7)


@pytest.mark.parametrize(("gap", "fence"), [(0.002, 0.076394), (0.006, 0.229178)])
def test_fence_angle_that_opens_a_glue_line_to_the_published_width(
    gap: float, fence: float
) -> None:
    """0.002 to 0.006 in: FDMC, "Thick glue lines"; the angle by hand, in stock of 0.75 in."""
    assert joints.both_open(0.75, deg(fence)) == pytest.approx(gap, rel=2e-5)


@pytest.mark.parametrize(
    ("width", "boards", "error", "height"),
    [(5, 5, 0.1, 0.052360), (3, 4, 0.1, 0.020944)],
)
def test_cup_of_a_panel(width: float, boards: int, error: float, height: float) -> None:
    """Width x error x (n^2 - 1) / 4 for an odd number of boards, n^2 / 4 for an even one."""
    assert joints.cup(width, boards, deg(error)) == pytest.approx(height, abs=5e-7)


@pytest.mark.parametrize(
    ("width", "sides", "error", "gap"),
    [
        (2.5, 4, 0.1, 0.049365),
        (3.0, 4, 0.05, 0.029619),
        (2.0, 6, 0.1, 0.048367),
        (0.75, 8, 0.25, 0.056662),
    ],
)
def test_gap_in_the_last_corner(width: float, sides: int, error: float, gap: float) -> None:
    """2 face sin(n error) with the face as long as a true one; the last is a ring of staves.

    A mitre that is cut too steep has a longer face, by tan(180 / n) x error of itself.
    """
    assert mitre.gap(width, deg(error), sides) == pytest.approx(gap, abs=6e-7)
    longer = 1 + math.tan(math.pi / sides) * deg(error)
    assert joints.last_corner(width, sides, deg(error)) == pytest.approx(
        mitre.gap(width, deg(error), sides) * longer, rel=2e-5
    )


@pytest.mark.parametrize(
    ("sides", "angle"),
    [(3, 60), (4, 45), (5, 36), (6, 30), (8, 22.5), (9, 20), (10, 18), (12, 15), (16, 11.25)],
)
def test_the_angles_of_the_trade_s_tables_close_a_ring(sides: int, angle: float) -> None:
    """Tables of mitre and stave angles: 180 / n from a square cut. From memory."""
    ring = closed_in_turn([mitred(600, 50, 20, deg(angle), 0.0, faces_turned=True)] * sides)
    assert np.allclose(ring[-1][1], ring[0][0], atol=1e-9)
    assert mitre.face(50, sides) == pytest.approx(50 / math.cos(deg(angle)), rel=1e-12)
    length = np.linalg.norm(ring[0][1, 1, 0] - ring[0][1, 0, 0])
    assert mitre.face(50, sides) == pytest.approx(length, rel=1e-12)


def test_difference_of_diagonals() -> None:
    """d1, d2 = sqrt(a^2 + b^2 +- 2 a b sin error): 24 x 36 off by 0.1; 1/16 in; 2 mm."""
    assert joints.lean(24, 36, deg(0.1)) == pytest.approx(43.301454 - 43.231748, abs=2e-6)
    assert joints.lean(24, 36, deg(0.089663)) == pytest.approx(1 / 16, rel=1e-5)
    assert joints.lean(600, 900, deg(0.114768)) == pytest.approx(2, rel=1e-5)


def test_hollow_edges() -> None:
    """A straight kink of 0.01 over half of 48: the sagitta of its triangle by Pythagoras."""
    half = 24 / math.cos(0.005)
    assert joints.kinked_edge(48, 0.01) == pytest.approx(math.sqrt(half**2 - 24**2), rel=1e-9)


@given(st.floats(50, 3000), st.floats(50, 3000), st.floats(0, deg(5)))
def test_lean_is_the_skew_of_a_measured_panel_the_other_way_round(
    one: float, other: float, error: float
) -> None:
    root = math.sqrt(one**2 + other**2 + 2 * one * other * math.sin(error))
    back = Panel(root, root - joints.lean(one, other, error), one, other, one, other)
    assert back.skew == pytest.approx(error, abs=1e-9)


# Panels


def edged(width: float, thickness: float, error: float, *, other_face: bool = False) -> Board:
    """A board with both edges planed, the same face to the fence for both, off by an error."""
    board = Board(width, 500, thickness)
    for turn in (OVER, TURN) if other_face else ("as it lies", FLIP):
        board.cut(Blade(tilt=error), width, turn)
    return board


@given(widths, thicknesses, errors)
def test_boards_held_flat_open_by_both_edges(width: float, thickness: float, error: float) -> None:
    one, other = (edged(width, thickness, error).corners for _ in range(2))
    gap = gap_when_touching(one[1], other[0])
    assert gap == pytest.approx(joints.both_open(thickness, abs(error)), rel=1e-9, abs=1e-9)


@given(widths, thicknesses, st.integers(2, 9), errors)
def test_boards_drawn_closed_cup(width: float, thickness: float, boards: int, error: float) -> None:
    """The height on the wider face, which is the width that is told; the hollow one is lower."""
    pieces = [in_section(edged(width, thickness, error).corners) for _ in range(boards)]
    placed = closed_in_turn([piece[:, [0, 1]] for piece in pieces])
    faces = [
        np.array([p[0, side, 0, :2] for p in placed] + [placed[-1][1, side, 0, :2]])
        for side in (0, 1)
    ]
    sizes = [float(np.linalg.norm(face[1] - face[0])) for face in faces]
    assert min(sizes) == pytest.approx(width - 2 * thickness * math.tan(abs(error)) * (error < 0))
    outer = int(np.argmax(sizes))
    expected = joints.cup(sizes[outer], boards, abs(error))
    assert hollow(faces[outer]) == pytest.approx(expected, rel=1e-7, abs=1e-9)
    assert hollow(faces[1 - outer]) <= expected + 1e-9


@given(widths, thicknesses, st.integers(2, 9), errors)
def test_faces_turned_in_turns_leave_neither_gap_nor_cup(
    width: float, thickness: float, boards: int, error: float
) -> None:
    cut = [edged(width, thickness, error, other_face=bool(k % 2)) for k in range(boards)]
    pieces = [in_section(board.corners) for board in cut]
    for one, other in pairwise(cut):
        assert gap_when_touching(one.right, other.left) == pytest.approx(0, abs=1e-9)
    placed = closed_in_turn(pieces)
    lower = np.array([p[0, 0, 0, :2] for p in placed] + [placed[-1][1, 0, 0, :2]])
    assert hollow(lower) == pytest.approx(0, abs=1e-8)


@given(st.lists(st.floats(0, 1), min_size=2, max_size=20), st.floats(0, deg(0.5)))
def test_no_edge_that_turns_by_an_angle_in_all_is_hollower_than_a_kink_in_its_middle(
    shares: list[float], angle: float
) -> None:
    """Any edge whose direction goes from that of one table to that of the other."""
    turns = np.cumsum([0.0, *shares]) / (sum(shares) or 1.0) * angle
    steps = np.stack([np.cos(turns), np.sin(turns)], axis=1)
    edge = np.vstack([[0.0, 0.0], np.cumsum(steps, axis=0)])
    length = float(np.linalg.norm(edge[-1]))
    assert hollow(edge) <= joints.kinked_edge(length, angle) * (1 + 1e-9) + 1e-12
    middle = np.array([[0, 0], [1, 0], [1 + math.cos(angle), math.sin(angle)]])
    length = float(np.linalg.norm(middle[-1]))
    assert hollow(middle) == pytest.approx(joints.kinked_edge(length, angle), abs=1e-12)


# Frames and rings


def mitred(
    length: float,
    width: float,
    thickness: float,
    angle: float,
    tilt: float,
    *,
    faces_turned: bool,
) -> np.ndarray:
    """A member, mitred at both ends to its length along the outer edge (side 0).

    With faces turned both ends are cut at one setting; else the same face stays down and the fence
    is swung to the other side for the second.
    """
    board = Board(length, width, thickness)
    board.cut(Blade(-angle, tilt), length)
    if faces_turned:
        board.cut(Blade(-angle, tilt), length, TURN)
    else:
        board.cut(Blade(angle, tilt), length - width * math.tan(angle), FLIP)
    return board.corners


@given(ring_sides, widths, lengths, st.floats(-1, 1), st.booleans())
def test_all_errors_end_up_in_the_last_corner(
    sides: int, width: float, length: float, share: float, turned_over: bool
) -> None:
    """Their angle exactly; their gap with the face as long as it was cut."""
    error = share * joints.most_ring_angle(sides) / 4
    true = math.pi / sides
    member = mitred(length, width, 20, true + error, 0.0, faces_turned=turned_over)
    ring = closed_in_turn([member] * sides)
    last, first = ring[-1][1, :, 0], ring[0][0, :, 0]
    apart = abs(angle_between(first, last))
    assert apart == pytest.approx(2 * sides * abs(error), abs=1e-9)
    gap = gap_when_touching(last, first)
    bound = joints.last_corner(width, sides, abs(error))
    assert gap <= bound * (1 + 1e-9) + 1e-9
    if error > 0:
        assert gap == pytest.approx(bound, rel=1e-7, abs=1e-9)
    else:
        assert gap == pytest.approx(
            bound * math.cos(true - error) / math.cos(true + error), rel=1e-6, abs=1e-9
        )


@given(ring_sides, st.floats(10, 40), st.floats(-1, 1))
def test_staves_are_a_ring_in_section(sides: int, thickness: float, share: float) -> None:
    """The bevel leans the blade instead of the fence; both edges with the outside down."""
    error = share * joints.most_ring_angle(sides) / 4
    stave = Board(4 * thickness * math.tan(math.pi / sides) + 60, 800, thickness)
    for turn in ("as it lies", FLIP):
        stave.cut(Blade(tilt=-(math.pi / sides + error)), stave.size[0], turn)
    ring = closed_in_turn([in_section(stave.corners)] * sides)
    gap = gap_when_touching(ring[-1][1, :, 0], ring[0][0, :, 0])
    steep = joints.last_corner(thickness, sides, abs(error))
    if error >= 0:
        assert gap == pytest.approx(steep, rel=1e-7, abs=1e-9)
    else:
        assert gap <= steep + 1e-9


@given(st.integers(3, 12), widths, st.floats(-deg(0.2), deg(0.2)))
def test_closed_without_drawing_the_last_corner_stands_apart_as_turned_about_the_middle(
    sides: int, width: float, error: float
) -> None:
    """All errors x the distance from corner to middle of the outside, to the first order."""
    member = mitred(1000, width, 20, math.pi / sides + error, 0.0, faces_turned=True)
    ring = closed_in_turn([member] * sides)
    apart = np.linalg.norm(ring[-1][1, 0, 0] - ring[0][0, 0, 0])
    to_middle = 500 / math.sin(math.pi / sides)
    assert apart == pytest.approx(2 * sides * abs(error) * to_middle, rel=0.1, abs=1e-6)


@pytest.mark.parametrize("sides", range(4, 17))
def test_while_all_corners_touch_none_opens_by_more_than_half_of_all_errors(sides: int) -> None:
    """The most that one corner opens by when the others open or not, and the ring stays closed.

    Turning the corners by small angles leaves a chain closed when the angles' sum is 0 and they
    weigh the corners alike on all sides.
    """
    around = 2 * math.pi * np.arange(sides) / sides
    error = 1.0
    found = linprog(
        -np.eye(sides)[0],
        A_eq=np.stack([np.ones(sides), np.cos(around), np.sin(around)]),
        b_eq=[2 * sides * error, 0, 0],
    )
    assert found.success
    most = -float(found.fun or 0.0)
    assert most <= sides * error + 1e-9
    if sides % 2 == 0:
        assert most == pytest.approx(sides * error)


@given(st.integers(3, 12), st.data())
def test_unequal_members_open_the_last_corner(sides: int, data: st.DataObject) -> None:
    difference = 0.5
    extra = data.draw(
        st.lists(st.floats(0, difference), min_size=sides, max_size=sides), label="extra"
    )
    assert _opening(sides, extra) <= joints.opened_by_lengths(sides, difference) + 1e-9


@pytest.mark.parametrize("sides", range(3, 9))
def test_the_worst_of_unequal_members_is_found_among_all_choices(sides: int) -> None:
    worst = max(_opening(sides, list(extra)) for extra in product((0.0, 0.5), repeat=sides))
    assert worst == pytest.approx(joints.opened_by_lengths(sides, 0.5))
    assert joints.opened_by_lengths(4, 0.5) == pytest.approx(0.5 * math.sqrt(2))


def _opening(sides: int, extra: list[float]) -> float:
    """How far the last two true faces are apart, along their normal."""
    ring = closed_in_turn(
        [mitred(600 + x, 50, 20, math.pi / sides, 0.0, faces_turned=True) for x in extra]
    )
    last, first = ring[-1][1, :, 0, :2], ring[0][0, :, 0, :2]
    along = (first[1] - first[0]) / np.linalg.norm(first[1] - first[0])
    apart = last[0] - first[0]
    return float(abs(along[0] * apart[1] - along[1] * apart[0]))


@given(widths, thicknesses, st.integers(3, 8), errors, st.booleans())
def test_a_leaning_blade_opens_a_mitre_unless_faces_are_turned(
    width: float, thickness: float, sides: int, tilt: float, turned_over: bool
) -> None:
    member = mitred(800, width, thickness, math.pi / sides, tilt, faces_turned=turned_over)
    ring = closed_in_turn([member] * sides, level=int(tilt > 0))
    expected = 0.0 if turned_over else joints.both_open(thickness, abs(tilt))
    for one, other in zip(ring, [*ring[1:], ring[0]], strict=True):
        first, second = one[1], other[0]
        along = first[1, 0] - first[0, 0]
        normal = np.array([along[1], -along[0], 0]) / np.linalg.norm(along)
        apart = ((first - second) @ normal).ravel()
        assert np.ptp(apart) == pytest.approx(expected, rel=1e-7, abs=1e-8)


# Boxes


def crosscut(length: float, width: float, thickness: float, blade: Blade, turn: str) -> np.ndarray:
    """A board of a box, both ends cut on one side of the blade, turned so for the second."""
    board = Board(length, width, thickness)
    board.cut(blade, length)
    board.cut(blade, length, turn)
    return board.corners


@given(lengths, st.floats(50, 600), thicknesses, errors, errors, st.sampled_from([FLIP, TURN]))
def test_an_end_meets_a_side_that_is_held_square(
    length: float, width: float, thickness: float, swing: float, tilt: float, turn: str
) -> None:
    """Each of the two ends opens by its own error, over width and thickness together."""
    top = crosscut(length, width, thickness, Blade(swing, tilt), turn)
    bound = joints.out_over(width, abs(swing)) + joints.out_over(thickness, abs(tilt))
    for end in top:
        assert np.ptp(end[..., 0]) == pytest.approx(bound, rel=1e-3, abs=1e-9)


@given(lengths, st.floats(50, 600), thicknesses, errors, errors, st.sampled_from([FLIP, TURN]))
def test_which_ends_are_parallel_is_decided_by_the_face_that_lies_down(
    length: float, width: float, thickness: float, swing: float, tilt: float, turn: str
) -> None:
    """Same face down: parallel seen from the face, apart through the thickness; turned: reverse."""
    left, right = crosscut(length, width, thickness, Blade(swing, tilt), turn)[..., 0]
    seen_from_face = (right[1] - right[0]) - (left[1] - left[0])
    through = (right[:, 1] - right[:, 0]) - (left[:, 1] - left[:, 0])
    tapers, leans = (seen_from_face, through) if turn == TURN else (through, seen_from_face)
    assert np.allclose(leans, 0, atol=1e-9)
    expected = 2 * (width * math.tan(swing) if turn == TURN else thickness * math.tan(tilt))
    assert np.allclose(np.abs(tapers), abs(expected), rtol=1e-3, atol=1e-9)


@given(lengths, st.floats(50, 600), thicknesses, errors, errors, st.booleans())
def test_an_end_cut_with_the_board_on_the_other_side_of_the_blade(
    length: float, width: float, thickness: float, swing: float, tilt: float, turned_over: bool
) -> None:
    """Same face and edge: one plane cuts both ends, they are parallel each way; turned: neither."""
    board = Board(length, width, thickness)
    board.cut(Blade(swing, tilt), length)
    board.cut(Blade(swing, tilt), 0.0, OVER if turned_over else "as it lies", beyond=True)
    left, right = board.corners[..., 0]
    through = (right[:, 1] - right[:, 0]) - (left[:, 1] - left[:, 0])
    expected = 2 * thickness * math.tan(tilt) if turned_over else 0.0
    assert np.allclose(np.abs(through), abs(expected), rtol=1e-3, atol=1e-9)
    if not turned_over:
        assert np.allclose(right[1] - right[0], left[1] - left[0], atol=1e-9)


@given(widths, thicknesses, st.integers(3, 8), errors)
def test_a_mitre_saw_swung_to_both_sides_of_the_board_opens_no_mitre_by_its_lean(
    width: float, thickness: float, sides: int, tilt: float
) -> None:
    """The board slides along the fence for its second end and keeps its face and edge there."""
    board = Board(800, width, thickness)
    angle = math.pi / sides
    board.cut(Blade(-angle, tilt), 800)
    board.cut(Blade(angle, tilt), 0.0, beyond=True)
    ring = closed_in_turn([board.corners] * sides, level=int(tilt > 0))
    assert gap_across(ring[0][1], ring[1][0]) == pytest.approx(0, abs=1e-9)


@given(lengths, lengths, thicknesses, errors)
def test_a_box_of_boards_with_faces_turned_closes_and_leans(
    width: float, height: float, thickness: float, tilt: float
) -> None:
    """Section of a box: the sides stand on the ends of the bottom; the top drops in between."""
    board = in_section(crosscut(width, 300, thickness, Blade(0, tilt), TURN))[:, :, 0, :2]
    bottom_right, bottom_left = board[1], board[0]
    up = (bottom_right[1] - bottom_right[0]) / np.linalg.norm(bottom_right[1] - bottom_right[0])
    inside_left, inside_right = bottom_left[1], bottom_right[1]
    inside = float(np.linalg.norm(inside_right - inside_left))
    assert inside == pytest.approx(width + thickness * math.tan(tilt))
    top = board + (inside_left + up * height - board[0, 0])
    for end, foot in ((top[0], inside_left), (top[1], inside_right)):
        for point in end:
            off = point - foot
            assert up[0] * off[1] - up[1] * off[0] == pytest.approx(0, abs=1e-8)
    diagonals = [
        float(np.linalg.norm(top[1, 0] - inside_left)),
        float(np.linalg.norm(top[0, 0] - inside_right)),
    ]
    assert abs(diagonals[0] - diagonals[1]) == pytest.approx(
        joints.lean(inside, height, abs(tilt)), rel=1e-7, abs=1e-8
    )


@given(lengths, st.floats(50, 600), errors, st.sampled_from([FLIP, TURN]))
def test_ends_seen_from_the_face_drawn_closed_lean_only_with_the_same_face_down(
    length: float, depth: float, swing: float, turn: str
) -> None:
    """Sides that follow the ends: a parallelogram, or a taper whose diagonals are equal."""
    (left, right) = crosscut(length, depth, 20, Blade(swing, 0), turn)[:, :, 0, :2]
    apart = abs(np.linalg.norm(right[1] - left[0]) - np.linalg.norm(right[0] - left[1]))
    if turn == TURN:
        assert apart == pytest.approx(0, abs=1e-9)
    else:
        slant = depth / math.cos(swing)
        edge = float(right[0, 0] - left[0, 0])
        assert edge == pytest.approx(length + depth * math.tan(swing))
        assert apart == pytest.approx(joints.lean(edge, slant, abs(swing)), rel=1e-7, abs=1e-9)
        assert apart == pytest.approx(joints.lean(edge, depth, abs(swing)), rel=1e-3, abs=1e-9)


# Shoulders and leaves


@given(st.floats(30, 250), errors)
def test_shoulders_of_both_faces_run_out_opposite_ways(width: float, swing: float) -> None:
    """The rail held square to the stile; turned to close one shoulder, the other opens double."""
    shoulders = []
    for turn in ("as it lies", OVER):
        rail = Board(400, width, 20)
        rail.cut(Blade(swing), 380, turn)
        shoulders.append(rail.right[:, 0, :2])
    furthest = max(point[0] for line in shoulders for point in line)
    for line in shoulders:
        assert max(furthest - point[0] for point in line) == pytest.approx(
            joints.out_over(width, abs(swing)), rel=1e-9, abs=1e-9
        )
    assert abs(angle_between(*shoulders)) == pytest.approx(2 * abs(swing), abs=1e-12)
    closed = turned(shoulders[1], math.pi / 2 - (angle_to_y := _heading(shoulders[0])))
    assert abs(angle_to_y - math.pi / 2) == pytest.approx(abs(swing), abs=1e-12)
    assert np.ptp(closed[:, 0]) == pytest.approx(
        2 * joints.out_over(width, abs(swing)), rel=1e-3, abs=1e-9
    )


def _heading(line: np.ndarray) -> float:
    return math.atan2(line[1, 1] - line[0, 1], line[1, 0] - line[0, 0])


@given(st.floats(50, 300), errors, errors)
def test_a_leaf_is_uneven_by_the_saw_cut_and_by_the_planed_face(
    height: float, saw: float, planed: float
) -> None:
    heights = np.linspace(0, height, 11)
    leaf = (5 + heights * math.tan(planed)) - (2 + heights * math.tan(saw))
    bound = joints.out_over(height, abs(saw)) + joints.out_over(height, abs(planed))
    assert np.ptp(leaf) <= bound * (1 + 1e-9) + 1e-12
    if saw * planed < 0:
        assert np.ptp(leaf) == pytest.approx(bound)


# Chance


def test_the_last_mitre_takes_the_sum_of_its_errors_and_random_ones_stay_below_the_worst() -> None:
    """Each of the eight mitres off by its own error: 400 frames, the rare worst put in, too."""
    chance = np.random.default_rng(20261125)
    most, width = deg(0.2), 60.0
    worst = joints.last_corner(width, 4, most)
    largest = 0.0
    for number in range(400):
        off = chance.uniform(-most, most, 8) if number else np.full(8, most)
        ring = []
        for left, right in off.reshape(4, 2):
            member = Board(700, width, 20)
            member.cut(Blade(-(math.pi / 4 + right)), 700)
            member.cut(Blade(-(math.pi / 4 + left)), 700, TURN)
            ring.append(member.corners)
        placed = closed_in_turn(ring)
        last, first = placed[-1][1], placed[0][0]
        apart = abs(angle_between(first[:, 0], last[:, 0]))
        assert apart == pytest.approx(abs(off.sum()), abs=1e-9)
        gap = gap_across(last, first)
        faces = width / math.cos(math.pi / 4 + off[0]) + width / math.cos(math.pi / 4 + off[-1])
        assert gap == pytest.approx(faces * math.sin(abs(off.sum()) / 2), rel=1e-7)
        assert gap <= worst * (1 + 1e-9)
        largest = max(largest, gap if number else 0)
    assert largest < worst


def test_random_edges_never_cup_more_than_the_worst_way_round() -> None:
    chance = np.random.default_rng(20261126)
    most, width, boards = deg(0.3), 120.0, 7
    worst = joints.cup(width, boards, most)
    for _ in range(500):
        signs = chance.choice([-1, 1], boards - 1) * chance.uniform(0, 1, boards - 1)
        headings = np.cumsum([0.0, *(2 * most * signs)])
        steps = width * np.stack([np.cos(headings), np.sin(headings)], axis=1)
        assert hollow(np.vstack([[0.0, 0.0], np.cumsum(steps, axis=0)])) <= worst


# Range


GROWING: dict[str, tuple[Callable[[float], float], float]] = {
    "out over": (lambda e: joints.out_over(20, e), joints.MOST_ANGLE),
    "both open": (lambda e: joints.both_open(20, e), joints.MOST_ANGLE),
    "kinked edge": (lambda e: joints.kinked_edge(900, e), joints.MOST_ANGLE),
    "cup of 6": (lambda e: joints.cup(90, 6, e), joints.most_cup_angle(6)),
    "cup of 7": (lambda e: joints.cup(90, 7, e), joints.most_cup_angle(7)),
    "last of 3": (lambda e: joints.last_corner(20, 3, e), joints.most_ring_angle(3)),
    "last of 4": (lambda e: joints.last_corner(20, 4, e), joints.most_ring_angle(4)),
    "last of 24": (lambda e: joints.last_corner(20, 24, e), joints.most_ring_angle(24)),
    "lengths": (lambda e: joints.opened_by_lengths(5, e), 10.0),
    "lean": (lambda e: joints.lean(500, 900, e), joints.MOST_ANGLE),
}


@pytest.mark.parametrize("name", GROWING)
@given(st.floats(0, 1), st.floats(0, 1))
def test_each_grows_with_the_error_from_nothing(name: str, one: float, other: float) -> None:
    made, most = GROWING[name]
    small, large = sorted((one * most, other * most))
    assert made(0.0) == 0.0
    assert made(small) <= made(large)
    if large - small > 1e-6:
        assert made(small) < made(large)


@pytest.mark.parametrize("name", GROWING)
def test_outside_its_range_it_is_refused(name: str) -> None:
    made, most = GROWING[name]
    for error in (-1e-9, math.nan, *(() if name == "lengths" else (most * 1.001,))):
        with pytest.raises(ValueError, match=r"error of .* outside 0 to"):
            made(error)


def test_sizes_that_make_no_joint_are_refused() -> None:
    with pytest.raises(ValueError, match="reach is 0; it must be above 0"):
        joints.out_over(0, 0.1)
    with pytest.raises(ValueError, match="a ring of 2 sides"):
        joints.last_corner(20, 2, 0.01)
    with pytest.raises(ValueError, match="a ring of 2 sides"):
        joints.opened_by_lengths(2, 0.01)
    with pytest.raises(ValueError, match="a panel of 0 boards"):
        joints.cup(100, 0, 0.01)


@given(st.floats(1, 500), st.floats(0, deg(40)))
def test_an_angle_and_how_far_it_runs_out_go_both_ways(reach: float, error: float) -> None:
    assert joints.angle_of(joints.out_over(reach, error), reach) == pytest.approx(error, abs=1e-12)
    assert joints.angle_of(10 * reach, reach) == joints.MOST_ANGLE
