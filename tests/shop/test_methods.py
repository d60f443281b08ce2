"""What follows from a point's methods: kinds of tolerance, none at all, and the tool it proves."""

from __future__ import annotations

import pytest

from shopboard.checks.registry import facts, names
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.shop.kept import Loaded
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop_text
from tests.shop.texts import MARK, SHOP, unmark

STRAIGHTEDGE = """
[[drawer.straightedge]]
id = "edge"
name = "Straightedge"
reach = "24 in"
within = "1 thou"
"""


def point(check: str, more: str) -> str:
    head = '\n[[machine.point]]\nid = "p"\nname = "P"\ncheck = '
    return f"{SHOP}{STRAIGHTEDGE}{head}{check}\n{more}"


def read(text: str) -> Loaded:
    return read_shop_text(text, known_checks=names(), facts=facts())


def problems(text: str) -> tuple[Problem, ...]:
    try:
        loaded = read(text)
    except ShopFileError as error:
        return error.problems
    return loaded.warnings


@pytest.mark.parametrize(
    ("check", "more", "words"),
    [
        ('"timed"', 'tolerance = »"3 thou"', "a length where the check timed measures a time"),
        ('"flip"', 'tolerance = »"0 to 10 s"', "a time where the check flip measures an angle"),
        ('"go-no-go"', '»tolerance = "3 thou"', "a tolerance where the check is a yes or no"),
        ('"note"', '»tolerance = "3 thou"', "a tolerance where the check is a note"),
        ('»["flip", "timed"]', 'tolerance = "0.1 deg"', "an angle where the check timed measures"),
        ('»["go-no-go", "flip"]', "", "a yes or no where the check flip measures an angle"),
        ('»["flip", "note"]', 'tolerance = "0.1 deg"', "an angle where the check note is a note"),
        (
            '"square-flip"',
            'tolerance = "0.1 deg"\nproves = »"square-9"',
            'there is no square or straightedge "square-9" among your tools',
        ),
        (
            '"square-flip"',
            'tolerance = "0.1 deg"\nproves = »"edge"',
            '"edge" is a straightedge; square-flip proves a square',
        ),
        (
            '"three-straightedges"',
            'tolerance = "3 thou"\nproves = »"square-6"',
            '"square-6" is a square; three-straightedges proves a straightedge',
        ),
        (
            '"flip"',
            'tolerance = "0.1 deg"\nproves = »"square-6"',
            '"square-6" is a square; flip proves none',
        ),
        (
            '»"square-flip"',
            'tolerance = "0.1 deg"',
            "this check proves a tool, and the point names none",
        ),
    ],
)
def test_what_does_not_go_together_is_shown_at_its_place(check: str, more: str, words: str) -> None:
    assert MARK in check + more
    text, line, column = unmark(point(check, more))
    (problem,) = problems(text)
    assert words in problem.sentence
    assert (problem.line, problem.column) == (line, column)


@pytest.mark.parametrize(
    ("check", "more"),
    [
        ('"go-no-go"', ""),
        ('"note"', 'every = "1 month"'),
        ('"timed"', 'tolerance = "0 to 10 s"'),
        ('["square-flip", "three-squares"]', 'tolerance = "0.1 deg"\nproves = "square-6"'),
        ('"three-straightedges"', 'tolerance = "3 thou"\nproves = "edge"'),
    ],
)
def test_what_goes_together_is_read(check: str, more: str) -> None:
    assert problems(point(check, more)) == ()


def test_a_board_that_starts_reads_without_looking_at_the_methods() -> None:
    """The facts come later; without them a kind of tolerance is taken as it is."""
    text = point('"timed"', 'tolerance = "3 thou"')
    assert (
        read_shop_text(text, known_checks=names()).shop.points["saw.p"].tolerance.kind == "length"
    )


def test_a_point_that_is_said_has_a_tolerance_of_its_own() -> None:
    tolerance = read(point('"go-no-go"', "")).shop.points["saw.p"].tolerance
    assert (tolerance.low, tolerance.high, tolerance.kind) == (-0.5, 0.5, "yes or no")


@pytest.mark.parametrize(
    "name", [name for name, one in facts().items() if one.kind in YES_NO_WORDS]
)
def test_a_starting_board_asks_no_tolerance_of_what_is_said(name: str) -> None:
    """The board's first picture comes before the methods say what they measure."""
    point_read = read_shop_text(point(f'"{name}"', ""), known_checks=names()).shop.points["saw.p"]
    assert point_read.tolerance.kind == facts()[name].kind
