"""A shop reads its own units alone in plain lines, to two digits of the uncertainty.

Two digits at the most, and the value to as many places: JCGM 100:2008 (GUM), 7.2.6.
"""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.kind import in_units, with_expanded
from shopboard.metrology.units import rounded
from shopboard.metrology.wording import places
from tests.cli.program import Program
from tests.cli.test_whole_ways import NOT_SET, asks, read, shop, table
from tests.in_turn import in_turn

FOREIGN = {
    "mm": re.compile(r"\d (in|thou|thou/ft|psi|lbf|ft/min)\b|[′″]"),
    "inch": re.compile(r"\d (mm|mm/m|MPa|N|m/s)\b|[′″]"),
}
MEASURED = ["blade-tension", "carry", "coplanar", "five-cut", "runout", "square", "tram"]


@pytest.mark.parametrize(("name", "unit"), in_turn(MEASURED, ("mm", "inch")))
def test_a_check_speaks_in_the_units_of_its_shop(program: Program, name: str, unit: str) -> None:
    """Error, uncertainty, tolerance and all that stands beside them; in the history, too."""
    assert name not in NOT_SET
    program.write("shop.toml", shop().replace('unit = "inch"', f'unit = "{unit}"'))
    blank, _ = asks(program, name)
    answers = read(name, out=True) | ({"care": "understood"} if "care =" in blank else {})
    ran = program.check(f"all.{name}", table("", answers))
    assert ran.code == 0, ran.err
    history = program("history", f"all.{name}").out
    for line in (ran.out + history).splitlines():
        assert not FOREIGN[unit].search(line), line
    assert re.search(r"\d (mm|MPa)" if unit == "mm" else r"\d (thou|psi)", ran.out)


@pytest.mark.parametrize(
    ("expanded", "value", "written"),
    [
        (0.0, 0.1234, "+0.12 mm/m ± 0.00 mm/m"),
        (0.0347, 0.12345, "+0.123 mm/m ± 0.035 mm/m"),
        (0.0996, 0.12345, "+0.12 mm/m ± 0.10 mm/m"),
        (3.47, 27.0412, "+27.0 mm/m ± 3.5 mm/m"),
        (12.4, -27.6, "-28 mm/m ± 12 mm/m"),
        (124.0, 1277.0, "+1280 mm/m ± 120 mm/m"),
    ],
)
def test_digits_follow_the_uncertainty(expanded: float, value: float, written: str) -> None:
    """Worked by hand, as GUM 7.2.6 says."""
    rad = 1e-3  # so small that its tangent is the angle, to these digits
    if value < 100:
        scale = rad / in_units(rad, "angle")["mm_per_m"]
        assert with_expanded(value * scale, expanded * scale, "angle", "mm") == written
    decimals = places(expanded) if expanded else 2
    assert f"{rounded(value, decimals, '+')} mm/m" in written


@given(st.floats(1e-6, 1e6))
def test_two_digits_are_left(expanded: float) -> None:
    """Whatever the size: two digits, within half a unit of the second one."""
    decimals = places(expanded)
    shown = rounded(expanded, decimals)
    assert len(shown.replace(".", "").strip("0")) <= 2
    assert abs(float(shown) - expanded) <= 0.5000001 * 10.0**-decimals
    assert 10 <= round(float(shown) * 10.0**decimals) <= 100
