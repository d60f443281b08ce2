"""What a line of a gauge says, whatever comes: forms by ISO 6093 (from memory), and garbage."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.gauge_line import (
    LONGEST_LINE,
    USUAL_FORM,
    GaugeLines,
    LineFormError,
    line_form,
    reading_of,
)

MM = {"mm": 1.0, "in": 25.4, "thou": 0.0254}
"""25.4 mm to the inch, exactly (international inch, 1959)."""

READ = [
    ("0.012", USUAL_FORM, "in", "0.012 in"),
    ("+0012.345 mm", USUAL_FORM, "in", "+0012.345 mm"),
    ("-00,12mm", USUAL_FORM, "in", "-00.12 mm"),
    ("  12,34 mm", USUAL_FORM, "in", "12.34 mm"),
    ("+0012,345 mm", USUAL_FORM, "in", "+0012.345 mm"),
    ("ID=1,0.750,in", "ID=1,{number},{unit}", "mm", "0.750 in"),
    ("ID=1,750,in", "ID=1,{number},{unit}", "mm", "750 in"),
    ("01A,-0.5", "01A,{number}", "mm", "-0.5 mm"),
    ("0.750,1,OK", "{number},*", "mm", "0.750 mm"),
    ("T1 -0.512 mm N", "*{number}{unit}*", "mm", "-0.512 mm"),
    ("T1 -0.512 N", "T1 {number} N", "mm", "-0.512 mm"),
    ("01; 0.5 in; ok", "*{number}{unit}*", "mm", "0.5 in"),
    ("0.5 in", "{number} in", "mm", "0.5 in"),
    ("0.5,in,ok", "{number},in,*", "mm", "0.5 in"),
    ("0.5; ok", "{number}*", "mm", "0.5 mm"),
    ("0.5", "{number}*", "mm", "0.5 mm"),
    ("in: 0.5", "{unit}: {number}", "mm", "0.5 in"),
    ("+1.25E-02", USUAL_FORM, "mm", "0.0125 mm"),
    ("A+0012.34", "A{number}", "mm", "+0012.34 mm"),
    ("01, N, - 0.50 MM, ok", "*,*{number}{unit}, ok", "in", "-0.50 MM"),
    ("dial (7.5)", "dial ({number})", "thou", "7.5 thou"),
    ("", USUAL_FORM, "mm", None),
    ("A+0012.34", USUAL_FORM, "mm", None),
    ("1,234.5", USUAL_FORM, "mm", None),
    ("1.2.3", "*{number}*", "mm", None),
    ("1.25E-023", "{number}*", "mm", None),
    ("1.2 kg", USUAL_FORM, "mm", None),
    ("1.2 3.4", USUAL_FORM, "mm", None),
    ("٣.١", USUAL_FORM, "mm", None),
    ("12,345 mm", USUAL_FORM, "mm", "12.345 mm"),
    ("-1,000", "*{number}*", "mm", "-1.000 mm"),
    ("0.5 in", "{number}*", "mm", None),
    ("0.5 deg", "{number}*", "mm", None),
    ("0.5°", "{number}*", "mm", None),
    ("0.5;in", "{number}*", "mm", None),
    ("0.5;ok;in", "{number};*", "mm", None),
    ("0.5", "{number} in", "mm", None),
    ("0.5 mm/m", "{number}{unit}*", "mm", None),
    ("0.5 inches", "{number}{unit}*", "mm", None),
    ("0.5 0.7", "*{number}*", "mm", None),
    ("0.5; 0.7", "*{number}*", "mm", None),
    ("0.5 mm 0.7 mm", "*{number}{unit}*", "mm", None),
    ("1 234.5", "{number}*", "mm", None),
    ("1 234.5", "*{number}*", "mm", None),
    ("1 234.5 mm", "*{number}{unit}", "mm", None),
    ("0.5 -0.7", "*{number}*", "mm", None),
    ("1 1/2 in", "{number}*{unit}", "mm", None),
    ("1 1/2 in", "*{number}{unit}", "mm", None),
    ("T1 0.512 in", "*{number}{unit}*", "mm", "0.512 in"),
    ("1/2 in", "{number}*{unit}", "mm", None),
    ("12,5 mm, ok", "{number}{unit},*", "in", "12.5 mm"),
    ("T1", "*{number}", "mm", None),
    ("-0.5", "*-{number}", "mm", "0.5 mm"),
    ("x - 0.5", "*{number}", "mm", "-0.5 mm"),
    ("x−0.5", "*{number}", "mm", None),
    ("1,0.5", "*{number}", "mm", None),
]


@pytest.mark.parametrize(("line", "form", "unit", "words"), READ)
def test_a_line_of_the_form_is_a_reading_and_no_other(
    line: str, form: str, unit: str, words: str | None
) -> None:
    reading = reading_of(line, form, unit)
    assert (reading and reading.words) == words


@given(st.decimals(-999, 999, places=4), st.sampled_from(sorted(MM)), st.sampled_from(",."))
def test_what_is_sent_is_what_is_read(value: Decimal, unit: str, mark: str) -> None:
    reading = reading_of(f"{value:+f} {unit}".replace(".", mark), USUAL_FORM, "mm")
    assert reading is not None
    assert reading.mm == pytest.approx(float(value) * MM[unit], abs=1e-9)


@pytest.mark.parametrize("form", ["", "{unit}", "{number}{number}", "{number}***", "{unit}{unit}"])
def test_a_form_by_which_no_line_can_be_read_is_refused(form: str) -> None:
    with pytest.raises(LineFormError, match="stands in it"):
        line_form(form)


@pytest.mark.parametrize("form", ["*{number}*", "* * {number} x", "*1*{number}{unit}((((a+)+)+)$"])
@pytest.mark.parametrize("line", ["1" * LONGEST_LINE, "1 " * 99, "+-.," * 50, "11 1.1 " * 28])
def test_no_form_takes_for_ever(form: str, line: str) -> None:
    begun = time.process_time()
    reading_of(line, form, "mm")
    assert time.process_time() - begun < 0.5


@given(st.lists(st.binary(max_size=400), max_size=20))
def test_bytes_make_lines_however_they_are_cut(parts: list[bytes]) -> None:
    whole = GaugeLines().feed(b"".join(parts))
    lines = GaugeLines()
    cut = [line for part in parts for line in lines.feed(part)]
    assert cut == whole
    assert all(len(line) <= LONGEST_LINE for line in whole)
    assert not any(reading_of(line, USUAL_FORM, "mm") for line in whole if "\ufffd" in line)


def test_a_line_that_never_ends_holds_no_memory_and_the_next_one_is_read() -> None:
    lines = GaugeLines()
    for _ in range(2000):
        assert lines.feed(b"7" * 4096) == []
    assert len(lines._held) <= LONGEST_LINE
    assert lines.feed(b"7\n0.5 mm\n") == ["0.5 mm"]
