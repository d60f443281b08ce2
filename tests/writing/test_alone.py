"""What is typed for one setting is refused for what it is, not for how a file would spell it."""

from __future__ import annotations

import pytest

from shopboard.writing.alone import refused_alone


@pytest.mark.parametrize(
    ("table", "key", "typed", "says"),
    [
        ("machine", "id", "1", "'1'"),
        ("machine", "id", "saw-2", ""),
        ("machine", "name", "1234", ""),
        ("machine.cutter", "edges", "9", "4"),
        ("machine.cutter", "edges", "2", ""),
        ("machine.point", "lever", "80", ""),
        ("machine.point", "lever", "80 mmm", "mmm"),
        ("machine.task", "every", "rubbish", "rubbish"),
        ("machine.task", "every", "4 weeks", ""),
        ("shop", "hours", "rubbish", "rubbish"),
        ("shop", "hours", "8-17", ""),
    ],
)
def test_a_value_is_refused_for_what_it_is(table: str, key: str, typed: str, says: str) -> None:
    why = refused_alone(table, key, [typed], "mm")
    assert bool(why) == bool(says)
    assert says in why.replace('"', "'")
    assert "quotes" not in why
