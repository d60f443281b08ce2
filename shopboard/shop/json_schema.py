"""A JSON Schema of the shop file, draft 2020-12, made from what its readers declare.

It takes every file that the program takes, and refuses what can be told from one table alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from shopboard.metrology.wording import own_words
from shopboard.shop.declared import sorts
from shopboard.shop.sorts import Case, DeclaredKey, Sort
from shopboard.shop.what_for import PAGES, example_of, name_of
from shopboard.shop.what_for.told import WhatFor

Schema = dict[str, object]

_LOOSER = (
    "A shop file of shopboard. `shopboard proofread` looks closer than this schema can: it also"
    " holds ids against one another and against what refers to them, lengths against their limits,"
    " tolerances against what their methods measure, what is wanted of a joint and where it is made"
    " against its kind, what may be left out of what is usual on a sort of machine, and whole"
    " numbers and days must be written as such. Spaces at the start or end of words, which it"
    " leaves out with a warning, are refused here."
)


def schema() -> Schema:
    """Give the schema of the whole file."""
    every = sorts()
    below = {f"{name}": _table(one) for name, one in every.items() if name}
    head: Schema = {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Shop file of shopboard",
    }
    return {**head, **_table(every[""]), "description": _LOOSER, "$defs": below}


def _table(sort: Sort) -> Schema:
    page = PAGES[sort.name]
    made: Schema = {
        "type": "object",
        "description": page[""].words,
        "properties": {key: _value(sort, one, page[key]) for key, one in sort.keys.items()},
        "additionalProperties": False,
    }
    required = [key for key, one in sort.keys.items() if one.required]
    rules = [*_called(sort), *_rules(sort), *_either(sort), *_pairs(sort), *_own_words(sort)]
    return made | ({"required": required} if required else {}) | ({"allOf": rules} if rules else {})


def _value(sort: Sort, key: DeclaredKey, told: WhatFor) -> Schema:
    """Say what may stand at a key."""
    words = own_words(told.words, None)
    allowed = key.allowed
    if allowed is None:
        below: Schema = {"$ref": f"#/$defs/{name_of(key.asked.header)}"}
        if not key.asked.header.startswith("[["):
            return {"description": words, **below}
        least: Schema = {"minItems": 1} if key.required else {}
        return {"description": words, "type": "array", "items": below, **least}
    each = "".join(f'\n"{word}": {meant}' for word, meant in told.each.items())
    holds = f" Left out: {told.left_out}." if told.left_out else ""
    words = f"{words} Allowed: {own_words(allowed.words, None)}.{holds}{each}"
    return {"description": words, **allowed.schema, **_example(sort, key)}


def _example(sort: Sort, key: DeclaredKey) -> Schema:
    import tomli

    allowed = key.allowed
    if allowed is None or key.key == "start":  # a day is no value of JSON
        return {}
    typed = example_of(sort.header, key.key, allowed)
    both = dict.fromkeys(own_words(typed, unit) for unit in ("inch", "mm"))
    return {"examples": [tomli.loads(f"value = {one}")["value"] for one in both]}


def _rules(sort: Sort) -> Iterable[Schema]:
    """Say what must be there, and what may not, by what decides."""
    for by in dict.fromkeys(case.by for case in sort.cases):
        cases = [case for case in sort.cases if case.by == by]
        needed: dict[tuple[str, ...], list[str]] = {}
        barred: dict[tuple[str, ...], list[str]] = {}
        for key, one in sort.keys.items():
            for found, into in ((one.needed, needed), (one.barred, barred)):
                values = _values(cases, found)
                if values:
                    into.setdefault(values, []).append(key)
        for values, keys in needed.items():
            yield {"if": _when(sort, by, values), "then": {"required": keys}}
        for values, keys in barred.items():
            refused = {"properties": dict.fromkeys(keys, False)}
            yield {"if": _when(sort, by, values), "then": refused}


def _values(cases: Sequence[Case], found: Sequence[Case]) -> tuple[str, ...]:
    """Give the values of which all cases are among those found."""
    left = {case.value for case in cases if case not in found}
    return tuple(dict.fromkeys(case.value for case in cases if case.value not in left))


def _when(sort: Sort, by: str, values: Sequence[str]) -> Schema:
    """Say that one of some words stands at a key, or in its list."""
    if not any(values):
        return {"required": [by]}
    words: Schema = {"enum": list(values)}
    here: Schema = {"anyOf": [words, {"type": "array", "contains": words}]}
    goes_without_saying = sort.keys[by].asked.default in values
    return {"properties": {by: here}} | ({} if goes_without_saying else {"required": [by]})


def _called(sort: Sort) -> Iterable[Schema]:
    """Say of which keys one is made of the other, so that one must be there."""
    keys = [key for key, one in sort.keys.items() if one.made_of]
    if keys[1:]:
        yield {"anyOf": [{"required": [key]} for key in keys]}


def _either(sort: Sort) -> Iterable[Schema]:
    """Say of which keys exactly one must be there."""
    for keys in sort.one_of:
        rule: Schema = {"oneOf": [{"required": [key]} for key in keys]}
        barred = sort.keys[keys[0]].barred
        if barred:
            by = barred[0].by
            cases = [case for case in sort.cases if case.by == by]
            others = tuple(case for case in cases if case not in barred)
            rule = {"if": _when(sort, by, _values(cases, others)), "then": rule}
        yield rule


def _pairs(sort: Sort) -> Iterable[Schema]:
    """Say what needs something else beside it; of what is true or false, where it is true."""
    for key, one in sort.keys.items():
        if one.beside:
            yield {
                "if": {**_said(sort.keys, key), "required": [key]},
                "then": {**_said(sort.keys, one.beside), "required": [one.beside]},
            }


def _own_words(sort: Sort) -> Iterable[Schema]:
    """Say what a word of the shop's own needs beside it."""
    for key, one in sort.keys.items():
        if one.allowed is not None and one.allowed.own_needs:
            other: Schema = {"properties": {key: {"not": {"enum": list(one.allowed.known)}}}}
            yield {
                "if": {**other, "required": [key]},
                "then": {"required": [one.allowed.own_needs]},
            }


def _said(keys: Mapping[str, DeclaredKey], key: str) -> Schema:
    allowed = keys[key].allowed
    flag = allowed is not None and allowed.schema.get("type") == "boolean"
    return {"properties": {key: {"const": True}}} if flag else {}
