"""What holds where a method, a step or a job leaves something out (common practice, no source)."""

from __future__ import annotations

from dataclasses import MISSING, fields
from typing import Any

import pytest

from shopboard.checks import (
    asked,
    contradiction,
    doubled,
    further,
    job,
    need,
    outcome,
    ranking,
    reckoning,
    steps,
)

LEFT_OUT: dict[Any, dict[str, object]] = {
    asked.Reading: {"above": 0.0, "may_equal": False, "at_most": 10_000.0, "touches": False,
                    "true": None, "closed_if": ("", ""), "only_if": ("", ())},
    asked.Pick: {"usual": None, "true": ""},
    contradiction.Contradiction: {"again": (), "may_be": False},
    doubled.TestUse: {"closes_to": 0.02},
    further.Way: {"needs": ()},
    job.Geometry: {"lies": "upright", "turn": "no", "in_slot": False},
    job.CheckContext: {"unit": "inch", "level": 0.95, "cutter_near": False, "was_moved": False,
                       "adjuster": None, "mm_per_turn": None, "hands": ()},
    need.Need: {"aim": 0.0},
    outcome.Outcome: {"kind": "angle", "level": 0.95, "aims": ("", ""), "moves": (),
                      "can_turn": False},
    ranking.Rank: {"best": None, "most": 0.0, "probability": 0.0, "proves": False},
    reckoning.Field: {"needed": True, "words": (), "reads": "", "signed": False},
    steps.Do: {"unasked": "done", "moves": False},
    steps.Choice: {"unasked": None, "assumed": None, "default": None, "so_far": None},
    steps.Number: {"is_turns": False, "plain": "", "above": 0.0, "may_equal": False,
                   "at_most": 1_000_000.0, "default": None},
    steps.Finding: {"unasked": "record"},
}  # fmt: skip
"""Lengths in mm: no reading is longer than 10 m. Proven is 95 %, and a cut closes to 0.02 mm."""


@pytest.mark.parametrize("made", LEFT_OUT, ids=lambda one: one.__name__)
def test_what_is_not_said_is_as_it_usually_is(made: Any) -> None:
    found = getattr(made, "_field_defaults", None) or {
        one.name: one.default for one in fields(made) if one.default is not MISSING
    }
    assert {name: found[name] for name in LEFT_OUT[made]} == LEFT_OUT[made]
