"""Every drawing of a set-up: it fits, names its view, goes without Unicode, marks its place."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from shopboard.base.text import first_unfit
from shopboard.checks import registry
from shopboard.checks.drawn.canvas import COLUMNS, FOUND, ROWS, AtStep, Lines, as_ascii
from shopboard.checks.drawn.square_at_face import square_at_face
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.methods.seating import LOOKED_AT, Seating
from tests.builders import UPRIGHT, make_job
from tests.checks.cuts import cut_job

VIEWS = ("from ", "along the face", "as sighted", "across the gap", "speed over time")
NOT_DRAWN = {"go-no-go", "note"}
"""Of the thing that is looked at the shop file gives its words alone, no shape: a riving knife, a
guard, a filter, a vice. Whatever was drawn would be some other thing."""


def drawn_by(name: str, size: int) -> Iterator[tuple[str, Lines]]:
    """Give every drawing of a method, for every way of the error, by the key of its step."""
    method, job = registry.method(name), cut_job()
    if isinstance(method, Seating):
        for key, *_ in LOOKED_AT:
            yield f"{name} {key}", method.sketch(job, AtStep(key), size)
            yield f"{name} {key} no", method.sketch(job, AtStep(FOUND, words={key: "no"}), size)
    if not isinstance(method, MeasuredCheck):
        return
    uses = [type(method)(one) for one in getattr(method, "uses", ())] or [method]  # type: ignore[call-arg]
    for one in uses:
        values, words = one.perfect(job)
        keys = [step.key for step in (*one.to_do(job), *one.asked(job))]
        for key in (*keys, FOUND):
            for way in (0, 1, -1):
                drawn = one.sketch(job, AtStep(key, way, values, words), size)
                if drawn:
                    yield f"{name} {key} {way}", drawn


@pytest.mark.parametrize("size", [1, 2])
@pytest.mark.parametrize("name", registry.names())
def test_every_drawing_fits_and_names_its_view(name: str, size: int) -> None:
    """34 by 9 cells beside the words at 80x24, twice that at most where it is large."""
    for where, drawn in drawn_by(name, size):
        assert len(drawn) <= ROWS * size, (where, drawn)
        assert max(map(len, drawn)) <= COLUMNS * size, (where, drawn)
        assert all(first_unfit(line) is None for line in drawn), where
        assert all(line.isascii() for line in as_ascii(drawn)), (where, as_ascii(drawn))
        assert drawn[-1].startswith("("), where
        assert any(view in drawn[-1] for view in VIEWS), (where, drawn[-1])


def test_every_method_that_measures_is_drawn() -> None:
    """Twenty-seven of them; square and leaf gap draw in a way of their own."""
    drawn = {name for name in registry.names() if [*drawn_by(name, 1)]} | {"square", "leaf-gap"}
    assert {*registry.names()} - drawn == NOT_DRAWN


@pytest.mark.parametrize("way", [0, 1, -1])
def test_an_exaggerated_gap_says_so(way: int) -> None:
    """Without a gap there is nothing to tell."""
    drawn = square_at_face(UPRIGHT, AtStep("leaf", way), "6 in")
    assert ("exaggerated" in drawn[-1]) is bool(way)


def test_long_words_are_cut() -> None:
    """A face described in a hundred letters does not push the drawing off the screen."""
    wordy = UPRIGHT._replace(face="f" * 120, datum="d" * 120)
    drawn = square_at_face(wordy, AtStep("leaf", 1), "6 in")
    assert max(map(len, drawn)) <= COLUMNS
    assert "…" in "".join(drawn)


def test_a_side_that_is_not_told_is_assumed_and_that_is_said() -> None:
    """The shop file may leave out on which side of the face the square stands."""
    for side, told in (("", True), ("left", False), ("right", False)):
        drawn = square_at_face(make_job().geometry._replace(side=side), AtStep("leaf", 1), "6 in")  # type: ignore[arg-type]
        assert ("drawn left" in "\n".join(drawn)) is told
