"""A setting stands at one field of the model: what reads it and what explains it goes by that.

Held against the sample shop, whose remarks are the explanation, and against the types.
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

SAMPLE = Path(__file__).parents[2] / "sample_shop.toml"
TEXT = SAMPLE.read_text(encoding="utf-8")
DATA = tomli.loads(TEXT)
MODELS: tuple[type, ...] = (Shop, Machine, Point, Task, Cutter, SafetyQuestion, Project, Joint)

ELSEWHERE = {
    "was": 'the line   was = "old-id"',
    "[shop] not_asked": "not_asked, in [shop] or [[machine]], lists",
}
"""Keys that the sample explains in a sentence, not at a row of their own."""

ROW = re.compile(r"^#   ([a-z_]+(?:, [a-z_]+)*)(?: {2,}| =|$)", re.M)
"""A row of a remark: one key or several, and what they mean."""


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

    found = list(walk(read_shop(SAMPLE, names()).shop))
    assert {type(one) for one in found} == {*MODELS}
    bad = [
        (type(one).__name__, field, getattr(one, field))
        for one in found
        for field, hint in hints(type(one)).items()
        if not suits(getattr(one, field), hint)
    ]
    assert bad == []


def tables(data: Any, header: str) -> Iterator[dict[str, Any]]:
    """The tables of the sample that a header begins: ``[[machine.point]]``, of one kind or any."""
    way, kind = re.findall(r"[a-z_.]+", header)[0].split("."), re.findall(r'kind = "(\w+)"', header)
    found = [data]
    for key in way:
        below = [one[key] for one in found if key in one]
        found = [one for each in below for one in (each if isinstance(each, list) else [each])]
    return (one for one in found if not kind or one["kind"] == kind[0])


@pytest.mark.parametrize("header", sorted(READERS))
def test_the_sample_explains_every_setting(header: str) -> None:
    """It is set there in a table of its own sort, or has a row in the remarks."""
    rows = {key for found in ROW.findall(TEXT) for key in found.split(", ")}
    used = {key for one in tables(DATA, header) for key in one}
    for key in {*keys_of(header)} - used - rows:
        said = ELSEWHERE.get(key) or ELSEWHERE.get(f"{header} {key}")
        told = said is not None and said in TEXT
        assert told, f"{header} knows {key}, of which sample_shop.toml says nothing"


def test_what_the_remarks_show_as_a_setting_is_one() -> None:
    """How one is written is shown right; what is set is seen by reading the file."""
    known = {key for header in READERS for key in keys_of(header)}
    shown = re.findall(r"^#   ([a-z_]+) = ", TEXT, re.M)
    assert len(shown) >= 5
    assert [key for key in shown if key not in known] == []


def test_the_sample_says_every_word_that_is_allowed() -> None:
    """Where one of a few words is to be chosen, all of them are told."""
    words = [
        (model.__name__, field, word)
        for model, field in DECLARED
        for word in get_args(get_args(hints(model)[field])[0])
        if isinstance(word, str) and word
    ]
    assert len(words) >= 20
    assert [one for one in words if f'"{one[2]}"' not in TEXT] == []


def test_the_types_are_told_apart() -> None:
    """What these tests stand on: a wrong value is seen to be one."""
    assert suits(("a",), tuple[str, ...])
    assert not suits(("a", 1), tuple[str, ...])
    assert not suits(True, float)
    assert not suits("blad", Literal["blade", "band"])
    assert not suits({"a": "b"}, Mapping[str, float])
    assert suits(date(2026, 12, 7), date | None)
