"""A day planned from random shops: every constraint kept, everything in it once.

The plan is held against the shop itself by rules written here, not against the jobs it was made
from.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import UTC, datetime, timedelta
from itertools import combinations, pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry
from shopboard.metrology.instruments import OtherTool
from shopboard.prep.due_checks import comes_back, measured_with
from shopboard.prep.job_list import KnownNow, ToDo
from shopboard.prep.minutes import task_minutes
from shopboard.prep.pieces import Piece, takes_cutter_off
from shopboard.prep.plan import PlanLine
from shopboard.prep.schedule.job import Job, Workday
from shopboard.prep.schedule.shortest_day import schedule
from shopboard.prep.time_had import Window
from shopboard.prep.timing import DayToPlan, timed
from shopboard.prep.work import to_do
from shopboard.prep.worth import Worth
from shopboard.results.record import Holds
from shopboard.shop.machine import Cutter, CutterMove, Machine, Point, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import MachineStanding, Past, PointStanding, ShopStanding, State
from shopboard.upkeep.begun import Begun
from shopboard.upkeep.undone import below, undone_through
from tests.builders import DRAWER, make_point, make_shop
from tests.checks.machines import DIALS
from tests.in_turn import part
from tests.standing.test_judge import record

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
MINUTES = 6.0
NOTHING = Past()
BLADE_OFF = "Blade off, into the tub"
SOAK = (
    TaskStep(BLADE_OFF, cutter="off"),
    TaskStep("Spray, then soak", 10),
    TaskStep("Scrub the teeth"),
    TaskStep("Blade on, nut tight", cutter="on"),
)
KINDS: dict[str, Task] = {
    "empty": Task("empty", "Empty the dust box", every_days=14, leaves="dirt"),
    "wax": Task(
        "wax",
        "Wax the table",
        every_days=14,
        leaves="wax",
        steps=(TaskStep("Wax on", 10), TaskStep("Buff off")),
    ),
    "pitch": Task(
        "pitch", "Clean the blade", every_days=14, leaves="dirt", cutter_near=True, steps=SOAK
    ),
    "oil": Task(
        "oil",
        "Oil the ways",
        every_days=14,
        leaves="wax",
        steps=(TaskStep("Oil on"), TaskStep("Leave it", 30)),
    ),
    "tyres": Task("tyres", "Brush the tyres", after=("blade changed",), leaves="dirt"),
    "scour": Task(
        "scour",
        "Scour and wax the fence",
        every_days=14,
        leaves="wax",
        steps=(
            TaskStep("Solvent over it", leaves="dirt"),
            TaskStep("Wax on", 10),
            TaskStep("Buff off"),
        ),
    ),
    "bath": Task(
        "bath",
        "Wash the guides",
        every_days=14,
        steps=(
            TaskStep("Guides off"),
            TaskStep("Into the tray", 20, off_machine=True),
            TaskStep("Dry them on the bench", off_machine=True),
        ),
    ),
    "never": Task("never", "Swap the wheels when they hum"),
}
NATURAL = ("empty", "pitch", "change", "tyres", "bath", "never", "scour", "wax", "oil")
"""An order in which all may be done: what is drawn to come before something keeps to it."""
SHARP_AND_DULL = (
    Cutter("rip", "Rip blade", "on the machine", "dull"),
    Cutter("spare", "Spare blade", "on the shelf", "sharp", spare_for="rip"),
)


KNIVES = tuple(one._replace(kind="knives") for one in SHARP_AND_DULL)


def with_order(
    draw: st.DrawFn, tasks: tuple[Task, ...], cutters: tuple[Cutter, ...]
) -> tuple[tuple[Task, ...], tuple[Cutter, ...]]:
    """Let some say that they come before others, as far as that can be kept."""

    def later(name: str) -> tuple[str, ...]:
        names = [one.id for one in tasks] + ["change"] * bool(cutters)
        after = sorted(one for one in names if NATURAL.index(one) > NATURAL.index(name))
        drawn = draw(st.sets(st.sampled_from(after), max_size=2)) if after else set[str]()
        return tuple("spare" if one == "change" else one for one in sorted(drawn))

    said = tuple(one._replace(before=later(one.id)) for one in tasks)
    return said, tuple(
        one._replace(before=later("change") if one.id == "spare" else ()) for one in cutters
    )


@st.composite
def shops(draw: st.DrawFn) -> tuple[Shop, Past]:
    """A shop of few machines, some of them modes of one body, and tasks that were begun."""
    machines: list[Machine] = []
    names: list[str] = []
    begun: dict[tuple[str, str], Begun] = {}
    for number in range(draw(st.integers(1, 3))):
        ident = f"m{number}"
        points: list[Point] = []
        for at in range(draw(st.integers(0, 3))):
            bases = draw(st.sets(st.sampled_from(names), max_size=2)) if names else set()
            undone = ("blade changed",) if draw(st.booleans()) else ()
            name = f"{ident}.p{at}"
            point = make_point(name, rests_on=tuple(sorted(bases)), undone_by=undone)
            if draw(st.integers(0, 3)) == 0:
                bare = point.geometry._replace(face="flange, blade off")
                point = point._replace(geometry=bare, cutter_near=True, cutter_off=True)
            points.append(point)
            names.append(name)
        kinds = draw(st.sets(st.sampled_from(sorted(KINDS)), max_size=3))
        tasks = tuple(KINDS[kind] for kind in sorted(kinds))
        for task in tasks:
            if task.steps and draw(st.integers(0, 3)) == 0:
                done = draw(st.integers(1, len(task.steps) - 1))
                since = NOW - timedelta(minutes=draw(st.integers(0, 15)))
                wait = task.steps[done - 1].wait_minutes
                begun[ident, task.id] = Begun("u", since, done, since, wait, since)
        body = draw(st.sampled_from(["", "combi"]))
        cutters = draw(st.sampled_from([(), SHARP_AND_DULL, KNIVES]))
        if len(kinds) > 1 and draw(st.booleans()):
            tasks, cutters = with_order(draw, tasks, cutters)
        machines.append(
            Machine(
                ident,
                ident.upper(),
                points=tuple(points),
                tasks=tasks,
                cutters=cutters,
                body=body,
                change_minutes=5.0,
            )
        )
    shared = draw(st.booleans())
    for at, one in enumerate(machines):
        if shared and one.body and one.cutters:
            others = tuple(each.id for each in machines if each.body and not each.cutters)
            both = tuple(each._replace(serves=others) for each in one.cutters)
            machines[at] = one._replace(cutters=both)
            break
    return Shop("The loft", "inch", tuple(machines), DRAWER), Past(begun=begun)


def planned(
    shop: Shop,
    past: Past = NOTHING,
    *,
    allow_open: bool = False,
    seconds: float = 0.05,
    in_hand: str = "",
) -> tuple[list[PlanLine], ToDo]:
    standing = shop_standing(shop, past, NOW)
    present = KnownNow(shop, standing, NOW, lambda point: MINUTES, in_hand=in_hand)
    todo = to_do(present._replace(allow_open=allow_open))
    changes = {(one.body, one.id): one.change_minutes for one in shop.machines if one.body}
    day = Workday(todo.jobs, changes, allow_open=allow_open, open_now=todo.open_now)
    found = schedule(day, seconds)
    lines, finish = timed(DayToPlan(todo, day, NOW, (Window(NOW),), Worth((), {})), found, NOW)
    assert finish == NOW + timedelta(minutes=found.finish)  # nothing is late: both count alike
    return [*lines], todo


def of(lines: Sequence[PlanLine], machine: str, sort: str = "") -> list[PlanLine]:
    return [one for one in lines if one.piece.machine == machine and sort in ("", one.piece.sort)]


def target(lines: Sequence[PlanLine], machine: str, name: str) -> list[PlanLine]:
    return [one for one in of(lines, machine) if one.piece.target == name]


@given(shops(), st.integers(0, 20))
@settings(max_examples=part(120), deadline=None)
def test_a_check_in_hand_comes_first_whatever_else_is_open(
    made: tuple[Shop, Past], number: int
) -> None:
    """It was begun, be that wise or not: the rest is planned after it."""
    shop, past = made
    names = [*shop.points]
    assume(names)
    in_hand = names[number % len(names)]
    lines, _ = planned(shop, past, in_hand=in_hand)
    assert lines[0].piece.target == in_hand
    one_person_does_one_thing_at_a_time(lines)
    checks = {one.piece.target: one for one in lines if one.piece.sort == "check"}
    assert checks.keys() == shop.points.keys()
    for name, point in shop.points.items():
        for base in below(point, shop.points) if name != in_hand else ():
            assert checks[base].end <= checks[name].start


@given(shops())
@settings(max_examples=part(120), deadline=None)
def test_every_constraint_is_kept_and_everything_is_in_it_once(made: tuple[Shop, Past]) -> None:
    shop, past = made
    lines, todo = planned(shop, past)
    one_person_does_one_thing_at_a_time(lines)
    for machine in shop.machines:
        every_task_is_done_once(lines, shop, machine, past)
        upkeep_comes_before_checks(lines, machine)
        dirt_comes_before_wax(lines, machine, past)
        what_is_said_to_come_before_does(lines, machine, past)
        what_a_change_undoes_is_checked_after_it(lines, shop, machine)
    every_point_is_checked_once_after_what_it_rests_on(lines, shop)
    no_two_cutters_are_out_at_once(lines, shop, past, todo)


def one_person_does_one_thing_at_a_time(lines: Sequence[PlanLine]) -> None:
    for one, following in pairwise(lines):
        assert one.end + timedelta(minutes=following.change) <= following.start
        assert one.piece.minutes > 0


def every_task_is_done_once(
    lines: Sequence[PlanLine], shop: Shop, machine: Machine, past: Past
) -> None:
    changed = any(
        cutter.kind == "blade" and (one is machine or machine.id in cutter.serves)
        for one in shop.machines
        for cutter in one.cutters
    )
    for task in machine.tasks:
        pieces = target(of(lines, machine.id, "task"), machine.id, task.id)
        due = task.every_days or (task.after and changed)
        begun = past.begun.get((machine.id, task.id))
        if not (due or begun):
            assert pieces == []
        elif not task.steps:
            assert [one.piece.steps for one in pieces] == [(0, 0)]
        else:
            done = begun.steps if begun is not None else 0
            steps = [n for one in pieces for n in range(one.piece.steps[0], one.piece.steps[1] + 1)]
            assert steps == [*range(done + 1, len(task.steps) + 1)]
            left = task_minutes(task) * (len(task.steps) - done) / len(task.steps)
            # a last wait ends with a look of a minute
            looks = sum(1 for one in pieces if one.piece.steps[1] < one.piece.steps[0])
            assert sum(one.piece.minutes for one in pieces) == pytest.approx(left + looks)
            waits_are_waited(pieces, task, begun)


def waits_are_waited(pieces: Sequence[PlanLine], task: Task, begun: Begun | None) -> None:
    if begun is not None and begun.since is not None:
        assert pieces[0].start >= begun.since + timedelta(minutes=begun.wait)
    for one, following in pairwise(pieces):
        wait = task.steps[one.piece.steps[1] - 1].wait_minutes
        assert wait > 0 or (task.id == "scour" and one.piece.steps == (1, 1))
        assert following.start >= one.end + timedelta(minutes=wait)


class Facts:
    def __init__(self, machine: Machine) -> None:
        self.blunt_has_a_spare = bool(machine.cutters)


def upkeep_comes_before_checks(lines: Sequence[PlanLine], machine: Machine) -> None:
    checks = of(lines, machine.id, "check")
    for one in (*of(lines, machine.id, "task"), *of(lines, machine.id, "cutter")):
        in_a_tray = one.piece.target == "bath" and one.piece.steps != (1, 2)
        assert in_a_tray or all(one.end <= check.start for check in checks)
    for change in of(lines, machine.id, "cutter"):
        for one in of(lines, machine.id, "task"):
            if one.piece.target == "tyres":  # it is due because of the change
                assert one.start >= change.end
            elif one.piece.target in ("empty", "pitch"):
                assert one.end <= change.start


def dirt_comes_before_wax(lines: Sequence[PlanLine], machine: Machine, past: Past) -> None:
    """None comes between, nor after; where the coat is on already, after it and never between."""
    names = ("empty", "pitch", "tyres")
    dirty = [one for name in names for one in target(lines, machine.id, name)]
    if any(one.kind == "knives" for one in machine.cutters):  # the head is cleaned
        dirty += of(lines, machine.id, "cutter")
    scour = target(lines, machine.id, "scour")
    dirty += [one for one in scour if one.piece.steps[0] == 1]
    for name in ("wax", "oil", "scour"):
        coat = [one for one in target(lines, machine.id, name) if one not in dirty]
        begun = past.begun.get((machine.id, name))
        if begun is None or (name == "scour" and begun.steps == 1):
            assert all(one.end <= after.start for one in dirty for after in coat)
        elif coat:
            begun_too = {one for m, one in past.begun if m == machine.id}
            others = [one for one in dirty if one.piece.target not in begun_too]
            assert all(one.start >= coat[-1].end for one in others)


def what_is_said_to_come_before_does(
    lines: Sequence[PlanLine], machine: Machine, past: Past
) -> None:
    """Where both are due, and neither was begun before that."""
    mine = of(lines, machine.id)
    said = {one.id: one.before for one in machine.tasks}
    for ident, before in (said | {one.id: one.before for one in machine.cutters}).items():
        firsts = [line for line in mine if line.piece.target == ident]
        for name in before:
            seconds = [line for line in mine if line.piece.target == name]
            if seconds and firsts and (machine.id, name) not in past.begun:
                assert firsts[-1].end <= seconds[0].start


def what_a_change_undoes_is_checked_after_it(
    lines: Sequence[PlanLine], shop: Shop, machine: Machine
) -> None:
    changes = of(lines, machine.id, "cutter")
    assert len(changes) == Facts(machine).blunt_has_a_spare
    for change in changes:
        assert (change.piece.target, change.piece.act) == ("spare", "put on")
        for name in undone_through(shop, machine, "blade changed"):
            (check,) = [one for one in lines if one.piece.target == name]
            assert check.start >= change.end
        for mode in machine.cutters[0].serves:
            assert all(one.start >= change.end for one in target(lines, mode, "tyres"))


def every_point_is_checked_once_after_what_it_rests_on(
    lines: Sequence[PlanLine], shop: Shop
) -> None:
    checks = {one.piece.target: one for one in lines if one.piece.sort == "check"}
    assert len(checks) == sum(1 for one in lines if one.piece.sort == "check")
    assert checks.keys() == shop.points.keys()  # none was ever checked
    for name, point in shop.points.items():
        for base in below(point, shop.points):
            assert checks[base].end <= checks[name].start


def no_two_cutters_are_out_at_once(
    lines: Sequence[PlanLine], shop: Shop, past: Past, todo: ToDo
) -> None:
    """From the step that takes it off to the one that puts it on, by their words."""
    stretches: list[tuple[str, datetime, datetime]] = []
    for machine in shop.machines:
        pieces = target(lines, machine.id, "pitch")
        if pieces:
            begun = past.begun.get((machine.id, "pitch"))
            start = NOW if begun is not None else pieces[0].start
            stretches.append((machine.id, start, pieces[-1].end))
        shut = [*of(lines, machine.id, "cutter"), *bare_checks(lines, shop, machine)]
        stretches += [(machine.id, one.start, one.end) for one in shut]
    open_now = [machine for machine, start, _ in stretches if start == NOW]
    for one, other in combinations(stretches, 2):
        if one[0] != other[0] and not (one[0] in open_now and other[0] in open_now):
            assert one[2] <= other[1] or other[2] <= one[1]


def bare_checks(lines: Sequence[PlanLine], shop: Shop, machine: Machine) -> list[PlanLine]:
    """The checks that are made with the cutter off."""
    return [
        one
        for one in of(lines, machine.id, "check")
        if "off" in shop.points[one.piece.target].geometry.face
    ]


def pieces_of(*machines: Machine, past: Past = NOTHING) -> list[Piece]:
    return [one.piece for one in planned(Shop("Loft", "inch", machines, DRAWER), past)[0]]


def test_a_long_wait_starts_first_and_the_rest_is_done_meanwhile() -> None:
    """Blades taken to the sharpener, two hours there: nothing else is before it."""
    errand = Task(
        "errand", "Blades to the sharpener", every_days=90,
        steps=(TaskStep("Take them there", 120), TaskStep("Fetch them")),
    )  # fmt: skip
    drum = KINDS["empty"]
    lines, _ = planned(
        Shop("Loft", "inch", (Machine("a", "A", tasks=(drum,)), Machine("b", "B", tasks=(errand,))),
             DRAWER)
    )  # fmt: skip
    assert [one.piece.target for one in lines] == ["errand", "empty", "errand"]
    assert (lines[-1].end - NOW) == timedelta(minutes=3 + 120 + 3)


def jobs_of(task: Task, past: Past = NOTHING) -> list[Job]:
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=(task,)),), DRAWER)
    present = KnownNow(shop, shop_standing(shop, past, NOW), NOW, lambda point: MINUTES)
    return [*to_do(present).jobs]


def test_what_follows_a_wait_has_patience_for_half_of_it() -> None:
    """But ten minutes at least (our choice); nothing hurries where nothing follows or waits."""
    assert [job.patience for job in jobs_of(KINDS["wax"])] == [math.inf, 10]
    soak = KINDS["oil"]._replace(steps=(TaskStep("Oil on", 30), TaskStep("Wipe it off")))
    assert [job.patience for job in jobs_of(soak)] == [math.inf, 15]
    assert [job.patience for job in jobs_of(KINDS["oil"])] == [math.inf, math.inf]
    assert [job.patience for job in jobs_of(KINDS["empty"])] == [math.inf]


@pytest.mark.parametrize(("minutes", "early"), [(29.9, False), (30, True)])
def test_a_wait_of_half_an_hour_is_begun_early(minutes: float, *, early: bool) -> None:
    """What goes wrong meanwhile does not make the day longer (common practice, no source)."""
    task = KINDS["oil"]._replace(steps=(TaskStep("Oil on", minutes), TaskStep("Wipe it off")))
    assert [job.first for job in jobs_of(task)] == [early, False]


@pytest.mark.parametrize(
    ("ago", "ready", "patience"), [(4, 6, 10), (10, 0, 10), (12, 0, 8), (20, 0, 0), (60, 0, 0)]
)
def test_of_a_wait_that_is_over_the_patience_runs_out_once(
    ago: float, ready: float, patience: float
) -> None:
    """Not anew with each plan: what hazed 10 minutes too long is to be buffed before all else."""
    since = NOW - timedelta(minutes=ago)
    past = Past(begun={("a", "wax"): Begun("u", since, 1, since, 10.0, since)})
    (job,) = jobs_of(KINDS["wax"], past)
    assert (job.ready, job.patience) == (ready, patience)


def test_two_machines_stand_open_only_where_that_is_allowed() -> None:
    """With the second blade off in the soaking time of the first, the day is shorter."""
    shop = Shop(
        "Loft",
        "inch",
        tuple(Machine(i, i, tasks=(KINDS["pitch"],)) for i in ("a", "b")),
        DRAWER,
    )
    careful, _ = planned(shop)
    allowed, _ = planned(shop, allow_open=True)
    assert [one.piece.machine for one in careful] in (["a", "a", "b", "b"], ["b", "b", "a", "a"])
    assert allowed[-1].end < careful[-1].end


def test_two_that_stand_open_are_closed_before_a_third_is_opened() -> None:
    machines = tuple(Machine(i, i, tasks=(KINDS["pitch"],)) for i in ("a", "b", "c"))
    begun = Begun("u", NOW, 2, NOW, 10.0, NOW)
    past = Past(begun={("a", "pitch"): begun, ("b", "pitch"): begun})
    lines, todo = planned(Shop("Loft", "inch", machines, DRAWER), past)
    assert todo.open_now == "a"
    assert [one.piece.machine for one in lines][2:] == ["c", "c"]


def test_a_change_left_half_done_and_a_blade_off_on_one_machine() -> None:
    """The change comes before the rest of the task; another machine is opened after both."""
    entry = Entry(
        1, "u", NOW, "cutter", "a", "", "", {"open": True, "kind": "blade"}, None, clock_ok=True
    )
    machines = tuple(Machine(i, i, tasks=(KINDS["pitch"],)) for i in ("a", "b"))
    past = Past(
        begun={("a", "pitch"): Begun("u", NOW, 2, NOW, 10.0, NOW)}, cutters={("a", ""): entry}
    )
    lines, _ = planned(Shop("Loft", "inch", machines, DRAWER), past)
    assert [(one.piece.machine, one.piece.sort) for one in lines] == [
        ("a", "cutter"),
        ("a", "task"),
        ("b", "task"),
        ("b", "task"),
    ]


@pytest.mark.parametrize(("kind", "minutes"), [("blade", 3), ("band", 6), ("knives", 15)])
def test_a_change_under_way_takes_half_of_what_its_kind_takes(kind: str, minutes: float) -> None:
    """Knives on screws are not put on in the time of a blade (common practice, no source)."""
    entry = Entry(
        1, "u", NOW, "cutter", "a", "", "", {"open": True, "kind": kind}, None, clock_ok=True
    )
    lines, _ = planned(
        Shop("Loft", "inch", (Machine("a", "a"),), DRAWER),
        Past(cutters={("a", ""): entry}),
    )
    assert [(one.piece.sort, one.piece.minutes) for one in lines] == [("cutter", minutes)]


def test_edges_are_ground_before_they_are_honed() -> None:
    names = ("Hone the gouges", "Grind the gouges anew", "Hone the marking knives")
    tasks = [Task(str(n), name, every_days=30, leaves="dirt") for n, name in enumerate(names)]
    tasks[1] = tasks[1]._replace(undoes=("0",))
    order = [piece.name for piece in pieces_of(Machine("edges", "Edges", tasks=tuple(tasks)))]
    assert order.index(names[1]) < order.index(names[0])


def test_no_sharp_cutter_at_hand_is_said_and_not_planned() -> None:
    machine = Machine("saw", "Saw", points=(make_point("saw.blade"),), cutters=SHARP_AND_DULL[:1])
    lines, todo = planned(Shop("Loft", "inch", (machine,), DRAWER))
    assert [one.piece.sort for one in lines] == ["check"]
    (said,) = todo.stays_open
    assert (
        said.words == "Saw, Rip blade: dull; no sharp one in the shop. To settle it: send it out."
    )


def test_a_sharp_cutter_that_is_not_meant_for_it_is_named() -> None:
    """Two sets lie there and one is sharp: that none is at hand would be hard to believe."""
    two = (SHARP_AND_DULL[0], SHARP_AND_DULL[1]._replace(spare_for=""))
    machine = Machine("saw", "Saw", points=(make_point("saw.blade"),), cutters=two)
    lines, todo = planned(Shop("Loft", "inch", (machine,), DRAWER))
    assert [one.piece.sort for one in lines] == ["check"]
    (said,) = todo.stays_open
    spare = "if Spare blade does its work, say so: e on the board, spare_for in the shop file"
    assert said.remedy == spare
    kind = (two[0], two[1]._replace(kind="bit"))
    _, other = planned(Shop("Loft", "inch", (machine._replace(cutters=kind),), DRAWER))
    assert "Spare blade" not in other.stays_open[0].words


def test_two_edged_knives_are_turned() -> None:
    knives = Cutter("k", "Knives", "on the machine", "dull", "knives", edges=2, edge=1)
    (piece,) = pieces_of(Machine("planer", "Planer", cutters=(knives,)))
    assert (piece.sort, piece.target, piece.act) == ("cutter", "k", "turn")


def test_a_tagged_machine_is_left_out_and_said() -> None:
    shop = make_shop(make_point("saw.blade"), make_point("planer.bed"))
    lines, todo = planned(shop, Past(tags={"saw": "guard is off"}))
    assert [one.piece.target for one in lines] == ["planer.bed"]
    (said,) = todo.stays_open
    assert said.words == "Saw: DO NOT USE, guard is off. To settle it: fix Saw, then clear its tag."
    assert not planned(shop)[1].stays_open


def test_a_check_with_the_blade_off_comes_before_those_that_it_undoes() -> None:
    geometry = make_point().geometry._replace(face="arbor flange, blade off")
    blade = make_point("saw.blade", undone_by=("blade changed",))
    arbor = make_point("saw.arbor", geometry=geometry, cutter_near=True, cutter_off=True)
    lines, _ = planned(make_shop(blade, arbor))
    assert [one.piece.target for one in lines] == ["saw.arbor", "saw.blade"]


@pytest.mark.parametrize(
    ("moves", "found"),
    [
        (("off", "stays", "on"), (1, 3)),
        (("stays", "off", "stays", "on", "stays"), (2, 4)),
        (("off", "on", "off", "on", "stays"), (1, 4)),
        (("off", "stays"), (1, 2)),
        (("on", "stays"), None),
        (("stays", "stays"), None),
    ],
)
def test_the_steps_tell_when_the_cutter_is_out(
    moves: tuple[CutterMove, ...], found: tuple[int, int] | None
) -> None:
    """Where none says that it is on again, it is out until the last."""
    steps = tuple(TaskStep("Schritt", cutter=one) for one in moves)
    assert takes_cutter_off(Task("t", "T", steps=steps, cutter_near=True)) == found


def test_a_square_is_proven_before_what_is_checked_with_it() -> None:
    """From its proof on, checks go by what was found of it: it serves none that came before."""
    square = DRAWER.squares[0].id
    proof = make_point("bench.square", proves=square, checks=("square-flip",))
    by_eye = make_point("saw.belt", checks=("go-no-go",))
    shop = make_shop(make_point("saw.blade"), by_eye, proof, drawer=DIALS)
    order = [one.piece.id for one in planned(shop)[0]]
    assert order.index("check bench.square") < order.index("check saw.blade")
    _, todo = planned(shop)
    after = {job.id: dict(job.after) for job in todo.jobs}
    assert "check bench.square" in after["check saw.blade"]
    assert "check bench.square" not in after["check saw.belt"]
    # one that itself rests on such a check comes after it, and no circle comes of it
    proof = proof._replace(rests_on=("saw.blade",))
    order = [
        one.piece.id for one in planned(make_shop(make_point("saw.blade"), proof, drawer=DIALS))[0]
    ]
    assert order == ["check saw.blade", "check bench.square"]


@pytest.mark.parametrize(
    ("proves", "words"), [("", "adjust Square, check it"), (DRAWER.squares[0].id, "check Square")]
)
def test_a_tool_that_is_out_is_not_asked_to_be_set_right(proves: str, words: str) -> None:
    """No screw sets a square of the drawer: from its proof on, checks go by what was found."""
    point = make_point("bench.square", proves=proves, checks=("square-flip",))
    shop = make_shop(point, drawer=DIALS)
    standing = shop_standing(shop, NOTHING, NOW)
    (bench,) = standing.machines
    out = bench._replace(points=(bench.points[0]._replace(state="out"),))
    present = KnownNow(shop, standing._replace(machines=(out,)), NOW, lambda point: MINUTES)
    assert [one.words for one in to_do(present).pieces.values()] == [words]


def begun_at(one: PlanLine, past: Past) -> bool:
    return (one.piece.machine, one.piece.target) in past.begun


def is_beside(one: PlanLine, shop: Shop) -> bool:
    first, last = one.piece.steps
    tasks = shop.machines_by_id[one.piece.machine].tasks
    steps = next((task.steps for task in tasks if task.id == one.piece.target), ())[
        first - 1 : last
    ]
    return bool(one.piece.of) and all(step.off_machine for step in steps)  # none: a wait's end


def test_what_is_out_is_on_again_before_the_machine_is_changed_over_to_take_out_more() -> None:
    """Both blades are to be cleaned, the first is off; two may be open, but not of one machine."""
    modes = tuple(
        Machine(name, name, body="combi", change_minutes=5.0, tasks=(KINDS["pitch"],))
        for name in ("m0", "m2")
    )
    past = Past(begun={("m0", "pitch"): Begun("u", NOW, 1, NOW, 0.0, NOW)})
    lines, _ = planned(Shop("L", "inch", modes, DRAWER), past, allow_open=True)
    assert [one.piece.machine for one in lines] == ["m0", "m0", "m2", "m2"]


@given(shops(), st.booleans())
@settings(max_examples=part(60), deadline=None)
def test_a_combination_machine_is_not_changed_over_while_its_cutter_is_out(
    made: tuple[Shop, Past], allow_open: bool
) -> None:
    """From the step that takes the blade off to the one that puts it on: no other mode of it."""
    shop, past = made
    lines, _ = planned(shop, past, allow_open=allow_open)
    for machine in shop.machines:
        mine = target(lines, machine.id, "pitch")
        if not machine.body or not mine:
            continue
        opened = NOW if (machine.id, "pitch") in past.begun else mine[0].start
        others = {one.id for one in shop.machines if one.body == machine.body} - {machine.id}
        between = [
            one
            for one in lines
            if one.piece.machine in others
            and opened <= one.start < mine[-1].end
            # where two are out already, the blade of the other goes on in between, too
            and not (opened == NOW and one.piece.target == "pitch" and begun_at(one, past))
            and not is_beside(one, shop)  # a tray on the bench asks for no mode
        ]
        assert not between


def test_a_long_soak_of_one_mode_does_not_send_the_head_into_another() -> None:
    """By the minutes alone it would pay to wax the other mode's tables meanwhile."""
    soak = KINDS["pitch"]._replace(steps=(SOAK[0], TaskStep("Soak", 90), *SOAK[2:]))
    planing = Machine("planing", "Planing", tasks=(soak,), body="combi", change_minutes=5.0)
    jointing = Machine("jointing", "Jointing", tasks=(KINDS["wax"],), body="combi")
    lines, _ = planned(Shop("Loft", "inch", (planing, jointing), DRAWER))
    machines = [one.piece.machine for one in lines]
    assert machines in (
        ["planing", "planing", "jointing", "jointing"],
        ["jointing", "jointing", "planing", "planing"],
    )


TURN = Task(
    "turn", "Turn the blade", every_days=14, cutter_near=True,
    steps=(TaskStep("Blade off", cutter="off"), TaskStep("Blade on", cutter="on")),
)  # fmt: skip


def test_a_task_waits_for_what_would_spoil_it_and_for_nothing_else() -> None:
    """Wax after all that makes dirt; a blade comes off again when it is on (common practice)."""
    belts = Task("belts", "Look at the belts", every_days=14)
    tasks = (KINDS["empty"], belts, KINDS["pitch"], TURN, KINDS["wax"])
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=tasks),), DRAWER)
    present = KnownNow(shop, shop_standing(shop, NOTHING, NOW), NOW, lambda point: MINUTES)
    found = {job.id.removeprefix("task a."): job for job in to_do(present).jobs}
    assert {
        name: {(other.removeprefix("task a."), lag) for other, lag in job.after}
        for name, job in found.items()
    } == {
        "empty 0": set(),
        "belts 0": set(),
        "pitch 1": set(),
        "pitch 3": {("pitch 1", 10)},
        "turn 1": {("pitch 3", 0)},
        "wax 1": {("empty 0", 0), ("pitch 3", 0)},
        "wax 2": {("wax 1", 10)},
    }
    assert [name for name, job in found.items() if job.opens] == ["pitch 1", "turn 1"]
    assert [name for name, job in found.items() if job.closes] == ["pitch 3", "turn 1"]


@pytest.mark.parametrize(
    ("steps", "left", "out_now"),
    [
        (0, {"pitch 1": (6, "opens"), "pitch 3": (6, "closes")}, False),
        (1, {"pitch 2": (3, ""), "pitch 3": (6, "closes")}, True),
        (2, {"pitch 3": (6, "closes")}, True),
        (3, {"pitch 4": (3, "closes")}, True),
        (4, {}, False),
    ],
)
def test_a_task_under_way_goes_on_with_its_cutter_as_it_lies(
    steps: int, left: dict[str, tuple[float, str]], out_now: bool
) -> None:
    """Four steps of 3 minutes; off with the first, on with the last."""
    begun = Begun("u", NOW, steps, NOW, 10.0 if steps == 2 else 0.0, NOW)
    past = Past(begun={("a", "pitch"): begun})
    shop = Shop("Loft", "inch", (Machine("a", "A", tasks=(KINDS["pitch"],)),), DRAWER)
    present = KnownNow(shop, shop_standing(shop, past, NOW), NOW, lambda point: MINUTES)
    work = to_do(present)
    assert {
        job.id.removeprefix("task a."): (
            job.minutes,
            "opens" if job.opens else "closes" if job.closes else "",
        )
        for job in work.jobs
    } == left
    assert (work.open_now == "a") == out_now
    assert [job.ready for job in work.jobs][:1] == ([10 if steps == 2 else 0] if left else [])
    assert {one.why for one in work.pieces.values()} <= {"in progress"}


def test_when_the_last_wait_runs_only_that_it_is_over_is_left_to_say() -> None:
    """Oil left for 30 minutes, 20 of them ago: 10 to wait, and nothing runs on after that."""
    since = NOW - timedelta(minutes=20)
    past = Past(begun={("a", "oil"): Begun("u", since, 2, since, 30.0, since)})
    (job,) = jobs_of(KINDS["oil"], past)
    assert (job.ready, job.tail, job.patience) == (10, 0, math.inf)


def test_a_change_under_way_belongs_to_the_day_of_a_project_that_does_not_need_it() -> None:
    """A loose nut comes first, whatever the project asks for; a machine at rest is left alone."""
    body = {"open": True, "kind": "blade"}
    entry = Entry(1, "u", NOW, "cutter", "b", "", "", body, None, clock_ok=True)
    shop = make_shop(*(make_point(f"{one}.fence") for one in "abc"))
    standing = shop_standing(shop, Past(cutters={("b", ""): entry}), NOW)
    present = KnownNow(shop, standing, NOW, lambda point: MINUTES)
    todo = to_do(present._replace(needed=("a.fence",), to_check={"a.fence": "it is needed"}))
    assert [*todo.pieces] == ["cutter b", "check a.fence"]
    assert todo.left_out == (
        "Not for this project (B): Fence.",
        "Not for this project (C): Fence.",
    )


def test_what_is_not_for_a_project_is_named_of_a_few_machines_and_counted_of_the_rest() -> None:
    shop = make_shop(*(make_point(f"{one}.fence") for one in "abcdefghi"))
    standing = shop_standing(shop, Past(), NOW)
    present = KnownNow(shop, standing, NOW, lambda point: MINUTES)
    todo = to_do(present._replace(needed=("a.fence",), to_check={"a.fence": "it is needed"}))
    assert todo.left_out[0] == "Not for this project (B): Fence."
    assert todo.left_out[6:] == ("Not for this project: 2 more machines, 2 to check or to do.",)


def test_a_step_without_a_wait_holds_up_nothing_whatever_the_clock_said() -> None:
    """The clock was an hour ahead when the blade came off; nothing soaks since."""
    ahead = NOW + timedelta(hours=1)
    past = Past(begun={("a", "pitch"): Begun("u", ahead, 1, ahead, 0.0, ahead)})
    assert [job.ready for job in jobs_of(KINDS["pitch"], past)] == [0, 0]


@pytest.mark.parametrize("fences", [1, 2])
def test_what_is_true_again_with_its_base_is_counted_on_and_not_checked(fences: int) -> None:
    """The table has grown old; the fences on it were found true since it was last right."""
    table = make_point("saw.table", every_days=30)
    rest = [make_point(f"saw.fence{n}", rests_on=("saw.table",)) for n in range(fences)]
    shop = make_shop(table, *rest)
    latest = {
        ("saw", one.id): record(one.full_name, when=NOW - timedelta(days=40))
        for one in (table, *rest)
    }
    present = KnownNow(shop, shop_standing(shop, Past(latest), NOW), NOW, lambda point: MINUTES)
    todo = to_do(present)
    assert [*todo.pieces] == ["check saw.table"]
    names = ", ".join(one.name for one in rest)
    whose = "it depends" if fences == 1 else "they depend"
    assert todo.left_out == (f"True again once what {whose} on is: {names}.",)


def test_a_tool_is_proven_before_the_checks_that_take_its_sort() -> None:
    """A square before checks by square, a straightedge before those that lay one on."""
    edge = OtherTool("edge", "Straightedge", "straightedge", 600.0, 0.04)
    dial = OtherTool("dial", "Indicator", "indicator", 10.0, 0.01)
    shop = make_shop(drawer=DRAWER._replace(others=(dial, edge)))
    square = measured_with(shop, DRAWER.squares[0].id)
    assert "square" in square
    assert not {"straightness", "flatness", "coplanar"} & square
    straight = measured_with(shop, "edge")
    assert {"straightness", "flatness", "coplanar"} <= straight
    assert "square" not in straight
    assert measured_with(shop, "dial") == measured_with(shop, "of another day") == frozenset()


@pytest.mark.parametrize(
    ("state", "doubted", "minutes", "back"),
    [
        ("due", False, None, True),
        ("unproven", False, None, True),
        ("near", False, None, True),
        ("out", False, None, False),  # it has to be set, and moves what depends on it
        ("due", True, None, False),  # it was set by a bad tool
        ("due", False, 60, False),  # the running of the machine may use it up meanwhile
    ],
)
def test_what_waits_comes_back_with_its_base_unless_that_has_to_be_set(
    state: State, doubted: bool, minutes: int | None, back: bool
) -> None:
    table, fence = make_point("saw.table"), make_point("saw.fence")
    base = PointStanding(table, state, "", record("saw.table"), doubted=doubted)
    known = record("saw.fence")._replace(holds=Holds(90, minutes, 0.0, "it wanders"))
    waits = PointStanding(fence, "waits", "", known, first="saw.table")
    machine = make_shop(table, fence).machines[0]
    standing = ShopStanding((MachineStanding(machine, "waits", (base, waits)),))
    assert comes_back(waits, standing) is back
    assert comes_back(waits._replace(record=known._replace(holds=None)), standing) is (
        back or minutes is not None
    )
    for other in (waits._replace(state="due"), waits._replace(record=None)):
        assert not comes_back(other, standing)
