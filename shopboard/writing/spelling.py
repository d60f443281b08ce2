"""Values and blocks as a careful person would write them, and as the text around them does."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

import tomli
import tomli_w

from shopboard.shop.report import Path
from shopboard.writing.order import names_of, rank
from shopboard.writing.remarks import Remarks, with_remark

BETWEEN = ";"
"""What is typed between the values of a list: a comma may stand in each."""

WIDEST = 100
"""Columns of a line that holds a list."""

_SHORT = 16
"""Characters of a value, such as the thickness of a leaf, of which several go into a line."""


def spelled(value: object, like: str = "") -> str:
    """Spell a value on one line.

    Args:
        value: what tomli reads again.
        like: how the one before it was spelled: a text that stood between single quotes does so
            again, where it can.
    """
    if isinstance(value, Mapping):
        pairs = ", ".join(f"{spelled_key(key)} = {spelled(one)}" for key, one in value.items())
        return f"{{ {pairs} }}" if pairs else "{}"
    if isinstance(value, list):
        return f"[{', '.join(map(spelled, value))}]"
    if isinstance(value, str) and like.startswith("'") and _fits_literal(value):
        return f"'{value}'"
    return tomli_w.dumps({"k": value}).removeprefix("k = ").rstrip("\n")


def _fits_literal(text: str) -> bool:
    return "'" not in text and not re.search(r"[\x00-\x1f\x7f]", text)


def spelled_key(key: str) -> str:
    """Spell a key, bare where that can be."""
    return key if re.fullmatch(r"[A-Za-z0-9_-]+", key) else spelled(key)


def setting(key: str, value: object, typed: str = "") -> list[str]:
    """Give the lines of a setting; of a long list each value has one, or several short ones do."""
    line = f"{spelled_key(key)} = {typed or spelled(value)}"
    if isinstance(value, list) and value and not typed and len(line) > WIDEST:
        members = [f"{spelled(one)}," for one in value]
        if max(map(len, members)) <= _SHORT:
            members = _packed(members)
        return [f"{spelled_key(key)} = [", *(f"    {one}" for one in members), "]"]
    return [line]


def _packed(members: Iterable[str]) -> list[str]:
    """Put short members of a list into as few lines as hold them."""
    lines: list[str] = []
    for one in members:
        if lines and len(lines[-1]) + len(one) < WIDEST - 4:
            lines[-1] += f" {one}"
        else:
            lines.append(one)
    return lines


def block(path: Path, table: Mapping[str, Any], remarks: Remarks, *, many: bool) -> list[str]:
    """Give the lines of a table with its header, and of those below it, in the sample's order.

    Args:
        path: of the table.
        table: what it holds.
        remarks: what is told beside it.
        many: whether it is one of a list.
    """
    names = ".".join(spelled_key(part) for part in path if isinstance(part, str))
    header = f"[[{names}]]" if many else f"[{names}]"
    above = remarks.above(names_of(path), table)
    lines = [f"# {above}", header] if above else [header]
    keys = sorted(table, key=lambda key: rank(path, key))
    for key in keys:
        if not _is_block(path, key, table[key]):
            told = remarks.once(names_of((*path, key)))
            lines += with_remark(setting(key, table[key]), told)
    for key in keys:
        value = table[key]
        if _is_block(path, key, value):
            for below in value if isinstance(value, list) else [value]:
                lines += ["", *block((*path, key), below, remarks, many=isinstance(value, list))]
    return lines


def _is_block(path: Path, key: str, value: object) -> bool:
    """Tell whether a value has a header of its own; steps of a task stand in a list."""
    if isinstance(value, list) and names_of((*path, key)) != "machine.task.steps":
        return bool(value) and all(isinstance(one, Mapping) for one in value)
    return isinstance(value, Mapping)


def as_told(written: str) -> str:
    """Give a value of the file as a person reads it: without quotes and brackets, yes and no."""
    value = tomli.loads(f"k = {written}")["k"]
    ways = value if isinstance(value, list) else [value]
    if any(isinstance(one, list | dict) for one in ways):
        return " ".join(written.split())
    words = {True: "yes", False: "no"}
    return f"{BETWEEN} ".join(words[one] if isinstance(one, bool) else str(one) for one in ways)


def as_typed(written: str) -> str:
    """Give a value of the file as a person types it: without quotes, which would be kept."""
    value = tomli.loads(f"k = {written}")["k"]
    ways = value if isinstance(value, list) else [value]
    plain = all(isinstance(one, str) for one in ways)
    return f"{BETWEEN} ".join(ways) if plain else written
