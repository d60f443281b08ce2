"""A dirty cutter is due off: the sharp one on the shelf takes its turn, cleaned it is next on.

That pitch is cleaned off before a blade goes on again, and that two blades for one work are taken
by turns, is common practice, no source.
"""

from __future__ import annotations

from datetime import UTC, datetime

import pytest

from shopboard.journal import SqliteJournal
from shopboard.prep.job_list import KnownNow, ToDo
from shopboard.prep.last_project import LastProject
from shopboard.prep.minutes import CHANGE_MINUTES, CLEAN_MINUTES
from shopboard.prep.work import to_do
from shopboard.shop.machine import Cutter
from shopboard.shop.model import Shop
from shopboard.sittings.cutter_change import begin
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.cutter_acts import ActError, possible
from shopboard.upkeep.cutter_changes import change
from shopboard.upkeep.cutter_journal import record_act, record_change, standings_now
from tests.upkeep.cutter_shop import KNIVES, RIP, RIP_2, shop_of

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
DIRTY = RIP._replace(state="dirty")
GOUGE = Cutter("gouge", "Gouge", "on the machine", "dirty", "hand tool")


NONE = LastProject()


def planned(
    shop: Shop,
    journal: SqliteJournal,
    needed: tuple[str, ...] | None = None,
    last: LastProject = NONE,
) -> ToDo:
    standing = shop_standing(shop, gather(journal), NOW)
    return to_do(KnownNow(shop, standing, NOW, lambda _: 6.0, needed, last=last))


def pieces(shop: Shop, journal: SqliteJournal) -> list[tuple[str, str, float]]:
    """What is done with cutters: id, act, minutes."""
    todo = planned(shop, journal).pieces.values()
    return [(one.id, one.act, one.minutes) for one in todo if one.sort == "cutter"]


def test_the_sharp_one_on_the_shelf_takes_its_turn_and_it_is_cleaned_after(
    journal: SqliteJournal,
) -> None:
    shop = shop_of(DIRTY, RIP_2)
    todo = planned(shop, journal)
    assert pieces(shop, journal) == [
        (f"cutter saw.{RIP_2.id}", "put on", CHANGE_MINUTES["blade"]),
        ("clean saw.rip", "cleaned", CLEAN_MINUTES),
    ]
    clean = next(job for job in todo.jobs if job.id == "clean saw.rip")
    assert clean.after == ((f"cutter saw.{RIP_2.id}", 0.0),)
    assert todo.pieces["clean saw.rip"].why == "Rip blade: dirty"


def test_round_and_round_each_takes_its_turn(journal: SqliteJournal) -> None:
    """Three blades: the one that lies there longest goes on next, the cleaned one last."""
    third = RIP_2._replace(id="rip-3", name="Third rip blade")
    shop = shop_of(RIP, RIP_2, third)
    turns = []
    for _ in range(6):
        here = standings_now(shop, "saw", journal)
        on = next(one for one in here if one.mounted)
        record_act(on, "dirty", NOW, journal)
        ident = next(one[0] for one in pieces(shop, journal) if one[1] == "put on")
        turns.append(ident.removeprefix("cutter saw."))
        here = standings_now(shop, "saw", journal)
        spare = next(one for one in here if one.id == turns[-1])
        record_change(change(spare, "put on", "dirty", here), journal)
        off = next(one for one in standings_now(shop, "saw", journal) if one.id == on.id)
        assert (off.where, off.state) == ("on the shelf", "dirty")
        assert pieces(shop, journal) == [(f"clean saw.{on.id}", "cleaned", CLEAN_MINUTES)]
        record_act(off, "cleaned", NOW, journal)
        assert pieces(shop, journal) == []
    assert turns == [RIP_2.id, "rip-3", "rip"] * 2


def test_the_only_one_is_cleaned_in_one_go_with_the_plug_out(journal: SqliteJournal) -> None:
    """Off, clean, on again, as a change of cutter: with its cautions, and what it undoes."""
    shop = shop_of(DIRTY)
    assert pieces(shop, journal) == [
        ("cutter saw.rip", "clean", CHANGE_MINUTES["blade"] + CLEAN_MINUTES)
    ]
    (one,) = standings_now(shop, "saw", journal)
    sitting = begin(journal, shop, one, "clean")
    titles = []
    while sitting.step is not None:
        titles.append(sitting.step.title)
        sitting.answer("1" if getattr(sitting.step, "options", ()) else "")
    assert titles[0].startswith("Unplug the machine.")
    off = titles.index("Take off: Rip blade.")
    assert titles[off + 1] == "Clean it: Rip blade."
    assert "Put on: Rip blade." in titles[off + 2 :]
    assert sitting.happened == "blade changed"
    (one,) = standings_now(shop, "saw", journal)
    assert (one.where, one.state) == ("on the machine", "sharp")
    assert pieces(shop, journal) == []


def test_where_only_a_dirty_one_is_left_it_is_cleaned_before_it_goes_on(
    journal: SqliteJournal,
) -> None:
    shop = shop_of(RIP._replace(state="dull"), RIP_2._replace(state="dirty"))
    todo = planned(shop, journal)
    ident = f"saw.{RIP_2.id}"
    assert {one[0] for one in pieces(shop, journal)} == {f"cutter {ident}", f"clean {ident}"}
    change_job = next(job for job in todo.jobs if job.id == f"cutter {ident}")
    assert (f"clean {ident}", 0.0) in change_job.after
    assert todo.left_out == ()


def test_what_is_held_by_hand_is_cleaned_where_it_lies(journal: SqliteJournal) -> None:
    shop = shop_of(GOUGE)
    assert pieces(shop, journal) == [("clean saw.gouge", "cleaned", CLEAN_MINUTES)]
    (one,) = standings_now(shop, "saw", journal)
    assert not {"clean"} & {act.name for act in possible(one)}
    with pytest.raises(ActError, match="held by hand"):
        begin(journal, shop, one, "clean")


def test_a_dull_one_comes_before_a_dirty_one_and_dirty_knives_are_not_turned(
    journal: SqliteJournal,
) -> None:
    """Their next edge is for when this one is dull."""
    shop = shop_of(KNIVES._replace(state="dirty", edge=1))
    ((ident, act, _),) = pieces(shop, journal)
    assert (ident, act) == (f"cutter saw.{KNIVES.id}", "clean")
    both = shop_of(DIRTY, KNIVES._replace(state="dull", edge=1))
    assert pieces(both, journal)[0][1] == "turn"


def test_one_that_the_last_project_left_dirty_is_seen_to_before_the_next(
    journal: SqliteJournal,
) -> None:
    """Though no point of its machine is needed."""
    shop = shop_of(DIRTY, RIP_2)
    assert not planned(shop, journal, needed=("else.where",)).pieces
    last = LastProject("Chest", frozenset({"saw"}))
    todo = planned(shop, journal, needed=("else.where",), last=last)
    assert {one.id for one in todo.pieces.values()} == {
        f"cutter saw.{RIP_2.id}",
        "clean saw.rip",
    }
    assert {one.serviced for one in todo.pieces.values()} == {"used for Chest"}


def test_while_it_is_coming_off_its_cleaning_stays_planned(journal: SqliteJournal) -> None:
    """What is known to come off dirty is cleaned, whether or not its change was begun."""
    shop = shop_of(DIRTY, RIP_2)
    spare = next(one for one in standings_now(shop, "saw", journal) if one.id == RIP_2.id)
    way = begin(journal, shop, spare, "put on")
    way.answer("plug out")
    found = planned(shop, journal)
    clean = next(job for job in found.jobs if job.id == "clean saw.rip")
    assert [one.id for one in found.jobs if one.id.startswith("cutter")] == ["cutter saw"]
    assert clean.after == (("cutter saw", 0.0),)
    assert found.pieces["clean saw.rip"].minutes == CLEAN_MINUTES
