"""Times as a person types them. The values are plain arithmetic: an hour has sixty minutes."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopboard.metrology.duration import LONGEST_RUN, hours_words, parse_minutes
from shopboard.metrology.quantity import QuantityError


@pytest.mark.parametrize(
    ("text", "minutes"),
    [
        ("2", 120),
        ("2.5", 150),
        (".5", 30),
        ("2h30", 150),
        ("2 h 30 min", 150),
        ("2H30m", 150),
        ("2:30", 150),
        ("0:05", 5),
        ("2 hours", 120),
        ("2.5h", 150),
        ("90 min", 90),
        ("90min", 90),
        (" 1 minute ", 1),
        ("1/2", 30),
        ("2 1/2 h", 150),
        ("10000", 600_000),
    ],
)
def test_a_time_is_read(text: str, minutes: float) -> None:
    """Hours by themselves, minutes by their name."""
    assert parse_minutes(text) == pytest.approx(minutes)


def test_a_bare_number_can_mean_minutes() -> None:
    """Where a wait is meant."""
    assert parse_minutes("10", "min") == 10
    assert parse_minutes("10 h", "min") == 600


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "nothing typed"),
        ("0", "more than 0"),
        ("-2", "more than 0"),
        ("0:00", "more than 0"),
        ("2h60", "0 to 59"),
        ("90 m", "unknown unit 'm'"),
        ("5 s", "unknown unit 's'"),
        ("2,5", "type a point, 2.5"),
        ("h", "does not start with a number"),
        ("nan", "does not start"),
        ("1e3", "does not|exponent"),
        ("10001", "at most 10,000 hours"),
        ("9" * 80, "too long"),
        ("٣", "digits 0 to 9"),
        ("2\x1b", "control"),
        ("2 3", "two numbers"),
    ],
)
def test_what_is_no_time_is_refused_with_the_reason(text: str, says: str) -> None:
    """And never guessed."""
    with pytest.raises(QuantityError, match=says):
        parse_minutes(text)


@given(st.integers(0, 9_999), st.integers(0, 59))
def test_hours_and_minutes_in_every_form_are_the_same_time(hours: int, minutes: int) -> None:
    """2h30, 2:30, 2 h 30 min and 150 min."""
    whole = hours * 60 + minutes
    forms = [f"{hours}h{minutes:02}", f"{hours}:{minutes:02}", f"{hours} h {minutes} min"]
    forms += [f"{whole} min"] * (whole < 1_000_000)
    for text in forms:
        if whole:
            assert parse_minutes(text) == whole
        else:
            with pytest.raises(QuantityError):
                parse_minutes(text)


@given(st.text(max_size=70))
def test_any_text_is_a_time_within_the_limits_or_refused(text: str) -> None:
    """Nothing else comes out."""
    try:
        minutes = parse_minutes(text)
    except QuantityError:
        return
    assert 0 < minutes <= LONGEST_RUN


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        (1, "1 min"),
        (45, "45 min"),
        (60, "1 h"),
        (90, "1.5 h"),
        (100, "1.67 h"),
        (2400, "40 h"),
        (72_000, "1,200 h"),
    ],
)
def test_a_run_in_words(minutes: float, words: str) -> None:
    """Short, and no more digits than a person would say."""
    assert hours_words(minutes) == words


@pytest.mark.parametrize(("minutes", "words"), [(59.4, "59 min"), (59.5, "0.99 h"), (60, "1 h")])
def test_sixty_minutes_are_an_hour(minutes: float, words: str) -> None:
    """An hour has 60 minutes (ISO 80000-3, from memory): nobody is told ``60 min``."""
    assert hours_words(minutes) == words


def test_sixty_characters_are_read_and_no_more() -> None:
    assert parse_minutes(f"2{'h':>59}") == 120
    with pytest.raises(QuantityError, match="more than 60 characters"):
        parse_minutes(f"2{'h':>60}")
