"""One cutter in several modes of a combination machine: use, changes and what they undo."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.journal import NewEntry, new_uid
from shopboard.open_shop import OpenShop
from shopboard.prep.day import Planner
from shopboard.prep.glue_up import _machines
from shopboard.prep.known import known_points
from shopboard.prep.plan import DayPlan
from shopboard.reports.sheet import gather_rows
from shopboard.reports.trace import gather_trace
from shopboard.shop.machine import HOURS_RUN, PROJECT_FINISHED
from shopboard.sittings.cutter_change import begin, resume
from shopboard.standing.look_back import changes, events
from shopboard.upkeep.cutter_changes import change
from shopboard.upkeep.cutter_journal import record_change, standings_now
from shopboard.upkeep.cutter_outlook import outlooks
from shopboard.upkeep.cutters import CutterStanding
from shopboard.upkeep.happenings import record_happening
from shopboard.wander.point_history import point_past
from tests.combination import LAST_HOME, SERVES, SHOP, TWO_HEADS
from tests.journal.helpers import Clock
from tests.prep.results import result

Open = Callable[[str], OpenShop]

MODES = ("top", "thick")


@pytest.fixture
def opened(tmp_path: Path, clock: Clock) -> Iterator[Open]:
    """Opens one journal with the shop file that is given."""
    path = tmp_path / "shop.toml"

    def open_it(text: str) -> OpenShop:
        path.write_text(text, encoding="utf-8")
        return stack.enter_context(
            closing(OpenShop(path, tmp_path / "journal.sqlite3", clock, 0.05))
        )

    with ExitStack() as stack:
        yield open_it


@pytest.fixture
def open_shop(opened: Open) -> OpenShop:
    """The shop, every point proven."""
    made = opened(SHOP)
    prove(made)
    return made


def prove(open_shop: OpenShop) -> None:
    for point in open_shop.shop.points.values():
        body = result(0.0, 1e-4)
        open_shop.journal.append([NewEntry(new_uid(), "check", point.machine, point.id, body)])
    open_shop.refresh()


def head(open_shop: OpenShop, mode: str = "top") -> CutterStanding:
    """The head as one of its modes shows it."""
    machine = open_shop.standing.of_machine(mode)
    assert machine is not None
    (found,) = (one for one in machine.cutters if one.cutter.kind == "knives")
    return found


def turn(open_shop: OpenShop) -> None:
    one = head(open_shop)
    record_change(
        change(one, "turn", "dull", standings_now(open_shop.shop, "top", open_shop.journal)),
        open_shop.journal,
    )
    open_shop.refresh()


def states(open_shop: OpenShop) -> dict[str, str]:
    return {
        one.point.full_name: one.state
        for machine in open_shop.standing.machines
        for one in machine.points
    }


def test_hours_of_every_mode_count_on_the_head(open_shop: OpenShop) -> None:
    """2 h of surfacing and 3 h of planing are 5 h of the same edges; sawing is none of them."""
    for mode, hours in (("top", 2), ("thick", 3), ("saw", 7)):
        record_happening(open_shop.journal, mode, HOURS_RUN, hours * 60.0, shop=open_shop.shop)
    record_happening(open_shop.journal, "", PROJECT_FINISHED, shop=open_shop.shop)
    open_shop.refresh()
    for mode in MODES:
        assert head(open_shop, mode).use.minutes == 5 * 60
        assert head(open_shop, mode).use.projects == 1
    saw = open_shop.standing.of_machine("saw")
    assert saw is not None
    assert [one.use.minutes for one in saw.cutters] == [7 * 60]


def test_past_its_life_it_is_dull_in_every_mode(open_shop: OpenShop) -> None:
    """20 h, of which the board's panes and `status` speak by `blunt`."""
    record_happening(open_shop.journal, "thick", HOURS_RUN, 20 * 60.0, shop=open_shop.shop)
    open_shop.refresh()
    dull = {one.machine.id: [each.id for each in one.blunt] for one in open_shop.standing.machines}
    assert dull == {"saw": [], "top": ["head"], "thick": ["head"]}


def test_knives_turned_undo_the_points_of_every_mode(open_shop: OpenShop) -> None:
    """And make due the tasks there that follow a turn."""
    turn(open_shop)
    assert states(open_shop) == {"saw.blade": "true", "top.seat": "due", "thick.bed": "due"}
    thick = open_shop.standing.of_machine("thick")
    assert thick is not None
    assert [task.task.id for task in thick.to_do] == ["rollers"]


@pytest.mark.parametrize("mode", MODES)
def test_a_change_told_in_any_mode_undoes_all(open_shop: OpenShop, mode: str) -> None:
    """As `happened thick "knives changed"` does."""
    record_happening(open_shop.journal, mode, "knives changed", shop=open_shop.shop)
    open_shop.refresh()
    assert states(open_shop) == {"saw.blade": "true", "top.seat": "due", "thick.bed": "due"}


def test_a_blade_of_another_mode_undoes_nothing_here(open_shop: OpenShop) -> None:
    """What is changed on the saw is no head."""
    record_happening(open_shop.journal, "saw", "blade changed", shop=open_shop.shop)
    open_shop.refresh()
    assert states(open_shop) == {"saw.blade": "due", "top.seat": "true", "thick.bed": "true"}


def test_a_change_under_way_shows_and_holds_up_in_every_mode(
    open_shop: OpenShop, clock: Clock
) -> None:
    """A glue-up names it once, however many of its modes made the joint."""
    under_way = begin(open_shop.journal, open_shop.shop, head(open_shop, "thick"), "turn")
    under_way.answer("1")
    open_shop.refresh()
    shown = {
        one.machine.id: one.changing and one.changing.what for one in open_shop.standing.machines
    }
    assert shown == {"saw": None, "top": "knife change", "thick": "knife change"}
    known = known_points(open_shop, ("top.seat", "thick.bed"))
    assert [one.under_way for one in known.values()] == ["knife change is in progress"] * 2
    (reason,) = _machines(known.values())
    assert (reason.sort, reason.about) == ("change", "top")
    goes_on = open_shop.standing.of_machine("thick")
    assert goes_on is not None
    assert goes_on.changing is not None
    assert resume(open_shop.journal, open_shop.shop, goes_on.changing.machine, clock()) is not None


def planned(open_shop: OpenShop) -> DayPlan:
    open_shop.refresh()
    planner = Planner(open_shop)
    planner.choose("")
    return planner.plan()


@pytest.mark.parametrize("text", [SHOP, LAST_HOME])
def test_the_prep_day_changes_it_once_before_the_checks_of_all_modes(
    opened: Open, text: str
) -> None:
    """Wherever in the file its own mode stands; the task that follows a turn comes after it."""
    open_shop = opened(text)
    prove(open_shop)
    record_happening(open_shop.journal, "thick", HOURS_RUN, 25 * 60.0, shop=open_shop.shop)
    ids = [line.piece.id for line in planned(open_shop).lines]
    assert sorted(ids) == [
        *("check thick.bed", "check top.seat", "cutter top.head", "task thick.rollers 0"),
    ]
    assert ids[0] == "cutter top.head"


@pytest.mark.parametrize("text", [SHOP, LAST_HOME])
def test_a_change_under_way_is_gone_on_with_once_and_first(opened: Open, text: str) -> None:
    """A loose nut comes before all else, in whatever mode."""
    open_shop = opened(text)
    begin(open_shop.journal, open_shop.shop, head_of(open_shop), "turn").answer("1")
    ids = [line.piece.id for line in planned(open_shop).lines]
    assert ids[0] == "cutter top"
    assert [one for one in ids if one.startswith("cutter")] == ["cutter top"]


def head_of(open_shop: OpenShop) -> CutterStanding:
    return standings_now(open_shop.shop, "top", open_shop.journal)[0]


def test_where_its_own_mode_is_tagged_another_one_has_the_change(open_shop: OpenShop) -> None:
    """It is planned in the mode that the day concerns."""
    from shopboard.upkeep.tags import record_tag

    record_tag("top", "the fence is cracked", open_shop.journal)
    record_happening(open_shop.journal, "thick", HOURS_RUN, 25 * 60.0, shop=open_shop.shop)
    lines = [line.piece for line in planned(open_shop).lines]
    assert [(one.id, one.machine) for one in lines][:1] == [("cutter top.head", "thick")]


def test_records_from_before_it_said_so_are_read_as_before(opened: Open) -> None:
    """They stand under the machine that the head was written at, and stay there."""
    before = opened(TWO_HEADS)
    prove(before)
    record_happening(before.journal, "top", HOURS_RUN, 120.0, shop=before.shop)
    record_happening(before.journal, "thick", HOURS_RUN, 180.0, shop=before.shop)
    before.refresh()
    assert before.standing.of_machine("thick").cutters == ()  # type: ignore[union-attr]
    after = opened(SHOP)
    assert head(after, "thick").use.minutes == 120.0
    record_happening(after.journal, "thick", HOURS_RUN, 60.0, shop=after.shop)
    after.refresh()
    assert head(after).use.minutes == 180.0


def test_its_pace_is_that_of_all_its_modes(open_shop: OpenShop, clock: Clock) -> None:
    """An hour each on the first day, then 4 h in 20 days: 12 minutes a day."""
    for mode in MODES:
        record_happening(open_shop.journal, mode, HOURS_RUN, 60.0, shop=open_shop.shop)
    clock.pass_by(days=10)
    record_happening(open_shop.journal, "thick", HOURS_RUN, 180.0, shop=open_shop.shop)
    clock.pass_by(days=10)
    record_happening(open_shop.journal, "top", HOURS_RUN, 60.0, shop=open_shop.shop)
    open_shop.refresh()
    (look,) = outlooks((head(open_shop, "thick"),), open_shop.now(), open_shop.journal)
    assert look.pace is not None
    assert look.pace.per_day == pytest.approx(240 / 20)
    assert look.pace.days == pytest.approx(20)


def test_what_one_knife_set_serves_all_of_them_do(opened: Open) -> None:
    """The spare goes into the same head: it need not say so again."""
    spare = """
[[machine.cutter]]
id = "spare"
name = "Spare knives"
kind = "knives"
where = "on the shelf"
state = "sharp"
"""
    open_shop = opened(SHOP.replace(SERVES, SERVES + spare))
    thick = open_shop.standing.of_machine("thick")
    assert thick is not None
    assert [one.id for one in thick.cutters] == ["head", "spare"]


def test_looking_back_and_how_a_point_wanders_name_what_reached_it(
    open_shop: OpenShop, clock: Clock
) -> None:
    """The knives were turned at the jointer; the planer's bed was undone by that."""
    before = open_shop.stood(open_shop.now())
    clock.pass_by(days=1)
    turn(open_shop)
    after = open_shop.stood(open_shop.now())
    (bed,) = (
        one for one in changes(before.standing, after.standing) if one.after.point.id == "bed"
    )
    told = events(open_shop.journal, open_shop.shop, bed, before.upto, after.upto, after.when)
    assert [one.words for one in told] == ["knives turned"]
    point = open_shop.shop.points["thick.bed"]
    past = point_past(open_shop.journal, point, beside=open_shop.shop.reached["thick"])
    assert [(one.machine, one.what) for one in past.happenings] == [("thick", "knives turned")]


def test_plot_and_sheet_of_a_point_tell_what_reached_it(open_shop: OpenShop) -> None:
    """With both times where it was said later."""
    on = open_shop.now() - timedelta(days=2)
    record_happening(open_shop.journal, "top", "knives turned", shop=open_shop.shop, on=on)
    open_shop.refresh()
    (event,) = gather_trace(open_shop.shop, "thick.bed", open_shop.journal).events
    assert (event.what, event.undoes, event.on) == ("knives turned", True, on)
    thick = open_shop.standing.of_machine("thick")
    assert thick is not None
    (row,) = gather_rows(thick, open_shop.journal, open_shop.shop.reached["thick"])
    assert [one.what for one in row.since] == ["knives turned"]
