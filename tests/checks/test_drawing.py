"""The drawing of a square at a face, line by line."""

from __future__ import annotations

from typing import Literal

import pytest

from shopboard.base.text import first_unfit
from shopboard.checks import registry
from shopboard.checks.diagram import as_ascii, square_at_face
from shopboard.checks.job import Geometry
from shopboard.checks.measured import MeasuredCheck
from shopboard.metrology.adjuster import Side
from tests.builders import UPRIGHT, make_job

FLAT = UPRIGHT._replace(lies="flat")


@pytest.mark.parametrize("geometry", [UPRIGHT, FLAT])
@pytest.mark.parametrize("light", ["top", "bottom", "none", None])
def test_every_drawing_fits_and_names_its_parts(geometry: Geometry, light: str | None) -> None:
    """Under 80 columns; both ends, the face, the datum, the lever; in ASCII as well."""
    drawn = square_at_face(geometry, light, "6 in")  # type: ignore[arg-type]
    text = "\n".join(drawn)
    for word in (*geometry.ends, geometry.face, geometry.datum, "6 in"):
        assert word in text
    assert all(len(line) < 80 and first_unfit(line) is None for line in drawn)
    assert all(line.isascii() for line in as_ascii(drawn))


def test_the_leaf_is_drawn_at_the_end_with_the_light() -> None:
    """High for light at the top, low for light at the bottom, nowhere without light."""
    rows = {
        light: [
            n for n, line in enumerate(square_at_face(UPRIGHT, light, "6 in")) if "leaf" in line
        ]
        for light in ("top", "bottom", "none")
    }
    (high,), (low,) = rows["top"], rows["bottom"]
    assert high < low
    assert rows["none"] == []


@pytest.mark.parametrize("light", ["top", "bottom"])
def test_the_gap_widens_evenly_from_nothing(light: Literal["top", "bottom"]) -> None:
    """Plain geometry: a straight face, a row at a time, five columns away at the light."""
    rows = square_at_face(UPRIGHT, light, "6 in")[:8]
    gaps = [len(row.rpartition("█")[2]) - len(row.rpartition("█")[2].lstrip(" ")) for row in rows]
    straight = [5 * (7 - row if light == "top" else row) / 7 for row in range(8)]
    assert all(abs(gap - wanted) <= 0.5 for gap, wanted in zip(gaps, straight, strict=True))


def test_an_exaggerated_gap_says_so() -> None:
    """Drawn far too large, and told; without a gap there is nothing to tell."""
    assert "too large" in square_at_face(UPRIGHT, "top", "6 in")[-1]
    assert "too large" not in square_at_face(UPRIGHT, "none", "6 in")[-1]


def test_long_words_are_cut() -> None:
    """A face described in a hundred letters does not push the drawing off the screen."""
    wordy = UPRIGHT._replace(face="f" * 120, datum="d" * 120)
    assert max(len(line) for line in square_at_face(wordy, "top", "6 in")) < 80


def test_the_drawings_of_every_method_fit_beside_their_questions() -> None:
    """Under 76 columns and 14 rows of the 24; in ASCII as well."""
    methods = [registry.method(name) for name in registry.names()]
    drawn = {
        (one.name, step.key): step.diagram
        for one in methods
        if isinstance(one, MeasuredCheck)
        for step in (*one.to_do(make_job()), *one.asked(make_job()))
        if step.diagram
    }
    assert len(drawn) > 20
    for where, lines in drawn.items():
        assert len(lines) <= 14, where
        assert all(len(line) <= 76 and first_unfit(line) is None for line in lines), where
        assert all(line.isascii() for line in as_ascii(lines)), (where, as_ascii(lines))


@pytest.mark.parametrize(("light", "leans"), [("top", "left"), ("bottom", "right")])
@pytest.mark.parametrize("side", ["left", "right"])
def test_the_face_leans_in_the_drawing_as_it_does_at_the_machine(
    side: Side, light: str, leans: str
) -> None:
    """A square right of a blade shows light at the top where that leans left, away from it.

    The other way round on its left: plain geometry. The face is drawn by its hatching.
    """
    geometry = UPRIGHT._replace(datum="Tisch", side=side)
    drawn = square_at_face(geometry, light, "80 mm")  # type: ignore[arg-type]
    top, bottom = (drawn[row].index("▒") for row in (0, 7))
    wanted = leans if side == "right" else {"left": "right", "right": "left"}[leans]
    assert ("left" if top < bottom else "right") == wanted
    square = drawn[4].rindex("█")
    assert (square > drawn[4].index("▒")) is (side == "right")
