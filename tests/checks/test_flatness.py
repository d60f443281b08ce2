"""Flatness: a straightedge along seven lines of a crooked table."""

from __future__ import annotations

import json
from collections.abc import Mapping

import numpy as np
import pytest

from shopboard.checks.table_lines import (
    LINES,
    high_and_low,
)
from shopboard.metrology.adjuster import Shim
from shopboard.metrology.uncertainty import Estimate
from tests.builders import SCREW
from tests.checks.cuts import holds
from tests.checks.machines import closed, measured, walked
from tests.checks.tables import (
    LIMIT,
    THINNEST,
    drawn_inputs,
    drawn_u,
    evaluated,
    fits,
    gap,
    refused_at_the_end,
    table_job,
    take,
)
from tests.cli.program import Program
from tests.in_turn import part
from tests.metrology.programme import band_weights, by_linear_programme

METHOD = measured("flatness")
JOB = table_job()

WHERE = {
    # Where the straightedge lies in a table of [left to right][front to back]: end, middle, end.
    "front": ((0, 0), (1, 0), (2, 0)),
    "back": ((0, 2), (1, 2), (2, 2)),
    "left": ((0, 0), (0, 1), (0, 2)),
    "right": ((2, 0), (2, 1), (2, 2)),
    "rising": ((0, 0), (1, 1), (2, 2)),
    "falling": ((0, 2), (1, 1), (2, 0)),
    "closing": ((0, 1), (1, 1), (2, 1)),
}


BAND_WEIGHTS = band_weights([(x, y) for x in range(3) for y in range(3)])


def bands_of(values: Mapping[str, np.ndarray], words: Mapping[str, str]) -> np.ndarray:
    """The bands of many tables at once, from what was read of each: least squares, then duality."""
    at = {(x, y): 3 * x + y for x in range(3) for y in range(3)}
    lines = [key for key in WHERE if key != "closing"]
    bends, above = np.zeros((6, 9)), []
    for row, key in zip(bends, lines, strict=True):
        a, m, b = (at[place] for place in WHERE[key])
        row[[a, m, b]] = -0.5, 1.0, -0.5
        rocks = words[f"{key}_light"] == "ends"  # twice as far as its middle lies above its ends
        above.append(values["bow"] + (values[key] / 2 if rocks else -values[key]))
    tables = np.linalg.pinv(bends) @ np.array(above)
    found: np.ndarray = np.max(np.abs(BAND_WEIGHTS @ tables), axis=0)
    return found


def flat_answers() -> dict[str, str]:
    return {f"{key}_light": "none" for key in WHERE}


def line_answers(
    table: np.ndarray, key: str, bow: float, rng: np.random.Generator
) -> dict[str, str]:
    """Lay a straightedge on three places of a table and look: hollow, rocking, or close."""
    a, m, b = (float(table[place]) for place in WHERE[key])
    hollow = (a + b) / 2 + bow - m  # gap at the middle when it rests on both ends
    # Pressed down at the first end it pivots on the middle; the other end swings up.
    rocking = 2 * (m - bow - a) + a - b
    if max(hollow, rocking) < THINNEST:
        return {f"{key}_light": "none", f"{key}.refused": f"{THINNEST:.4f} mm"}
    light, wide = ("middle", hollow) if hollow > 0 else ("ends", rocking)
    return {f"{key}_light": light, **gap(key, wide, rng)}


def crooked(rng: np.random.Generator, size: float) -> tuple[float, dict[str, str]]:
    """Make a table with twist, crown and dents of its own; give its band and what is read."""
    x, y = np.meshgrid(np.arange(3) - 1, np.arange(3) - 1, indexing="ij")
    table = size * (
        rng.normal() * x * y
        + rng.normal() * x * x
        + rng.normal() * y * y
        + 0.3 * rng.normal(size=(3, 3))
    )
    bow = rng.uniform(-LIMIT, LIMIT)
    answers: dict[str, str] = {}
    for key in WHERE:
        answers |= line_answers(table, key, bow, rng)
    return float(np.max(np.abs(BAND_WEIGHTS @ table.ravel()))), answers


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Make a table, from dead flat to a millimetre, and check it."""
    band, answers = crooked(rng, float(rng.choice([0.0, 0.05, 0.15, 0.4])))
    return band, evaluated(METHOD, JOB, answers).estimate


def test_the_planted_form_comes_back() -> None:
    """U holds the planted band in 95 of 100 trials, from dead flat to a millimetre."""
    holds(trial, 300)


TWISTED = {
    **flat_answers(),
    "rising_light": "ends",
    "rising.goes": ".020",
    "rising.refused": ".021",
    "falling_light": "middle",
    "falling.goes": ".010",
    "falling.refused": ".0105",
}
"""One diagonal rocks, the other is hollow by as much: the edges are straight."""


def test_u_of_a_clear_twist_agrees_with_a_monte_carlo() -> None:
    """JCGM 101: one band is the narrowest whatever is drawn."""
    taken = take(METHOD, JOB, TWISTED)
    u = METHOD.evaluate(JOB, [taken]).estimate.budget.u
    assert u == pytest.approx(drawn_u(METHOD, JOB, taken, of_all=bands_of), rel=0.04)


def test_u_is_never_short_of_a_monte_carlo() -> None:
    """JCGM 101, tables of every shape: within a few per cent, or more where bands are alike."""
    rng = np.random.default_rng(12)
    ratios = []
    for _ in range(part(30)):
        taken = take(METHOD, JOB, crooked(rng, 0.3)[1])
        u = METHOD.evaluate(JOB, [taken]).estimate.budget.u
        ratios.append(u / drawn_u(METHOD, JOB, taken, 1500, bands_of))
    assert min(ratios) > 0.95  # 1500 draws tell a standard deviation to 2 %
    assert np.median(ratios) == pytest.approx(1.0, abs=0.04)


def test_a_flat_table_is_told_with_room_for_its_dents() -> None:
    """JCGM 101: a band has no less than nothing, so what is drawn spreads to one side only.

    U must hold 95 of 100 bands that such readings can have come from.
    """
    taken = take(METHOD, JOB, flat_answers())
    budget = METHOD.evaluate(JOB, [taken]).estimate.budget
    rng = np.random.default_rng(2)
    bands = bands_of(drawn_inputs(METHOD, JOB, taken, rng, 2000), taken.words)
    assert np.quantile(bands, 0.95) <= budget.expanded


def test_the_whole_check_of_a_twisted_table() -> None:
    """Diagonals 10.25 thou up and down: twist of 20.5 thou between corners, as geometry says."""
    outcome = closed("flatness", JOB, TWISTED)
    thou = outcome.estimate.error / 0.0254
    # Corners at -10.25 and +10.25 against the middle, edges half way: the band is their distance.
    assert thou == pytest.approx(20.5, abs=0.02)
    assert outcome.verdict == "out"
    assert "corner" not in outcome.lean
    assert outcome.lean.startswith("highest at back left") or "front right" in outcome.lean


def test_no_light_anywhere_is_no_error_found() -> None:
    """Seven times no light: 0, give or take the thinnest leaf on every line."""
    outcome = closed("flatness", JOB, flat_answers())
    assert outcome.estimate.error == 0
    assert outcome.lean.startswith("no error detectable")
    assert 0.03 < outcome.estimate.budget.expanded < 0.15


def test_a_line_that_does_not_close_is_refused() -> None:
    """The line through the middle cannot be hollow where the other six are straight."""
    answers = {**flat_answers(), "closing_light": "middle"}
    answers |= {"closing.goes": ".012", "closing.refused": ".013"}
    refused_at_the_end(walked("flatness", JOB, answers), "does not close")


def test_the_bands_by_duality_are_those_of_a_general_solver() -> None:
    """And those that the check finds."""
    rng = np.random.default_rng(5)
    for _ in range(10):
        taken = take(METHOD, JOB, crooked(rng, 0.3)[1])
        given = {**taken.values, "bow": 0.01}
        z = rng.normal(size=9)
        points = [(x, y, z[3 * x + y]) for x in range(3) for y in range(3)]
        assert np.max(np.abs(BAND_WEIGHTS @ z)) == pytest.approx(by_linear_programme(points))
        (told,) = bands_of({name: np.array([one]) for name, one in given.items()}, taken.words)
        assert METHOD.formula(given, taken.words) == pytest.approx(told, abs=1e-9)


def test_six_lines_give_nine_heights_back() -> None:
    """Any table, up to a tilt: the heights are those that the lines were read from."""
    rng = np.random.default_rng(3)
    table = np.round(rng.normal(0, 0.3, (3, 3)), 3)
    values, words = {}, {}
    for key, (a, m, b) in WHERE.items():
        above = table[m] - (table[a] + table[b]) / 2
        words[f"{key}_light"] = "ends" if above > 0 else "middle"
        values[key] = 2 * above if above > 0 else -above
    x, y = np.meshgrid(np.arange(3), np.arange(3), indexing="ij")
    truth = by_linear_programme(np.column_stack([x.ravel(), y.ravel(), table.ravel()]))
    assert METHOD.formula(values, words) == pytest.approx(truth, abs=1e-9)
    assert METHOD.refuse(values, words) is None


def test_steps_fit_the_screen() -> None:
    fits([step for step, _ in walked("flatness", JOB, TWISTED).answered])
    assert {line.key for line in LINES} == WHERE.keys()


def test_the_highest_place_is_named_against_the_plane() -> None:
    """A tilt does not count: the middle is high though the right side stands higher."""
    z = {(x, y): 2.0 * x + (0.5 if (x, y) == (1, 1) else 0.0) for x in range(3) for y in range(3)}
    assert high_and_low(z)[0] == "the middle"


@pytest.mark.parametrize("x", [0, 1, 2])
@pytest.mark.parametrize("y", [0, 1, 2])
def test_every_place_has_its_name(x: int, y: int) -> None:
    """Seen by who stands in front: left to right, front to back. One place stands off the rest."""
    side, end = ("left", "middle", "right")[x], ("front", "middle", "back")[y]
    name = f"{end} {side}"
    if 1 in (x, y):
        place = "" if (x, y) == (1, 1) else f" of the {end if x == 1 else f'{side} edge'}"
        name = f"the middle{place}"
    for off in (0.1, -0.1):
        z = {(a, b): off if (a, b) == (x, y) else 0.0 for a in range(3) for b in range(3)}
        *told, apart = high_and_low(z)
        assert told[0 if off > 0 else 1] == name
        heights = np.array([z[a, b] for a in range(3) for b in range(3)])
        plane = np.array([(1.0, a, b) for a in range(3) for b in range(3)])
        left = heights - plane @ np.linalg.lstsq(plane, heights)[0]
        assert apart == pytest.approx(np.ptp(left))  # against numpy's least-squares plane


def test_reckon_gives_plane_and_both_bands(program: Program) -> None:
    """Derived: z = .333333 + .00925926 x + .0416667 y; 6.5 and 6 thou."""
    points = (
        "points=0 in,0 in,0 thou; 0,12,3; 0,24,1; 18,0,-2; 18,12,0; 18,24,2;"
        " 36,0,1; 36,12,5; 36,24,-1"
    )
    told = json.loads(program.bare("reckon", "flatness", points, "--json").out)
    assert told["ls_peak_to_valley"]["thou"] == pytest.approx(6.5)
    assert told["minimum_zone"]["thou"] == pytest.approx(6.0)
    assert told["error"]["thou"] == pytest.approx(6.0)
    plane = told["least_squares_plane"]
    assert plane["a"]["thou"] == pytest.approx(1 / 3)
    assert plane["b"]["thou_per_ft"] == pytest.approx(0.00925926 * 12, rel=1e-6)
    assert plane["c"]["thou_per_ft"] == pytest.approx(0.0416667 * 12, rel=1e-6)
    screws = "screws=0 in,0 in; 36,0; 0,24"
    ran = program.bare("reckon", "level", f"plane={plane['text']}", screws, "--json")
    assert ran.code == 0, ran.err


def test_reckon_takes_units_for_whole_columns(program: Program) -> None:
    """Bare numbers are refused unless a unit is said once, in the list or beside it."""
    bare = "points=0,0,0; 0,20,6; 30,0,6; 30,20,0"
    assert "no unit" in program.bare("reckon", "flatness", bare).err
    told = json.loads(program.bare("reckon", "flatness", bare, "unit=in,in,thou", "--json").out)
    assert told["minimum_zone"]["thou"] == pytest.approx(6.0)
    told = json.loads(program.bare("reckon", "flatness", bare, "unit=mm", "--json").out)
    assert told["minimum_zone"]["mm"] == pytest.approx(6.0)
    assert "unit" in program.bare("reckon", "flatness", bare, "unit=in,thou").err


def test_reckon_refuses_a_row_of_points(program: Program) -> None:
    """All on one line: there is no plane through them."""
    ran = program.bare("reckon", "flatness", "points=0in,0in,0thou;1,1,1;2,2,0;3,3,1")
    assert ran.code == 2
    assert "one line" in ran.err


def test_a_screw_is_not_said_to_make_a_table_flat() -> None:
    """No screw makes a casting flat (common practice, no source); a pack at a wing's joint may."""
    shim = Shim(100.0, "the wing's inner edge", "the wing's outer edge")
    (packed,) = closed("flatness", JOB._replace(adjuster=shim), TWISTED).moves
    assert packed.startswith("Bring it down at")
    moves = closed("flatness", JOB._replace(adjuster=SCREW), TWISTED).moves
    words = " ".join(moves)
    assert "Bring it" not in words
    assert "helps only where it bears" in words
    assert "scraped or reground" in words
