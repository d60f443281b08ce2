"""What was called otherwise before: what `was` may say, and what is wrong at which place.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import pytest

from shopboard.shop.reader import read_shop_text
from shopboard.shop.renames import Renames, renames_of
from tests.shop.texts import ANOTHER_POINT, SHOP, load, only_problem, problems_of, unmark

ANOTHER_MACHINE = '\n[[machine]]\nid = "planer"\nname = "Planer"\n' + ANOTHER_POINT


def shop(
    machine: str = "", blade: str = "", fence: str = "", planer: str = "", planer_fence: str = ""
) -> str:
    """Give a shop of two machines: saw.blade, saw.fence, planer.fence, with lines below an id."""
    text = SHOP.replace('id = "saw"\n', f'id = "saw"\n{machine}\n')
    text = text.replace('id = "blade"\n', f'id = "blade"\n{blade}\n')
    text += ANOTHER_POINT.replace('id = "fence"\n', f'id = "fence"\n{fence}\n')
    other = ANOTHER_MACHINE.replace('id = "planer"\n', f'id = "planer"\n{planer}\n')
    return text + other.replace('id = "fence"\n', f'id = "fence"\n{planer_fence}\n')


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (shop(machine='was = »"saw"'), "is its id now"),
        (shop(machine='was = »"planer"'), '"planer" is still in use: Planer'),
        (shop(machine='was = ["old", »"planer"]'), "still in use"),
        (shop(machine='was = »"Old Saw"'), 'did you mean "old-saw"?'),
        (shop(machine='was = »"old.saw"'), "cannot be an id"),
        (shop(machine="was = »[]"), "an empty list"),
        (shop(machine="was = »7"), "a number where an id"),
        (shop('was = "old"', planer='was = »"old"'), '"old" cannot be two things now: saw has'),
        (shop(blade='was = »"blade"'), "is its name now"),
        (shop(blade='was = »"saw.blade"'), "is its name now"),
        (shop(blade='was = »"fence"'), '"fence" is still in use: Rip fence'),
        (shop(blade='was = »"planer.fence"'), '"planer.fence" is still in use'),
        (shop(blade='was = ["x", »"planer.fence"]'), "still in use"),
        (shop(blade='was = "x"', fence='was = »"x"'), "cannot be two things now: saw.blade has"),
        (shop(blade='was = "x"', fence='was = »"saw.x"'), '"saw.x" cannot be two things now'),
        (
            shop('was = "old"', 'was = "x"', 'was = »"old.x"'),
            '"saw.x" cannot be two things now',
        ),
        (
            shop('was = "old"', planer_fence='was = »"old.blade"'),
            '"old.blade", which is saw.blade now, is still in use: Blade at 90',
        ),
        (shop(blade='was = »"a.b.c"'), "cannot be an id"),
        (shop(blade='was = »"Blade"'), "cannot be an id"),
        (shop(blade='was = »""'), "nothing between the quotes"),
        (shop(blade='was = »"x\\u001b[2J"'), "U+001B"),
    ],
)
def test_what_was_cannot_say_is_shown_at_its_place(text: str, words: str) -> None:
    text, line, column = unmark(text)
    problem = only_problem(text)
    assert words in problem.sentence
    if "U+001B" not in words:  # there the place is that of the character
        assert (problem.line, problem.column) == (line, column)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (shop(blade='was = ["x", »"x"]'), '"saw.x" is there twice'),
        (shop(machine='was = ["x", »"x"]'), '"x" is there twice'),
        (shop('was = "old"', 'was = »"old.blade"'), "is not needed here"),
    ],
)
def test_what_is_needless_is_a_warning(text: str, words: str) -> None:
    text, line, column = unmark(text)
    (warning,) = load(text).warnings
    assert words in warning.sentence
    assert (warning.line, warning.column) == (line, column)


def test_a_shop_in_which_nothing_was_renamed_has_no_renames() -> None:
    assert renames_of(load(shop()).shop) is None


def test_old_names_lead_to_those_of_today() -> None:
    text = shop('was = ["tablesaw", "ts"]', 'was = ["blade-90", "planer.blade"]')
    found = renames_of(load(text).shop)
    assert found == Renames(
        {"tablesaw": "saw", "ts": "saw"},
        {("saw", "blade-90"): ("saw", "blade"), ("planer", "blade"): ("saw", "blade")},
    )
    assert found.place("point", "ts", "blade-90") == ("saw", "blade")
    assert found.place("point", "ts", "fence") == ("saw", "fence")
    assert found.place("point", "planer", "fence") == ("planer", "fence")
    assert found.place("happening", "tablesaw", "blade-90") == ("saw", "blade-90")
    assert set(found.names("point", "saw", "blade")) == {
        *((machine, "blade") for machine in ("saw", "tablesaw", "ts")),
        *((machine, "blade-90") for machine in ("saw", "tablesaw", "ts")),
        ("planer", "blade"),
    }
    assert found.names("task", "saw", "blade") == [
        *(("saw", "blade"), ("tablesaw", "blade"), ("ts", "blade"))
    ]


TASK = '\n[[machine.task]]\nid = "wax"\nname = "Wax"\n'
CUTTER = '\n[[machine.cutter]]\nid = "rip"\nname = "Rip"\nwhere = "on the shelf"\nstate = "dull"\n'


@pytest.mark.parametrize("part", [TASK, CUTTER])
@pytest.mark.parametrize(
    ("was", "other", "words"),
    [
        ('was = »"{id}"', "", "is its id now"),
        ('was = »"other"', 'name = "Other"', '"other" is still in use: Other'),
        ('was = »"saw.x"', "", "cannot be an id"),
        ('was = "x"', 'name = "Other"\nwas = »"x"', '"x" cannot be two things now: {id} has'),
    ],
)
def test_a_task_or_a_cutter_has_a_past_of_its_own(
    part: str, was: str, other: str, words: str
) -> None:
    ident, name = part.split('"')[1], part.split('"')[3]
    text = shop() + part.replace("\nname", f"\n{was.format(id=ident)}\nname")
    if other:
        more = part.replace(f'id = "{ident}"', 'id = "other"')
        text += more.replace(f'name = "{name}"', other)
    text, line, column = unmark(text)
    problem = only_problem(text)
    assert words.format(id=ident) in problem.sentence
    assert (problem.line, problem.column) == (line, column)


def test_old_names_of_tasks_and_cutters_lead_to_those_of_today_and_to_no_points() -> None:
    was = [part.replace("\nname", '\nwas = ["old", "x"]\nname') for part in (TASK, CUTTER)]
    found = renames_of(load(shop(planer='was = "p"') + "".join(was)).shop)
    assert found is not None
    assert found.place("task", "p", "old") == ("planer", "wax")
    assert found.place("cutter", "p", "x") == ("planer", "rip")
    assert found.place("point", "planer", "x") == ("planer", "x")
    assert found.place("happening", "planer", "x") == ("planer", "x")
    assert set(found.names("cutter", "planer", "rip")) == {
        (machine, ident) for machine in ("planer", "p") for ident in ("rip", "old", "x")
    }


def test_a_reference_to_an_old_name_says_what_it_is_called_now() -> None:
    text = shop(blade='was = "arbor"', fence='rests_on = [»"arbor"]')
    text, line, column = unmark(text)
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column)
    assert "it is saw.blade now" in problem.sentence


def test_a_file_without_was_costs_no_look_at_it() -> None:
    """The board's start reads the file: what checks `was` is not imported then."""
    import subprocess
    import sys

    code = (
        "import sys; from shopboard.shop.reader import read_shop_text;"
        f"read_shop_text({shop()!r});"
        "print([n for n in ('shopboard.shop.check_renames', 'shopboard.upkeep.renamed')"
        " if n in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
    assert read_shop_text(shop()).warnings == ()


@pytest.mark.parametrize(
    ("was", "words"),
    [('»"try"', "is its id now"), ('["old", »"long"]', '"long" is still in use: Long')],
)
def test_a_tool_cannot_have_been_what_another_one_is(was: str, words: str) -> None:
    tools = f"""
[[drawer.square]]
id = "try"
name = "Try square"
length = "6 in"
grade = "2"
was = {was}

[[drawer.square]]
id = "long"
name = "Long square"
length = "12 in"
grade = "2"
"""
    text, line, column = unmark(shop() + tools)
    problem = only_problem(text)
    assert words in problem.sentence
    assert (problem.line, problem.column) == (line, column)


def test_old_ids_of_tools_lead_to_those_of_today() -> None:
    tools = """
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "24 in"
within = "1 thou"
was = ["beam", "ruler"]
"""
    assert load(shop() + tools).shop.tools_were == {"beam": "edge", "ruler": "edge"}


@pytest.mark.parametrize("sort", ["straightedge", "indicator", "calliper", "feeler"])
def test_every_tool_that_a_check_takes_may_have_had_another_id(sort: str) -> None:
    said = 'leaves = [".002 in"]' if sort == "feeler" else 'reach = "2 in"\nwithin = "1 thou"'
    tools = f'\n[[drawer.{sort}]]\nid = "new"\n{said}\nwas = "old"\n'
    assert load(shop() + tools).shop.tools_were == {"old": "new"}
    text, line, _ = unmark(shop() + tools.replace('"old"', '»"new"'))
    problem = only_problem(text)
    assert (problem.line, "is its id now" in problem.sentence) == (line, True)


PROJECT = """
[[project]]
id = "coffer"
was = {was}

[[project.joint]]
id = "body"
was = {joint}
kind = "drawer"
width = "10 in"
depth = "10 in"
height = "4 in"
thickness = "1/2 in"

[[project]]
id = "stool"
"""


def test_joints_are_found_by_every_name_that_they_can_have_had() -> None:
    told = PROJECT.format(was='["chest", "box"]', joint='"joint"')
    renames = renames_of(load(shop(blade='shows_in = "end angle"') + told).shop)
    assert renames is not None
    now = ("", "coffer.body")
    olds = ("chest.joint", "chest.body", "box.joint", "box.body", "coffer.joint")
    assert renames.joints == {("", old): now for old in olds}
    assert renames.place("joint", "", "chest.joint") == now
    assert {*renames.names("joint", *now)} == {now, *(("", old) for old in olds)}


@pytest.mark.parametrize(
    ("was", "joint", "words"),
    [
        ('»"stool"', '"a"', '"stool" is still in use: Stool'),
        ('»"coffer"', '"a"', "is its id now"),
        ('"a"', '»"body"', "is its id now"),
        ('"a"', '»"b.c"', "cannot be an id"),
    ],
)
def test_a_project_cannot_have_been_what_another_one_is(was: str, joint: str, words: str) -> None:
    told = PROJECT.format(was=was, joint=joint)
    text, line, column = unmark(shop(blade='shows_in = "end angle"') + told)
    (problem,) = [one for one in problems_of(text) if one.severity == "error"]
    assert words in problem.sentence
    assert (problem.line, problem.column) == (line, column)
