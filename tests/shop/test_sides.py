"""Where a square, a slot or a post is: by a key in any language, else by English words."""

from __future__ import annotations

import pytest

from shopboard.checks.job import Geometry
from shopboard.metrology.adjuster import Adjuster
from tests.shop.texts import SHOP, load, only_problem, unmark

SCREW = """
[machine.point.adjuster]
kind = "screw"
pitch = "1 mm"
arm = "5 in"
clockwise = "toward"
"""


def geometry(datum: str, face: str, keys: str = "") -> Geometry:
    text = SHOP.replace('datum = "table"', f'datum = "{datum}"\n{keys}')
    text = text.replace('face = "blade plate"', f'face = "{face}"')
    return load(text).shop.machines[0].points[0].geometry


def adjuster(keys: str) -> Adjuster | None:
    return load(f"{SHOP}{SCREW}{keys}\n").shop.machines[0].points[0].adjuster


@pytest.mark.parametrize(
    ("datum", "face", "side", "in_slot"),
    [
        ("table, right of the blade", "blade plate", "right", False),
        ("Table, Left of the blade", "blade plate", "left", False),
        ("table, left and right of the blade", "blade plate", "", False),
        ("table, in front of the blade", "blade plate", "", False),
        ("upright part of the table", "blade plate", "", False),
        ("mitre slot, left of the blade", "blade plate", "left", True),
        ("mitre slot", "fence, set to the right of this slot", "left", True),
        ("Tisch, rechts vom Blatt", "Blatt", "", False),
    ],
)
def test_words_tell_it_as_before(datum: str, face: str, side: str, in_slot: bool) -> None:
    found = geometry(datum, face)
    assert (found.side, found.in_slot) == (side, in_slot)


def test_keys_tell_it_in_any_language_and_overrule_the_words() -> None:
    keys = 'side = "right"\nin_slot = true\nother_side = "Tisch, links vom Blatt"\n'
    found = geometry("Nut, rechts vom Blatt", "Blatt", keys)
    assert (found.side, found.turned_side, found.in_slot) == ("right", "left", True)
    english = geometry("table, right of the blade", "plate", 'other_side = "left of the blade"\n')
    assert (english.side, english.turned_side) == ("right", "left")
    told = geometry("slot, left of the blade", "blade", 'side = "right"\nin_slot = false\n')
    assert (told.side, told.in_slot) == ("right", False)


@pytest.mark.parametrize(
    ("keys", "side"),
    [
        ('name = "the nut of the left column"', "left"),
        ('name = "the right post"', "right"),
        ('name = "the bolt left of the right post"', ""),
        ('name = "Mutter der linken Saeule"', ""),
        ('name = "Mutter der linken Saeule"\nside = "left"', "left"),
        ('name = "the left post"\nside = "right"', "right"),
    ],
)
def test_the_side_of_what_is_turned(keys: str, side: str) -> None:
    assert getattr(adjuster(keys), "side", None) == side


@pytest.mark.parametrize("text", [SHOP + 'side = »"rigth"\n', f'{SHOP}{SCREW}side = »"rigth"\n'])
def test_another_word_is_refused_at_its_place(text: str) -> None:
    text, line, column = unmark(text)
    problem = only_problem(text)
    assert (problem.line, problem.column) == (line, column)
    assert 'did you mean "right"?' in problem.sentence
