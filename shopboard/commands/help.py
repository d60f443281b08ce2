"""The help by topic, the same that `?` shows on the board; or what a command takes."""

from __future__ import annotations

import argparse
import shutil

from shopboard.commands.arguments import COMMANDS, OLD_COMMANDS, command_parser
from shopboard.commands.output import out
from shopboard.commands.shared import no_such
from shopboard.handbook.topics import TOPICS, title_of, topic_lines

_WIDE, _NARROW = 80, 40


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("topic", metavar="TOPIC", nargs="?", help="left out: the topics are listed")


def run(options: argparse.Namespace) -> int:
    """List the topics, or print one."""
    topic = options.topic
    if topic in TOPICS:
        from shopboard.board.help_tables import help_tables

        width = max(_NARROW, min(_WIDE, shutil.get_terminal_size().columns))
        out(title_of(topic), "")
        for line in topic_lines(topic, help_tables(), width):
            out("".join(text for text, _ in line).rstrip())
    elif (command := OLD_COMMANDS.get(topic, topic)) in COMMANDS:
        out(command_parser(command).format_help().rstrip())
    elif topic is not None:
        raise no_such("topic or command", topic, [*TOPICS, *COMMANDS])
    else:
        out("shopboard help TOPIC", *(f"  {one:<12} {title_of(one)}" for one in TOPICS))
        out("What a command takes: shopboard help COMMAND. All commands: shopboard --help")
    return 0
