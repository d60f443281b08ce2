"""The options and commands as argparse knows them; a plain start of the board does without."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

from shopboard import __version__, exit_codes
from shopboard.text import harmless

_EXAMPLES = """\
examples:
  shopboard                                  open the board on your shop file
  shopboard --shop sample_shop.toml          open it on another one
  shopboard status                           how every machine stands, one a line
  shopboard status --json --exit-code        the same for scripts; exit 1 when not all is true
  shopboard check saw.blade               run one check as plain lines
  shopboard check saw.blade --answers answers.toml --json
  shopboard happened saw "hours run" 2.5h    count its use; `happened saw knocked` undoes checks
  shopboard done saw.wax-table               mark a task as done
  shopboard reckon square goes=0.012in refused=0.015in lever=6in light=top tolerance=0.1deg
  shopboard reckon angle 5thou/ft            one angle in every unit
  shopboard proofread my_shop.toml           every problem of a shop file, with its place

environment:
  SHOPBOARD_SHOP, SHOPBOARD_JOURNAL          used where --shop, --journal are not given
  NO_COLOR                                   no colours on the board; plain output has none

exit codes:
  0 all right   1 something is not true (status --exit-code)   2 usage   3 shop file bad
  4 journal damaged or newer   5 locked   6 cannot write
"""

COMMANDS = {
    "board": "open the board (this is what happens without a command)",
    "status": "how every machine stands",
    "check": "run one check as plain lines, or from a file of answers",
    "points": "list the points that can be checked",
    "history": "results of one point, newest first",
    "void": "take back a result, with a reason; it stays on record",
    "happened": "record what happened to a machine: a changed blade, hours run, a note",
    "tasks": "list the tasks: what is due, what comes next",
    "done": "record that a task was done, or take that back",
    "reckon": "work out one reading; needs neither shop nor journal",
    "proofread": "look through a shop file for problems",
    "verify": "look through the whole journal for damage",
}


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, with what was probably meant."""

    def error(self, message: str) -> NoReturn:
        self.exit(exit_codes.USAGE, f"shopboard: {harmless(message)}\n")


def build_parser(wanted: str = "") -> argparse.ArgumentParser:
    """Put together the parser of one command, or of all their names when none is wanted."""
    shared = _Parser(add_help=False)
    shared.add_argument("--shop", metavar="FILE", default=argparse.SUPPRESS, help="the shop file")
    shared.add_argument("--journal", metavar="FILE", default=argparse.SUPPRESS, help="the journal")
    parser = _Parser(
        prog="shopboard",
        description="Shows which machines of a one-person shop are true, and proves it.",
        epilog=_EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        parents=[shared],
    )
    parser.add_argument("--version", action="version", version=f"shopboard {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for name in [wanted] if wanted else COMMANDS:
        help_text = COMMANDS[name]
        command = commands.add_parser(
            name, help=help_text, description=help_text.capitalize() + ".", parents=[shared]
        )
        if wanted:
            import_module(f"shopboard.commands.{name}").arguments(command)
    return parser


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """Read the arguments; what is wrong with them ends the program with one line."""
    values = {at + 1 for at, one in enumerate(argv) if one in ("--shop", "--journal")}
    words = (one for at, one in enumerate(argv) if at not in values and not one.startswith("-"))
    word = next(words, None)
    if word is None and not {"-h", "--help", "--version"} & set(argv):
        word = "board"
        argv = [word, *argv]
    elif word is not None and word not in COMMANDS:
        _refuse_command(word)
    return build_parser(word or "").parse_args(argv)


def _refuse_command(word: str) -> NoReturn:
    import difflib

    near = difflib.get_close_matches(word, COMMANDS, 1, 0.6)
    hint = f"did you mean {near[0]}?" if near else f"commands: {', '.join(COMMANDS)}"
    sys.stderr.write(f"shopboard: no command {harmless(word)[:60]!r}; {hint}\n")
    raise SystemExit(exit_codes.USAGE)
