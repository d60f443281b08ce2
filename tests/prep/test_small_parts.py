"""Small parts of what a joint needs and a day holds, each by hand or by plain geometry."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any, cast

import pytest

from shopboard.metrology.spread import Spread
from shopboard.prep.effects import effects_of
from shopboard.prep.joint_fit import JointFit, JointNeeds
from shopboard.prep.known import a_day
from shopboard.prep.mend import Mend, MendOption, find_mend, least
from shopboard.prep.needs import MEASURED_BY_HAND, joint_needs
from shopboard.prep.needs_words import STANDS_MARKS, fit_mark, fit_words
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.prep.plan_words import done_by
from shopboard.prep.present import present
from shopboard.prep.room import room_for
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.shortest_day import schedule
from tests.prep.parts import all_measured, joint_of, known_as, name_of
from tests.prep.test_mend import exactly, misfit

NOON = datetime(2026, 6, 1, 12, tzinfo=UTC)


def leaving(size: float, **more: Any) -> MendOption:
    """A check after which an error may be so large, and surely no larger."""
    return MendOption(present(Spread(size, (), 0.0)), **more)


def test_what_is_left_out_is_nothing() -> None:
    assert Job("a", 5) == Job("a", 5, "", "", "", (), 0, 0, "", "", False, math.inf)
    assert Workday(()) == Workday((), {}, {}, False, "", "")
    piece = Piece("p", "task", "saw", "P", 5.0)
    assert piece == Piece("p", "task", "saw", "P", 5.0, "", "", "", (0, 0), 0, 0.0, "")
    assert PlanLine(piece, NOON, NOON) == PlanLine(piece, NOON, NOON, 0.0, 0.0, 0.0, 0.0, "")
    plan = DayPlan((), NOON, NOON)
    assert plan == DayPlan((), NOON, NOON, None, None, (), 0.0, 0.0, "", ())
    needs = JointNeeds(joint_of("tenon"), (), (), ())
    assert (needs.refused, needs.no_frame, needs.level, needs.each) == ("", False, 0.0, 0.0)


def test_a_change_that_the_shop_tells_no_minutes_of_costs_none() -> None:
    jobs = (Job("a", 5, body="combi", mode="saw"), Job("b", 5, body="combi", mode="plane"))
    plan = schedule(Workday(jobs, {}, {"combi": "saw"}))
    assert plan.finish == plan.bound == 10


def test_three_modes_of_which_none_is_known_cost_the_two_cheaper_changes() -> None:
    """It begins in the dearest; by hand."""
    modes = {"saw": 5.0, "plane": 8.0, "bore": 3.0}
    jobs = tuple(Job(mode, 10, body="combi", mode=mode) for mode in modes)
    other = Job("other", 7, body="lathe", mode="turn")
    change = {("combi", mode): cost for mode, cost in modes.items()} | {("lathe", "turn"): 4.0}
    plan = schedule(Workday((*jobs, other), change, {"lathe": "face"}))
    assert plan.finish == plan.bound == 3 * 10 + 7 + 5 + 3 + 4


def test_room_is_shared_by_what_the_checks_leave_open_be_it_too_little() -> None:
    """Of 90 um: what stays as it is takes 30; two checks leave 20 and 40 open, or 60 and 120."""
    fit = misfit([0.1, 0.1, 0.03], 0.09)
    for times in (1.0, 3.0):
        chosen = {"saw.p0": leaving(0.02 * times), "saw.p1": leaving(0.04 * times)}
        found = room_for(fit, 0.95, chosen)
        assert found == pytest.approx({"saw.p0": 0.02, "saw.p1": 0.04}, rel=1e-9)
    assert room_for(fit._replace(limit=None), 0.95, chosen) == {}
    assert room_for(fit, 0.95, {"saw.other": leaving(0.02)}) == {}
    assert room_for(fit, 0.95, {"saw.p0": leaving(0.02)}) == {"saw.p0": 0.0}  # 130 stay
    tiny = {"saw.p0": leaving(1e-9), "saw.other": leaving(0.5)}
    assert room_for(misfit([0.1], 0.09), 0.95, tiny) == {}  # it does not matter


def test_the_least_that_can_be_proven_is_what_is_known_or_what_a_check_leaves() -> None:
    fit = misfit([0.1, 0.02], 0.05)
    ways = {"saw.p0": [leaving(0.04), leaving(0.01, at_hand=False)], "saw.p1": [leaving(0.03)]}
    assert least(fit, 0.95, ways.__getitem__) == pytest.approx(0.04 + 0.02, rel=1e-5)
    any_way = least(fit, 0.95, ways.__getitem__, at_hand=False)
    assert any_way == pytest.approx(0.01 + 0.02, rel=1e-5)
    unknown = fit._replace(shares=(fit.shares[0]._replace(at_most=None), fit.shares[1]))
    assert least(unknown, 0.95, lambda _: []) is None
    assert least(fit, 0.95, lambda _: []) == pytest.approx(0.12)


def test_what_makes_most_of_it_is_checked_first_and_what_is_not_known_in_any_case() -> None:
    fit = misfit([0.02, 0.1, 0.06], 0.03)
    found = find_mend(fit, 0.95, exactly, lambda _: 5.0)
    assert found is not None
    assert found.points == ("saw.p1", "saw.p2")
    shares = (fit.shares[0]._replace(at_most=None), *fit.shares[1:])
    found = find_mend(fit._replace(shares=shares), 0.95, exactly, lambda _: 5.0)
    assert found is not None
    assert found.points == ("saw.p1", "saw.p2", "saw.p0")
    blind = {"saw.p0": [], "saw.p1": exactly(""), "saw.p2": exactly("")}
    assert find_mend(fit._replace(shares=shares), 0.95, blind.__getitem__, lambda _: 5.0) is None
    found = find_mend(fit, 0.95, blind.__getitem__, lambda _: 5.0)
    assert found is not None  # the point that nobody can check stays as it is
    assert found.points == ("saw.p1", "saw.p2")
    assert find_mend(fit._replace(limit=None), 0.95, exactly, lambda _: 5.0) == Mend({})


def test_a_misfit_has_a_mark_for_how_it_stands() -> None:
    joint = joint_of("panel", {"gap": 0.15, "cup": 0.4}, alternate=True)
    gap, cup = joint_needs(joint, all_measured(joint), 0.95).fits
    assert (cup.cancels, gap.fits) == (True, True)
    assert cup._replace(limit=None, waived="").cancels

    def marked(fit: JointFit) -> str:
        return next(word for word, mark in STANDS_MARKS.items() if mark == fit_mark(fit))

    assert (marked(gap), marked(cup)) == ("fits", "fits")
    wide = joint_needs(joint, all_measured(joint, 0.01), 0.95).fits[0]
    assert marked(wide) == "may not fit"
    known = {**all_measured(joint), name_of("edge line"): known_as("edge line", None)}
    unknown = joint_needs(joint, known, 0.95).fits[0]
    assert marked(unknown) == "not proven"
    assert fit_words(unknown, "mm").startswith("not proven; allowed ")
    by_hand = gap._replace(shares=(), waived=MEASURED_BY_HAND)
    assert marked(by_hand) == "by hand"
    assert fit_words(by_hand, "mm") == MEASURED_BY_HAND


def test_one_point_has_all_the_risk_to_itself() -> None:
    """Bonferroni's of one; two share it."""
    ring = joint_of("stave ring")
    assert joint_needs(ring, all_measured(ring), 0.95).each == pytest.approx(0.95)
    panel = joint_of("panel")
    assert joint_needs(panel, all_measured(panel), 0.95).each == pytest.approx(0.975)


def test_a_stop_is_touched_over_75_mm_at_the_most() -> None:
    """The widest face of a stop: common practice, no source."""
    for depth, face in ((300.0, 75.0), (40.0, 40.0)):
        joint = joint_of("carcase")
        joint = joint._replace(sizes={**joint.sizes, "depth": depth})
        effect = next(one for one in effects_of(joint, {}) if one.fit == "length")
        (term,) = effect.terms
        assert term.work(0.01) == pytest.approx(face * math.tan(0.01))


def test_a_frame_closed_corner_by_corner_leans_by_the_two_errors_of_a_corner() -> None:
    """The diagonals of a parallelogram by the law of cosines; the face of a mitre is w sqrt(2)."""
    joint = joint_of("frame", closed="last corner")
    gap, square, _ = effects_of(joint, {"mitre": ("length", "angle")})
    assert gap.words == "gap in the last mitre"
    assert effects_of(joint_of("frame"), {})[0].words == "gap in a mitre"
    long, short = joint.sizes["length"], joint.sizes["other_length"]

    def apart(lean: float) -> float:
        both, twice = long**2 + short**2, 2 * long * short * math.sin(lean)
        return math.sqrt(both + twice) - math.sqrt(both - twice)

    by_length, by_angle = square.terms
    assert by_angle.work(0.002) == pytest.approx(apart(0.004), rel=1e-6)
    out = math.atan(0.3 / (joint.sizes["width"] * math.sqrt(2)))
    assert by_length.work(0.3) == pytest.approx(apart(2 * out), rel=1e-3)


def test_what_turns_two_fences_alike_makes_up_for_itself() -> None:
    """What a whole frame tells does not: how far the two are from square to each other."""
    joint = joint_of("frame", closed="last corner")._replace(two_fences=True)
    for effect in effects_of(joint, {"mitre": ("angle", "pair")})[:2]:
        alone, both = (one for one in effect.terms if one.shows_in == "mitre")
        assert (alone.cancels, alone.work(0.01), alone.work(0.0)) == (True, 0, 0)
        assert not both.cancels
        assert both.work(0.01) > 0


def test_how_long_a_machine_runs_a_day() -> None:
    """Of the changes that tell it: 60 + 120 minutes in 2 + 4 days."""

    def outlook(*told: tuple[float | None, float]) -> Any:
        changes = (SimpleNamespace(minutes=minutes, days=days) for minutes, days in told)
        return cast(Any, SimpleNamespace(found=[SimpleNamespace(change=one) for one in changes]))

    assert a_day(outlook((60.0, 2.0), (None, 50.0), (120.0, 4.0))) == 30
    assert a_day(outlook()) == a_day(outlook((None, 3.0))) == a_day(outlook((5.0, 0.0))) == 0


def ends_at_noon(later: float | None, first_said: datetime) -> SimpleNamespace:
    """Give what is told of the end of a day."""
    day = SimpleNamespace(finish=first_said, told=None)
    told = {"finish": NOON, "now": NOON, "later": later, "quiet_since": None, "away": 0}
    return SimpleNamespace(**told, day=day, fewer=0)


def test_of_another_day_than_was_first_said_the_first_is_told() -> None:
    """The nights between are no minutes that anybody was late."""
    plan = cast(Any, ends_at_noon(24 * 60.0, NOON - timedelta(days=1)))
    assert "later" not in done_by(plan)
    assert ", planned for " in done_by(plan)


@pytest.mark.parametrize(
    ("later", "words"),
    [
        (None, ""),
        (0.9, ", on schedule"),
        (-0.9, ", on schedule"),
        (1, ", 1 min later than planned"),
        (-1, ", 1 min sooner than planned"),
    ],
)
def test_how_the_end_of_a_day_differs_from_what_was_first_said(
    later: float | None, words: str
) -> None:
    plan = cast(Any, ends_at_noon(later, NOON))
    said = done_by(plan)
    assert said.startswith("done by ")
    assert said.removeprefix("done by ").lstrip("0123456789: apm") == words
