"""Notes, tasks of a combination machine, hours that were withdrawn, a point that moved machine.

Each by a small past and what a person would say of it (common practice, no source).
"""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from shopboard.base.dates import OF_NO_AGE
from shopboard.journal import NewEntry, SqliteJournal
from shopboard.metrology.conformity import Tolerance
from shopboard.shop.machine import HOURS_RUN, Task
from shopboard.shop.model import Shop
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import Past
from shopboard.upkeep.cutter_journal import take_back
from shopboard.upkeep.happenings import Happening, record_happening
from shopboard.upkeep.tasks import Done
from tests.builders import make_point, make_shop
from tests.prep.results import result
from tests.standing.test_judge import DAY, NEAR, NOW, OUT, TRUE, Told, stand, standing

NOTE = make_point("saw.lamp", tolerance=Tolerance(-0.5, 0.5, "", "note"), every_days=30)


def test_a_note_stands_or_is_due_and_is_neither_true_nor_out() -> None:
    told = Told()
    assert stand(NOTE, told).reason == "nothing noted yet"
    told.check("saw.lamp")
    for days, state, words in (
        (29, "noted", ""),
        (31, "due", "noted 31 days ago, good for 30 days"),
    ):
        found = stand(NOTE, told, NOW + days * DAY)
        assert (found.state, found.reason) == (state, words)
        assert (found.used, found.probability) == (None, None)
        assert (found.due_on is None) == (state == "due")
    assert stand(NOTE, told).due_on == NOW + 30 * DAY


def test_a_note_of_a_wrong_clock_is_due_as_a_note() -> None:
    """And a measure as a measure: nobody can tell how old they are."""
    for point, did in ((NOTE, "noted"), (make_point(every_days=30), "measured")):
        told = Told().check(point.full_name)
        place = point.machine, point.id
        told.latest[place] = told.latest[place]._replace(clock_ok=False)
        found = stand(point, told)
        assert (found.state, found.reason) == ("due", f"{did} {OF_NO_AGE}")


def test_a_note_waits_for_nothing() -> None:
    """What was noted on a table that is out was noted all the same."""
    shop = make_shop(make_point("saw.table"), NOTE._replace(rests_on=("saw.table",)))
    told = Told().check("saw.table", OUT).check("saw.lamp")
    found = standing(shop, told).of_point("saw.lamp")
    assert found is not None
    assert (found.state, found.reason) == ("noted", "")


def test_what_has_grown_old_and_rests_on_what_is_not_true_is_told_of_itself() -> None:
    """It is due, not waiting: the table made true, it would have to be checked all the same."""
    fence = make_point("saw.fence", rests_on=("saw.table",), every_days=30)
    shop = make_shop(make_point("saw.table"), fence)
    told = Told().check("saw.table", OUT).check("saw.fence")
    for days, state in ((1, "waits"), (31, "due")):
        found = standing(shop, told, NOW + days * DAY).of_point("saw.fence")
        assert found is not None
        assert found.state == state
        assert ("good for 30 days" in found.reason) == (state == "due")
        assert found.stale


def test_what_is_out_or_near_and_rests_on_what_is_not_true_is_told_as_that() -> None:
    """Not as true by itself."""
    shop = make_shop(make_point("saw.table"), make_point("saw.fence", rests_on=("saw.table",)))
    for error, state in ((OUT, "out"), (NEAR, "near")):
        told = Told().check("saw.table", OUT).check("saw.fence", error)
        found = standing(shop, told).of_point("saw.fence")
        assert found is not None
        assert found.state == state
        assert found.stale == "depends on Table, which is out"


def combination(*tasks: Task) -> Shop:
    """A saw with these tasks and a shaper in one body, and a drill of its own."""
    shop = make_shop(*(make_point(f"{name}.fence") for name in ("saw", "shaper", "drill")))
    saw, shaper, drill = shop.machines
    saw = saw._replace(body="combi", tasks=tasks)
    return replace(shop, machines=(saw, shaper._replace(body="combi"), drill))


@pytest.mark.parametrize(
    ("what", "where", "due"),
    [
        ("machine moved", "saw", True),
        ("machine moved", "shaper", True),  # they stand on one frame
        ("machine moved", "drill", False),
        ("blade changed", "saw", True),
        ("blade changed", "shaper", False),  # that of the shaper is another
        ("project finished", "", True),
    ],
)
def test_a_task_is_due_after_what_happened_to_its_machine_or_through_its_body(
    what: str, where: str, *, due: bool
) -> None:
    shop = combination(Task("clean", "Clean", after=(what,)))
    done = {("saw", "clean"): Done(1, NOW)}
    past = Past(tasks=done, happenings=[Happening(2, NOW, where, what)])
    (found,) = shop_standing(shop, past, NOW).machines[0].tasks
    assert found.due is due
    assert found.reason.startswith(f"{what} on Mon 1 Jun 2026") is due


@pytest.mark.parametrize(("first", "second"), [("saw", "shaper"), ("shaper", "saw")])
def test_of_two_moves_through_one_body_the_newest_counts(first: str, second: str) -> None:
    """One of before the task was done does not hide the one after it."""
    shop = combination(Task("level", "Level", after=("machine moved",)))
    past = Past(
        tasks={("saw", "level"): Done(5, NOW)},
        happenings=[
            Happening(9, NOW, second, "machine moved"),
            Happening(2, NOW - DAY, first, "machine moved"),
        ],
    )
    (found,) = shop_standing(shop, past, NOW).machines[0].tasks
    assert (found.due, found.reason) == (True, "machine moved on Mon 1 Jun 2026")


def test_a_project_of_a_shop_that_finished_none_counts_as_none() -> None:
    shop = combination(Task("oil", "Oil", every_projects=1, every="1 project"))
    done = {("saw", "oil"): Done(1, NOW)}
    for finished in (0, 1):
        happened = [Happening(2, NOW, "", "project finished", float(finished))] * finished
        past = Past(tasks=done, happenings=happened)
        (found,) = shop_standing(shop, past, NOW).machines[0].tasks
        assert found.due is bool(finished)


def hold(journal: SqliteJournal, machine: str, minutes: int, total: float) -> None:
    holds = {"days": None, "minutes": minutes, "total_minutes": total, "why": "it wandered"}
    body = {**result(TRUE, 1e-4), "holds": holds}
    journal.append([NewEntry(f"c{journal.count()}", "check", machine, "blade", body)])


def test_hours_that_were_taken_back_since_are_not_counted_on_from(journal: SqliteJournal) -> None:
    """A check at 60 h holds 40; 50 h of the 60 were the planer's: due at 10 + 40, not at 100."""
    shop = make_shop(make_point())
    record_happening(journal, "saw", HOURS_RUN, 10 * 60.0)
    wrong = record_happening(journal, "saw", HOURS_RUN, 50 * 60.0)
    hold(journal, "saw", 40 * 60, 60 * 60.0)
    take_back(wrong, "the planer's", journal)
    for more, state in ((0.0, "true"), (39.0, "true"), (1.0, "due")):
        if more:
            record_happening(journal, "saw", HOURS_RUN, more * 60.0)
        found = shop_standing(shop, gather(journal), NOW).of_point("saw.blade")
        assert found is not None
        assert found.state == state


def test_hours_of_another_machine_taken_back_change_nothing(journal: SqliteJournal) -> None:
    shop = make_shop(make_point())
    record_happening(journal, "saw", HOURS_RUN, 60 * 60.0)
    wrong = record_happening(journal, "planer", HOURS_RUN, 50 * 60.0)
    hold(journal, "saw", 40 * 60, 60 * 60.0)
    take_back(wrong, "the saw's", journal)
    record_happening(journal, "saw", HOURS_RUN, 39 * 60.0)
    found = shop_standing(shop, gather(journal), NOW).of_point("saw.blade")
    assert found is not None
    assert found.state == "true"


@pytest.mark.parametrize("where", ["saw", "planer", "drill"])
def test_a_point_that_is_on_another_machine_now_is_undone_by_what_happened_to_both(
    where: str,
) -> None:
    """Measured on the planer, it is on the saw by the shop file of today."""
    point = make_point(undone_by=("knocked",))
    told = Told().check("saw.blade")
    place = ("saw", "blade")
    told.latest[place] = told.latest[place]._replace(measured_on="planer")
    told.happen(where, "knocked", NOW + timedelta(hours=1))
    assert stand(point, told).state == ("true" if where == "drill" else "due")


def test_a_machine_of_which_no_hour_is_on_record_has_run_none() -> None:
    shop = combination(Task("oil", "Oil", every_minutes=1.0, every="1 minute"))
    done = {("saw", "oil"): Done(1, NOW)}
    for ran in (0, 1):
        happened = [Happening(2, NOW, "saw", HOURS_RUN, float(ran))] * ran
        past = Past(tasks=done, happenings=happened)
        (found,) = shop_standing(shop, past, NOW).machines[0].tasks
        assert found.due is bool(ran)


@pytest.mark.parametrize("what", ["machine moved", "blade changed"])
def test_what_undoes_any_of_several_bases_undoes_what_rests_on_them(what: str) -> None:
    """Nothing that happened is its own: it goes by what happened to either of the two."""
    shop = make_shop(
        make_point("saw.table", undone_by=("machine moved",)),
        make_point("saw.blade", undone_by=("blade changed",)),
        make_point("saw.fence", rests_on=("saw.table", "saw.blade")),
    )
    told = Told().check("saw.table").check("saw.blade").check("saw.fence").happen("saw", what)
    found = standing(shop, told).of_point("saw.fence")
    assert found is not None
    assert (found.state, found.reason.partition(" on ")[0]) == ("due", what)


def test_what_undoes_a_point_and_its_base_at_once_is_told_as_its_own() -> None:
    """A knock moved the fence itself, whatever it did to the table."""
    table = make_point("saw.table", undone_by=("knocked",))
    fence = make_point("saw.fence", rests_on=("saw.table",), undone_by=("knocked",))
    told = Told().check("saw.table").check("saw.fence").happen("saw", "knocked")
    found = standing(make_shop(table, fence), told).of_point("saw.fence")
    assert found is not None
    assert found.reason == "knocked on Mon 1 Jun 2026"
