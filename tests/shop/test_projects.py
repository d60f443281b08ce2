"""Reading what will be made: sizes, counts, fits, and the points that show in each joint.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from datetime import date
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.shop.joint_forms import FORMS, SIZES, cuts_of, default_fits
from shopboard.shop.problems import ShopFileError
from shopboard.shop.project import FitName, Joint, JointKind, ShowsIn
from shopboard.shop.reader import read_shop_text
from tests import combination
from tests.shop.texts import SHOP, load, only_problem, problems_of, unmark

POINT = """
[[machine.point]]
id = "{id}"
name = "{id}"
check = "square"
datum = "table"
face = "face"
lever = 3
tolerance = "0.1 deg"
shows_in = {cuts}
"""
MACHINE = '\n[[machine]]\nid = "{id}"\nname = "{id}"\nkind = "{kind}"\n'


def point(ident: str, *cuts: str) -> str:
    """A point that shows in those cuts."""
    return POINT.format(id=ident, cuts=list(cuts))


def machine(ident: str, kind: str, *points: str) -> str:
    """A machine with those points."""
    return MACHINE.format(id=ident, kind=kind) + "".join(points)


STOCK = "".join(
    (
        SHOP,
        machine("chop", "mitre saw", point("fence", "end angle"), point("stop", "length"))
        + point("mitre", "mitre")
        + point("tilt", "end tilt"),
        machine("rip", "table saw", point("blade", "edge angle", "end tilt", "bevel"))
        + point("sled", "end angle")
        + point("gauge", "end angle", "mitre"),
        machine("joint", "jointer", point("fence", "edge angle"), point("tables", "edge line")),
        machine("thick", "planer", point("bed", "thickness")),
        machine("band", "bandsaw", point("table", "resaw")),
        machine("drill", "drill press", point("table", "hole angle"), point("jig", "leg angle")),
        machine("turn", "lathe", point("centres", "tenon taper")),
    )
)
"""A shop that can make everything; the mitre saw stands first."""

PROJECT = '\n[[project]]\nid = "chest"\nname = "Chest"\n'
JOINT = '[[project.joint]]\nid = "j"\nname = "J"\n'
ENOUGH = {
    "panel": 'kind = "panel"\npieces = 5\nwidth = 4\nlength = 30\nthickness = "7/8 in"\n',
    "frame": 'kind = "frame"\nwidth = 3\nlength = 30\nthickness = 0.75\n',
    "carcase": 'kind = "carcase"\nwidth = 30\nheight = 40\ndepth = 12\nthickness = 0.75\n',
    "drawer": 'kind = "drawer"\nwidth = 14\nheight = 4\ndepth = 18\nthickness = "12 mm"\n',
    "tenon": 'kind = "tenon"\nwidth = 4\nthickness = 1\n',
    "stave ring": 'kind = "stave ring"\npieces = 12\nthickness = 1\n',
    "segment ring": 'kind = "segment ring"\npieces = 8\nwidth = 1.5\nthickness = 0.8\n',
    "veneer": 'kind = "veneer"\nheight = "150 mm"\n',
    "round tenon": 'kind = "round tenon"\ndepth = 1\nlength = 16\n',
    "leg": 'kind = "leg"\ndepth = 1.5\nlength = 17\n',
    "stretcher": 'kind = "stretcher"\nheight = 9\ndepth = 1\nlength = 14\n',
}
"""What is needed of each kind, and no more."""


def joint(lines: str, stock: str = STOCK) -> Joint:
    """The one joint of a shop."""
    (found,) = load(stock + PROJECT + JOINT + lines).shop.projects[0].joints
    return found


def test_every_kind_has_a_case() -> None:
    assert set(ENOUGH) == set(get_args(JointKind)) == set(FORMS)


def test_a_project() -> None:
    text = STOCK + PROJECT + "start = 2026-12-07\n" + JOINT + ENOUGH["tenon"]
    (found,) = load(text).shop.projects
    assert (found.id, found.name, found.start) == ("chest", "Chest", date(2026, 12, 7))
    assert found.joints[0].full_name == "chest.j"


def test_machines_that_no_joint_tells_are_told_beside_them() -> None:
    """One that its joints tell, too, is there once."""
    lines = 'also_on = ["band", "joint"]\n'
    (found,) = load(STOCK + PROJECT + lines + JOINT + ENOUGH["panel"]).shop.projects
    (plain,) = load(STOCK + PROJECT + JOINT + ENOUGH["panel"]).shop.projects
    assert {*found.machines} == {*plain.machines, "band", "joint"}
    assert len(found.machines) == len({*found.machines})


@pytest.mark.parametrize(
    ("word", "said"),
    [("bnad", "did you mean"), ("saw.blade", "cannot be an id"), ("", "nothing between")],
)
def test_a_machine_that_is_not_there_is_refused(word: str, said: str) -> None:
    text = STOCK + PROJECT + f'also_on = "{word}"\n' + JOINT + ENOUGH["panel"]
    found = only_problem(text)
    assert said in str(found)


def test_no_project_is_no_problem() -> None:
    assert load(SHOP).shop.projects == ()


@pytest.mark.parametrize("kind", sorted(ENOUGH))
def test_what_is_needed_is_enough(kind: JointKind) -> None:
    """Every kind is read without a word, its points and fits filled in."""
    loaded = load(STOCK + PROJECT + JOINT + ENOUGH[kind])
    found = loaded.shop.projects[0].joints[0]
    assert loaded.warnings == ()
    assert (found.kind, found.number, found.alternate) == (kind, 1, False)
    # Nothing here runs out: how large a hole comes out is not asked for.
    assert set(found.points) == set(cuts_of(kind, tuple(found.sizes))) - {"hole size"}
    for cut, names in found.points.items():
        assert all(cut in loaded.shop.points[name].shows_in for name in names)
    assert found.fits == default_fits("inch")
    assert set(FORMS[kind].sizes) <= set(found.sizes)


def test_sizes_are_millimetres() -> None:
    """An inch is 25.4 mm; a bare number takes the shop's unit."""
    found = joint(ENOUGH["panel"])
    assert found.pieces == 5
    assert found.sizes == pytest.approx({"width": 101.6, "length": 762.0, "thickness": 22.225})
    assert joint(ENOUGH["veneer"]).sizes == pytest.approx({"height": 150.0})


def test_a_frame_has_four_equal_sides_unless_told() -> None:
    found = joint(ENOUGH["frame"])
    assert found.pieces == 4
    assert found.sizes["other_length"] == found.sizes["length"] == pytest.approx(762.0)
    other = joint(ENOUGH["frame"] + "other_length = 20\npieces = 6\n")
    assert other.pieces == 6
    assert other.sizes["other_length"] == pytest.approx(508.0)


@pytest.mark.parametrize(
    ("kind", "before", "narrow"),
    [("drawer", "height = 4", "height = 0.75"), ("carcase", "12", "1")],
)
def test_a_box_may_be_shallow(kind: JointKind, before: str, narrow: str) -> None:
    """A pencil tray, a spice rack: boards narrower than two of their thicknesses leave room."""
    assert joint(ENOUGH[kind].replace(before, narrow)).kind == kind


def test_the_wood_of_a_project_is_as_thick_as_it_says() -> None:
    """A joint's own thickness comes first; one that has none does not get it."""
    thin = PROJECT + 'thickness = "20 mm"\n'
    kinds = ('kind = "tenon"\nwidth = 4\n', ENOUGH["panel"], ENOUGH["segment ring"])
    texts = (JOINT.replace('"j"', f'"j{i}"') + kind for i, kind in enumerate(kinds))
    found = load(STOCK + thin + "".join(texts)).shop.projects[0].joints
    assert found[0].sizes["thickness"] == pytest.approx(20.0)
    assert found[1].sizes["thickness"] == pytest.approx(22.225)
    assert found[2].sizes["thickness"] == pytest.approx(20.32)


def test_count_alternate_and_fit() -> None:
    lines = ENOUGH["panel"] + 'count = 3\nalternate = true\n[project.joint.fit]\ngap = " 4 thou "\n'
    found = joint(lines + "cup = 0.02\n")
    assert (found.number, found.alternate) == (3, True)
    assert found.fits["gap"][1:] == ("4 thou", "shop file")
    assert found.fits["gap"].mm == pytest.approx(0.1016)
    assert found.fits["cup"][1:] == ("0.02 in", "shop file")
    assert found.fits["cup"].mm == pytest.approx(0.508)
    assert found.fits["square"] == default_fits("inch")["square"]


class TestClosed:
    """How a joint is closed."""

    @pytest.mark.parametrize(
        ("kind", "closed"),
        [
            ("frame", "last corner"),
            ("stave ring", "half rings"),
            ("segment ring", "all round"),
            ("panel", "sprung"),
        ],
    )
    def test_as_the_fit_says(self, kind: JointKind, closed: str) -> None:
        found = joint(f'{ENOUGH[kind]}[project.joint.fit]\nclosed = "{closed}"\n')
        assert found.closed == closed
        assert joint(ENOUGH[kind]).closed is None

    def test_a_way_that_a_joint_is_not_closed_is_refused_with_those_it_is(self) -> None:
        lines = ENOUGH["frame"] + '[project.joint.fit]\nclosed = "half rings"\n'
        problem = only_problem(STOCK + PROJECT + JOINT + lines)
        assert "a frame cannot be closed that way" in problem.sentence
        assert '"all round" or "last corner"' in problem.sentence

    def test_two_fences_cut_mitres_and_nothing_else(self) -> None:
        assert joint(ENOUGH["frame"] + "two_fences = true\n").two_fences
        problem = only_problem(STOCK + PROJECT + JOINT + ENOUGH["tenon"] + "two_fences = true\n")
        assert "no mitre is cut for a tenon" in problem.sentence

    def test_a_ring_of_a_file_from_before_is_read_and_asked_how_thick_it_is(self) -> None:
        lines = ENOUGH["segment ring"].replace("thickness = 0.8\n", "")
        loaded = load(STOCK + PROJECT + JOINT + lines)
        (warning,) = loaded.warnings
        assert "thickness is not told" in warning.sentence
        assert "thickness" not in loaded.shop.projects[0].joints[0].sizes


def shown(points: Mapping[ShowsIn, tuple[str, ...]]) -> dict[str, str]:
    """The points of each cut, their names with a blank between."""
    return {cut: " ".join(names) for cut, names in points.items()}


def test_default_fits() -> None:
    """Glue line: FDMC, "Thick glue lines", 0.002 to 0.006 in; the rest is common practice."""
    mm = {name: limit.mm for name, limit in default_fits("inch").items()}
    inch = {
        "gap": 0.006,
        "cup": 1 / 32,
        "square": 1 / 32,
        "length": 1 / 64,
        "thickness": 0.010,
        "spring": 1 / 64,
        "aim": 1 / 4,
    }
    assert mm == pytest.approx({name: size * 25.4 for name, size in inch.items()})
    assert set(mm) == set(get_args(FitName))
    sources = {name: limit.source.partition(":")[0] for name, limit in default_fits("inch").items()}
    assert sources.pop("gap") == "published"
    assert set(sources.values()) == {"common practice"}


def test_a_metric_shop_wants_round_millimetres() -> None:
    """Workshop numbers of its own, within a fiftieth of the inch shop's; the source in mm, too."""
    metric, inch = default_fits("mm"), default_fits("inch")
    assert {name: limit.typed for name, limit in metric.items()} == {
        "gap": "0.15 mm",
        "cup": "0.8 mm",
        "square": "0.8 mm",
        "length": "0.4 mm",
        "thickness": "0.25 mm",
        "spring": "0.4 mm",
        "aim": "6.4 mm",
    }
    for name, limit in metric.items():
        assert limit.mm == pytest.approx(inch[name].mm, rel=0.02)
        assert limit.typed == f"{limit.mm:g} mm"
    assert "0.05 to 0.15 mm apart" in metric["gap"].source
    panel = 'kind = "panel"\npieces = 5\nwidth = 90\nlength = 600\nthickness = 20\n'
    read = joint(panel, combination.SHOP).fits
    assert read == metric


class TestMadeOn:
    """Which point shows in a cut; the machine usual for a cut is common practice, no source."""

    def test_usual_machines_not_the_first_in_the_file(self) -> None:
        assert shown(joint(ENOUGH["panel"]).points) == {
            "edge angle": "joint.fence",
            "edge line": "joint.tables",
        }
        assert shown(joint(ENOUGH["segment ring"]).points) == {
            "mitre": "chop.mitre",
            "end tilt": "chop.tilt",
        }
        assert shown(joint(ENOUGH["stave ring"]).points) == {"bevel": "rip.blade"}
        both = shown(joint(ENOUGH["veneer"] + "width = 6\n").points)
        assert both == {"resaw": "band.table", "thickness": "thick.bed"}
        assert shown(joint(ENOUGH["veneer"]).points) == {"resaw": "band.table"}

    def test_tilt_and_length_come_from_where_the_end_is_cut_as_far_as_it_has_them(self) -> None:
        """The table saw has no stop here, the mitre saw has one."""
        found = shown(joint(ENOUGH["carcase"]).points)
        assert found == {
            "end angle": "rip.sled rip.gauge",
            "end tilt": "rip.blade",
            "length": "chop.stop",
        }

    def test_they_follow_an_end_that_is_cut_elsewhere(self) -> None:
        said = '[project.joint.made_on]\nend_angle = "chop"\n'
        found = shown(joint(ENOUGH["carcase"] + said).points)
        assert found == {"end angle": "chop.fence", "end tilt": "chop.tilt", "length": "chop.stop"}

    def test_those_of_a_frame_follow_its_mitre(self) -> None:
        assert joint(ENOUGH["frame"]).points["end tilt"] == ("chop.tilt",)
        said = '[project.joint.made_on]\nmitre = "rip.gauge"\n'
        assert joint(ENOUGH["frame"] + said).points["end tilt"] == ("rip.blade",)

    def test_a_machine_means_all_of_its_points_that_show_there(self) -> None:
        for said, meant in (("rip", ("rip.sled", "rip.gauge")), ("rip.gauge", ("rip.gauge",))):
            lines = f'{ENOUGH["tenon"]}made_on = {{ end_angle = "{said}" }}\n'
            assert joint(lines).points["end angle"] == meant

    def test_a_list_means_all_that_it_names(self) -> None:
        """A point named twice, by itself and with its machine, counts once."""
        for said, meant in (
            ('["rip.gauge", "chop"]', ("rip.gauge", "chop.fence")),
            ('["rip.gauge", "rip"]', ("rip.gauge", "rip.sled")),
        ):
            lines = f"{ENOUGH['tenon']}made_on = {{ end_angle = {said} }}\n"
            assert joint(lines).points["end angle"] == meant

    def test_one_of_a_list_that_is_not_there_is_refused_and_nothing_stands_in(self) -> None:
        lines = f'{ENOUGH["tenon"]}made_on = {{ end_angle = ["rip.gauge", "rip.gage"] }}\n'
        problem = only_problem(STOCK + PROJECT + JOINT + lines)
        assert 'did you mean "rip.gauge"?' in problem.sentence

    def test_else_the_first_in_the_file(self) -> None:
        """Nothing usual for the cut: whatever shows in it."""
        stock = (
            SHOP
            + machine("lathe", "lathe", point("rest", "bevel"))
            + machine("other", "shaper", point("fence", "bevel"))
        )
        assert shown(joint(ENOUGH["stave ring"], stock).points) == {"bevel": "lathe.rest"}

    def test_a_cut_that_nothing_shows_in_is_a_warning_that_names_it(self) -> None:
        marked = SHOP + point("end", "end angle") + PROJECT + "»" + JOINT + ENOUGH["carcase"]
        text, line, column = unmark(marked)
        loaded = load(text)
        (warning,) = loaded.warnings
        assert (warning.line, warning.column, warning.severity) == (line, column, "warning")
        assert "shows in the end tilt or the length: nothing proves it" in warning.sentence
        assert shown(loaded.shop.projects[0].joints[0].points) == {"end angle": "saw.end"}

    def test_no_such_warning_while_a_point_cannot_be_read(self) -> None:
        text = SHOP + point("end", "end angel", "length") + PROJECT + JOINT + ENOUGH["tenon"]
        assert 'did you mean "end angle"?' in only_problem(text).sentence

    def test_an_old_name_is_told_apart_from_a_slip(self) -> None:
        stock = STOCK.replace('id = "sled"\n', 'id = "sled"\nwas = "old-sled"\n')
        lines = ENOUGH["tenon"] + 'made_on = { end_angle = "rip.old-sled" }\n'
        problem = only_problem(stock + PROJECT + JOINT + lines)
        assert problem.hint == "it is rip.sled now"


MADE, FIT = "[project.joint.made_on]\n", "[project.joint.fit]\n"
WRONG = [
    # the joint
    ("kind", 'kind = »"carcasse"\nwidth = 3\n', ['mean "carcase"', "segment ring"]),
    ("typo", ENOUGH["tenon"] + "»alternat = true\n", ['mean "alternate"']),
    ("count", ENOUGH["tenon"] + "count = »0\n", ["from 1 to 1000"]),
    ("count-text", ENOUGH["tenon"] + 'count = »"2"\n', ["take the quotes off"]),
    ("pieces-of-none", ENOUGH["tenon"] + "»pieces = 4\n", ["a tenon has no pieces", "count"]),
    ("ring-of-two", ENOUGH["stave ring"].replace("12", "»2"), ["of 2 pieces", "at least 3"]),
    ("panel-of-one", ENOUGH["panel"].replace("5", "»1"), ["from 2 to 200"]),
    ("alternate", ENOUGH["tenon"] + "»alternate = true\n", ["cancels nothing in a tenon", "panel"]),
    ("needless", ENOUGH["tenon"] + "»depth = 3\n", ["a tenon has no depth", "width, thickness"]),
    ("mixed-up", ENOUGH["drawer"].replace("depth", "»length"), ["no length", 'mean "depth"']),
    ("far-too-long", ENOUGH["panel"].replace("30", "»9000"), ["out of range", 'mean "9000 mm"']),
    ("no-room", ENOUGH["frame"].replace("30", "»6"), ["nothing is left inside: 6 in of 6 in"]),
    ("no-room-in-box", ENOUGH["drawer"].replace("14", "»0.5"), ["nothing is left inside"]),
    ("no-room-in-depth", ENOUGH["drawer"].replace("18", "»0.5"), ["nothing is left inside"]),
    # where it is made
    ("no-machine", ENOUGH["tenon"] + MADE + 'end_angle = »"ripp"\n', ['mean "rip"', "machines:"]),
    ("no-point", ENOUGH["tenon"] + MADE + 'end_angle = »"rip.slad"\n', ['mean "rip.sled"']),
    ("other-cut", ENOUGH["tenon"] + MADE + 'end_angle = »"rip.blade"\n', ["not show", "rip.sled"]),
    ("none-on-it", ENOUGH["tenon"] + MADE + 'length = »"rip"\n', ['of "rip" shows', "chop.stop"]),
    (
        "no-such-cut",
        ENOUGH["tenon"] + MADE + '»mitre = "rip"\n',
        ["no mitre", "end_angle, end_tilt, length"],
    ),
    ("spaced", ENOUGH["tenon"] + MADE + '»"end angle" = "rip"\n', ["write end_angle"]),
    ("cut-typo", ENOUGH["tenon"] + MADE + '»end_angel = "rip"\n', ['mean "end_angle"']),
    ("planed-without-width", ENOUGH["veneer"] + MADE + '»thickness = "thick"\n', ["only resaw"]),
    # how it should fit
    ("fit-bare-word", ENOUGH["tenon"] + FIT + 'gap = »"tight"\n', ["does not start with a number"]),
    ("fit-0", ENOUGH["tenon"] + FIT + "gap = »0\n", ["not more than 0"]),
    ("fit-huge", ENOUGH["tenon"] + FIT + "gap = »6\n", ["out of range", 'mean "6 thou"']),
    ("no-such-fit", ENOUGH["tenon"] + FIT + "»cup = 0.01\n", ["no cup", "only gap, length"]),
    ("fit-typo", ENOUGH["tenon"] + FIT + "»gpa = 0.01\n", ['mean "gap"']),
    ("fit-is-text", ENOUGH["tenon"] + 'fit = »"6 thou"\n', ["write a table, [project.joint.fit]"]),
]


@pytest.mark.parametrize(("lines", "words"), [w[1:] for w in WRONG], ids=[w[0] for w in WRONG])
def test_what_is_wrong_with_a_joint_is_told_at_its_place(lines: str, words: list[str]) -> None:
    text, line, column = unmark(STOCK + PROJECT + JOINT + lines)
    problem = only_problem(text)
    assert (problem.line, problem.column, problem.severity) == (line, column, "error")
    for word in words:
        assert word in problem.sentence


PROJECTS = [
    ("quoted-day", PROJECT + 'start = »"2026-12-07"\n', ["no quotes", "write 2026-12-07"]),
    ("moment", PROJECT + "start = »2026-12-07T09:00:00\n", ["a day is enough", "2026-12-07"]),
    ("word", PROJECT + 'start = »"soon"\n', ["a day such as 2026-12-07"]),
    ("number", PROJECT + "start = »2026\n", ["a day such as"]),
    ("century", PROJECT + "start = »1926-12-07\n", ["1926 is out of range"]),
    ("typo", PROJECT + "»strat = 2026-12-07\n", ['mean "start"']),
    ("no-id", '\n»[[project]]\nname = "Chest"\n', ["id is missing in [[project]]"]),
    ("thick", PROJECT + "thickness = »25\n", ["out of range", 'mean "25 mm"']),
    ("joint-first", "\n[[»project.joint]]\n" + 'id = "a"\n', ["no [[project]] above this"]),
    ("one-bracket", '\n[»project]\nid = "a"\nname = "A"\n', ["write [[project]] for each"]),
    ("twice", PROJECT + PROJECT.replace('"chest"', '»"chest"'), ["another project has the id"]),
    (
        "joint-twice",
        PROJECT + JOINT + ENOUGH["tenon"] + JOINT.replace('"j"', '»"j"') + ENOUGH["tenon"],
        ["another joint of this project", "first written on line"],
    ),
    (
        "no-thickness",
        f'{PROJECT}»{JOINT}kind = "tenon"\nwidth = 3\n',
        ["or in [[project]] for all"],
    ),
    (
        "no-pieces",
        f'{PROJECT}»{JOINT}kind = "stave ring"\nthickness = 1\n',
        ["how many in a stave"],
    ),
]


@pytest.mark.parametrize(
    ("lines", "words"), [p[1:] for p in PROJECTS], ids=[p[0] for p in PROJECTS]
)
def test_what_is_wrong_with_a_project_is_told_at_its_place(lines: str, words: list[str]) -> None:
    text, line, column = unmark(STOCK + lines)
    errors = [found for found in problems_of(text) if found.severity == "error"]
    assert any(
        (found.line, found.column) == (line, column) and all(w in found.sentence for w in words)
        for found in errors
    ), errors


def test_a_project_without_joints_is_a_warning() -> None:
    (warning,) = load(STOCK + PROJECT).warnings
    assert "no joint in this project yet" in warning.sentence


@pytest.mark.parametrize("name", ["\\u001b[2J", "\\u202e", "a\\nb"])
def test_text_that_a_terminal_obeys_is_refused(name: str) -> None:
    text = STOCK + PROJECT.replace('"Chest"', f'"{name}"') + JOINT + ENOUGH["tenon"]
    shown = str(problems_of(text))
    assert "\x1b" not in shown
    assert "\u202e" not in shown


_numbers = st.floats(0.5, 60).map(lambda size: round(size, 3))


@given(
    kind=st.sampled_from(sorted(ENOUGH)),
    sizes=st.dictionaries(st.sampled_from(SIZES), _numbers),
    pieces=st.none() | st.integers(0, 250),
    alternate=st.booleans(),
    made_on=st.dictionaries(
        st.sampled_from([cut.replace(" ", "_") for cut in get_args(ShowsIn)]),
        st.sampled_from(["rip", "chop", "rip.sled", "chop.stop", "joint.fence", "nowhere"]),
    ),
)
def test_any_joint_is_read_whole_or_refused(
    kind: JointKind,
    sizes: dict[str, float],
    pieces: int | None,
    alternate: bool,
    made_on: dict[str, str],
) -> None:
    """What is read has just the sizes of its kind, sound ones, and points that show in it."""
    lines = [f'kind = "{kind}"', *(f"{size} = {value}" for size, value in sizes.items())]
    lines += [f"pieces = {pieces}"] if pieces is not None else []
    lines += [f"alternate = {str(alternate).lower()}", "[project.joint.made_on]"]
    lines += [f'{cut} = "{name}"' for cut, name in made_on.items()]
    try:
        loaded = read_shop_text(STOCK + PROJECT + JOINT + "\n".join(lines))
    except ShopFileError:
        return
    found, form = loaded.shop.projects[0].joints[0], FORMS[kind]
    assert set(form.sizes) <= set(found.sizes) <= {*form.sizes, *form.may}
    assert all(math.isfinite(mm) and mm > 0 for mm in found.sizes.values())
    assert (found.pieces >= form.fewest) if form.fewest else found.pieces == 0
    assert not found.alternate or form.turns
    assert {cut.replace("_", " ") for cut in made_on} <= set(found.points)
    for cut, names in found.points.items():
        assert names
        for name in names:
            assert cut in loaded.shop.points[name].shows_in
            said = made_on.get(cut.replace(" ", "_"), name)
            assert name == said or name.startswith(f"{said}.")
