"""Surfaces, tables and knives laid out in coordinates: what a check makes of what is read there."""

from __future__ import annotations

import itertools
import math
from dataclasses import replace

import numpy as np
import pytest

from shopboard.checks.asked import Taken
from shopboard.checks.inputs import open_at, truest_square
from shopboard.checks.methods.straightness import STATIONS, profile, shape_words
from shopboard.checks.table_lines import heights, high_and_low
from shopboard.checks.two_tables import mount_moves, tables
from shopboard.metrology.carry import height_of
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import Drawer
from shopboard.metrology.levelling import Coplanarity
from shopboard.metrology.propagate import Input
from tests.builders import DRAWER, SQUARE_6, make_job
from tests.checks.cuts import cut_test
from tests.checks.machines import measured
from tests.checks.readings import KNIVES, Case, job_of

PLACES = [(x, y) for x in range(3) for y in range(3)]
CALLED = {
    (0, 0): "front left", (2, 0): "front right", (0, 2): "back left", (2, 2): "back right",
    (1, 0): "the middle of the front", (1, 2): "the middle of the back",
    (0, 1): "the middle of the left edge", (2, 1): "the middle of the right edge",
    (1, 1): "the middle",
}  # fmt: skip
"""Seen from where one stands: left to right, front to back."""
ENDS = {
    "front": ((0, 0), (2, 0)), "back": ((0, 2), (2, 2)),
    "left": ((0, 0), (0, 2)), "right": ((2, 0), (2, 2)),
    "rising": ((0, 0), (2, 2)), "falling": ((0, 2), (2, 0)), "closing": ((0, 1), (2, 1)),
}  # fmt: skip
"""Where the straightedge lies, as its line is called in front of the table."""


def under_it(z: dict[tuple[int, int], float]) -> tuple[dict[str, float], dict[str, str]]:
    """Lay a straightedge along each line of a crooked table; give the gap, and where light is.

    Hollow it lies on both ends; else it rocks on the middle, and with one end pressed down the
    other stands off by twice as much as the middle stands up.
    """
    gaps, light = {}, {}
    for key, (one, other) in ENDS.items():
        middle = ((one[0] + other[0]) // 2, (one[1] + other[1]) // 2)
        up = z[middle] - (z[one] + z[other]) / 2
        gaps[key] = 2 * up if up > 0 else -up
        light[f"{key}_light"] = "ends" if up > 0 else "middle"
    return gaps, light


@pytest.mark.parametrize("seed", range(3))
def test_the_heights_of_a_crooked_table_come_back_but_for_a_plane(seed: int) -> None:
    """Nine heights by chance; whichever plane they are told from, no straightedge tells."""
    rng = np.random.default_rng(seed)
    z = {place: float(rng.uniform(-0.2, 0.2)) for place in PLACES}
    found = heights(*under_it(z))
    off = np.array([found[place] - z[place] for place in PLACES])
    plane = np.array([(1.0, *place) for place in PLACES])
    assert np.abs(off - plane @ np.linalg.lstsq(plane, off, rcond=None)[0]).max() < 1e-12


def test_a_bow_of_the_straightedge_lifts_the_middle_of_every_line() -> None:
    flat = dict.fromkeys(PLACES, 0.0)
    gaps, light = under_it(flat)
    found = heights({**gaps, "bow": 0.02}, light)
    assert found[2, 2] == pytest.approx(-0.02)
    assert found[1, 0] == pytest.approx(0.0)


@pytest.mark.parametrize("place", PLACES)
def test_the_one_place_that_stands_out_is_named(place: tuple[int, int]) -> None:
    z = {one: 0.2 if one == place else 0.0 for one in PLACES}
    high, _, apart = high_and_low(z)
    assert high == CALLED[place]
    _, low, _ = high_and_low({one: -mm for one, mm in z.items()})
    assert low == CALLED[place]
    assert 0.1 < apart < 0.2 * 1.5


def jointer(
    pitch: float, twist: float, step: float, crown: float
) -> tuple[dict[str, float], dict[str, str]]:
    """Lay a straightedge on the outfeed table, at z = 0, reaching over the tilted infeed table.

    x toward the outfeed's end, y to the back; the outfeed's lip is `crown` lower at the front, its
    outer end at the back.
    """
    length, width = 600.0, 150.0
    values, words = {"length": length, "width": width}, {}
    for side, y in (("front", -width / 2), ("back", width / 2)):
        words[f"{side}_light"] = "none" if not crown else "lip" if side == "front" else "end"
        values[f"{side}_out"] = crown
        for at, x in (("lip", 0.0), ("end", -length)):
            values[f"{side}_{at}"] = -(step + pitch * x + twist * y)
    return values, words


def test_pitch_twist_and_step_of_a_tilted_infeed_table() -> None:
    """Slopes that are planted are found; the sign is that of x and of y."""
    found = tables(*jointer(0.0004, -0.0007, -0.4, 0.0))
    assert (found.along, found.across) == pytest.approx((0.0004, -0.0007))
    assert found.step == pytest.approx(-0.4)
    # The outfeed's four stations: least squares, by numpy.
    bent = tables(*jointer(0.0004, -0.0007, -0.4, 0.06))
    stations = np.array([(1, 0, -75), (1, 600, -75), (1, 0, 75), (1, 600, 75)], float)
    _, along, across = np.linalg.lstsq(stations, np.array([-0.06, 0, 0, -0.06]), rcond=None)[0]
    assert (bent.along, bent.across) == pytest.approx((0.0004 - along, -0.0007 - across))


@pytest.mark.parametrize(
    ("pitch", "twist", "rival"),
    [
        (0.0004, 0.0007, 0.0),
        (-0.0004, -0.0007, 0.0),
        (0.0004, -0.0007, 0.0004),
        (-0.0009, 0.0007, 0.0007),
    ],
)
def test_a_rival_is_what_is_off_the_other_way(pitch: float, twist: float, rival: float) -> None:
    method, job = measured("coplanar"), job_of(Case("coplanar", {}, ""))
    values, words = jointer(pitch, twist, -0.4, 0.0)
    taken = Taken({name: Input(mm) for name, mm in values.items()}, words)
    assert method.rival(job, taken) == pytest.approx(math.atan(rival))


WAYS = {1: ("outer end hangs low", "low at the front"), -1: ("end stands high", "low at the back")}
"""A table whose outer end, at minus x, hangs low has z falling with minus x: a positive slope."""


@pytest.mark.parametrize(("pitch", "twist"), list(itertools.product((1, -1), (1, -1))))
def test_which_way_each_is_off_is_said(pitch: int, twist: int) -> None:
    method = measured("coplanar")
    job = job_of(Case("coplanar", {}, ""))
    for size_pitch, size_twist, says in (
        (0.002, 0.0, [WAYS[pitch][0]]),
        (0.0, 0.002, [WAYS[twist][1]]),
        (0.002, 0.002, [WAYS[pitch][0], WAYS[twist][1]] if pitch != twist else []),
    ):
        values, words = jointer(pitch * size_pitch, twist * size_twist, -3.0, 0.0)
        inputs = {name: Input(mm) for name, mm in values.items()}
        lean = method.evaluate(job, [Taken(inputs, words)]).lean
        assert all(one in lean for one in says), lean
        assert ("it cannot be told which is more" in lean) == (len(says) == 2), lean


def test_the_mounts_of_a_table_move_by_its_slope_times_how_far_they_stand() -> None:
    """Two stay, so that least is moved; 0.001 over 400 mm is 0.4 mm, a fifth of a turn of 2 mm.

    Over the 160 mm from front to back it is 0.16 mm, 29 degrees.
    """
    sizes = {"mount_lip": 100.0, "mounts_along": 400.0, "mounts_across": 160.0, "mount_pitch": 2.0}
    job = make_job(sizes=sizes, unit="mm")
    flat = tables(*jointer(0.0, 0.0, -0.4, 0.0))
    assert mount_moves(job, replace_slopes(flat, 0.001, 0.0)) == (
        "Leave the front mount by the lips.",
        "Leave the back mount by the lips.",
        "Raise the front mount at the outer end by 0.400 mm: its screw 72°.",
        "Raise the back mount at the outer end by 0.400 mm: its screw 72°.",
    )
    assert mount_moves(job, replace_slopes(flat, 0.0, 0.001)) == (
        "Leave the front mount by the lips.",
        "Lower the back mount by the lips by 0.160 mm: its screw 29°.",
        "Leave the front mount at the outer end.",
        "Lower the back mount at the outer end by 0.160 mm: its screw 29°.",
    )
    plain = job._replace(sizes={name: mm for name, mm in sizes.items() if name != "mount_pitch"})
    assert mount_moves(plain, replace_slopes(flat, 0.001, 0.0))[2].endswith("by 0.400 mm.")
    for missing in ("mounts_along", "mounts_across"):
        kept = {name: mm for name, mm in sizes.items() if name != missing}
        assert mount_moves(make_job(sizes=kept), flat) == ()


def replace_slopes(found: Coplanarity, along: float, across: float) -> Coplanarity:
    """The same tables, the infeed one tilted."""
    return replace(found, infeed=replace(found.infeed, slopes=(along, across)))


SHAPES = [
    ((0, 0.1, 0.2, 0.1, 0), "hollow, most at the middle"),
    ((0.2, 0.1, 0, 0.1, 0.2), "crowned, most at the middle"),
    ((0, 0.2, 0.1, 0.05, 0), "hollow, most at a quarter of the way"),
    ((0, 0.05, 0.1, 0.2, 0), "hollow, most at three quarters of the way"),
    ((0.2, 0.0, 0.08, 0.15, 0.2), "crowned, most at a quarter of the way"),
    ((0.1, 0.0, 0.1, 0.2, 0.1), "in waves, crowned most at a quarter of the way"),
    ((0.1, 0.2, 0.1, 0.04, 0.1), "in waves, hollow most at a quarter of the way"),
    ((0.0625, 0.0, 0.0625, 0.09375, 0.0625), "crowned, most at a quarter of the way"),
    ((0.0625, 0.125, 0.0625, 0.03125, 0.0625), "hollow, most at a quarter of the way"),
    ((0, 0, 0, 0, 0), "straight"),
    ((0, 0.1, 0.2, 0.3, 0.4), "straight"),
]
"""Gaps at five stations, evenly spaced, and how the face departs from the line through its ends.

In waves it lies back elsewhere by more than half as much as it stands out (half is not)."""


@pytest.mark.parametrize(("gaps", "words"), SHAPES)
def test_the_shape_of_a_face_is_named(gaps: tuple[float, ...], words: str) -> None:
    assert shape_words(dict(zip(dict(STATIONS), gaps, strict=True))) == words


def test_a_bowed_straightedge_stands_off_most_in_its_middle() -> None:
    """A parabola through both its ends: three quarters of the bow a quarter of the way along."""
    flat = {**dict.fromkeys(dict(STATIONS), 0.0), "bow": 0.04}
    assert [z for _, z in profile(flat)] == pytest.approx([0.0, 0.03, 0.04, 0.03, 0.0])


def knives(*carried: float) -> dict[str, float]:
    return {"circle": 80.0, **dict(zip(KNIVES, carried, strict=False))}


def test_the_worst_knife_is_the_farthest_from_what_is_wanted() -> None:
    """Heights by the chord of the circle: R - root(R^2 - c^2 / 4), R = 40."""
    method, words = measured("carry"), {"knives": "two", "wanted": "0.050000"}
    low, high = 40 - math.sqrt(1600 - 1), 40 - math.sqrt(1600 - 9)
    assert height_of(2.0, 80.0) == pytest.approx(low)
    assert method.formula(knives(2.0, 6.0, 5.0, 5.0), words) == pytest.approx(high)
    assert method.formula(knives(2.0, 5.0, 5.0, 5.0), words) == pytest.approx(low)
    assert method.formula({"below": 0.2, "circle": 80.0}, {"knives": "low"}) == -0.2
    # Its rival is the farthest on the other side; where there is none, nothing.
    job = job_of(Case("carry", {}, ""))._replace(tolerance=Tolerance(0.0, 0.1, "0.1", "length"))
    for carried, off in (((2.0, 6.0, 5.0, 5.0), 0.05 - low), ((6.0, 6.0, 6.0, 6.0), 0.0)):
        inputs = {name: Input(mm) for name, mm in knives(*carried).items()}
        assert method.rival(job, Taken(inputs, words)) == pytest.approx(off)


BOTH_ENDS = {"flip": 2.0, "edge-pair": 2.0, "frame": 8.0}
"""How many times the error is shown: by two halves turned, and by the eight mitres of a frame."""


@pytest.mark.parametrize("name", BOTH_ENDS)
def test_points_that_are_true_show_gaps_at_either_end(name: str) -> None:
    """Spread over the tolerance, as many open at the one end as at the other, and one at none."""
    half = math.radians(0.5)
    method = cut_test(name)
    job = job_of(Case(name, {}, ""))._replace(tolerance=Tolerance(-half, half, "0.5 deg"))
    ends, errors = [], []
    for values, words in method.good(job):
        ends.append(words["open"])
        errors.append(method.formula(values, words))
    plus, minus = (value for value, _ in method.asked(job)[0].options[:2])  # type: ignore[union-attr]
    assert ends.count(plus) == ends.count(minus) >= 1
    assert ends.count("none") == 1
    assert errors == pytest.approx([-one for one in reversed(errors)])
    assert 0 < max(errors) <= half + 1e-12
    assert (errors[0] < 0) == (ends[0] == minus)


def test_where_a_gap_shows_goes_by_the_thinnest_leaf() -> None:
    job = make_job()  # its thinnest leaf is a thou and a half, 0.0381 mm
    for gap, end in ((0.0382, "heel"), (0.5, "heel"), (-0.0382, "toe"), (0.038, "none")):
        assert open_at(job, gap, "heel", "toe") == end


def test_the_truest_square_is_that_which_may_be_off_by_least() -> None:
    """Its limit, what it was found to be off by, and twice how well that is known."""
    plain = SQUARE_6._replace(id="plain", limit=5e-4)
    known = SQUARE_6._replace(id="known", limit=0.0, known_error=-4e-4, known_u=4e-5)
    assert truest_square(Drawer((plain, known), DRAWER.feelers)).id == "known"
    for worse in (known._replace(known_u=6e-5), known._replace(known_error=4.5e-4),
                  known._replace(limit=1e-4)):  # fmt: skip
        assert truest_square(Drawer((plain, worse), DRAWER.feelers)).id == "plain"
