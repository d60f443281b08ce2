"""Rim speed, knife marks, and speeds as people type them."""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopboard.metrology.cutting import (
    knife_marks,
    parse_speed,
    parse_turns_per_minute,
    rim_speed,
)
from shopboard.metrology.kind import in_units, measure
from shopboard.metrology.quantity import QuantityError

INCH = 25.4


@pytest.mark.parametrize(
    ("rpm", "knives", "feed", "per_inch", "pitch"),
    [
        (5000, 3, 20, 62.5, 0.016),
        (4800, 2, 26, 30.7692, 0.0325),
        (3600, 3, 15, 60.0, 0.016667),
        (4500, 4, 30, 50.0, 0.02),
        (5000, 1, 20, 20.8333, 0.048),  # one knife stands proud
    ],
)
def test_marks_per_inch(
    rpm: float, knives: int, feed: float, per_inch: float, pitch: float
) -> None:
    """Turns x knives / (12 x ft/min): trade magazine FDMC, "Knife marks per inch"."""
    marks = knife_marks(rpm, knives, parse_speed(f"{feed} ft/min"))
    assert marks.per_inch == pytest.approx(per_inch, rel=1e-5)
    assert marks.pitch / INCH == pytest.approx(pitch, rel=1e-4)


@pytest.mark.parametrize(
    ("pitch", "radius", "height"),
    [(0.016, 1.5, 2.1333e-5), (0.05, 1.5, 2.0835e-4), (1.27, 50.0, 0.0040324)],
)
def test_how_high_the_marks_stand(pitch: float, radius: float, height: float) -> None:
    """Derived: R - root(R² - p²/4); Koch, Wood Machining Processes (1964), from memory."""
    marks = knife_marks(60, 1, pitch)
    assert marks.pitch == pytest.approx(pitch)
    assert marks.height(2 * radius) == pytest.approx(height, rel=5e-5)


def test_the_height_is_what_a_turning_knife_leaves() -> None:
    """Simulated: knife tips on circles whose centres move on; the surface is the lowest of them."""
    pitch, radius = 2.0, 40.0
    x = np.linspace(0, pitch, 4001)
    surface = np.min(
        [radius - np.sqrt(radius**2 - (x - pitch * number) ** 2) for number in range(-2, 4)], axis=0
    )
    assert knife_marks(60, 1, pitch).height(2 * radius) == pytest.approx(np.ptp(surface), rel=1e-5)


def test_marks_wider_than_the_circle_are_refused() -> None:
    with pytest.raises(QuantityError, match="farther apart"):
        knife_marks(60, 1, 100.0).height(50.0)


@pytest.mark.parametrize(
    ("inches", "rpm", "feet"),
    [(10, 4000, 10471.976), (12, 3450, 10838.495), (3, 5000, 3926.991), (14, 740, 2712.242)],
)
def test_rim_speed(inches: float, rpm: float, feet: float) -> None:
    """Derived: pi x D x n / 12."""
    units = in_units(rim_speed(inches * INCH, rpm), "speed")
    assert units["ft_per_min"] == pytest.approx(feet, abs=5e-4)


def test_rim_speed_in_other_units() -> None:
    """Derived: 10 in at 4000 is 53.1976 m/s, 119.00 mph; 300 mm at 4500 is 70.6858 m/s."""
    units = in_units(rim_speed(254.0, 4000), "speed")
    assert units["m_per_s"] == pytest.approx(53.1976, abs=5e-5)
    assert units["mph"] == pytest.approx(119.0, abs=5e-3)
    assert units["m_per_min"] == pytest.approx(60 * 53.197636)
    assert in_units(rim_speed(300.0, 4500), "speed")["m_per_s"] == pytest.approx(70.6858, abs=5e-5)
    assert in_units(rim_speed(254.0, 4000), "speed") == units
    assert measure(rim_speed(254.0, 4000), "speed", "inch") == "10472 ft/min"
    assert measure(rim_speed(254.0, 4000), "speed", "mm") == "53.2 m/s"


@pytest.mark.parametrize(
    ("text", "mm_per_s"),
    [
        ("20 ft/min", 101.6),
        ("20ft/min", 101.6),
        ("20 fpm", 101.6),
        ("20 FPM", 101.6),
        ("20 ft per min", 101.6),
        ("6 m/min", 100.0),
        ("6m/min", 100.0),
        ("0.1 m/s", 100.0),
        ("240 in/min", 101.6),
        ("100 mm/s", 100.0),
        ("12 1/2 ft/min", 63.5),
    ],
)
def test_speeds_as_people_type_them(text: str, mm_per_s: float) -> None:
    assert parse_speed(text) == pytest.approx(mm_per_s)


@pytest.mark.parametrize(
    "text", ["", "20", "20 ft", "ft/min", "0 ft/min", "-3 m/min", "20 ft/fortnight", "nan m/s"]
)
def test_what_is_no_speed_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_speed(text)


@pytest.mark.parametrize("text", ["4000", "4000 rpm", "4000rpm", "4000 /min", "4000 1/min"])
def test_turns_per_minute(text: str) -> None:
    assert parse_turns_per_minute(text) == 4000


@pytest.mark.parametrize("text", ["", "0", "-4000", "fast", "4000 in", "1000000"])
def test_what_is_no_number_of_turns_is_refused(text: str) -> None:
    with pytest.raises(QuantityError):
        parse_turns_per_minute(text)


def test_nothing_cancels_for_the_finest_marks() -> None:
    """p²/(8R) to the last digit where R - root(R² - p²/4) would lose them all."""
    height = knife_marks(60, 1, 1e-6).height(100.0)
    assert height == pytest.approx(1e-12 / (8 * 50.0), rel=1e-9)
    assert not math.isclose(50 - math.sqrt(50**2 - 0.25e-12), height, rel_tol=0.1)
