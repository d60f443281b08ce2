"""What of a day is worth most: what guards a person, then what the wood goes through first.

In which order wood is worked is common practice, no source; minutes are those of the shop files.
"""

from __future__ import annotations

from contextlib import closing
from datetime import timedelta
from pathlib import Path
from typing import get_args

import pytest

from shopboard.prep.day import Planner
from shopboard.prep.first_cut import OPERATIONS, first_cut
from shopboard.prep.plan import DayPlan
from shopboard.prep.time_had import TimeHad
from shopboard.prep.time_read import read_time
from shopboard.shop.project import ShowsIn
from shopboard.upkeep.happenings import record_happening
from tests.journal.helpers import Clock
from tests.prep.test_changed_knives import opened as all_checked
from tests.prep.test_changed_knives import shop_with
from tests.prep.test_lived_day import opened, planned
from tests.two_shops import COMBINATION, METRIC

GUARD = """
[[machine.point]]
id = "knife"
name = "Riving knife in line"
check = "go-no-go"
face = "riving knife"
every = "3 months"
guards = true
minutes = "4 min"

[[machine.cutter]]
id = "rip"
"""
OILED = 'name = "Oil the chain"\nafter = ["knives turned"]'
CARCASE = """
[[project.joint]]
id = "case"
name = "Case"
kind = "carcase"
width = "{width}"
height = "{width}"
depth = "{width}"
thickness = "{thickness}"
"""


def with_guard(text: str) -> str:
    """Give a shop whose saw has a riving knife to check."""
    return text.replace('\n[[machine.cutter]]\nid = "rip"\n', GUARD, 1)


def had(clock: Clock, minutes: float) -> TimeHad:
    return TimeHad(until=clock.now + timedelta(minutes=minutes), any_hours=True)


def names(plan: DayPlan) -> list[str]:
    return [line.piece.target for line in plan.lines]


def test_every_cut_has_its_place_among_the_operations() -> None:
    assert {*OPERATIONS} == {*get_args(ShowsIn)}


@pytest.mark.parametrize(
    ("shop", "width", "thickness", "edges"),
    [
        (METRIC, "300 mm", "20 mm", {"saw.blade"}),  # its edges are cut on the saw
        (COMBINATION, "12 in", "3/4 in", {"jointer.fence"}),
    ],
)
def test_edges_are_jointed_before_ends_are_cut_however_the_file_goes(
    tmp_path: Path, clock: Clock, shop: str, width: str, thickness: str, edges: set[str]
) -> None:
    """A case that the file names before the boards of its top needs the crosscut later."""
    if "jointer.fence" in edges:
        shop = shop.replace('["end tilt", "edge angle"]', '["end tilt", "end angle"]')
    joint = CARCASE.format(width=width, thickness=thickness)
    head, project, tail = shop.rpartition("[[project.joint]]")
    for number, text in enumerate((f"{head}{joint.strip()}\n\n{project}{tail}", f"{shop}{joint}")):
        folder = tmp_path / str(number)
        folder.mkdir()
        with closing(opened(folder, clock, text)) as open_shop:
            assert first_cut(open_shop.shop, open_shop.shop.projects[0]) == edges


@pytest.mark.parametrize("shop", [METRIC, COMBINATION])
def test_in_little_time_what_guards_comes_first(tmp_path: Path, clock: Clock, shop: str) -> None:
    """Six minutes: another check fits, too, and is not taken; in less it is left with its risk."""
    with closing(opened(tmp_path, clock, with_guard(shop))) as open_shop:
        assert names(planned(open_shop, had(clock, 6))) == ["saw.knife"]
        left = {one.piece.target: one.risk for one in planned(open_shop, had(clock, 3)).left}
        assert left["saw.knife"] == "it guards you; stays unproven: never checked"
        assert left["saw.blade"] == "stays unproven: never checked"
        assert next(iter(left)) == "saw.knife"


@pytest.mark.parametrize("shop", [METRIC, COMBINATION])
def test_what_guards_waits_for_no_upkeep_and_comes_before_any_other_check_there(
    tmp_path: Path, clock: Clock, shop: str
) -> None:
    """Nobody cuts a test piece behind a riving knife that is off; and upkeep is put off for it."""
    clock.now = clock.now.astimezone().replace(hour=16, minute=50)
    hours = shop.replace("\n[[drawer", '\nhours = "8:00 to 17:00"\n\n[[drawer', 1)
    with closing(opened(tmp_path, clock, with_guard(hours))) as open_shop:
        lines = planned(open_shop).lines
        here = [one.piece.target for one in lines if one.piece.target.startswith("saw.")]
        assert here[0] == "saw.knife"
        assert lines[[one.piece.target for one in lines].index("saw.knife")].end.hour < 17


@pytest.mark.parametrize("seconds", [0, 1.5, 59])
def test_what_fits_to_the_minute_fits(tmp_path: Path, clock: Clock, seconds: float) -> None:
    """The riving knife takes 4 min: in 4 min it is planned, however late in the minute."""
    clock.now += timedelta(seconds=seconds)
    with closing(opened(tmp_path, clock, with_guard(METRIC))) as open_shop:
        time = read_time("4 min", clock.now)
        clock.pass_by(seconds=0.4)
        assert names(planned(open_shop, time)) == ["saw.knife"]


def test_a_task_is_done_without_the_change_that_it_comes_after(
    tmp_path: Path, clock: Clock
) -> None:
    """Both today: in that order. Where the knives stay on, the chain is oiled all the same."""
    text = shop_with("dull").replace('name = "Oil the chain"', OILED, 1)
    with closing(all_checked(tmp_path, clock, text)) as open_shop:
        assert names(planned(open_shop, had(clock, 20))) == ["oil"]
        whole = names(planned(open_shop))
        assert whole.index("knives") < whole.index("oil")


def test_a_task_that_guards_comes_first_too(tmp_path: Path, clock: Clock) -> None:
    text = METRIC.replace(
        'every = "2 weeks"', 'every = "2 weeks"\nguards = true\nminutes = "6 min"'
    )
    with closing(opened(tmp_path, clock, text)) as open_shop:
        assert names(planned(open_shop, had(clock, 8))) == ["hone"]
        left = planned(open_shop, had(clock, 3)).left[0]
        assert (left.piece.target, left.risk.split(";")[0]) == ("hone", "it guards you")


def test_a_project_asks_for_what_guards_at_its_machines(tmp_path: Path, clock: Clock) -> None:
    """No joint shows a riving knife, but nobody cuts a project behind one that is off."""
    guarded = with_guard(METRIC)
    with closing(opened(tmp_path, clock, guarded)) as open_shop:
        assert "saw.knife" in names(planned(open_shop, project="shelf"))
    (tmp_path / "other").mkdir()
    unmarked = guarded.replace("guards = true\n", "")
    with closing(opened(tmp_path / "other", clock, unmarked)) as open_shop:
        assert "saw.knife" not in names(planned(open_shop, project="shelf"))


JOINTER = """
[[machine]]
id = "jointer"
name = "Jointer"
kind = "jointer"

[[machine.point]]
id = "fence"
name = "Fence at 90"
check = "square"
datum = "outfeed table"
face = "fence"
lever = "90 mm"
light_at_top = "the fence leans back"
light_at_bottom = "the fence leans over the table"
tolerance = "1.5 mm/m"
minutes = "20 min"
cutter_near = true
shows_in = "edge angle"

[[project]]
"""


@pytest.mark.parametrize(
    ("fit", "expected"),
    [
        ("", ["jointer.fence"]),
        ('\n[project.joint.fit]\ncup = "0.004 mm"\n', ["saw.blade", "saw.fence"]),
    ],
)
def test_a_joint_that_no_check_can_make_go_asks_for_nothing_before_the_others(
    tmp_path: Path, clock: Clock, fit: str, expected: list[str]
) -> None:
    """Edges come before ends, but nobody spends his time on a flatness that cannot be proven.

    Four thousandths of a millimetre are less than any square and leaves of the shop tell.
    """
    case = CARCASE.format(width="300 mm", thickness="20 mm")
    text = METRIC.replace("\n[[project]]\n", JOINTER, 1) + fit + case
    with closing(opened(tmp_path, clock, text)) as open_shop:
        plan = planned(open_shop, had(clock, 20), "shelf")
        assert names(plan) == expected
        # nothing shows the length of the one and the edges of the other: no minutes are promised
        held = ("HOLD for Sides of three boards; Case: checks alone bring no GO.",)
        assert plan.holds == held


def test_what_no_joint_asks_for_comes_after_what_one_does_though_in_vain(
    tmp_path: Path, clock: Clock
) -> None:
    """The bed of a machine that the project also runs on: it is upkeep."""
    fit = '\n[project.joint.fit]\ncup = "0.004 mm"\n'
    text = METRIC.replace("\n[[project]]\n", JOINTER, 1) + fit
    text = text.replace('name = "Wall shelf"\n', 'name = "Wall shelf"\nalso_on = "planer"\n', 1)
    with closing(opened(tmp_path, clock, text)) as open_shop:
        planner = Planner(open_shop)
        planner.choose("shelf", had=had(clock, 20))
        order = planner.asked().worth.order
        assert order[:2] == ("check jointer.fence", "check planer.bed")


INSERTS = """
[[machine.cutter]]
id = "inserts"
name = "Inserts"
where = "on the machine"
state = "dull"
kind = "knives"
edges = 4
{serves}
[[project]]
id = "box"
name = "Box"
"""


@pytest.mark.parametrize("serves", ["", 'serves = "saw"\n'])
def test_a_dull_cutter_that_the_project_does_not_use_is_upkeep(
    tmp_path: Path, clock: Clock, serves: str
) -> None:
    """It is there for what the last one used; an hour goes to the wax of this one before.

    Where it serves a machine of this one, too, it is no upkeep. The checks of this one, which take
    18 min, come first in either case.
    """
    box = CARCASE.format(width="300 mm", thickness="20 mm")
    text = METRIC.replace("\n[[project]]\n", JOINTER, 1)
    joint = text.index("[[project]]")
    text = f"{text[:joint]}{INSERTS.format(serves=serves)}{box}\n{text[joint:]}"
    if serves:
        text = text.replace('kind = "table saw"\n', 'kind = "table saw"\nbody = "all"\n', 1)
        text = text.replace('kind = "jointer"\n', 'kind = "jointer"\nbody = "all"\n', 1)
    with closing(opened(tmp_path, clock, text)) as open_shop:
        shop = open_shop.shop
        shelf = shop.projects_by_id["shelf"]
        record_happening(
            *(open_shop.journal, "", "project finished"),
            shop=shop,
            project=shelf,
            machines=["jointer"],
        )
        assert names(planned(open_shop, had(clock, 30), "box"))[:2] == ["saw.blade", "saw.fence"]
        plan = planned(open_shop, had(clock, 60), "box")
        assert ("inserts" in names(plan)) == bool(serves)
        assert ("wax" in names(plan)) == (not serves)


SHELF = """
[[machine.cutter]]
id = "old"
name = "Old blade"
where = "on the shelf"
state = "dirty"
{more}
[[machine.cutter]]
id = "rip"
"""


@pytest.mark.parametrize(
    ("more", "state", "expected"),
    [
        ("", "sharp", ["saw.arbor", "saw.blade"]),
        ('spare_for = "rip"\n', "dull", ["old", "old", "saw.blade", "saw.fence"]),
    ],
)
def test_a_blade_on_the_shelf_is_cleaned_last_unless_it_goes_on(
    tmp_path: Path, clock: Clock, more: str, state: str, expected: list[str]
) -> None:
    """In 11 min two checks are worth more; in the place of a dull one it is, with its checks."""
    text = METRIC.replace('\n[[machine.cutter]]\nid = "rip"\n', SHELF.format(more=more), 1)
    place = text.index('state = "sharp"', text.index('id = "rip"'))
    text = text[:place] + f'state = "{state}"' + text[place + len('state = "sharp"') :]
    with closing(opened(tmp_path, clock, text)) as open_shop:
        minutes = 11 if state == "sharp" else 37
        assert sorted(names(planned(open_shop, had(clock, minutes)))) == expected


def test_within_a_day_only_what_guards_is_urgent_and_no_dull_cutter(
    tmp_path: Path, clock: Clock
) -> None:
    """Before a pause or after it: nobody cuts with it until all is done. It comes first of days."""
    with closing(opened(tmp_path, clock, with_guard(shop_with("dull")))) as open_shop:
        planner = Planner(open_shop)
        planner.choose("", had=had(clock, 600))
        worth = planner.asked().worth
        knives = "cutter jointer.knives"
        assert worth.urgent == {"check saw.knife"}
        assert {*worth.order[:2]} == {"check saw.knife", knives}
