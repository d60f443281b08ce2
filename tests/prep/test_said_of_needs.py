"""What is said of a point and a misfit in each case there is, at its limits; numbers by hand."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any, cast

import pytest

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.spread import Spread
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.joint_fit import JointNeeds
from shopboard.prep.known import KnownPoint
from shopboard.prep.mend import MendOption, Parts
from shopboard.prep.misfits import cannot_words
from shopboard.prep.needs import joint_needs
from shopboard.prep.needs_words import (
    cancelling_words,
    cost_words,
    fit_mark,
    fit_words,
    needed_words,
    sure_words,
)
from shopboard.prep.options import _aim, _measured_as
from shopboard.prep.present import present, time_until
from shopboard.prep.project_needs import PointNeeds, eased, project_needs
from shopboard.prep.unproven import unprovable, unproven
from shopboard.shop.project import Project
from tests.builders import make_point
from tests.prep.parts import (
    ANGLE,
    LENGTH,
    all_measured,
    joint_of,
    known_as,
    measured,
    name_of,
    wander_of,
)
from tests.prep.test_mend import misfit
from tests.standing.test_judge import NOW, record

TENTH = "shop file 1.74 mm/m (0.1 deg)"
NONE = Tolerance(0.0, 0.0, "", "yes or no")


def point_of(tolerance: Tolerance, needed: float | None, **more: Any) -> PointNeeds:
    point = make_point(tolerance=tolerance)
    known = KnownPoint(point, "Saw", "true", present(Spread(0.0)))
    asked = max(abs(tolerance.low), abs(tolerance.high))
    return PointNeeds(known, asked, needed, "", 0.1, "gap (Lid)", cancels=False)._replace(**more)


@pytest.mark.parametrize(
    ("tolerance", "needed", "words"),
    [
        (NONE, 1.0, "adds nothing, and must be a yes"),
        (ANGLE, None, f"any error that a machine can have will do; {TENTH}"),
        (ANGLE, 0.2001, f"any error that a machine can have will do; {TENTH}"),
        (ANGLE, 0.2, f"needs 202.71 mm/m (11.459°); {TENTH} is tighter"),
        (LENGTH, 0.25, "needs 0.25 mm; shop file 0.1 mm is tighter"),
        (LENGTH, 0.1, "needs 0.10 mm; shop file 0.1 mm"),
        (LENGTH, 0.05, "needs 0.05 mm: shop file 0.1 mm is too loose"),
    ],
)
def test_what_is_needed_is_told_beside_what_is_asked(
    tolerance: Tolerance, needed: float | None, words: str
) -> None:
    """No machine is out by 0.2 rad, about 11 degrees; a length may be any (common practice)."""
    assert needed_words(point_of(tolerance, needed), "mm") == words


def test_what_cancels_may_be_any_that_stays() -> None:
    words = needed_words(point_of(ANGLE, None, cancels=True), "mm")
    assert words == f"any steady error will do: it cancels; {TENTH}"


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"cost": None}, "not proven: too old"),
        ({"cost": 0.0, "cancels": True}, "costs nothing"),
        ({"cost": 0.0099}, "uses under 1 % of what is allowed: gap (Lid)"),
        ({"cost": 0.01}, "uses up to 1 % of what is allowed: gap (Lid)"),
        ({"cost": 0.0711}, "uses up to 8 % of what is allowed: gap (Lid)"),
        ({"cost": 1.2}, "uses up to 120 % of what is allowed: gap (Lid)"),
    ],
)
def test_what_a_point_costs_is_told_in_percent(more: dict[str, Any], words: str) -> None:
    one = point_of(ANGLE, None, **more)
    one = one._replace(known=one.known._replace(why="too old"))
    assert cost_words(one) == words


def test_what_is_not_known_costs_it_is_not_said_how_much() -> None:
    """Neither does what a point is without an error: both name no misfit."""
    joint = joint_of("stave ring", {"gap": 1.0})
    for one in (known_as("bevel", None, why="too old"), measured("bevel", 0.0, 0.0)):
        (found,) = project_needs(
            Project("chest", "Chest", joints=(joint,)), {name_of("bevel"): one}, 0.95
        ).points
        assert (found.cost or 0.0, found.costs) == (0.0, "")


def test_of_two_joints_that_ask_the_same_the_first_is_named() -> None:
    """As the one that needs it so true, and as the one that it costs most."""
    first = joint_of("stave ring", {"gap": 0.2})._replace(id="first", name="The first")
    again = first._replace(id="again", name="Again")
    known = all_measured(first, 0.001)
    project = Project("chest", "Chest", joints=(first, again))
    (found,) = project_needs(project, known, 0.95).points
    assert (found.needed_by, found.costs) == (
        "chest.first",
        "gap in a joint of the staves (The first)",
    )


@pytest.mark.parametrize(
    ("by_hand", "words"),
    [
        (False, "Every gap and error stays within what is allowed, 97.5 % certain."),
        (
            True,
            "Every gap and error that the machines make stays within what is allowed,"
            " 97.5 % certain.",
        ),
    ],
)
def test_how_sure_it_is_leaves_out_what_is_measured_by_hand(*, by_hand: bool, words: str) -> None:
    joint = joint_of("tenon")._replace(lengths_by_hand=by_hand)
    assert sure_words(GlueUpAnswer(JointNeeds(joint, (), (), ()), 0.975, ())) == words


def test_of_each_misfit_is_said_what_is_wanted_and_whether_it_is_asked_for() -> None:
    fit = misfit([0.1, 0.3], 0.5)
    assert fit_words(fit, "mm") == "likely 0.400 mm, at most 0.400 mm; allowed 0.5 mm"
    assert fit_words(fit._replace(limit=None), "mm") == "likely 0.400 mm, at most 0.400 mm"
    waived = fit._replace(waived="held square it closes")
    assert fit_words(waived, "mm") == fit_words(fit, "mm")  # it is as wanted anyway
    over = misfit([0.1, 0.7], 0.5)._replace(waived="held square it closes")
    assert fit_words(over, "mm").endswith("; allowed 0.5 mm, but held square it closes")
    assert (fit_mark(fit), fit_mark(waived), fit_mark(over)) == ("■", "■", "≡")


@pytest.mark.parametrize(
    ("limits", "lead"),
    [((9.0, 0.01), "Held square, every"), ((0.2, 9.0), "Pulled tight, every"), ((9, 9), "Every")],
)
def test_a_box_that_fits_one_way_alone_says_which(limits: tuple[float, float], lead: str) -> None:
    """GO stood over a gap past what was allowed, marked as if it were not."""
    joint = joint_of("carcase", {"gap": limits[0], "square": limits[1], "length": 9.0})
    known = all_measured(joint)
    known[name_of("end angle")] = measured("end angle", 1e-3, 1e-9)
    needs = joint_needs(joint, known, 0.95)
    found = GlueUpAnswer(needs, 0.95, ())
    assert sure_words(found).startswith(f"{lead} gap and error ")
    for fit in needs.fits:
        past = fit.at_most is not None and fit.limit is not None and fit.at_most > fit.limit.mm
        assert (fit_mark(fit) == "≡", ", but " in fit_words(fit, "mm")) == (past, past)


def test_what_cancels_in_a_misfit_is_told_unless_all_of_it_does() -> None:
    """Alternated, the edges' angle does nothing to the gap, in which the tables show, too."""
    joint = joint_of("panel", alternate=True)
    (words,) = cancelling_words(joint_needs(joint, all_measured(joint), 0.95))
    assert words == (
        "gap in the glue line: the error of the edge angle cancels: the faces are alternated"
    )
    plain = joint_of("panel")
    assert cancelling_words(joint_needs(plain, all_measured(plain), 0.95)) == []


@pytest.mark.parametrize("turned", [True, False])
def test_an_unproven_point_is_told_to_cancel_only_where_it_does(*, turned: bool) -> None:
    """A yes or no has no error that could."""
    joint = joint_of("panel", alternate=turned)
    edge = name_of("edge angle")
    known = {**all_measured(joint), edge: known_as("edge angle", None, why="never checked")}
    (found,) = unproven(joint_needs(joint, known, 0.95), lambda *_: 5.0, (), in_vain=False)
    plain = "Machine of edge angle: Point is unproven: never checked"
    cancels = ". Its error cancels only while it is the same in every cut"
    assert found.words == plain + cancels * turned
    yes_no = known[edge]._replace(point=make_point(edge, tolerance=NONE))
    needs = joint_needs(joint, {**known, edge: yes_no}, 0.95)
    (found,) = unproven(needs, lambda *_: 5.0, (), in_vain=False)
    assert found.words == plain


def test_what_cancels_has_no_part_in_a_misfit_and_is_not_checked_for_it() -> None:
    fit = misfit([0.4, 0.1], 0.2)
    shares = (fit.shares[0], fit.shares[1]._replace(cancels=True))
    assert Parts(fit._replace(shares=shares), 0.95).now == {"saw.p0": 0.4}
    nowhere = (fit.shares[0], fit.shares[1]._replace(point=""))
    assert Parts(fit._replace(shares=nowhere), 0.95).now == {"saw.p0": 0.4}


@pytest.mark.parametrize(
    ("unit", "best", "words"),
    [
        ("mm", 0.300, "0.3 mm"),
        ("mm", 0.301, "0.31 mm"),
        ("mm", 0.319, "0.32 mm"),
        ("inch", 5.2 * 0.0254, "6.0 thou"),
        ("inch", 7.0 * 0.0254, "7.0 thou"),
    ],
)
def test_what_to_be_content_with_is_the_next_hundredth_or_thousandth(
    unit: Any, best: float, words: str
) -> None:
    """An inch is 25.4 mm, so that a thou is 0.0254."""
    fit = misfit([best], 0.1)
    points = {"saw.p0": KnownPoint(make_point("saw.p0", tolerance=LENGTH), "Saw", "true", None)}
    needs = joint_needs(joint_of("tenon"), {}, 0.95)
    leaves = [MendOption(present(Spread(9.0)))]
    told = cannot_words(needs, fit, None, points, lambda _: leaves, lambda *_: 5.0, unit)
    assert f"accept {words} in the shop file" in told


def test_a_wander_counts_from_the_first_moment_and_never_backward() -> None:
    """A tenth a day, known to nothing else: 0.3 and 0.05 after half a day; sizes by hand."""
    wander = wander_of([(1.0, 0.1, 0.0, 0.0)])
    for time, size in ((0.5, 0.35), (0.0, 0.3), (-0.5, 0.3)):
        found = present(Spread(0.3), wander, time)
        assert found.likely == pytest.approx(size)
        assert found.bound(0.95) == pytest.approx(size, rel=1e-5)
    running = wander._replace(clock="minutes")
    assert time_until(running, NOW, NOW, NOW, (-30.0, 60.0)) == 0  # totals that were withdrawn


def test_a_random_walk_grows_by_its_time_and_an_unsure_rate_by_its_square() -> None:
    """Variances add up (JCGM 100, 5.1.2): 0.09, four times 0.04 and sixteen times 0.02."""
    found = present(Spread(0.0, (), 0.3), wander_of([(1.0, 0.0, 0.02, 0.04)]), 4.0)
    ((_, spread),) = found.parts
    assert spread.sigma**2 == pytest.approx(0.09 + 0.16 + 0.32)


def test_what_is_known_exactly_is_within_itself_and_within_no_less() -> None:
    found = present(Spread(-0.3))
    assert [found.within(size) for size in (0.2999, 0.3, 0.3001)] == [0.0, 1.0, 1.0]


@pytest.mark.parametrize(
    ("low", "high", "aim"),
    [
        (-0.1, 0.1, 0.0),
        (0.1, 0.5, 0.2),
        (-0.5, -0.1, -0.2),
        (0.1, 0.15, 0.125),
        (-0.2, 0.6, 0.0),
        (-0.05, 0.6, 0.05),
    ],
)
def test_a_point_is_set_to_the_least_error_that_can_be_proven_true(
    low: float, high: float, aim: float
) -> None:
    """Known within 0.1: so far from either limit, or in the middle where there is no such place."""
    known = record("saw.blade")._replace(expanded=0.1)
    tolerance = Tolerance(low, high, "", "length")
    assert _aim(tolerance, known) == pytest.approx(aim)
    right = cast(Any, SimpleNamespace(error=0.01))
    shown = 0.01 if low == -high else aim
    assert _measured_as(aim, right, tolerance) == pytest.approx(shown)


def test_what_rests_on_a_point_that_no_check_proves_cannot_be_proven_either() -> None:
    """The first such base is named; that it itself can hardly be proven holds nothing up."""
    joint, name = joint_of("stave ring"), name_of("bevel")
    bases = [make_point(f"saw.{one}") for one in ("table", "wing")]
    due = known_as("bevel", None, why="too old", state="due")
    due = due._replace(checks=(*bases, due.point))
    needs = joint_needs(joint, {name: due}, 0.95)
    said = {"saw.wing": "no dial is fine enough.", name: "nor is a square"}
    (found,) = unprovable(needs, lambda one: said.get(one, ""))
    assert found.words == "Machine of bevel: Point is due, and depends on Wing"
    assert (found.sort, found.to_do, found.about) == (
        "cannot",
        "Wing: no dial is fine enough",
        name,
    )
    assert unprovable(needs, lambda one: said[name] if one == name else "") == []


def test_where_nothing_is_wanted_no_error_is_too_large() -> None:
    joint = joint_of("stave ring", {"gap": 0.1})
    known = all_measured(joint)
    (fit,) = joint_needs(joint, known, 0.95).fits
    assert eased(fit, known) is not None
    assert eased(fit._replace(limit=None), known) is None
    assert eased(fit._replace(shares=(fit.shares[0]._replace(point=""),)), known) is None
