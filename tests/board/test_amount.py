"""A value with its unit, changed by digits, plus and minus alone."""

from __future__ import annotations

import pytest

from shopboard.board.amount import completed, is_amount, one_step


@pytest.mark.parametrize(
    ("there", "typed", "meant"),
    [
        ("75 mm", "60", "60 mm"),
        ("3 months", "6", "6 months"),
        ("2 1/2 in", "3-1/4", "3-1/4 in"),
        ("1/4 turn", "1/8", "1/8 turn"),
        ("0.1 mm over 250 mm", ".2", ".2 mm over 250 mm"),
        ("0 to 3 thou", "4", "0 to 4 thou"),
        ("18", "20", "20"),
        ("75 mm", "3 in", "3 in"),
        ("75 mm", "60 ", "60 mm"),
        ("75 mm", "", ""),
    ],
)
def test_a_number_alone_takes_the_unit_that_stood_there(there: str, typed: str, meant: str) -> None:
    assert is_amount(there)
    assert completed(typed, there) == meant


@pytest.mark.parametrize(
    ("value", "more", "less"),
    [
        ("75 mm", "76 mm", "74 mm"),
        ("2 weeks", "3 weeks", "1 weeks"),
        (".012 in", ".013 in", ".011 in"),
        ("0.05 deg", "0.06 deg", "0.04 deg"),
        ("2 1/2 in", "3 0/2 in", "2 0/2 in"),
        ("0 to 3 thou", "0 to 4 thou", "0 to 2 thou"),
        ("0.1 mm over 250 mm", "0.2 mm over 250 mm", "0.0 mm over 250 mm"),
    ],
)
def test_it_goes_by_one_in_its_last_place(value: str, more: str, less: str) -> None:
    assert (one_step(value, "+"), one_step(value, "-")) == (more, less)


@pytest.mark.parametrize(
    "value", ["5/16-18", "M8x1.25", "2026-12-14", "blade changed", "4 weeks; 40 hours", "", "mm"]
)
def test_what_is_no_single_number_is_typed_as_it_is(value: str) -> None:
    assert not is_amount(value)
    assert one_step(value, "+") is None
    assert completed("5", value) == "5"
