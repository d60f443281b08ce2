"""What an inspection sheet says of each point and of itself, cell by cell, in words."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from shopboard.base.state_words import state_word
from shopboard.base.who import by_words
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import percent
from shopboard.reports.sheet import SheetRow
from shopboard.reports.shop_units import bare, shop_unit
from shopboard.reports.tools_used import tools_used
from shopboard.results.record import CheckRecord


def row_cells(row: SheetRow, unit: Unit) -> list[tuple[str, ...]]:
    """Give the texts of a point, those of a cell one below the other."""
    point, newest = row.standing.point, row.newest
    is_said = point.tolerance.kind in YES_NO_WORDS
    tolerance = "none, by looking" if is_said else point.tolerance.words(unit)
    cells = [
        (point.name, newest.method if newest else ", ".join(point.checks)),
        (", ".join(tools_used(newest)) if newest else "",),
        (tolerance,),
        value_words(row.found, unit),
        value_words(row.left, unit),
        verdict_words(newest) if newest else ("no result",),
        _when(newest) if newest else ("",),
        today_words(row),
    ]
    return [tuple(filter(None, one)) or ("–",) for one in cells]


def value_words(record: CheckRecord | None, unit: Unit) -> tuple[str, ...]:
    """Write a result with its uncertainty and k, and who found it; the unit stands once."""
    if record is None:
        return ("",)
    known = " ± ".join(filter(None, bare(record, unit)))
    by = by_words(record.by)
    if record.kind in YES_NO_WORDS:
        return known, by
    written = f"{known} {shop_unit(record.kind, unit)}"
    return written, f"k = {record.k:.2f}, {state_word(record.verdict)}", by


def verdict_words(record: CheckRecord) -> tuple[str, ...]:
    """Say how it was found that day, which way off, and what was noted."""
    words = f"note: {record.remark}; {record.lean}" if record.remark else record.lean
    return state_word(record.verdict), words


def today_words(row: SheetRow) -> tuple[str, str]:
    """Say how the point stands today, and what happened since its newest result."""
    words = []
    if row.since:
        newest = row.since[0]
        more = f" and {len(row.since) - 1} more" if len(row.since) > 1 else ""
        said = f", recorded {short_day(newest.when)}" if newest.on is not None else ""
        words.append(f"{newest.what} {short_day(newest.on or newest.when)}{said}{more}")
    if not any(one.undoes for one in row.since) and row.standing.reason:
        words.append(row.standing.reason)
    return state_word(row.standing.state), "; ".join(words)


def decided_words(decided: Sequence[str]) -> str:
    """Tell the newest decision to glue up on hold, and how many there are more."""
    more = f" And {len(decided) - 1} more." if len(decided) > 1 else ""
    return f"The owner's decision: {decided[0]}.{more}" if decided else ""


def legend(level: float) -> str:
    """Say what the signs of the sheet mean, and what it does not speak of."""
    return (
        "± U is the expanded uncertainty at 95 %, k its coverage factor. True is proven within the"
        f" tolerance at {percent(level)}, out is proven outside it, {state_word('near')} is too"
        " close to call; the verdict is that of the day; a time with ? is of a wrong clock. This"
        " sheet speaks of accuracy, never of safety: the maker's manual, local codes and licensed"
        " practice come first."
    )


def _when(record: CheckRecord) -> tuple[str, str]:
    doubt = "" if record.clock_ok else " ?"
    return short_day(record.when), f"{record.when.astimezone():%H:%M}{doubt}"


def short_day(when: datetime) -> str:
    """Write a local day: ``3 Nov 2026``."""
    local = when.astimezone()
    return f"{local.day} {local:%b} {local.year}"
