"""Where a list may stand, one alone may: the shop that is read is the same."""

from __future__ import annotations

import pytest
import tomli

from shopboard.checks.registry import facts, names
from shopboard.shop.declared import sorts
from shopboard.shop.model import Shop
from shopboard.shop.reader import read_shop_text
from tests.shop.plain_data import Data, tables_in, text_of
from tests.shop.test_missing import whole
from tests.shop.texts import only_problem, spoilt
from tests.two_shops import SHOPS

LISTS = {
    (name, key)
    for name, sort in sorts().items()
    for key, one in sort.keys.items()
    if one.allowed and one.allowed.words.endswith("one, or a list of them")
}
"""Keys at which a list may stand, by their tables."""

FILES = {**{name: tomli.loads(text) for name, text in SHOPS.items()}, "all": whole("mm")}


def read(data: Data) -> Shop:
    return read_shop_text(text_of(data), known_checks=names(), facts=facts()).shop


def test_the_keys_of_points_and_tasks_are_among_them() -> None:
    point = ("check", "shows_in", "every", "undone_by", "rests_on", "was")
    task = ("every", "after", "steps", "undoes", "was")
    assert {("machine.point", key) for key in point} <= LISTS
    assert {("machine.task", key) for key in task} <= LISTS


@pytest.mark.parametrize("name", FILES)
def test_one_alone_is_a_list_of_one(name: str) -> None:
    """Every list of one is written alone, then everything that stands alone as a list."""
    shop, changed = read(FILES[name]), 0
    for alone in (True, False):
        data = tomli.loads(text_of(FILES[name]))
        for table, held in list(tables_in(data)):
            for key in [key for key in held if (table, key) in LISTS]:
                lone = isinstance(held[key], list) and len(held[key]) == 1
                if lone == alone and (lone or not isinstance(held[key], list)):
                    held[key] = held[key][0] if lone else [held[key]]
                    changed += 1
        assert read(data) == shop
    assert changed > 5


def test_of_several_times_the_soonest_holds() -> None:
    text = spoilt('tolerance = "0.1 deg"', 'tolerance = "0.1 deg"\nevery = ["1 year", "6 weeks"]')
    point = read_shop_text(text).shop.points["saw.blade"]
    assert (point.every_days, point.every) == (42, "6 weeks")


@pytest.mark.parametrize(
    ("line", "column", "words"),
    [
        ('undone_by = "knockt"', 13, 'did you mean "knocked"'),
        ('every = ["1 year", "6"]', 20, "is not a time"),
        ('rests_on = "saw.fence"', 12, 'no point "saw.fence"'),
        ('was = "Blade"', 7, "cannot be an id"),
        ('undone_by = "kno\\u0007cked"', 17, "U+0007"),
    ],
)
def test_what_is_wrong_with_one_alone_is_shown_at_it(line: str, column: int, words: str) -> None:
    problem = only_problem(spoilt("", f"{line}\n"))
    assert (problem.source_line, problem.column) == (line, column)
    assert words in problem.sentence


def test_what_is_wrong_in_a_step_that_stands_alone_is_shown_in_it() -> None:
    task = '\n[[machine.task]]\nid = "t"\nname = "T"\nsteps = { do = "Blade off", cutter = "of" }\n'
    problem = only_problem(spoilt("", task))
    assert 'did you mean "off"?' in problem.sentence
    assert problem.source_line[problem.column - 1 :] == '"of" }'
