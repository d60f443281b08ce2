"""What is asked for at one setting: what it is for, what may stand there, and choices."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.explained import explained
from shopboard.checks.registry import names
from shopboard.metrology.units import Unit, by_unit
from shopboard.metrology.wording import own_words
from shopboard.shop.declared import sorts
from shopboard.shop.sorts import Case
from shopboard.shop.told_keys import examples, left_out
from shopboard.shop.what_for import told_of
from shopboard.writing.spelling import as_typed
from shopboard.writing.things import SORTS, sorts_meant


class Offer(NamedTuple):
    """One setting, as a person is asked for it."""

    words: str
    """What it is for."""
    allowed: str
    """What may stand there."""
    example: str
    """A value that would do, as it is typed, in the shop's unit."""
    left_out: str
    """What holds where it is not set; empty: nothing."""
    options: tuple[tuple[str, str], ...]
    """The only values that may stand there, as they are typed, and what each means."""
    several: bool
    """A list of them may stand there, too."""
    key: str = ""
    """As the file has it."""


def offer(table: str, key: str, unit: Unit) -> Offer | None:
    """Give what is asked for at a key; None where it is a table, or nothing is known of it.

    Args:
        table: by its name: ``machine.point``.
        key: of a table below it with a dot: ``sizes.width``.
        unit: of the shop.
    """
    of = next((one for one, header in SORTS.items() if header == table), "")
    named = " or a ".join(sorts_meant(of, key))
    whole = key
    *below, key = key.split(".")
    sort = sorts().get(".".join([table, *below]))
    declared = sort.keys.get(key) if sort is not None else None
    if sort is None or declared is None or declared.allowed is None:
        return None
    told, shown = told_of(sort.header, key), examples(sort, declared)
    options, several = _options(declared.allowed.schema)
    return Offer(
        own_words(told.words, unit),
        (f"the name of a {named}; or " if named else "") + own_words(declared.allowed.words, unit),
        as_typed(by_unit(unit, shown[0], shown[-1])),
        left_out(sort, declared),
        tuple(
            (one, own_words(_means(key, one) or told.each.get(one, ""), unit)) for one in options
        ),
        several,
        whole,
    )


def _means(key: str, value: str) -> str:
    """Say what a check finds, where one is chosen by its name."""
    return explained(value).finds if key == "check" and value in names() else ""


def _options(schema: Mapping[str, Any]) -> tuple[tuple[str, ...], bool]:
    """Give the only values that a schema allows, none where it allows more; and if several."""
    either = schema.get("anyOf", ())
    lists = [one for one in either if one.get("type") == "array"]
    if lists:
        return _options(lists[0]["items"])[0], True
    if schema.get("type") == "boolean":
        return ("true", "false"), False
    return tuple(str(one) for one in schema.get("enum", ())), False


def keys_to_add(table: str, said: Mapping[str, Sequence[str]]) -> Iterator[str]:
    """Give the keys that a new table must have and has not yet, by what is said of it so far.

    A name or an id that could be made of the other one is written down, too: records go by it.
    """
    found = sorts()[table]
    open_keys = [
        one for one in found.keys.values() if one.key not in said and one.allowed is not None
    ]
    yield from (one.key for one in open_keys if one.required or one.usual or one.made_of)
    for keys in found.one_of:
        barred = any(_holds(one, said) for one in found.keys[keys[0]].barred)
        if not barred and not any(key in said for key in keys):
            yield keys[0]
    yield from (one.key for one in open_keys if any(_holds(case, said) for case in one.needed))


def tables_below(table: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Give the single tables that may stand in one, each with its keys: ``sizes``."""
    for key in sorts()[table].keys.values():
        below = sorts().get(f"{table}.{key.key}")
        if key.allowed is None and below is not None and not below.header.startswith("[["):
            yield key.key, tuple(below.keys)


def _holds(case: Case, said: Mapping[str, Sequence[str]]) -> bool:
    """Tell whether what is said so far is what decides."""
    return bool(case.value) and not case.only and case.value in said.get(case.by, ())
