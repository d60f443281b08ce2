"""Numbers as the person reads them."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from shopboard.checks.working import budget_rows
from shopboard.metrology import wording
from shopboard.metrology.kind import measure_to, promised
from shopboard.metrology.quantity import Unit, parse_angle, parse_length
from shopboard.metrology.thread import parse_turns
from shopboard.metrology.units import PSI_PER_MPA

INCH = 25.4


@pytest.mark.parametrize(
    ("inches", "words"),
    [
        (6, "6 in"),
        (3.25, "3 1/4 in"),
        (1 / 32, "0.03125 in"),
        (63 / 64, "63/64 in"),
        (2.7, "2.7 in"),
        (0.0015, "0.0015 in"),
        (0.012, "0.012 in"),
        (0, "0.000 in"),
        (-0.5, "-1/2 in"),
    ],
)
def test_a_length_in_inches(inches: float, words: str) -> None:
    """Fractions where it is one and large enough to be ruled off, decimals otherwise."""
    assert wording.length(inches * INCH, "inch") == words


@pytest.mark.parametrize(
    ("mm", "words"), [(120, "120 mm"), (0.05, "0.05 mm"), (2.5, "2.5 mm"), (-1.25, "-1.25 mm")]
)
def test_a_length_in_mm(mm: float, words: str) -> None:
    """No more decimals than it has."""
    assert wording.length(mm, "mm") == words


@pytest.mark.parametrize(
    ("mm", "unit", "words"),
    [
        (0.012 * INCH, "inch", "0.012 in"),
        (0.0015 * INCH, "inch", "0.0015 in"),
        (0.5 * INCH, "inch", "0.500 in"),
        (0.05, "mm", "0.05 mm"),
        (0.1, "mm", "0.10 mm"),
        (0.0381, "mm", "0.0381 mm"),
    ],
)
def test_a_leaf_is_always_in_decimals(mm: float, unit: str, words: str) -> None:
    """As it is marked on the leaf."""
    assert wording.leaf(mm, unit) == words  # type: ignore[arg-type]


@given(st.integers(1, 20_000), st.sampled_from(["inch", "mm"]))
def test_what_is_written_is_read_back_the_same(tenths: int, unit: str) -> None:
    """Leaves to a hundredth of a thou, or to a tenth of a micrometre, lose nothing in words."""
    mm = tenths * (0.000254 if unit == "inch" else 0.0001)
    assert parse_length(wording.leaf(mm, unit)).mm == pytest.approx(mm, abs=1e-9)  # type: ignore[arg-type]


def test_a_small_move_is_in_thou_or_hundredths() -> None:
    """Without its sign: the way is said in words."""
    assert wording.small_move(0.00421 * INCH, "inch") == "4.2 thou"
    assert wording.small_move(-0.1067, "mm") == "0.107 mm"


def test_a_slope_carries_its_sign_only_when_asked() -> None:
    """And nothing is neither plus nor minus."""
    rad = math.atan(27 / 12_000)
    assert wording.slope(rad, "inch") == "27.0 thou/ft"
    assert wording.slope(-rad, "inch") == "27.0 thou/ft"
    assert wording.slope(-rad, "inch", signed=True) == "-27.0 thou/ft"
    assert wording.slope(rad, "mm", signed=True) == "+2.25 mm/m"
    assert wording.slope(0.0, "inch", signed=True) == "0.0 thou/ft"


def test_degrees_to_a_thousandth() -> None:
    """A thousandth of a degree is a fifth of a thou a foot: finer than any leaf tells."""
    assert wording.degrees(math.radians(0.1289)) == "0.129°"
    assert wording.degrees(math.radians(-0.1289), signed=True) == "-0.129°"
    assert wording.both(math.atan(27 / 12_000), "inch") == "27.0 thou/ft (0.129°)"


@given(st.floats(-0.05, 0.05))
def test_a_slope_in_words_is_the_slope(rad: float) -> None:
    """To the digits that are shown."""
    back = parse_angle(wording.slope(rad, "inch", signed=True)).rad
    assert back == pytest.approx(rad, abs=0.051 / 12_000)


@pytest.mark.parametrize(
    ("probability", "words"),
    [
        (1.0, "over 99.9 %"),
        (0.9991, "over 99.9 %"),
        (0.999, "99.9 %"),
        (0.97, "97.0 %"),
        (0.91, "91.0 %"),
        (0.9, "90.0 %"),
        (0.899, "90 %"),
        (0.8, "80 %"),
        (0.12, "12 %"),
        (0.101, "10 %"),
        (0.1, "10.0 %"),
        (0.0991, "10.0 %"),
        (0.001, "0.1 %"),
        (0.0009, "under 0.1 %"),
        (0.5, "50 %"),
        (0.004, "0.4 %"),
        (0.0, "under 0.1 %"),
    ],
)
def test_a_probability_never_claims_certainty(probability: float, words: str) -> None:
    """Neither 100 nor 0 per cent is ever written."""
    assert wording.percent(probability) == words


@given(st.floats(0, 1))
@example(0.9499999)
def test_no_rounding_lifts_a_probability_to_the_proof_level(probability: float) -> None:
    """What is not proven at 95 % never reads as 95 %; else the words keep to their last digit."""
    digits = re.search(r"[\d.]+", wording.percent(probability))
    assert digits is not None
    assert float(digits[0]) / 100 == pytest.approx(probability, abs=0.0051)
    assert (float(digits[0]) >= 95) == (probability >= 0.95)


@pytest.mark.parametrize(
    ("amount", "words"),
    [
        (0.375, "3/8 turn (135°)"),
        (0.06, "22°, less than 1/8 turn"),
        (0.2, "72°, between 1/8 and 1/4 turn"),
        (85 / 360, "85°, a little less than 1/4 turn"),
        (100 / 360, "100°, a little more than 1/4 turn"),
        (35 / 360, "35°, a little less than 1/8 turn"),
        (57 / 360, "57°, a little more than 1/8 turn"),
        (58 / 360, "58°, between 1/8 and 1/4 turn"),
        (0.12, "1/8 turn (43°)"),
        (0.5, "1/2 turn (180°)"),
        (1.0, "1 turn (360°)"),
        (1.25, "1 1/4 turns (450°)"),
        (3, "3 turns (1080°)"),
    ],
)
def test_turns_in_eighths_and_degrees(amount: float, words: str) -> None:
    """The eighth nearest for the hand, the degrees for who has a dial."""
    assert wording.turns(amount) == words


@given(st.floats(0.0, 20))
def test_turns_in_words_are_those_meant(amount: float) -> None:
    """The degrees to half of one, an eighth where a hand would set no other."""
    words = wording.turns(amount)
    degrees = re.search(r"(\d+)°", words)
    assert degrees is not None
    assert float(degrees[1]) == pytest.approx(amount * 360, abs=0.51)
    eighth = wording.eighth(amount)
    if eighth:
        assert parse_turns(eighth) == pytest.approx(amount, abs=4 / 360 + 1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "words"),
    [
        ("3 mm", "inch", "3 mm (0.11811 in)"),
        ("0,05 mm", "inch", "0.05 mm (0.00197 in)"),
        ("1 cm", "inch", "1 cm (0.3937 in)"),
        ("1/8 in", "mm", "1/8 in (3.175 mm)"),
        ("5 thou", "mm", "5 thou (0.127 mm)"),
        ('1/2"', "mm", '1/2" (12.70 mm)'),
        ("5 thou", "inch", "5 thou"),
        ("0.005 in", "inch", "0.005 in"),
        (".004 in", "inch", "0.004 in"),
        (".1 mm", "mm", "0.1 mm"),
        (".1 mm", "inch", "0.1 mm (0.00394 in)"),
        ("0.1 mm", "mm", "0.1 mm"),
        ("25 um", "mm", "25 um"),
    ],
)
def test_a_length_as_it_was_typed_and_in_the_shops_unit(text: str, unit: Unit, words: str) -> None:
    """Both where they differ, as typed where they do not."""
    assert wording.as_typed(text, parse_length(text).mm, unit) == words


@pytest.mark.parametrize(
    ("mm_per_m", "u", "said"),
    [
        (0.060, 0.034, "+0.060 mm/m"),  # two digits of u
        (0.2126, 0.0631, "+0.213 mm/m"),
        (4.0625, 0.38, "+4.06 mm/m"),
        (9.06, 3.09, "+9.1 mm/m"),  # where that is coarser than usual, too
        (0.5, 0.0, "+0.50 mm/m"),  # u not known
    ],
)
def test_a_value_has_two_digits_of_its_uncertainty(mm_per_m: float, u: float, said: str) -> None:
    """JCGM 100:2008, 7.2.6: two significant digits of u, the value to the same place."""
    assert measure_to(mm_per_m / 1000, u / 1000, "angle", "mm", signed=True) == said


def test_no_source_of_a_budget_reads_nought_that_has_a_share() -> None:
    """A fine five-cut test: sources of 0.004 mm/m, 7 % each, read 0.00 mm/m before."""
    rows = budget_rows([("calliper", 11e-6), ("reading it", 4e-6)], 17e-6, "angle", "mm")
    assert "0.011 mm/m" in rows[0]
    assert "0.004 mm/m" in rows[1]


@pytest.mark.parametrize(
    ("part", "words"), [(0.004, "0 %"), (0.86, "86 %"), (9.994, "999 %"), (13.75, "over 999 %")]
)
def test_a_share_is_spaced_as_every_per_cent_is(part: float, words: str) -> None:
    """Seen: "uses 1375%" beside "95 %". A space before it: SI Brochure, 5.4.7 (from memory)."""
    assert wording.share(part) == words


def test_no_text_glues_a_per_cent_to_its_number() -> None:
    """Python's own per cent format has no space: it is not used for what is read."""
    sources = Path(wording.__file__).parents[1].rglob("*.py")
    glued = re.compile(r":[^{}]*%\}")
    assert [path.name for path in sources if glued.search(path.read_text("utf-8"))] == []


def test_a_stress_has_noughts_where_its_uncertainty_begins_before_them() -> None:
    """JCGM 100:2008, 7.2.6: two significant digits, in psi far above the point."""
    mpa, u = 13920 / PSI_PER_MPA, 4687 / PSI_PER_MPA
    assert measure_to(mpa, u, "stress", "inch") == "13900 psi"
    assert measure_to(u, u, "stress", "inch") == "4700 psi"
    assert promised(u, 2 * u, "stress", "inch") == "typically ± 4700, up to ± 9400 psi"


@pytest.mark.parametrize(
    ("unit", "says"),
    [("inch", "from 24 in on"), ("mm", "from 600 mm on"), (None, "from 24 in (600 mm) on")],
)
def test_a_round_length_of_a_sentence_is_in_the_shops_unit(unit: Unit | None, says: str) -> None:
    """Two feet are about 600 mm (common practice, no source)."""
    assert wording.own_words("from [24 in|600 mm] on", unit) == says
