"""One slip in a whole metric shop: it is told once, at its place, with what was meant."""

from __future__ import annotations

import pytest

from shopboard.checks import registry
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop_text
from tests.two_shops import METRIC


def problems_of(text: str) -> tuple[Problem, ...]:
    """Give what is wrong, warnings too where there are errors, as every method knows it."""
    with pytest.raises(ShopFileError) as told:
        read_shop_text(text, "shop.toml", registry.names(), registry.facts())
    return told.value.problems


def only_problem(text: str) -> Problem:
    """Give the one problem that a text must have."""
    problems = problems_of(text)
    assert len(problems) == 1, [f"{one.line}:{one.column} {one.sentence}" for one in problems]
    return problems[0]


@pytest.mark.parametrize("wrong", ["[[machne.point]]", "[[machine.points]]", "[[machine.pont]]"])
def test_a_misspelt_table_is_named_though_a_later_one_meets_what_it_left(wrong: str) -> None:
    """TOML makes [machine.point] of what stands below it, and refuses the next right line."""
    assert METRIC.count("[machine.point.sizes]") > 1
    problem = only_problem(METRIC.replace("[[machine.point]]", wrong, 1))
    assert problem.line == METRIC[: METRIC.index("[[machine.point]]")].count("\n") + 1
    assert "did you mean [[machine.point]]?" in problem.sentence


@pytest.mark.parametrize(
    ("right", "wrong", "meant"),
    [
        ("[[machine.cutter]]", "[[machine.cuter]]", "did you mean [[machine.cutter]]?"),
        ("rests_on =", "depends_on =", 'did you mean "rests_on"?'),  # as the screens call it
        ('tolerance = "1.5 mm/m"', 'tolerance = "0.1 degres"', "deg, thou/ft or mm/m"),
    ],
)
def test_what_was_meant_is_told(right: str, wrong: str, meant: str) -> None:
    assert meant in only_problem(METRIC.replace(right, wrong, 1)).sentence


@pytest.mark.parametrize(
    ("right", "wrong"),
    [('length = "150 mm"', 'length = "150 m"'), ('tolerance = "1.5 mm/m"', 'tolerance = "0.1 mm"')],
)
def test_one_slip_is_told_once(right: str, wrong: str) -> None:
    """Not again of all that goes by it: levers beyond the square, work that shows no length."""
    only_problem(METRIC.replace(right, wrong, 1))


@pytest.mark.parametrize("wrong", ['check = "runout"', 'tolerance = "1.5 mm/m"', 'id = "saw"'])
@pytest.mark.parametrize("raw", ["true", "5", "1979-05-27"])
def test_quotes_are_advised_only_where_they_would_do(wrong: str, raw: str) -> None:
    key = wrong.partition(" ")[0]
    problems = problems_of(METRIC.replace(wrong, f"{key} = {raw}", 1))
    assert "with quotes" not in problems[0].sentence
