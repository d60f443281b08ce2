"""Right at a limit: what is still believed there, and what is not any more.

All limits are common practice, no source; the numbers are chosen so that binary fractions meet them
to the last bit.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopboard.checks.asked import Reading, Taken
from shopboard.checks.asking import ask_readings
from shopboard.checks.contradiction import far_above
from shopboard.checks.inputs import input_of
from shopboard.checks.job import NotPossibleError
from shopboard.checks.steps import LONGEST_WORDS, AnswerError, Choice, Number, Option, Step, Words
from shopboard.checks.within_reach import (
    beyond_the_sizes,
    beyond_the_tool,
    longer_than_blade,
    longer_than_straightedge,
    with_straightedges_of,
)
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.feeler import thickest
from shopboard.metrology.instruments import OtherTool
from tests.builders import SQUARE_6
from tests.checks.cuts import cut_job
from tests.checks.machines import DIALS, INDICATOR, dial_job, measured, walked
from tests.checks.readings import KNIVES, Case, job_of

WORDS = {"flush": "flush", "open": "none", "light": "some", "knives": "four"}
EVERY = ("near", "quarter", "middle", "three-quarters", "far")
SWUNG = {"near": 0.0, "right": 0.0, "far": 0.0, "left": 0.0, "radius": 100.0}
CARRIED = {"circle": 76.0, **dict.fromkeys(KNIVES, 0.0)}
PLANED = {"middle": 20.0, "lead": 20.0, "tail": 20.0, "lead_length": 60.0, "tail_length": 60.0}
GAPS = {"front_lip": 0.5, "front_end": 0.5, "back_lip": 0.5, "back_end": 0.5}

AT = [
    ("five-cut", {"a": 60.0, "b": 20.0, "length": 400.0}, "a", 60.01),  # a tenth of the length
    ("flip", {"width": 150.0, "gap": 30.0}, "gap", 30.01),  # a fifth of the lever
    ("edge-pair", {"thickness": 20.0, "gap": 4.0}, "gap", 4.01),
    ("thickness", {"left": 35.0, "right": 20.0, "width": 300.0}, "left", 35.01),  # a twentieth
    ("drift-angle", {"length": 400.0, "offset": 100.0}, "offset", 100.01),  # a quarter
    ("drift-angle", {"length": 50.0, "offset": 0.0}, "length", 49.99),
    ("straightness", dict.fromkeys(EVERY, 0.06), "", 0.061),  # two thin leaves: it lies on nothing
    ("sweep", {"span": 200.0, "front": 20.0, "back": 0.0}, "front", 20.01),  # a tenth
    ("sweep", {"span": 20.0, "front": 0.0, "back": 0.0}, "span", 19.99),
    ("tram", {**SWUNG, "near": 0.8}, "near", 0.801),  # the middles of both pairs 0.4 mm apart
    ("tram", {**SWUNG, "radius": 10.0}, "radius", 9.99),
    ("centres", {"across": 25.0, "up": 0.0}, "across", 25.01),
    ("taper", {"head": 78.0, "tail": 38.0, "length": 320.0}, "head", 78.01),  # an eighth
    ("taper", {"head": 38.0, "tail": 38.0, "length": 300.0, "between": 300.0}, "between", 299.9),
    (
        "drilled-angle",
        {"low": 0.0, "high": 17.63, "rise": 100.0, "depth": 38.0},
        "high",
        17.64,  # 10 degrees: 17.6327 in 100
    ),
    ("wind", {"sticks": 500.0, "across": 150.0, "raised": 15.0}, "raised", 15.01),  # a tenth
    ("wind", {"sticks": 150.0, "across": 150.0, "raised": 0.0}, "sticks", 149.9),
    ("runout", {"low": 0.0, "high": 0.0, "diameter": 1.0}, "diameter", 0.99),
    ("three-straightedges", {"ab": 5.0, "ac": -5.0, "bc": 5.0}, "ac", -5.01),
    ("carry", {**CARRIED, **dict.fromkeys(KNIVES, 38.0)}, KNIVES[3], 38.01),  # half the circle
    ("coplanar", {**GAPS, "front_lip": 1.5}, "front_lip", 1.501),  # 0.25 mm off one plane
]
"""Readings that are believed, and what is not: the value named (all of them, where none is)."""


@pytest.mark.parametrize(("name", "values", "key", "wrong"), AT, ids=lambda one: str(one)[:20])
def test_at_its_limit_a_reading_is_believed(
    name: str, values: dict[str, float], key: str, wrong: float
) -> None:
    method = measured(name)
    assert method.refuse(values, WORDS) is None
    beyond = {**values, key: wrong} if key else dict.fromkeys(values, wrong)
    found = method.refuse(beyond, WORDS)
    assert found is not None
    assert not key or not found.again or key in found.again


NOT_AT = [
    ("five-cut", {"a": 30.0, "b": 30.0, "length": 30.0}),  # as wide as it is long
    ("tram", {**SWUNG, "near": 15.0, "left": 15.0}),  # over a tenth, both ways together
]


@pytest.mark.parametrize(("name", "values"), NOT_AT)
def test_what_no_machine_gives_is_refused(name: str, values: dict[str, float]) -> None:
    assert measured(name).refuse(values, WORDS) is not None


def test_many_times_the_others_begins_at_five_times_the_next() -> None:
    """Of two values as of many; below the least that counts, by that."""
    assert far_above({"a": 1.0, "b": 5.0}, 0.5) == "b"
    assert far_above({"a": 1.0, "b": 4.99}, 0.5) == ""
    assert far_above({"b": 2.5, "a": 0.25, "c": 0.0}, 0.5) == "b"
    assert far_above({"b": 2.49, "a": 0.25, "c": 0.0}, 0.5) == ""
    assert far_above({"a": 10.0, "b": 1.0}, 0.5, 10.0) == "a"
    assert far_above({"a": 9.0}, 0.5) == ""


def taken(name: str, **values: float) -> Taken:
    job = job_of(Case(name, {}, ""))
    asked = {one.key: one for one in measured(name).asked(job)}
    return Taken({key: input_of(job, asked[key], mm, {}) for key, mm in values.items()}, {})  # type: ignore[arg-type]


def test_a_tool_shows_as_much_as_it_is_long() -> None:
    """A calliper of 152.4 mm, a dial that travels 3 mm; what two dials show is 3 mm apart."""
    job = job_of(Case("thickness", {}, ""))
    asked = measured("thickness").asked(job)
    assert beyond_the_tool(job, asked, taken("thickness", left=152.4, right=10.0)) is None
    found = beyond_the_tool(job, asked, taken("thickness", left=152.5, right=10.0))
    assert found is not None
    assert found.why == "left: the calliper opens only 6 in; read again"
    dials = measured("runout").asked(job)
    assert beyond_the_tool(job, dials, taken("runout", low=-1.0, high=2.0)) is None
    found = beyond_the_tool(job, dials, taken("runout", low=-1.0, high=2.01))
    assert found is not None
    assert found.why.startswith("low and high lie farther apart than the indicator's travel, 0.118")
    assert found.again == ("low", "high")


def test_a_tape_shows_no_more_than_its_length() -> None:
    """Without one a rule that reaches is taken to be there; of two the longer counts."""
    job, values = job_of(Case("diagonals", {}, "")), {"d1": 3000.0, "d2": 3000.5}
    asked = measured("diagonals").asked(job)
    assert beyond_the_tool(job, asked, taken("diagonals", **values)) is None
    tapes = tuple(OtherTool(f"tape-{mm}", "Tape", "tape", float(mm), 0.5) for mm in (2000, 3000))
    job = job._replace(drawer=job.drawer._replace(others=(*job.drawer.others, *tapes)))
    found = beyond_the_tool(job, asked, taken("diagonals", **values))
    assert found is not None
    assert found.again == ("d2",)
    assert "the tape is only 118.11 in long" in found.why


def test_a_length_of_four_times_the_shop_files_is_doubted() -> None:
    for value, doubted in ((99.9, False), (100.0, True), (25.1, False), (25.0, True)):
        usual = 25.0 if value > 50 else 100.0
        job = job_of(Case("frame", {}, "", sizes={"width": usual}))
        read = taken("frame", width=value)
        found = beyond_the_sizes(job, measured("frame").asked(job), read)
        assert (found is not None) == doubted, value
        assert found is None or (found.may_be and found.again == ("width",))


def test_a_blade_and_a_straightedge_reach_as_far_as_a_rule_tells() -> None:
    """Half a millimetre more than they are long; a straightedge to either side of its middle."""
    job = job_of(Case("square-flip", {}, ""))
    assert longer_than_blade(job, "at", 150.5, 150.0) is None
    found = longer_than_blade(job, "at", 150.51, 150.0)
    assert found is not None
    assert found.why.startswith("at: the square is only 5.906 in long")
    assert longer_than_straightedge(job, "length", 635.5) is None  # of 1270 mm
    found = longer_than_straightedge(job, "length", 635.6)
    assert found is not None
    assert "reaches 25 in to either side" in found.why


def test_only_a_straightedge_that_reaches_is_left_in_the_drawer() -> None:
    edges = [OtherTool(f"edge-{mm:g}", "Edge", "straightedge", mm, 0.02) for mm in (500.0, 900.0)]
    job = cut_job(drawer=DIALS._replace(others=(*edges, INDICATOR)), unit="mm")
    assert with_straightedges_of(job, 500.5, "the face").drawer.others == job.drawer.others
    long = with_straightedges_of(job, 500.6, "the face").drawer.others
    assert [one.reach for one in long] == [900.0, INDICATOR.reach]
    assert with_straightedges_of(job, 900.5, "the face").drawer.others == long
    told = "the face is 901 mm, but the straightedge reaches only 900 mm: it takes a longer one"
    with pytest.raises(NotPossibleError, match=told):
        with_straightedges_of(job, 900.6, "the face")
    inch = job._replace(unit="inch")
    with pytest.raises(NotPossibleError, match=r"the face is 35 1/2 in, but .* only 35\.433 in"):
        with_straightedges_of(inch, 901.0, "the face")  # 35.47 in, up to the next quarter
    none = dial_job(Tolerance(-1, 1, "1"))
    assert with_straightedges_of(none, 5000.0, "the face") == none  # asked for where it is used


def test_a_gap_at_its_limit_is_within() -> None:
    """Between 0.25 and 0.75 mm lies half a millimetre, to the last bit."""
    for low, high, says in (
        (0.25, 0.5, "within its limits"),
        (0.5, 0.75, "within its limits"),
        (0.25, 0.49, "wider than its upper limit"),
        (0.51, 0.75, "tighter than its lower limit"),
    ):
        job = job_of(Case("leaf-gap", {}, ""))
        job = job._replace(tolerance=Tolerance(low, high, "as typed", "length"))
        done = walked("leaf-gap", job, {"goes": "0.25 mm", "refused": "0.75 mm"})
        assert done.findings[0].outcome.lean == says


def refusal(step: Step, text: str) -> str:
    with pytest.raises(AnswerError) as told:
        step.accept(text)
    return str(told.value)


LENGTH = Number(key="x", title="", unit="mm")
SIDE = Choice(key="x", title="", options=(Option("left", "to the left"), Option("right", "right")))


def test_of_what_is_no_answer_the_first_forty_characters_are_shown() -> None:
    assert refusal(SIDE, "u" * 80).startswith(f"'{'u' * 40}' is not an answer")
    assert refusal(LENGTH, "u" * 60) == f"'{'u' * 40}' is not a number"


def test_a_note_is_as_long_as_a_note_may_be() -> None:
    note = Words(key="text", title="")
    assert note.accept("n" * LONGEST_WORDS) == "n" * LONGEST_WORDS
    assert refusal(note, "n" * (LONGEST_WORDS + 1)).startswith("201 characters")
    assert refusal(note, "8" * 30) == f"{'8' * 20} alone says nothing later: write a few words"


def test_a_choice_is_told_by_its_number_or_by_what_is_near() -> None:
    """As many as there are; a held key's digits are no number."""
    assert [SIDE.accept(one) for one in ("1", "2", " LEFT ")] == ["left", "right", "left"]
    assert refusal(SIDE, "3") == "there is no answer 3 here: press 1 to 2"
    assert refusal(SIDE, "0") == "there is no answer 0 here: press 1 to 2"
    assert refusal(SIDE, "1" * 30) == "there is no answer 111111111 here: press 1 to 2"
    one = replace(SIDE, options=SIDE.options[:1])
    assert refusal(one, "2") == "there is no answer 2 here: press 1"
    assert refusal(SIDE, "rigth").endswith("it can be left, right; did you mean right?")
    assert refusal(SIDE, "above").endswith("it can be left, right")


def test_numbers_at_their_limits() -> None:
    """Two that differ by a millionth of a millimetre are the same: an inch is rounded somewhere."""
    step = replace(LENGTH, above=2.0, at_most=5.0)
    assert step.accept("5 mm") == "5 mm"
    assert step.accept("2.00001") == "2.00001 mm"
    assert refusal(step, "2") == "2 mm: it must be larger than 0"
    assert refusal(step, "5.00001").startswith("5.00001 mm: that is too large")
    equal = replace(step, may_equal=True)
    assert equal.accept("2") == "2 mm"
    assert refusal(equal, "1.99999").startswith("1.99999 mm: ")
    count = replace(LENGTH, plain="count", above=3, may_equal=True, at_most=100)
    assert [count.accept(one) for one in ("3", "100")] == ["3", "100"]
    time = replace(LENGTH, plain="s", at_most=100)
    assert time.accept("4") == "4"
    assert refusal(time, "101").startswith("101 s: ")
    assert refusal(time, "101 s").startswith("101 s: ")


def test_a_bare_number_that_is_far_too_large_in_inches_may_be_thou() -> None:
    inch = replace(LENGTH, unit="inch", at_most=2.0)
    assert refusal(inch, "5").endswith("that is too large; did you mean 5 thou?")
    assert refusal(inch, "5000").endswith("that is too large")  # nor is that
    assert refusal(inch, "5 in").endswith("that is too large")
    assert refusal(replace(inch, unit="mm"), "5").endswith("that is too large")
    below = replace(inch, above=-2.0, may_equal=True)
    assert refusal(below, "-5").endswith("did you mean -5 thou?")


def test_words_for_a_number_are_told_from_a_number_with_a_wrong_unit() -> None:
    none = replace(LENGTH, may_equal=True)
    assert refusal(LENGTH, "left") == "'left' is not a number"
    assert refusal(none, "left") == "'left' is not a number; for none write 0"
    assert refusal(replace(none, above=1.0), "left") == "'left' is not a number"
    assert refusal(replace(none, is_turns=True), "left") == "'left' is not a number"
    assert "is not a number" not in refusal(LENGTH, "5 parsec")
    assert refusal(LENGTH, "?") != "'?' is not a number"


def test_a_square_that_is_not_named_may_be_as_long_as_squares_are() -> None:
    """Two metres of blade are common practice, no source."""
    for proves, most in (("", 2000.0), (SQUARE_6.id, 152.9)):
        job = job_of(Case("square-flip", {}, ""))._replace(proves=proves)
        at = next(one for one in measured("square-flip").asked(job) if one.key == "at")
        assert isinstance(at, Reading)
        assert at.at_most == pytest.approx(most)
    for edges, most in (((), 10_000.0), (job.drawer.others, 635.5)):
        long = job._replace(drawer=job.drawer._replace(others=edges))
        length = next(one for one in measured("coplanar").asked(long) if one.key == "length")
        assert isinstance(length, Reading)
        assert length.at_most == pytest.approx(most)


def test_a_choice_of_many_is_told_by_two_digits_and_by_its_other_word() -> None:
    many = replace(SIDE, options=tuple(Option(f"way-{at}", f"the way {at}") for at in range(12)))
    assert many.accept("12") == "way-11"
    flat = replace(SIDE, options=(Option("top", "light at the tip", also="tip"),))
    assert [flat.accept(one) for one in ("tip", "top")] == ["top", "top"]
    assert refusal(flat, "tp").endswith("it can be tip; did you mean tip?")


def test_turns_are_kept_as_they_were_said() -> None:
    turned = replace(LENGTH, is_turns=True, may_equal=True, at_most=20.0)
    assert [turned.accept(one) for one in ("3/8", "135 deg", "0")] == ["3/8", "135 deg", "0"]
    inch = replace(LENGTH, unit="inch", at_most=25.4)
    assert refusal(inch, "1000").endswith("; did you mean 1000 thou?")


def test_the_thickest_leaf_that_goes_is_a_leaf() -> None:
    """Wider than that it is asked what else it was measured by."""
    job = job_of(Case("frame", {}, ""))
    gap = measured("frame").asked(job)[2]
    assert isinstance(gap, Reading)
    most = thickest(job.drawer.feelers[0])
    for goes, asked in ((most, "gap.refused"), (most + 0.01, "gap.by")):
        step = ask_readings(job, [gap], {"gap.goes": f"{goes:.4f} mm"}, "")
        assert isinstance(step, Step)
        assert step.key == asked
