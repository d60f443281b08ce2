"""What the words of `shopboard edit` mean: which thing, and what is to change there."""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from shopboard.commands.errors import UsageError
from shopboard.commands.shared import no_such
from shopboard.shop.reader import every_reader
from shopboard.shop.report import Path
from shopboard.shop.table import keys_of
from shopboard.writing.edits import Add, Data, Drop, Edit, at_path, stands
from shopboard.writing.meant import Build, ReadAs, readings, settings_put
from shopboard.writing.order import ORDER, names_of
from shopboard.writing.things import KEPT_BY_WAS, SORTS, Thing, rename, take_out, things, words_in

_LISTS = ("steps",)
"""Settings that hold words, for all that a table may stand in their place, too."""


def meant(data: Data, options: argparse.Namespace) -> Thing:
    """Find what is to be changed.

    Raises:
        UsageError: when there is no such thing, or more than one.
    """
    every = list(things(data))
    sorts = [*SORTS, "shop"]
    if options.sort is not None and options.sort not in sorts:
        raise no_such("sort of thing", options.sort, sorts)
    known = [one for one in every if options.sort in (None, one.sort)]
    found = [one for one in known if one.name == options.what]
    if not found:
        raise _not_there(data, options.what, known)
    if len(found) > 1 and options.words and not options.add:
        key = options.words[0].partition("=")[0].partition(".")[0]
        found = [one for one in found if key in keys_at(one)] or found
    if len(found) > 1:
        raise _several(options.what, [one.sort for one in found])
    return found[0]


def _several(what: str, sorts: Sequence[str]) -> UsageError:
    """Ask which of the things of one id is meant."""
    which = " or ".join(f"--is {one}" for one in sorts)
    return UsageError(f"{what} is a {' and a '.join(sorts)}: say which, {which}")


def _not_there(data: Data, what: str, known: Sequence[Thing]) -> UsageError:
    """Say that nothing has that id: what it is called now, or where else it may stand."""
    now = [one.name for one in known if what in old_names(data, one, known)]
    if now:
        return UsageError(f"no id {what[:81]!r}; it is {now[0]} now")
    refused = no_such("id", what, [one.name for one in known])
    named = ("shop", "projects")
    files = words_in(at_path(data, named)) if stands(data, named) else []
    beside = f"\nprojects in {', '.join(files)[:200]} are changed there, by hand"
    return UsageError(f"{refused}{beside}") if files else refused


def old_names(data: Data, thing: Thing, known: Sequence[Thing]) -> set[str]:
    """Give the names that a thing had: of its own, and by those of its machine."""

    def names(one: Thing) -> list[str]:
        return [one.id, *words_in(at_path(data, one.path).get("was"))]

    owners = [one for one in known if one.name == thing.owner and one.sort == "machine"]
    before = [f"{name}." for one in owners for name in names(one)] or [""]
    own = names(thing)
    return {*own[1:], *(f"{owner}{name}" for owner in before for name in own)} - {thing.name}


def keys_at(thing: Thing) -> list[str]:
    """Give every key that the reader knows of a sort of thing."""
    return keys_of(_header(names_of(thing.path)))


def _header(table: str) -> str:
    readers = every_reader()
    return f"[[{table}]]" if f"[[{table}]]" in readers else f"[{table}]"


class Wish(NamedTuple):
    """What is to change."""

    build: Build
    typed: Mapping[str, Sequence[ReadAs]] = {}
    """Every way to read each setting."""


def wish(data: Data, thing: Thing, options: argparse.Namespace) -> Wish | None:
    """Give what is to change; None where it is only to be shown.

    Raises:
        UsageError: when the words do not go together.
    """
    words: list[str] = options.words
    if any("\ud800" <= letter <= "\udfff" for word in words for letter in word):
        raise UsageError("what was typed is not UTF-8; nothing was changed")
    if options.add is not None:
        if options.leave_out or options.take_out:
            raise UsageError("either add something or take something out, not both")
        return _new(thing, options.add, words)
    if options.take_out:
        if words or thing.sort == "shop":
            what = "shop cannot be taken out" if not words else "--take-out takes out all of WHAT"
            raise UsageError(f"{what}; of one setting say --leave-out")
        return Wish(lambda _: take_out(data, thing))
    if options.leave_out:
        return _left_out(data, thing, words)
    return _set(data, thing, words) if words else None


def _left_out(data: Data, thing: Thing, words: Sequence[str]) -> Wish:
    if len(words) != 1:
        raise UsageError("--leave-out goes with one SETTING")
    path = (*thing.path, *words[0].split("."))
    if not stands(data, path):
        raise UsageError(f"{thing.name} has no {words[0][:60]}; nothing is to be left out")
    return Wish(lambda _: [Drop(path)])


def _set(data: Data, thing: Thing, words: list[str]) -> Wish:
    settings = _assigned(words) if "=" in words[0] else {words[0]: words[1:]}
    for name, value in settings.items():
        _refuse_setting(data, thing, name, value)
    for name in ("id", *(["unit"] if thing.sort == "shop" else [])):
        if name in settings and len(settings) > 1:
            raise UsageError(f"another {name} is given by itself")
    if "id" in settings:
        return _renamed(data, thing, settings["id"])
    typed = {name: readings(one, _old(data, thing, name)) for name, one in settings.items()}
    return Wish(lambda chosen: settings_put(data, thing.path, chosen), typed)


def _old(data: Data, thing: Thing, name: str) -> object:
    path = (*thing.path, *name.split("."))
    return at_path(data, path) if stands(data, path) else None


def _assigned(words: Sequence[str]) -> dict[str, list[str]]:
    """Read ``SETTING=VALUE``; a setting that comes again is a list.

    Raises:
        UsageError: when a word is none.
    """
    found: dict[str, list[str]] = {}
    for word in words:
        name, equals, value = word.partition("=")
        if not equals or not name.strip():
            raise UsageError(f"{word[:60]!r} is no SETTING=VALUE")
        found.setdefault(name.strip(), []).append(value)
    return found


def _refuse_setting(data: Data, thing: Thing, name: str, value: Sequence[str]) -> None:
    """Refuse what is no setting with a value of its own."""
    path, there = (*thing.path, *name.split(".")), _old(data, thing, name)
    tables = isinstance(there, list) and there and all(isinstance(one, dict) for one in there)
    table = f"{names_of(thing.path)}.{name}"
    if name not in _LISTS and (
        isinstance(there, dict) or _header(table) in every_reader() or tables
    ):
        below = f"name a setting in it, such as {name}." + (_below(table) or "...")
        raise UsageError(f"{name} of {thing.name} is a table; {below}")
    _refuse_unknown(thing, name, path)
    if not value:
        raise UsageError(f"{name} of {thing.name} needs a VALUE; --leave-out takes it out")


def _refuse_unknown(thing: Thing, name: str, path: Path) -> None:
    """Refuse a key that the reader does not know there."""
    first, *others = name.split(".")
    known = ORDER[names_of(thing.path)]
    if others and first in known:
        if first in _LISTS or (home := names_of(path[:-1])) not in ORDER:
            how = "a list: give all of it" if first in _LISTS else "no table"
            raise UsageError(f"{name.rpartition('.')[0]} of {thing.name} is {how}")
        known, first = ORDER[home], others[-1]
    if first not in known:
        raise no_such(f"setting of {thing.name}", name, known)


def _below(table: str) -> str:
    header = _header(table)
    return keys_of(header)[0] if header in every_reader() else ""


def _renamed(data: Data, thing: Thing, value: Sequence[str]) -> Wish:
    if len(value) != 1:
        raise UsageError("an id is one word")
    if thing.sort not in KEPT_BY_WAS:
        what = f"the id of a {thing.sort} stays: nothing would lead to what is recorded under it"
        raise UsageError(f"{what}. Its name can be changed")
    if value[0] == thing.id:
        raise UsageError(f"{thing.name} has that id")
    for one in things(data):
        beside = one.path[:-1] == thing.path[:-1] or one.path[0] == thing.path[0] == "drawer"
        if beside and one.id == value[0]:
            raise UsageError(f"{one.name} is another {one.sort} already; each id once")
    return Wish(lambda _: rename(data, thing, value[0]))


def _new(owner: Thing, sort: str, words: Sequence[str]) -> Wish:
    """Give a new thing, with what is said of it.

    Raises:
        UsageError: when there is none such there.
    """
    of = ("", "drawer") if owner.sort == "shop" else (names_of(owner.path),)
    fit = [one for one, table in SORTS.items() if table.rpartition(".")[0] in of]
    if sort not in fit:
        raise no_such(f"sort of thing to add to {owner.name}", sort, fit)
    *above, key = SORTS[sort].split(".")
    path = (*above, key) if owner.sort == "shop" else (*owner.path, key)
    settings = _assigned(words)
    for name in settings:
        *tables, last = name.split(".")
        known = ORDER.get(".".join([SORTS[sort], *tables]), ())
        if last not in known:
            raise no_such(f"setting of a {sort}", name, known or ORDER[SORTS[sort]])

    def build(chosen: Mapping[str, ReadAs]) -> list[Edit]:
        table: dict[str, Any] = {}
        for name, one in chosen.items():
            *tables, last = name.split(".")
            below = table
            for part in tables:
                below = below.setdefault(part, {})
            below[last] = one.value
        return [Add(path, table)]

    return Wish(build, {name: readings(one) for name, one in settings.items()})
