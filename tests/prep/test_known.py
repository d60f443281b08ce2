"""What is known of points by the journal: worn, undone, moved, tagged, on a day to come."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, kinds, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.answers import answers_of, minutes_of, needs_of
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.prep.known import known_points
from shopboard.prep.wanted import wanted
from shopboard.shop.machine import HOURS_RUN, Task
from shopboard.sittings.task import TaskSitting
from shopboard.upkeep.cutter_journal import said_of
from shopboard.upkeep.happenings import record_happening
from shopboard.upkeep.tags import clear_tag, record_tag
from tests.builders import do_steps
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
def open_shop(tmp_path: Path, clock: Clock) -> Iterator[OpenShop]:
    """The wood shop, every point measured just now and true."""
    shop = tmp_path / "shop.toml"
    shop.write_text(SHOP, encoding="utf-8")
    with closing(OpenShop(shop, tmp_path / "journal.sqlite3", clock)) as made:
        for name in POINTS:
            add(made, name)
        add(made, "jointer.tables", 0.01, 0.005, "length")
        yield made


def add(
    open_shop: OpenShop, name: str, error: float = 0.0, sigma: float = 5e-5, kind: str = "angle"
) -> None:
    """Record a result, rad or mm."""
    machine, _, point = name.partition(".")
    open_shop.journal.append(
        [NewEntry(new_uid(), "check", machine, point, result(error, sigma, kind))]
    )
    open_shop.refresh()


def asked(open_shop: OpenShop, project: int = 0, joint: int = 0) -> GlueUpAnswer:
    """The answer for a joint of a project."""
    return answers_of(open_shop, (open_shop.shop.projects[project].joints[joint],))[0]


def test_go_while_all_stand_and_hold_when_one_is_undone(open_shop: OpenShop) -> None:
    """A knock undoes the jointer's fence; the reason says so and what to check."""
    assert asked(open_shop).go
    record_happening(open_shop.journal, "jointer", "knocked", shop=open_shop.shop)
    open_shop.refresh()
    found = asked(open_shop)
    assert not found.go
    assert "knocked on Mon 1 Jun 2026" in found.reasons[0].words
    assert (found.reasons[0].point, found.reasons[0].minutes) == ("jointer.fence", 5.0)


def test_of_what_the_shop_does_not_have_nothing_is_known(open_shop: OpenShop) -> None:
    """Of a machine without that point as little as of no such machine; each is told once."""
    names = ("jointer.fence", "jointer.of-before", "lathe.centres", "jointer.fence")
    assert [*known_points(open_shop, names)] == ["jointer.fence"]


@pytest.mark.parametrize("error", [0.0017, 0.006])
def test_a_point_that_is_near_or_out_is_gone_by_until_it_is_undone(
    open_shop: OpenShop, error: float
) -> None:
    """Its error is known, be it large; after a knock it is not, though an out one still is out."""
    add(open_shop, "jointer.fence", error)
    stands = open_shop.standing.of_point("jointer.fence")
    assert stands is not None
    assert stands.state in ("near", "out")
    assert stands.stands
    assert not known_points(open_shop, ["jointer.fence"])["jointer.fence"].why
    turned = asked(open_shop, joint=1)  # faces alternated: a large error cancels
    assert turned.go
    record_happening(open_shop.journal, "jointer", "knocked", shop=open_shop.shop)
    open_shop.refresh()
    after = open_shop.standing.of_point("jointer.fence")
    assert after is not None
    assert after.state == ("out" if stands.state == "out" else "unproven")
    assert not after.stands
    found = asked(open_shop, joint=1)
    assert not found.go
    assert "knocked on" in found.reasons[0].words


def test_what_it_rests_on_must_stand(open_shop: OpenShop) -> None:
    """The blade rests on the table: it is out, so the blade is due, and the table comes first."""
    assert asked(open_shop, 1).go
    add(open_shop, "saw.table", 0.02)
    found = asked(open_shop, 1)
    assert not found.go
    assert found.reasons[0].about == "saw.blade"
    assert found.reasons[0].point == "saw.table"
    assert found.reasons[0].points == ("saw.table", "saw.blade")  # the table will be set
    assert found.reasons[0].to_do == "check first Table saw: Wing level, then it"
    uid = open_shop.journal.recent("check", "saw", "table", 1)[0].uid
    open_shop.journal.void(uid, "wrong leaf")
    open_shop.refresh()
    assert asked(open_shop, 1).go


def test_too_old_is_hold(open_shop: OpenShop, clock: Clock) -> None:
    """The blade holds eight weeks."""
    clock.pass_by(days=57)
    open_shop.refresh()
    found = asked(open_shop, 1)
    assert not found.go
    assert found.reasons[0].about == "saw.blade"
    assert "good for 56 days" in found.reasons[0].words


def test_a_tagged_machine_is_hold_until_the_tag_is_cleared(open_shop: OpenShop) -> None:
    record_tag("jointer", "the guard is off", open_shop.journal)
    open_shop.refresh()
    found = asked(open_shop)
    assert not found.go
    assert found.reasons[0].sort == "tag"
    assert "the guard is off" in found.reasons[0].words
    assert asked(open_shop, 1).go  # made on the table saw alone
    clear_tag("jointer", "the guard is on", open_shop.journal)
    open_shop.refresh()
    assert asked(open_shop).go


def test_an_error_that_grows_turns_go_into_hold_before_it_is_due(
    open_shop: OpenShop, clock: Clock
) -> None:
    """A tenth of a milliradian a month, seen five times: in time the panel's gap is too wide."""
    add(open_shop, "jointer.fence", 0.0, 1e-5)
    for month in range(1, 6):
        clock.pass_by(days=30)
        add(open_shop, "jointer.fence", 1e-4 * month, 1e-5)
        add(open_shop, "jointer.tables", 0.01, 0.005, "length")
    assert asked(open_shop).go
    answers = []
    for _ in range(30):
        clock.pass_by(days=30)
        open_shop.refresh()
        answers.append(asked(open_shop))
    assert not answers[-1].go
    assert answers[-1].reasons[0].about == "jointer.fence"
    assert answers[-1].reasons[0].sort == "too much"
    first = [one.go for one in answers].index(False)
    assert first > 0
    assert not any(one.go for one in answers[first:])


def test_needs_look_at_the_day_on_which_the_wood_is_cut(open_shop: OpenShop, clock: Clock) -> None:
    """What stands today is due by then; a start that is past counts as today."""
    project = open_shop.shop.projects[0]
    assert project.start is not None
    early = needs_of(open_shop, project)
    assert early.day == project.start
    blade = next(one for one in early.points if one.known.full_name == "saw.blade")
    assert blade.known.stands
    later = project._replace(start=project.start.replace(month=8))
    blade = next(
        one for one in needs_of(open_shop, later).points if one.known.full_name == "saw.blade"
    )
    assert not blade.known.stands
    assert blade.known.why == "due on Mon 27 Jul 2026"
    clock.now = datetime(2026, 6, 25, 8, tzinfo=UTC)
    open_shop.refresh()
    assert needs_of(open_shop, project).day is None


def test_a_result_of_another_kind_than_the_tolerance_proves_nothing(open_shop: OpenShop) -> None:
    add(open_shop, "jointer.fence", 0.0, 0.001, "length")
    assert not asked(open_shop).go


def test_running_wears_a_point_whose_wander_goes_by_it(open_shop: OpenShop, clock: Clock) -> None:
    """Changes follow the hours that the jointer ran, not the days between; so it goes on."""
    days, hours = (40, 5, 60, 10, 30, 20), (2, 12, 1, 10, 3, 8)
    error = 0.0
    add(open_shop, "jointer.fence", error, 1e-6)
    record_happening(open_shop.journal, "jointer", HOURS_RUN, 60.0, shop=open_shop.shop)
    add(open_shop, "jointer.fence", error, 1e-6)
    for passed, ran in zip(days, hours, strict=True):
        clock.pass_by(days=passed)
        record_happening(open_shop.journal, "jointer", HOURS_RUN, ran * 60.0, shop=open_shop.shop)
        error += ran * 1e-5
        add(open_shop, "jointer.fence", error, 1e-6)
    wander = open_shop.outlook("jointer.fence").wander
    assert wander is not None
    assert (wander.clock, wander.shows) == ("minutes", True)

    def bound() -> float:
        now = known_points(open_shop, ["jointer.fence"])["jointer.fence"].now
        assert now is not None
        return now.bound(0.95)

    fresh = bound()
    clock.pass_by(days=20)
    open_shop.refresh()
    assert bound() == pytest.approx(fresh)
    record_happening(open_shop.journal, "jointer", HOURS_RUN, 20 * 60.0, shop=open_shop.shop)
    open_shop.refresh()
    assert bound() > error + 20 * 1e-5
    later = datetime(2027, 6, 1, tzinfo=UTC)
    then = known_points(open_shop, ["jointer.fence"], later)["jointer.fence"].now
    assert then is not None
    assert then.likely > error + 20 * 1e-5


def test_while_the_clock_is_wrong_it_is_hold(open_shop: OpenShop, clock: Clock) -> None:
    """A clock that lags makes results look young; set right, it is go again."""
    assert asked(open_shop).go
    clock.pass_by(days=-30)
    found = asked(open_shop)
    assert not found.go
    assert found.reasons[0].sort == "clock"
    clock.pass_by(days=30)
    assert asked(open_shop).go


def test_while_a_cutter_is_changed_it_is_hold(open_shop: OpenShop) -> None:
    """What the change undoes is recorded at its end only: until then nothing is known."""
    under_way = {"v": 1, "open": True, "kind": "knives"}
    open_shop.journal.append([NewEntry(new_uid(), "cutter", "jointer", "", under_way)])
    open_shop.refresh()
    found = asked(open_shop)
    assert not found.go
    assert found.reasons[0].words == "Jointer: knife change is in progress"


SOAK = """
[[machine.task]]
id = "soak"
name = "Clean the blade"
every = "20 hours"
cutter_near = true
steps = [
    "Wipe the table", "Blade off, into the tub", "Soak, wait 10 min", "Blade on, nut tight",
    "Wax on",
]
"""


def _with(open_shop: OpenShop, before: str, added: str) -> None:
    text = open_shop.shop_file.read_text(encoding="utf-8")
    open_shop.shop_file.write_text(text.replace(before, added + before, 1), encoding="utf-8")
    assert open_shop.poll()
    assert not open_shop.problems


def test_while_a_task_has_the_cutter_off_it_is_hold(open_shop: OpenShop) -> None:
    """From the step that takes it off until the one that puts it on is on record."""
    jointer = '\n[[machine]]\nid = "jointer"'
    _with(open_shop, jointer, SOAK)
    run = TaskSitting(open_shop.journal, "saw", task_of(open_shop, "saw", "soak"), None)
    seen = []
    for _ in range(3):
        open_shop.refresh()
        seen.append(asked(open_shop, 1).go)
        do_steps(run)
    open_shop.refresh()
    held = asked(open_shop, 1)
    assert held.reasons[0].sort == "change"
    assert held.reasons[0].words == "Table saw: Clean the blade, cutter off, is in progress"
    assert asked(open_shop, 0).go  # made on the jointer
    do_steps(run)
    open_shop.refresh()
    seen.append(asked(open_shop, 1).go)
    do_steps(run)
    open_shop.refresh()
    seen.append(asked(open_shop, 1).go)
    assert seen == [True, False, False, False, True]


def test_a_task_begun_by_other_steps_may_have_the_cutter_off(open_shop: OpenShop) -> None:
    jointer = '\n[[machine]]\nid = "jointer"'
    _with(open_shop, jointer, SOAK)
    run = TaskSitting(open_shop.journal, "saw", task_of(open_shop, "saw", "soak"), None)
    do_steps(run, 2)
    text = open_shop.shop_file.read_text(encoding="utf-8")
    open_shop.shop_file.write_text(
        text.replace("Blade off, into the tub", "Spray"), encoding="utf-8"
    )
    assert open_shop.poll()
    assert asked(open_shop, 1).reasons[0].sort == "change"


def test_the_modes_of_a_combination_machine_stop_together(open_shop: OpenShop) -> None:
    """The planer's knives are those of the jointer: tagged or open, neither makes a joint."""
    planer = """
[[machine]]
id = "planer"
name = "Planer"
kind = "planer"
body = "combi"
"""
    _with(open_shop, "\n[[project]]", planer)
    text = open_shop.shop_file.read_text(encoding="utf-8")
    both = text.replace('kind = "jointer"', 'kind = "jointer"\nbody = "combi"')
    open_shop.shop_file.write_text(both, encoding="utf-8")
    assert open_shop.poll()
    assert not open_shop.problems
    assert asked(open_shop).go
    under_way = {"v": 1, "open": True, "kind": "knives"}
    open_shop.journal.append([NewEntry(new_uid(), "cutter", "planer", "", under_way)])
    open_shop.refresh()
    words = "Planer (one body with Jointer): knife change is in progress"
    assert asked(open_shop).reasons[0].words == words
    record_tag("planer", "a knife is loose", open_shop.journal)
    open_shop.refresh()
    found = asked(open_shop).reasons[0]
    assert (found.sort, found.about) == ("tag", "planer")
    assert asked(open_shop, 1).go


def test_a_result_of_a_clock_that_was_ahead_has_no_age(open_shop: OpenShop, clock: Clock) -> None:
    """Once the clock is set right, such a result could be of any day before: it holds no weeks."""
    clock.pass_by(days=40)
    add(open_shop, "saw.blade")
    clock.pass_by(days=-10)  # as long ago as that the result may be
    open_shop.journal.append([NewEntry(new_uid(), "clock", body={"v": 1})])
    open_shop.refresh()
    assert not open_shop.clock_is_wrong
    found = asked(open_shop, 1)
    assert not found.go
    assert [one.about for one in found.reasons] == ["saw.blade"]
    assert "while the clock was wrong" in found.reasons[0].words
    add(open_shop, "saw.blade")
    assert asked(open_shop, 1).go


def task_of(open_shop: OpenShop, machine: str, ident: str) -> Task:
    return next(one for one in open_shop.shop.machines_by_id[machine].tasks if one.id == ident)


def test_while_no_cutter_is_on_it_is_hold(open_shop: OpenShop) -> None:
    """It was taken off and nothing put on: what is put on will have to be proven."""
    blade = """
[[machine.cutter]]
id = "rip"
name = "Rip blade"
kind = "blade"
where = "on the machine"
state = "sharp"
"""
    _with(open_shop, '\n[[machine]]\nid = "jointer"', blade)
    assert asked(open_shop, 1).go
    saw = open_shop.standing.of_machine("saw")
    assert saw is not None
    off = saw.cutters[0]._replace(where="at the sharpener")
    open_shop.journal.append([kinds.CUTTER.new(new_uid(), said_of(off, "send out"), "saw", "rip")])
    open_shop.refresh()
    reason = asked(open_shop, 1).reasons[0]
    assert (
        reason.words == "Table saw: Rip blade is at the sharpener, and nothing is on in its place"
    )
    assert asked(open_shop, 0).go


@pytest.mark.parametrize("begun", ["blade", "table"])
def test_while_its_check_is_under_way_it_is_hold(open_shop: OpenShop, begun: str) -> None:
    """Whoever is at it may have loosened it by now, or what it rests on; its end settles that."""
    assert asked(open_shop, 1).go
    open_shop.journal.append([NewEntry("b", "begin", "saw", begun, {"v": 1, "method": "square"})])
    open_shop.refresh()
    assert asked(open_shop, 1).go  # it was opened, and nothing done yet
    answer = {"v": 1, "step": "unplugged", "value": "plug out"}
    open_shop.journal.append([NewEntry("a", "answer", "saw", begun, answer, refers="b")])
    open_shop.refresh()
    found = asked(open_shop, 1)
    assert [one.about for one in found.reasons] == ["saw.blade"]
    assert "not finished" in found.reasons[0].words
    assert found.reasons[0].points == (f"saw.{begun}",)
    why = {
        "blade": "true now, its check was begun and is not finished",
        "table": "true now; Table saw: Blade at 90: the check of Wing level, which it depends on,"
        " is not finished",
    }
    to_check = wanted(open_shop, open_shop.shop.projects[1]).to_check
    assert to_check == {f"saw.{begun}": why[begun]}
    stands = open_shop.standing.of_point("saw.blade")
    assert stands is not None
    assert known_points(open_shop, ["saw.blade"])["saw.blade"].state == stands.state == "true"
    end = {"v": 1, "why": "given up"}
    open_shop.journal.append([NewEntry("e", "end", "saw", begun, end, "b")])
    open_shop.refresh()
    assert asked(open_shop, 1).go


def test_with_its_result_on_record_and_only_the_machine_to_clear_it_is_go(
    open_shop: OpenShop,
) -> None:
    """Nothing was moved since; as soon as it is, or an answer is taken back, it is open again."""

    def say(kind: str, body: dict[str, object]) -> bool:
        open_shop.journal.append(
            [NewEntry(new_uid(), kind, "saw", "blade", {"v": 1, **body}, refers="b")]
        )
        open_shop.refresh()
        return asked(open_shop, 1).go

    open_shop.journal.append([NewEntry("b", "begin", "saw", "blade", {"v": 1, "method": "square"})])
    assert not say("answer", {"key": "light", "text": "none"})
    assert not say("answer", {"key": "record", "text": "record"})
    open_shop.journal.append(
        [NewEntry("r", "check", "saw", "blade", result(0.0, 1e-5, "angle"), refers="b")]
    )
    assert say("answer", {"key": "next", "text": "done"})
    assert say("answer", {"key": "unplugged again", "text": "plug out", "prepares": True})
    assert not say("back", {"key": "next"})
    assert not say("answer", {"key": "next", "text": "adjust"})
    open_shop.journal.append(
        [NewEntry("r2", "check", "saw", "blade", result(0.0, 1e-5, "angle"), refers="b")]
    )
    assert say("answer", {"key": "left.next", "text": "done"})


def test_what_follows_from_shop_and_journal_is_kept_until_they_change(
    open_shop: OpenShop, clock: Clock
) -> None:
    """A minute that goes by costs nothing; a record, or another shop file, drops it all."""
    assert asked(open_shop).go
    outlook, minutes = open_shop.outlook("jointer.fence"), open_shop.kept("minutes")
    assert minutes_of(open_shop, "jointer.fence") == 5.0
    assert minutes == {"jointer.fence": 5.0}
    clock.pass_by(minutes=1)
    open_shop.refresh()
    assert open_shop.outlook("jointer.fence") is outlook
    assert open_shop.kept("minutes") is minutes
    add(open_shop, "jointer.fence", 2e-5)
    assert open_shop.outlook("jointer.fence") is not outlook
    text = open_shop.shop_file.read_text(encoding="utf-8")
    open_shop.shop_file.write_text(text.replace('"5 min"', '"11 min"'), encoding="utf-8")
    assert open_shop.poll()
    assert "jointer.fence" not in open_shop.kept("minutes")
    record_happening(open_shop.journal, "jointer", "knocked", shop=open_shop.shop)
    open_shop.refresh()
    assert asked(open_shop).reasons[0].minutes == 11.0


def test_what_shows_in_the_work_counts_where_another_value_was_judged(open_shop: OpenShop) -> None:
    """Of three knives the lowest was judged, farthest off; the highest one cuts the board."""
    body = result(0.01, 0.005, "length") | {"readings": {"in_work_nm": 90_000}}
    open_shop.journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    open_shop.refresh()
    now = known_points(open_shop, ["jointer.tables"])["jointer.tables"].now
    assert now is not None
    assert now.likely == pytest.approx(0.09)


def test_a_knife_below_the_table_tells_nothing_of_those_that_cut(open_shop: OpenShop) -> None:
    body = result(-0.03, 0.005, "length") | {"readings": {"in_work_nm": None}, "lean": "one is low"}
    open_shop.journal.append([NewEntry(new_uid(), "check", "jointer", "tables", body)])
    open_shop.refresh()
    one = known_points(open_shop, ["jointer.tables"])["jointer.tables"]
    assert one.now is None
    assert one.why == "what shows in the work was not measured: one is low"


def test_what_is_near_is_not_called_due_for_what_it_rests_on(open_shop: OpenShop) -> None:
    """Due is what was true: beside the board, which says near, another word would not do."""
    add(open_shop, "saw.blade", 0.0017)
    add(open_shop, "saw.table", 0.02)
    stands, known = (
        open_shop.standing.of_point("saw.blade"),
        known_points(open_shop, ["saw.blade"])["saw.blade"],
    )
    assert stands is not None
    assert known.why
    assert (stands.state, known.state) == ("near", "near")
