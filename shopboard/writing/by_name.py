"""What a person called by its name at a setting that holds an id: the id of the one so called."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopboard.writing.edits import Data, at_path
from shopboard.writing.things import HERE_ALONE, Thing, means, sorts_meant, things


def ids_of(data: Data, sort: str, owner: str, key: str, words: Sequence[str]) -> list[str]:
    """Give words as ids, where each is the name of one thing that may be meant there.

    Args:
        data: of the shop file.
        sort: of the thing that the setting is of: ``cutter``.
        owner: id of what that belongs to.
        key: of the setting; of a table below it with a dot.
        words: as they were typed; what is an id there, or nothing's name, stays.
    """
    may = [one for one in things(data) if one.sort in sorts_meant(sort, key)]
    names = {f"{one.sort} {one.name}" for one in may}
    return [
        word if names & {*means(sort, owner, key, word)} else _id_of(data, may, owner, key, word)
        for word in words
    ]


def choices(data: Data, thing: Thing, key: str) -> Iterator[tuple[str, str]]:
    """Give what can be meant at a setting that holds an id: as it is written there, and its name.

    Args:
        data: of the shop file.
        thing: what the setting is of; it is not offered itself.
        key: of the setting; of a table below it with a dot.
    """
    body = _body(data, thing.owner)
    for one in things(data):
        here = one.owner == thing.owner
        if one.sort not in sorts_meant(thing.sort, key) or one == thing:
            continue
        if key in HERE_ALONE and not here:
            continue
        if key == "serves" and (
            one.name == thing.owner or (body and _body(data, one.name) != body)
        ):
            continue
        yield (one.id if here else one.name), str(at_path(data, one.path).get("name", one.name))


def _body(data: Data, machine: str) -> str:
    """Give the whole that a machine is a mode of; empty: it stands alone."""
    found = (one for one in things(data) if (one.sort, one.name) == ("machine", machine))
    return next((str(at_path(data, one.path).get("body", "")) for one in found), "")


def _id_of(data: Data, may: Sequence[Thing], owner: str, key: str, word: str) -> str:
    called = list(_called(data, may, word))
    here = [one for one in called if one.owner == owner]
    found = here if here or key in HERE_ALONE else called
    if len(found) != 1:
        return word
    return found[0].id if found == here else found[0].name


def _called(data: Data, may: Sequence[Thing], word: str) -> Iterator[Thing]:
    plain = " ".join(word.split()).casefold()
    for one in may:
        if " ".join(str(at_path(data, one.path).get("name", "")).split()).casefold() == plain:
            yield one
