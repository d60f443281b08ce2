"""`shopboard reckon`: the door for scripts, in its fixed form, against values by hand."""

from __future__ import annotations

import math
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.cli.program import Program, Ran
from tests.in_turn import part

GIVEN = ("goes=0.012in", "refused=0.015in", "lever=6in", "light=top")
UNITS = {"deg", "thou_per_ft", "mm_per_m"}


def square(program: Program, *more: str) -> Any:
    """Reckon the given reading with more values; give the JSON."""
    ran = program.bare("reckon", "square", *GIVEN, *more, "--json")
    assert (ran.code, ran.err) == (0, "")
    return ran.json


def numbers(data: Any) -> list[float]:
    """Every number in JSON data."""
    if isinstance(data, dict):
        return [one for value in data.values() for one in numbers(value)]
    if isinstance(data, list):
        return [one for value in data for one in numbers(value)]
    return [data] if isinstance(data, int | float) and not isinstance(data, bool) else []


def source(data: Any, start: str) -> float:
    """Standard uncertainty of a source, thou/ft."""
    (found,) = [
        one["standard_thou_per_ft"]
        for one in data["uncertainty"]["budget"]
        if one["source"].startswith(start)
    ]
    return float(found)


def refused(program: Program, *words: str) -> Ran:
    ran = program.bare("reckon", *words)
    assert ran.code == 2
    assert ran.out == ""
    return ran


@pytest.mark.parametrize("more", [(), ("tolerance=0.1deg",), ("square_error=1thou/ft",)])
def test_the_form_is_fixed(program: Program, more: tuple[str, ...]) -> None:
    """Names, types, finite numbers: what scripts rely on."""
    data = square(program, *more)
    assert list(data) == [
        "schema", "method", "error", "uncertainty", "tolerance", "probability", "verdict", "note",
    ]  # fmt: skip
    assert data["method"] == "square"
    assert set(data["error"]) == UNITS | {"dms"}
    assert isinstance(data["error"]["dms"], str)
    told = data["uncertainty"]
    assert set(told) == {"standard", "expanded", "k", "dof", "budget"}
    assert set(told["standard"]) == set(told["expanded"]) == UNITS
    for one in told["budget"]:
        assert set(one) == {"source", "standard_thou_per_ft", "share"}
    assert sum(one["share"] for one in told["budget"]) == pytest.approx(1)
    assert all(math.isfinite(number) for number in numbers(data))
    assert isinstance(data["note"], str)
    if "tolerance=0.1deg" in more:
        assert 0 <= data["probability"] <= 1
        assert data["verdict"] in ("true", "near", "out")
        assert data["tolerance"]["deg"] == pytest.approx(0.1)
    else:
        assert data["tolerance"] is data["probability"] is data["verdict"] is None


def test_the_error_is_the_middle_of_the_bracket_over_the_lever(program: Program) -> None:
    """Derived: .0135 over 6 in is 27 thou a foot, 2.25 mm/m, 0.12891 degrees, 0d07m44s."""
    error = square(program)["error"]
    assert error["thou_per_ft"] == pytest.approx(27)
    assert error["mm_per_m"] == pytest.approx(2.25)
    assert error["deg"] == pytest.approx(math.degrees(math.atan(0.0135 / 6)))
    assert error["dms"] == "0°07′44″"


def test_the_bracket_is_a_rectangle(program: Program) -> None:
    """GUM F.2.2.1, from memory: a full step d gives d/sqrt(12), here over 6 in by 12,000."""
    by_hand = 0.003 / math.sqrt(12) / 6 * 12_000
    assert source(square(program), "bracket") == pytest.approx(by_hand, rel=1e-4)


def test_the_whole_is_the_root_of_the_sum_of_squares(program: Program) -> None:
    """GUM 5.1.2; and U is k u."""
    told = square(program, "square_error=2thou/ft")["uncertainty"]
    together = math.hypot(*(one["standard_thou_per_ft"] for one in told["budget"]))
    assert told["standard"]["thou_per_ft"] == pytest.approx(together, rel=1e-5)
    assert told["expanded"]["deg"] == pytest.approx(told["k"] * told["standard"]["deg"])
    assert told["k"] > 1.9


def test_light_at_the_bottom_changes_the_sign_alone(program: Program) -> None:
    """Minus 27 thou a foot, the same uncertainty."""
    top = square(program)
    bottom = program.bare("reckon", "square", *GIVEN[:3], "light=bottom", "--json").json
    assert bottom["error"]["thou_per_ft"] == pytest.approx(-top["error"]["thou_per_ft"])
    assert bottom["uncertainty"] == top["uncertainty"]
    assert bottom["error"]["dms"].startswith("-")


def test_no_light_and_the_thinnest_leaf_refused_is_plus_or_minus_that_leaf(
    program: Program,
) -> None:
    """goes=0 says so; the error is 0, its bracket twice the leaf: a/sqrt(3)."""
    words = ("goes=0", "refused=0.0015in", "lever=6in", "light=none", "--json")
    data = program.bare("reckon", "square", *words).json
    assert data["error"]["thou_per_ft"] == 0
    assert source(data, "bracket") == pytest.approx(0.0015 / math.sqrt(3) / 6 * 12_000, rel=1e-6)


@pytest.mark.parametrize("text", ["1thou/ft", "0.0005in", "0.0833333mm/m", "0.00477465deg"])
def test_the_squares_error_is_an_angle_or_a_length_over_the_lever(
    program: Program, text: str
) -> None:
    """Half a thou over 6 in is 1 thou a foot: u = 1/sqrt(3)."""
    data = square(program, f"square_error={text}")
    assert source(data, "square") == pytest.approx(1 / math.sqrt(3), rel=1e-4)
    assert data["note"] == ""


def test_without_the_squares_error_it_is_said_to_be_taken_as_exact(program: Program) -> None:
    """A note, so that nobody takes the uncertainty for the whole of it."""
    assert "exact" in square(program)["note"]


@pytest.mark.parametrize(
    ("text", "low", "high"),
    [
        ("0.1deg", -20.944, 20.944),
        ("±0.1 deg", -20.944, 20.944),
        ("10 thou/ft", -10, 10),
        ("0 to 30 thou/ft", 0, 30),
        ("-1 to 3 thou/ft", -1, 3),
        ("0.005in", -10, 10),
        ("1 mm/m", -12, 12),
        ("5 thou over 6 in", -10, 10),
    ],
)
def test_a_tolerance_in_every_form(program: Program, text: str, low: float, high: float) -> None:
    """Both ways, one-sided, in degrees, slopes, or a length over the lever; thou/ft by hand."""
    told = square(program, f"tolerance={text}")["tolerance"]
    assert told["low"]["thou_per_ft"] == pytest.approx(low, abs=1e-3)
    assert told["high"]["thou_per_ft"] == pytest.approx(high, abs=1e-3)
    assert told["thou_per_ft"] == pytest.approx((high - low) / 2, abs=1e-3)


@pytest.mark.parametrize(
    ("text", "verdict"), [("0.5deg", "true"), ("27 thou/ft", "near"), ("10 thou/ft", "out")]
)
def test_the_verdict_follows_from_the_tolerance(program: Program, text: str, verdict: str) -> None:
    """Right at the limit it is one half."""
    data = square(program, f"tolerance={text}")
    assert data["verdict"] == verdict
    if verdict == "near":
        assert data["probability"] == pytest.approx(0.5, abs=0.01)


def test_turned_over_the_square_drops_out(program: Program) -> None:
    """Half the sum: 27 and 25 thou a foot make 26, whatever the square's own error."""
    turned = ("turned_goes=.012in", "turned_refused=.013in", "square_error=10thou/ft")
    data = square(program, *turned)
    assert data["error"]["thou_per_ft"] == pytest.approx(26)
    assert source(data, "square") == 0
    other = square(program, *turned, "turned_light=bottom")
    assert other["error"]["thou_per_ft"] == pytest.approx(1)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("goes=0.015in", "refused=0.012in", "lever=6in", "light=top"), ["thinner"]),
        (("goes=12thou", "refused=0.012in", "lever=6in", "light=top"), ["thinner"]),
        (("goes=0.012in", "refused=7in", "lever=6in", "light=top"), ["reach"]),
        (("goes=0.012in", "refused=0.015in", "lever=0in", "light=top"), ["reach"]),
        (("goes=0.012in", "refused=0.015in", "lever=0.5mm", "light=top"), ["reach"]),
        (("goes=0.012in", "refused=0.015in", "lever=-6in", "light=top"), ["negative"]),
        (("goes=-1in", "refused=0.015in", "lever=6in", "light=top"), ["goes", "negative"]),
        (("goes=0.012in", "refused=0.015in", "lever=6in", "light=left"), ["light", "bottom"]),
        (("goes=0.012in", "refused=0.015in", "lever=6in", "light=none"), ["light"]),
        (("goes=nan", "refused=0.015in", "lever=6in", "light=top"), ["not a measurement"]),
        (("goes=0.012", "refused=0.015in", "lever=6in", "light=top"), ["unit"]),
        ((*GIVEN, "square_error=80deg"), ["square_error", "5 degrees"]),
        ((*GIVEN, "tolerance=-1deg"), ["tolerance"]),
        ((*GIVEN, "tolerance=0in"), ["tolerance"]),
        ((*GIVEN, "turned_goes=.01in"), ["turned_refused", "missing"]),
        ((*GIVEN, "turned_light=top"), ["turned_goes", "missing"]),
        ((*GIVEN, "levr=6in"), ["levr", "did you mean lever"]),
        ((*GIVEN, "lever=6in"), ["lever", "twice"]),
        ((*GIVEN, "sideways"), ["name=value"]),
        ((*GIVEN, "=6in"), ["name=value"]),
    ],
)
def test_what_cannot_be_is_refused(
    program: Program, words: tuple[str, ...], says: list[str]
) -> None:
    """In one line, with the name and the reason."""
    ran = refused(program, "square", *words)
    assert len(ran.err.splitlines()) == 1 + (says == ["turned_goes", "missing"])
    assert all(word in ran.err for word in says)


def test_every_wrong_or_missing_name_gets_a_line(program: Program) -> None:
    """All of them in one run."""
    ran = refused(program, "square", "goes=twelve", "levre=6in")
    assert len(ran.err.splitlines()) == 5
    for name in ("goes=", "levre=", "refused=", "lever=", "light="):
        assert name in ran.err
    assert "did you mean lever" in ran.err


@pytest.mark.parametrize(
    ("words", "degrees"),
    [
        (("5thou/ft",), 0.0238732),
        (("5", "thou/ft"), 0.0238732),
        (("0.5 mm/m",), 0.0286479),
        (("0.1 deg",), 0.1),
        (("1/4 in/ft",), 1.193489),
        (("0d35m49s",), 0.596944),
        (("-5 thou/ft",), -0.0238732),
        (("3 thou over 9 in",), 0.0190986),
    ],
)
def test_one_angle_in_every_unit(program: Program, words: tuple[str, ...], degrees: float) -> None:
    """Derived: atan of the slope; 0d35m49s is 0.5969444 degrees."""
    data = program.bare("reckon", "angle", *words, "--json").json
    assert set(data) == UNITS | {"schema", "method", "dms"}
    assert data["deg"] == pytest.approx(degrees, rel=1e-5)
    assert data["mm_per_m"] == pytest.approx(math.tan(math.radians(degrees)) * 1000, rel=1e-5)
    assert data["thou_per_ft"] == pytest.approx(data["mm_per_m"] * 12, rel=1e-9)


@pytest.mark.parametrize("text", ["", "5", "5 thou", "nan", "five deg", "5 thou/0 ft", "90 deg"])
def test_what_is_no_angle_is_refused(program: Program, text: str) -> None:
    """A right angle has no slope: refused, rather than a number of twenty digits."""
    assert len(refused(program, "angle", text).err.splitlines()) == 1


def test_an_angle_must_be_said(program: Program) -> None:
    """With the forms that there are."""
    assert "thou/ft" in refused(program, "angle").err


def test_an_unknown_method_is_named_with_what_was_meant(program: Program) -> None:
    """Sqare was square."""
    assert "did you mean square" in refused(program, "sqare").err


def test_without_json_a_few_plain_lines(program: Program) -> None:
    """The same numbers, for the eye."""
    ran = program.bare("reckon", "square", *GIVEN, "tolerance=0.1deg")
    assert ran.code == 0
    assert "+27.0 thou/ft" in ran.out
    assert "verdict" in ran.out
    assert "k = " in ran.out
    plain = program.bare("reckon", "angle", "5thou/ft")
    assert "5 thou/ft" in plain.out
    assert "0°01′26″" in plain.out


def test_neither_shop_nor_journal_is_touched(program: Program) -> None:
    """A broken shop file does not matter, and no journal is made."""
    program.write("shop.toml", "broken [")
    program.journal.unlink()
    assert program("reckon", "square", *GIVEN).code == 0
    assert not program.journal.exists()


NAMES = st.sampled_from(["goes", "refused", "lever", "square_error", "tolerance", "turned_goes"])
VALUES = st.one_of(
    st.text(max_size=12),
    st.builds(
        lambda number, unit: f"{number}{unit}",
        st.decimals(-1000, 1000, places=4),
        st.sampled_from(["in", "mm", " thou", "deg", "thou/ft", " to 3 thou/ft", "", " mm/m"]),
    ),
)


@given(st.dictionaries(NAMES, VALUES), st.sampled_from(["top", "bottom", "none"]))
@settings(
    max_examples=part(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_any_values_give_finite_numbers_or_one_line_each(
    program: Program, values: dict[str, str], light: str
) -> None:
    """No value breaks it; an uncertainty is never negative."""
    given = {"goes": "0.012in", "refused": "0.015in", "lever": "6in", "light": light, **values}
    ran = program.bare("reckon", "square", "--json", "--", *(f"{k}={v}" for k, v in given.items()))
    assert ran.code in (0, 2)
    if ran.code == 0:
        assert all(math.isfinite(number) for number in numbers(ran.json))
        assert min(numbers(ran.json["uncertainty"])) >= 0
    else:
        assert all(line.startswith("shopboard: ") for line in ran.err.splitlines())
