"""Two tables against each other, and the moves that bring a plane level."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.form import FittedForm, FormError
from shopboard.metrology.levelling import coplanarity, least_moves, moves_to_zero, residual

FOUR = ((0.0, 0.0), (0.0, 14.0), (20.0, 0.0), (20.0, 14.0))
PLANE = FittedForm(1.5, (0.10, -0.25))


def test_the_worked_moves() -> None:
    """Derived: z = 1.5 + .10 x - .25 y thou; the fourth screw stands right already."""
    assert moves_to_zero(PLANE, FOUR) == pytest.approx((-1.5, 2.0, -3.5, 0.0))
    assert least_moves(PLANE, FOUR) == pytest.approx((-1.5, 2.0, -3.5, 0.0))


slopes = st.floats(-1, 1)


@given(st.floats(-5, 5), slopes, slopes, st.sampled_from([FOUR, FOUR[:3]]))
def test_one_mount_stays_and_no_other_choice_moves_less(
    a: float, b: float, c: float, mounts: tuple[tuple[float, float], ...]
) -> None:
    """Least-norm among the choices that leave one mount; nothing is out of level after."""
    plane = FittedForm(a, (b, c))
    moves = np.array(least_moves(plane, mounts))
    assert np.min(np.abs(moves)) == pytest.approx(0.0, abs=1e-12)
    assert residual(plane, mounts, moves.tolist()) == pytest.approx(0.0, abs=1e-9)
    for left in range(len(mounts)):
        other = moves - moves[left]
        assert np.sum(moves**2) <= np.sum(other**2) + 1e-9


@pytest.mark.parametrize("mounts", [FOUR, FOUR[:3], ((0.0, 0.0), (30.0, 2.0), (11.0, 25.0))])
def test_a_table_in_space_is_level_after_its_mounts_are_moved(
    mounts: tuple[tuple[float, float], ...],
) -> None:
    """Simulated: a rigid table turned in space on its mounts; each is moved up or down as told.

    Its plane is read at stations of its own, not at the mounts. Three mounts hold it; of four,
    every three hold the same plane, so that none is wrung.
    """
    rng = np.random.default_rng(len(mounts))
    for _ in range(50):
        pitch, roll = rng.normal(0, 0.004, 2)
        about_y = np.array(
            [[np.cos(pitch), 0, -np.sin(pitch)], [0, 1, 0], [np.sin(pitch), 0, np.cos(pitch)]]
        )
        about_x = np.array(
            [[1, 0, 0], [0, np.cos(roll), -np.sin(roll)], [0, np.sin(roll), np.cos(roll)]]
        )
        normal = about_y @ about_x @ np.array([0, 0, 1.0])

        def height(at: np.ndarray, normal: np.ndarray = normal) -> np.ndarray:
            found: np.ndarray = -(at @ normal[:2]) / normal[2]
            return found

        stations = rng.uniform(-5, 30, (7, 2))
        read = np.column_stack([np.ones(7), stations])
        a, b, c = np.linalg.lstsq(read, height(stations), rcond=None)[0]
        moves = least_moves(FittedForm(float(a), (float(b), float(c))), mounts)
        after = height(np.array(mounts)) + np.array(moves)
        assert np.ptp(after) < 1e-9
        assert min(abs(move) for move in moves) < 1e-12
        # Of all heights at which it could be made level with one mount left, none moves less.
        others = [np.sum((height(np.array(mounts)) - h) ** 2) for h in height(np.array(mounts))]
        assert np.sum(np.square(moves)) == pytest.approx(min(others), abs=1e-12)
        wrong = np.array(moves) + rng.normal(0, 0.01, len(mounts))
        expected = np.ptp(height(np.array(mounts)) + wrong)
        assert residual(FittedForm(float(a), (float(b), float(c))), mounts, wrong.tolist()) == (
            pytest.approx(expected, abs=1e-9)
        )


def test_mounts_on_one_line_hold_no_plane() -> None:
    """Two mounts, or three in a row, are refused."""
    with pytest.raises(FormError):
        least_moves(PLANE, FOUR[:2])
    with pytest.raises(FormError, match="one line"):
        least_moves(PLANE, ((0.0, 0.0), (1.0, 1.0), (2.0, 2.0)))


def test_a_rounded_move_leaves_what_it_was_rounded_by() -> None:
    """One screw a tenth too far: a tenth is left."""
    moves = list(least_moves(PLANE, FOUR))
    moves[0] += 0.1
    assert residual(PLANE, FOUR, moves) == pytest.approx(0.1)


def test_the_worked_tables() -> None:
    """Derived: heights in thou over inches, rises per inch."""
    outfeed = [(2, 0, 0.2), (2, 7, -0.2), (14, 0, 0.1), (14, 7, 0.3), (28, 0, -0.1), (28, 7, -0.3)]
    infeed = [
        *((-2, 0, -31.0), (-2, 7, -30.0), (-14, 0, -33.1)),
        *((-14, 7, -31.9), (-28, 0, -35.2), (-28, 7, -34.0)),
    ]
    found = coplanarity(outfeed, infeed)
    assert found.outfeed.at_origin == pytest.approx(0.187927, abs=1e-6)
    assert found.outfeed.slopes == pytest.approx((-0.00826772, -0.0190476), abs=1e-7)
    assert found.infeed.at_origin == pytest.approx(-30.790289, abs=1e-6)
    assert found.infeed.slopes == pytest.approx((0.15748031, 0.16190476), abs=1e-7)
    assert found.along * 12 == pytest.approx(1.98898, abs=1e-5)
    assert found.across * 12 == pytest.approx(2.17143, abs=1e-5)
    assert found.step == pytest.approx(-30.97822, abs=1e-5)
    assert found.worse == found.across
