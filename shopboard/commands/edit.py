"""Change the shop file without an editor: one setting, an id, something new, something that went.

The text of what changes is changed, and no more; the file before is kept beside it.
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from datetime import UTC, datetime
from itertools import chain
from pathlib import Path

from shopboard.base import exit_codes
from shopboard.checks.registry import facts, names
from shopboard.commands.edit_words import meant, wish
from shopboard.commands.errors import UsageError
from shopboard.commands.json_parts import FieldWords
from shopboard.commands.output import out, out_json, say
from shopboard.commands.readable_journal import readable_journal
from shopboard.commands.shared import paths
from shopboard.prep.beyond_drawer import newly_beyond
from shopboard.shop.problems import Problem, ShopFileError
from shopboard.writing.meant import Proofread, Rules
from shopboard.writing.opened import OpenedFile, open_file
from shopboard.writing.saving import NotSavedError
from shopboard.writing.things import Thing
from shopboard.writing.wishes import NotMeantError

FIELDS: Mapping[str, FieldWords] = {
    "edit": {
        "file": "the shop file",
        "what": "what was asked for, by its name",
        "sort": "what it is: point, cutter, square ...",
        "settings[].setting": "its key; of a table below it with a dot",
        "settings[].line": "number of its line; null: it is the usual one, not in the file",
        "settings[].written": "its value as it is written there",
        "more[]": "other keys that may stand there; a table below it by its name",
        "changed[].line_before": "number of the first line that goes, or that others come before",
        "changed[].before[]": "the lines that go",
        "changed[].line_after": "number of the first line that comes, or of the one now there",
        "changed[].after[]": "the lines that come",
        "warnings[].line": "number of a line of the new file that is odd",
        "warnings[].words": "what is odd there, and was not before",
        "saved": "whether the file was changed",
        "kept": "where the file before is; null where nothing was saved",
    }
}


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "what",
        metavar="WHAT",
        help="saw, saw.blade, square-6, chest.lid: by its id; shop: what holds for all",
    )
    parser.add_argument(
        "words",
        metavar="SETTING",
        nargs="*",
        help="then its VALUE, several where it is a list; or SETTING=VALUE, as often as needed;"
        " id: another id, under which its records are found as before; without: what is set",
    )
    parser.add_argument(
        "--add",
        metavar="SORT",
        help="a new one in WHAT: a machine, project, square ... in shop; a point, task, cutter"
        " ... in a machine; then SETTING=VALUE, the id among them",
    )
    way = parser.add_mutually_exclusive_group()
    way.add_argument("--leave-out", action="store_true", help="leave SETTING out of the file")
    way.add_argument(
        "--take-out",
        action="store_true",
        help="take WHAT out, and every mention of it; its records stay",
    )
    parser.add_argument("--is", dest="sort", metavar="SORT", help="where two have that id")
    parser.add_argument("--show", action="store_true", help="show the lines, change nothing")
    parser.add_argument("--json", action="store_true", help="JSON")


def run(options: argparse.Namespace) -> int:
    """Show or change what is asked for."""
    path, _ = paths(options)
    file = open_file(path, Rules(str(path), names(), facts()))
    thing = meant(file.data, options)
    wanted = wish(file.data, thing, options)
    if wanted is None:
        return _list(file, thing, options)
    try:
        result = file.changed(thing, wanted)
        result = _with_beyond(file, result, options)
        kept = None if options.show else file.save(result, datetime.now(UTC))
    except NotMeantError as error:
        raise UsageError(f"{error}\nnothing was changed") from None
    except NotSavedError as error:
        say(f"shopboard: {error}.")
        return exit_codes.CANNOT_WRITE
    _tell(path, thing, result, kept, options)
    return exit_codes.ALL_RIGHT


def _with_beyond(file: OpenedFile, result: Proofread, options: argparse.Namespace) -> Proofread:
    """Add what the tools cannot prove then and could before."""
    if not result.new.lines:
        return result
    try:
        before, after = (file.rules.read(one).shop for one in (file.text, result.new.text))
    except ShopFileError:  # it was bad before
        return result
    with readable_journal(after, options) as journal:
        beyond = newly_beyond(before, after, result.new.text, journal)
        return result._replace(warnings=(*result.warnings, *chain.from_iterable(beyond)))


def _list(file: OpenedFile, thing: Thing, options: argparse.Namespace) -> int:
    """Print what is set, with the number of its line, and what else may be."""
    found, usual = list(file.settings(thing)), file.usual(thing)
    more = [key for key in file.not_set(thing) if key not in usual]
    if options.json:
        told = [*found, *((None, *one) for one in usual.items())]
        settings = [{"setting": n, "line": line, "written": written} for line, n, written in told]
        out_json({**_head(file.path, thing), "settings": settings, "more": more})
        return exit_codes.ALL_RIGHT
    for line, name, written in found:
        first, *others = written.splitlines()
        out(f"{line:>5}  {name} = {first}", *(f"       {one}" for one in others))
    out(*(f"usual  {name} = {written}" for name, written in usual.items()))
    say(*([f"Not set: {', '.join(more)}."] if more else []))
    return exit_codes.ALL_RIGHT


def _head(path: Path, thing: Thing) -> dict[str, object]:
    return {"file": str(path), "what": thing.name, "sort": thing.sort}


def _tell(
    path: Path, thing: Thing, result: Proofread, kept: Path | None, options: argparse.Namespace
) -> None:
    """Print the lines that changed, and where the file before is."""
    new, warnings = result
    if options.json:
        changed = [
            {
                "line_before": one.old_line,
                "before": list(one.old),
                "line_after": one.new_line,
                "after": list(one.new),
            }
            for one in new.lines
        ]
        odd = [{"line": one.line, "words": one.sentence} for one in warnings]
        told = {"changed": changed, "warnings": odd, "saved": kept is not None}
        out_json({**_head(path, thing), **told, "kept": None if kept is None else str(kept)})
        return
    for one in new.lines:
        out(*(f"{number:>5} - {line}" for number, line in enumerate(one.old, one.old_line)))
        out(*(f"{number:>5} + {line}" for number, line in enumerate(one.new, one.new_line)))
    say(*(_warning(one) for one in warnings))
    if kept is not None:
        beside = kept.absolute().parent == path.absolute().parent  # not where the path is a link
        where = f"{kept.name}, beside it" if beside else str(kept)
        say(f"Saved: {path}; the file before is {where}.")
    elif new.lines:
        say("Nothing was changed: that is what --show asks for.")
    else:
        say("It says so already; nothing was changed.")


def _warning(problem: Problem) -> str:
    return f"line {problem.line}: warning: {problem.sentence}"
