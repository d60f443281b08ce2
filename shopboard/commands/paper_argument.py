"""Which paper a page is printed on."""

from __future__ import annotations

import argparse

from shopboard.reports.paper import PAPER_NAMES


def paper_argument(parser: argparse.ArgumentParser) -> None:
    """Declare the paper."""
    parser.add_argument(
        "--paper", choices=PAPER_NAMES, help="left out: letter for a shop in inches, else a4"
    )
