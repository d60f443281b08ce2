"""What is explained of the shop file and of the checks, as data."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopboard.checks.explained import Explained
from shopboard.commands.json_parts import FieldWords, under
from shopboard.handbook.explaining import when
from shopboard.metrology.wording import own_words
from shopboard.shop.sorts import Sort
from shopboard.shop.told_keys import examples, left_out
from shopboard.shop.what_for import PAGES, told_of

_KEY: FieldWords = {
    "key": "as the shop file writes it",
    "table": "header of the table that stands there, or null",
    "required": "whether it must always be there",
    "when": "when it must be there, and when it may not, in words",
    "words": "what it is for",
    "allowed": "what may stand there, in words; null: a table",
    "meanings[].word": "one that may stand there",
    "meanings[].means": "what it means",
    "left_out": "what holds where it is left out, as the shop file would have it; or null",
    "examples[]": "a value as the shop file has it, in an inch shop and in a metric one",
}
FIELDS: Mapping[str, FieldWords] = {
    "explain": {
        "tables[].name": "as in brackets; empty: the file as a whole",
        "tables[].header": "how it is written, in brackets",
        "tables[].words": "what it is",
        "tables[].one_of[][]": "keys of which exactly one must be there, where they may be",
        **under("tables[].keys[]", _KEY),
        "methods[].name": "as the shop file writes it",
        "methods[].title": "as a heading",
        "methods[].finds": "what it proves",
        "methods[].measures": "what its tolerance limits; null: it has none",
        "methods[].tools": "what it takes, or null",
        "methods[].needs[]": "keys that its point must have",
        "methods[].sizes[]": "sizes of the point that it asks for, or goes by",
        "methods[].signs[]": "what its error means, plus and minus",
        "methods[].minutes": "that it usually takes",
        "methods[].tool_proven": "sort of your tools that it proves, or null",
    }
}


def key_json(sort: Sort, name: str) -> dict[str, object]:
    """Give a key as data."""
    key, told = sort.keys[name], told_of(sort.header, name)
    return {
        "key": name,
        "table": key.asked.header or None,
        "required": key.required,
        "when": when(sort, key),
        "words": own_words(told.words, None),
        "allowed": own_words(key.allowed.words, None) if key.allowed else None,
        "meanings": [{"word": word, "means": meant} for word, meant in told.each.items()],
        "left_out": left_out(sort, key) or None,
        "examples": list(examples(sort, key)),
    }


def table_json(sort: Sort, keys: Sequence[str] | None = None) -> dict[str, object]:
    """Give a table as data, with some of its keys or all."""
    return {
        "name": sort.name,
        "header": sort.header,
        "words": PAGES[sort.name][""].words,
        "one_of": [list(one) for one in sort.one_of],
        "keys": [key_json(sort, key) for key in (sort.keys if keys is None else keys)],
    }


def method_json(method: Explained, needed: Sequence[str]) -> dict[str, object]:
    """Give a way of checking as data."""
    return {
        "name": method.name,
        "title": method.title,
        "finds": method.finds,
        "measures": method.kind if method.has_tolerance else None,
        "tools": method.tools if method.tools != "-" else None,
        "needs": list(needed),
        "sizes": list(method.sizes),
        "signs": list(method.signs),
        "minutes": method.minutes,
        "tool_proven": method.proves or None,
    }
