"""A point through the years as a picture of letters. Pure: a trace and a size in, lines out.

Errors stand with their expanded uncertainty over a true axis of time; what lies
outside today's tolerance is shaded. Where several results share a column, the
column shows the lowest and the highest of them and how far their uncertainty
reaches, never a mean.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from textwrap import wrap

from shopboard.base.painted import Line
from shopboard.base.state_words import state_word
from shopboard.base.text import harmless
from shopboard.metrology.quantity import Unit
from shopboard.reports import plot_marks as marks
from shopboard.reports.plot_grid import Grid
from shopboard.reports.plot_marks import Sign, as_ascii, cells, wrapped
from shopboard.reports.plot_scene import Scene, Span, scene_of
from shopboard.reports.shop_units import bare, shop_unit
from shopboard.reports.trace import Trace
from shopboard.results.record import CheckRecord

SMALLEST = (40, 8)
LARGEST = (200, 60)

_FEWEST_ROWS = 4
_MOST_LETTERS = 9
_LONGEST_NAME = 30


def plot_lines(
    trace: Trace,
    unit: Unit,
    now: datetime,
    size: tuple[int, int],
    span: Span = "all",
    *,
    plain: bool = False,
) -> list[Line]:
    """Draw a point through the years.

    Args:
        trace: the point's results, settings and happenings.
        unit: the shop's unit.
        now: the time; the right end, unless something is recorded after it.
        size: columns and rows, taken as 40 to 200 and 8 to 60.
        span: how much of the time is shown, counted back from the right end.
        plain: draw with ASCII alone.

    Returns:
        As many lines as there are rows, none wider than the columns.
    """
    width, height = (
        min(max(given, least), most)
        for given, least, most in zip(size, SMALLEST, LARGEST, strict=True)
    )
    scene = scene_of(trace, unit, now, span)
    spare = height - 3 - _FEWEST_ROWS
    told = wrap("; ".join(scene.notes), width - 1)[:spare]
    strips = bool(scene.jumps) + bool(scene.events)
    if strips > spare - len(told):  # a window of eight rows: what was done gives way
        scene, strips = scene._replace(jumps=(), events=()), 0
    letters = _letters(scene)
    signs = _signs(scene, letters)
    rows, most = height - 3 - strips - len(told), min(spare - strips - len(told), height // 5)
    for _ in range(2):  # the second time with the rows that signs which are not drawn set free
        legend = wrapped(signs, width, most)
        grid = Grid(scene, shop_unit(scene.kind, unit), width, rows - len(legend))
        drawn = grid.signs(letters).union(letters.values())
        signs, most = [one for one in signs if one.mark in drawn], len(legend)
    lines = [
        _header(trace, scene, unit, width, plain=plain),
        *grid.lines(letters),
        *legend,
        *(((f" {words}", "dim"),) for words in told),
    ]
    return [as_ascii(line) for line in lines] if plain else lines


def _header(trace: Trace, scene: Scene, unit: Unit, width: int, *, plain: bool) -> Line:
    """Write unit, time and tolerance above the plot, as far as there is room."""
    symbol = shop_unit(scene.kind, unit)
    line: Line = (
        (f" {symbol}  " if symbol else " ", "bold"),
        (f"{_day(scene.start)} to {_day(scene.end)}", ""),
    )
    if trace.tolerance is not None and scene.limits is not None:
        line += ((f"   tolerance {harmless(trace.tolerance.words(unit))}", ""),)
    if symbol and scene.dots:
        line += ((f"   last {_last(scene.dots[-1].record, unit)}", "bold"),)
    line = as_ascii(line) if plain else line
    while len(line) > 1 and sum(cells(text) for text, _ in line) > width:
        line = line[:-1]
    return line


def _last(record: CheckRecord, unit: Unit) -> str:
    """Write the newest result shown, in the unit that stands at the left."""
    known = " ± ".join(filter(None, bare(record, unit)))
    return f"{known}, {harmless(state_word(record.verdict))}"


def _day(when: datetime) -> str:
    local = when.astimezone()
    return f"{local.day} {local:%b} {local.year}"


def _signs(scene: Scene, letters: Mapping[str, str]) -> list[Sign]:
    """Give every sign that this plot may use, with its words, the first the most needed."""
    undoing = {event.what for _, event in scene.events if event.undoes}
    found = [
        Sign(mark, "due" if what in undoing else "bold", harmless(what)[:_LONGEST_NAME])
        for what, mark in letters.items()
    ]
    return [
        *found,
        *(
            Sign(mark, verdict, state_word(verdict))
            for verdict, mark in marks.VERDICT_MARKS.items()
        ),
        Sign(marks.UNREADABLE, "", "verdict unknown"),
        Sign(marks.UNMEASURED, "bold", "set, not measured since"),
        Sign(marks.BAR, "", "U, 95 %"),
        Sign(marks.SET, "bold", "set: as found to as left"),
        Sign(marks.RANGE, "", "from lowest to highest"),
        Sign(marks.VOID, "dim", "withdrawn"),
        *([Sign(marks.SEVERAL, "bold", "several")] if len(scene.events + scene.jumps) > 1 else []),
        Sign(marks.OUTSIDE, "dim", "out of tolerance"),
    ]


def _letters(scene: Scene) -> dict[str, str]:
    """Give each sort of happening a letter, in the order in which they first happened."""
    sorts = list(dict.fromkeys(event.what for _, event in scene.events))
    return {what: chr(ord("A") + at) for at, what in enumerate(sorts[:_MOST_LETTERS])}
