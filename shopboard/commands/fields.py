"""Describe the fields of the JSON that the commands give."""

from __future__ import annotations

import argparse

from shopboard.commands.arguments import COMMANDS, OLD_COMMANDS, command_module
from shopboard.commands.json_fields import FIELDS
from shopboard.commands.json_parts import FieldWords
from shopboard.commands.output import SCHEMA, out
from shopboard.commands.shared import no_such

_HEAD = f"""\
Every JSON object begins with schema, {SCHEMA} today: it grows when a field goes or comes to mean
something else; fields may be added at any time. Times are ISO 8601 in this computer's zone, shares
and probabilities 0 to 1. What is not known is null.
  []    each of a list
  UNIT  a value in every unit that it is spoken of in: deg, dms, thou_per_ft, mm_per_m for an
        angle; in, thou, mm for a length; psi, MPa; lbf, N; s; ft_per_min, m_per_s and so on
  *     names that differ from case to case
  ( )   the fields that stand there"""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("about", metavar="COMMAND", nargs="?", help="one command alone")


def all_fields() -> dict[str, FieldWords]:
    """Give every field by command: those of `json_fields`, then what a command's own file says."""
    modules = map(command_module, COMMANDS)
    own = {name: each for one in modules for name, each in getattr(one, "FIELDS", {}).items()}
    return {**FIELDS, **own}


def run(options: argparse.Namespace) -> int:
    """Print the page, or the part of it that is about one command."""
    every = all_fields()
    commands = dict.fromkeys(name.split()[0] for name in every)
    about = OLD_COMMANDS.get(options.about, options.about)
    if about not in (None, *commands):
        raise no_such("command with --json", about, commands)
    out(*_HEAD.split("\n"))
    for name, fields in every.items():
        if about in (None, name.split()[0]):
            width = max(map(len, fields))
            out("", name, *(f"  {path:<{width}}  {words}" for path, words in fields.items()))
    return 0
