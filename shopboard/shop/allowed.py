"""What may stand at a setting: in words, as an example, and as JSON Schema says it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from shopboard.base.light_tuple import NamedTuple

NUMBER = "[0-9¼-¾⅐-⅞]"
"""Pattern of what every number has one of."""


class Allowed(NamedTuple):
    """What a kind of value accepts; a length is written for both shops (`own_words`)."""

    words: str
    """``a whole number from 1 to 3``."""
    example: str
    """A good value as the file has it; empty where each key needs one of its own."""
    schema: Mapping[str, object]
    """What holds of it by JSON Schema, draft 2020-12."""
    known: tuple[str, ...] = ()
    """Words that need nothing beside them; empty: none does."""
    own_needs: str = ""
    """The key that must stand beside any other word."""


def one_word(words: Iterable[str]) -> Allowed:
    """Allow one of a few words."""
    quoted = [f'"{word}"' for word in words]
    listed = f"{', '.join(quoted[:-1])} or {quoted[-1]}"
    return Allowed(listed, quoted[0], {"type": "string", "enum": [word[1:-1] for word in quoted]})


def typed(words: str, example: str, pattern: str = "") -> Allowed:
    """Allow text that is read further, such as a time."""
    schema = {"type": "string", "minLength": 1}
    return Allowed(words, example, {**schema, "pattern": pattern} if pattern else schema)


def several(one: Allowed, least: int, most: int) -> Allowed:
    """Allow one such value, or a list of them."""
    items = {"type": "array", "items": one.schema, "minItems": least, "maxItems": most}
    words = f"{one.words}; one, or a list of them"
    return Allowed(words, one.example, {"anyOf": [one.schema, items]})


def any_case(word: str) -> str:
    """Give a pattern of a word whose letters may be large or small."""
    return "".join(f"[{one.upper()}{one.lower()}]" if one.isalpha() else one for one in word)
