"""Open a shop with two years of records that were made up on the spot, to look round in."""

from __future__ import annotations

import argparse
from datetime import UTC, datetime

from shopboard.base import exit_codes
from shopboard.base.locations import demo_folder, file_named
from shopboard.commands.errors import UsageError
from shopboard.commands.output import say

_EPILOG = """\
examples:
  shopboard demo                             the board on it
  shopboard demo status                      any other command on it, with its words after it
  shopboard demo history saw.fence-line --plot
  shopboard demo --fresh --seed 7            other records

Shop file and records are in a folder of their own; yours are not touched. They end today, so they
are made anew when they are more than three days old. What you record there goes with them.
"""

_ITS_OWN = ("--shop", "--journal", "--new-journal")


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.formatter_class = argparse.RawDescriptionHelpFormatter
    parser.epilog = _EPILOG
    parser.usage = "shopboard demo [-h] [--fresh] [--seed N] [--to FOLDER] [COMMAND ...]"
    parser.add_argument("--fresh", action="store_true", help="make it again")
    parser.add_argument("--seed", metavar="N", type=_seed, help="seed of the random numbers")
    parser.add_argument("--to", metavar="FOLDER", help="a folder of its own to put it in")


def _seed(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 9):
        raise argparse.ArgumentTypeError("a whole number from 0 to 999999999")
    return int(typed)


def run(options: argparse.Namespace) -> int:
    """Make the demo where none is that will do, and open the board or run a command on it."""
    from shopboard.demo.folder import FolderError, demo_in

    given = [one.partition("=")[0] for one in options.argv if one.startswith(_ITS_OWN)]
    if given:
        raise UsageError(f"{given[0]} does not go with demo: it has a shop and records of its own")
    folder = (
        demo_folder()
        if options.to is None
        else file_named(options.to, "--to names a folder").absolute()
    )
    try:
        files = demo_in(folder, datetime.now(UTC), say, seed=options.seed, fresh=options.fresh)
    except FolderError as error:
        raise UsageError(str(error)) from None
    except OSError as error:
        say(f"shopboard: the demo cannot be made in {folder}: {error.strerror or error}.")
        return exit_codes.CANNOT_WRITE
    from shopboard.commands.arguments import command_module, parse

    who = ("--who", options.bench) if "bench" in options else ()
    then = parse([*options.then, *who, "--shop", str(files.shop), "--journal", str(files.journal)])
    if then.command == "demo":
        raise UsageError("demo demo: once is enough")
    code: int = command_module(then.command).run(then)
    return code
