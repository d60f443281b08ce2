"""The options and commands as argparse knows them; a plain start of the board does without."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module
from types import ModuleType
from typing import NoReturn

from shopboard import __version__
from shopboard.base import exit_codes
from shopboard.base.text import harmless
from shopboard.base.unsaid import unsaid
from shopboard.commands.examples import EXAMPLES

COMMANDS = {
    "board": "open the board (this is what happens without a command)",
    "help": "the help by topic: first check, states, keys, your own shop, paper",
    "describe": "answer questions about your shop; they make its file",
    "demo": "open a shop with two years of made-up records, to look around in",
    "status": "how every machine stands",
    "check": "run one check as plain lines, or from a file of answers",
    "hand": "how well your own readings repeat; with a point: take ten of it",
    "points": "list the points that can be checked",
    "sheet": "the inspection sheet of a machine, to print and sign; or a blank one to fill in",
    "export": "results of a point, a machine or the whole shop as CSV",
    "history": "results of one point, newest first, and how it creeps or drifts",
    "withdraw": "withdraw a result, with a reason; it stays on record",
    "cutters": "where blades, knives and bits are, how sharp, what needs attention",
    "cutter": "record what was done with a cutter, such as sent out or changed",
    "happened": "record what happened to a machine: a blade changed, hours run, a note",
    "tasks": "list the tasks: what is due, what comes next",
    "done": "record that a task was done, or withdraw that",
    "prep": "the prep day: what is to be done when, before the next project",
    "cost": "what the last prep day and the last year cost and brought; intervals that are short",
    "tag": "tag a machine as not to be used, or clear its tag, with a reason",
    "walk": "the daily safety walk: what is seen in the shop and at the machines, as plain lines",
    "project": "what will be made: the gap of each joint, how true each point must be",
    "glueup": "before a glue-up: go, or hold and why; exit 1 for hold",
    "changes": "what changed between two days",
    "who": "the name of this bench, which all that is recorded here says",
    "clock": "compare the computer's clock with the journal",
    "work-out": "work out one reading; needs neither shop nor journal",
    "devices": "which phones and tablets may open the board in a browser; pair one, withdraw one",
    "edit": "change the shop file without an editor: a setting, an id, something new or gone",
    "proofread": "look through a shop file for problems",
    "explain": "what the settings of the shop file and the checks are; --schema for editors",
    "fields": "what the fields of --json mean, command by command",
    "verify": "look through the whole journal for damage",
    "backup": "copy the journal, verified; never with cp, which can catch half an entry",
    "restore": "put a copy in place of the journal, which is set aside",
    "move": "carry a whole journal over to another place, such as a server of several benches",
    "salvage": "make a new journal from what can be read of a broken one",
    "completion": "print what completes these commands in bash, zsh or fish",
    "serve": "the board in a browser: of this computer, or of phones and tablets that have paired",
    "man": "print the manual page, for man -l",
}

OLD_COMMANDS = {"void": "withdraw", "reckon": "work-out", "round": "walk"}
"""Commands by the names that they had before, which go on working."""


def command_module(name: str) -> ModuleType:
    """Import the file of a command."""
    return import_module(f"shopboard.commands.{name.replace('-', '_')}")


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line, with what was probably meant."""

    def error(self, message: str) -> NoReturn:
        self.exit(exit_codes.USAGE, f"shopboard: {unsaid(harmless(message))}\n")


_OWN_WHO = "sheet"
"""Its --who is the person who checked."""


def _shared(command: str = "") -> _Parser:
    """Give the options that every command knows."""
    shared = _Parser(add_help=False)
    shared.add_argument("--shop", metavar="FILE", default=argparse.SUPPRESS, help="the shop file")
    shared.add_argument(
        "--journal",
        metavar="PLACE",
        default=argparse.SUPPRESS,
        help="the journal: a file, or postgresql://HOST/DATABASE",
    )
    if command != _OWN_WHO:
        shared.add_argument(
            "--who",
            dest="bench",
            metavar="NAME",
            default=argparse.SUPPRESS,
            help="the name of this bench, for this time: what is recorded says it",
        )
    shared.add_argument(
        "--new-journal",
        action="store_true",
        default=argparse.SUPPRESS,
        help="begin a new journal where there is none",
    )
    return shared


def build_parser(*, whole: bool = False) -> argparse.ArgumentParser:
    """Put together the parser of the program, which names every command.

    Args:
        whole: with what each command takes, too, which imports them all.
    """
    shared = {name: _shared(name) for name in ("", _OWN_WHO)}
    parser = _Parser(
        prog="shopboard",
        description="Shows which machines of a one-person shop are true, and proves it.",
        epilog=EXAMPLES,
        formatter_class=argparse.RawDescriptionHelpFormatter,
        parents=[shared[""]],
    )
    parser.add_argument("--version", action="version", version=f"shopboard {__version__}")
    commands = parser.add_subparsers(dest="command", metavar="COMMAND", parser_class=_Parser)
    for name, help_text in COMMANDS.items():
        one = commands.add_parser(name, help=help_text, parents=[shared.get(name, shared[""])])
        if whole:
            command_module(name).arguments(one)
    return parser


def command_parser(name: str) -> argparse.ArgumentParser:
    """Put together the parser of one command."""
    words = COMMANDS[name]  # the first letter alone: capitalize() would write "html" for HTML
    old = [f" Also: shopboard {one}." for one, new in OLD_COMMANDS.items() if new == name]
    parser = _Parser(
        prog=f"shopboard {name}",
        description=f"{words[0].upper()}{words[1:]}.{''.join(old)}",
        parents=[_shared(name)],
    )
    command_module(name).arguments(parser)
    return parser


def parse(argv: Sequence[str]) -> argparse.Namespace:
    """Read the arguments; what is wrong with them ends the program with one line.

    Options may stand anywhere, between the values of a command as well.
    """
    values = {at + 1 for at, one in enumerate(argv) if one in ("--shop", "--journal", "--who")}
    places = (at for at, one in enumerate(argv) if at not in values and not one.startswith("-"))
    at = next(places, None)
    if at is not None and argv[at] not in COMMANDS and argv[at] not in OLD_COMMANDS:
        _refuse_command(argv[at])
    if {"-h", "--help", "--version"} & set(argv[:at]):
        return build_parser().parse_args(argv)
    word = "board" if at is None else OLD_COMMANDS.get(argv[at], argv[at])
    others = [_no_option(one) for place, one in enumerate(argv) if place != at]
    others, then = _with_command(others) if word == "demo" else (others, [])
    parser = command_parser(word)
    _refuse_empty(parser, others)
    options = parser.parse_intermixed_args(others)
    for name, value in vars(options).items():
        setattr(options, name, _as_typed(value))
    options.command, options.argv, options.then = word, list(argv), then
    options.journal = getattr(options, "journal", None)  # advice names it where it was named
    return options


def _with_command(words: list[str]) -> tuple[list[str], list[str]]:
    """Part the words of a command from those of another one that is named behind them."""
    values = {at + 1 for at, one in enumerate(words) if one in ("--to", "--seed", "--who")}
    commands = {*COMMANDS, *OLD_COMMANDS}
    named = (at for at, one in enumerate(words) if one in commands and at not in values)
    end = next(named, len(words))
    return words[:end], words[end:]


def _refuse_empty(parser: argparse.ArgumentParser, words: Sequence[str]) -> None:
    """Refuse an empty value: where a script lost a name, nothing else may be taken for it."""
    for at, word in enumerate(words):
        name, equals, value = word.partition("=") if word.startswith("--") else ("", "", word)
        if value == "--" and name:  # argparse would take it for nothing at all
            parser.error(f"{name} takes a value, not --")
        if value.strip() or (name and not equals):
            continue
        before = words[at - 1] if at else ""
        name = name or (before if before.startswith("--") else "")
        parser.error(f"{name or 'a value'} is empty; give one, or leave it out")


def _no_option(word: str) -> str:
    """Let a quantity below zero, such as ``-5thou/ft``, be read as a value and not as an option."""
    return f" {word}" if word[:1] == "-" and word[1:].lstrip(".")[:1].isdigit() else word


def _as_typed(value: object) -> object:
    """Give a value as it was typed, without the blank that kept it from being an option."""
    if isinstance(value, list):
        return [_as_typed(one) for one in value]
    return value[1:] if isinstance(value, str) and value.startswith(" -") else value


def _refuse_command(word: str) -> NoReturn:
    import difflib

    near = difflib.get_close_matches(word, COMMANDS, 1, 0.6)
    hint = f"did you mean {near[0]}?" if near else f"commands: {', '.join(COMMANDS)}"
    sys.stderr.write(f"shopboard: no command {unsaid(harmless(word))[:60]!r}; {hint}\n")
    raise SystemExit(exit_codes.USAGE)
