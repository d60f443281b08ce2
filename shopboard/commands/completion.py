"""What completes the commands in a shell, made from the parser by shtab, which is an extra."""

from __future__ import annotations

import argparse
from collections.abc import Iterator

from shopboard.commands.arguments import COMMANDS, build_parser
from shopboard.commands.errors import UsageError
from shopboard.commands.output import out
from shopboard.handbook.topics import TOPICS

SHELLS = ("bash", "zsh", "fish")

_POINTS = "shopboard points 2>/dev/null | cut -d' ' -f1"
_IDS = {
    "MACHINE": f"{_POINTS} | cut -d. -f1 | uniq",
    "MACHINE.POINT": _POINTS,
}
"""What lists the ids of the shop that is opened without --shop."""


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("shell", choices=SHELLS)
    parser.epilog = (
        "It needs shtab: in the folder of the program,"
        " .venv/bin/pip install '.[completion]'. Then for bash: shopboard completion bash >"
        " ~/.local/share/bash-completion/completions/shopboard; for zsh: a file _shopboard in a"
        " folder of $fpath; for fish: ~/.config/fish/completions/shopboard.fish."
    )


def run(options: argparse.Namespace) -> int:
    """Print the script.

    Raises:
        UsageError: when the library is not there.
    """
    try:
        import shtab
    except ImportError:
        raise UsageError(
            "completion needs shtab, which is not installed; .venv/bin/pip install"
            " '.[completion]' in the folder of the program gets it"
        ) from None
    parser = build_parser(whole=True)
    for action in _actions(parser):
        if "FILE" in str(action.metavar) or action.metavar in ("TO", "FROM"):
            action.complete = shtab.FILE  # type: ignore[attr-defined]
        elif action.dest == "topic":
            action.choices = [*TOPICS, *COMMANDS]
        elif action.metavar in _IDS:
            action.complete = shtab.cmd(_IDS[action.metavar])  # type: ignore[attr-defined]
    out(shtab.complete(parser, shell=options.shell))
    return 0


def _actions(parser: argparse.ArgumentParser) -> Iterator[argparse.Action]:
    """Give what a parser takes, and what each of its commands takes."""
    for action in parser._actions:  # noqa: SLF001 - argparse tells it nowhere else
        yield action
        if isinstance(action, argparse._SubParsersAction):  # noqa: SLF001
            for one in action.choices.values():
                yield from _actions(one)
