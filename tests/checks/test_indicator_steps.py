"""Every step of the indicator and bandsaw checks fits on a small terminal, drawing and all."""

from __future__ import annotations

from collections.abc import Mapping

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.steps import Finding
from shopboard.checks.walk import walk
from shopboard.metrology.limits import parse_limits
from tests.checks.machines import dial_job

COLUMNS, ROWS = 80, 21
"""A terminal of 80 x 24, less the frame's title, state and keys."""

CARE = {"care": "understood", "unplugged": "plug out"}
CHECKS: dict[str, tuple[str, Mapping[str, str]]] = {
    "sweep": ("3 thou over 9 in", {"span": "9 in", "front": "4 thou", "back": "0"}),
    "runout": ("1 thou", {"low": "0", "high": "3 thou"}),
    "tram": (
        "4 thou over 8 in",
        {"radius": "4 in", "near": "6 thou", "far": "0", "left": "0", "right": "5 thou"},
    ),
    "blade-tension": ("15000 to 20000 psi", {"over": "5 in", "stretch": "1 thou"}),
    "drift-angle": ("0.5 deg", {"side": "left", "length": "20 in", "offset": "1/2 in"}),
    "leaf-gap": ("0.002 to 0.005 in", {"leaf1": "goes", "leaf2": "goes"}),
}


@pytest.mark.parametrize("name", CHECKS)
def test_every_step_fits(name: str) -> None:
    """The drawing is there, no line is cut, and no title has more than 12 words."""
    tolerance, answers = CHECKS[name]
    job = dial_job(parse_limits(tolerance), cutter_near=True)
    done = walk(registry.method(name), job, {**CARE, **answers}, from_file=True)
    steps = [step for step, _ in done.answered] + ([done.step] if done.step else [])
    assert len(steps) > 4
    for step in steps:
        assert len(step.title.split()) <= 12, step.title
        assert len(step.diagram) <= 11
        before = done.answered[:2]
        lines = step_lines(step, before, job, "", (COLUMNS, ROWS))
        drawn = "\n".join("".join(text for text, _ in line).rstrip() for line in lines)
        if not isinstance(step, Finding):  # its words come first, and may take the room
            assert all(row.rstrip() in drawn for row in step.diagram), step.key
        for words in step.lines:
            assert all(word in drawn for word in words.split()), words
