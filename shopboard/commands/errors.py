"""Every error that a command can end with, as words on stderr and an exit code."""

from __future__ import annotations

import os
import re
import shlex
import sys
import traceback
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING

from shopboard import __version__
from shopboard.base import exit_codes
from shopboard.base.server_place import BadPlaceError, ServerPlace, names_a_server
from shopboard.base.unsaid import unsaid
from shopboard.commands.output import say

if TYPE_CHECKING:
    from shopboard.shop.problems import ShopFileError


class UsageError(Exception):
    """Arguments that cannot be; one sentence a line."""


_ABOUT_A_JOURNAL = re.compile(
    r"`shopboard (restore(?: FROM)?|salvage|verify(?: --as-it-is)?|clock)`"
)


def to_the_letter(words: str, journal: str | None) -> str:
    """Let the commands in a piece of advice name the journal that was named with an option."""
    if not journal:
        return words
    if names_a_server(journal):
        try:
            journal = ServerPlace(journal).words  # never as typed: a password may stand in it
        except BadPlaceError:  # it was not what the command is about
            return words
    named = shlex.quote(journal)
    return _ABOUT_A_JOURNAL.sub(lambda found: f"`{found[0][1:-1]} --journal {named}`", words)


def explain(error: BaseException, journal: str | None = None) -> int:
    """Say what is wrong; give the exit code.

    Args:
        error: what stopped the command.
        journal: the journal's path as it was given with an option.
    """
    from shopboard.base.locations import NoFileNamedError
    from shopboard.base.who import BadNameError
    from shopboard.checks.job import NotPossibleError
    from shopboard.checks.steps import AnswerError
    from shopboard.journal import JournalError
    from shopboard.shop.problems import ShopFileError
    from shopboard.web.devices import DevicesError

    if isinstance(error, ShopFileError):
        _to_mend(error)
        return exit_codes.SHOP_FILE
    if isinstance(error, JournalError):
        say(f"shopboard: {error.title} {to_the_letter(error.advice, journal)}")
        return error.exit_code
    usage = UsageError | AnswerError | NotPossibleError | NoFileNamedError | BadNameError
    if isinstance(error, usage | BadPlaceError):
        say(*(f"shopboard: {line}" for line in str(error).splitlines()))
        return exit_codes.USAGE
    if isinstance(error, DevicesError):
        say(f"shopboard: {error}")
        return exit_codes.CANNOT_WRITE
    return _crash(error)


def _to_mend(error: ShopFileError) -> None:
    """Say each problem of a shop file, and how many there are."""
    from shopboard.shop.problems import render

    say(*(render(error.path, problem) for problem in error.problems))
    errors = [one for one in error.problems if one.severity == "error"] or error.problems
    files = {one.file for one in errors}
    where = min(files) if len(files) == 1 and min(files) else error.path
    if [one.missing for one in errors] == [True] and where == error.path:
        say("To begin one, `shopboard describe` asks what stands in your shop and writes it.")
        say("`--shop FILE` or SHOPBOARD_SHOP names another file.")
        return
    from shopboard.base.text import counted

    far = ", as far as it could be read" if any(one.unread for one in errors) else ""
    say(f"{counted(len(errors), 'error')} in {where}{far}; nothing was changed.")


def _crash(error: BaseException) -> int:
    """Keep the full report in a file for the owner alone; say where, and that nothing is lost."""
    from shopboard.base.locations import log_path
    from shopboard.base.private import make_folders

    path = log_path()
    try:
        make_folders(path.parent)
        with open(path, "w", encoding="utf-8", opener=_for_the_owner) as file:
            when = f"{datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC"
            file.write(f"{when}, shopboard {__version__}, Python {sys.version}, {sys.platform}\n")
            file.writelines(map(unsaid, traceback.format_exception(error)))
        where = f"the full report is in {path}."
    except (OSError, ValueError, MemoryError, RecursionError) as why:
        words = getattr(why, "strerror", None) or type(why).__name__
        where = f"the full report could not be written to {path}: {words}."
    say(
        f"shopboard: stopped by a fault of its own ({type(error).__name__}); {where}"
        " Everything that was recorded is still in the journal."
    )
    return exit_codes.CRASH


def _for_the_owner(name: str, flags: int) -> int:
    """Open a file that nobody else may read, one from before, too."""
    file = os.open(name, flags | getattr(os, "O_NOFOLLOW", 0), 0o600)
    Path(name).chmod(0o600)
    return file
