"""Half an hour before a glue-up: a cutter is changed with the checks that it undoes, or not at all.

A joint that is GO is not put on HOLD by the plan (common practice, no source). Minutes are those
of the shop file where it tells them, else those that the program takes as usual.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest

from shopboard.prep.answers import answers_of
from shopboard.prep.begun_day import begin_day
from shopboard.prep.day import Planner
from shopboard.prep.pieces import Piece
from shopboard.prep.share_out import Shared
from shopboard.prep.whole_changes import torn
from shopboard.sittings.check import start
from shopboard.upkeep.happenings import record_happening
from tests.journal.helpers import Clock
from tests.prep.test_changed_knives import opened, shop_with
from tests.prep.test_lived_day import opened as never_checked
from tests.prep.test_lived_day import planned
from tests.prep.test_worth import had
from tests.two_shops import METRIC

WAX = """
[[machine.task]]
id = "wax"
name = "Wax the tables"
every = "4 weeks"
leaves = "wax"
steps = ["Wipe clean", { do = "Wax on", wait = "10 min", at_most = "20 min" }, "Buff"]

[[machine.cutter]]
id = "knives"
"""
METRIC_KNIVES = """
[[machine.cutter]]
id = "knives"
name = "Knives"
where = "on the machine"
state = "dull"
kind = "knives"
edges = 2

[[machine]]
id = "tools"
"""


def metric() -> str:
    """The metric shop with dull knives, and a joint that is planed to its thickness."""
    with_knives = METRIC.replace('\n[[machine]]\nid = "tools"\n', METRIC_KNIVES)
    turned = '"knives changed", "machine moved"'
    assert turned in with_knives
    with_knives = with_knives.replace(turned, f'"knives turned", {turned}')
    leaf = '\n[[project.joint]]\nid = "leaf"\nname = "Leaf"\nkind = "veneer"\n'
    return f'{with_knives}{leaf}height = "100 mm"\nwidth = "80 mm"\n'


def test_a_joint_that_goes_is_not_held_up_by_half_an_hour(tmp_path: Path, clock: Clock) -> None:
    """To change over takes 8 min, the turn 30, its checks 25: in 63 it fits, in less none of it."""
    with closing(opened(tmp_path, clock, shop_with("dull"))) as open_shop:
        (joint,) = open_shop.shop.projects[0].joints
        assert answers_of(open_shop, [joint])[0].go
        for minutes in (5, 30, 45, 62):
            plan = planned(open_shop, had(clock, minutes), "stool")
            assert not any(line.piece.machine == "jointer" for line in plan.lines)
            assert plan.holds == ()
            told = {one.piece.target: one.risk for one in plan.left}
            assert told.keys() & {"knives", "jointer.seated", "jointer.carry"} == {"knives"}
            assert told["knives"].endswith("2 checks behind it, 25 min")
        plan = planned(open_shop, had(clock, 64), "stool")
        mine = [line.piece.target for line in plan.lines if line.piece.machine == "jointer"]
        assert mine == ["knives", "jointer.seated", "jointer.carry"]


@pytest.mark.parametrize("text", [shop_with("dull"), metric()])
def test_what_a_change_would_undo_is_not_checked_without_it(
    tmp_path: Path, clock: Clock, text: str
) -> None:
    """Where no project asks, either: it is as true as it was."""
    with closing(opened(tmp_path, clock, text)) as open_shop:
        for minutes in (12, 25):
            plan = planned(open_shop, had(clock, minutes))
            assert not any(line.piece.sort == "check" for line in plan.lines)
            assert not any(one.piece.sort == "check" for one in plan.left)
        assert any(line.piece.sort == "check" for line in planned(open_shop).lines)


def test_a_dull_cutter_is_changed_where_no_project_asks(tmp_path: Path, clock: Clock) -> None:
    """A dull one needs force: before other checks, but never without those that it undoes.

    The turn takes 30 min, its three checks 35, to change over twice 8.
    """
    with closing(opened(tmp_path, clock, shop_with("dull"))) as open_shop:
        for minutes in (31, 55, 80):
            plan = planned(open_shop, had(clock, minutes))
            assert "knives" not in [line.piece.target for line in plan.lines]
        plan = planned(open_shop, had(clock, 81))
        mine = [line.piece.target for line in plan.lines]
        assert mine == ["knives", "jointer.seated", "jointer.carry", "planer.bed"]


def test_what_a_change_undoes_comes_with_it_though_it_was_never_checked(
    tmp_path: Path, clock: Clock
) -> None:
    """The turn takes 30 min, its checks 25: before any other check, or not at all.

    A joint is proven first, though with dull knives: it waits on HOLD for no edge.
    """
    with closing(never_checked(tmp_path, clock, shop_with("dull"))) as open_shop:
        needed = {"jointer.fence", "jointer.seated", "jointer.carry", "jointer.tables"}
        for minutes in (45, 52, 56, 81):
            plan = planned(open_shop, had(clock, minutes), "stool")
            mine = {line.piece.target for line in plan.lines}
            assert "knives" not in mine
            assert bool(plan.holds) == (not mine >= needed)
        plan = planned(open_shop, had(clock, 82), "stool")
        assert {line.piece.target for line in plan.lines} >= {*needed, "knives"}
        for minutes in (72, 73):
            plan = planned(open_shop, had(clock, minutes))
            done = [line.piece.target for line in plan.lines]
            all_of_it = ["knives", "jointer.seated", "jointer.carry", "planer.bed"]
            assert (done == all_of_it) == ("knives" in done) == (minutes == 73)


def test_a_change_that_was_never_begun_holds_up_no_check_when_it_is_late(
    tmp_path: Path, clock: Clock
) -> None:
    """It would be on record: nobody is at it. When it no longer fits with its checks, these do."""
    with closing(never_checked(tmp_path, clock, shop_with("dull"))) as open_shop:
        time = had(clock, 90)
        planner = Planner(open_shop)
        planner.choose("stool", had=time)
        first = planner.plan().lines[0].piece
        begin_day(open_shop.journal, "stool", None, had=time)
        assert (first.target, first.told_when_begun) == ("knives", True)
        for passed in (15, 20, 35):
            clock.now = time.until - timedelta(minutes=90 - passed) if time.until else clock.now
            plan = planned(open_shop, None, "stool")
            assert not any(line.piece.target == "knives" for line in plan.lines)
            assert sum(line.piece.minutes for line in plan.lines) == 52
            assert not plan.holds


def test_what_a_change_of_the_day_undid_is_measured_on_it(tmp_path: Path, clock: Clock) -> None:
    """Before what takes less time and was never checked either."""
    with closing(never_checked(tmp_path, clock, shop_with())) as open_shop:
        begin_day(open_shop.journal, "", None)
        record_happening(open_shop.journal, "jointer", "knives turned")
        open_shop.refresh()
        plan = planned(open_shop, had(clock, 35))
        done = {one.piece.target for one in plan.lines}
        assert done < {"jointer.seated", "jointer.carry", "planer.bed"}


def test_what_rests_on_a_check_in_hand_waits_for_the_wax_too(tmp_path: Path, clock: Clock) -> None:
    """A rule is not laid on a table while its wax hazes."""
    text = shop_with().replace('\n[[machine.cutter]]\nid = "knives"\n', WAX)
    assert text.count("Wax on") == 1
    with closing(opened(tmp_path, clock, text)) as open_shop:
        record_happening(open_shop.journal, "jointer", "knives turned")
        begin_day(open_shop.journal, "stool", None)
        start(open_shop.journal, open_shop.shop, open_shop.shop.points["jointer.seated"])
        lines = [line.piece.words for line in planned(open_shop, project="stool").lines]
        assert lines[0] == "check Knives seated"
        assert lines.index("Buff") < lines.index("check Knives to the table")


def test_a_change_that_was_taken_out_already_is_torn_no_more() -> None:
    """Its checks stay due without it: it was taken out again and again, and the plan never came."""
    pieces = {
        "change": Piece("change", "cutter", "saw", "Change", 10, act="put on"),
        "check": Piece("check", "check", "saw", "Blade", 6, brought_by=("change",)),
    }
    assert torn(Shared((), ("check",)), pieces) == ()


@pytest.mark.parametrize("project", ["stool", "shelf"])
def test_where_a_change_is_left_out_its_checks_count_by_themselves(
    tmp_path: Path, clock: Clock, project: str
) -> None:
    """What is planned is what would be with sharp knives; a change first of all drew its along."""
    if project == "stool":
        dull, sharp = shop_with("dull"), shop_with()
    else:
        dull, sharp = metric(), metric().replace('state = "dull"', 'state = "sharp"', 1)
    (tmp_path / "sharp").mkdir()
    left = 0
    with (
        closing(never_checked(tmp_path, clock, dull)) as one,
        closing(never_checked(tmp_path / "sharp", clock, sharp)) as other,
    ):
        name = one.shop.projects[0].id
        for minutes in (*range(5, 60, 5), 80, 100):
            plan = planned(one, had(clock, minutes), name)
            targets = [line.piece.target for line in plan.lines]
            if "knives" not in targets:
                left += 1
                plain = planned(other, had(clock, minutes), name)
                assert targets == [line.piece.target for line in plain.lines], minutes
    assert left > 3
