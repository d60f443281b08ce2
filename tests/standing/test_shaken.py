"""What rests on a damaged entry, or may do so, is unproven; what was recorded after it stands."""

from __future__ import annotations

import json
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from shopboard.journal import Damage, NewEntry, open_journal
from shopboard.open_shop import OpenShop
from shopboard.results.record import Holds
from shopboard.shop.machine import HOURS_RUN, Task
from shopboard.sittings.check import start
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.happenings import Happening
from shopboard.upkeep.tags import clear_tag, standing_tag
from shopboard.upkeep.tasks import Done
from tests.builders import Person, make_point, make_shop
from tests.campaigns.byte_damage import ask, fill
from tests.journal.helpers import Clock
from tests.standing.test_judge import NOW, Told
from tests.upkeep.cutter_shop import RIP, shop_of

BROKEN = Damage(5, "entry 5 is not what was recorded")
NOWHERE = Damage(None, "an index of it is out of order")


def test_only_what_is_newer_than_the_damage_stands() -> None:
    shop = make_shop(make_point("saw.blade"), make_point("planer.fence"), make_point("saw.gauge"))
    told = Told().check("saw.blade")
    told.seq = 5
    past = told.check("planer.fence").past()
    for damage, true in ((None, 2), (BROKEN, 1), (NOWHERE, 0)):
        standing = shop_standing(shop, past._replace(damage=damage), NOW)
        assert standing.count("true") == true
        for point in ("saw.blade", "saw.gauge"):
            one = standing.of_point(point)
            assert one is not None
            if damage is not None:
                assert (one.state, one.reason) == ("unproven", damage.why)
                assert not one.stands


def test_a_task_that_the_damage_may_have_been_is_due() -> None:
    shop = make_shop(make_point("saw.blade"))
    weekly = Task("wax", "Wax the table", every="week", every_days=7)
    shop = replace(shop, machines=(shop.machines[0]._replace(tasks=(weekly,)),))
    for seq, damage, due in ((4, None, False), (4, BROKEN, True), (6, BROKEN, False)):
        past = Told().past()._replace(tasks={("saw", "wax"): Done(seq, NOW)}, damage=damage)
        (one,) = shop_standing(shop, past, NOW + timedelta(days=1)).machines[0].tasks
        assert one.due is due
        assert (one.reason == BROKEN.why) is due


def test_a_task_that_the_first_entry_may_have_brought_about_is_due() -> None:
    """It was never done, and is due when a blade was changed; what was damaged may be that."""
    shop = make_shop(make_point("saw.blade"))
    tyres = Task("tyres", "Brush the tyres", after=("blade changed",))
    shop = replace(shop, machines=(shop.machines[0]._replace(tasks=(tyres,)),))
    first = Damage(1, "entry 1 is not what was recorded")
    for damage, due in ((None, False), (first, True)):
        past = Told().past()._replace(damage=damage)
        (one,) = shop_standing(shop, past, NOW).machines[0].tasks
        assert one.due is due


def test_hours_that_a_task_knew_of_and_are_lost_leave_it_due() -> None:
    """It was recorded after the damage; the count before it would make it younger than it is."""
    shop = make_shop(make_point("saw.blade"))
    task = Task("wax", "Wax the table", every="week", every_days=7)
    shop = replace(shop, machines=(shop.machines[0]._replace(tasks=(task,)),))
    past = Told().past()._replace(tasks={("saw", "wax"): Done(9, NOW, minutes=300.0)})
    for total, damage, due in (
        *((300.0, BROKEN, False), (240.0, BROKEN, True)),
        *((240.0, None, False), (240.0, NOWHERE, True)),
    ):
        hours = Happening(8, NOW, "saw", HOURS_RUN, total)
        told = past._replace(happenings=[hours], damage=damage)
        (one,) = shop_standing(shop, told, NOW + timedelta(days=1)).machines[0].tasks
        assert one.due is due
        assert (damage is not None and one.reason == damage.why) is due


def test_where_the_first_entry_is_damaged_it_may_be_the_missing_result() -> None:
    """What is not on record may be just what that entry said."""
    shop = make_shop(make_point("saw.blade"))
    first = Damage(1, "entry 1 is not what was recorded")
    one = shop_standing(shop, Told().past()._replace(damage=first), NOW).of_point("saw.blade")
    assert one is not None
    assert (one.state, one.reason) == ("unproven", first.why)


def test_hours_that_a_result_knew_of_and_are_lost_leave_it_unproven() -> None:
    """The newest count of hours was damaged: the one before it would make the result younger."""
    shop = make_shop(make_point("saw.blade"))
    told = Told(seq=9).check("saw.blade")
    record = told.latest["saw", "blade"]._replace(holds=Holds(None, 600, 300.0, "it wanders"))
    told.latest["saw", "blade"] = record
    for total, state in ((300.0, "true"), (240.0, "unproven"), (900.0, "due")):
        hours = Happening(8, NOW, "saw", HOURS_RUN, total)
        past = told.past()._replace(happenings=[hours], damage=BROKEN)
        one = shop_standing(shop, past, NOW).of_point("saw.blade")
        assert one is not None
        assert one.state == state


def test_a_cutter_says_that_it_is_not_sure() -> None:
    shop = shop_of(RIP)
    past = Told().past()._replace(damage=BROKEN)
    (rip,) = shop_standing(shop, past, NOW).machines[0].cutters
    assert rip.unsure == BROKEN.why


def test_a_machine_whose_tag_may_be_lost_is_not_to_be_used() -> None:
    """Unless its tag was cleared after the damaged entry; a tag that stands keeps its words."""
    shop = make_shop(make_point("saw.blade"), make_point("planer.fence"), make_point("drill.table"))
    past = Told(seq=9).check("saw.blade").past()
    past = past._replace(tags={"planer": "a guard is off"}, cleared={"saw": 6, "drill": 4})
    for damage, lost in ((None, ()), (BROKEN, ("drill",)), (NOWHERE, ("saw", "drill"))):
        standing = shop_standing(shop, past._replace(damage=damage), NOW)
        for one in standing.machines:
            may_be = f"it may carry this tag: {damage.why}" if damage else ""
            why = may_be if one.machine.id in lost else ""
            assert one.tag == (why or past.tags.get(one.machine.id, ""))


@pytest.fixture
def places(tmp_path: Path) -> tuple[Path, Path]:
    return fill(tmp_path)


def _flip(journal: Path, text: bytes) -> None:
    raw = bytearray(journal.read_bytes())
    raw[raw.index(text)] ^= 1
    journal.write_bytes(raw)


def _state(shop: Path, journal: Path) -> tuple[dict[str, str], object, str]:
    found = ask(("status", "--json"), shop, journal)
    told = json.loads(found.out)
    states = {one["id"]: one["state"] for each in told["machines"] for one in each["points"]}
    return states, told["damage"], found.err


def test_what_is_checked_again_is_proven_again(places: tuple[Path, Path]) -> None:
    """Every command says so until a good copy is put back."""
    shop, journal = places
    before, damage, told = _state(shop, journal)
    assert damage is None
    assert told == ""
    _flip(journal, b"the square was dropped")
    states, damage, told = _state(shop, journal)
    assert isinstance(damage, dict)
    assert f"entry {damage['entry']} is not what was recorded" in told
    assert told.count("damaged") == 1
    assert set(states.values()) == {"unproven"}
    clock = Clock()
    clock.now = datetime.now(UTC)
    with closing(OpenShop(shop, journal, clock, thorough=True)) as open_shop:
        sitting, person = (
            start(open_shop.journal, open_shop.shop, open_shop.shop.points["saw.blade"]),
            Person(0.0),
        )
        while sitting.step is not None:
            sitting.answer(person.answer(sitting.step, sitting.job))
    states, damage, _ = _state(shop, journal)
    assert states["saw.blade"] == "true"
    assert states["disc.fence"] == "unproven"
    assert before["disc.fence"] == "true"


def test_looking_back_before_the_damage_is_not_shaken(places: tuple[Path, Path]) -> None:
    shop, journal = places
    good = ask(("status", "--on", "2026-06-03", "--json"), shop, journal)
    _flip(journal, b"the square was dropped")
    then = ask(("status", "--on", "2026-06-03", "--json"), shop, journal)
    assert then.out == good.out


def test_a_tag_that_may_be_lost_is_as_strong_as_one_that_stands(places: tuple[Path, Path]) -> None:
    """The last entry, a tag, is damaged: no machine may be used until somebody has looked at it."""
    shop, journal = places
    assert ask(("glueup", "frames", "sawn"), shop, journal).code == 0
    _flip(journal, b"the disc is loose")
    told = json.loads(ask(("status", "--json"), shop, journal).out)
    why = f"it may carry this tag: the journal is damaged at entry {told['damage']['entry']}"
    assert [one["tag"] for one in told["machines"]] == [why, why]
    plain = ask(("status",), shop, journal).out
    assert (plain.count("DO NOT USE  "), plain.count(f"  why: {why}\n")) == (2, 2)
    assert f"DO NOT USE: {why}. Look at it;" in ask(("tag", "saw"), shop, journal).out
    assert f"Saw          DO NOT USE, {why}." in ask(("prep",), shop, journal).out
    assert why in ask(("sheet", "saw"), shop, journal).out
    clock = Clock()
    clock.now = datetime.now(UTC)
    with closing(OpenShop(shop, journal, clock, thorough=True)) as open_shop:
        point = open_shop.shop.points["saw.mitre"]
        sitting, person = start(open_shop.journal, open_shop.shop, point), Person(0.0)
        assert sitting.step is not None
        assert sitting.step.title == f"DO NOT USE: {why}"
        while sitting.step is not None:
            sitting.answer(person.answer(sitting.step, sitting.job))
    states, _, _ = _state(shop, journal)
    assert states["saw.mitre"] == "true"
    held = ask(("glueup", "frames", "sawn"), shop, journal)
    assert held.code == 1
    assert f"Saw: DO NOT USE. {why}" in held.out
    assert ask(("tag", "saw", "--clear", "I looked: it carries none"), shop, journal).code == 0
    assert ask(("glueup", "frames", "sawn"), shop, journal).code == 0
    tags = [
        one["tag"] for one in json.loads(ask(("status", "--json"), shop, journal).out)["machines"]
    ]
    assert tags.count(None) == 1


@pytest.mark.parametrize(
    ("missing", "in_all", "lost"),
    [
        ([("tag", "drill", 2, True)], 1, {"drill"}),  # cleared before, at 1
        ([("tag", "saw", 2, True)], 1, set()),  # cleared after it, at 3
        ([("tag", "planer", 2, True)], 1, {"planer"}),  # never tagged since
        ([("check", "planer", 2, True)], 1, set()),
        ([("tag", "planer", 2, False)], 1, {"drill", "planer"}),  # it may have been another's
        ([("", "", 2, False)], 1, {"drill", "planer"}),
        ([("check", "planer", 2, True)], 2, {"saw", "drill", "planer"}),  # one is not named
    ],
)
def test_a_tag_that_salvage_did_not_find_may_still_hang_on_a_machine(
    tmp_path: Path, missing: list[tuple[str, str, int, bool]], in_all: int, lost: set[str]
) -> None:
    """Until somebody looked there: what is cleared after the salvage is cleared."""
    names = ("saw", "drill", "planer")
    shop = make_shop(*(make_point(f"{one}.blade") for one in names))
    keys = ("kind", "machine", "first", "certain")
    told = [{**dict(zip(keys, one, strict=True)), "last": one[2]} for one in missing]
    with closing(open_journal(tmp_path / "journal", Clock())) as journal:
        for entry in (
            NewEntry("t1", "tag", "drill", body={"v": 1, "out_of_use": False, "why": "mended"}),
            NewEntry("n", "note"),
            NewEntry("t3", "tag", "saw", body={"v": 1, "out_of_use": False, "why": "mended"}),
            NewEntry("s", "salvaged", body={"v": 1, "missing": told, "missing_in_all": in_all}),
        ):
            journal.append([entry])
        why = "it may carry this tag: records were lost when the journal was salvaged"
        for at_once in (True, False):
            standing = shop_standing(shop, gather(journal), NOW)
            may_be = {one.machine.id for one in standing.machines if one.tag == why}
            assert may_be == (lost if at_once else set())
            assert may_be == {one for one in names if standing_tag(one, journal) == why}
            assert len(standing.tagged) == len(may_be)
            for one in lost if at_once else ():
                clear_tag(one, "I looked: it carries none", journal)
