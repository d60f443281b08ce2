"""What is told beside an error is called as one says it at the machine: common practice, no source.

The letters of JSON and its joined words are for programs.
"""

from __future__ import annotations

import pytest

from shopboard.checks.addition_names import FOR_PROGRAMS, NAMES, WORDS, name_of
from shopboard.checks.additions import addition_lines
from shopboard.commands.json_parts import ADDED

_NO_WORDS = ("ls ", "peak", "closing", "follows over", "knife1", "planes", "strain", "zone", "slot")


def test_no_line_has_the_letters_of_a_key() -> None:
    for key in ADDED:
        name = key.split(".")[0].removesuffix("[]")
        for line in addition_lines({name: {"mm": 1.0}}):
            assert name in FOR_PROGRAMS or not any(one in f"{line} " for one in _NO_WORDS), line
            assert "_" not in line


def test_every_name_is_one_that_a_method_tells() -> None:
    told = {one.removesuffix("[]") for key in ADDED for one in key.split(".")}
    assert {*NAMES, *WORDS, *FOR_PROGRAMS} <= told


@pytest.mark.parametrize(
    ("adds", "line"),
    [
        ({"ls_peak_to_valley": {"mm": 0.181}}, "band along the best plane 0.181 mm"),
        ({"fence_follows_over_length": {"mm": 5.0}}, "fence must follow by 5 mm"),
        ({"leans_over_rise": {"thou": 15.6}}, "further away higher up by 15.6 thou"),
        ({"near_far": {"high": "far"}}, "near against far high far"),
        ({"heights": {"knife1_front": {"mm": 0.02}}}, "knife 1, front 0.02 mm"),
        ({"closing_deg": 0.219452}, "last corner misses 0.219452 deg"),
        ({"nearer_to_the_slot": "back"}, "nearer end   back"),
        ({"deeper_end": "tail"}, "deeper at    the trailing end"),
        ({"worse": "near_far"}, "worse is     near against far"),
    ],
)
def test_each_is_said_plainly(adds: dict[str, object], line: str) -> None:
    assert addition_lines(adds) == [line]


def test_what_has_no_other_name_is_its_words() -> None:
    assert name_of("sight_line") == "sight line"
    assert addition_lines({"planes": {"outfeed": {"b": {"deg": 0.0}}}}) == []
