"""What a shop file has that bears an id, and where in it ids are meant."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.report import Path
from shopboard.usual.called import id_of
from shopboard.writing.edits import Data, Drop, Edit, Put, at_path

SORTS = {
    "machine": "machine",
    "point": "machine.point",
    "task": "machine.task",
    "cutter": "machine.cutter",
    "project": "project",
    "joint": "project.joint",
    "square": "drawer.square",
    "feeler": "drawer.feeler",
    "shims": "drawer.shims",
    "straightedge": "drawer.straightedge",
    "indicator": "drawer.indicator",
    "calliper": "drawer.calliper",
    "tape": "drawer.tape",
    "question": "machine.safety",
    "shop-question": "safety",
    "gauge": "gauge",
}
"""The tables of what bears an id, by what it is called; `shop` is the one that bears none."""

KEPT_BY_WAS = (
    *("machine", "point", "task", "cutter", "project", "joint"),
    *("square", "feeler", "straightedge", "indicator", "calliper", "tape"),
)
"""What the reader knows an old id of, so that its records follow it."""

NOT_RECORDED = ("shims", "gauge")
"""What nothing is recorded of: another id loses nothing."""


class Thing(NamedTuple):
    """One thing of a shop file."""

    sort: str
    path: Path
    name: str
    """``saw``, ``saw.blade``; of a tool its id alone."""

    @property
    def id(self) -> str:
        """Its own id."""
        return self.name.rpartition(".")[2]

    @property
    def owner(self) -> str:
        """Id of the machine or project that it belongs to; empty where it belongs to none."""
        return self.name.rpartition(".")[0]


def things(data: Data) -> Iterator[Thing]:
    """Give everything that bears an id, and the shop itself, in the order of their sorts."""
    if isinstance(data.get("shop"), dict):
        yield Thing("shop", ("shop",), "shop")
    for sort, header in SORTS.items():
        for path, ids in _walk(data, header.split("."), (), ()):
            yield Thing(sort, path, ".".join(ids))


def _walk(
    table: object, names: list[str], path: Path, ids: tuple[str, ...]
) -> Iterator[tuple[Path, tuple[str, ...]]]:
    """Give the tables of a header, each with the ids on the way to it."""
    below = table.get(names[0]) if isinstance(table, dict) else None
    if isinstance(below, dict) and len(names) > 1:  # [drawer] is one, and has no id
        yield from _walk(below, names[1:], (*path, names[0]), ids)
    for index, one in enumerate(below if isinstance(below, list) else ()):
        ident = id_of(one) if isinstance(one, dict) else ""
        here: Path = (*path, names[0], index)
        if not ident:
            continue
        if len(names) == 1:
            yield here, (*ids, ident)
        else:
            yield from _walk(one, names[1:], here, (*ids, ident))


_MEANT = {
    ("point", "rests_on"): ("point",),
    ("point", "proves"): ("square", "straightedge"),
    ("task", "undoes"): ("task",),
    ("task", "before"): ("task", "cutter"),
    ("cutter", "before"): ("task",),
    ("cutter", "spare_for"): ("cutter",),
    ("cutter", "serves"): ("machine",),
    ("project", "also_on"): ("machine",),
    ("joint", "made_on"): ("machine", "point"),
}
"""What can be meant at a setting of a thing, or in a table of it."""

HERE_ALONE = ("undoes", "spare_for")
"""Settings at which nothing of another machine can be meant."""

_ANYWHERE = ("rests_on", "before")
"""Those at which that can be, by its full name."""


def sorts_meant(sort: str, key: str) -> tuple[str, ...]:
    """Give the sorts of things that can be meant at a setting; none: it holds no id."""
    return _MEANT.get((sort, key.partition(".")[0]), ())


def means(sort: str, owner: str, key: str, word: str) -> tuple[str, ...]:
    """Give what may be meant by a word at a setting, in full: ``point saw.blade``.

    Args:
        sort: of the thing that the setting is of.
        owner: id of what that belongs to.
        key: of the setting.
        word: as it stands there.
    """
    if sort == "joint":
        return (f"{'point' if '.' in word else 'machine'} {word}",)
    of_owner = key in HERE_ALONE or (key in _ANYWHERE and "." not in word)
    return tuple(
        f"{one} {owner}.{word}" if of_owner else f"{one} {word}" for one in sorts_meant(sort, key)
    )


class Mention(NamedTuple):
    """A place where something is meant by its id, one word or one of a list."""

    path: Path
    names: str
    """As it stands there."""
    means: tuple[str, ...]
    """What may be meant by it, in full: ``point saw.blade``, else ``machine saw``."""


def mentions(data: Data) -> Iterator[Mention]:
    """Give every place at which the reader takes a word for an id of something else."""
    for thing in things(data):
        table = at_path(data, thing.path)
        made_on = table.get("made_on")
        places = [(key, table, thing.path) for key in table]
        if isinstance(made_on, dict):
            below: Path = (*thing.path, "made_on")
            places += [(f"made_on.{key}", made_on, below) for key in made_on]
        for key, home, path in places:
            if sorts_meant(thing.sort, key):
                for place, word in _words(home, path, key.rpartition(".")[2]):
                    yield Mention(place, word, means(thing.sort, thing.owner, key, word))


def _words(table: dict[str, Any], path: Path, key: str) -> Iterator[tuple[Path, str]]:
    """Give the words of a setting, which holds one or a list of them."""
    value = table.get(key)
    if isinstance(value, str):
        yield (*path, key), value.strip()
    for index, one in enumerate(value if isinstance(value, list) else ()):
        if isinstance(one, str):
            yield (*path, key, index), one.strip()


def words_in(value: object) -> list[str]:
    """Give the one word, or those of a list; none of what else may stand in a bad file."""
    found = value if isinstance(value, list) else [value]
    return [one for one in found if isinstance(one, str)]


def _of(thing: Thing, mention: Mention) -> bool:
    """Tell whether a mention means a thing, or what is on a machine that it is."""
    for means in mention.means:
        sort, _, name = means.partition(" ")
        if (sort, name) == (thing.sort, thing.name):
            return True
        if thing.sort == "machine" and name.startswith(f"{thing.name}."):
            return "." in mention.names
    return False


def rename(data: Data, thing: Thing, new: str) -> list[Edit]:
    """Give another id to a thing: its old one is kept beside it, every mention follows."""
    table = at_path(data, thing.path)
    edits: list[Edit] = [Put((*thing.path, "id"), new)]
    if thing.sort in KEPT_BY_WAS:
        names = (new, f"{thing.owner}.{new}", thing.id)
        old = [one for one in words_in(table.get("was")) if one not in names]
        old.append(thing.id)
        edits.append(Put((*thing.path, "was"), old if old[1:] else thing.id))
    meant = (one for one in mentions(data) if _of(thing, one))
    return [*edits, *(Put(one.path, _renamed(thing, one.names, new)) for one in meant)]


def _renamed(thing: Thing, word: str, new: str) -> str:
    """Give what a word becomes that means a thing by its old id."""
    if thing.sort == "machine":
        _, dot, point = word.partition(".")
        return f"{new}{dot}{point}"
    owner, dot, _ = word.rpartition(".")
    return f"{owner}{dot}{new}"


def take_out(data: Data, thing: Thing) -> list[Edit]:
    """Take a thing out of the file, and every mention of it; its records stay in the journal."""
    meant = (one.path for one in mentions(data) if _of(thing, one))
    return [Drop(path) for path in (thing.path, *meant)]
