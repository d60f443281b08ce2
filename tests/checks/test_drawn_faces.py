"""A square at a face is drawn as it stands at the machine, at each step, in every shop."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping

import pytest

from shopboard.checks import registry
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.dials import sweep
from shopboard.checks.drawn.square_at_face import square_at_face
from shopboard.checks.job import CheckContext, Geometry
from shopboard.checks.steps import Finding, Step
from shopboard.checks.walk import walk
from shopboard.metrology.adjuster import Side
from shopboard.shop.reader import read_shop_text
from tests.builders import METHOD, SCREW, UPRIGHT, Person, make_job
from tests.checks.read_drawings import first, last, leans, open_end
from tests.two_shops import SHOPS

WIDE, HIGH = 15, 6
"""Columns of square and face in the small drawing, rows of the blade."""
OPPOSITE: Mapping[Side, Side] = {"left": "right", "right": "left"}


def lean_of_face(rows: Lines, square: Side) -> str:
    """Say where the top of the face is, whose edge is next to the square."""
    scene = [row[:WIDE] for row in rows[:HIGH]]
    edge = first if square == "left" else last
    return leans([edge(row, "▒╱╲") for row in scene])


def side_of_square(rows: Lines) -> Side:
    """Say on which side of the face the square is."""
    row = rows[HIGH // 2][:WIDE]
    return "left" if row.index("█") < first(row, "▒╱╲") else "right"


def gap_at(y: float, tilt: float, square: Side) -> float:
    """Give the room between an upright blade and a face that leans right by a tilt, mm.

    The square is slid up until it touches; y from the table. Plane geometry.
    """
    sign = 1.0 if square == "left" else -1.0
    face = {at: sign * at * math.tan(tilt) for at in (0.0, 150.0)}
    return sign * y * math.tan(tilt) - min(face.values())


def steps_of(job: CheckContext, person: Person) -> Iterator[Step]:
    """Give every step of a check, from the first to the last, as somebody answers them."""
    answers = dict(person.said)
    while (step := walk(METHOD, job, answers).step) is not None:
        yield step
        answers[step.key] = person.answer(step, job)


@pytest.mark.parametrize("square", ["left", "right"])
@pytest.mark.parametrize("lean", ["left", "right"])
def test_a_blade_is_drawn_leaning_as_it_does_at_every_step(square: Side, lean: str) -> None:
    """Also while the square stands on its other side, where light is at the other end."""
    tilt = math.radians(0.5) * (1 if lean == "right" else -1)
    at_top, at_bottom = gap_at(150, tilt, square), gap_at(0, tilt, square)
    end = "top" if at_top > at_bottom else "bottom"
    geometry = UPRIGHT._replace(
        side=square, turn="other side", other_side="there", turned_side=OPPOSITE[square],
        light_at_top=f"it leans {OPPOSITE[square]}", light_at_bottom=f"it leans {square}",
    )  # fmt: skip
    job = make_job(geometry=geometry, adjuster=SCREW)
    person = Person(abs(tilt) if end == "top" else -abs(tilt), said={"turn": "yes"})
    drawn, turned = 0, 0
    for step in steps_of(job, person):
        if "leaf" in step.key or step.key in ("record", "left.adjust"):
            stands = OPPOSITE[square] if step.key.startswith("turned.") else square
            light = {"top": "bottom", "bottom": "top"}[end] if stands != square else end
            assert side_of_square(step.diagram) == stands
            assert lean_of_face(step.diagram, stands) == lean, (step.key, step.diagram)
            assert open_end([row[:WIDE] for row in step.diagram[:HIGH]], WIDE) == light
            drawn, turned = drawn + 1, turned + (stands != square)
        if step.key == "record":
            assert isinstance(step, Finding)
            assert f"leans {lean}" in step.outcome.lean
        if step.key == "left.adjust":
            (row,) = [row for row in step.diagram if "top moves" in row]
            assert ("◄" in row) is (lean == "right")  # back to where it should stand
            break
    assert drawn > 4
    assert turned > 1


@pytest.mark.parametrize("way", [1, -1])
def test_the_leaf_is_drawn_at_the_end_with_the_light(way: int) -> None:
    """In the gap and beside it; where both ends are tried, at both; else nowhere."""
    drawn = square_at_face(UPRIGHT, AtStep("leaf", way), "6 in")
    marks = [at for at, row in enumerate(drawn) if "●" in row]
    assert marks == [1 if way > 0 else HIGH - 2]
    assert drawn[marks[0]].count("●") == 2
    both = square_at_face(UPRIGHT, AtStep("both"), "6 in")
    assert [at for at, row in enumerate(both) if "●" in row] == [0, HIGH - 1]
    assert "●" not in "".join(square_at_face(UPRIGHT, AtStep("place"), "6 in"))


POINTS = [
    (shop, f"{machine.id}.{point.id}", point.checks, point.geometry)
    for shop, text in SHOPS.items()
    for machine in read_shop_text(
        text, known_checks=registry.names(), facts=registry.facts()
    ).shop.machines
    for point in machine.points
]
AWAY, NEARER = "(leans back|opens toward the back)", "(leans over|closes in)"


def should_lean(words: str, side: Side) -> str:
    """Say where the top (or back) of a face is by a shop's own words; empty: they tell no side."""
    told = re.search(r"leans (left|right) at the top", words)
    if told:
        return told[1]
    away = re.search(AWAY, words) or "front of the blade is nearer" in words
    toward = re.search(NEARER, words) or "back of the blade is nearer" in words
    if not (away or toward):
        return ""
    free = OPPOSITE[side or "left"]  # where the face is, seen from what it is held against
    return free if away else OPPOSITE[free]


def test_every_shop_is_drawn_as_its_own_words_say() -> None:
    """Words that somebody wrote who stood at the machine: the drawing says the same."""
    seen = 0
    for shop, name, checks, geometry in POINTS:
        for way, words in ((1, geometry.light_at_top), (-1, geometry.light_at_bottom)):
            wanted = should_lean(words, geometry.side)
            if wanted and checks[0] in ("square", "sweep"):
                assert _lean(checks[0], geometry, way) == wanted, (shop, name, words)
                seen += 1
    assert seen >= 12


def _lean(check: str, geometry: Geometry, way: int) -> str:
    if check == "square":
        rows = square_at_face(geometry, AtStep(FOUND, way), "6 in")
        return lean_of_face(rows, geometry.side or "left")
    rows = sweep(geometry, AtStep(FOUND, way), "slot")
    edge = first if geometry.side == "left" else last
    return leans([edge(row[:17], "▒╱╲") for row in rows[:7]])


@pytest.mark.parametrize("slot", ["left", "right"])
@pytest.mark.parametrize("goes", ["toward", "away"])
def test_the_arrow_points_where_the_back_goes(slot: Side, goes: str) -> None:
    """Toward the slot, or away from it."""
    seen = AtStep(FOUND, 1, goes=goes)  # type: ignore[arg-type]
    drawn = sweep(UPRIGHT._replace(side=slot), seen, "slot")
    (row,) = [row for row in drawn if "back moves" in row]
    assert ("◄" in row) is ((goes == "toward") == (slot == "left"))
