"""Lists of the methods, each held against what the methods declare of themselves.

A new method fails here until its row stands in the README; what is expected is said.
"""

from __future__ import annotations

import re

import pytest

from shopboard.checks import registry
from shopboard.checks.asked import Reading
from shopboard.checks.declared import DeclaredCheck
from shopboard.checks.usual import USUAL_JOB
from shopboard.results.doubt import BY_STRAIGHTEDGE
from tests.test_imports import PACKAGE

README = (PACKAGE.parent / "README.md").read_text(encoding="utf-8")
CHECKS = README.partition("## The checks\n")[2].partition("\n## ")[0]


@pytest.mark.parametrize("name", registry.names())
def test_the_readme_lists_a_method_under_its_tools(name: str) -> None:
    method, rows = registry.method(name), [row for row in CHECKS.split("\n") if f"`{name}`" in row]
    assert len(rows) == 1, f"README.md, The checks: `{name}` ({method.tools}) belongs on one line"
    tools, rest = set(re.findall(r"[a-z]+", method.tools)), "By rule, watch, indicator or eye"
    if method.proves:
        sorts = ["Of the tools themselves"]
    elif not method.hands_near:
        sorts = ["By a test cut", rest]
    elif tools == {"indicator"}:
        sorts = ["With an indicator"]
    elif "leaves" in tools and "rule" not in tools:
        sorts = ["With square or straightedge, and leaves"]
    else:
        sorts = [rest]
    lead = rows[0].removeprefix("- ").partition(":")[0]
    assert lead in sorts, f"README.md, The checks: `{name}` belongs on the line of {sorts}"


def test_the_readme_names_no_method_that_is_not_there() -> None:
    rows = "\n".join(row for row in CHECKS.split("\n") if row.startswith("- "))
    assert set(re.findall(r"`([a-z-]+)`", rows)) == set(registry.names())


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
