"""Lists of the methods, each held against what the methods declare of themselves."""

from __future__ import annotations

import re

import pytest

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.usual import USUAL_JOB
from shopboard.handbook.tables import method_tables
from shopboard.handbook.topics import topic_lines
from shopboard.results.doubt import BY_STRAIGHTEDGE

TOOLS = {"leaves", "indicator", "calliper", "rule", "square", "straightedge", "watch", "tape"}


@pytest.mark.parametrize("name", registry.names())
def test_the_help_lists_a_method_once_where_it_is_done(name: str) -> None:
    """At the machine with hands near, away from it, or of the tools; with what it takes."""
    method = registry.method(name)
    tables = method_tables()
    (place,) = [where for where, rows in tables.items() if name in [row.name for row in rows]]
    near = "at_the_machine" if method.hands_near else "by_a_cut"
    assert place == ("of_tools" if method.proves else near)
    (row,) = [row for row in tables[place] if row.name == name]
    assert all(tool in row.words for tool in TOOLS & set(re.findall("[a-z]+", method.tools)))
    shown = "\n".join("".join(t for t, _ in one) for one in topic_lines("checks", tables, 80))
    assert len(re.findall(rf"^{name} ", shown, re.M)) == 1


def test_what_lays_a_straightedge_on_is_known_before_any_method_is_read() -> None:
    assert registry.taking("straightedge") == BY_STRAIGHTEDGE


@pytest.mark.parametrize("name", registry.names())
def test_a_method_declares_the_tools_that_it_reads_with(name: str) -> None:
    """A rule is at hand in any shop, and left out where finer tools are asked for."""
    method = registry.method(name)
    assert method.title
    if isinstance(method, DeclaredCheck):
        read = {one.tool for one in method.asked(USUAL_JOB) if isinstance(one, Reading)}
        assert all(tool in method.tools for tool in read - {"rule", "count"})
