"""Which points to set right: the fewest minutes, and an answer of however many points."""

from __future__ import annotations

from collections.abc import Callable
from itertools import combinations
from random import Random

import pytest

from shopboard.checks.further import SORTS, WaySort
from shopboard.metrology.spread import Spread
from shopboard.prep.cuts import Effect, Term, itself
from shopboard.prep.joint_fit import JointFit, Share
from shopboard.prep.mend import Mend, MendOption, find_mend
from shopboard.prep.present import present
from shopboard.prep.room import room_for
from shopboard.shop.project import MisfitLimit


def misfit(sizes: list[float], wanted: float) -> JointFit:
    """A misfit that every point adds its length to, mm."""
    terms = tuple(Term("length", itself, at=at) for at in range(len(sizes)))
    shares = tuple(
        Share("length", f"saw.p{at}", size, size, cancels=False) for at, size in enumerate(sizes)
    )
    return JointFit(Effect("gap", "gap", terms, ""), MisfitLimit(wanted, "", "shop file"), shares)


def exactly(_: str) -> list[MendOption]:
    """A check that leaves nothing open."""
    return [MendOption(present(Spread(0.0, (), 0.0)))]


def minutes_by(times: list[float]) -> dict[str, float]:
    return {f"saw.p{at}": time for at, time in enumerate(times)}


@pytest.mark.parametrize("seed", range(20))
def test_of_few_points_those_that_take_least_time(seed: int) -> None:
    """Against every choice there is."""
    chance = Random(seed)
    sizes = [chance.uniform(0.01, 0.2) for _ in range(6)]
    times = [chance.choice([5.0, 8.0, 12.0, 25.0]) for _ in range(6)]
    wanted = 0.4 * sum(sizes)
    took = minutes_by(times)
    found = find_mend(misfit(sizes, wanted), 0.95, exactly, took.__getitem__)
    assert found is not None
    least = min(
        sum(times[at] for at in chosen)
        for number in range(7)
        for chosen in combinations(range(6), number)
        if sum(sizes) - sum(sizes[at] for at in chosen) <= wanted
    )
    assert sum(took[name] for name in found.points) == least


def test_of_very_many_points_an_answer_comes_at_once() -> None:
    """There are 16 thousand choices of 14, a million million of 40: none is looked for in vain."""
    asked = 0

    def minutes(name: str) -> float:
        nonlocal asked
        asked += 1
        assert asked < 2000
        return 5.0 + int(name.removeprefix("saw.p")) % 3

    for number in (14, 40):
        sizes = [0.1 + 0.001 * at for at in range(number)]
        found = find_mend(misfit(sizes, 0.5 * sum(sizes)), 0.95, exactly, minutes)
        assert found is not None
        assert _left(sizes, found) <= 0.5 * sum(sizes)
        assert len(found.points) < 0.55 * number


def _left(sizes: list[float], found: Mend) -> float:
    done = {int(name.removeprefix("saw.p")) for name in found.points}
    return sum(size for at, size in enumerate(sizes) if at not in done)


def way(leaves: float, sort: WaySort, *, at_hand: bool) -> MendOption:
    """A way to check that leaves so much open, mm."""
    fresh = present(Spread(leaves, (), 0.0))
    return MendOption(fresh, sort, f"{sort} {leaves}", at_hand=at_hand)


def always(*options: MendOption) -> Callable[[str], list[MendOption]]:
    """The same ways for every point."""
    return lambda _: [*options]


def five(_: str, method: str = "") -> float:
    """Minutes of any check."""
    return 5.0


def test_what_is_at_hand_is_done_before_what_has_to_be_fetched() -> None:
    """However little trouble it would be; and of what is at hand, the least trouble."""
    first, *_, last = SORTS
    fetched, there = way(0.0, first, at_hand=False), way(0.01, last, at_hand=True)
    for ways in ([fetched, there], [there, fetched]):
        found = find_mend(misfit([0.1], 0.05), 0.95, always(*ways), five)
        assert found is not None
        assert found.chosen == {"saw.p0": there}
        assert found.at_hand
    easy = way(0.02, first, at_hand=True)
    found = find_mend(misfit([0.1], 0.05), 0.95, always(there, easy), five)
    assert found is not None
    assert found.chosen == {"saw.p0": easy}
    found = find_mend(misfit([0.1], 0.005), 0.95, always(there, easy, fetched), five)
    assert found is not None
    assert found.chosen == {"saw.p0": fetched}
    assert not found.at_hand


def test_only_so_many_points_are_checked_the_harder_way_as_it_takes() -> None:
    """0.03 and 0.03 mm are too much of 0.05; 0.03 and nothing are not."""
    coarse, fine = way(0.03, SORTS[0], at_hand=True), way(0.0, SORTS[1], at_hand=False)
    found = find_mend(misfit([0.1, 0.1], 0.05), 0.95, always(coarse, fine), five)
    assert found is not None
    assert found.chosen == {"saw.p0": coarse, "saw.p1": fine}


def test_where_no_way_does_none_is_named() -> None:
    coarse = way(0.03, SORTS[0], at_hand=True)
    assert find_mend(misfit([0.1, 0.1], 0.05), 0.95, always(coarse), five) is None


def test_room_is_shared_by_what_the_checks_leave_open() -> None:
    """0.09 mm beside a point that stays at 0.03: 0.06 for two, of which one is twice as fine."""
    chosen = {
        "saw.p0": way(0.01, SORTS[0], at_hand=True),
        "saw.p1": way(0.02, SORTS[0], at_hand=True),
    }
    found = room_for(misfit([0.1, 0.1, 0.03], 0.09), 0.95, chosen)
    assert found == pytest.approx({"saw.p0": 0.02, "saw.p1": 0.04}, rel=1e-6)
    assert room_for(misfit([0.1], 0.09), 0.95, {}) == {}
