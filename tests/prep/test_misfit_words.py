"""What is said of a misfit that is too large or cannot be proven, and of a point not gone by."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from shopboard.metrology.spread import IN_WORK, Spread
from shopboard.prep.in_the_way import why_unknown
from shopboard.prep.joint_fit import JointFit
from shopboard.prep.known import KnownPoint, _stands
from shopboard.prep.mend import Mend, MendOption
from shopboard.prep.misfits import cannot_words, misfit_reasons
from shopboard.prep.needs import joint_needs
from shopboard.prep.open_misfits import OpenMisfit
from shopboard.prep.present import present
from shopboard.prep.reason import Reason
from shopboard.results.record import Holds
from shopboard.standing.model import PointStanding, State
from tests.builders import make_point
from tests.prep.parts import LENGTH, all_measured, joint_of, name_of
from tests.prep.test_mend import misfit
from tests.standing.test_judge import record

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
POINTS = {
    f"saw.p{at}": KnownPoint(make_point(f"saw.p{at}", tolerance=LENGTH), "Saw", "true", None)
    for at in range(3)
}
NEEDS = joint_needs(joint_of("tenon"), {}, 0.95)


def leaves(size: float, **more: Any) -> MendOption:
    return MendOption(present(Spread(size, (), 0.0)), **more)


def five(_: str, method: str = "") -> float:
    return 7.0 if method else 5.0


def reasons(*asked: tuple[JointFit, Mend | None]) -> list[Reason]:
    """What is said of misfits whose points can all be checked, to nothing left open."""
    mends = [OpenMisfit(fit, fit.limit, mend) for fit, mend in asked if fit.limit is not None]
    return misfit_reasons(NEEDS, POINTS, mends, lambda _: [leaves(0.0)], five, "mm")


def test_a_misfit_too_large_is_told_with_what_makes_most_of_it_and_what_to_check() -> None:
    """By hand: 0.4 + 0.7 + 0.1 are 1.2 mm; the worst by what is wanted comes first."""
    wide, alone = misfit([0.4, 0.7, 0.1], 0.5), misfit([0.3], 0.1)
    mend = Mend({"saw.p1": leaves(0.0), "saw.p0": leaves(0.0)})
    worst, other = reasons((wide, mend), (alone, Mend({"saw.p0": leaves(0.0)})))
    assert worst.misfit == worst.words == "Gap can be 0.300 mm, at most 0.1 mm is allowed"
    assert worst.to_do == "check Saw: P0, and set it right"
    assert (worst.sort, worst.about, worst.minutes, worst.short) == (
        "too much", "saw.p0", 5.0, "P0",
    )  # fmt: skip
    assert other.misfit == "Gap can be 1.20 mm, at most 0.5 mm is allowed"
    assert other.words == f"{other.misfit}. Saw: P1 accounts for most of it: 0.70 mm"
    assert other.to_do == "check Saw: P1, then Saw: P0, and set them right"
    assert (other.points, other.minutes) == (("saw.p1", "saw.p0"), 10.0)
    enough = misfit([0.3], 0.3)
    assert reasons((enough, Mend({"saw.p0": leaves(0.0)}))) == []
    assert enough.limit is not None
    (share,) = enough.shares
    assert enough._replace(shares=(share._replace(at_most=enough.limit.most),)).fits


@pytest.mark.parametrize(
    ("sizes", "words"),
    [
        ([0.4, 0.1, 0.4], "Saw: P0 accounts for 0.400 mm of it, Saw: P2 for 0.400 mm"),
        ([0.3, 0.3, 0.3], "Saw: P0 accounts for 0.300 mm of it, Saw: P1 for 0.300 mm,"
         " Saw: P2 for 0.300 mm"),
        ([0.3, 0.3], "Saw: P0 accounts for 0.300 mm of it, Saw: P1 for 0.300 mm"),
        ([0.2, 0.3, 0.4], "Saw: P2 accounts for 0.400 mm of it, Saw: P1 for 0.300 mm"),
        ([0.2, 0.1, 0.4], "Saw: P2 accounts for most of it: 0.400 mm"),
    ],
)  # fmt: skip
def test_half_of_a_misfit_is_not_most_of_it(sizes: list[float], words: str) -> None:
    """Those that make more than half of it together are named, and who makes as much as they."""
    (found,) = reasons((misfit(sizes, 0.1), Mend({"saw.p0": leaves(0.0)})))
    assert found.words == f"{found.misfit}. {words}"
    assert found.about == words[5:7].lower().join(("saw.", ""))


def test_what_two_checks_wait_for_is_told_and_counted_once() -> None:
    proven = {"first": ("bench.square",), "first_name": "Bench: Square", "how": "with Square"}
    one = leaves(0.0, sort="proof", method="square", **proven)
    (found,) = reasons((misfit([0.4, 0.7], 0.5), Mend({"saw.p1": one, "saw.p0": one})))
    told = "Bench: Square, then Saw: P1 with Square, then Saw: P0 with Square"
    assert found.to_do == f"check {told}, and set them right"
    assert (found.points[0], found.short) == ("bench.square", "Square")
    assert found.minutes == 5 + 7 + 7
    assert found.methods == {"saw.p1": "square", "saw.p0": "square"}


def cannot(
    fit: JointFit, options: Mapping[str, Sequence[MendOption]], mend: Mend | None = None
) -> str:
    return cannot_words(NEEDS, fit, mend, POINTS, lambda name: options[name], five, "mm")


def test_what_cannot_be_proven_is_told_with_what_would_do() -> None:
    """The best that is at hand leaves 0.2 + 0.095; ways that are not are named by sort, two."""
    fit = misfit([0.4, 0.4], 0.1)
    here = {"saw.p0": [leaves(0.2, finer="a thinner leaf")], "saw.p1": [leaves(0.095)]}
    words = cannot(fit, here)
    assert words == (
        "your tools cannot prove that it fits, 0.295 mm at best. What would help: "
        "accept 0.3 mm in the shop file. This may help: a thinner leaf (Saw: P0)"
    )
    lever = leaves(0.0, sort="lever", method="square", how="with a longer lever", at_hand=False)
    turned = leaves(0.0, sort="turn", method="square", how="turned over", at_hand=False)
    fine = leaves(0.0, sort="finer square", method="square", how="by a finer one", at_hand=False)
    more = {name: [*ways, lever, turned, fine] for name, ways in here.items()}
    words = cannot(fit, more)
    ways = words.partition("What would help: ")[2].split("; or ")
    assert ways == [
        "check Saw: P0 with a longer lever, then Saw: P1",
        "check Saw: P0 turned over, then Saw: P1",
        "accept 0.3 mm in the shop file",
    ]
    assert "by a finer one" not in words
    assert "This may help" not in words
    all_of_it = Mend({"saw.p0": lever, "saw.p1": fine})
    both = cannot(fit, here, all_of_it)
    assert "check Saw: P0 with a longer lever, then Saw: P1 by a finer one; or accept" in both


def test_what_is_measured_alone_is_not_held_against_the_best_of_all() -> None:
    """0.4 mm is known, and 0.6 at best: the second is of a point that nobody measured yet, too."""
    fit = misfit([0.4, 0.4], 0.1)
    half = fit._replace(shares=(fit.shares[0], fit.shares[1]._replace(at_most=None)))
    here = {"saw.p0": [leaves(0.3)], "saw.p1": [leaves(0.3)]}
    mends = [OpenMisfit(half, half.limit, None)] if half.limit is not None else []
    (found,) = misfit_reasons(NEEDS, POINTS, mends, lambda name: here[name], five, "mm")
    assert found.misfit.startswith("Gap can be 0.400 mm by what is measured alone, at most 0.1 mm")
    assert "0.60 mm at best, with all of it measured. What would help" in found.to_do
    assert "measured" not in cannot(fit, here)


def test_what_nobody_can_check_is_named() -> None:
    fit = misfit([0.4, 0.4, 0.4], 0.1)
    blind = fit._replace(shares=tuple(one._replace(at_most=None) for one in fit.shares))
    words = cannot(blind, {"saw.p0": [], "saw.p1": [leaves(0.0)], "saw.p2": []})
    lacks = "Saw: P0, Saw: P2 cannot be checked with your tools"
    assert words == f"{lacks} (`shopboard points --best`)"


def test_a_joint_made_otherwise_is_named_where_that_can_be_proven() -> None:
    """Faces alternated, the error of the edges cancels; a narrower board opens less."""
    joint = joint_of("panel", {"gap": 1e-3, "cup": 100.0})
    known = all_measured(joint, 0.001)
    needs = joint_needs(joint, known, 0.95)
    (gap,) = [one for one in needs.fits if one.effect.fit == "gap"]
    edge = name_of("edge angle")

    def options(name: str) -> list[MendOption]:
        return [leaves(1e-4 if name == edge else 0.0)]

    words = cannot_words(needs, gap, None, known, options, five, "mm")
    assert "alternate the faces in cutting and say so in the shop file" in words
    turned = joint._replace(alternate=True)
    needs = joint_needs(turned, known, 0.95)
    words = cannot_words(needs, gap, None, known, options, five, "mm")
    assert "alternate" not in words


@pytest.mark.parametrize(
    ("state", "why", "found"),
    [
        ("true", "", "true"),
        ("true", "due on Mon", "due"),
        ("waits", "waits for its base", "waits"),
        ("waits", "due on Mon", "due"),
        ("near", "due on Mon", "near"),
        ("out", "knocked", "out"),
        ("waits", "", "waits"),
    ],
)
def test_how_a_point_stands_on_the_day(state: State, why: str, found: State) -> None:
    one = PointStanding(make_point(), state, "waits for its base", record("saw.blade"))
    assert _stands(one, why) == found


def test_why_a_result_cannot_be_gone_by() -> None:
    """Nothing recorded, only noted, a no, due by the day by either limit, of another kind."""
    point = make_point(every_days=30)
    known = record("saw.blade", when=NOW)

    def why(state: State, days: float = 0, reason: str = "its reason", **more: Any) -> str:
        one = PointStanding(point, state, reason, known)._replace(**more)
        return why_unknown(one, NOW + timedelta(days=days), "inch")

    assert [why("true", 29.9), why("true", 30)] == ["", "due on Wed 1 Jul 2026"]
    soon = known._replace(holds=Holds(10, None, 0.0, "it wanders"))
    assert [why("true", 9.9, record=soon), why("true", 10, record=soon)] == [
        "",
        "due on Thu 11 Jun 2026",
    ]
    never = point._replace(every_days=None)
    assert why("true", 9999, point=never) == ""
    assert why("true", 9999, point=never, record=soon).startswith("due on Thu 11 Jun")
    assert why("unproven") == why("due") == "its reason"
    assert why("true", record=None, reason="") == "never checked"
    assert why("noted") == "only noted: nothing was measured"
    assert why("near") == why("out") == ""
    assert why("due", stale="knocked") == "knocked"
    far = known._replace(spread=Spread(math.atan(0.4 / 12), (), 1e-4), expanded=2e-4)
    for state in ("near", "out"):
        assert why(state, record=far, stale="knocked") == "+400.0 thou/ft; knocked"
    hidden = known._replace(readings={IN_WORK: None})
    assert why("true", record=hidden).startswith("what shows in the work was not measured: ")
    bare = known._replace(kind="yes or no")
    assert why("out", record=bare) == "its reason"
    assert why("true", record=known._replace(kind="length")).startswith("its newest result is of")
