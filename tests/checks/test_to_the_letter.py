"""A person who follows the instructions to the letter gets the right answer."""

from __future__ import annotations

import math

import pytest

from shopboard.checks import registry
from shopboard.checks.contradiction import Recheck
from shopboard.checks.steps import Choice, Do, Number
from shopboard.checks.walk import walk
from shopboard.metrology.carry import height_of
from shopboard.metrology.limits import parse_limits
from tests.checks.cuts import TENTH, cut_job
from tests.checks.machines import measured, walked
from tests.checks.readings import GOOD, Case, job_of, right
from tests.checks.tables import table_job
from tests.shop.test_whole_shop import POINTS

PAIR = {"care": "understood", **GOOD["edge-pair"]}


def words_of(name: str, key: str, **sizes: float) -> str:
    steps = measured(name).to_do(cut_job(sizes=sizes))
    found = next(one for one in steps if isinstance(one, Do) and one.key == key)
    return " ".join((found.title, *found.lines))


def test_edge_pair_asks_whether_both_faces_were_held_in_one_plane() -> None:
    assert "BOTH marked faces flat to one straightedge" in words_of("edge-pair", "flip")
    without = {name: text for name, text in PAIR.items() if name != "flush"}
    step = walked("edge-pair", cut_job(), {**without, "use": "edges"}).step
    assert isinstance(step, Choice)
    assert step.key == "flush"
    assert step.default is None


def test_boards_that_tipped_prove_nothing_until_they_are_held() -> None:
    tipped = {**PAIR, "flush": "tips", "open": "none", "gap.refused": ".0015"}
    done = walked("edge-pair", cut_job(), tipped)
    assert isinstance(done.step, Recheck)
    assert "hides the error" in done.step.refusal
    assert not done.findings
    held = {f"reread1.{name}": text for name, text in GOOD["edge-pair"].items()}
    again = walked("edge-pair", cut_job(), {**tipped, **held})
    assert again.findings[0].outcome.estimate.error == pytest.approx(
        math.atan(0.0055 / 0.75) / 2, rel=1e-3
    )


def test_a_check_begun_before_that_was_asked_goes_on_by_it() -> None:
    """Its answers are all there but the new one: that is asked, and then it stands where it did."""
    case = Case("edge-pair", {}, "")
    method, job = registry.method("edge-pair"), job_of(case)
    before = walk(method, job, right(case), from_file=True).used
    old = {name: text for name, text in before.items() if name != "flush"}
    asked = walk(method, job, old).step
    assert asked is not None
    assert asked.key == "flush"
    assert walk(method, job, {**old, "flush": "flush"}).used == before


def test_carry_says_which_way_and_how_far_to_turn() -> None:
    """One knife carries the rule once: a whole turn of three knives would add up three carries."""
    words = words_of("carry", "mark")
    assert "backwards by hand: at the top, the knives move to the outfeed" in words
    assert "When ONE knife has passed" in words
    once, thrice = height_of(3.0, 76.2), height_of(9.0, 76.2)
    assert thrice == pytest.approx(9 * once, rel=0.01)  # what a whole turn would be taken for


@pytest.mark.parametrize(("unit", "words"), [("inch", "2 in larger"), ("mm", "50 mm larger")])
def test_five_cut_says_how_much_larger_the_board_must_start(unit: str, words: str) -> None:
    """Kerfs of 3.2 mm, and a millimetre to spare beside each: the strip is as long as it must."""
    job = cut_job(sizes={"length": 406.4}, unit=unit)
    cut = measured("five-cut").to_do(job)[0]
    said = " ".join(cut.lines)
    assert words in said
    assert ("16 in" if unit == "inch" else "406.4 mm") in said
    kerf, start = 3.2 + 1.0, 406.4 + 50.0
    along = start - 2 * kerf  # cuts 2 and 4
    across = start - 2 * kerf  # cuts 1 and 3; of it, the fifth takes a strip
    assert along >= 406.4
    assert across - kerf - 25.4 >= 406.4  # what is left still lies well at the fence


def test_a_gap_that_no_leaves_fill_is_measured_by_rule_or_calliper() -> None:
    """A frame of 60 mm stock, open by 5 mm at the toe."""
    given = {"care": "understood", "open": "toe", "width": "60 mm", "gap.goes": "5 mm"}
    goes = walked("frame", cut_job(), {**given, "gap.goes": ""} | {"gap.goes": "1 mm"}).step
    assert goes is not None
    assert goes.key == "gap.refused"  # 1 mm is a stack: the next leaf is asked
    step = walked("frame", cut_job(), given).step
    assert isinstance(step, Choice)
    assert step.key == "gap.by"
    assert [one.value for one in step.options] == ["calliper", "rule", "leaves"]
    u = {}
    for by in ("calliper", "rule"):
        done = walked("frame", cut_job(), {**given, "gap.by": by})
        found = done.findings[0].outcome.estimate
        face = 60 * math.sqrt(2)
        assert found.error == pytest.approx(math.asin(5 / (2 * face)) / 4, rel=1e-6)
        u[by] = found.budget.u
        assert any(f"gap, the {by}" == one.name for one in found.budget.sources)
    assert u["calliper"] < u["rule"]


def test_both_leaves_typed_stay_leaves_however_thick() -> None:
    """A file of answers of before, and a stack of more leaves than the shop file says."""
    given = {"care": "understood", "open": "toe", "width": "60 mm"}
    two = {"gap.goes": "2 mm", "gap.refused": "2.05 mm"}
    done = walked("frame", cut_job(), {**given, **two})
    assert done.findings[0].outcome.readings["sets"][0]["gap"] == 2_025_000  # type: ignore[index]


def test_without_a_calliper_the_rule_is_left() -> None:
    job = table_job(tolerance=TENTH)
    given = {"care": "understood", "open": "toe", "width": "60 mm", "gap.goes": "5 mm"}
    step = walked("frame", job, given).step
    assert isinstance(step, Choice)
    assert "calliper" not in [one.value for one in step.options]


def test_the_sample_says_on_which_side_of_the_slot_the_fence_stands() -> None:
    """Plus is "front nearer to the slot": with the fence beyond it, that opens toward the back."""
    line = next(one for one in POINTS if one.id == "fence-line")
    assert "to the right of this slot" in line.geometry.face
    assert "opens toward the back" in line.geometry.light_at_top


@pytest.mark.parametrize("name", ["sweep", "tram"])
def test_a_dial_that_counts_backward_is_typed_with_a_minus(name: str) -> None:
    """Where the reading falls as the tip goes in, plus and minus would be swapped."""
    words = words_of(name, "mount")
    assert "the reading must grow; if it falls, type each with a minus" in words
    method = measured(name)
    values = {"front": 0.05, "back": 0.01, "span": 200.0}
    if name == "tram":
        values = {"near": 0.0, "right": 0.02, "far": 0.05, "left": 0.03, "radius": 100.0}
    fixed = ("span", "radius")
    other = {key: mm if key in fixed else -mm for key, mm in values.items()}  # as it shows
    typed = {key: mm if key in fixed else -mm for key, mm in other.items()}  # as it is typed
    assert method.adds(typed, {}) == method.adds(values, {})
    assert method.adds(other, {}) != method.adds(values, {})


def test_pieces_that_turn_over_or_round_are_marked_and_kept() -> None:
    """Flipped instead of turned, a five-cut board swaps the sign; unmarked halves look alike."""
    assert "the same face up throughout" in words_of("five-cut", "cut")
    assert "Mark its edge at the fence" in words_of("flip", "cut")
    on_edge = next(one for one in measured("flip").uses if one.name == "on-edge")  # type: ignore[attr-defined]
    assert "mark the bottom edge" in on_edge.steps[0].title


def test_snipe_is_measured_along_one_line() -> None:
    """A planer whose bed leans 4 thou/ft makes 3 thou of it over 9 in, without any snipe."""
    assert "All three thicknesses along one line" in words_of("snipe", "plane")


@pytest.mark.parametrize("name", ["square", "leaf-gap"])
def test_leaf_by_leaf_a_gap_that_none_fills_is_held_by_what_else_measures_it(name: str) -> None:
    """No leaf is left that won't go: the least and the most that it can be are typed."""
    limits = TENTH if name == "square" else parse_limits("0.1 to 0.3 mm")
    job = cut_job(tolerance=limits)
    job = job._replace(geometry=job.geometry._replace(lever=150.0))
    said = {"light": "top", "leaf1": "typed"}
    if name == "square":
        said |= {"tools": "square-6 with leaves"}
    step = walked(name, job, said).step
    assert isinstance(step, Number)
    assert "the least that it can be, by calliper or rule" in " ".join(step.lines)
    step = walked(name, job, {**said, "goes": "3 mm"}).step
    assert isinstance(step, Number)
    assert "the most that it can be, by calliper or rule" in " ".join(step.lines)
    done = walked(name, job, {**said, "goes": "3 mm", "refused": "4 mm"})
    found = done.findings[0].outcome.estimate
    per_mm = 150.0 if name == "square" else 1.0
    assert math.tan(found.error) * per_mm == pytest.approx(
        3.5 if name == "square" else math.tan(3.5), rel=1e-3
    )
