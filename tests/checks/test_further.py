"""What would prove more, in order of least trouble; whether it can be had once more."""

from __future__ import annotations

import math
from collections.abc import Sequence

import pytest

from shopboard.checks.further import Proof, Way, ways
from shopboard.checks.job import CheckContext, Turn
from shopboard.checks.once_more import Before, once_more
from shopboard.checks.possible import cannot_be_run
from shopboard.metrology.instruments import Drawer, Square, SquareGrade, grade_limit
from shopboard.metrology.square import FEEL_U_MM
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from tests.builders import FEELERS, INCH, UPRIGHT, make_job
from tests.checks.cuts import cut_job

LONG = 6 * INCH
GRADES: tuple[SquareGrade, ...] = ("2", "00")
PROVEN = Proof("s", "bench.square", Estimate(0.0, Budget((Source("any", "by another", 2e-6),))))


def at_a_face(grade: SquareGrade, lever: float, turn: Turn = "no") -> CheckContext:
    square = Square("s", "The square", LONG, grade_limit(grade, LONG) / LONG)
    geometry = UPRIGHT._replace(lever=lever * INCH, turn=turn)
    return make_job(drawer=Drawer((square,), (FEELERS,)), geometry=geometry)


def told(found: Sequence[Way]) -> list[tuple[str, str, bool]]:
    return [(one.sort, one.how, one.at_hand) for one in found]


def test_a_longer_lever_tells_more_as_far_as_the_square_reaches() -> None:
    """Half as long again and twice as long, in whole inches, on a blade of 6 in."""
    where = "where there is room for it (lever in the shop file)"
    found = ways(at_a_face("00", 3), ("square",))
    assert told(found) == [
        ("tools", "", True),
        ("lever", f"with a reach of 5 in {where}", False),
        ("lever", f"with a reach of 6 in {where}", False),
    ]
    us = [one.best.budget.u for one in found]
    assert us == sorted(us, reverse=True)
    assert us[2] < 0.6 * us[0]  # nearly all of it is a gap, over twice the distance


def test_turned_over_proven_or_finer_a_coarse_square_tells_more() -> None:
    """Each takes the square's own error away, or nearly (limits of DIN 875-1 by grade)."""
    found = ways(at_a_face("2", 6), ("square",), [PROVEN])
    assert [one.sort for one in found] == ["tools", "turn", "proof", "finer square"]
    assert [one.at_hand for one in found] == [True, False, True, False]
    assert found[2].needs == ("bench.square",)
    assert found[2].how == "with The square"
    plain, turned, proven, finer = (one.best.budget.u for one in found)
    own = {name: grade_limit(name, LONG) / LONG / math.sqrt(3) for name in GRADES}
    feel = FEEL_U_MM / LONG  # of two readings it is less by root 2 (GUM 4.2.3)
    assert plain**2 - turned**2 == pytest.approx(own["2"] ** 2 + feel**2 / 2, rel=1e-6)
    assert plain**2 - proven**2 == pytest.approx(own["2"] ** 2 - 2e-6**2, rel=1e-6)
    assert plain**2 - finer**2 == pytest.approx(own["2"] ** 2 - own["00"] ** 2, rel=1e-6)


@pytest.mark.parametrize("job", [at_a_face("2", 6, "other side"), at_a_face("00", 6)])
def test_where_nothing_tells_more_nothing_is_told(job: CheckContext) -> None:
    """It is turned over already, or as fine as squares are made."""
    assert told(ways(job, ("square",), [PROVEN])) == [("tools", "", True)]
    assert once_more(Before("square", 1.0, (), {}, ()), job, ways(job, ("square",))) == ""


def test_a_wider_board_tells_more_of_a_cut_and_other_methods_come_after() -> None:
    """150 mm half as wide again and twice: 9 in and 12 in, or 230 and 300 mm."""
    found = ways(cut_job(sizes={"width": 150.0}), ("flip", "thickness", "square"))
    assert told(found) == [
        ("tools", "", True),
        ("board", "over a test board 9 in wide or more", True),
        ("board", "over a test board 12 in wide or more", True),
        ("method", "by thickness pair", True),
    ]
    assert [one.method for one in found] == ["flip", "flip", "flip", "thickness"]
    plain, wider, widest = (one.best.budget.u for one in found[:3])
    assert plain > wider > widest > plain / 2
    metric = ways(cut_job(sizes={"width": 150.0}, unit="mm"), ("flip",))
    assert [one.how for one in metric[1:]] == [
        "over a test board 230 mm wide or more",
        "over a test board 300 mm wide or more",
    ]


FLIP = cut_job(sizes={"width": 150.0})
"""The flip test over 150 mm."""


@pytest.mark.parametrize(
    ("of_usual", "width", "tools", "says"),
    [
        (1.0, 150.0, (), ""),
        (0.96, 150.0, (), ""),
        (0.5, 300.0, (), "over a test board 11.811 in wide"),
        (0.5, 300.0, ("lost",), None),
        (0.93, 160.0, (), ""),
        (0.5, 150.0, (), None),
    ],
)
def test_what_was_finer_than_usual_takes_what_made_it_so(
    of_usual: float, width: float, tools: tuple[str, ...], says: str | None
) -> None:
    """Over twice the width nearly half is left open; on the same board, by the same leaves, not."""
    found = ways(FLIP, ("flip",))
    budget = found[0].best.budget
    parts = [(one.id, one.u * of_usual) for one in budget.sources]
    readings = {"sets": [{"width": round(width * 1e6)}]}
    before = Before("flip", budget.u * of_usual, parts, readings, tools)
    assert once_more(before, FLIP, found) == says


def test_what_no_method_can_do_today_is_not_had_again() -> None:
    """Another method, or a lever that the point no longer has."""
    job = at_a_face("2", 6)
    found = ways(job, ("square",))
    budget = found[0].best.budget
    parts = [(one.id, one.u) for one in budget.sources]
    fine = Before("square", budget.u / 2, parts, {"lever_nm": round(LONG * 1e6)}, ("s", "leaves"))
    assert once_more(fine, job, found) == ""
    for lost in (
        fine._replace(method="flip"),
        fine._replace(readings={"lever_nm": round(1.2 * LONG * 1e6)}),
        fine._replace(tools=("s", "another")),
    ):
        assert once_more(lost, job, found) is None


def test_a_check_cannot_be_run_where_no_method_of_its_kind_has_its_tools() -> None:
    """The first reason is told; one method that can is enough, one of another kind is none."""
    bare = cut_job(drawer=Drawer())
    assert "square" in cannot_be_run(bare, ("square", "flip"))
    assert cannot_be_run(FLIP, ("square", "flip")) == ""
    assert cannot_be_run(bare, ("flatness",)) == ""
    assert "leaves" in cannot_be_run(bare, ("flatness", "flip"))
