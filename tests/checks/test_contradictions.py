"""Readings that contradict each other, method by method: named, read again, nothing recorded."""

from __future__ import annotations

import math

import pytest

from shopboard.board.check_view import step_lines
from shopboard.checks import registry
from shopboard.checks.contradiction import Recheck, far_above
from shopboard.checks.steps import AnswerError
from shopboard.checks.walk import StepError, walk
from tests.checks.readings import ACROSS, GOOD, INFEED, MITRE, STATIONS, Case, job_of, leaves, right
from tests.cli.program import SHOP, Program

HOLLOW = {"closing_light": "middle", **leaves("closing", ".012", ".013")}

CASES = [
    Case("blade-tension", {"stretch": ".03 in"}, "stretch: 174000 psi is more than any band can",
         ("over", "stretch")),
    Case("carry", {"knife2_back": "2 in"}, "knife 2 at the back: a carry of 2.00 in is"
         " longer than the cutting circle allows", ("circle", "knife2_back")),
    Case("carry", {"knife4_front": "1.25 in"}, "knife 4 at the front: carried far longer than the"
         " others",
         ("knife4_front",), may_be=True),
    Case("carry", {"circle": "30 in"}, "circle: 30.000 in, and the shop file says 3 in",
         ("circle",), sizes={"circle": 76.2}, may_be=True),
    Case("coplanar", leaves("back_end", "155 thou", "156 thou"), "back line, infeed gap at the"
         " outer end: many times the others", ("back_end",), may_be=True),
    Case("coplanar", leaves("front_end", "70 thou", "71 thou"), "the four infeed gaps lie on no"
         " plane", INFEED, more=leaves("back_lip", "28 thou", "29 thou"), may_be=True),
    Case("diagonals", {"d1": "1107 mm"}, "too long for these sides"),
    Case("diagonals", {"width": "625 mm"}, "too short for these sides"),
    Case("diagonals", {"other_width": "500 mm"}, "width and other_width: opposite sides differ",
         ("width", "other_width")),
    Case("centres", {"up": "1.2 in"}, "dents more than 1 in apart", ("across", "up")),
    Case("diagonals", {"d1": "1500 mm"}, "d1: no diagonal is as long as two sides together",
         ("d1",)),
    Case("diagonals", {"d1": "1180 mm", "d2": "973.4 mm"}, "by more than any panel racks",
         ("d1", "d2")),
    Case("drift-angle", {"offset": "21 in"}, "at the most"),
    Case("drift-angle", {"offset": "19 in"}, "offset: more than a quarter of the length",
         ("length", "offset")),
    Case("drilled-angle", {"high": "2.2 in"}, "over 10 degrees off", ("low", "high", "rise")),
    Case("drilled-angle", {"rise": "9 in"}, "rise: the square is only 6 in long", ("rise",),
         more={"against": "square"}),
    Case("edge-pair", leaves("gap", ".2", ".21"), "gap: it is more than a fifth of the thickness",
         ("gap", "thickness")),
    Case("edge-pair", {"thickness": "40 in"}, "thickness: the straightedge reaches 25 in",
         ("thickness",), more=ACROSS),
    Case("five-cut", {"length": "4 in", "a": "5 in"}, "a: the strip is wider than the"
         " board", ("a", "length")),
    Case("five-cut", {"b": "3.008 in"}, "a and b: they differ by more than a tenth",
         ("a", "b", "length")),
    Case("flatness", HOLLOW, "the gap left to right through the middle is many times the others,"
         " and the line left to right through the middle does not close", ("closing",)),
    Case("flatness", {"front_light": "middle", **leaves("front", ".020", ".021")},
         "the gap along the front edge is many times the others", ("front",), may_be=True),
    Case("flatness", {**HOLLOW, "left_light": "middle", **leaves("left", ".006", ".007")},
         "does not close: by the other six", ("closing", "left", "right", "rising", "falling")),
    Case("flip", leaves("gap", "1.9", "1.95"), "gap: it is more than a fifth of the width",
         ("gap", "width")),
    Case("flip", {"width": "9 in"}, "width: the square is only 6 in long", ("width",), more=MITRE),
    Case("flip", {"width": "6 mm"}, "larger than"),
    Case("frame", leaves("gap", "1 in", "1.1 in"), "gap: it is more than a fifth of the mitre's",
         ("width", "gap")),
    Case("frame", {"others": "no"}, "must be done before"),
    Case("frame", {"sides": "4.5"}, "whole sides"),
    Case("runout", {"high": "0"}, "high: it is lower than low", ("low", "high")),
    Case("runout", {"high": "0.19 in"}, "low and high lie farther apart than the indicator's"
         " travel, 0.118 in", ("low", "high")),
    Case("runout", {"high": "0.3 in"}, "that is no run-out", ("low", "high")),
    Case("runout", {"comes_back": "no"}, "the first reading does not come back"),
    Case("snipe", {"lead": ".790 in"}, "lead: thicker than the middle", ("middle", "lead")),
    Case("snipe", {"tail": ".4 in"}, "tail: more than a quarter thinner", ("middle", "tail")),
    Case("snipe", {"lead_length": "0"}, "lead_length: the lead end is thinner",
         ("lead", "lead_length")),
    Case("snipe", {"tail_length": "40 in"}, "tail_length: it is more than half of the board",
         ("tail_length",), sizes={"length": 1000.0}),
    Case("snipe", {"middle": "8 in", "lead": "8 in", "tail": "8 in"}, "middle, lead, tail: the"
         " calliper opens only 6 in", ("middle", "lead", "tail")),
    Case("square-flip", {"gap": "0.7 in"}, "gap: it is more than a tenth", ("gap", "at")),
    Case("square-flip", {"lies": "none"}, "gap: the lines lie on each other", ("lies", "gap")),
    Case("square-flip", {"gap": "0"}, "gap: line 1 lies to one side", ("lies", "gap")),
    Case("square-flip", {"at": "8 in"}, "at the most"),
    Case("straightness", {key: text for one in STATIONS
                          for key, text in leaves(one, ".005", ".006").items()},
         "it must touch somewhere", STATIONS),
    Case("straightness", leaves("three-quarters", ".040", ".041"), "the gap at three quarters of"
         " the way is many times the others", ("three-quarters",), may_be=True),
    Case("sweep", {"front": "1 in"}, "front and back differ by more than a tenth of the span",
         ("span", "front", "back")),
    Case("sweep", {"back": "-0.2 in"}, "back and front lie farther apart than the indicator's"
         " travel, 0.118 in", ("front", "back")),
    Case("sweep", {"comes_back": "no"}, "something slipped"),
    Case("taper", {"head": "3.1 in"}, "head and tail: they differ by over an eighth",
         ("head", "tail", "length")),
    Case("taper", {"between": "10 in"}, "between: the length lies between the centres",
         ("length", "between")),
    Case("thickness", {"left": "1.756 in"}, "left and right: they differ by over a twentieth",
         ("left", "right", "width")),
    Case("three-squares", leaves("ab", ".5", ".51"), "ab: the gap is more than a twentieth",
         ("length", "ab")),
    Case("three-squares", {"length": "12 in"}, "length: the square is only 6 in long", ("length",)),
    Case("three-straightedges", leaves("bc", ".3", ".31"), "bc: more than 3/16 in is no"
         " straightedge", ("bc",)),
    Case("timed", {"time": "-4"}, "larger than 0"),
    Case("timed", {"time": "3000"}, "it can be 900 s at the most"),
    # near - right + far - left: 4 thou, where a dial repeats to about 2 (JCGM 100, 5.1)
    Case("tram", {"near": "6 thou"}, "the middle of near and far lies 2.0 thou off that of left and"
         " right", ("near", "right", "far", "left"), may_be=True),
    Case("tram", {"near": "1 in"}, "the indicator travels 0.118 in only"),
    Case("tram", {"far": "0.080 in"}, "the middle of near and far is not the middle of left and"
         " right", ("near", "far", "left", "right")),
    Case("tram", {"radius": "1/2 in", "near": "0.055 in", "far": "-0.053 in"},
         "tilts by over 5 degrees", ("radius", "near", "far", "left", "right")),
    Case("wind", leaves("raised", ".7", ".71"), "raised: it is more than a tenth of across",
         ("across", "raised")),
    Case("wind", {"across": "24 in"}, "across: the sticks are shorter", ("sticks", "across")),
]  # fmt: skip

IMPOSSIBLE_ALONE = ("at the most", "travels", "larger than", "must be done before", "whole sides")
"""What one reading alone says: its own step refuses it."""


def alone(case: Case) -> bool:
    return any(words in case.says for words in IMPOSSIBLE_ALONE)


def name(case: Case) -> str:
    return f"{case.method}: {case.says[:30]}"


def test_every_method_of_typed_readings_is_here() -> None:
    """Of the others, the leaf-by-leaf ones are in test_answers, and what is said has no numbers."""
    others = {"square", "leaf-gap", "note", "go-no-go", "seating"}
    assert {case.method for case in CASES} | others == set(registry.names())


def again_of(step: Recheck) -> tuple[str, ...]:
    """The keys, as they were first asked, of what it offers to read again."""
    return tuple(key.partition(".")[2] for key, _ in step.implied_by)


@pytest.mark.parametrize("case", CASES, ids=name)
def test_what_contradicts_is_named_and_the_step_stays(case: Case) -> None:
    """Nothing is recorded; only what is possible at all can be kept."""
    method, job, answers = registry.method(case.method), job_of(case), right(case) | case.wrong
    if alone(case):
        with pytest.raises(StepError, match=case.says):
            walk(method, job, answers, from_file=True)
        return
    done = walk(method, job, answers, from_file=True)
    assert isinstance(done.step, Recheck), done.step
    assert not done.findings
    assert case.says in done.step.refusal
    shown = " ".join(done.step.lines).lower()
    if done.step.options[0].label == "read it again":  # its question stands there, not its name
        asked = next(one for one, _ in done.answered if one.key in again_of(done.step))
        assert asked.title.removesuffix(".").lower() in shown
        assert (case.says.lower().partition(": ")[2] or case.says.lower()) in shown
    else:
        assert case.says.lower() in shown
    assert [one.value for one in done.step.options] == ["again", "keep"][: 1 + case.may_be]
    for text in ("yes", "done", "no", "3", *(() if case.may_be else ("keep",))):
        with pytest.raises(AnswerError):
            done.step.accept(text)


@pytest.mark.parametrize("case", [one for one in CASES if not alone(one)], ids=name)
def test_only_what_was_named_is_read_again_and_then_it_goes_on(case: Case) -> None:
    """With right readings the result is the same as without the slip; a remark tells of it."""
    method, job = registry.method(case.method), job_of(case)
    again = {f"reread1.{key}": text for key, text in right(case).items() if key != "care"}
    done = walk(method, job, right(case) | case.wrong | again, from_file=True)
    assert done.step is None, done.step
    asked = {key.removeprefix("reread1.").partition(".")[0] for key in done.answers
             if key.startswith("reread1.")}  # fmt: skip
    if case.again:
        assert {one.removesuffix("_light") for one in asked} == set(case.again)
    plain = walk(method, job, right(case), from_file=True)
    found, expected = done.findings[0].outcome, plain.findings[0].outcome
    assert found.estimate == expected.estimate
    assert found.readings == expected.readings
    assert "Read again: " in found.note


@pytest.mark.parametrize("case", [one for one in CASES if one.may_be], ids=name)
def test_what_is_only_unlikely_can_be_kept_with_a_remark(case: Case) -> None:
    method, job = registry.method(case.method), job_of(case)
    done = walk(method, job, right(case) | case.wrong | {"doubt1": "keep"}, from_file=True)
    assert done.step is None, done.step
    assert f"Kept on purpose: {case.says}" in done.findings[0].outcome.note


@pytest.mark.parametrize("case", [one for one in CASES if not alone(one)], ids=name)
def test_it_all_fits_the_smallest_screen(case: Case) -> None:
    method, job = registry.method(case.method), job_of(case)
    done = walk(method, job, right(case) | case.wrong, from_file=True)
    assert done.step is not None
    drawn = step_lines(done.step, done.answered, job, "", (80, 21))
    text = " ".join(" ".join(part for part, _ in line) for line in drawn)
    for words in (done.step.title, *done.step.lines):
        assert all(word in text for word in words.split()), words
    assert isinstance(done.step, Recheck)
    for option in done.step.options:
        assert option.label in text


def test_a_method_without_contradiction_goes_straight_on() -> None:
    """So that every refusal above is for the wrong reading alone."""
    for method in GOOD:
        case = Case(method, {}, "")
        done = walk(registry.method(method), job_of(case), right(case), from_file=True)
        assert done.step is None, (method, done.step)
        assert not any(key.startswith(("doubt", "apart")) for key in done.answers)


@pytest.mark.parametrize(
    ("values", "wild"),
    [
        ({"a": 1.0, "b": 1.1, "c": 10.0}, "c"),
        ({"a": 0.0, "b": 0.0, "c": 0.2}, ""),
        ({"a": 0.0, "b": 0.0, "c": 0.3}, "c"),
        ({"a": 4.0, "b": 1.0, "c": 10.0}, ""),
        ({"a": 10.0}, ""),
        ({}, ""),
    ],
)
def test_one_gap_of_many_times_the_next(values: dict[str, float], wild: str) -> None:
    """Five times the next smaller one, which counts for two thou at the least."""
    assert far_above(values, 0.05) == wild


def test_a_panel_measured_true_is_never_refused() -> None:
    """Any panel within 5 degrees, rules off by half a millimetre each: by simulation."""
    import numpy as np

    rng = np.random.default_rng(5)
    method = registry.method("diagonals")
    for _ in range(300):
        width, length, lean = rng.uniform(200, 1300), rng.uniform(300, 2500), rng.uniform(-5, 5)
        corner = length * np.exp(1j * math.radians(90 - lean))
        ends = (0j, complex(width), width + corner, corner)
        off = rng.uniform(-0.5, 0.5, 6)
        values = {
            "d1": abs(ends[1] - ends[3]) + off[0], "d2": abs(ends[2]) + off[1],
            "width": width + off[2], "other_width": width + off[3],
            "length": length + off[4], "other_length": length + off[5],
        }  # fmt: skip
        assert method.refuse(values, {}) is None  # type: ignore[attr-defined]


WITH_CUT = f"""{SHOP}
[[drawer.calliper]]
id = "calliper"
name = "Calliper"
reach = "6 in"
within = "1 thou"

[[machine.point]]
id = "sled"
name = "Sled"
check = "five-cut"
tolerance = "5 thou/ft"
"""
WRONG = 'care = "understood"\na = "3.012 in"\nb = "1.008 in"\nlength = "16 in"\n'


def test_a_file_is_refused_with_one_line_and_read_again_it_is_recorded(program: Program) -> None:
    program.write("shop.toml", WITH_CUT)
    ran = program.check("jointer.sled", WRONG)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.endswith(
        "a and b: they differ by more than a tenth of the length; read both again\n"
    )
    assert program.results("jointer.sled") == []
    mended = f'{WRONG}[reread1]\na = "1.012 in"\nb = "1.008 in"\nlength = "16 in"\n'
    assert program.check("jointer.sled", mended).code == 0


def test_plain_lines_stay_at_the_step_until_it_is_read_again(program: Program) -> None:
    """What is wrong, both values, Enter reads them again."""
    program.write("shop.toml", WITH_CUT)
    typed = ("1", "", "", "3.012", "1.008", "16", "no", "", "1.012", "", "16", "", "")
    ran = program("check", "jointer.sled", typed="".join(f"{one}\n" for one in typed[:7]))
    assert "These readings contradict each other." in ran.out
    assert "a: 3.012 in" in ran.out
    assert ran.err.count("! ") == 1
    on = program("check", "jointer.sled", typed="\n1.012\n1.008\n16\n\n\n\n")
    assert "Recorded, as-found." in on.out
    assert "Read again: a was 3.012 in." in on.out
