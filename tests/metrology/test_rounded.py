"""One rounding of every number that is shown: half away from 0, as it is done by hand."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import limit_in, measure, measure_to, numbers, with_expanded
from shopboard.metrology.units import rounded


@given(st.integers(-(10**7), 10**7), st.integers(0, 6), st.integers(-1, 4))
def test_as_a_decimal_number_is_rounded(nanometres: int, shift: int, decimals: int) -> None:
    """Against `decimal`, which rounds what is written, not a double that is next to it.

    Of no more digits than a double has beside the hair that settles a tie.
    """
    exact = Decimal(nanometres).scaleb(-shift)
    wanted = exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)
    assert Decimal(rounded(float(exact), decimals)) == wanted


@pytest.mark.parametrize(
    ("thou", "words"), [(0.75, "0.8 thou"), (-0.75, "-0.8 thou"), (1.85, "+1.9 thou")]
)
def test_a_step_is_one_number_with_its_sign_or_without(thou: float, words: str) -> None:
    mm = thou * 0.0254
    assert measure(mm, "length", "inch", signed=True).lstrip("+") == words.lstrip("+")
    assert measure(abs(mm), "length", "inch") == words.lstrip("+-")
    assert (
        measure_to(mm, 0.1 * 0.0254, "length", "inch", signed=True)[-10:].strip()
        == f"{thou:+.2f} thou"
    )


def test_nought_has_no_sign() -> None:
    assert rounded(0.0, 1, "+") == rounded(-0.04, 1, "+") == rounded(0.04, 1, "+") == "0.0"
    assert measure(0.00001, "length", "inch", signed=True) == "0.0 thou"


def test_a_value_has_the_digits_of_its_uncertainty() -> None:
    """Source: JCGM 100:2008, 7.2.6."""
    assert numbers(0.725, 0.03, "length", "mm") == ("+0.725", "0.030")
    assert numbers(0.725, 0.03, "length", "mm", size=True) == ("0.725", "0.030")
    assert with_expanded(0.725, 0.03, "length", "mm", size=True) == "0.725 mm ± 0.030 mm"


@pytest.mark.parametrize(
    ("end", "lowest", "kind", "name", "words"),
    [
        (0.725, False, "length", "mm", "0.725"),  # as it was typed
        (0.1 / 300, False, "angle", "mm_per_m", "0.333"),
        (0.0017453310, False, "angle", "mm_per_m", "1.74"),
        (-0.0017453310, True, "angle", "mm_per_m", "-1.74"),
        (15000 / 145.0377377, True, "stress", "MPa", "104"),
        (20000 / 145.0377377, False, "stress", "MPa", "137"),
        (0.0, True, "angle", "mm_per_m", "0"),
    ],
)
def test_no_end_of_a_tolerance_is_written_wider_than_it_is(
    end: float, lowest: bool, kind: str, name: str, words: str
) -> None:
    """0.1 degrees are 1.745 mm/m: what is told to be allowed is."""
    assert limit_in(end, kind, name, lowest=lowest) == words  # type: ignore[arg-type]


def test_a_range_and_a_width_are_written_alike() -> None:
    assert Tolerance(0, 0.1 / 300, "0.1 mm over 300 mm").words("mm").startswith("0 to 0.333 mm/m")
    time = Tolerance(-5.0, 5.0, "5 s", "time")
    assert time.is_one_sided(size=False)
    assert not Tolerance(-1, 1, "1 mm", "length").is_one_sided(size=False)
