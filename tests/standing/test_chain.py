"""What a happening undoes through the chain of what rests on what, why, and what to check first."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from graphlib import TopologicalSorter

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.shop.machine import Machine, Point, Task
from shopboard.shop.model import Shop
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import MachineStanding, Past, PointStanding, ShopStanding
from shopboard.upkeep.tasks import Done
from tests.builders import make_point, make_shop
from tests.in_turn import part
from tests.standing.test_judge import DAY, NEAR, NOW, OUT, TRUE, Told, standing

SORTS = ("knocked", "blade changed", "project finished")


def chain(*more: Point) -> Shop:
    """A table, a fence that rests on it, a sled that rests on the fence."""
    return make_shop(
        make_point("saw.table", undone_by=("machine moved",)),
        make_point("saw.fence", rests_on=("saw.table",), undone_by=("knocked",)),
        make_point("saw.sled", rests_on=("saw.fence",)),
        *more,
    )


def checked(*names: str) -> Told:
    told = Told()
    for name in names:
        told.check(name)
    return told


def point(found: ShopStanding, name: str) -> PointStanding:
    one = found.of_point(name)
    assert one is not None
    return one


def states(found: ShopStanding) -> dict[str, str]:
    return {one.point.full_name: one.state for machine in found.machines for one in machine.points}


ALL = ("saw.table", "saw.fence", "saw.sled")


def test_a_happening_undoes_all_that_rests_on_what_it_undoes() -> None:
    """Down the whole chain, with its root in words; and it stays so until each is checked."""
    told = checked(*ALL).happen("saw", "machine moved", NOW + DAY)
    found = standing(chain(), told)
    assert set(states(found).values()) == {"due"}
    assert point(found, "saw.table").reason == "machine moved on Tue 2 Jun 2026"
    for name in ("saw.fence", "saw.sled"):
        assert point(found, name).reason == "machine moved on Tue 2 Jun 2026; depends on Table"
    for done, left in ((ALL[0], ALL[1:]), (ALL[1], ALL[2:]), (ALL[2], ())):
        told.check(done)
        found = standing(chain(), told)
        assert {name for name, state in states(found).items() if state == "due"} == set(left)
        assert found.order == left


def test_a_happening_in_the_middle_leaves_what_it_rests_on() -> None:
    """Fence and sled, not the table."""
    found = standing(chain(), checked(*ALL).happen("saw", "knocked"))
    assert states(found) == {"saw.table": "true", "saw.fence": "due", "saw.sled": "due"}
    assert point(found, "saw.sled").reason == "knocked on Mon 1 Jun 2026; depends on Fence"


def test_a_point_keeps_in_mind_what_undid_each_of_several_that_it_rests_on() -> None:
    """Besides what undoes itself, and though those are checked again."""
    shop = make_shop(
        make_point("saw.table", undone_by=("machine moved",)),
        make_point("saw.blade", undone_by=("blade changed",)),
        make_point("saw.fence", rests_on=("saw.table", "saw.blade"), undone_by=("knocked",)),
    )
    names = ("saw.table", "saw.blade", "saw.fence")
    for what, root in (
        ("machine moved", "; depends on Table"),
        ("blade changed", "; depends on Blade"),
    ):
        told = Told().happen("saw", "knocked")
        for name in names:
            told.check(name)
        told.happen("saw", what)
        told.check("saw.table").check("saw.blade")
        found = standing(shop, told)
        assert found.order == ("saw.fence",)
        assert point(found, "saw.fence").reason == f"{what} on Mon 1 Jun 2026{root}"


def test_what_happened_before_a_check_does_not_undo_it() -> None:
    """Though what it rests on is due, which is said of that one."""
    told = checked("saw.table").happen("saw", "machine moved").check("saw.fence").check("saw.sled")
    found = standing(chain(), told)
    assert states(found) == {"saw.table": "due", "saw.fence": "waits", "saw.sled": "waits"}
    moved = "machine moved on Mon 1 Jun 2026; depends on Table"
    assert point(found, "saw.sled").reason == f"true by itself; {moved}"
    assert found.order == ("saw.table",)
    assert set(states(standing(chain(), told.check("saw.table"))).values()) == {"true"}


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (None, "depends on Table, never checked"),
        (NEAR, "depends on Table, which is borderline: checking Sled again cannot help"),
        (OUT, "depends on Table, which is out"),
    ],
)
def test_the_root_of_the_chain_is_named_not_what_lies_between(
    error: float | None, words: str
) -> None:
    """One short sentence that says where to begin."""
    told = checked("saw.fence", "saw.sled")
    if error is not None:
        told.check("saw.table", error)
    found = standing(chain(), told)
    assert point(found, "saw.sled").reason == f"true by itself; {words}"
    assert point(found, "saw.sled").first == "saw.table"
    assert found.machines[0].first == point(found, "saw.table")


def test_a_root_too_old_is_named_with_its_age() -> None:
    """It alone has to be checked: nothing has changed, as far as is known."""
    table = make_point("saw.table", every_days=30)
    shop = make_shop(table, *list(chain().points.values())[1:])
    told = checked(*ALL)
    found = standing(shop, told, NOW + 31 * DAY)
    old = "depends on Table, checked 31 days ago, good for 30 days"
    assert point(found, "saw.sled").reason == f"true by itself; {old}"
    told.check("saw.table", when=NOW + 31 * DAY)
    assert set(states(standing(shop, told, NOW + 31 * DAY)).values()) == {"true"}


def test_a_root_set_anew_or_moved_is_named() -> None:
    """What was measured from where it was before says nothing now."""
    told = checked("saw.sled", "saw.fence", "saw.table").move("saw.table")
    found = standing(chain(), told)
    moved = "moved on Mon 1 Jun 2026, not measured since"
    assert point(found, "saw.table").reason == moved
    assert point(found, "saw.sled").reason == f"depends on Table, {moved}"
    told.check("saw.table")
    found = standing(chain(), told)
    assert point(found, "saw.fence").reason == "depends on Table, re-set on Mon 1 Jun 2026"
    assert point(found, "saw.sled").reason == (
        "depends on Fence, which depends on Table, re-set on Mon 1 Jun 2026"
    )
    assert found.order == ("saw.fence", "saw.sled")


def test_a_root_on_another_machine_is_named_with_it() -> None:
    """And is what that other machine's screen says to check first."""
    jig = make_point("bench.jig", rests_on=("saw.sled",))
    told = checked(*ALL, "bench.jig").happen("saw", "machine moved")
    found = standing(chain(jig), told)
    assert point(found, "bench.jig").reason == (
        "machine moved on Mon 1 Jun 2026; depends on Table (Saw)"
    )
    for machine in found.machines:
        assert machine.first == point(found, "saw.table")
    assert [machine.worst for machine in found.machines] == [
        point(found, "saw.table"),
        point(found, "bench.jig"),
    ]


def test_a_project_finished_undoes_on_every_machine() -> None:
    """Of what says so."""
    saw = make_point("saw.p", undone_by=("project finished",))
    jointer = make_point("jointer.p", undone_by=("project finished",))
    told = checked("saw.p", "jointer.p", "jointer.q").happen("", "project finished")
    found = standing(make_shop(saw, jointer, make_point("jointer.q")), told)
    assert states(found) == {"saw.p": "due", "jointer.p": "due", "jointer.q": "true"}


@st.composite
def pasts(draw: st.DrawFn) -> tuple[Shop, Told]:
    """Up to eight points on three machines, each resting on some before it, and any past."""
    machines = st.sampled_from(["saw", "jointer", "bench"])
    names = [f"{draw(machines)}.p{n}" for n in range(draw(st.integers(1, 8)))]
    points = [
        make_point(
            name,
            rests_on=tuple(sorted(draw(st.sets(st.sampled_from(names[:at]))))) if at else (),
            every_days=draw(st.sampled_from([None, None, 30])),
            undone_by=tuple(sorted(draw(st.sets(st.sampled_from(SORTS))))),
        )
        for at, name in enumerate(names)
    ]
    told = checked(*draw(st.one_of(st.just(names), st.lists(st.sampled_from(names), max_size=8))))
    for _ in range(draw(st.integers(0, 10))):
        name = draw(st.sampled_from(names))
        what = draw(st.sampled_from(["check", "check", "move", "happen", "happen"]))
        when = NOW + timedelta(hours=draw(st.integers(-40, 40)))
        if what == "check":
            told.check(name, draw(st.sampled_from([TRUE, TRUE, TRUE, NEAR, OUT])), when)
        elif what == "move":
            told.move(name, when)
        else:
            sort = draw(st.sampled_from(SORTS))
            told.happen("" if sort == SORTS[2] else name.partition(".")[0], sort, when)
    return make_shop(*draw(st.permutations(points))), told


def below(shop: Shop, name: str) -> set[str]:
    """All that a point rests on, through any chain."""
    found: set[str] = set()
    waiting = list(shop.points[name].rests_on)
    while waiting:
        one = waiting.pop()
        if one not in found:
            found.add(one)
            waiting += shop.points[one].rests_on
    return found


@given(pasts(), st.integers(0, 60))
@settings(max_examples=part(250, 4), deadline=None)
def test_nothing_that_rests_on_an_undone_point_ever_shows_true(
    made: tuple[Shop, Told], days: int
) -> None:
    """Nor does anything checked before a happening that undid what it rests on."""
    shop, told = made
    found = standing(shop, told, NOW + days * DAY)
    for name, state in states(found).items():
        if state != "true":
            assert point(found, name).reason
            continue
        record = point(found, name).record
        assert record is not None
        for one in (name, *below(shop, name)):
            assert point(found, one).state == "true"
            machine = one.partition(".")[0]
            for happening in told.happenings:
                if happening.what in shop.points[one].undone_by:
                    here = happening.machine in (machine, "")
                    assert not (here and happening.seq > record.seq)


@given(pasts(), st.integers(0, 60))
@settings(max_examples=part(250, 4), deadline=None)
def test_the_order_of_checking_again_follows_the_chain(made: tuple[Shop, Told], days: int) -> None:
    """`graphlib` takes it; each point that a check can help is in it once."""
    shop, told = made
    found = standing(shop, told, NOW + days * DAY)
    wanting = {name for name, state in states(found).items() if state not in ("true", "waits")}
    assert len(found.order) == len(wanting)
    assert set(found.order) == wanting
    sorter = TopologicalSorter(
        {name: set(shop.points[name].rests_on) & wanting for name in wanting}
    )
    sorter.prepare()
    ready: set[str] = set()
    for name in found.order:
        ready |= set(sorter.get_ready())
        assert name in ready
        sorter.done(name)


@given(pasts(), st.integers(0, 60))
@settings(max_examples=part(250, 4), deadline=None)
def test_what_is_proposed_first_can_be_checked_right_away(
    made: tuple[Shop, Told], days: int
) -> None:
    """It rests on nothing that is not true, and what the machine wants rests on it or is it."""
    shop, told = made
    found = standing(shop, told, NOW + days * DAY)
    for machine in found.machines:
        wanting = [one.point.full_name for one in machine.points if one.state != "true"]
        assert (machine.first is None) == (not wanting)
        if machine.first is None:
            continue
        first = machine.first.point.full_name
        assert machine.first.state != "true"
        assert all(point(found, base).state == "true" for base in below(shop, first))
        assert any(first in (name, *below(shop, name)) for name in wanting)
        for name in wanting:
            root = point(found, name).first
            assert root in ("", *below(shop, name))
            if not root:
                assert all(point(found, base).state == "true" for base in below(shop, name))


def test_a_change_of_the_clocks_shifts_no_check_to_another_day(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Seven days are seven local days: clocks go back in New York on 1 November 2026."""
    import time
    from datetime import UTC, datetime
    from zoneinfo import ZoneInfo

    if not hasattr(time, "tzset"):
        pytest.skip("no tzset on this system")
    monkeypatch.setenv("TZ", "America/New_York")
    time.tzset()
    try:
        there = ZoneInfo("America/New_York")
        when = datetime(2026, 10, 30, 0, 10, tzinfo=there)
        shop = make_shop(make_point(every_days=7))
        told = Told().check("saw.blade", when=when.astimezone(UTC))
        due_on = standing(shop, told, when + DAY).of_point("saw.blade")
        assert due_on is not None
        assert due_on.due_on == datetime(2026, 11, 6, 0, 10, tzinfo=there)
    finally:
        monkeypatch.undo()
        time.tzset()


def bench(*tasks: Task) -> Machine:
    return Machine("edges", "Hand tools", points=(), tasks=tasks)


HONE = Task("hone", "Hone", 28, every="4 weeks")


def kept(past: Past, *tasks: Task) -> tuple[ShopStanding, MachineStanding]:
    shop = make_shop(make_point())
    shop = replace(shop, machines=(*shop.machines, bench(*tasks)))
    found = shop_standing(shop, past, NOW)
    return found, found.machines[1]


def test_a_machine_without_points_is_kept_while_none_of_its_tasks_is_due() -> None:
    """Due else; and it counts nowhere as a point."""
    done = {("edges", "hone"): Done(1, NOW - DAY)}
    for past, state in ((Past(), "due"), (Past(tasks=done), "kept")):
        found, machine = kept(past, HONE)
        assert machine.state == state
        assert (machine.worst, machine.last, machine.first, machine.to_check) == (
            None, None, None, 0,
        )  # fmt: skip
        assert len(machine.to_do) == (state == "due")
        assert sum(found.count(one) for one in ("out", "unproven", "near", "due", "true")) == 1
    told = Told().check("saw.blade").past()
    assert kept(told, HONE)[0].all_true


def test_a_kept_machine_comes_last_and_a_due_one_among_the_due() -> None:
    """Worst first."""
    told = Told().check("saw.blade").past()
    found, _ = kept(told._replace(tasks={("edges", "hone"): Done(1, NOW)}), HONE)
    assert [one.machine.id for one in found.worst_first] == ["saw", "edges"]
    found, _ = kept(told, HONE)
    assert [one.machine.id for one in found.worst_first] == ["edges", "saw"]


def test_tasks_count_their_own_machines_hours_and_the_shops_projects() -> None:
    """Not those of other machines."""
    by_hours = Task("h", "H", every_minutes=600.0, every="10 hours")
    by_projects = Task("p", "P", every_projects=2, every="2 projects")
    done = {("edges", "h"): Done(1, NOW), ("edges", "p"): Done(2, NOW)}
    told = Told(seq=5)
    told.happen("saw", "hours run").happen("edges", "hours run").happen("", "project finished")
    totals = {"saw": 9000.0, "edges": 600.0, "": 1.0}
    past = Past(
        happenings=[one._replace(total=totals[one.machine]) for one in told.happenings], tasks=done
    )
    _, machine = kept(past, by_hours, by_projects)
    assert [one.due for one in machine.tasks] == [True, False]


@pytest.mark.parametrize(
    ("slot", "words"),
    [
        (OUT, "depends on Slot, which is out, and on Blade, which is borderline"),
        (
            NEAR,
            "depends on Blade, which is borderline, and on Slot, which is borderline: checking"
            " Gauge again cannot help",
        ),
        (None, "depends on Slot, which is unproven, and on Blade, which is borderline"),
    ],
)
def test_all_that_it_rests_on_and_is_not_true_is_named_the_worst_first(
    slot: float | None, words: str
) -> None:
    """That is checked first, too, wherever it stands in the shop file."""
    told = Told().check("saw.blade", NEAR).check("saw.gauge")
    if slot is not None:
        told.check("saw.slot", slot)
    gauge = make_point("saw.gauge", rests_on=("saw.blade", "saw.slot"))
    shop = make_shop(make_point("saw.blade"), make_point("saw.slot"), gauge)
    found = point(standing(shop, told), "saw.gauge")
    assert found.reason == f"true by itself; {words}"
    assert found.first == ("saw.blade" if slot == NEAR else "saw.slot")


def test_what_lies_between_and_is_out_itself_is_named_before_a_root_that_is_borderline() -> None:
    """The root is checked first all the same: what is measured from it may be true then."""
    told = Told().check("saw.table", NEAR).check("saw.fence", OUT).check("saw.sled")
    found = point(standing(chain(), told), "saw.sled")
    named = "depends on Fence, which is out, and on Table, which is borderline"
    assert (found.reason, found.first) == (f"true by itself; {named}", "saw.table")
