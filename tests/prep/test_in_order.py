"""In which order a machine's upkeep is planned: by its keys, each rule of the trade at work.

That wax wants a clean table that stays clean, and that a head is cleaned when its knives are
changed, is common practice, no source.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from shopboard.shop.machine import Cutter, Machine, Task, TaskStep
from shopboard.shop.model import Shop
from shopboard.standing.model import Past
from shopboard.upkeep.begun import Begun
from tests.builders import DRAWER, make_point
from tests.prep.test_work import KINDS, KNIVES, NOTHING, NOW, SHARP_AND_DULL, planned

WAX, EMPTY, SCOUR, BATH = (KINDS[name] for name in ("wax", "empty", "scour", "bath"))


def day(
    *tasks: Task, cutters: tuple[Cutter, ...] = (), past: Past = NOTHING, points: int = 0
) -> list[str]:
    """What is done, in its order: the task or what it is about, with its first step."""
    here = tuple(make_point(f"m.p{at}") for at in range(points))
    machine = Machine("m", "M", points=here, tasks=tasks, cutters=cutters)
    lines, _ = planned(Shop("Loft", "inch", (machine,), DRAWER), past)
    return [f"{one.piece.target} {one.piece.steps[0] or ''}".strip() for one in lines]


def begun(task: Task, done: int) -> Past:
    since = NOW - timedelta(minutes=1)
    wait = task.steps[done - 1].wait_minutes
    return Past(begun={("m", task.id): Begun("u", since, done, since, wait, since)})


def test_knives_are_changed_before_the_wax_and_a_blade_after_it() -> None:
    """The chips of the head would lie in it; a blade is changed through the clean table."""
    assert day(WAX, cutters=KNIVES) == ["spare", "wax 1", "wax 2"]
    assert day(WAX, cutters=SHARP_AND_DULL) == ["wax 1", "wax 2", "spare"]


def test_a_change_may_say_what_it_leaves() -> None:
    clean = tuple(one._replace(leaves="nothing") for one in KNIVES)
    dirty = tuple(one._replace(leaves="dirt") for one in SHARP_AND_DULL)
    assert day(WAX, cutters=clean)[-1] == "spare"
    assert day(WAX, cutters=dirty)[0] == "spare"


def test_no_table_is_scoured_while_the_wax_of_another_hazes() -> None:
    """Nor after it: all that is scoured there is scoured first."""
    other = SCOUR._replace(id="other")
    order = day(SCOUR, other, WAX)
    assert set(order[:2]) == {"scour 1", "other 1"}
    assert "wax 1" in order[2:]


def test_where_wax_hazes_already_dirt_waits_until_it_is_buffed() -> None:
    assert day(EMPTY, WAX, past=begun(WAX, 1)) == ["wax 2", "empty"]
    assert day(WAX, cutters=KNIVES, past=begun(WAX, 1)) == ["wax 2", "spare"]
    assert day(SCOUR, EMPTY, past=begun(SCOUR, 1)) == ["empty", "scour 2", "scour 3"]


def test_the_word_of_the_shop_file_counts_more_than_what_is_usual() -> None:
    assert day(EMPTY, WAX) == ["empty", "wax 1", "wax 2"]
    assert day(EMPTY, WAX._replace(before=("empty",))) == ["wax 1", "wax 2", "empty"]
    first = WAX._replace(before=("rip",))  # the dull one that comes off, or the one that goes on
    assert day(first, cutters=KNIVES) == ["wax 1", "wax 2", "spare"]
    tidy = Task("tidy", "Tidy up", every_days=7)
    assert day(tidy, cutters=SHARP_AND_DULL) == ["tidy", "spare"]
    later = (SHARP_AND_DULL[0], SHARP_AND_DULL[1]._replace(before=("tidy",)))
    assert day(tidy, cutters=later) == ["spare", "tidy"]


def test_a_machine_is_checked_while_its_guides_lie_in_the_tray() -> None:
    """It needs no more of the bath than that they are off."""
    assert day(BATH, points=1) == ["bath 1", "m.p0", "bath 3"]
    inside = tuple(one._replace(off_machine=False) for one in BATH.steps)
    assert day(BATH._replace(steps=inside), points=1) == ["bath 1", "bath 3", "m.p0"]


def test_nothing_of_the_machine_is_needed_where_all_is_done_off_it() -> None:
    steps = (TaskStep("Bag into the wash", 20, off_machine=True), TaskStep("Hang it up"))
    every = tuple(one._replace(off_machine=True) for one in steps)
    assert day(BATH._replace(steps=every), points=1) == ["bath 1", "m.p0", "bath 2"]


def test_a_cutter_in_the_bath_keeps_the_machine_from_being_checked() -> None:
    pitch = KINDS["pitch"]
    moves = tuple(one._replace(off_machine=one.cutter == "stays") for one in pitch.steps)
    assert day(pitch._replace(steps=moves), points=1)[-1] == "m.p0"


def test_a_step_says_how_long_its_wait_may_last_at_the_longest() -> None:
    """A cleaner that dries on in 12 minutes leaves no room for a job of 30 within its 10."""
    steps = (TaskStep("Cleaner on", 10, at_most_minutes=12), TaskStep("Wipe it off"))
    clean = Task("clean", "Clean the fence", steps=steps, every_days=7, minutes=4)
    sort = Task("sort", "Sort the shelf", every_days=7, minutes=20)
    machine = Machine("m", "M", tasks=(clean, sort))
    for kept in (steps, tuple(one._replace(at_most_minutes=60) for one in steps)):
        one = machine._replace(tasks=(clean._replace(steps=kept), sort))
        lines, _ = planned(Shop("Loft", "inch", (one,), DRAWER), NOTHING)
        first, second = (at for at, line in enumerate(lines) if line.piece.target == "clean")
        waited = lines[second].start - lines[first].end
        assert timedelta(minutes=10) <= waited <= timedelta(minutes=kept[0].at_most_minutes or 0)
        assert (second == first + 1) == (kept is steps)


def of_two_modes(*under: Task, cutters: tuple[Cutter, ...] = (), body: str = "combi") -> list[str]:
    """What is done in two modes of one body, mode by mode: dust and knives up, other tasks down."""
    dust = Task("dust", "Blow out the head", every_days=7, leaves="dirt")
    up = Machine("up", "Up", body=body, change_minutes=5, tasks=(dust,), cutters=cutters)
    down = Machine("down", "Down", body=body, change_minutes=5, tasks=under)
    lines, _ = planned(Shop("Loft", "inch", (up, down), DRAWER), NOTHING)
    return [f"{one.piece.machine}.{one.piece.target}" for one in lines]


@pytest.mark.parametrize("body", ["combi", ""])
def test_a_task_may_come_before_one_of_another_mode_or_machine(body: str) -> None:
    """Nobody sweeps a table that is to be dusted from above (common practice, no source)."""
    rails = Task("rails", "Wipe the rails", every_days=7)
    assert of_two_modes(rails._replace(before=("up.dust",)), body=body) == ["down.rails", "up.dust"]
    bed = Task("bed", "Wax the bed", every_days=7, before=("up.spare",))
    order = of_two_modes(bed, cutters=KNIVES, body=body)
    assert order.index("down.bed") < order.index("up.spare")
    wash = rails._replace(before=("up.dust",))
    order = of_two_modes(rails, wash._replace(id="wash"), cutters=_first_of(KNIVES), body=body)
    assert order[-2:] == ["up.spare", "down.rails"]


def _first_of(cutters: tuple[Cutter, ...]) -> tuple[Cutter, ...]:
    return tuple(one._replace(before=("down.rails",)) for one in cutters)
