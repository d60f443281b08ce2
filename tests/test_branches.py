"""A function decides few things: what branches more is split by what each part decides.

The limit is that of the house, no standard's. Counted as McCabe counts (A complexity measure, IEEE
Transactions on Software Engineering SE-2, 1976, section on predicates: every condition of a
compound one is a branch of its own), with comprehensions and conditional expressions as branches.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parent.parent / "shopboard"

MOST = 15

MARK = "# branches:"
"""Begins the comment above a function that says why it has more."""

Function = ast.FunctionDef | ast.AsyncFunctionDef

_ONE = (ast.If, ast.IfExp, ast.For, ast.AsyncFor, ast.While, ast.ExceptHandler, ast.match_case)


def branches(function: Function) -> int:
    """Count the branches of a function; what is defined within it counts by itself."""
    count, todo = 0, [*ast.iter_child_nodes(function)]
    while todo:
        node = todo.pop()
        if isinstance(node, Function | ast.ClassDef):
            continue
        if isinstance(node, _ONE):
            count += 1
        elif isinstance(node, ast.BoolOp):
            count += len(node.values) - 1
        elif isinstance(node, ast.comprehension):
            count += 1 + len(node.ifs)
        todo += ast.iter_child_nodes(node)
    return count


def functions(source: str) -> Iterator[tuple[Function, str]]:
    """Give every function of a file with the comments that stand right above it."""
    lines = source.splitlines()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, Function):
            first = at = min(one.lineno for one in (node, *node.decorator_list)) - 1
            while at and lines[at - 1].lstrip().startswith("#"):
                at -= 1
            yield node, " ".join(line.strip(" #") for line in lines[at:first])


def wrong(function: Function, above: str) -> str:
    """Tell what is wrong with a function; nothing where nothing is."""
    reason, many = re.search(rf"{MARK.strip('# ')} *(.*)", above), branches(function)
    if many <= MOST:
        return "needs no reason any more" if reason else ""
    if reason is None:
        return f"has {many} branches and says no reason"
    return "" if len(reason[1].split()) > 5 else "says too little why it has so many"


def test_a_function_branches_little_or_says_why() -> None:
    found = [
        f"{path.relative_to(PACKAGE)}: {function.name} {problem}"
        for path in sorted(PACKAGE.rglob("*.py"))
        for function, above in functions(path.read_text(encoding="utf-8"))
        if (problem := wrong(function, above))
    ]
    assert found == []


@pytest.mark.parametrize(
    ("above", "most", "problem"),
    [
        ("", MOST + 1, f"has {MOST + 1} branches and says no reason"),
        ("branches: of it", MOST + 1, "says too little why it has so many"),
        ("branches: each is one case of a list of them", MOST + 1, ""),
        ("branches: each is one case of a list of them", MOST, "needs no reason any more"),
        ("", MOST, ""),
    ],
)
def test_what_is_wrong_is_found(above: str, most: int, problem: str) -> None:
    body = "".join(f"    if x == {number}: pass\n" for number in range(most))
    ((function, said),) = functions(f"# {above}\ndef one(x):\n{body}")
    assert wrong(function, said) == problem


def test_every_sort_of_branch_counts() -> None:
    """Counted by hand: if, elif, for, while, except, case, and, or, conditional, comprehension."""
    source = """
def one(x):
    if x and x > 1 or x < 0:
        pass
    elif x:
        pass
    for y in x:
        while y:
            pass
    try:
        pass
    except ValueError:
        pass
    match x:
        case 1:
            pass
        case _:
            pass

    def two():
        if x:
            pass

    return [a if a else b for a in x if a for b in a]
"""
    (one, _), (two, _) = functions(source)
    assert branches(one) == 4 + 2 + 1 + 2 + 1 + 3
    assert branches(two) == 1
