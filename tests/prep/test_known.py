"""What is known of points by the journal: worn, undone, moved, tagged, on a day to come."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import CLOCK, NewEntry, new_uid
from shopboard.open_shop import Desk
from shopboard.prep.answers import answers_of, minutes_of, needs_of
from shopboard.prep.glue_up import Answer
from shopboard.prep.known import known_points
from shopboard.prep.wanted import wanted
from shopboard.shop.machine import HOURS_RUN, Task
from shopboard.sittings.task import TaskRun
from shopboard.upkeep.cutter_journal import body_of
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import clear_tag, record_tag
from tests.journal.helpers import Clock
from tests.prep.results import result
from tests.prep.woodshop import SHOP

POINTS = ("saw.table", "saw.blade", "saw.gauge", "saw.stop-45", "jointer.fence")


@pytest.fixture(autouse=True)
def _greenwich(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    monkeypatch.setenv("TZ", "UTC")
    time.tzset() if hasattr(time, "tzset") else None
    yield
    monkeypatch.undo()
    time.tzset() if hasattr(time, "tzset") else None


@pytest.fixture
def desk(tmp_path: Path, clock: Clock) -> Iterator[Desk]:
    """The wood shop, every point measured just now and true."""
    shop = tmp_path / "shop.toml"
    shop.write_text(SHOP, encoding="utf-8")
    with closing(Desk(shop, tmp_path / "journal.sqlite3", clock)) as made:
        for name in POINTS:
            add(made, name)
        add(made, "jointer.tables", 0.01, 0.005, "length")
        yield made


def add(
    desk: Desk, name: str, error: float = 0.0, sigma: float = 5e-5, kind: str = "angle"
) -> None:
    """Record a result, rad or mm."""
    machine, _, point = name.partition(".")
    desk.journal.append([NewEntry(new_uid(), "check", machine, point, result(error, sigma, kind))])
    desk.refresh()


def asked(desk: Desk, project: int = 0, joint: int = 0) -> Answer:
    """The answer for a joint of a project."""
    return answers_of(desk, (desk.shop.projects[project].joints[joint],))[0]


def test_go_while_all_stand_and_hold_when_one_is_undone(desk: Desk) -> None:
    """A knock undoes the jointer's fence; the reason says so and what to check."""
    assert asked(desk).go
    record_happening(desk.journal, "jointer", "knocked", shop=desk.shop)
    desk.refresh()
    found = asked(desk)
    assert not found.go
    assert "knocked on Mon 1 Jun 2026" in found.reasons[0].words
    assert (found.reasons[0].point, found.reasons[0].minutes) == ("jointer.fence", 5.0)


@pytest.mark.parametrize("error", [0.0017, 0.006])
def test_a_point_that_is_near_or_out_is_gone_by_until_it_is_undone(
    desk: Desk, error: float
) -> None:
    """Its error is known, be it large; after a knock it is not, though an out one still is out."""
    add(desk, "jointer.fence", error)
    stands = desk.standing.of_point("jointer.fence")
    assert stands is not None
    assert stands.state in ("near", "out")
    assert stands.stands
    assert not known_points(desk, ["jointer.fence"])["jointer.fence"].why
    turned = asked(desk, joint=1)  # faces alternated: a large error cancels
    assert turned.go
    record_happening(desk.journal, "jointer", "knocked", shop=desk.shop)
    desk.refresh()
    after = desk.standing.of_point("jointer.fence")
    assert after is not None
    assert after.state == ("out" if stands.state == "out" else "unproven")
    assert not after.stands
    found = asked(desk, joint=1)
    assert not found.go
    assert "knocked on" in found.reasons[0].words


def test_what_it_rests_on_must_stand(desk: Desk) -> None:
    """The blade rests on the table: it is out, so the blade is due, and the table comes first."""
    assert asked(desk, 1).go
    add(desk, "saw.table", 0.02)
    found = asked(desk, 1)
    assert not found.go
    assert found.reasons[0].about == "saw.blade"
    assert found.reasons[0].point == "saw.table"
    assert found.reasons[0].points == ("saw.table", "saw.blade")  # the table will be set
    assert found.reasons[0].to_do == "check first Table saw: Wing level, then it"
    uid = desk.journal.recent("check", "saw", "table", 1)[0].uid
    desk.journal.void(uid, "wrong leaf")
    desk.refresh()
    assert asked(desk, 1).go


def test_too_old_is_hold(desk: Desk, clock: Clock) -> None:
    """The blade holds eight weeks."""
    clock.pass_by(days=57)
    desk.refresh()
    found = asked(desk, 1)
    assert not found.go
    assert found.reasons[0].about == "saw.blade"
    assert "holds 56 days" in found.reasons[0].words


def test_a_tagged_machine_is_hold_until_the_tag_is_cleared(desk: Desk) -> None:
    record_tag("jointer", "the guard is off", desk.journal)
    desk.refresh()
    found = asked(desk)
    assert not found.go
    assert found.reasons[0].sort == "tag"
    assert "the guard is off" in found.reasons[0].words
    assert asked(desk, 1).go  # made on the table saw alone
    clear_tag("jointer", "the guard is on", desk.journal)
    desk.refresh()
    assert asked(desk).go


def test_an_error_that_grows_turns_go_into_hold_before_it_is_due(desk: Desk, clock: Clock) -> None:
    """A tenth of a milliradian a month, seen five times: in time the panel's gap is too wide."""
    add(desk, "jointer.fence", 0.0, 1e-5)
    for month in range(1, 6):
        clock.pass_by(days=30)
        add(desk, "jointer.fence", 1e-4 * month, 1e-5)
        add(desk, "jointer.tables", 0.01, 0.005, "length")
    assert asked(desk).go
    answers = []
    for _ in range(30):
        clock.pass_by(days=30)
        desk.refresh()
        answers.append(asked(desk))
    assert not answers[-1].go
    assert answers[-1].reasons[0].about == "jointer.fence"
    assert answers[-1].reasons[0].sort == "too much"
    first = [one.go for one in answers].index(False)
    assert first > 0
    assert not any(one.go for one in answers[first:])


def test_needs_look_at_the_day_on_which_the_wood_is_cut(desk: Desk, clock: Clock) -> None:
    """What stands today is due by then; a start that is past counts as today."""
    project = desk.shop.projects[0]
    assert project.start is not None
    early = needs_of(desk, project)
    assert early.day == project.start
    blade = next(one for one in early.points if one.known.full_name == "saw.blade")
    assert blade.known.stands
    later = project._replace(start=project.start.replace(month=8))
    blade = next(one for one in needs_of(desk, later).points if one.known.full_name == "saw.blade")
    assert not blade.known.stands
    assert blade.known.why == "due on Mon 27 Jul 2026"
    clock.now = datetime(2026, 6, 25, 8, tzinfo=UTC)
    desk.refresh()
    assert needs_of(desk, project).day is None


def test_a_result_of_another_kind_than_the_tolerance_proves_nothing(desk: Desk) -> None:
    add(desk, "jointer.fence", 0.0, 0.001, "length")
    assert not asked(desk).go


def test_running_wears_a_point_whose_wander_goes_by_it(desk: Desk, clock: Clock) -> None:
    """Changes follow the hours that the jointer ran, not the days between; so it goes on."""
    days, hours = (40, 5, 60, 10, 30, 20), (2, 12, 1, 10, 3, 8)
    error = 0.0
    add(desk, "jointer.fence", error, 1e-6)
    record_happening(desk.journal, "jointer", HOURS_RUN, 60.0, shop=desk.shop)
    add(desk, "jointer.fence", error, 1e-6)
    for passed, ran in zip(days, hours, strict=True):
        clock.pass_by(days=passed)
        record_happening(desk.journal, "jointer", HOURS_RUN, ran * 60.0, shop=desk.shop)
        error += ran * 1e-5
        add(desk, "jointer.fence", error, 1e-6)
    wander = desk.outlook("jointer.fence").wander
    assert wander is not None
    assert (wander.clock, wander.shows) == ("minutes", True)

    def bound() -> float:
        now = known_points(desk, ["jointer.fence"])["jointer.fence"].now
        assert now is not None
        return now.bound(0.95)

    fresh = bound()
    clock.pass_by(days=20)
    desk.refresh()
    assert bound() == pytest.approx(fresh)
    record_happening(desk.journal, "jointer", HOURS_RUN, 20 * 60.0, shop=desk.shop)
    desk.refresh()
    assert bound() > error + 20 * 1e-5
    later = datetime(2027, 6, 1, tzinfo=UTC)
    then = known_points(desk, ["jointer.fence"], later)["jointer.fence"].now
    assert then is not None
    assert then.likely > error + 20 * 1e-5


def test_while_the_clock_is_wrong_it_is_hold(desk: Desk, clock: Clock) -> None:
    """A clock that lags makes results look young; set right, it is go again."""
    assert asked(desk).go
    clock.pass_by(days=-30)
    found = asked(desk)
    assert not found.go
    assert found.reasons[0].sort == "clock"
    clock.pass_by(days=30)
    assert asked(desk).go


def test_while_a_cutter_is_changed_it_is_hold(desk: Desk) -> None:
    """What the change undoes is recorded at its end only: until then nothing is known."""
    under_way = {"v": 1, "open": True, "kind": "knives"}
    desk.journal.append([NewEntry(new_uid(), "cutter", "jointer", "", under_way)])
    desk.refresh()
    found = asked(desk)
    assert not found.go
    assert found.reasons[0].words == "Jointer: knife change is under way"


SOAK = """
[[machine.task]]
id = "soak"
name = "Clean the blade"
every = "20 hours"
cutter_near = true
steps = [
    "Wipe the table", "Blade off, flat on a tray", "Soak, wait 10 min", "Blade on, nut tight",
    "Wax on",
]
"""


def _with(desk: Desk, before: str, added: str) -> None:
    text = desk.shop_file.read_text(encoding="utf-8")
    desk.shop_file.write_text(text.replace(before, added + before, 1), encoding="utf-8")
    assert desk.poll()
    assert not desk.problems


def test_while_a_task_has_the_cutter_off_it_is_hold(desk: Desk) -> None:
    """From the step that takes it off until the one that puts it on is on record."""
    jointer = '\n[[machine]]\nid = "jointer"'
    _with(desk, jointer, SOAK)
    run = TaskRun(desk.journal, "saw", task_of(desk, "saw", "soak"), None)
    seen = []
    for _ in range(3):
        desk.refresh()
        seen.append(asked(desk, 1).go)
        run.do_step()
    desk.refresh()
    held = asked(desk, 1)
    assert held.reasons[0].sort == "change"
    assert held.reasons[0].words == "Table saw: Clean the blade, cutter off, is under way"
    assert asked(desk, 0).go  # made on the jointer
    run.end_wait()
    desk.refresh()
    seen.append(asked(desk, 1).go)
    run.do_step()
    desk.refresh()
    seen.append(asked(desk, 1).go)
    assert seen == [True, False, False, False, True]


def test_a_task_begun_by_other_steps_may_have_the_cutter_off(desk: Desk) -> None:
    jointer = '\n[[machine]]\nid = "jointer"'
    _with(desk, jointer, SOAK)
    run = TaskRun(desk.journal, "saw", task_of(desk, "saw", "soak"), None)
    run.do_step()
    run.do_step()
    text = desk.shop_file.read_text(encoding="utf-8")
    desk.shop_file.write_text(text.replace("Blade off, flat on a tray", "Spray"), encoding="utf-8")
    assert desk.poll()
    assert asked(desk, 1).reasons[0].sort == "change"


def test_the_modes_of_a_combination_machine_stop_together(desk: Desk) -> None:
    """The planer's knives are those of the jointer: tagged or open, neither makes a joint."""
    planer = """
[[machine]]
id = "planer"
name = "Planer"
kind = "planer"
body = "combi"
"""
    _with(desk, "\n[[project]]", planer)
    text = desk.shop_file.read_text(encoding="utf-8")
    both = text.replace('kind = "jointer"', 'kind = "jointer"\nbody = "combi"')
    desk.shop_file.write_text(both, encoding="utf-8")
    assert desk.poll()
    assert not desk.problems
    assert asked(desk).go
    under_way = {"v": 1, "open": True, "kind": "knives"}
    desk.journal.append([NewEntry(new_uid(), "cutter", "planer", "", under_way)])
    desk.refresh()
    words = "Planer (one body with Jointer): knife change is under way"
    assert asked(desk).reasons[0].words == words
    record_tag("planer", "a knife is loose", desk.journal)
    desk.refresh()
    found = asked(desk).reasons[0]
    assert (found.sort, found.about) == ("tag", "planer")
    assert asked(desk, 1).go


def test_a_result_of_a_clock_that_was_ahead_has_no_age(desk: Desk, clock: Clock) -> None:
    """Once the clock is set right, such a result could be of any day before: it holds no weeks."""
    clock.pass_by(days=40)
    add(desk, "saw.blade")
    clock.pass_by(days=-10)  # as long ago as that the result may be
    desk.journal.append([NewEntry(new_uid(), CLOCK, body={"v": 1})])
    desk.refresh()
    assert not desk.clock_is_wrong
    found = asked(desk, 1)
    assert not found.go
    assert [one.about for one in found.reasons] == ["saw.blade"]
    assert "while the clock was wrong" in found.reasons[0].words
    add(desk, "saw.blade")
    assert asked(desk, 1).go


def task_of(desk: Desk, machine: str, ident: str) -> Task:
    return next(one for one in desk.shop.machines_by_id[machine].tasks if one.id == ident)


def test_while_no_cutter_is_on_it_is_hold(desk: Desk) -> None:
    """It was taken off and nothing put on: what is put on will have to be proven."""
    blade = """
[[machine.cutter]]
id = "rip"
name = "Rip blade"
kind = "blade"
where = "on the machine"
state = "sharp"
"""
    _with(desk, '\n[[machine]]\nid = "jointer"', blade)
    assert asked(desk, 1).go
    saw = desk.standing.of_machine("saw")
    assert saw is not None
    off = saw.cutters[0]._replace(where="at the sharpener")
    desk.journal.append([NewEntry(new_uid(), "cutter", "saw", "rip", body_of(off, "send out"))])
    desk.refresh()
    reason = asked(desk, 1).reasons[0]
    assert (
        reason.words == "Table saw: Rip blade is at the sharpener, and nothing is on in its place"
    )
    assert asked(desk, 0).go


@pytest.mark.parametrize("begun", ["blade", "table"])
def test_while_its_check_is_under_way_it_is_hold(desk: Desk, begun: str) -> None:
    """Whoever is at it may have loosened it by now, or what it rests on; its end settles that."""
    assert asked(desk, 1).go
    desk.journal.append([NewEntry("b", "begin", "saw", begun, {"v": 1, "method": "square"})])
    desk.refresh()
    assert asked(desk, 1).go  # it was opened, and nothing done yet
    answer = {"v": 1, "step": "unplugged", "value": "plug out"}
    desk.journal.append([NewEntry("a", "answer", "saw", begun, answer, refers="b")])
    desk.refresh()
    found = asked(desk, 1)
    assert [one.about for one in found.reasons] == ["saw.blade"]
    assert "not finished" in found.reasons[0].words
    assert found.reasons[0].points == (f"saw.{begun}",)
    assert wanted(desk, desk.shop.projects[1]).to_check.keys() == {f"saw.{begun}"}
    stands = desk.standing.of_point("saw.blade")
    assert stands is not None
    assert known_points(desk, ["saw.blade"])["saw.blade"].state == stands.state == "true"
    end = {"v": 1, "why": "given up"}
    desk.journal.append([NewEntry("e", "end", "saw", begun, end, "b")])
    desk.refresh()
    assert asked(desk, 1).go


def test_what_follows_from_shop_and_journal_is_kept_until_they_change(
    desk: Desk, clock: Clock
) -> None:
    """A minute that goes by costs nothing; a record, or another shop file, drops it all."""
    assert asked(desk).go
    outlook, minutes = desk.outlook("jointer.fence"), desk.kept("minutes")
    assert minutes_of(desk, "jointer.fence") == 5.0
    assert minutes == {"jointer.fence": 5.0}
    clock.pass_by(minutes=1)
    desk.refresh()
    assert desk.outlook("jointer.fence") is outlook
    assert desk.kept("minutes") is minutes
    add(desk, "jointer.fence", 2e-5)
    assert desk.outlook("jointer.fence") is not outlook
    text = desk.shop_file.read_text(encoding="utf-8")
    desk.shop_file.write_text(text.replace('"5 min"', '"11 min"'), encoding="utf-8")
    assert desk.poll()
    assert "jointer.fence" not in desk.kept("minutes")
    record_happening(desk.journal, "jointer", "knocked", shop=desk.shop)
    desk.refresh()
    assert asked(desk).reasons[0].minutes == 11.0


def test_what_shows_in_the_work_counts_where_another_value_was_judged(desk: Desk) -> None:
    """Of three knives the lowest was judged, farthest off; the highest one cuts the board."""
    body = result(0.01, 0.005, "length") | {"readings": {"in_work_nm": 90_000}}
    desk.journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    desk.refresh()
    now = known_points(desk, ["jointer.tables"])["jointer.tables"].now
    assert now is not None
    assert now.likely == pytest.approx(0.09)


def test_a_knife_below_the_table_tells_nothing_of_those_that_cut(desk: Desk) -> None:
    body = result(-0.03, 0.005, "length") | {"readings": {"in_work_nm": None}, "lean": "one is low"}
    desk.journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    desk.refresh()
    one = known_points(desk, ["jointer.tables"])["jointer.tables"]
    assert one.now is None
    assert one.why == "what shows in the work was not measured: one is low"


def test_what_is_near_is_not_called_due_for_what_it_rests_on(desk: Desk) -> None:
    """Due is what was true: beside the board, which says near, another word would not do."""
    add(desk, "saw.blade", 0.0017)
    add(desk, "saw.table", 0.02)
    stands, known = (
        desk.standing.of_point("saw.blade"),
        known_points(desk, ["saw.blade"])["saw.blade"],
    )
    assert stands is not None
    assert known.why
    assert (stands.state, known.state) == ("near", "near")
