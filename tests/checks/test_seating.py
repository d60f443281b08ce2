"""Seating of indexed knives: pass or fail."""

from __future__ import annotations

import json

import pytest

from shopboard.checks.methods.seating import LOOKED_AT, PUT_RIGHT, YES
from tests.checks.machines import closed, walked
from tests.checks.tables import fits, table_job
from tests.cli.program import Program

JOB = table_job(tolerance=YES, cutter_near=True)
GOOD = {"unplugged": "plug out", "care": "understood", **{key: "yes" for key, _, _ in LOOKED_AT}}


def test_every_yes_is_true() -> None:
    """Recorded as true; nothing to correct."""
    outcome = closed("seating", JOB, GOOD)
    assert outcome.verdict == "true"
    assert outcome.lean == "every knife is seated"


@pytest.mark.parametrize(("key", "what"), [(key, what) for key, _, what in LOOKED_AT])
def test_one_no_is_enough(key: str, what: str) -> None:
    """Out, and what is wrong is said."""
    outcome = closed("seating", JOB, {**GOOD, key: "no"})
    assert outcome.verdict == "out"
    assert outcome.lean == what
    assert outcome.moves == (PUT_RIGHT[key],)


def test_what_to_do_is_said_once() -> None:
    """Two things that the same work puts right, and one that another does."""
    outcome = closed("seating", JOB, {**GOOD, "pins": "no", "light": "no", "edges": "no"})
    assert outcome.moves == (PUT_RIGHT["pins"], PUT_RIGHT["edges"])
    assert outcome.lean == "a knife is not on its pins and light under a knife and " + next(
        what for key, _, what in LOOKED_AT if key == "edges"
    )


def test_it_is_looked_at_again_after_it_was_put_right() -> None:
    """As found out, as left true; the plug is asked about before each."""
    again = {f"left.{key}": said for key, said in GOOD.items()}
    done = walked("seating", JOB, {**GOOD, "light": "no", "next": "adjust", **again})
    assert done.step is None
    assert [one.outcome.verdict for one in done.findings] == ["out", "true"]


def test_steps_fit_the_screen_and_the_plug_comes_first() -> None:
    """Caution before questions."""
    done = walked("seating", JOB, GOOD)
    assert [step.key for step, _ in done.answered][:2] == ["unplugged", "care"]
    fits([step for step, _ in done.answered])


def test_reckon(program: Program) -> None:
    """Yes and no, by name."""
    said = [f"{key}={'no' if key == 'screws' else 'yes'}" for key, _, _ in LOOKED_AT]
    told = json.loads(program.bare("reckon", "seating", *said, "--json").out)
    assert told["verdict"] == "out"
    assert told["wrong"] == ["screws not in order"]
    assert program.bare("reckon", "seating", *said[1:]).code == 2
