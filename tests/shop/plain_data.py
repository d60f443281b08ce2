"""Shop files as plain data: read, changed at will, and written out again on long lines."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from shopboard.checks.registry import facts, names
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.shop.reader import read_shop_text

Data = dict[str, Any]


def toml(value: object) -> str:
    """Write a value on one line, as TOML 1.0 has it."""
    if isinstance(value, Mapping):
        return (
            "{" + ", ".join(f"{json.dumps(key)} = {toml(one)}" for key, one in value.items()) + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    return value.isoformat() if isinstance(value, date) else json.dumps(value, ensure_ascii=False)


def text_of(data: Data) -> str:
    """Write a whole file."""
    return "".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in data.items())


def problems_of(data: Data) -> tuple[Problem, ...]:
    """Give what the reader says of a file: its errors, or its warnings where it takes it."""
    try:
        return read_shop_text(text_of(data), known_checks=names(), facts=facts()).warnings
    except ShopFileError as error:
        return error.problems


def is_taken(problems: tuple[Problem, ...]) -> bool:
    """Tell whether there are warnings alone."""
    return all(one.severity == "warning" for one in problems)


def as_json(value: Any) -> Any:
    """Give what JSON has in the place of a value; a day is text there."""
    if isinstance(value, dict):
        return {key: as_json(one) for key, one in value.items()}
    if isinstance(value, list):
        return [as_json(one) for one in value]
    return value.isoformat() if isinstance(value, date) else value


def tables_in(data: Data, path: tuple[str | int, ...] = ()) -> Iterator[tuple[str, Data]]:
    """Give every table of a file with its name; ``machine.point``."""
    yield ".".join(part for part in path if isinstance(part, str)), data
    for key, value in data.items():
        for index, one in enumerate(value if isinstance(value, list) else [value]):
            if isinstance(one, dict):
                yield from tables_in(one, (*path, key, index))
