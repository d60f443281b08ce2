"""Checks to fill in by pencil as plain lines, for any printer; nothing is cut."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator

from shopboard.base.dates import day
from shopboard.base.text import harmless
from shopboard.reports.blank_check import BlankCheck, BlankStep
from shopboard.reports.blank_html import NOT_ABOUT_SAFETY, BlankSheet, choices

_WIDE = 78
_LINE = "_" * 10


def blank_text(sheet: BlankSheet) -> Iterator[str]:
    """Write the sheet in lines of 78 columns."""
    yield f"TO FILL IN: {harmless(sheet.machine)}"
    yield f"{harmless(sheet.shop)}, printed {day(sheet.printed)}"
    yield f"Checked by {'_' * 25} on {'_' * 15}"
    if sheet.out_of_use:
        yield from _wrapped(f"!! DO NOT USE: {sheet.out_of_use}", 0)
    if not sheet.checks:
        yield from ("", "No points to check.")
    for one in sheet.checks:
        yield from ("", "=" * _WIDE)
        yield from _check(one)
    yield ""
    yield from _wrapped(NOT_ABOUT_SAFETY, 0)


def _check(one: BlankCheck) -> Iterator[str]:
    """Write a point: cautions first, then steps, sums, what to turn, and the end."""
    yield from _wrapped(f"{one.name} ({one.full_name})", 0)
    tools = f" Takes: {one.tools}." if one.tools else ""
    yield from _wrapped(f"{one.method}. Tolerance: {one.tolerance}.{tools}", 0)
    if one.cannot:
        yield from _wrapped(one.cannot, 0)
        return
    yield from _cautions(step for step in one.steps if step.is_caution)
    others = (step for step in one.steps if not step.is_caution)
    for number, step in enumerate(others, 1):
        yield from _step(f"{number:>2}. ", step)
    yield ""
    yield from (line for words in one.sums for line in _wrapped(words, 0))
    if one.has_result:
        yield f"Error as found {_LINE}   as left {_LINE}"
    if one.correction or one.turning:
        yield from _correction(one)
    for step in one.close:
        yield from _step("[ ] ", step)


def _correction(one: BlankCheck) -> Iterator[str]:
    """Write what to turn how far, between its cautions and its steps."""
    yield from ("", "If it is out:")
    yield from _cautions(step for step in one.correction if step.is_caution)
    yield from (line for words in one.turning for line in _wrapped(words, 4))
    for step in one.correction:
        yield from () if step.is_caution else _step("[ ] ", step)
    yield "Then read again: the blanks as left."


def _cautions(steps: Iterable[BlankStep]) -> Iterator[str]:
    for step in steps:
        ticks = " ".join(f"[ ] {one}" for one in step.ticks)
        yield from _wrapped(f"!! {step.title} {' '.join(step.lines)} {ticks}", 0)


def _step(lead: str, step: BlankStep) -> Iterator[str]:
    if_so = "If it applies: " if step.if_asked else ""
    words = f"{if_so}{step.title} {' '.join((*step.lines, choices(step)))}"
    first, *rest = _wrapped(words, 4)
    yield lead + first[4:]
    yield from rest
    blanks = step.blanks or ((("", ""),) if step.ticks else ())
    for before, unit in blanks:
        yield f"    {before:<6}found {_LINE} {unit:<3}  left {_LINE} {unit}".rstrip()


def _wrapped(words: str, indent: int) -> list[str]:
    blank = " " * indent
    return textwrap.wrap(
        harmless(words),
        _WIDE,
        initial_indent=blank,
        subsequent_indent=blank,
        break_on_hyphens=False,
    )
