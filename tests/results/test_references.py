"""The drawer as proven: a proof takes the place of the grade; its void brings the grade back."""

from __future__ import annotations

import math
from collections.abc import Mapping

import pytest

from shopboard.checks import registry
from shopboard.journal import SqliteJournal
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.instruments import OtherTool
from shopboard.metrology.kind import Kind
from shopboard.metrology.reach import set_up
from shopboard.metrology.square import SquareReading, estimate
from shopboard.results.references import proven_drawer
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.check import resume, start
from shopboard.sittings.check_sitting import CheckSitting
from shopboard.sittings.point_job import job_for
from tests.builders import FEELERS, INCH, SQUARE_6, Person, make_point, make_shop
from tests.checks.machines import CALLIPER, DIALS
from tests.journal.helpers import Clock
from tests.sittings.test_check import go_on, waiting_in

EDGE = OtherTool("edge-24", "Straightedge, 24 in", "straightedge", 24 * INCH, 0.04)
DRAWER = DIALS._replace(others=(EDGE, CALLIPER))
FLIP = {"at": "6 in", "lies": "right", "gap": "0.006 in"}
"""Half of 6 thou over 6 in: the square shows 6 thou/ft of light at the top."""
PAIRS = {
    "ab_light": "middle",
    "ab.goes": "0.002 in",
    "ab.refused": "0.003 in",
    "ac_light": "none",
    "ac.refused": "0.0015 in",
    "bc_light": "none",
    "bc.refused": ".0015",
}


def bench(ident: str, tool: str, *checks: str, kind: Kind = "angle") -> Point:
    tolerance = Tolerance(-0.001, 0.001, "12 thou/ft", kind)
    return make_point(f"bench.{ident}", checks=checks, proves=tool, tolerance=tolerance)


SQUARE = bench("square-6", "square-6", "square-flip", "three-squares")
STRAIGHT = bench("edge", "edge-24", "three-straightedges", kind="length")
BLADE = make_point("saw.blade")


@pytest.fixture
def shop() -> Shop:
    return make_shop(BLADE, SQUARE, STRAIGHT, drawer=DRAWER)


def prove(
    journal: SqliteJournal, shop: Shop, point: Point, answers: Mapping[str, str], method: str = ""
) -> CheckSitting:
    """Do a whole check from answers; the rest as a file of answers may leave it out."""
    sitting = start(journal, shop, point, method)
    while sitting.step is not None:
        step = sitting.step
        said = answers.get(step.key, step.unasked)
        sitting.answer(said if said is not None else "1")
    return sitting


def test_the_grade_stands_until_the_square_is_proven(journal: SqliteJournal, shop: Shop) -> None:
    assert proven_drawer(shop, journal) == shop.drawer
    assert job_for(shop, BLADE, journal).drawer.squares == (SQUARE_6,)


def test_a_proof_takes_the_place_of_the_grade(journal: SqliteJournal, shop: Shop) -> None:
    sitting = prove(journal, shop, SQUARE, FLIP)
    budget = sitting.walk.findings[0].outcome.estimate.budget
    square = job_for(shop, BLADE, journal).drawer.squares[0]
    assert square.limit == 0
    assert square.known_error == pytest.approx(math.atan(0.003 / 6), abs=1e-9)
    assert square.known_u == pytest.approx(budget.expanded / 1.96, abs=1e-9)
    assert square.source.startswith("proven on ")
    proven, stated = proven_drawer(shop, journal), shop.drawer
    squares = zip(proven.squares, stated.squares, strict=True)
    assert [now.id for now, before in squares if now != before] == ["square-6"]
    assert proven.others == stated.others


def test_the_sign_of_a_proof_is_the_sign_of_a_certificate(
    journal: SqliteJournal, shop: Shop
) -> None:
    """A true face, looked at with the square just proven, comes out true.

    The blade leans toward its stock: held to a true face it shows light at the top, by its own
    error over the lever.
    """
    prove(journal, shop, SQUARE, FLIP)
    square = job_for(shop, BLADE, journal).drawer.squares[0]
    light = 0.003 * INCH
    setup = set_up(square, FEELERS, 6 * INCH)
    found = estimate(setup, SquareReading("top", light - 0.01, light + 0.01))
    assert found.error == pytest.approx(0, abs=1e-6)


def test_later_checks_take_the_proof_and_earlier_results_stay(
    journal: SqliteJournal, shop: Shop
) -> None:
    before = go_on(start(journal, shop, BLADE), Person(0.0)).recorded["record"]
    prove(journal, shop, SQUARE, FLIP)
    after = go_on(start(journal, shop, BLADE), Person(0.0)).recorded["record"]
    kept = journal.get(before.uid)
    assert kept is not None
    assert kept.body == before.body
    assert after.body["error"] != before.body["error"]


def test_a_void_proof_brings_the_grade_back(journal: SqliteJournal, shop: Shop) -> None:
    uid = prove(journal, shop, SQUARE, FLIP).recorded["record"].uid
    journal.void(uid, "lines were thick")
    assert proven_drawer(shop, journal) == shop.drawer


def test_of_two_proofs_the_newer_one_counts(journal: SqliteJournal, shop: Shop) -> None:
    """Void it, and the older one stands again."""
    prove(journal, shop, SQUARE, FLIP)
    uid = prove(journal, shop, SQUARE, {**FLIP, "gap": "0.002 in"}).recorded["record"].uid
    errors = [proven_drawer(shop, journal).squares[0].known_error]
    journal.void(uid, "a slip")
    errors.append(proven_drawer(shop, journal).squares[0].known_error)
    assert errors == pytest.approx([math.atan(0.001 / 6), math.atan(0.003 / 6)], abs=1e-9)


def test_a_straightedge_may_be_off_by_what_was_found_and_what_was_not_known(
    journal: SqliteJournal, shop: Shop
) -> None:
    sitting = prove(journal, shop, STRAIGHT, PAIRS)
    estimate_ = sitting.walk.findings[0].outcome.estimate
    edge, calliper = proven_drawer(shop, journal).others
    assert edge.limit == pytest.approx(abs(estimate_.error) + estimate_.budget.expanded, abs=1e-6)
    assert calliper == CALLIPER


def test_a_proof_of_another_tool_is_none_of_this_one(journal: SqliteJournal, shop: Shop) -> None:
    """The point proves the long square now; the result of the short one stays with the short."""
    prove(journal, shop, SQUARE, FLIP)
    long = SQUARE_6._replace(id="square-12", length=12 * INCH)
    other = make_shop(
        BLADE,
        bench("square-6", "square-12", "square-flip"),
        drawer=DRAWER._replace(squares=(SQUARE_6, long)),
    )
    assert proven_drawer(other, journal) == other.drawer


def test_an_ordinary_check_proves_no_tool(journal: SqliteJournal, shop: Shop) -> None:
    """A face that is out says nothing of the square, whatever its point claims to prove."""
    wrong = make_point("saw.blade", proves="square-6")
    go_on(start(journal, make_shop(wrong, drawer=DRAWER), wrong), Person(0.004), until="next")
    assert proven_drawer(make_shop(wrong, drawer=DRAWER), journal) == DRAWER


def test_a_check_under_way_keeps_the_drawer_it_was_begun_with(
    journal: SqliteJournal, shop: Shop, clock: Clock
) -> None:
    begun = go_on(start(journal, shop, BLADE), Person(0.0), until="light")
    prove(journal, shop, SQUARE, FLIP)
    waiting = waiting_in(journal, clock())[BLADE.full_name]
    again = resume(journal, shop, BLADE, waiting, clock())
    assert again is not None
    assert again.job.drawer == begun.job.drawer == shop.drawer


def test_few_readings_leave_a_proof_that_is_worth_less(journal: SqliteJournal, shop: Shop) -> None:
    """Three readings have k = 4.30: a later budget that takes the square as known keeps that."""
    again = {f"again{n}.{key}": text for n in (2, 3) for key, text in FLIP.items()}
    again["again3.gap"] = "0.010 in"
    said = {**FLIP, "repeat1": "yes", "repeat2": "yes", **again}
    sitting = prove(journal, shop, SQUARE, said)
    budget = sitting.walk.findings[0].outcome.estimate.budget
    square = proven_drawer(shop, journal).squares[0]
    assert budget.k > 2.3
    assert square.known_u * 1.96 == pytest.approx(budget.expanded, abs=1e-9)


def test_only_those_methods_prove_that_say_so() -> None:
    proving = {name: facts.proves for name, facts in registry.facts().items() if facts.proves}
    assert proving == {
        "square-flip": "square",
        "three-squares": "square",
        "three-straightedges": "straightedge",
    }
