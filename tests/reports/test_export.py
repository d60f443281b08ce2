"""The table of results: every number as it was recorded, nothing that a spreadsheet works out."""

from __future__ import annotations

import csv
import io
import json
import math
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.journal import Entry
from shopboard.metrology.kind import in_units
from shopboard.metrology.quantity import Unit
from shopboard.reports.export import csv_lines, headings
from shopboard.reports.shop_units import MEASURED, in_shop_unit
from shopboard.results.record import CheckRecord, read_check
from tests.builders import make_point, make_shop
from tests.reports.story import body

SHOP = make_shop(make_point("saw.blade"))
WHEN = datetime(2026, 6, 1, 8, 30, 15, 123456, tzinfo=UTC)

SMALL_UNITS = {"angle": "nrad", "length": "nm", "stress": "Pa", "time": "us"}

TO_SHOP: dict[tuple[str, str], tuple[str, Callable[[int], float]]] = {
    ("angle", "inch"): ("thou/ft", lambda n: math.tan(n / 1e9) * 12000),
    ("angle", "mm"): ("mm/m", lambda n: math.tan(n / 1e9) * 1000),
    ("length", "inch"): ("thou", lambda n: n / 25400),
    ("length", "mm"): ("mm", lambda n: n / 1e6),
    ("stress", "inch"): ("psi", lambda n: n / 6894.757293),
    ("stress", "mm"): ("MPa", lambda n: n / 1e6),
    ("time", "inch"): ("s", lambda n: n / 1e6),
    ("time", "mm"): ("s", lambda n: n / 1e6),
}
"""From the whole numbers of the journal: 1 in = 25.4 mm exactly; 1 psi by NIST SP 811."""

TO_SI = {
    "angle": ("rad", 1e9),
    "length": ("m", 1e9),
    "stress": ("Pa", 1.0),
    "time": ("s", 1e6),
}


def entry(seq: int = 1, void: str | None = None, point: str = "blade", **told: Any) -> CheckRecord:
    made = body(told.pop("error", 1_000_000), told.pop("expanded", 200_000), **told)
    return read_check(
        Entry(seq, f"v{seq}-2", WHEN, "check", "saw", point, f"v{seq}", made, void, True)
    )


def table(records: Sequence[CheckRecord], unit: Unit = "inch") -> list[dict[str, str]]:
    text = "".join(csv_lines(records, replace(SHOP, unit=unit)))
    return list(csv.DictReader(io.StringIO(text, newline=""), strict=True))


@given(
    st.sampled_from(sorted(SMALL_UNITS)),
    st.integers(-(10**9), 10**9),
    st.integers(0, 10**8),
    st.sampled_from(["inch", "mm"]),
)
@settings(deadline=None)
def test_values_are_those_of_the_journal_in_both_units(
    kind: str, error: int, expanded: int, unit: Unit
) -> None:
    """Worked out here from the recorded whole numbers; columns of other kinds are empty."""
    record = entry(kind=kind, unit=SMALL_UNITS[kind], error=error, expanded=expanded)
    (row,) = table([record], unit)
    symbol, convert = TO_SHOP[kind, unit]
    si, per = TO_SI[kind]
    for name, number in (("error", error), ("U 95 %", expanded)):
        assert float(row[f"{kind} {name} [{symbol}]"]) == pytest.approx(convert(number), rel=1e-9)
        assert float(row[f"{kind} {name} [{si}]"]) == pytest.approx(number / per, rel=1e-11)
    filled = {name for name, cell in row.items() if cell and ("error [" in name or "U 95" in name)}
    assert {name.split()[0] for name in filled} == {kind}


def test_times_are_iso_8601_in_utc_and_local() -> None:
    (row,) = table([entry()])
    assert row["recorded [UTC]"] == "2026-06-01T08:30:15Z"
    local = datetime.fromisoformat(row["recorded [local]"])
    assert local == WHEN.replace(microsecond=0)
    assert local.utcoffset() == WHEN.astimezone().utcoffset()


def test_a_voided_result_is_there_and_marked() -> None:
    rows = table([entry(1), entry(2, void="wrong leaf")])
    assert [(one["void"], one["why void"]) for one in rows] == [("no", ""), ("yes", "wrong leaf")]


def test_what_the_shop_file_no_longer_has_keeps_its_id() -> None:
    (row,) = table([entry(point="gone")])
    assert (row["point"], row["point name"], row["machine name"]) == ("gone", "", "Saw")


def test_readings_are_there_in_full() -> None:
    told = {"light": "top", "gap_nm": [1, 2], "square": 'Über, "große"'}
    (row,) = table([entry(readings=told)])
    assert json.loads(row["readings [JSON in whole nm nrad Pa us]"]) == told


@pytest.mark.parametrize(
    "text",
    ["=1+1", "+1", "-1", "@SUM(A1)", " =1", "\uff1d1", "\uff0bx", "\uff0dx", "\uff20x",
     "=HYPERLINK(\"x\")", "-1 to 3 thou/ft"],
)  # fmt: skip
def test_text_is_never_a_formula(text: str) -> None:
    """An apostrophe in front, in every column of text."""
    record = entry(
        void=text, note=text, lean=text, verdict=text, method=text, run=text,
        tolerance={"typed": text, "low": -1, "high": 1}, readings={"square": text},
    )  # fmt: skip
    (row,) = table([record])
    names = ("why void", "note", "direction", "verdict", "method", "run", "tolerance then", "tools")
    for name in names:
        assert row[name] == f"'{text}" or (name == "tools" and row[name].startswith(f"'{text}"))


def test_numbers_below_zero_are_no_text() -> None:
    (row,) = table([entry(error=-1_000_000)])
    assert row["angle error [rad]"] == "-0.001"


TEXT = st.text(max_size=30)


@given(TEXT, TEXT, TEXT)
@settings(deadline=None)
def test_any_text_comes_back_whole_and_harmless(note: str, lean: str, why: str) -> None:
    """Commas, quotes and line ends are quoted; what could act on a screen is spelled out."""
    records = [entry(note=note, lean=lean, void=why), entry(2)]
    text = "".join(csv_lines(records, SHOP))
    assert text.endswith("\r\n")
    assert all(first_unfit(line) is None for line in text.split("\r\n"))
    rows = list(csv.reader(io.StringIO(text, newline=""), strict=True))
    assert [len(row) for row in rows] == [len(headings("inch"))] * 3
    cell = rows[1][rows[0].index("note")]
    assert cell.removeprefix("'") == note or first_unfit(note) is not None or note[:1] == "'"


def test_every_heading_is_there_once() -> None:
    for unit in ("inch", "mm"):
        names = headings(unit)
        assert len(set(names)) == len(names)


@pytest.mark.parametrize("unit", ["inch", "mm"])
def test_the_units_are_those_that_the_program_speaks(unit: Unit) -> None:
    """One place gives a number for plots and tables, another all units by name: they agree."""
    names = {
        ("angle", "inch"): "thou_per_ft", ("angle", "mm"): "mm_per_m",
        ("length", "inch"): "thou", ("length", "mm"): "mm",
        ("stress", "inch"): "psi", ("stress", "mm"): "MPa",
        ("time", "inch"): "s", ("time", "mm"): "s",
        ("speed", "inch"): "ft_per_min", ("speed", "mm"): "m_per_s",
    }  # fmt: skip
    for kind in MEASURED:
        expected = in_units(0.0123, kind)[names[kind, unit]]
        assert in_shop_unit(0.0123, kind, unit) == pytest.approx(expected, rel=1e-12)
