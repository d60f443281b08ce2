"""What a person can wish to change in a shop file: the edits of each wish, or why it cannot be."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.near import none_such
from shopboard.shop.reader import every_reader
from shopboard.shop.report import Path
from shopboard.shop.table import keys_of
from shopboard.usual.called import CALLED, id_of
from shopboard.writing.by_name import ids_of
from shopboard.writing.edits import Add, Data, Drop, Edit, at_path, stands
from shopboard.writing.meant import Build, ReadAs, readings, settings_put
from shopboard.writing.order import ORDER, names_of
from shopboard.writing.things import (
    KEPT_BY_WAS,
    NOT_RECORDED,
    SORTS,
    Thing,
    rename,
    take_out,
    things,
)

_LISTS = ("steps",)
"""Settings that hold words, for all that a table may stand in their place, too."""


class NotMeantError(ValueError):
    """What is wished for cannot be; one sentence says why."""


class Wish(NamedTuple):
    """What is to change."""

    build: Build
    typed: Mapping[str, Sequence[ReadAs]] = {}
    """Every way to read each setting."""


def keys_at(thing: Thing) -> list[str]:
    """Give every key that the reader knows of a sort of thing."""
    return keys_of(header_of(names_of(thing.path)))


def header_of(table: str) -> str:
    """Give the header of a table by its name: ``[[machine.point]]``."""
    readers = every_reader()
    return f"[[{table}]]" if f"[[{table}]]" in readers else f"[{table}]"


def added_to(owner: Thing) -> list[str]:
    """Give the sorts of things that can be added to a thing."""
    of = ("", "drawer") if owner.sort == "shop" else (names_of(owner.path),)
    return [one for one, table in SORTS.items() if table.rpartition(".")[0] in of]


def left_out(data: Data, thing: Thing, name: str) -> Wish:
    """Take a setting out.

    Raises:
        NotMeantError: when it is not there.
    """
    path = (*thing.path, *name.split("."))
    if name == "id":
        raise NotMeantError(f"the id of {thing.name} cannot change: its records are kept under it")
    if not stands(data, path):
        raise NotMeantError(f"{thing.name} has no {name[:60]}; there is nothing to leave out")
    return Wish(lambda _: [Drop(path)])


def taken_out(data: Data, thing: Thing) -> Wish:
    """Take a thing out, and every mention of it.

    Raises:
        NotMeantError: when it is the shop itself.
    """
    if thing.sort == "shop":
        raise NotMeantError("shop cannot be taken out; of one setting say --leave-out")
    return Wish(lambda _: take_out(data, thing))


def settings_as(data: Data, thing: Thing, settings: Mapping[str, Sequence[str]]) -> Wish:
    """Set what was typed, each by the words of its value; another id is a new name for records.

    Raises:
        NotMeantError: when one is no setting with a value of its own.
    """
    for name, value in settings.items():
        _refuse_setting(data, thing, name, value)
    for name in ("id", *(["unit"] if thing.sort == "shop" else [])):
        if name in settings and len(settings) > 1:
            raise NotMeantError(f"another {name} is given by itself")
    if "id" in settings:
        return _renamed(data, thing, settings["id"])
    ids = {name: ids_of(data, thing.sort, thing.owner, name, one) for name, one in settings.items()}
    typed = {name: readings(one, _old(data, thing, name)) for name, one in ids.items()}
    return Wish(lambda chosen: settings_put(data, thing.path, chosen), typed)


def _old(data: Data, thing: Thing, name: str) -> object:
    path = (*thing.path, *name.split("."))
    return at_path(data, path) if stands(data, path) else None


def _refuse_setting(data: Data, thing: Thing, name: str, value: Sequence[str]) -> None:
    """Refuse what is no setting with a value of its own."""
    path, there = (*thing.path, *name.split(".")), _old(data, thing, name)
    tables = isinstance(there, list) and there and all(isinstance(one, dict) for one in there)
    table = f"{names_of(thing.path)}.{name}"
    if name not in _LISTS and (
        isinstance(there, dict) or header_of(table) in every_reader() or tables
    ):
        below = f"name a setting in it, such as {name}." + (_below(table) or "...")
        raise NotMeantError(f"{name} of {thing.name} is a table; {below}")
    _refuse_unknown(thing, name, path)
    if not value:
        raise NotMeantError(f"{name} of {thing.name} needs a VALUE; --leave-out takes it out")


def _refuse_unknown(thing: Thing, name: str, path: Path) -> None:
    """Refuse a key that the reader does not know there."""
    first, *others = name.split(".")
    known = ORDER[names_of(thing.path)]
    if others and first in known:
        if first in _LISTS or (home := names_of(path[:-1])) not in ORDER:
            how = "a list: give all of it" if first in _LISTS else "not a table"
            raise NotMeantError(f"{name.rpartition('.')[0]} of {thing.name} is {how}")
        known, first = ORDER[home], others[-1]
    if first not in known:
        raise NotMeantError(none_such(f"setting of {thing.name}", name, known))


def _below(table: str) -> str:
    header = header_of(table)
    return keys_of(header)[0] if header in every_reader() else ""


def _renamed(data: Data, thing: Thing, value: Sequence[str]) -> Wish:
    if len(value) != 1:
        raise NotMeantError("an id is one word")
    if thing.sort not in (*KEPT_BY_WAS, *NOT_RECORDED):
        what = f"the id of a {thing.sort} cannot change: its records would not be found"
        raise NotMeantError(f"{what}. Its name can be changed")
    if value[0] == thing.id:
        raise NotMeantError(f"{thing.name} has that id")
    for one in things(data):
        beside = one.path[:-1] == thing.path[:-1] or one.path[0] == thing.path[0] == "drawer"
        if beside and one.id == value[0]:
            raise NotMeantError(f"{one.name} is another {one.sort} already; each id once")
    return Wish(lambda _: rename(data, thing, value[0]))


def _with_id(table: dict[str, Any]) -> dict[str, Any]:
    """Write the id down where it would be made of the name: that may change."""
    return {"id": ident, **table} if (ident := id_of(table)) else table


def added(data: Data, owner: Thing, sort: str, settings: Mapping[str, Sequence[str]]) -> Wish:
    """Add a new thing, with what is said of it.

    Raises:
        NotMeantError: when there is none such there.
    """
    fit = added_to(owner)
    if sort not in fit:
        raise NotMeantError(none_such(f"sort of thing to add to {owner.name}", sort, fit))
    *above, key = SORTS[sort].split(".")
    path = (*above, key) if owner.sort == "shop" else (*owner.path, key)
    for name in settings:
        *tables, last = name.split(".")
        known = ORDER.get(".".join([SORTS[sort], *tables]), ())
        if last not in known:
            raise NotMeantError(
                none_such(f"setting of a {sort}", name, known or ORDER[SORTS[sort]])
            )

    def build(chosen: Mapping[str, ReadAs]) -> list[Edit]:
        table: dict[str, Any] = {}
        for name, one in chosen.items():
            *tables, last = name.split(".")
            below = table
            for part in tables:
                below = below.setdefault(part, {})
            below[last] = one.value
        return [Add(path, _with_id(table) if f"[[{SORTS[sort]}]]" in CALLED else table)]

    ids = {name: ids_of(data, sort, owner.name, name, one) for name, one in settings.items()}
    return Wish(build, {name: readings(one) for name, one in ids.items()})
