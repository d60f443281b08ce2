"""A setting stands at one field of the model: what reads it and what explains it goes by that.

Held against whole shops and against the types.
"""

from __future__ import annotations

import re
import types
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Annotated, Any, Literal, Union, get_args, get_origin, get_type_hints

import pytest
import tomli

from shopboard.checks.registry import names
from shopboard.shop import settings
from shopboard.shop.machine import Cutter, Machine, Point, SafetyQuestion, Task
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project
from shopboard.shop.reader import read_shop
from shopboard.shop.settings import settings_of
from shopboard.shop.table import READERS, keys_of
from tests import chair_shop, combination, metric_shop
from tests.two_shops import SHOPS
from tests.whole_shop import WHOLE_SHOP

TEXT = WHOLE_SHOP.read_text(encoding="utf-8")
TRIED = (TEXT, *SHOPS.values(), combination.SHOP, metric_shop.SHOP, chair_shop.SHOP)
TESTS = Path(__file__).parents[1]
TRIED_IN = {
    "was": "shop/test_renames.py",
    "certified": "shop/test_reading.py",
    "certified_to": "shop/test_bad_values.py",
    "in_slot": "checks/test_sweep.py",
    "side": "shop/test_sides.py",
    "running": "shop/test_safety.py",
    "not_asked": "shop/test_safety.py",
    "each": "shop/test_sets.py",
    "pieces": "shop/test_sets.py",
    "before": "shop/test_order_keys.py",
    "leaves": "shop/test_order_keys.py",
    "off_machine": "shop/test_order_keys.py",
    "at_most": "shop/test_hours.py",
    "wait": "prep/test_told_by_keys.py",
    "copies": "cli/test_places.py",
    "tags_off_by": "cli/test_who.py",
    "projects": "shop/test_own_files.py",
}
"""Settings that none of these shops has, and the file of tests that tries each."""

MODELS: tuple[type, ...] = (Shop, Machine, Point, Task, Cutter, SafetyQuestion, Project, Joint)


def hints(model: type) -> dict[str, Any]:
    """The types of a model's fields, also those that are imported for types alone."""
    known = {**vars(settings)["_KINDS"], "Project": Project}
    return get_type_hints(model, None, known, include_extras=True)


def suits(value: object, hint: Any) -> bool:
    """Whether a value is of a type, as deep as it goes."""
    origin, args = get_origin(hint), get_args(hint)
    if origin is Annotated:
        return suits(value, args[0])
    if origin in (Union, types.UnionType):
        return any(suits(value, one) for one in args)
    if origin is Literal:
        return value in args
    if origin is tuple:
        if not isinstance(value, tuple):
            return False
        every = (args[0],) * len(value) if args[-1:] == (...,) else args
        return len(every) == len(value) and all(map(suits, value, every))
    if origin is frozenset:
        return isinstance(value, frozenset) and all(suits(one, args[0]) for one in value)
    if origin is not None and issubclass(origin, Mapping):
        return isinstance(value, Mapping) and all(
            suits(key, args[0]) and suits(one, args[1]) for key, one in value.items()
        )
    if hint is float:
        return isinstance(value, float | int) and not isinstance(value, bool)
    if hint is int:
        return isinstance(value, int) and not isinstance(value, bool)
    return isinstance(value, hint)


DECLARED = [
    (model, field) for model in MODELS for field, one in settings_of(model).items() if one.kind
]


@pytest.mark.parametrize(
    ("model", "field"), DECLARED, ids=[f"{model.__name__}.{field}" for model, field in DECLARED]
)
def test_what_is_read_is_what_the_field_holds(model: type, field: str) -> None:
    """The stand-in of its kind of value, and what holds where it is left out, are of its type."""
    one = settings_of(model)[field]
    hint = hints(model)[field]
    assert one.kind is not None
    assert suits(one.kind.stand_in, hint)
    assert one.default is ... or suits(one.default, hint)


def test_the_sample_is_read_into_the_types_of_the_model() -> None:
    """Also what a reader works out, which no type checker sees."""

    def walk(value: object) -> Iterator[object]:
        if type(value) in MODELS:
            yield value
            value = tuple(getattr(value, field) for field in hints(type(value)))
        if isinstance(value, tuple):
            for one in value:
                yield from walk(one)

    found = list(walk(read_shop(WHOLE_SHOP, names()).shop))
    assert {type(one) for one in found} == {*MODELS}
    bad = [
        (type(one).__name__, field, getattr(one, field))
        for one in found
        for field, hint in hints(type(one)).items()
        if not suits(getattr(one, field), hint)
    ]
    assert bad == []


def tables(data: Any, header: str) -> Iterator[dict[str, Any]]:
    """The tables that a header begins: ``[[machine.point]]``, of one kind or any."""
    way, kind = re.findall(r"[a-z_.]+", header)[0].split("."), re.findall(r'kind = "(\w+)"', header)
    found = [data]
    for key in way:
        below = [one[key] for one in found if key in one]
        found = [one for each in below for one in (each if isinstance(each, list) else [each])]
    return (one for one in found if not kind or one["kind"] == kind[0])


@pytest.mark.parametrize("header", sorted(one for one in READERS if "joint" not in one))
def test_every_setting_is_set_in_a_shop_that_is_tried(header: str) -> None:
    """Else what is tried on whole shops never met it."""
    used = {key for shop in TRIED for one in tables(tomli.loads(shop), header) for key in one}
    for key in {*keys_of(header)} - used:
        own = (TESTS / TRIED_IN[key]).read_text(encoding="utf-8")
        assert re.search(rf"\b{key}\b", own), f"{header}: {key} is tried nowhere"


def test_the_types_are_told_apart() -> None:
    """What these tests stand on: a wrong value is seen to be one."""
    assert suits(("a",), tuple[str, ...])
    assert not suits(("a", 1), tuple[str, ...])
    assert not suits(True, float)
    assert not suits("blad", Literal["blade", "band"])
    assert not suits({"a": "b"}, Mapping[str, float])
    assert suits(date(2026, 12, 7), date | None)
