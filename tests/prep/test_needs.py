"""What a project needs: bounds by simulation, tolerances by what they give, what costs most."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.metrology.spread import Spread
from shopboard.prep.needs import joint_needs
from shopboard.prep.needs_words import cancelling_words, cost_words, fit_words, needed_words
from shopboard.prep.present import present
from shopboard.prep.project_needs import asked_of, eased, project_needs, wanted_fits
from shopboard.shop.project import Joint, JointKind, Project, ShowsIn
from tests.in_turn import part
from tests.prep.parts import (
    ANGLE,
    JOINTS,
    KINDS,
    LENGTHS,
    all_measured,
    joint_of,
    known_as,
    measured,
    name_of,
    wander_of,
)


@settings(deadline=None, max_examples=part(40))
@given(JOINTS, st.integers(0, 1000), st.sampled_from([0.9, 0.95]))
def test_the_true_misfit_is_below_at_most_as_often_as_said(
    joint: Joint, seed: int, level: float
) -> None:
    """True errors are drawn from what is known of them: all effects of a joint hold together."""
    rng, count = np.random.default_rng(seed), 4000
    known, errors = {}, {}
    for cut, (name,) in joint.points.items():
        unit = 0.03 if cut in LENGTHS else 3e-4
        centre, half, sigma = rng.normal(0, unit), rng.uniform(0, unit), rng.uniform(0, unit)
        rate, growth = rng.normal(0, unit / 4), (unit / 5) ** 2
        wander = wander_of([(1.0, rate, 0.0, growth)])
        known[name] = known_as(cut, present(Spread(centre, (half,), sigma), wander, 4.0))
        drawn = centre + rng.uniform(-half, half, count) + rng.normal(0, sigma, count)
        errors[cut] = drawn + rate * 4 + rng.normal(0, math.sqrt(4 * growth), count)
    needs = joint_needs(joint, known, level)
    holds = np.ones(count, dtype=bool)
    for fit in needs.fits:
        true = sum(
            np.array([term.work(abs(one)) for one in errors[term.shows_in]])
            for term in fit.effect.terms
            if not term.cancels
        )
        assert fit.at_most is not None
        holds &= true <= fit.at_most + 1e-12
    assert holds.mean() > level - 4 * math.sqrt(level * (1 - level) / count)


@pytest.mark.parametrize("kind", KINDS)
def test_holding_exactly_what_is_needed_gives_exactly_what_is_wanted(kind: JointKind) -> None:
    """Errors as large as each effect allows add up to its limit, no less."""
    joint = joint_of(kind, {"gap": 0.15, "cup": 0.4, "square": 0.4, "length": 0.2})
    known = all_measured(joint)
    needs = joint_needs(joint, known, 0.95)
    seen = 0
    for fit in needs.fits:
        factor = eased(fit, known)
        assert fit.limit is not None
        if factor is None:
            continue
        seen += 1
        sizes = [
            (term, factor * asked_of(known[joint.points[term.shows_in][term.at]].point.tolerance))
            for term in fit.effect.terms
        ]
        assert sum(term.work(size) for term, size in sizes) == pytest.approx(fit.limit.mm, 1e-9)
    assert seen


@pytest.mark.parametrize("kind", KINDS)
def test_no_joint_asks_for_more_when_every_point_holds_what_the_project_needs(
    kind: JointKind,
) -> None:
    """The least over all effects: none passes its limit, and one of them just meets it.

    Of a box, held square or pulled tight: the easier of the two is enough.
    """
    joint = joint_of(kind)
    known = all_measured(joint)
    needs = project_needs(Project("chest", "Chest", joints=(joint,)), known, 0.95)
    needed = {one.known.full_name: one.needed for one in needs.points}
    ratios = []
    for fit in wanted_fits(needs.joints[0].fits, known):
        assert fit.limit is not None
        sizes = [
            (term, needed[share.point])
            for term, share in zip(fit.effect.terms, fit.shares, strict=True)
            if not share.cancels
        ]
        ratios.append(sum(term.work(size or 0.0) for term, size in sizes) / fit.limit.mm)
    assert max(ratios) == pytest.approx(1.0, rel=1e-6)


@pytest.mark.parametrize("limits", [(0.15, 0.8), (0.8, 0.15)])
def test_what_a_box_needs_follows_from_no_result(limits: tuple[float, float]) -> None:
    """A blade a little off made its own need wider: with the gap given up, only the lean counted.

    The easier way to close it, by hand: pulled tight, a board of 300 mm and ends of 200 may lean by
    0.8 / (2 x 300 x 200 / hypot(300, 200)) = 2.4 mrad; held square, by a part of 0.8 / 300 = 2.67.
    """
    gap, square = limits
    joint = joint_of("carcase", {"gap": gap, "square": square, "length": 9.0})
    end = name_of("end angle")
    never = {**all_measured(joint), end: known_as("end angle", None, why="never checked")}
    found = []
    for error in (None, 0.0, 4e-4, 1.2e-3, 2e-3, 0.01):
        known = never if error is None else {**never, end: measured("end angle", error, 1e-6)}
        needs = project_needs(Project("chest", "Chest", joints=(joint,)), known, 0.95)
        found.append({one.known.full_name: one.needed for one in needs.points})
    assert all(one == found[0] for one in found)
    if square > gap:
        by_hand = square / (2 * 300 * 200 / math.hypot(300, 200))
        assert found[0][end] == pytest.approx(by_hand, rel=1e-3)
    else:
        assert square / 332 < (found[0][end] or 0.0) < gap / 300


def test_four_mitres_of_a_frame_by_hand() -> None:
    """Eight errors in the corner of 100 mm stock: 2 * 100 * sqrt(2) * sin(4 e), as drawn on paper.

    The crooked faces are a little longer than straight ones, by less than a thousandth here.
    """
    joint = joint_of("frame", {"gap": 0.15}, alternate=True, closed="last corner")
    known = {
        name_of("mitre"): measured("mitre", 4e-4, 0.0),
        name_of("end tilt"): measured("end tilt", 0.0, 0.0),
        name_of("length"): measured("length", 0.0, 0.0),
    }
    fit = joint_needs(joint, known, 0.95).fits[0]
    assert fit.at_most == pytest.approx(2 * 100 * math.sqrt(2) * math.sin(4 * 4e-4), rel=1e-3)
    assert fit.likely == pytest.approx(fit.at_most, rel=1e-5)


def test_what_cancels_costs_nothing_and_is_said() -> None:
    """A panel of boards with faces alternated: its edges' angle does nothing, however large."""
    joint = joint_of("panel", alternate=True)
    known = all_measured(joint)
    known[name_of("edge angle")] = measured("edge angle", 0.02, 1e-4)
    needs = project_needs(Project("chest", "Chest", joints=(joint,)), known, 0.95)
    gap, cup = needs.joints[0].fits
    assert cup.cancels
    assert cup.at_most == 0
    assert fit_words(cup, "inch") == "cancels: the faces are alternated"
    assert gap.effect.words in cancelling_words(needs.joints[0])[0]
    last = needs.points[-1]
    assert (last.known.full_name, last.cancels, last.cost) == (name_of("edge angle"), True, 0.0)
    assert cost_words(last) == "costs nothing"
    assert "cancels" in needed_words(last, "inch")


def test_the_costliest_comes_first_and_what_is_not_known_before_it() -> None:
    joint = joint_of("carcase")
    known = all_measured(joint, 1e-5)
    known[name_of("end tilt")] = measured("end tilt", 3e-3, 1e-5)
    project = Project("chest", "Chest", joints=(joint,))

    def order() -> list[str]:
        return [one.known.full_name for one in project_needs(project, known, 0.95).points]

    assert order()[0] == name_of("end tilt")
    costliest, *_, cheapest = project_needs(project, known, 0.95).points
    assert costliest.cost is not None
    share = f"uses up to {round(100 * costliest.cost)} % of what is allowed: "
    assert cost_words(costliest).startswith(share)
    assert cost_words(costliest).endswith("(The joint)")
    assert cost_words(cheapest._replace(cost=1e-4)).startswith("uses under 1 % of what is")
    known[name_of("length")] = known_as("length", None, why="never checked")
    assert order()[:2] == [name_of("length"), name_of("end tilt")]
    needs = project_needs(project, known, 0.95)
    assert cost_words(needs.points[0]) == "not proven: never checked"
    assert needs.joints[0].stands == "not proven"


@given(st.floats(0.3, 3.0))
def test_the_tolerance_is_told_beside_that_of_the_shop_file(wanted: float) -> None:
    """Tighter than it exactly when that of the shop file gives more than is wanted."""
    joint = joint_of("stave ring", {"gap": wanted})
    known = all_measured(joint)
    needs = project_needs(Project("chest", "Chest", joints=(joint,)), known, 0.95)
    (one,) = needs.points
    fit = needs.joints[0].fits[0]
    at_the_limit = sum(term.work(ANGLE.high) for term in fit.effect.terms)
    assert one.tighter == (at_the_limit > wanted)
    assert ("is too loose" in needed_words(one, "mm")) == one.tighter


def test_one_limit_on_one_side_is_asked_by_its_size() -> None:
    """0 to 0.2 deg allows an error of 0.2 deg, not of half of that."""
    assert asked_of(ANGLE._replace(low=0.0, high=0.004)) == 0.004
    assert asked_of(ANGLE._replace(low=-0.003, high=0.0)) == 0.003


def test_a_cut_in_which_nothing_shows_is_named() -> None:
    joint = joint_of("veneer")
    cut: ShowsIn = "resaw"
    joint = joint._replace(points={k: v for k, v in joint.points.items() if k != cut})
    needs = joint_needs(joint, all_measured(joint), 0.95)
    assert (needs.missing, needs.stands) == ((cut,), "not proven")
    assert all(fit.at_most is None and not fit.fits for fit in needs.fits)


def test_sizes_that_make_no_joint_leave_it_unproven() -> None:
    joint = joint_of("panel")._replace(pieces=1)
    needs = joint_needs(joint, all_measured(joint), 0.95)
    assert (needs.fits, needs.stands) == ((), "not proven")
    assert "at least 2" in needs.refused


def test_needs_keep_the_day_they_are_for() -> None:
    project = Project("chest", "Chest", joints=(joint_of("tenon"),), start=date(2026, 12, 7))
    assert project_needs(project, {}, 0.95, project.start).day == date(2026, 12, 7)
