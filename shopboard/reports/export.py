"""Every result as a row of a table, for spreadsheets and scripts (CSV by RFC 4180).

Units stand in the headings; values are given in the shop's unit and in SI units.
A cell of text that a spreadsheet would take for a formula gets an apostrophe in front.
"""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime

from shopboard.base.text import harmless
from shopboard.metrology.kind import YES_NO_WORDS, Kind, measure
from shopboard.metrology.quantity import Unit
from shopboard.reports.shop_units import MEASURED, in_shop_unit, in_si, shop_unit, si_unit
from shopboard.reports.tools_used import tools_used
from shopboard.results.record import CheckRecord
from shopboard.shop.model import Shop

_BEFORE = (
    "result",
    "recorded [UTC]",
    "recorded [local]",
    "clock was right",
    "machine",
    "machine name",
    "point",
    "point name",
    "run",
    "method",
    "kind",
)
_AFTER = (
    "said",
    "k",
    "tolerance then",
    "verdict",
    "direction",
    "tools",
    "note",
    "void",
    "why void",
    "readings [JSON in whole nm nrad Pa us]",
    "noted since",
    "by",
)

_FORMULA = ("=", "+", "-", "@")
"""What a spreadsheet reads a formula from, once it has dropped spaces."""

_WIDE_FORMULA = ("\uff1d", "\uff0b", "\uff0d", "\uff20")
"""The same in full width, which some spreadsheets take for them."""


def headings(unit: Unit) -> tuple[str, ...]:
    """Give the headings; a value has its own columns for each unit that it can have."""
    return (*_BEFORE, *(name for kind in MEASURED for name in _value_headings(kind, unit)), *_AFTER)


def _units(kind: Kind, unit: Unit) -> tuple[str, str]:
    return shop_unit(kind, unit), si_unit(kind)


def _value_headings(kind: Kind, unit: Unit) -> Iterator[str]:
    for symbol in dict.fromkeys(_units(kind, unit)):
        yield f"{kind} error [{symbol}]"
        yield f"{kind} U 95 % [{symbol}]"


def row(record: CheckRecord, shop: Shop) -> tuple[str, ...]:
    """Give the cells of one result, in the order of the headings."""
    machine = shop.machines_by_id.get(record.machine)
    point = shop.points.get(f"{record.machine}.{record.point}")
    before = (
        _text(record.uid),
        _time(record.when.astimezone(UTC)),
        _time(record.when.astimezone()),
        _yes(record.clock_ok),
        _text(record.machine),
        _text(machine.name if machine else ""),
        _text(record.point),
        _text(point.name if point else ""),
        _text(record.run),
        _text(record.method),
        record.kind,
    )
    after = (
        measure(record.error, record.kind, shop.unit) if record.kind in YES_NO_WORDS else "",
        _number(record.k) if record.k else "",
        _text(record.tolerance if record.kind not in YES_NO_WORDS else ""),
        _text(record.verdict),
        _text(record.lean),
        _text(", ".join(tools_used(record))),
        _text(record.note),
        _yes(record.void is not None),
        _text(record.void or ""),
        _text(json.dumps(dict(record.readings), ensure_ascii=False, sort_keys=True)),
        _text(record.remark),
        _text(record.by),
    )
    values = (value for kind in MEASURED for value in _values(record, kind, shop.unit))
    return (*before, *values, *after)


def _values(record: CheckRecord, kind: Kind, unit: Unit) -> Iterator[str]:
    """Give error and uncertainty in the shop's unit and in SI; empty under another kind."""
    local, general = _units(kind, unit)
    for symbol in dict.fromkeys((local, general)):
        for value in (record.error, record.expanded):
            if record.kind != kind:
                yield ""
            elif symbol == general:
                yield _number(in_si(value, kind))
            else:
                yield _number(in_shop_unit(value, kind, unit))


def _number(value: float) -> str:
    """Write a number with more digits than any record keeps, and no more."""
    return f"{value:.12g}"


def _time(when: datetime) -> str:
    """Write a time by ISO 8601, with its offset, to the second."""
    return when.isoformat(timespec="seconds").replace("+00:00", "Z")


def _yes(said: bool) -> str:
    return "yes" if said else "no"


def _text(text: str) -> str:
    """Make text fit for a cell: nothing invisible, nothing that a spreadsheet would work out."""
    fit = harmless(text)
    return f"'{fit}" if fit.lstrip().startswith((*_FORMULA, *_WIDE_FORMULA)) else fit


def csv_lines(records: Iterable[CheckRecord], shop: Shop) -> Iterator[str]:
    """Give the table line by line, each with its line end, the headings first."""
    yield _line(headings(shop.unit))
    for record in records:
        yield _line(row(record, shop))


def _line(cells: Iterable[str]) -> str:
    text = io.StringIO()
    csv.writer(text).writerow(cells)
    return text.getvalue()
