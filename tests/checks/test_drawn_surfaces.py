"""Surfaces, knives, gaps and dials are drawn as they were read: high where they are high."""

from __future__ import annotations

import itertools
import math

import pytest

from shopboard.checks import registry
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.outcome import Outcome
from shopboard.checks.steps import Do
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.propagate import Input
from tests.builders import make_job
from tests.checks.machines import measured
from tests.checks.read_drawings import surface, tells, where
from tests.checks.readings import Case, job_of
from tests.checks.test_by_coordinates import CALLED, PLACES, jointer, under_it

STATIONS = ("near", "quarter", "middle", "three-quarters", "far")
BACK_OR_FRONT = {0: 6, 1: 3, 2: 0}
"""Row of a place by how far back it is: seen from above, the front below."""


def found(
    name: str, values: dict[str, float], words: dict[str, str], size: int = 1
) -> tuple[Outcome, Lines]:
    """Judge readings; give the outcome and its drawing."""
    method, job = measured(name), job_of(Case(name, {}, ""))
    taken = Taken({key: Input(value) for key, value in values.items()}, words)
    outcome = method.evaluate(job, [taken])
    step = method.as_found(Do(key="x", title="x"), job, {}, outcome)
    return outcome, step.diagram if size == 1 else step.large


@pytest.mark.parametrize("order", list(itertools.permutations((0.0, 0.2, 0.4)))[:6])
@pytest.mark.parametrize("size", [1, 2])
def test_a_face_is_as_deep_in_the_drawing_as_its_gaps(order: tuple[float, ...], size: int) -> None:
    """At each station, in half cells, by the widest gap: 2 rows of it, or 4 in the larger one."""
    gaps = dict(zip(STATIONS, (0.0, *order, 0.1), strict=True))
    _, drawn = found("straightness", gaps, {"light": "some"}, size)
    columns = [at for at, row in where(drawn, "●") if row == 0]
    assert len(columns) == len(STATIONS)
    for column, gap in zip(columns, gaps.values(), strict=True):
        deep = surface(drawn[2:], column)
        assert deep == pytest.approx(gap / 0.4 * 2 * size, abs=0.26 if size == 1 else 0.5)


def test_the_station_that_is_read_is_marked_and_none_else() -> None:
    method, job = measured("straightness"), job_of(Case("straightness", {}, ""))
    for at, key in enumerate(STATIONS):
        row = method.sketch(job, AtStep(key), 1)[0]
        assert [one for one in row if one != " "] == ["●" if n == at else "○" for n in range(5)]


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize(
    ("by", "told", "said"), [(0.4, "HIGH", "highest"), (-0.4, "low", "lowest")]
)
def test_the_worst_place_of_a_table_is_drawn_where_it_is(
    place: tuple[int, int], by: float, told: str, said: str
) -> None:
    """Planted, read by a straightedge along seven lines, and named by the words as well."""
    values, words = under_it({one: by if one == place else 0.0 for one in PLACES})
    outcome, drawn = found("flatness", values, words)
    left, right = (drawn[3].index("│"), drawn[3].rindex("│"))
    ((row, line),) = [(at, one) for at, one in enumerate(drawn) if told in one]
    room = (line.index(told) - left - 1, right - line.index(told) - len(told))
    across = 0 if not room[0] else 2 if not room[1] else 1
    assert (across, row) == (place[0], BACK_OR_FRONT[place[1]])
    assert across != 1 or abs(room[0] - room[1]) < 4
    assert f"{said} at {CALLED[place]}" in outcome.lean


@pytest.mark.parametrize(("pitch", "twist"), [(0.002, 0), (-0.002, 0), (0, 0.004), (0, -0.004)])
def test_an_infeed_table_hangs_in_the_drawing_as_it_does(pitch: float, twist: float) -> None:
    """Z = pitch x + twist y, x toward the outfeed (drawn left), y to the back (drawn left)."""
    outcome, drawn = found("coplanar", *jointer(pitch, twist, -0.4, 0.0))
    rows = drawn[1:5]
    if pitch:
        lip, outer = surface(rows, 17), surface(rows, 29)
        high = "right" if -600 * pitch > 0 else "left"
        assert tells(lip, outer) == high
        assert ("outer end hangs low" in outcome.lean) is (high == "left")
        assert ("LOW" in drawn[-2]) is (high == "left")
    else:
        back, front = surface(rows, 1), surface(rows, 26)
        high = "left" if 75 * twist > 0 else "right"
        assert tells(back, front) == high
        assert ("low at the front" in outcome.lean) is (high == "left")
        assert drawn[-2].endswith("front") is (high == "left")


@pytest.mark.parametrize(("key", "side"), [("lip", "left"), ("end", "right")])
@pytest.mark.parametrize("line", ["front", "back"])
def test_the_leaf_over_the_infeed_table_is_drawn_at_its_place(
    key: str, side: str, line: str
) -> None:
    """The infeed table is at the right, its lip at its left; the front is below."""
    drawn = measured("coplanar").sketch(make_job(), AtStep(f"{line}_{key}"), 1)
    ((column, row),) = where(drawn[:5], "●")
    infeed = drawn[2].index("infeed")
    assert ("left" if column < infeed else "right") == side
    assert row == {"front": 3, "back": 1}[line]
    assert column > drawn[2].index("outfeed") + len("outfeed")


@pytest.mark.parametrize(("carry", "above"), [(12.0, True), (None, False)])
def test_a_knife_is_drawn_above_or_below_the_outfeed_table(
    carry: float | None, above: bool
) -> None:
    """One that carries the rule stands above it: the chord of its circle. Else it is below."""
    values, words = {"circle": 75.0}, {"knives": "two"}
    if carry:
        ends = [f"knife{number}_{end}" for number in (1, 2) for end in ("front", "back")]
        values |= dict.fromkeys(ends, carry)
        assert 37.5 - math.sqrt(37.5**2 - 6.0**2) > 0  # height of the arc over that chord
    else:
        values, words = {"circle": 75.0, "below": 0.5}, {"knives": "low"}
    outcome, drawn = found("carry", values, words)
    ((_, tip),), tables = where(drawn, "▌"), [at for at, row in enumerate(drawn) if "═" in row]
    assert (tip < tables[0]) is above
    assert ("below the outfeed" in outcome.lean) is not above
    assert (outcome.estimate.error > 0) is above


@pytest.mark.parametrize(("goes", "refused", "told"), [
    ("1.0 mm", "1.1 mm", "too wide"), ("0.02 mm", "0.03 mm", "too tight"),
    ("0.30 mm", "0.32 mm", ""),
])  # fmt: skip
def test_a_gap_is_drawn_to_its_limits(goes: str, refused: str, told: str) -> None:
    """Wide, tight, or in between: 0.2 to 0.5 mm are allowed."""
    method = registry.method("leaf-gap")
    job = make_job(tolerance=Tolerance(0.2, 0.5, "0.2 to 0.5 mm", "length"))
    answers = {"place": "done", "leaf1": "typed", "goes": goes, "refused": refused, "repeat1": "no"}
    step = method.next_step(job, answers)
    assert step is not None
    while "record" not in step.key:
        answers[step.key] = step.unasked or "no"
        step = method.next_step(job, answers)
        assert step is not None
    row = step.diagram[1]
    wide = row.index("▒") - row.rindex("█") - 1
    assert told in "\n".join(step.diagram)
    assert {"too wide": wide == 5, "too tight": wide == 1, "": wide == 3}[told]


def test_a_dial_stands_nearer_where_it_reads_more() -> None:
    """What turns is drawn at its lowest and its highest: from the dial, and toward it."""
    rods = {
        key: measured("runout").sketch(make_job(), AtStep(key), 1)[1].count("─")
        for key in ("low", "mount", "high")
    }
    assert rods["low"] > rods["mount"] > rods["high"]


def test_a_band_is_drawn_longer_once_it_is_tight() -> None:
    drawn = measured("blade-tension").sketch(make_job(), AtStep("stretch"), 1)
    slack, tight = (row.index("[B]") - row.index("[A]") for row in drawn if "[A]" in row)
    assert tight > slack


def test_the_side_of_a_table_that_is_read_is_marked() -> None:
    """And of a planed board, of a turned piece, of a strip: nothing else is."""
    for name, keys in {
        "tram": ("near", "right", "far", "left"), "taper": ("head", "tail"),
        "thickness": ("left", "right"), "five-cut": ("a", "b"), "drilled-angle": ("low", "high"),
        "snipe": ("tail", "middle", "lead"), "sweep": ("front", "back"),
    }.items():  # fmt: skip
        method, marked = measured(name), []
        assert {*keys} <= {one.key for one in method.asked(make_job()) if isinstance(one, Reading)}
        for key in keys:
            marks = where(method.sketch(make_job(), AtStep(key), 1), "●")
            assert len(marks) == 1, (name, key)
            marked += marks
        assert len({*marked}) == len(keys), name
        done = AtStep(FOUND, 0, *method.perfect(job_of(Case(name, {}, ""))))
        assert len(where(method.sketch(make_job(), done, 1), "●")) == len(keys), name
