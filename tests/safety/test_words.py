"""What the program may not say: that anything is safe. It shows what was answered, no more."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator

import pytest

from shopboard.base.locations import sample_path

TOP = sample_path().parent
PACKAGE = TOP / "shopboard"
CALLED_SAFE = re.compile(r"\bsafe to\b|\b(?:is|are|be|now|all|machine|shop) safe\b", re.IGNORECASE)


def texts_of(source: str) -> Iterator[str]:
    """Give every text of a program that can reach a person: not its docstrings."""
    tree = ast.parse(source)
    silent = {
        id(node.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)
    }
    for node in ast.walk(tree):
        if not isinstance(node, ast.Constant) or id(node) in silent:
            continue
        if isinstance(node.value, str):
            yield node.value


def test_no_text_of_the_program_calls_anything_safe() -> None:
    said = {path: [*texts_of(path.read_text("utf-8"))] for path in PACKAGE.rglob("*.py")}
    assert sum(map(len, said.values())) > 1000, "the texts are there to be looked at"
    wrong = [(path, text) for path in said for text in said[path] if CALLED_SAFE.search(text)]
    assert wrong == []


def test_the_sample_shop_calls_nothing_safe() -> None:
    assert CALLED_SAFE.search(sample_path().read_text("utf-8")) is None


@pytest.mark.parametrize(
    "source",
    ['say("The saw is safe.")', 'say(f"{name} is safe to use")', 'say("safe " "to" " run")'],
)
def test_such_a_text_would_be_found(source: str) -> None:
    assert any(CALLED_SAFE.search(text) for text in texts_of(source))
