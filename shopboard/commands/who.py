"""The name of this bench: said, given, taken away."""

from __future__ import annotations

import argparse

from shopboard.base import exit_codes
from shopboard.base.who import WHO_VARIABLE, keep_name, kept_name, name_typed, who_is_here
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out, say


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument(
        "name",
        metavar="NAME",
        nargs="*",
        default=[],
        help="the name from now on, such as bench 2; left out: what it is",
    )
    parser.add_argument("--none", action="store_true", help="from now on it has no name")
    parser.epilog = (
        f"One bench alone needs none. --who NAME names it for one command, {WHO_VARIABLE} for"
        " what is started in that environment. `shopboard help people` tells the rest."
    )


def run(options: argparse.Namespace) -> int:
    """Give this bench a name, take it away, or say it."""
    name = " ".join(options.name)
    if options.none and name:
        raise UsageError("either a name or --none, not both")
    if not options.none and not name:
        _say(getattr(options, "bench", None))
        return exit_codes.ALL_RIGHT
    try:
        keep_name(name_typed(name) if name else "")
    except OSError as error:
        say(f"shopboard: the name cannot be kept on this computer: {error.strerror or error}.")
        return exit_codes.CANNOT_WRITE
    say(f"This bench is {kept_name()} from now on." if name else "This bench has no name now.")
    _say_what_comes_before()
    return exit_codes.ALL_RIGHT


def _say(option: str | None) -> None:
    """Print the name; say so where there is none."""
    name = who_is_here(option)
    if name:
        out(name)
    else:
        say("This bench has no name. `shopboard who NAME` gives it one.")


def _say_what_comes_before() -> None:
    here = who_is_here()
    if here != kept_name():
        say(f"As long as {WHO_VARIABLE} is set in the environment, it is {here}.")
