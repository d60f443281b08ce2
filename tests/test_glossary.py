"""One word for one thing: what board, commands, reports and help say, held to the glossary."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from shopboard.handbook.glossary import GLOSSARY

PACKAGE = Path(__file__).parents[1] / "shopboard"
ROOMS = ("board", "commands", "reports")
REPLACED = {
    r"under way": "in progress",
    r"safety round": "daily safety walk",
    r"\bVOID\b|as void\b": "withdraw",
    r"[Tt]aken back|[Tt]ake back": "withdraw",
    r"[Rr]ests on": "depends on",
    r"[Uu]ndone by": "check again after",
    r"to mend\b|\bMend\b": "fix",
    r"licensed person": "someone qualified",
}
"""What was said before, and the word of today."""
AS_THEY_ARE = {
    "take back": "what the act of a cutter is called in a command, and a name of an act in doubt",
}
"""Whole texts that stay: commands and names that are relied on. JSON's fields have pages of
their own (``json_*.py``)."""


def said(path: Path) -> Iterator[str]:
    """Give every text of a module but docstrings."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    remarks = {
        id(one.value)
        for node in ast.walk(tree)
        if isinstance(node, ast.Module | ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef)
        for one in node.body
        if isinstance(one, ast.Expr)
    }
    for node in ast.walk(tree):
        text = node.value if isinstance(node, ast.Constant) else None
        if isinstance(text, str) and id(node) not in remarks:
            yield text


def texts() -> Iterator[tuple[str, str]]:
    for room in ROOMS:
        for path in sorted((PACKAGE / room).rglob("*.py")):
            if not path.name.startswith("json_"):
                yield from ((path.name, one) for one in said(path))
    for path in sorted((PACKAGE / "handbook").glob("*.txt")):
        yield path.name, path.read_text(encoding="utf-8")


def test_no_screen_command_or_help_says_a_word_that_was_replaced() -> None:
    found = [
        (name, text[:60], word)
        for name, text in texts()
        for old, word in REPLACED.items()
        if text not in AS_THEY_ARE and re.search(old, text.replace("saw.rip-24 take back", ""))
    ]
    assert found == []


def test_the_glossary_is_short_and_explains_each_word_once() -> None:
    assert 15 <= len(GLOSSARY) <= 25
    assert len(set(GLOSSARY.values())) == len(GLOSSARY)
