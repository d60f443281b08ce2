"""The picture of a point through the years as plain lines, as wide as the terminal."""

from __future__ import annotations

import shutil
import sys

from shopboard.commands.output import is_utf8, out, say
from shopboard.commands.shared import point_named
from shopboard.open_shop import OpenShop
from shopboard.reports.plot import LARGEST, SMALLEST, plot_lines
from shopboard.reports.plot_scene import Span
from shopboard.reports.trace import gather_trace

_PIPED = (80, 24)
"""Columns and rows where there is no terminal."""

_BELOW = 2
"""Rows left for the name above and the next prompt below."""


def print_plot(open_shop: OpenShop, full_name: str, span: Span, *, plain: bool = False) -> int:
    """Print it.

    Args:
        open_shop: shop and journal.
        full_name: the point, in the shop file or not.
        span: how much of the time.
        plain: with ASCII alone; done without asking where stdout can write no more.

    Raises:
        UsageError: when there is no such point, and no result of one.
        JournalError: when the journal cannot be read.
    """
    trace = gather_trace(open_shop.shop, full_name, open_shop.journal)
    point = open_shop.shop.points.get(full_name)
    if not trace.records and not trace.other_kinds:
        point_named(open_shop.shop, full_name)  # a point of the past has results, or is none
        say("No result yet.")
        return 0
    columns, rows = _size()
    lines = plot_lines(
        trace,
        open_shop.shop.unit,
        open_shop.now(),
        (columns, rows),
        span,
        plain=plain or not is_utf8(),
    )
    machine, _, ident = full_name.partition(".")
    if point is not None:
        machine, ident = open_shop.shop.machines_by_id[point.machine].name, point.name
    title = f" {machine}: {ident}"
    out(title.encode("ascii", "replace").decode() if plain else title)
    out(*("".join(text for text, _ in line).rstrip() for line in lines))
    return 0


def _size() -> tuple[int, int]:
    """Give the columns and rows to fill."""
    columns, rows = _PIPED
    if sys.stdout.isatty():
        columns, rows = shutil.get_terminal_size(_PIPED)
    return (
        min(max(columns, SMALLEST[0]), LARGEST[0]),
        min(max(rows - _BELOW, SMALLEST[1]), LARGEST[1]),
    )
