"""What is told of each key of the shop file, held against what its reader declares."""

from __future__ import annotations

from typing import Any

import pytest
import tomli

from shopboard.checks.registry import facts, names
from shopboard.metrology.quantity import Unit, parse_length
from shopboard.metrology.wording import own_words
from shopboard.shop.declared import sorts
from shopboard.shop.joint_forms import default_fits
from shopboard.shop.report import Report, Spot
from shopboard.shop.sorts import DeclaredKey
from shopboard.shop.table import READERS, keys_of
from shopboard.shop.what_for import PAGES, example_of, name_of

KEYS = [(sort.name, key) for sort in sorts().values() for key in sort.keys.values()]
VALUES: dict[str, list[DeclaredKey]] = {}
for _name, _key in KEYS:
    if _key.allowed:
        VALUES.setdefault(_name, []).append(_key)
each_table = pytest.mark.parametrize("name", VALUES)
UNITS: tuple[Unit, ...] = ("inch", "mm")


def test_every_table_that_has_a_reader_is_told() -> None:
    assert {*PAGES} == {name_of(header) for header in READERS} | {""}


@pytest.mark.parametrize("name", PAGES)
def test_every_key_of_a_reader_is_told_and_no_other(name: str) -> None:
    """A table that is read in several ways has the keys of all."""
    told, known = {*PAGES[name]} - {""}, {*sorts()[name].keys}
    assert told == known
    headers = [header for header in READERS if name_of(header) == name]
    assert known == {key for header in headers for key in keys_of(header)} or not name


def test_words_are_sentences_that_a_screen_can_show() -> None:
    for page in PAGES.values():
        for told in page.values():
            assert told.words[0].isupper() or told.words.startswith('"')
            assert told.words.endswith(".")
            assert told.words.isascii()


def read(key: DeclaredKey, typed: str, unit: Unit) -> tuple[Any, Report]:
    """Read a value as the file has it."""
    report = Report(names(), facts())
    report.unit, report.unit_known = unit, True
    assert key.asked.kind is not None
    value = tomli.loads(f"value = {typed}")["value"]
    return key.asked.kind.take(value, Spot((key.key,), report)), report


@each_table
@pytest.mark.parametrize("unit", UNITS)
def test_an_example_is_read_without_a_word(name: str, unit: Unit) -> None:
    for key in VALUES[name]:
        allowed = key.allowed
        assert allowed is not None
        typed = own_words(example_of(sorts()[name].header, key.key, allowed), unit)
        value, report = read(key, typed, unit)
        assert report.findings == [], key.key
        if key.asked.kind is not None and not isinstance(value, bool | int | float):
            assert value != key.asked.kind.stand_in or f'"{value}"' == typed, key.key


@each_table
def test_what_holds_where_it_is_left_out_is_told_right(name: str) -> None:
    """A number that holds is told; what is told is what the reader takes then."""
    for key in VALUES[name]:
        told, default = PAGES[name][key.key], key.asked.default
        if told.left_out:
            value, _ = read(key, told.left_out, "inch")
            assert value == default or float(value) == pytest.approx(default), key.key
        else:
            nothing = default in (..., None, "", (), False, 0.0)
            assert nothing or isinstance(default, str), key.key


@each_table
def test_each_word_that_is_told_may_stand_there(name: str) -> None:
    for key in VALUES[name]:
        told, allowed = PAGES[name][key.key], key.allowed
        if told.each:
            assert allowed is not None
            one = allowed.schema.get("anyOf", [allowed.schema])
            assert isinstance(one, list)
            assert list(told.each) == one[0]["enum"], key.key


@pytest.mark.parametrize("unit", UNITS)
def test_what_is_wanted_of_a_joint_is_told_as_it_is(unit: Unit) -> None:
    for name, limit in default_fits(unit).items():
        words = own_words(PAGES["project.joint.fit"][name].words, unit)
        typed = words.partition("left out, ")[2].removesuffix(".")
        assert parse_length(typed).mm == limit.mm
