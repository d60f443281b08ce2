"""Use that is withdrawn long after: cutters stand as if it had never been recorded."""

from __future__ import annotations

from contextlib import closing
from typing import NamedTuple, cast

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry, Store, open_journal
from shopboard.shop.machine import HOURS_RUN, USES, Sharpness
from shopboard.upkeep.cutter_acts import ActError, possible
from shopboard.upkeep.cutter_changes import CHANGES, change
from shopboard.upkeep.cutter_journal import (
    newest_act,
    record_act,
    record_change,
    standings_now,
    take_back,
)
from shopboard.upkeep.happenings import record_happening
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.upkeep.cutter_shop import KNIVES, RIP, SPARE_KNIVES, now_standing, shop_of

SHOP = shop_of(RIP, KNIVES._replace(edges=4, sharpenings=None), SPARE_KNIVES)
ACTS = ("put on", "take off", "turn", "dull", "sharpened", "send out", "back", "new")


def hours(journal: Store, number: float) -> Entry:
    return record_happening(journal, "saw", HOURS_RUN, number * 60, shop=SHOP)


def act(journal: Store, ident: str, name: str, came_off: str = "sharp") -> bool:
    """Do something with a cutter, if it can be done now."""
    one = now_standing(journal, ident, SHOP)
    if name not in [each.name for each in possible(one)]:
        return False
    if name in CHANGES and (name != "new" or one.mounted):
        here = standings_now(SHOP, "saw", journal)
        record_change(change(one, name, cast(Sharpness, came_off), here), journal)
    else:
        record_act(one, name, Clock()(), journal)
    return True


def test_hours_before_a_change_of_blade_are_taken_back_alone(journal: Store) -> None:
    """The blade lies on the shelf by now; what it cut otherwise stands."""
    wrong = hours(journal, 3)
    hours(journal, 1)
    act(journal, "rip", "take off")
    take_back(wrong, "those were the planer's", journal)
    assert now_standing(journal, "rip", SHOP).use.minutes == 60
    act(journal, "rip", "put on")
    hours(journal, 2)
    assert now_standing(journal, "rip", SHOP).use.minutes == 180


def test_hours_of_an_edge_that_was_found_dull_leave_the_life_that_was_learnt(
    journal: Store,
) -> None:
    """Eight hours, of which three were another machine's: the edge stayed sharp for five."""
    hours(journal, 5)
    wrong = hours(journal, 3)
    act(journal, "rip", "take off", "dull")
    act(journal, "rip", "sharpened")
    act(journal, "rip", "put on")
    hours(journal, 1)
    assert [life.minutes for life in now_standing(journal, "rip", SHOP).lives] == [480]
    take_back(wrong, "those were the planer's", journal)
    rip = now_standing(journal, "rip", SHOP)
    assert [life.minutes for life in rip.lives] == [300]
    assert rip.use.minutes == 60


def test_an_act_that_something_rests_on_is_still_taken_back_last(journal: Store) -> None:
    """Only what is counted can be taken out of the middle."""
    act(journal, "rip", "dull")
    dull = newest_act(now_standing(journal, "rip", SHOP), journal)
    assert dull is not None
    hours(journal, 1)
    with pytest.raises(ActError, match="has a newer record, hours run"):
        take_back(dull, "it was not", journal)


class Edge(NamedTuple):
    """The oracle: which uses are in the edge's use, and in each of its lives; none is a number."""

    use: tuple[int, ...] = ()
    lives: tuple[tuple[int, ...], ...] = ()


STEPS = st.one_of(
    st.tuples(st.just("use"), st.sampled_from(USES), st.integers(1, 600)),
    st.tuples(st.just("act"), st.sampled_from(ACTS), st.sampled_from(["sharp", "dull"])),
    st.tuples(st.just("undo"), st.integers(0, 30), st.just("")),
)


@settings(max_examples=part(80), deadline=None)
@given(st.lists(STEPS, min_size=3, max_size=22), st.sampled_from(["rip", "knives"]))
def test_uses_taken_back_at_any_time_are_gone_from_use_and_lives(
    tmp_path_factory: pytest.TempPathFactory, steps: list[tuple[str, str | int, object]], who: str
) -> None:
    """Held against sets of uses: one that is withdrawn is left out of every set."""
    path = tmp_path_factory.mktemp("cutters") / "journal"
    with closing(open_journal(path, Clock())) as journal:
        uses: list[tuple[Entry, str, float]] = []
        gone: set[int] = set()
        edge = Edge()
        for kind, what, more in steps:
            before = now_standing(journal, who, SHOP)
            standing = [at for at in range(len(uses)) if at not in gone]
            if kind == "use":
                entry = record_happening(journal, "saw", str(what), float(str(more)), shop=SHOP)
                if before.mounted:
                    edge = edge._replace(use=(*edge.use, len(uses)))
                uses.append((entry, str(what), float(str(more))))
            elif kind == "undo" and standing:
                at = standing[int(what) % len(standing)]
                take_back(uses[at][0], "typed wrong", journal)
                gone.add(at)
            elif kind == "act" and act(journal, who, str(what), str(more)):
                edge = done(edge, before.state, str(what), str(more), gone, mounted=before.mounted)
            one = now_standing(journal, who, SHOP)
            assert [*one.use[:3]] == pytest.approx(summed(edge.use, uses, gone))
            assert [[*life[:3]] for life in one.lives] == [
                pytest.approx(summed(life, uses, gone)) for life in edge.lives
            ]


def done(
    edge: Edge, state: str, name: str, came_off: str, gone: set[int], *, mounted: bool
) -> Edge:
    """What an act does to the sets: found dull, the use becomes a life; made sharp, it is none."""
    found_dull = name == "dull" or (mounted and name in CHANGES and came_off == "dull")
    if found_dull and state not in ("dull", "worn out") and {*edge.use} - gone:
        edge = edge._replace(lives=(edge.use, *edge.lives)[:5])
    if name in ("turn", "sharpened", "back", "new"):
        edge = edge._replace(use=())
    return edge


def summed(
    ids: tuple[int, ...], uses: list[tuple[Entry, str, float]], gone: set[int]
) -> list[float]:
    """Minutes, cuts and mm of the uses that stand."""
    return [
        sum(uses[at][2] for at in ids if at not in gone and uses[at][1] == what) for what in USES
    ]
