"""What the words of `shopboard edit` mean: which thing, and what is to change there."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

from shopboard.commands.errors import UsageError
from shopboard.commands.shared import no_such
from shopboard.writing.edits import Data, at_path, stands
from shopboard.writing.things import SORTS, Thing, things, words_in
from shopboard.writing.wishes import (
    NotMeantError,
    Wish,
    added,
    keys_at,
    left_out,
    settings_as,
    taken_out,
)


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


def wish(data: Data, thing: Thing, options: argparse.Namespace) -> Wish | None:
    """Give what is to change; None where it is only to be shown.

    Raises:
        UsageError: when the words do not go together.
    """
    words: list[str] = options.words
    _refuse_mixed(options)
    try:
        if options.add is not None:
            return added(data, thing, options.add, _assigned(words))
        if options.take_out:
            return taken_out(data, thing)
        if options.leave_out:
            return left_out(data, thing, words[0])
        if not words:
            return None
        settings = _assigned(words) if "=" in words[0] else {words[0]: words[1:]}
        return settings_as(data, thing, settings)
    except NotMeantError as error:
        raise UsageError(str(error)) from None


def _refuse_mixed(options: argparse.Namespace) -> None:
    """Refuse words and options that do not go together."""
    words: list[str] = options.words
    if any("\ud800" <= letter <= "\udfff" for word in words for letter in word):
        raise UsageError("what was typed is not UTF-8; nothing was changed")
    if options.add is not None and (options.leave_out or options.take_out):
        raise UsageError("either add something or take something out, not both")
    if options.take_out and words:
        raise UsageError("--take-out takes out all of WHAT; of one setting say --leave-out")
    if options.leave_out and len(words) != 1:
        raise UsageError("--leave-out goes with one SETTING")


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
