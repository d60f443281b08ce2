"""A shop file changed by a command: what it says, what it does, and what it leaves alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopboard.checks.registry import facts, names
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop
from tests.cli.program import SHOP, Program
from tests.in_turn import in_turn
from tests.two_shops import SHOPS
from tests.whole_shop import WHOLE_SHOP


@pytest.fixture
def sample(program: Program) -> Program:
    program.write("shop.toml", WHOLE_SHOP.read_text(encoding="utf-8"))
    return program


def lines(program: Program) -> list[str]:
    return program.shop.read_text(encoding="utf-8").splitlines()


def shop_of(program: Program) -> Shop:
    return read_shop(program.shop, names(), facts()).shop


def test_one_setting_is_changed_and_shown_with_its_line(sample: Program) -> None:
    before = lines(sample)
    number = before.index('tolerance = "0.1 deg"') + 1
    ran = sample("edit", "saw.blade", "tolerance", "0.15 deg")
    assert ran.code == 0
    assert ran.out.splitlines() == [
        f'{number:>5} - tolerance = "0.1 deg"',
        f'{number:>5} + tolerance = "0.15 deg"',
    ]
    assert "the file before is shop.toml.before-" in ran.err
    (kept,) = sample.folder.glob("shop.toml.before-*")
    assert kept.read_text(encoding="utf-8").splitlines() == before
    before[number - 1] = 'tolerance = "0.15 deg"'
    assert lines(sample) == before
    assert shop_of(sample).points["saw.blade"].tolerance.typed == "0.15 deg"


def test_the_lines_are_shown_and_nothing_is_changed(sample: Program) -> None:
    before = sample.shop.read_bytes()
    ran = sample("edit", "saw.blade", "lever", "2 in", "--show")
    assert ran.code == 0
    assert '+ lever = "2 in"' in ran.out
    assert "Nothing was changed" in ran.err
    assert sample.shop.read_bytes() == before
    assert [one.name for one in sample.folder.iterdir() if "before" in one.name] == []


def test_a_shop_without_machines_gets_one_by_the_command_that_is_told(program: Program) -> None:
    program.write("shop.toml", '[shop]\nname = "Empty"\nunit = "mm"\n')
    told = program("proofread")
    found = re.search("`shopboard (edit [^`]*)`", told.err)
    assert found is not None
    assert "`shopboard describe` asks" in told.err
    ran = program(*found[1].split())
    assert ran.code == 0, ran.err
    assert [one.name for one in shop_of(program).machines] == ["Jointer"]


def test_what_is_said_already_changes_nothing(sample: Program) -> None:
    before = sample.shop.stat()
    ran = sample("edit", "saw.blade", "lever", "3 in")
    assert (ran.code, ran.out) == (0, "")
    assert "It says so already" in ran.err
    assert sample.shop.stat().st_mtime_ns == before.st_mtime_ns


def test_what_is_set_is_listed_with_its_lines(sample: Program) -> None:
    ran = sample("edit", "saw.rip-24")
    told = {line.split(" = ")[0].split()[1]: line for line in ran.out.splitlines()}
    assert told["cost"].endswith("cost = 16.50")
    number = int(told["cost"].split()[0])
    assert lines(sample)[number - 1] == "cost = 16.50"
    assert "Not set: " in ran.err
    assert "spare_for" in ran.err
    sizes = sample("edit", "saw.blade").out
    assert 'sizes.width = "3 in"' in sizes
    assert 'adjuster.thread = "5/16-18"' in sizes


@pytest.mark.parametrize(
    ("words", "wanted"),
    [
        (("saw.rip-24", "cost", "20.50"), "cost = 20.50"),
        (("saw.rip-24", "sharpenings", "7"), "sharpenings = 7"),
        (("saw.blade", "cutter_near", "true"), "cutter_near = true"),
        (("chart-cabinet", "start", "2027-01-04"), "start = 2027-01-04"),
        (("shop", "name", "2027"), 'name = "2027"'),
        (
            ("saw.arbor", "undone_by", "knocked", "belt changed"),
            'undone_by = ["knocked", "belt changed"]',
        ),
        (("saw.arbor", "undone_by", '["knocked"]'), 'undone_by = ["knocked"]'),
        (("saw.arbor", "rests_on", "blade"), 'rests_on = "blade"'),
        (("saw.arbor", "minutes", "5 min"), 'minutes = "5 min"'),
        (("saw.arbor", "lock", "a = b, [x]"), 'lock = "a = b, [x]"'),
        (("saw.blade", "check", "square"), 'check = ["square"]'),
        (("saw.dust-box", "after", "knocked"), 'after = "knocked"'),
        (("saw.dust-box", "steps", "Out", "In, wait 5 min"), 'steps = ["Out", "In, wait 5 min"]'),
        (("saw.dust-box", "steps", "1", "2"), 'steps = ["1", "2"]'),
        (
            (
                "shop",
                *("--add", "shop-question", "id=q", "ask=x", "wanted=3", "others=4"),
                "others=y",
            ),
            'others = ["4", "y"]',
        ),
        (("square-6", "length", "150 mm"), 'length = "150 mm"'),
        (("chart-cabinet.top", "fit.cup", "1 mm"), 'cup = "1 mm"'),
        (("saw.switch-paddle", "ask", "Look."), 'ask = "Look."'),
        (
            (
                "saw.arbor",
                "adjuster.kind=shim",
                "adjuster.span=3 in",
                "adjuster.toward_seat=a",
                "adjuster.away_seat=b",
            ),
            'away_seat = "b"',
        ),
    ],
)
def test_a_value_is_written_as_the_reader_wants_it(
    sample: Program, words: tuple[str, ...], wanted: str
) -> None:
    ran = sample("edit", *words)
    assert ran.code == 0, ran.err
    assert wanted in lines(sample)
    shop_of(sample)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("saw.blade", "tolerance", "banana"), 'write an angle such as "0.1 deg"'),
        (("saw.blade", "tolerence", "1 deg"), "did you mean tolerance?"),
        (("saw.blad", "lever", "3 in"), "did you mean saw.blade?"),
        (("saw.blade", "lever", "a\x1b[31m"), "control character U+001B"),
        (("saw.blade", "lock", "a\nb"), "keep it on one line"),
        (("saw.blade", "lock", "x" * 500), "500 characters; at most 400"),
        (("saw.arbor", "rests_on", "nosuch"), 'there is no point "saw.nosuch"'),
        (("saw.blade", "rests_on", "sled-fence"), "a circle"),
        (("saw.blade", "sizes", "3 in"), "name a setting in it, such as sizes.width"),
        (("saw", "point", "x"), "name a setting in it"),
        (("saw.blade", "lever"), "needs a VALUE"),
        (("saw.blade", "lever", "--leave-out", "--take-out"), "not allowed with"),
        (("saw.blade", "motto", "--leave-out"), "has no motto"),
        (("saw.blade", "lever", "--leave-out"), "lever is missing"),
        (("saw.blade", "id", "Blade 90"), 'did you mean "blade-90"?'),
        (("saw.blade", "id", "arbor"), "saw.arbor is another point already"),
        (("saw.blade", "id", "blade"), "has that id"),
        (("square-6", "id", "leaves"), "leaves is another feeler already"),
        (("slip-door", "id", "door"), "the id of a shop-question cannot change"),
        (("planer.knives", "name", "x"), "--is point or --is cutter"),
        (("saw.blade", "name", "x", "--is", "poin"), "did you mean point?"),
        (("shop", "--take-out"), "shop cannot be taken out"),
        (("mitre.blade-fence", "--take-out"), "shows in the end angle"),
        (("saw", "--add", "pont", "id=x"), "did you mean point?"),
        (("saw", "--add", "point", "x"), "is no SETTING=VALUE"),
        (("saw", "--add", "point", "id=x", "name=X"), "check is missing"),
        (("saw.blade", "lever.first", "3 in"), "lever of saw.blade is not a table"),
        (("saw.blade", "sizes.width.x", "3 in"), "sizes.width of saw.blade is not a table"),
        (("saw.blade", ".", "3 in"), "no setting of saw.blade '.'"),
        (("saw.wax-table", "steps.do", "Wax on"), "is a list: give all of it"),
        (("saw.blade", "name", "\udcff"), "what was typed is not UTF-8"),
    ],
)
def test_what_cannot_be_is_refused_in_a_line_and_nothing_changes(
    sample: Program, words: tuple[str, ...], said: str
) -> None:
    before = sample.shop.read_bytes()
    ran = sample("edit", *words)
    assert (ran.code, ran.out) == (2, "")
    assert said in ran.err
    assert "\x1b" not in ran.err
    assert sample.shop.read_bytes() == before


def test_another_id_takes_its_records_and_its_mentions_along(sample: Program) -> None:
    sample("happened", "saw", "hours run", "3h")
    ran = sample("edit", "saw", "id", "table-saw")
    assert ran.code == 0
    assert '+ was = "saw"' in ran.out
    shop = shop_of(sample)
    assert shop.machines_by_id["table-saw"].was == ("saw",)
    assert "table-saw.sled-fence" in shop.points["bench.panel"].rests_on
    told = sample("edit", "saw.blade", "lever", "3 in")
    assert (told.code, "it is table-saw.blade now" in told.err) == (2, True)
    assert "3 h" in sample("cutters", "table-saw").out


def test_what_is_taken_out_is_mentioned_no_more_and_its_records_stay(program: Program) -> None:
    program("happened", "saw", "knocked")
    ran = program("edit", "saw.blade", "--take-out")
    assert ran.code == 0, ran.err
    shop = shop_of(program)
    assert list(shop.points) == ["saw.fence", "jointer.fence"]
    assert shop.points["saw.fence"].rests_on == ()
    assert "[machine.point.adjuster]" not in program.shop.read_text(encoding="utf-8")


def test_an_id_is_written_for_what_is_added_by_its_name_and_is_not_left_out(
    program: Program,
) -> None:
    assert program("edit", "shop", "--add", "machine", "name=Pole lathe").code == 0
    assert '[[machine]]\nid = "pole-lathe"\nname = "Pole lathe"\n' in program.shop.read_text()
    refused = program("edit", "pole-lathe", "id", "--leave-out")
    assert refused.code == 2
    assert "the id of pole-lathe cannot change" in refused.err


def test_a_new_machine_and_a_point_on_it(program: Program) -> None:
    assert program("edit", "shop", "--add", "machine", "id=lathe", "name=Lathe").code == 0
    words = ("id=rest", "name=Tool rest", "check=go-no-go", "every=2 weeks", "cutter_near=true")
    ran = program("edit", "lathe", "--add", "point", *words)
    assert ran.code == 0, ran.err
    assert program.shop.read_text(encoding="utf-8") == SHOP + (
        '\n[[machine]]\nid = "lathe"\nname = "Lathe"\n\n[[machine.point]]\nid = "rest"\n'
        'name = "Tool rest"\ncheck = "go-no-go"\n'
        'every = "2 weeks"  # check it again by then, whatever happens\ncutter_near = true\n'
    )


def test_a_tool_of_the_drawer_and_a_joint(sample: Program) -> None:
    ran = sample("edit", "shop", "--add", "square", "id=long", "name=L", "length=18 in", "grade=1")
    assert ran.code == 0, ran.err
    words = ("id=foot", "name=Foot", "kind=tenon", "width=3 in", "fit.gap=5 thou")
    ran = sample("edit", "chart-cabinet", "--add", "joint", *words)
    assert ran.code == 0, ran.err
    shop = shop_of(sample)
    assert shop.drawer.squares[-1].id == "long"
    assert shop.projects[0].joints[-1].fits["gap"].typed == "5 thou"


@pytest.mark.parametrize("name", SHOPS)
def test_any_shop_is_edited(program: Program, name: str) -> None:
    program.write("shop.toml", SHOPS[name])
    cutter = "saw.rip-20" if name == "sample" else "saw.rip"
    for words in (
        ("saw.blade", "lock", "the bolt"),
        (cutter, "id", "ripper"),
        ("shop", "name", "x"),
    ):
        assert program("edit", *words).code == 0
    shop = shop_of(program)
    assert shop.points["saw.blade"].lock == "the bolt"
    assert shop.machines_by_id["saw"].cutters[0].was == (cutter[4:],)


def test_a_file_that_is_read_only_says_so(program: Program) -> None:
    program.shop.chmod(0o444)
    ran = program("edit", "saw.blade", "lever", "5 in")
    assert (ran.code, "is read-only; nothing was changed" in ran.err) == (6, True)
    assert program.shop.read_text(encoding="utf-8") == SHOP


def test_a_link_is_followed_and_stays_one(program: Program, tmp_path: Path) -> None:
    real = tmp_path / "kept.toml"
    program.shop.replace(real)
    program.shop.symlink_to(real)
    assert program("edit", "saw.blade", "lever", "5 in").code == 0
    assert program.shop.is_symlink()
    assert 'lever = "5 in"' in real.read_text(encoding="utf-8")


def test_of_a_link_elsewhere_the_file_before_is_told_with_its_folder(
    program: Program, tmp_path: Path
) -> None:
    (tmp_path / "away").mkdir()
    real = tmp_path / "away" / "kept.toml"
    program.shop.replace(real)
    program.shop.symlink_to(real)
    ran = program("edit", "saw.blade", "lever", "5 in")
    assert f"the file before is {real.resolve()}.before-" in ran.err


def test_what_becomes_wrong_elsewhere_is_told_with_its_line(program: Program) -> None:
    """By the lines of the file as it is; of what was typed there is none yet."""
    text = WHOLE_SHOP.read_text(encoding="utf-8")  # a project has its mitres cut there
    program.write("shop.toml", text)
    ran = program("edit", "mitre.blade-fence", "--take-out")
    assert (ran.code, program.shop.read_text(encoding="utf-8")) == (2, text)
    told = re.search(r"line (\d+): ", ran.err)
    assert told is not None
    assert "mitre" in text.splitlines()[int(told[1]) - 1]
    assert "line " not in program("edit", "saw.blade", "lever", "banana").err


def test_with_the_unit_a_length_that_has_none_gets_the_one_it_was_in(program: Program) -> None:
    """50 was millimetres, and would be inches; a count of sharpenings has no unit."""
    text = SHOP.replace('unit = "inch"', 'unit = "mm"').replace('lever = "6 in"', "lever = 50")
    program.write("shop.toml", text)
    changed = text.replace('unit = "mm"', 'unit = "inch"').replace("= 50", '= "50 mm"')
    for spelled in ("50", '"50"'):
        before = text.replace("lever = 50", f"lever = {spelled}")
        program.write("shop.toml", before)
        ran = program("edit", "shop", "unit", "inch")
        assert ran.code == 0, ran.err
        assert program.shop.read_text(encoding="utf-8") == changed
        assert shop_of(program).points["saw.blade"].geometry.lever == 50
    program.write("shop.toml", text)
    assert program("edit", "shop", "unit=inch", "name=x").code == 2
    assert program("edit", "shop", "unit", "mm").code == 0  # as it is


def test_a_number_in_the_place_of_a_measure_takes_its_unit(sample: Program) -> None:
    """What was 2 thou and shall be 3 is 3 thou, and no 3 in; other words stay words."""
    for setting, was, typed, becomes in (
        ("tolerance", "2 thou", "3", "3 thou"),
        ("tolerance", "3 thou", "0.02 mm", "0.02 mm"),
        ("tolerance", "0.02 mm", "0.03", "0.03 mm"),
        ("tolerance", "0 to 0.05 mm", "0.02", "0.02 mm"),
        ("tolerance", "± 0.05 mm", "0 to 0.02", "0 to 0.02 mm"),
        ("tolerance", "0 to 30 um", "-20 to 10", "-20 to 10 um"),
        ("lock", "screw 4 mm", "5", "5"),
    ):
        assert sample("edit", "saw.arbor", setting, was).code in (0, 2)
        ran = sample("edit", "saw.arbor", setting, typed)
        assert ran.code == 0, ran.err
        assert f'{setting} = "{becomes}"' in lines(sample)


def test_both_ends_of_a_tolerance_keep_the_unit_that_they_were_in(program: Program) -> None:
    text = SHOP.replace('unit = "inch"', 'unit = "mm"')
    point = '[[machine.point]]\nid = "a"\nname = "A"\ncheck = "runout"\ntolerance = "0 to 0.05"\n'
    program.write("shop.toml", f"{text}\n{point}")
    ran = program("edit", "shop", "unit", "inch")
    assert ran.code == 0, ran.err
    assert 'tolerance = "0 to 0.05 mm"' in program.shop.read_text(encoding="utf-8")


def test_a_unit_is_not_changed_under_numbers_of_a_file_beside(program: Program) -> None:
    """A board 4 in thick is not one of 4 mm."""
    program.write("shop.toml", SHOP.replace('unit = "inch"', 'unit = "inch"\nprojects = "c.toml"'))
    chest = CHEST.replace('[project.joint.made_on]\nedge_angle = "jointer"\n', "")
    program.write("c.toml", chest.replace('"4 in"', "4"))
    ran = program("edit", "shop", "unit", "mm")
    assert (ran.code, "would change with it" in ran.err) == (2, True)


def test_a_unit_that_no_length_goes_by_is_changed(program: Program) -> None:
    """Counts are no lengths."""
    cutter = '[[machine.cutter]]\nid = "k"\nname = "K"\nwhere = "on the shelf"\nstate = "sharp"\n'
    program.write("shop.toml", f"{SHOP}\n{cutter}sharpenings = 3\n")
    assert program("edit", "shop", "unit", "mm").code == 0
    assert shop_of(program).unit == "mm"


def test_what_was_bad_before_is_told_with_its_place_but_may_be_mended(program: Program) -> None:
    program.write("shop.toml", SHOP.replace('lever = "6 in"', 'lever = "6 im"'))
    ran = program("edit", "saw.blade", "lock", "x")
    assert (ran.code, "6 im" in ran.err, " error in " in ran.err) == (3, True, True)
    assert program("edit", "saw.blade", "lever", "6 in").code == 0
    assert program.shop.read_text(encoding="utf-8") == SHOP


def test_where_reading_stopped_the_count_says_so(program: Program) -> None:
    """Two lines are no TOML: the second one is found once the first is mended."""
    text = SHOP.replace('lever = "6 in"', "lever = 6 in")
    program.write("shop.toml", text.replace('lock = "the tilt lock"', "lock = the tilt lock"))
    said = program("proofread").err
    assert "1 error in" in said
    assert "as far as it could be read; nothing was changed" in said
    program.write("shop.toml", SHOP.replace('lever = "6 in"', 'lever = "6 im"'))
    assert "as far as" not in program("proofread").err


@pytest.mark.parametrize("text", ["[shop\n", "a = \xff", "", "x = [" * 200])
def test_a_file_that_cannot_be_read_is_left(program: Program, text: str) -> None:
    program.shop.write_bytes(text.encode("latin-1"))
    ran = program("edit", "saw.blade", "lever", "3 in")
    assert ran.code in (2, 3)
    assert program.shop.read_bytes() == text.encode("latin-1")


def test_as_data(sample: Program) -> None:
    number = lines(sample).index('lever = "3 in"') + 1
    listed = sample("edit", "saw.blade", "--json").json
    assert {"setting": "lever", "line": number, "written": '"3 in"'} in listed["settings"]
    assert "rests_on" in listed["more"]
    told = sample("edit", "saw.blade", "lever", "2 in", "--json").json
    (change,) = told["changed"]
    assert change == {
        "line_before": number,
        "before": ['lever = "3 in"'],
        "line_after": number,
        "after": ['lever = "2 in"'],
    }
    assert (told["saved"], [told["kept"]]) == (True, [*map(str, sample.folder.glob("*.before-*"))])


def test_what_becomes_odd_is_said(sample: Program) -> None:
    ran = sample("edit", "saw.blade", "lever", "30 in")
    assert "warning: longer than the blade of every square" in ran.err
    assert "warning" not in sample("edit", "saw.arbor", "name", "Arbor").err
    ran = sample("edit", "saw.blade", "tolerance", "0.0005 deg")
    assert "warning: your tools cannot prove saw.blade true that closely" in ran.err
    assert "warning" not in sample("edit", "saw.blade", "name", "Blade").err, "it could not before"


CHEST = """\
[[project]]
id = "chest"
name = "Chest"

[[project.joint]]
id = "top"
name = "Top"
kind = "panel"
pieces = 3
width = "4 in"
length = "30 in"
thickness = "1 in"

[project.joint.made_on]
edge_angle = "jointer"
"""


def test_what_a_file_beside_it_says_is_held_against_the_change(sample: Program) -> None:
    """It is not written, so what it names may not change its id, nor go."""
    assert sample("edit", "shop", "projects", '["chest.toml"]').code == 2  # it is not there yet
    sample.write("chest.toml", CHEST)
    assert sample("edit", "shop", "projects", "chest.toml").code == 0
    before = sample.shop.read_bytes()
    assert b'projects = "chest.toml"' in before
    ran = sample("edit", "jointer", "id", "planer-jointer")
    line = next(at for at, one in enumerate(CHEST.splitlines(), 1) if '"jointer"' in one)
    said = f'chest.toml, line {line}, would be wrong then: there is no machine "jointer"'
    assert (ran.code, said in ran.err, "change it there first" in ran.err) == (2, True, True)
    assert "now" not in ran.err  # it is not: nothing was changed
    assert sample.shop.read_bytes() == before
    ran = sample("edit", "chest", "name", "x")
    assert (ran.code, "projects in chest.toml are changed there" in ran.err) == (2, True)
    assert sample("edit", "jointer.tables", "tolerance", "3 thou/ft").code == 0
    sample.write("chest.toml", CHEST.replace('"jointer"', '"planer-jointer"'))
    assert sample("edit", "jointer", "id", "planer-jointer").code == 0


BAD = [
    ('id = "saw"', 'id = "saw"\nwas = 3'),
    ('id = "saw"', 'id = "saw"\nwas = [1, { a = 2 }]'),
    ('rests_on = ["blade"]', "rests_on = { a = 1 }"),
    ('rests_on = ["blade"]', 'rests_on = [3, ["blade"]]'),
    ("[shop]\n", "[[shop]]\n"),
    ('unit = "inch"', 'unit = "inch"\nprojects = 3'),
    ("[machine.point.adjuster]", "[[machine.point.adjuster]]"),
    ('[[machine]]\nid = "jointer"', '[machine]\nid = "jointer"'),
    ('[[machine]]\nid = "jointer"', "[[machine]]\nid = 3"),
    ("[[drawer.square]]", "[drawer.square]"),
]
WORDS = [
    *[(), ("name", "x"), ("id", "y"), ("--take-out",), ("name", "--leave-out")],
    *[("--add", "point", "id=x"), ("adjuster.arm", "3 in"), ("sizes.width", "3 in")],
]


@pytest.mark.parametrize(("bad", "words"), in_turn(BAD, WORDS))
def test_a_file_with_anything_anywhere_is_no_crash(
    program: Program, bad: tuple[str, str], words: tuple[str, ...]
) -> None:
    assert bad[0] in SHOP
    program.write("shop.toml", SHOP.replace(*bad, 1))
    before = program.shop.read_bytes()
    for what in ("saw", "saw.blade", "shop", "square-6", "nosuch"):
        ran = program("edit", what, *words)
        assert ran.code in (0, 2, 3), ran.err
        assert ran.code == 0 or program.shop.read_bytes() == before
        program.shop.write_bytes(before)


def test_the_bell_is_switched_off_by_one_command(program: Program) -> None:
    """And read back, explained, refused where it is no yes or no."""
    assert program("edit", "shop", "bell", "false").code == 0
    assert "bell = false" in (program.folder / "shop.toml").read_text(encoding="utf-8")
    assert "quiet" in program.bare("explain", "bell").out
    assert "true or false" in program("edit", "shop", "bell", "loud").err
