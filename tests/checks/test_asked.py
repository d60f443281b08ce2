"""What a check asks, in which order it offers answers, and how it writes its sum."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopboard.checks import registry
from shopboard.checks.additions import addition_lines
from shopboard.checks.asked import Pick, Reading
from shopboard.checks.asking import ask_readings
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.steps import Number
from shopboard.metrology.quantity import Unit
from tests.checks.machines import measured, walked
from tests.checks.readings import GOOD, Case, job_of, right

MEASURED = [one for one in registry.names() if isinstance(registry.method(one), MeasuredCheck)]


@pytest.mark.parametrize("name", MEASURED)
def test_yes_and_what_is_usual_stand_first_and_none_at_an_end(name: str) -> None:
    """So that 1 is the same key everywhere (common practice, no source)."""
    for one in measured(name).asked(job_of(Case(name, {}, ""))):
        if not isinstance(one, Pick):
            continue
        words = [value for value, _ in one.options]
        assert one.usual in (None, words[0]), one.key
        assert "yes" not in words or words[0] == "yes", one.key
        assert "none" not in words[1:-1], one.key
        assert all(word and " " not in word for word in words), (
            one.key
        )  # a file of answers has them


SIZES = {"centres", "flatness", "runout", "straightness", "tram"}
"""Never below nought: a band, a run-out, the larger of two tilts (by definition)."""


@pytest.mark.parametrize("name", GOOD)
def test_what_is_a_size_and_what_has_a_sign(name: str) -> None:
    case = Case(name, {}, "")
    done = walked(name, job_of(case), {**right(case), "next": "done"})
    assert done.findings[0].outcome.estimate.size == (name in SIZES)


@pytest.mark.parametrize("name", MEASURED)
def test_what_the_shop_file_says_is_offered_beside_its_question(name: str) -> None:
    """A length of 123 mm is 4.84252 in; what is asked without a size has no such line."""
    for one in measured(name).asked(job_of(Case(name, {}, ""))):
        if not isinstance(one, Reading) or one.tool == "leaves":
            continue
        for sizes in ({}, {one.size: 123.0} if one.size else {"another": 123.0}):
            job = job_of(Case(name, {}, "", sizes=sizes))
            step = ask_readings(job, [replace(one, only_if=("", ()))], {}, "")
            assert isinstance(step, Number)
            offered = [line for line in step.lines if line.startswith("Enter alone")]
            if one.size in sizes:
                assert offered == ["Enter alone takes 4.843 in, from the shop file."], one.key
                assert (step.default, step.unasked) == ("4.843 in", "4.843 in")
            else:
                assert offered == [], one.key
                assert step.default is None


@pytest.mark.parametrize("name", ["sweep", "runout", "tram"])
def test_a_slanting_lever_stands_in_the_sum(name: str) -> None:
    """It shows more than there is, by 1 / cos (derived)."""
    method = measured(name)
    assert "cos" not in method.formula_words({"lever": "square"})
    assert "cos" not in method.formula_words({})
    assert "cos 30°" in method.formula_words({"lever": "30"})


def test_the_middle_of_two_leaves_stands_in_the_working() -> None:
    """3.5 thou is half way between 3 and 4."""
    job = job_of(Case("leaf-gap", {}, ""))
    job = job._replace(tolerance=job_of(Case("carry", {}, "")).tolerance)
    outcome = walked("leaf-gap", job, {"goes": "3 thou", "refused": "4 thou"}).findings[0].outcome
    assert outcome.working == (
        "gap between 0.003 in (goes) and 0.004 in (won't): middle 0.0035 in",
    )


@pytest.mark.parametrize(
    ("unit", "lines"),
    [
        (
            None,
            [
                "last corner misses        0.8 deg",
                "marks                     20.8333 to the inch",
                "stretched by              0.075 %",
                "gap in the last corner    0.04937 in   49.37 thou   1.254 mm",
                "length at the leading end 2.5 in   2500 thou   63.5 mm",
                "sides                     1, 2",
                "cut 1 height              1 thou   0.0254 mm",
                "cut 2 height              2 thou   0.0508 mm",
                "open at                   toe",
            ],
        ),
        (
            "inch",
            [
                "last corner misses        0.8 deg",
                "marks                     20.8333 to the inch",
                "stretched by              0.075 %",
                "gap in the last corner    49.4 thou",
                "length at the leading end 2.5 in",
                "sides                     1, 2",
                "cut 1 height              1 thou",
                "cut 2 height              2 thou",
                "open at                   toe",
            ],
        ),
        (
            "mm",
            [
                "last corner misses        0.8 deg",
                "marks                     20.8333 to the inch",
                "stretched by              0.075 %",
                "gap in the last corner    1.254 mm",
                "length at the leading end 63.5 mm",
                "sides                     1, 2",
                "cut 1 height 0.025 mm",
                "cut 2 height 0.051 mm",
                "open at                   toe",
            ],
        ),
    ],
)
def test_every_addition_has_a_line_in_the_units_of_the_shop(
    unit: Unit | None, lines: list[str]
) -> None:
    """An inch is 25.4 mm; four digits of what has no uncertainty."""
    inches = {"gap": 0.04937, "lead_length": 2.5}
    adds = {
        "closing_deg": 0.8,
        "marks_per_inch": 20.83333,
        "strain": 0.00075,
        **{name: {"in": x, "thou": x * 1000, "mm": x * 25.4} for name, x in inches.items()},
        "sides": [1, 2],
        "cuts": [{"height": {"thou": float(x), "mm": x * 0.0254}} for x in (1, 2)],
        "open_at": "toe",
    }
    assert [" ".join(line.split()) for line in addition_lines(adds, unit)] == [
        " ".join(line.split()) for line in lines
    ]
