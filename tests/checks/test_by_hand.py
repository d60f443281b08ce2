"""What the blank sheet tells to do with pencil and paper comes to what the board finds."""

from __future__ import annotations

import math
from statistics import fmean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.checks import registry
from shopboard.checks.guided import GuidedCheck
from shopboard.checks.table_lines import DIAGONALS, EDGES, LINES
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.reports.by_hand import sum_lines
from tests.checks import machines

GAPS = st.floats(0.0, 0.5)
LIGHTS = st.sampled_from(["none", "lip", "end"])


@pytest.mark.parametrize("name", registry.names())
def test_every_check_that_finds_a_number_tells_its_sum(name: str) -> None:
    """No sheet sends back to the board, which is off that day."""
    method = registry.method(name)
    if method.kind in YES_NO_WORDS or not isinstance(method, GuidedCheck):
        return
    from shopboard.checks.usual import USUAL_JOB

    said = " ".join(sum_lines(method, USUAL_JOB, leaves=False))
    assert said
    assert "the board" not in said


@given(st.lists(GAPS, min_size=6, max_size=6), st.lists(LIGHTS, min_size=2, max_size=2))
def test_pitch_and_twist_of_a_jointer_by_hand(gaps: list[float], lights: list[str]) -> None:
    """As its sheet says, line by line."""
    method = machines.measured("coplanar")
    values, words = {"length": 600.0, "width": 150.0}, {}
    pitch, twist = [], []
    for side, light, (out, lip, end) in zip(
        ("front", "back"), lights, (gaps[:3], gaps[3:]), strict=True
    ):
        out = 0.0 if light == "none" else out
        values |= {f"{side}_out": out, f"{side}_lip": lip, f"{side}_end": end}
        words[f"{side}_light"] = light
        pitch.append(end - lip - out * (light == "lip") + out * (light == "end"))
        twist.append(lip + end - out)
    found = math.atan(fmean(pitch) / 600), math.atan((twist[0] - twist[1]) / 2 / 150)
    by_hand = max(found, key=abs)
    # alike but for the sign, either is the larger
    assert abs(method.formula(values, words)) == pytest.approx(abs(by_hand), abs=1e-12)
    if abs(abs(found[0]) - abs(found[1])) > 1e-9:
        assert method.formula(values, words) == pytest.approx(by_hand, abs=1e-12)


@given(
    st.lists(GAPS, min_size=7, max_size=7),
    st.lists(st.sampled_from(["middle", "ends", "none"]), min_size=7, max_size=7),
)
def test_flatness_by_hand_is_never_too_little(gaps: list[float], lights: list[str]) -> None:
    """As its sheet says: nine heights, the highest less the lowest."""
    method = machines.measured("flatness")
    words = {f"{line.key}_light": one for line, one in zip(LINES, lights, strict=True)}
    values = {
        line.key: 0.0 if light == "none" else gap
        for line, gap, light in zip(LINES, gaps, lights, strict=True)
    }
    up = {
        line.key: -values[line.key]
        if words[f"{line.key}_light"] == "middle"
        else values[line.key] / 2
        for line in LINES
    }
    corner = {end: -up[line.key] for line in DIAGONALS for end in line.ends}
    edges = [fmean(corner[end] for end in line.ends) + up[line.key] for line in EDGES]
    nine = [0.0, *corner.values(), *edges]
    assert max(nine) - min(nine) >= method.formula(values, words) - 1e-9
