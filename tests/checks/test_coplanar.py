"""Coplanar: a straightedge from the outfeed table over a crooked infeed table."""

from __future__ import annotations

import json
import math
import re

import numpy as np
import pytest

from shopboard.checks.asked import Reading
from shopboard.checks.steps import AnswerError, Number
from shopboard.checks.walk import walk
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.uncertainty import Estimate
from tests.checks.cuts import holds
from tests.checks.machines import closed, measured, walked
from tests.checks.tables import (
    LIMIT,
    STRAIGHTEDGE,
    THINNEST,
    drawn_u,
    evaluated,
    fits,
    gap,
    refused_at_the_end,
    table_job,
    take,
)
from tests.checks.test_carry import truth
from tests.cli.program import Program

METHOD = measured("coplanar")
LENGTH, WIDTH = 600.0, 150.0
TWO = Tolerance(-math.atan(2 / 12000), math.atan(2 / 12000), "2 thou/ft")
JOB = table_job(tolerance=TWO, sizes={"length": LENGTH, "width": WIDTH})


def leaves(key: str, thou: float) -> dict[str, str]:
    return {f"{key}.goes": f"{thou} thou", f"{key}.refused": f"{thou + 1} thou"}


def tables(front: tuple[float, float], back: tuple[float, float]) -> dict[str, str]:
    """Answers: gaps (thou) over the infeed table at lip and outer end, outfeed close."""
    answers = {"care": "understood", "front_light": "none", "back_light": "none"}
    for side, (lip, end) in (("front", front), ("back", back)):
        answers |= leaves(f"{side}_lip", lip) | leaves(f"{side}_end", end)
    return answers


def turned(points: np.ndarray, along: float, across: float, step: float) -> np.ndarray:
    """Tilt points of a table about its lip by two turns in space, then lift it."""
    ca, sa, cb, sb = math.cos(along), math.sin(along), math.cos(across), math.sin(across)
    about_y = np.array([[ca, 0, -sa], [0, 1, 0], [sa, 0, ca]])
    about_x = np.array([[1, 0, 0], [0, cb, -sb], [0, sb, cb]])
    moved: np.ndarray = points @ (about_y @ about_x).T + np.array([0, 0, step])
    return moved


def height_over(corners: np.ndarray, x: float, y: float) -> float:
    """Height of the plane through three corners, by its normal."""
    normal = np.cross(corners[1] - corners[0], corners[2] - corners[0])
    away = np.array([x, y]) - corners[0][:2]
    return float(corners[0][2] - normal[:2] @ away / normal[2])


def trial(rng: np.random.Generator) -> tuple[float, Estimate]:
    """Stand two tables askew in a shop that is not level, and lay a crooked straightedge on."""
    pitch, twist = rng.normal(0, 0.0004, 2)
    lean, roll = rng.normal(0, 0.002, 2)
    flat = np.array([[0.0, 0, 0], [-700.0, 0, 0], [0.0, 200, 0]])
    infeed = turned(turned(flat, pitch, twist, -0.6), lean, roll, 0.0)
    outfeed = turned(flat * [-1, 1, 1], lean, roll, 0.0)
    edge = rng.uniform(-LIMIT, LIMIT, 3)  # at the outfeed end, the lips, the infeed end
    stations = [(at + rng.uniform(-0.5, 0.5)) for at in (LENGTH, 0.0, -LENGTH)]
    answers: dict[str, str] = {}
    for side, y in (("front", 0.0), ("back", WIDTH)):
        x0, x1, x2 = stations
        # Where it bears on the outfeed table its own errors lift it; from there it runs on.
        z0, z1 = height_over(outfeed, x0, y) - edge[0], height_over(outfeed, x1, y) - edge[1]
        slope = (z0 - z1) / (x0 - x1)
        answers |= {f"{side}_light": "none", f"{side}_out.refused": f"{THINNEST:.4f} mm"}
        lip = z1 + edge[1] - height_over(infeed, x1, y)
        answers |= gap(f"{side}_lip", lip, rng)
        answers |= gap(
            f"{side}_end", z1 + slope * (x2 - x1) + edge[2] - height_over(infeed, x2, y), rng
        )
    worse = max(math.tan(pitch), math.tan(twist), key=abs)
    answers |= {"length": f"{LENGTH} mm", "width": f"{WIDTH} mm"}
    outcome = evaluated(METHOD, JOB, answers)
    return truth(outcome, math.atan(worse), 0.0), outcome.estimate


def test_pitch_one_way_and_twist_the_other_are_told_by_their_size() -> None:
    """Derived: 12 thou over 600 mm, and 3 over 150 the other way: both half a mm/m."""
    outcome = evaluated(METHOD, JOB, tables((16, 30), (19, 33)))
    assert outcome.adds["side"] == "either"
    assert "it cannot be told which is more" in outcome.lean
    clear = evaluated(METHOD, JOB, tables((16, 60), (16, 60)))
    assert clear.adds["side"] in ("above", "below")
    assert "not told" not in clear.lean


def test_the_planted_error_comes_back() -> None:
    """U holds the planted pitch or twist in 95 of 100 trials; the floor's own tilt drops out."""
    holds(trial, 400)


@pytest.mark.parametrize(
    "answers", [tables((16, 40), (16, 41)), tables((30, 31), (16, 16)), tables((16, 16), (16, 16))]
)
def test_u_is_not_below_a_monte_carlo(answers: dict[str, str]) -> None:
    """JCGM 101: equal where pitch or twist is clear; never below where they are alike."""
    taken = take(METHOD, JOB, answers)
    outcome = METHOD.evaluate(JOB, [taken])
    drawn = drawn_u(METHOD, JOB, taken)
    clear = outcome.estimate.error != 0
    assert outcome.estimate.budget.u >= 0.97 * drawn
    assert not clear or outcome.estimate.budget.u == pytest.approx(drawn, rel=0.06)


def test_pitch_and_twist_of_opposite_signs_are_known_as_well_as_of_the_same() -> None:
    """Derived: ends 3 and 5 thou lower than the lips: pitch 8 / 1200 thou per mm, twist as much.

    Which of the two is larger, and so the sign, is open; by how much the tables are off is not.
    """
    same = closed("coplanar", JOB, tables((16, 21), (16, 19)))
    opposite = closed("coplanar", JOB, tables((16, 19), (16, 21)))
    assert abs(opposite.estimate.error) == pytest.approx(same.estimate.error)
    assert opposite.estimate.budget.u == pytest.approx(same.estimate.budget.u, rel=0.1)


@pytest.mark.parametrize(
    ("answers", "words", "sign"),
    [
        (tables((16, 46), (16, 46)), "outer end hangs low", 1),
        (tables((46, 16), (46, 16)), "outer end stands high", -1),
        (tables((40, 40), (16, 16)), "low at the front", 1),
        (tables((16, 16), (40, 40)), "low at the back", -1),
    ],
)
def test_the_direction_in_words(answers: dict[str, str], words: str, sign: int) -> None:
    """The sign follows from where the gaps are; nobody is asked for one."""
    outcome = closed("coplanar", JOB, answers)
    assert words in outcome.lean
    assert math.copysign(1, outcome.estimate.error) == sign
    assert outcome.verdict == "out"


def test_pitch_and_twist_from_the_readings() -> None:
    """Geometry by hand: 30 thou over 600 mm along; 24 thou over 150 mm across."""
    outcome = closed("coplanar", JOB, tables((16, 46), (16, 46)))
    assert outcome.estimate.error == pytest.approx(math.atan(0.030 * 25.4 / LENGTH), rel=1e-5)
    outcome = closed("coplanar", JOB, tables((40, 40), (16, 16)))
    assert outcome.estimate.error == pytest.approx(math.atan(0.024 * 25.4 / WIDTH), rel=2e-4)


def test_the_step_is_the_depth_of_cut_and_no_error() -> None:
    """However far the infeed table is lowered, the tables are as coplanar as before."""
    shallow = closed("coplanar", JOB, tables((16, 16), (16, 16)))
    deep = closed("coplanar", JOB, tables((36, 36), (36, 36)))
    assert shallow.estimate.error == deep.estimate.error == 0
    assert "depth of cut" in deep.note
    step = deep.adds["step"]
    assert isinstance(step, dict)
    assert step["thou"] == pytest.approx(-36.5)


def test_light_over_the_outfeed_table_counts() -> None:
    """Its lip 10 thou low: the outfeed plane tilts, by 10.5 thou over the length."""
    answers = {**tables((16, 16), (16, 16)), "front_light": "lip", "back_light": "lip"}
    answers |= leaves("front_out", 10) | leaves("back_out", 10)
    error = closed("coplanar", JOB, answers).estimate.error
    assert error == pytest.approx(-math.atan(0.0105 * 25.4 / LENGTH), rel=1e-5)
    answers |= {"front_light": "end", "back_light": "end"}
    assert closed("coplanar", JOB, answers).estimate.error == pytest.approx(-error)


MOUNTED = JOB._replace(
    sizes={
        **JOB.sizes,
        "mount_lip": 100.0,
        "mounts_along": 400.0,
        "mounts_across": 160.0,
        "mount_pitch": 1.0,
    },
)


def test_mounts_are_moved_so_that_nothing_is_left() -> None:
    """The moves, put back into the machine by hand, make pitch and twist 0; one is untouched."""
    outcome = closed("coplanar", MOUNTED, tables((16, 46), (20, 56)))
    assert len(outcome.moves) == 4
    assert sum(move.startswith("Leave") for move in outcome.moves) == 1
    assert any("Raise the front mount at the outer end" in move for move in outcome.moves)
    assert any("°" in move for move in outcome.moves)


def test_the_moves_undo_what_was_found() -> None:
    """Built anew from the sentences: the plane through the moved mounts has no tilt left."""
    outcome = closed("coplanar", MOUNTED, tables((16, 46), (20, 56)))
    sizes, places, z = MOUNTED.sizes, [], []
    along, across = (outcome.adds[name]["mm_per_m"] / 1000 for name in ("along", "across"))  # type: ignore[index]
    for move in outcome.moves:
        x = -sizes["mount_lip"] - (sizes["mounts_along"] if "outer end" in move else 0.0)
        y = sizes["mounts_across"] / 2 * (1 if "back" in move else -1)
        thou = re.search(r"by ([\d.]+) thou", move)
        up = float(thou[1]) * 0.0254 * (1 if move.startswith("Raise") else -1) if thou else 0.0
        places.append((x, y, 1.0))
        z.append(along * x + across * y + up)
    left = np.linalg.lstsq(np.array(places), np.array(z), rcond=None)[0]
    assert np.abs(left[:2] * sizes["mounts_along"]).max() < 0.02


def test_a_correction_by_mounts_is_measured_again() -> None:
    """As found, moved, as left."""
    left = {f"left.{key}": said for key, said in tables((16, 16), (16, 16)).items()}
    plug = {"unplugged": "plug out", "left.unplugged": "plug out"}
    answers = {**plug, **tables((16, 46), (16, 46)), "next": "adjust", **left}
    done = walked("coplanar", MOUNTED._replace(cutter_near=True), answers)
    assert [one.run for one in done.findings] == ["as-found", "as-left"], done.step
    assert done.step is None


def test_a_wild_gap_is_refused() -> None:
    """One gap more than ten times the next: named, with the one to read again."""
    wild = tables((16, 16), (16, 300))
    refused_at_the_end(walked("coplanar", JOB, wild), "back line, infeed gap at the outer end")


def test_steps_fit_the_screen() -> None:
    """Short titles, small drawings."""
    fits([step for step, _ in walked("coplanar", MOUNTED, tables((16, 46), (16, 46))).answered])
    assert METHOD.best(JOB).error == 0


OUTFEED = "outfeed=2 in,0 in,.2 thou; 2,7,-.2; 14,0,.1; 14,7,.3; 28,0,-.1; 28,7,-.3"
INFEED = (
    "infeed=-2 in,0 in,-31.0 thou; -2,7,-30.0; -14,0,-33.1; -14,7,-31.9; -28,0,-35.2; -28,7,-34.0"
)


def test_reckon_gives_pitch_twist_and_step(program: Program) -> None:
    """Derived: along +1.98898, across +2.17143 thou/ft, step -30.97822 thou."""
    told = json.loads(program.bare("reckon", "coplanar", OUTFEED, INFEED, "--json").out)
    assert told["along"]["thou_per_ft"] == pytest.approx(1.98898, abs=1e-5)
    assert told["along"]["deg"] == pytest.approx(0.00949666, abs=1e-8)
    assert told["across"]["thou_per_ft"] == pytest.approx(2.17143, abs=1e-5)
    assert told["step"]["thou"] == pytest.approx(-30.97822, abs=1e-5)
    assert told["error"]["thou_per_ft"] == told["across"]["thou_per_ft"]
    assert "not an error" in told["note"]
    plain = program.bare("reckon", "coplanar", OUTFEED, INFEED).out
    assert "tilt across" in plain
    assert "planes" not in plain  # what nobody says is for programs
    assert "{" not in plain


def test_reckon_refuses_a_table_without_width(program: Program) -> None:
    """All stations along one line hold no plane."""
    ran = program.bare("reckon", "coplanar", OUTFEED, "infeed=-2in,0in,1thou;-9,0,2;-20,0,1")
    assert ran.code == 2
    assert "one line" in ran.err


def test_stations_that_the_straightedge_does_not_reach_are_refused_at_once() -> None:
    """Not after all the readings; a shop file that says so is not offered again and again."""
    half = STRAIGHTEDGE.reach / 2
    (reading,) = (one for one in METHOD.asked(JOB) if one.key == "length")
    assert isinstance(reading, Reading)
    assert half < reading.at_most < half + 1
    job = JOB._replace(sizes={"length": half + 100})
    step = walk(METHOD, job, {"care": "understood", "lower": "done"}).step
    assert isinstance(step, Number)
    assert step.key == "length"
    assert step.default is None
    what_to_do = "take stations nearer to the lips, or a longer straightedge"
    assert what_to_do in step.lines[-1]
    with pytest.raises(AnswerError, match=what_to_do):
        step.accept(f"{half + 100} mm")
    assert step.accept(f"{half} mm") == f"{half} mm"
