"""A panel by its diagonals, held against panels made of their four corners (plane geometry)."""

from __future__ import annotations

import itertools
import math

import pytest

from shopboard.metrology.panel import Panel

Spot = tuple[float, float]


def panel(corner: Spot, along: Spot, opposite: Spot, across: Spot) -> Panel:
    """Measure a panel of four corners, the asked one first, round about."""
    return Panel(
        d1=math.dist(along, across),
        d2=math.dist(corner, opposite),
        width=math.dist(corner, across),
        length=math.dist(corner, along),
        other_width=math.dist(along, opposite),
        other_length=math.dist(across, opposite),
    )


def angle(at: Spot, one: Spot, other: Spot) -> float:
    """The corner at a spot, beyond a right angle, rad."""
    (ax, ay), (bx, by) = ((to[0] - at[0], to[1] - at[1]) for to in (one, other))
    return math.acos((ax * bx + ay * by) / math.hypot(ax, ay) / math.hypot(bx, by)) - math.pi / 2


SHIFTS = (-3.0, 0.0, 2.0)


@pytest.mark.parametrize(("dx", "dy"), [*itertools.product(SHIFTS, SHIFTS)])
def test_every_corner_of_a_crooked_panel(dx: float, dy: float) -> None:
    """One corner of 900 by 600 mm is off its place by a few mm: to a few parts in a thousand."""
    corners = [(0.0, 0.0), (900.0, 0.0), (900.0 + dx, 600.0 + dy), (1.0, 600.0)]
    found = panel(*corners)
    errors = [
        angle(corners[at], corners[(at + 1) % 4], corners[at - 1]) for at in range(4)
    ]  # fmt: skip
    assert found.corner == pytest.approx(errors[0], abs=3e-5)
    assert found.worst == pytest.approx(max(map(abs, errors)), abs=3e-5)
    assert abs(found.misfit) < 2e-5


@pytest.mark.parametrize("degrees", [-8.0, 0.0, 5.0])
def test_a_panel_of_equal_sides_that_leans(degrees: float) -> None:
    """Exact: sin of the skew by the law of cosines."""
    lean = math.radians(degrees)
    up = (-600 * math.sin(lean), 600 * math.cos(lean))
    found = panel((0.0, 0.0), (900.0, 0.0), (900.0 + up[0], up[1]), up)
    assert found.skew == pytest.approx(lean)
    assert found.corner == pytest.approx(lean)
    assert found.worst == pytest.approx(abs(lean))
    assert found.tapers == pytest.approx((0.0, 0.0))


def test_diagonals_that_do_not_fit_the_sides_are_off_by_a_share() -> None:
    """By the parallelogram law two of 500 mm belong to 300 by 400 mm; 1 % longer, 1 % off."""
    for share in (-0.01, 0.0, 0.01):
        found = Panel(500 * (1 + share), 500 * (1 + share), 300, 400, 300, 400)
        assert found.misfit == pytest.approx(share)
    unlike = Panel(math.sqrt(2) * 500, 0.0, 300, 400, 300, 400)
    assert unlike.misfit == pytest.approx(0.0)
    assert Panel(10_000.0, 1.0, 300, 400, 300, 400).skew == pytest.approx(math.pi / 2)
