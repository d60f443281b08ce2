"""Which checks are asked for, in which way, and what is worked out again: each choice by itself."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from itertools import combinations
from random import Random

import pytest

import shopboard.prep.day_so_far
from shopboard.checks.further import SORTS
from shopboard.journal import NewEntry, Store, new_uid
from shopboard.metrology.spread import Spread
from shopboard.prep.begun_day import begin_day, day_under_way
from shopboard.prep.day import Planner
from shopboard.prep.mend import Mend, MendOption, find_mend
from shopboard.prep.misfits import cannot_words, misfit_reasons
from shopboard.prep.needs import joint_needs
from shopboard.prep.open_misfits import OpenMisfit
from shopboard.prep.options import Settles, options_of, what_settles
from shopboard.prep.present import present
from shopboard.prep.wanted import _is_due_again
from shopboard.shop.machine import HOURS_RUN
from shopboard.shop.project import Closed
from shopboard.upkeep.happenings import record_happening
from tests.prep.parts import all_measured, joint_of
from tests.prep.results import result
from tests.prep.test_doubted import shop_of
from tests.prep.test_in_vain import INCH, no_light
from tests.prep.test_in_vain import shop_of as hut_of
from tests.prep.test_known import add
from tests.prep.test_mend import always, exactly, misfit
from tests.prep.test_misfit_words import NEEDS, POINTS, five, leaves
from tests.prep.test_proven_first import clock_of

FENCE = "jointer.fence"


def test_of_ten_points_every_choice_is_tried() -> None:
    """Against all of the thousand; what gains most in a minute would not do here."""
    chance, worse = Random(3), 0
    for _ in range(4):
        sizes = [chance.uniform(0.01, 0.2) for _ in range(10)]
        times = [chance.choice([5.0, 8.0, 12.0, 25.0]) for _ in range(10)]
        wanted = 0.6 * sum(sizes)
        found = find_mend(
            misfit(sizes, wanted), 0.95, exactly, lambda name, times=times: times[number(name)]
        )
        assert found is not None
        least = min(
            sum(times[at] for at in chosen)
            for count in range(11)
            for chosen in combinations(range(10), count)
            if sum(sizes) - sum(sizes[at] for at in chosen) <= wanted
        )
        assert sum(times[number(name)] for name in found.points) == least
        worse += least < _by_gain(sizes, times, wanted)
    assert worse


def number(name: str) -> int:
    return int(name.removeprefix("saw.p"))


def _by_gain(sizes: Sequence[float], times: Sequence[float], wanted: float) -> float:
    """The minutes where those come first that gain most in a minute."""
    left, took = sum(sizes), 0.0
    for at in sorted(range(len(sizes)), key=lambda at: -sizes[at] / times[at]):
        if left <= wanted:
            break
        left, took = left - sizes[at], took + times[at]
    return took


def test_of_more_points_those_come_first_that_gain_most_in_a_minute() -> None:
    """Of twelve: four quick ones; not those that take ten times as long or leave nearly all."""
    ways = [0.0] * 8 + [0.09] * 4
    times = [50.0] * 4 + [5.0] * 8
    fit = misfit([0.1] * 12, 0.81)
    found = find_mend(
        fit,
        0.95,
        lambda name: [MendOption(present(Spread(ways[number(name)])))],
        lambda name: times[number(name)],
    )
    assert found is not None
    assert {number(name) for name in found.points} == {4, 5, 6, 7}


def test_as_it_was_measured_is_less_trouble_than_any_way_by_a_method() -> None:
    """Though that leaves less open: it is taken only where the other does not do."""
    plain = MendOption(present(Spread(0.04)))
    first = MendOption(present(Spread(0.01)), SORTS[0], "square")
    for wanted, chosen in ((0.05, plain), (0.03, first)):
        for ways in ([plain, first], [first, plain]):
            found = find_mend(misfit([0.1], wanted), 0.95, always(*ways), five)
            assert found is not None
            assert found.chosen == {"saw.p0": chosen}


def test_what_makes_nothing_of_it_makes_most_of_nothing() -> None:
    fit = misfit([0.0, 0.4], 0.1)
    mends = [OpenMisfit(fit, fit.limit, Mend({"saw.p1": leaves(0.0)}))] if fit.limit else []
    (found,) = misfit_reasons(NEEDS, POINTS, mends, lambda _: [leaves(0.0)], five, "mm")
    assert found.about == "saw.p1"
    assert "Saw: P1 accounts for most of it: 0.400 mm" in found.words


def test_a_misfit_just_as_wanted_holds_nothing_up() -> None:
    """What is not missed by rounding: a thousand-millionth of it."""
    fit = misfit([0.3], 0.3)
    assert fit.limit is not None
    just = fit._replace(shares=(fit.shares[0]._replace(at_most=fit.limit.most),))
    mends = [OpenMisfit(just, fit.limit, Mend({"saw.p0": leaves(0.0)}))]
    assert misfit_reasons(NEEDS, POINTS, mends, lambda _: [leaves(0.0)], five, "mm") == []
    blind = [OpenMisfit(just, fit.limit, None)]
    (found,) = misfit_reasons(NEEDS, POINTS, blind, lambda _: [], five, "mm")
    assert found.words == "Gap cannot be proven, at most 0.3 mm is allowed"


@pytest.mark.parametrize(
    ("kind", "closed", "wanted", "words"),
    [
        ("stave ring", "last corner", 0.1, "close it otherwise (all round)"),
        ("stave ring", None, 0.03, "close it otherwise (half rings)"),
        ("veneer", None, 0.16, "a height of 150 mm"),
        ("veneer", None, 0.11, "a height of 100 mm"),
    ],
)
def test_how_the_joint_could_be_made_otherwise(
    kind: str, closed: Closed | None, wanted: float, words: str
) -> None:
    """By hand: 1 mrad over staves 22 mm thick opens 0.044 by two, over a leaf 200 high 0.2 mm.

    A leaf is 200 mm high and 100 wide here; three quarters of either are tried, then halves.
    """
    fit = "thickness" if kind == "veneer" else "gap"
    joint = joint_of(kind, {fit: wanted}, closed=closed)  # type: ignore[arg-type, dict-item]
    if kind == "veneer":
        joint = joint._replace(sizes={"height": 200.0}, points={"resaw": joint.points["resaw"]})
    known = all_measured(joint, 0.001)
    needs = joint_needs(joint, known, 0.95)
    (open_fit,) = [one for one in needs.fits if one.effect.fit == fit]

    def options(_: str) -> list[MendOption]:
        return [leaves(0.001)]

    told = cannot_words(needs, open_fit, None, known, options, five, "mm")
    first = told.partition("What would help: ")[2].split("; or ")[0]
    assert first.removesuffix(" and say so in the shop file") == words


def test_a_way_is_as_it_was_only_where_its_result_is_one_of_that_point() -> None:
    """Not where the shop file names another method since, or another kind of tolerance."""
    with shop_of() as open_shop:
        fresh = options_of(open_shop, FENCE)[0].fresh.bound(0.95)
        add(open_shop, FENCE, 0.0, 1e-3)  # coarser than the check of today
        as_it_was = options_of(open_shop, FENCE)[0].fresh.bound(0.95)
        assert as_it_was == pytest.approx(1.96e-3, rel=1e-3)  # of a normal distribution
        assert as_it_was > 2 * fresh
        for body in (result(0.0, 1e-3) | {"method": "flip"}, result(0.0, 1e-3, "length")):
            open_shop.journal.append([NewEntry(new_uid(), "check", "jointer", "fence", body)])
            open_shop.refresh()
            assert options_of(open_shop, FENCE)[0].fresh.bound(0.95) == fresh


def test_with_no_tool_left_a_near_point_is_settled_by_nothing_but_its_check() -> None:
    with hut_of(INCH) as open_shop:
        no_light(open_shop)
        text = open_shop.shop_file.read_text(encoding="utf-8")
        begins, ends = text.index("[[drawer.square]]"), text.index("[[drawer.feeler]]")
        open_shop.shop_file.write_text(text[:begins] + text[ends:], encoding="utf-8")
        assert open_shop.poll()
        assert what_settles(open_shop, "board.fence") == Settles("", at_hand=True)


def test_only_age_makes_a_check_due_again_by_a_day() -> None:
    """On the very day, too; not where nothing is known, or no age makes it due."""
    with shop_of() as open_shop:
        now, fence = open_shop.now(), "saw.blade"  # it holds eight weeks
        day = now + timedelta(days=56)
        assert not _is_due_again(open_shop, "saw.of-another-day", day)
        assert not _is_due_again(open_shop, fence, day)
        add(open_shop, "saw.table")
        add(open_shop, fence)
        assert _is_due_again(open_shop, fence, day)
        assert not _is_due_again(open_shop, fence, day - timedelta(days=2))
        add(open_shop, FENCE)
        assert not _is_due_again(open_shop, FENCE, day)  # no age makes it due


def test_a_planner_reads_the_journal_anew_only_when_something_was_recorded(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """What only the calendar changes is planned anew all the same: the blade holds eight weeks."""
    with shop_of() as open_shop:
        add(open_shop, "saw.blade")
        planner, read = Planner(open_shop), 0
        really = day_under_way

        def counted(journal: Store) -> object:
            nonlocal read
            read += 1
            return really(journal)

        monkeypatch.setattr(shopboard.prep.day_so_far, "day_under_way", counted)
        planner.plan()
        assert planner.known() is not None
        assert (planner.day, read) == (None, 1)
        add(open_shop, FENCE)
        assert (planner.day, read) == (None, 2)
        assert planner.known() is None
        planner.plan()
        clock_of(open_shop).pass_by(days=56)
        open_shop.refresh()
        assert planner.known() is None
        lines = planner.plan().lines
        assert "check saw.blade" in [one.piece.id for one in lines]


def test_a_due_blade_is_noticed_though_the_day_was_begun_before() -> None:
    """Then no minute that goes by makes another plan: only how all stands does."""
    with shop_of() as open_shop:
        add(open_shop, "saw.blade")
        begin_day(open_shop.journal, "", None)
        open_shop.refresh()
        planner = Planner(open_shop)
        planner.plan()
        clock_of(open_shop).pass_by(days=50)
        open_shop.refresh()
        assert planner.known() is not None
        clock_of(open_shop).pass_by(days=6)
        open_shop.refresh()
        assert planner.known() is None


def test_what_wears_by_running_is_worth_less_by_each_day_that_it_runs() -> None:
    """The jointer's fence goes 1e-5 rad in an hour; it runs on as it did until a day to come."""
    with shop_of() as open_shop:
        days, hours = (40, 5, 60, 10, 30, 20), (2, 12, 1, 10, 3, 8)
        error = 0.0
        add(open_shop, FENCE, error, 1e-6)
        for passed, ran in zip(days, hours, strict=True):
            clock_of(open_shop).pass_by(days=passed)
            record_happening(
                open_shop.journal, "jointer", HOURS_RUN, ran * 60.0, shop=open_shop.shop
            )
            error += ran * 1e-5
            add(open_shop, FENCE, error, 1e-6)
        wander, now = open_shop.outlook(FENCE).wander, open_shop.now()
        assert wander is not None
        assert (wander.clock, wander.shows) == ("minutes", True)
        now_and_then = [
            options_of(open_shop, FENCE, now + timedelta(days=after))[0].fresh.bound(0.95)
            for after in (0, 90, 180, 360)
        ]
        assert now_and_then == sorted({*now_and_then})
        # half a year more of 36 hours in 165 days, its own spread beside it
        assert now_and_then[3] - now_and_then[2] > 180 * 36 / 165 * 1e-5
