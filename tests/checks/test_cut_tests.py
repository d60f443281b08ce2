"""What holds for every test cut: caution first, few words, room on the smallest screen."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.drawn.canvas import as_ascii
from shopboard.checks.steps import Choice, Finding, Number, Step
from shopboard.checks.walk import walk
from shopboard.metrology.adjuster import Slot
from shopboard.metrology.conformity import Tolerance, probability_within
from tests.checks.cuts import CUT_TESTS, TENTH, cut_job
from tests.cli.program import Program

FINE = Tolerance(-2e-4, 2e-4, "0.2 mm/m")
LENGTH = Tolerance(-0.0762, 0.0762, "3 thou", "length")
SIZES = {
    "width": "6 in", "length": "9 in", "other_width": "6 in",
    "other_length": "9 in", "d1": "10 27/32 in", "d2": "10 25/32 in", "a": "1.05 in",
    "b": "1.00 in", "left": ".78 in", "right": ".75 in", "middle": ".75 in", "lead": ".73 in",
    "tail": ".74 in", "sides": "4", "gap.goes": ".040 in", "gap.refused": ".042 in",
}  # fmt: skip
USES = [(name, "") for name in CUT_TESTS] + [
    ("flip", "on-edge"),
    ("flip", "mitre"),
    ("edge-pair", "straightedge"),
]


def steps(name: str, use: str) -> Iterator[tuple[Step, int, list[tuple[Step, str]]]]:
    """Every step of a check with a correction, with the number of answers before it."""
    tolerance = LENGTH if name == "snipe" else FINE
    job = cut_job(tolerance=tolerance, adjuster=Slot(508.0), cutter_near=True)
    answers: dict[str, str] = {}
    for _ in range(60):
        done = walk(registry.method(name), job, answers)
        if done.step is None:
            return
        yield done.step, len(done.answered), list(done.answered)
        answers[done.step.key] = said(done.step, use)
    raise AssertionError(answers)


def said(step: Step, use: str) -> str:
    """Answer a step as somebody would who finds a clear error and corrects it once."""
    key = step.key.removeprefix("left.")
    if key == "use":
        return use
    if key == "thickness":
        return "3/4 in" if "thick" in step.title else "5 in"
    if key.startswith("repeat"):
        return "no"
    if key == "next":
        return "done" if step.key.startswith("left.") else "adjust"
    if isinstance(step, Number):
        return SIZES.get(key, "2 in")
    if isinstance(step, Choice):
        return step.default or step.options[0].value
    return ""


@pytest.mark.parametrize(("name", "use"), USES)
def test_every_step_fits_the_smallest_screen(name: str, use: str) -> None:
    """80 by 24: title, words, answers and drawing all there; in ASCII as well."""
    job, seen = cut_job(tolerance=LENGTH if name == "snipe" else TENTH), 0
    for step, _, before in steps(name, use):
        seen += 1
        assert len(step.title.split()) <= 12
        assert len(step.diagram) <= 11
        assert all(line.isascii() for line in as_ascii(step.diagram))
        lines = step_lines(step, before, job, "", (80, 21))
        text = "\n".join("".join(part[0] for part in line) for line in lines)
        if not isinstance(step, Finding):  # its words come first, and may take the room
            assert all(drawn.strip() in text for drawn in step.diagram), step.key
        assert "…" not in text.partition("before:")[0]
    assert seen > 8


@pytest.mark.parametrize("name", CUT_TESTS)
def test_the_caution_comes_first_and_defers_to_the_manual(name: str) -> None:
    first = next(steps(name, ""))[0]
    assert first.key == "care"
    assert MANUAL in first.lines
    assert len(first.lines) >= 2


@pytest.mark.parametrize("name", CUT_TESTS)
def test_a_move_comes_only_after_the_plug_is_out(name: str) -> None:
    """A test cut needs the plug in; whoever sets the machine right pulls it first."""
    keys = [step.key for step, _, _ in steps(name, "")]
    assert keys.index("left.unplugged") < keys.index("left.adjust")
    assert "unplugged" not in keys


@pytest.mark.parametrize("name", CUT_TESTS)
def test_what_the_drawer_can_prove_is_known_before(name: str) -> None:
    """The best of each: an error of nothing, an uncertainty that is more than nothing."""
    job = cut_job(tolerance=LENGTH if name == "snipe" else TENTH)
    best = registry.method(name).best(job)
    assert best.error == pytest.approx(0.0, abs=1e-9)
    assert 0 < best.budget.expanded < job.tolerance.high * 3
    assert 0 < probability_within(best.spread, job.tolerance) <= 1


@pytest.mark.parametrize(("name", "use"), USES)
def test_the_same_answers_from_a_file_give_the_same(name: str, use: str) -> None:
    """Step by step and all at once: the identical findings."""
    job = cut_job(tolerance=LENGTH if name == "snipe" else TENTH)
    answers: dict[str, str] = {}
    while (step := walk(registry.method(name), job, answers).step) is not None:
        answers[step.key] = said(step, use)
    done = walk(registry.method(name), job, answers)
    assert walk(registry.method(name), job, answers, from_file=True) == done
    is_out = done.findings[0].outcome.verdict == "out"  # set by the manual, without an adjuster
    set_right = ["as-left"] if is_out or name == "snipe" else []  # which knows what moves
    assert [one.run for one in done.findings] == ["as-found", *set_right]


@pytest.mark.parametrize("name", CUT_TESTS)
def test_reckon_names_what_is_missing(program: Program, name: str) -> None:
    """One clear sentence, never a traceback."""
    ran = program.bare("reckon", name, "--json")
    assert ran.code == 2
    assert "is missing" in ran.err
