"""A machine with its cutter out, the change that is due on it, and how upkeep follows itself."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from types import SimpleNamespace
from typing import Any, cast

import pytest

from shopboard.journal import Entry
from shopboard.prep.due_changes import due_changes, planned_changes
from shopboard.prep.job_list import KnownNow
from shopboard.prep.pieces import Piece
from shopboard.prep.schedule.job import Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.stays_open import StaysOpen
from shopboard.prep.stopped import cutter_is_out, stopped_mode
from shopboard.prep.work import to_do
from shopboard.shop.machine import Cutter, CutterKind, Machine, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past, ShopStanding
from shopboard.upkeep.begun import Begun
from tests.builders import DRAWER

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
OFF, ON = TaskStep("Blade off", cutter="off"), TaskStep("Blade on", cutter="on")
PITCH = Task("pitch", "Clean the blade", every_days=14, steps=(TaskStep("Wipe"), OFF, ON))
RIP = Cutter("rip", "Rip blade", "on the machine", "dull")
SPARE = Cutter("spare", "Spare blade", "on the shelf", "sharp", spare_for="rip")


def standing_of(*machines: Machine, **past: Any) -> ShopStanding:
    return shop_standing(Shop("Loft", "inch", machines, DRAWER), Past(**past), NOW)


def at(standing: ShopStanding) -> Any:
    """An open shop as far as it is asked here."""
    return cast(Any, SimpleNamespace(standing=standing))


def under_way(machine: str, kind: CutterKind) -> dict[tuple[str, str], Entry]:
    body: dict[str, object] = {"open": True, "kind": kind}
    entry = Entry(1, "u", NOW, "cutter", machine, "", "", body, None, clock_ok=True)
    return {(machine, ""): entry}


@pytest.mark.parametrize(("steps", "out"), [(0, False), (1, True), (2, True), (3, False)])
def test_from_the_step_that_takes_it_off_to_the_one_that_puts_it_on_it_is_out(
    steps: int, *, out: bool
) -> None:
    """Off by the second step of three, on by the third; a step that was begun counts as done."""
    begun = {("a", "pitch"): Begun("u", NOW, steps, NOW, 0.0, NOW)}
    (one,) = standing_of(Machine("a", "A", tasks=(PITCH,)), begun=begun).machines
    words = "Clean the blade, cutter off, is in progress" if out else ""
    assert cutter_is_out(one) == words
    plain = PITCH._replace(steps=(TaskStep("Wipe"), TaskStep("Oil"), TaskStep("Look")))
    (one,) = standing_of(Machine("a", "A", tasks=(plain,)), begun=begun).machines
    assert cutter_is_out(one) == ""
    for near in (True, False):  # begun by other steps than those of today
        other = {("a", "pitch"): begun["a", "pitch"]._replace(same=False)}
        task = PITCH._replace(cutter_near=near)
        (one,) = standing_of(Machine("a", "A", tasks=(task,)), begun=other).machines
        assert bool(cutter_is_out(one)) == near


@pytest.mark.parametrize(
    ("kind", "where", "spare_on", "words"),
    [
        ("blade", "on the shelf", False, "Rip blade is on the shelf, and nothing is on in its"),
        ("blade", "on the shelf", True, ""),
        ("blade", "on the machine", False, ""),
        ("bit", "on the shelf", False, ""),  # a bit is put in for each cut
    ],
)
def test_a_machine_without_its_cutter_is_out_until_one_is_on(
    kind: CutterKind, where: Any, words: str, *, spare_on: bool
) -> None:
    cutters = (RIP._replace(kind=kind), SPARE._replace(kind=kind))
    (one,) = standing_of(Machine("a", "A", cutters=cutters)).machines
    lies = one.cutters[0]._replace(where=where)
    spare = one.cutters[1]._replace(where="on the machine" if spare_on else "on the shelf")
    said = cutter_is_out(one._replace(cutters=(lies, spare)))
    assert said.startswith(words) if words else not said
    never_on = spare._replace(where="on the shelf")
    assert cutter_is_out(one._replace(cutters=(never_on,))) == ""
    elsewhere = lies._replace(machine="b")
    assert cutter_is_out(one._replace(cutters=(elsewhere,))) == ""


def test_a_tag_stops_all_modes_before_a_cutter_that_is_out() -> None:
    modes = tuple(Machine(name, name.upper(), body="combi") for name in "abc")
    alone = Machine("d", "D")
    standing = standing_of(*modes, alone, cutters=under_way("b", "knives"))
    a, b, c, d = standing.machines
    assert cutter_is_out(b) == "knife change is in progress"
    assert [stopped_mode(at(standing), one) for one in (a, b, c, d)] == [b, b, b, d]
    tagged = standing_of(*modes, alone, cutters=under_way("b", "knives"), tags={"c": "no guard"})
    a, b, c, d = tagged.machines
    assert [stopped_mode(at(tagged), one) for one in (a, b, c, d)] == [c, c, c, d]
    calm = standing_of(*modes, alone)
    assert [stopped_mode(at(calm), one) for one in calm.machines] == [*calm.machines]
    d_stopped = standing_of(*modes, alone, tags={"d": "no guard"})
    assert stopped_mode(at(d_stopped), d_stopped.machines[0]) == d_stopped.machines[0]


def change_on(*cutters: Cutter, **past: Any) -> tuple[Piece | None, list[StaysOpen]]:
    (one,) = standing_of(Machine("a", "A", cutters=cutters), **past).machines
    said: list[StaysOpen] = []
    return next(iter(due_changes(one, ["a"], said)), None), said


def test_a_dull_blade_is_changed_for_its_spare_in_words() -> None:
    piece, said = change_on(RIP, SPARE)
    assert piece is not None
    assert (piece.id, piece.machine, piece.act) == ("cutter a.spare", "a", "put on")
    assert (piece.name, piece.words) == ("Spare blade on", "Change to Spare blade")
    assert (piece.why, piece.target, said) == ("Rip blade: dull", "spare", [])
    for no_spare in (
        SPARE._replace(state="dull"),
        SPARE._replace(where="at the sharpener"),
        SPARE._replace(kind="band"),
        SPARE._replace(spare_for=""),
    ):
        piece, said = change_on(RIP, no_spare)
        assert piece is None
        assert said[0].words.startswith("A, Rip blade: dull; no sharp one in the shop.")
        meant = "if Spare blade does its work" in said[0].remedy
        assert meant == (not no_spare.spare_for)


def test_two_edges_are_turned_and_not_changed() -> None:
    knives = Cutter("k", "Knives", "on the machine", "dull", "knives", edges=2, edge=1)
    piece, _ = change_on(knives)
    assert piece is not None
    assert (piece.id, piece.name, piece.words) == ("cutter a.k", "Turn Knives", piece.name)
    used_up, said = change_on(knives._replace(edge=2))
    assert used_up is None
    assert len(said) == 1


def test_what_a_planned_change_brings_about() -> None:
    """What undoes is named as the shop file names it: a blade changed, knives changed or turned."""

    def planned(*cutters: Cutter, **past: Any) -> tuple[str, tuple[str, ...]]:
        machines = (Machine("a", "A", cutters=cutters, body="x"), Machine("b", "B", body="x"))
        (found,) = planned_changes(standing_of(*machines, **past).machines[0], ["a", "b"], [])
        return found.happened, found.elsewhere

    both = ("b",)
    knives = Cutter("k", "Knives", "on the machine", "dull", "knives", edges=2, edge=1)
    spare = knives._replace(id="s", where="on the shelf", state="sharp", spare_for="k", edges=1)
    assert planned(RIP, SPARE) == ("blade changed", ())
    assert planned(knives) == ("knives turned", ())
    assert planned(knives._replace(serves=both)) == ("knives turned", both)
    assert planned(knives._replace(edges=1, serves=both), spare) == ("knives changed", both)
    assert planned(cutters=under_way("a", "knives")) == ("knives changed", ())
    assert planned(knives, cutters=under_way("a", "knives")) == ("knives changed", ())


@pytest.mark.parametrize(
    ("day", "on"), [("abc", "b"), ("ac", "a"), ("ca", "c"), ("a", "a"), ("bd", "b")]
)
def test_a_head_of_three_modes_is_changed_once_where_it_belongs_or_in_the_first(
    day: str, on: str
) -> None:
    """It belongs to b; a and c use it, too; d has nothing to do with it."""
    head = (RIP._replace(kind="knives", serves=("a", "c")), SPARE._replace(kind="knives"))
    machines = (
        Machine("a", "A", body="x"),
        Machine("b", "B", body="x", cutters=head),
        Machine("c", "C", body="x"),
        Machine("d", "D", body="x"),
    )
    standing = standing_of(*machines)
    found = [one.machine.id for one in standing.machines if due_changes(one, [*day], [])]
    assert found == [on]


def jobs_of(*machines: Machine, **past: Any) -> dict[str, dict[str, float]]:
    shop = Shop("Loft", "inch", machines, DRAWER)
    known = KnownNow(shop, shop_standing(shop, Past(**past), NOW), NOW, lambda _: 6.0)
    return {job.id: dict(job.after) for job in to_do(known).jobs}


def test_an_edge_is_honed_right_after_it_is_ground() -> None:
    """Without any wait, and after nothing that it has nothing to do with."""
    hone, strop = (Task(name, name, every_days=30) for name in ("hone", "strop"))
    grind = Task("grind", "grind", every_days=30, undoes=("hone",))
    found = jobs_of(Machine("e", "E", tasks=(hone, strop, grind)))
    assert found == {
        "task e.strop 0": {},
        "task e.grind 0": {},
        "task e.hone 0": {"task e.grind 0": 0},
    }
    begun = {("e", "hone"): Begun("u", NOW, 1, NOW, 0.0, NOW)}
    steps = (TaskStep("Coarse"), TaskStep("Fine"))
    found = jobs_of(Machine("e", "E", tasks=(hone._replace(steps=steps), grind)), begun=begun)
    assert found == {"task e.hone 2": {}, "task e.grind 0": {}}


def test_what_stays_on_the_machine_comes_last() -> None:
    """Dirt first, then what leaves nothing, then wax; by the shop file's order otherwise."""
    wax = Task("wax", "Wax", every_days=9, leaves="wax")
    look = Task("look", "Look at the belts", every_days=9)
    dust = Task("dust", "Empty the bag", every_days=9, leaves="dirt")
    found = jobs_of(Machine("a", "A", tasks=(wax, look, dust)))
    assert [*found] == ["task a.dust 0", "task a.look 0", "task a.wax 0"]
    assert found["task a.wax 0"] == {"task a.dust 0": 0}


def test_of_two_that_are_open_both_are_closed_right_before_a_third_is_opened() -> None:
    """Whatever comes first of the two."""
    machines = tuple(Machine(name, name, tasks=(PITCH,)) for name in "abc")
    begun = {(name, "pitch"): Begun("u", NOW, 2, NOW, 0.0, NOW) for name in "ab"}
    shop = Shop("Loft", "inch", machines, DRAWER)
    known = KnownNow(shop, shop_standing(shop, Past(begun=begun), NOW), NOW, lambda _: 6.0)
    todo = to_do(known)
    assert {job.id: job.closes for job in todo.jobs if job.closes and not job.opens} == {
        "task a.pitch 3": "a",
        "task b.pitch 3": "b",
    }
    plan = schedule(Workday(todo.jobs, open_now=todo.open_now))
    assert plan.order[-1] == "task c.pitch 1"


def test_a_task_takes_a_minute_a_piece_at_least_and_its_wait_from_the_last_step() -> None:
    """Half an hour of six steps are five each; a quarter of a minute is not planned."""
    steps = tuple(TaskStep(str(n), 12 if n == 2 else 0) for n in range(1, 7))
    task = Task("t", "T", every_days=9, minutes=30.0, steps=steps)
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=(task,)),), DRAWER)

    def pieces(shop: Shop, **past: Any) -> list[tuple[float, float, tuple[int, int], int]]:
        known = KnownNow(shop, shop_standing(shop, Past(**past), NOW), NOW, lambda _: 6.0)
        found = to_do(known).pieces.values()
        return [(one.minutes, one.wait, one.steps, one.of) for one in found]

    assert pieces(shop) == [(10, 12, (1, 2), 6), (20, 0, (3, 6), 6)]
    quick = task._replace(minutes=1.5)
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=(quick,)),), DRAWER)
    assert pieces(shop) == [(1, 12, (1, 2), 6), (1, 0, (3, 6), 6)]
    since = NOW - timedelta(minutes=5)
    begun = {("a", "t"): Begun("u", since, 2, since, 12.0, since)}
    assert pieces(shop, begun=begun) == [(1, 0, (3, 6), 6)]
