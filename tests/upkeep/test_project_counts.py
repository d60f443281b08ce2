"""A finished project counts for the machines that it ran on, and for no other.

Held against a plain count over a list of what stands. That a lathe is not due for work that never
saw it is common practice, no source.
"""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.journal import Entry, NewEntry, Store, new_uid, open_journal
from shopboard.shop.machine import PROJECT_FINISHED, Life, Machine, Task
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project
from shopboard.shop.renames import Renames
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.upkeep.cutter_journal import standings_now, take_back
from shopboard.upkeep.cutter_outlook import outlooks
from shopboard.upkeep.happenings import projects_on, record_happening
from shopboard.upkeep.ran_on import ran_on
from shopboard.upkeep.renamed import Renamed
from shopboard.upkeep.task_marks import record_task
from tests.builders import make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.upkeep.cutter_shop import RIP

IDS = ("saw", "lathe", "planer")
EVERY_2 = Task("oil", "Oil", every_projects=2, every="2 projects")
AFTER = Task("dust", "Dust", after=(PROJECT_FINISHED,))


def shop_of(*tasks: Task, ids: tuple[str, ...] = IDS) -> Shop:
    """A saw with a blade that lasts three projects, and other machines, each with these tasks."""
    shop = make_shop(make_point("saw.blade"))
    blade = RIP._replace(lasts=Life(3, "projects", "3 projects"))
    saw = shop.machines[0]._replace(cutters=(blade,), tasks=tasks)
    others = (Machine(one, one.title(), tasks=tasks) for one in ids[1:])
    return replace(shop, machines=(saw, *others))


SHOP = shop_of(EVERY_2, AFTER)


def finish(journal: Store, *ran: str, shop: Shop = SHOP) -> Entry:
    """A project that ran on these machines."""
    return record_happening(journal, "", PROJECT_FINISHED, shop=shop, machines=ran)


def due(journal: Store, machine: str, task: str = "oil", shop: Shop = SHOP) -> str:
    """Why a task is due; empty: it is not."""
    clock = Clock()
    standing = shop_standing(shop, gather(journal), clock.now)
    here = next(one for one in standing.machines if one.machine.id == machine)
    found = next(one for one in here.tasks if one.task.id == task)
    return found.reason if found.due else ""


def test_a_machine_that_did_not_run_counts_nothing(journal: Store) -> None:
    for machine in ("saw", "lathe"):
        record_task(journal, machine, "oil")
    finish(journal, "saw", "planer")
    finish(journal, "saw")
    assert due(journal, "saw") == "used in 2 projects since, every 2 projects"
    assert due(journal, "lathe") == ""
    finish(journal, "lathe")
    assert due(journal, "lathe") == ""
    finish(journal, "lathe", "saw")
    assert due(journal, "lathe") == "used in 2 projects since, every 2 projects"


def test_one_that_tells_of_no_machine_counts_for_every_one(journal: Store) -> None:
    """As those of before did, and with the shop file not at hand."""
    for machine in IDS:
        record_task(journal, machine, "oil")
    finish(journal, "saw")
    record_happening(journal, "", PROJECT_FINISHED, shop=SHOP)
    record_happening(journal, "", PROJECT_FINISHED)
    assert [projects_on(journal, one) for one in IDS] == [3, 2, 2]


def test_what_an_earlier_version_recorded_goes_on_to_mean_what_it_meant(journal: Store) -> None:
    """It told of the joints' machines, and counted for all; a task's total was the shop's."""
    body = {"v": 1, "what": PROJECT_FINISHED, "amount": 1, "project": "desk", "machines": ["saw"]}
    for total in (1, 2):
        told = {**body, "total": total}
        journal.append([NewEntry(new_uid(), "happening", "", PROJECT_FINISHED, told)])
    mark = {"v": 1, "minutes": 0, "projects": 1}
    journal.append([NewEntry(new_uid(), "task", "lathe", "oil", mark)])
    assert [projects_on(journal, one) for one in IDS] == [2, 2, 2]
    finish(journal, "saw")
    assert due(journal, "lathe") == ""
    finish(journal, "lathe")
    assert due(journal, "lathe") == "used in 2 projects since, every 2 projects"


def test_what_comes_after_a_project_comes_after_one_that_ran_it(journal: Store) -> None:
    """The newest may have run elsewhere: then how many did is said, not the day of that one."""
    record_task(journal, "lathe", "dust")
    finish(journal, "saw")
    assert due(journal, "lathe", "dust") == ""
    first = finish(journal, "lathe")
    assert due(journal, "lathe", "dust").startswith("project finished on ")
    finish(journal, "saw")
    assert due(journal, "lathe", "dust") == "used in 1 project since"
    take_back(first, "the saw's", journal)
    assert due(journal, "lathe", "dust") == ""


def test_a_cutter_counts_the_projects_that_its_machine_ran_in(journal: Store) -> None:
    """Withdrawn, it no longer does."""
    finish(journal, "lathe")
    second = finish(journal, "saw", "lathe")
    (blade,) = standings_now(SHOP, "saw", journal)
    assert blade.use.projects == 1
    take_back(second, "not yet", journal)
    (blade,) = standings_now(SHOP, "saw", journal)
    assert blade.use.projects == 0


def test_a_cutter_counts_one_that_ran_another_mode_in_which_it_cuts(journal: Store) -> None:
    """Knives of one head cut in both; of both modes together a project still counts once."""
    shop = shop_of()
    both = RIP._replace(serves=("planer",))
    saw = shop.machines[0]._replace(cutters=(both,))
    shop = replace(shop, machines=(saw, *shop.machines[1:]))
    for ran, count in (("planer",), 1), (("lathe",), 1), (("saw", "planer"), 2):
        finish(journal, *ran, shop=shop)
        (found,) = standings_now(shop, "saw", journal)
        assert found.use.projects == count


def test_a_machine_of_another_name_keeps_its_count(journal: Store) -> None:
    finish(journal, "saw")
    finish(journal, "saw", "lathe")
    now = Renamed(journal, Renames(machines={"lathe": "turning"}))
    shop = shop_of(EVERY_2, ids=("saw", "turning", "planer"))
    assert projects_on(now, "turning") == 1
    finish(now, "saw", shop=shop)
    third = finish(now, "turning", shop=shop)
    assert [projects_on(now, one) for one in ("saw", "turning", "planer")] == [3, 2, 0]
    take_back(third, "not yet", now)
    assert [projects_on(now, one) for one in ("saw", "turning", "planer")] == [3, 1, 0]


def test_a_machine_that_left_and_came_back_did_not_run_meanwhile(journal: Store) -> None:
    finish(journal, "saw")
    finish(journal, "saw", shop=shop_of(EVERY_2, ids=("saw", "planer")))
    finish(journal, "saw", "lathe", "planer")
    assert [projects_on(journal, one) for one in IDS] == [3, 1, 1]


@settings(max_examples=part(60), deadline=None)
@given(
    st.lists(
        st.one_of(
            st.sets(st.sampled_from(IDS)).map(frozenset),
            st.none(),
            st.sampled_from(IDS),
            st.integers(0, 30),
        ),
        min_size=2,
        max_size=20,
    )
)
def test_whatever_ran_and_was_withdrawn_each_counts_its_own(
    tmp_path_factory: pytest.TempPathFactory, told: list[frozenset[str] | str | int | None]
) -> None:
    """Now and on the day of each task; a set is a project, None one untold, a number withdraws."""
    journal = open_journal(tmp_path_factory.mktemp("projects") / "journal", Clock())
    lines: list[tuple[Entry | str, frozenset[str]]] = []
    for one in told:
        if isinstance(one, str):
            record_task(journal, one, "oil")
            lines = [line for line in lines if line[0] != one] + [(one, frozenset())]
        elif isinstance(one, int):
            standing = [at for at, line in enumerate(lines) if isinstance(line[0], Entry)]
            if standing:
                entry, _ = lines.pop(standing[one % len(standing)])
                assert isinstance(entry, Entry)
                take_back(entry, "not yet", journal)
        else:
            ran = None if one is None else sorted(one)
            entry = record_happening(journal, "", PROJECT_FINISHED, shop=SHOP, machines=ran)
            lines.append((entry, frozenset(IDS) if one is None else one))
        past = gather(journal)
        for machine in IDS:
            assert projects_on(journal, machine) == sum(machine in ran for _, ran in lines)
            at = next((at for at, (task, _) in enumerate(lines) if task == machine), None)
            if at is not None:
                by_then = sum(machine in ran for _, ran in lines[:at])
                assert past.tasks[machine, "oil"].projects == by_then
    journal.close()


def test_the_rate_and_the_date_of_a_cutter_come_from_the_projects_that_ran_it(
    journal_path: Path, clock: Clock
) -> None:
    """By hand: of six projects in 84 days three ran here; it has done 4 of 6."""
    shop = shop_of()
    blade = RIP._replace(lasts=Life(6, "projects", "6 projects"))
    saw = shop.machines[0]._replace(cutters=(blade,))
    shop = replace(shop, machines=(saw, *shop.machines[1:]))
    with closing(open_journal(journal_path, clock)) as journal:
        finish(journal, "saw", "lathe", shop=shop)  # of nobody knows how many days
        for number in range(6):
            clock.now += timedelta(days=14)
            finish(journal, *(("saw",) if number % 2 else ("lathe",)), shop=shop)
        (found,) = outlooks(standings_now(shop, "saw", journal), clock.now, journal)
    assert found.pace is not None
    assert found.pace.per_day == pytest.approx(3 / 84)
    assert found.basis == "used 9 projects in 8 months, over the last 84 days"
    assert pytest.approx(3 / 84 * 365.25 / 12, rel=1 / 20) == 9 / 8
    assert found.until == clock.now + timedelta(days=2 / (3 / 84))


def test_what_tells_of_a_machine_that_it_ran(journal: Store) -> None:
    """Joints, the shop file, use since the one before, and that no joint could tell of it."""
    points = {one: make_point(f"{one}.p", shows_in=("thickness",)) for one in (*IDS, "band")}
    shop = make_shop(*points.values(), make_point("bench.p"))
    joint = Joint("desk", "top", "Top", "panel", points={"thickness": ("saw.p",)})
    desk = Project("desk", "Desk", joints=(joint,), also_on=("planer",))
    record_happening(journal, "band", "hours run", 30.0, shop=shop)
    finish(journal, "saw", shop=shop)
    record_happening(journal, "lathe", "cuts made", 4.0, shop=shop)
    assert ran_on(shop, journal, desk) == {
        "saw": "by its joints",
        "lathe": "use recorded",
        "planer": "as the shop file says",
        "bench": "no joint tells of it",
    }
    assert ran_on(shop, journal, None) is None
    assert ran_on(shop, journal, Project("box", "Box")) is None
