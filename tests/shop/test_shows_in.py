"""Where a point shows, how long work takes, and modes of a combination machine.

The mark » stands right before the place that must be shown.
"""

from __future__ import annotations

import pytest

from shopboard.shop.problems import ShopFileError
from shopboard.shop.reader import read_shop_text
from tests.shop.texts import SHOP, load, only_problem, unmark

GAP = SHOP.replace('"square"\ndatum', '"leaf-gap"\ndatum').replace("0.1 deg", "4 thou")
STRESS = GAP.replace("leaf-gap", "blade-tension").replace("4 thou", "15000 to 20000 psi")
NAMES = ("square", "leaf-gap", "blade-tension", "go-no-go")
TASK = '[[machine.task]]\nid = "wax"\nname = "Wax"\n'
MODE = '\n[[machine]]\nid = "planer"\nname = "Planer"\n[[machine.task]]\nid = "w"\nname = "W"\n'


def test_one_word_or_a_list() -> None:
    one = load(SHOP + 'shows_in = "end tilt"\n').shop.points["saw.blade"]
    assert one.shows_in == ("end tilt",)
    many = load(SHOP + 'shows_in = ["edge angle", "end tilt"]\n').shop.points["saw.blade"]
    assert many.shows_in == ("edge angle", "end tilt")
    assert load(SHOP).shop.points["saw.blade"].shows_in == ()


@pytest.mark.parametrize("cut", ["edge line", "length", "thickness", "resaw"])
def test_a_length_shows_where_the_work_has_one(cut: str) -> None:
    text = GAP + f'shows_in = "{cut}"\n'
    assert read_shop_text(text, known_checks=NAMES).shop.points["saw.blade"].shows_in == (cut,)


def test_minutes() -> None:
    """An hour is 60 minutes."""
    text = SHOP + 'minutes = "6 min"\n' + TASK + 'minutes = "1h30"\n'
    (machine,) = load(text).shop.machines
    assert (machine.points[0].minutes, machine.tasks[0].minutes) == (6.0, 90.0)
    (machine,) = load(SHOP + TASK).shop.machines
    assert (machine.points[0].minutes, machine.tasks[0].minutes) == (None, None)


def test_modes_of_one_body() -> None:
    text = SHOP.replace('"Table saw"\n', '"Table saw"\nbody = "combi"\n')
    text += MODE.replace('"Planer"', '"Planer"\nbody = "combi"\nchange = "10 min"')
    saw, planer = load(text).shop.machines
    assert (saw.body, saw.change_minutes) == ("combi", 0.0)
    assert (planer.body, planer.change_minutes) == ("combi", 10.0)


def test_one_mode_alone_is_a_warning() -> None:
    """A slip in the name would let both be used at once."""
    text = SHOP.replace('"Table saw"\n', '"Table saw"\nbody = "combi"\n')
    text += MODE.replace('"Planer"', '"Planer"\nbody = "kombi"')
    first, second = load(text).warnings
    assert 'no other machine is a mode of "combi"' in first.sentence
    assert 'did you mean "combi"?' in second.sentence


WRONG = [
    ('shows_in = »"edgeline"\n', ["allowed: edge angle, edge line", 'mean "edge line"']),
    ('shows_in = ["mitre", »"lenght"]\n', ['mean "length"']),
    ("shows_in = »3\n", ["a number where one of", "edge line"]),
    ("shows_in = »[]\n", ["an empty list"]),
    ('»show_in = "mitre"\n', ['mean "shows_in"']),
    ("minutes = »6\n", ["6 without minutes or hours", 'mean "6 min"']),
    ('minutes = »"6"\n', ['mean "6 min"']),
    ('minutes = »"6 weeks"\n', ["unknown unit"]),
    ('minutes = »"0 min"\n', ["more than 0"]),
    ('minutes = »"25 h"\n', ["up to 24 h"]),
    ("minutes = »true\n", ["a time such as"]),
    ("minutes = »nan\n", ["without minutes"]),
    (TASK + "minutes = »15\n", ['mean "15 min"']),
    ('»change = "10 min"\n', ["belongs in [[machine]]"]),
    ('\n[[machine]]\nid = "b"\nname = "B"\n»change = "10 min"\n' + TASK, ["without body"]),
]


@pytest.mark.parametrize(("lines", "words"), WRONG)
def test_what_is_wrong_is_told_at_its_place(lines: str, words: list[str]) -> None:
    text, line, column = unmark(SHOP + lines)
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column)
    for word in words:
        assert word in problem.sentence


@pytest.mark.parametrize(
    ("text", "lines", "words"),
    [
        (GAP, 'shows_in = »"end angle"\n', ["end angle at a point whose tolerance is a length"]),
        (GAP, 'shows_in = ["length", »"mitre"]\n', ["an angle alone shows there"]),
        (STRESS, 'shows_in = »"resaw"\n', ["only an angle, a length or a yes shows in the work"]),
    ],
)
def test_a_tolerance_that_shows_nowhere(text: str, lines: str, words: list[str]) -> None:
    """A stress, or a length where an angle is cut, is refused at its place."""
    spoilt, line, column = unmark(text + lines)
    with pytest.raises(ShopFileError) as caught:
        read_shop_text(spoilt, known_checks=NAMES)
    (problem,) = caught.value.problems
    assert (problem.line, problem.column) == (line, column)
    assert all(word in problem.sentence for word in words)


def test_a_look_and_a_yes_shows_in_any_work() -> None:
    """Knives that are seated or not: they give no size, and all the same they cut."""
    text = (
        SHOP + '[[machine.point]]\nid = "g"\nname = "G"\ncheck = "go-no-go"\nshows_in = "mitre"\n'
    )
    points = read_shop_text(text, known_checks=NAMES).shop.points.values()
    (point,) = [one for one in points if one.id == "g"]
    assert point.shows_in == ("mitre",)
