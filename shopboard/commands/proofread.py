"""Look through a shop file: every problem with its place; exit 0 when there is none, 3 else."""

from __future__ import annotations

import argparse
from pathlib import Path

from shopboard import exit_codes
from shopboard.checks.registry import facts, names
from shopboard.commands.output import say
from shopboard.locations import shop_path
from shopboard.shop.problems import render
from shopboard.shop.reader import read_shop


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options."""
    parser.add_argument("file", metavar="FILE", nargs="?", help="default: your shop file")


def run(options: argparse.Namespace) -> int:
    """Read the file; a bad one raises and is explained with all its problems."""
    path = Path(options.file) if options.file else shop_path(getattr(options, "shop", None))
    loaded = read_shop(path, names(), facts())
    say(*(render(str(path), warning) for warning in loaded.warnings))
    shop = loaded.shop
    say(f"{path} is all right: {len(shop.machines)} machines, {len(shop.points)} points.")
    return exit_codes.ALL_RIGHT
