"""One word for one thing: what board, commands, reports and help say, held to the glossary."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

from shopboard.handbook.glossary import GLOSSARY
from tests.results.test_source_ids import outcomes

PACKAGE = Path(__file__).parents[1] / "shopboard"
REPLACED = {
    r"\bunder way\b": "in progress",
    r"\b[Ss]afety rounds?\b|\b(?:the|this|newest|last) round(?! tenon)\b": "daily safety walk",
    r"\b(?:[Vv]oid|VOID)(?:s|ed)?\b": "withdraw",
    r"\b(?:[Tt]aken|TAKEN|[Tt]ake|[Tt]ook) (?:back|BACK)\b": "withdraw",
    r"\b[Rr]ests on (?!a knee)": "depends on",
    r"\b[Uu]ndone by\b": "check again after",
    r"\b[Mm]end(?:s|ed|ing)?\b": "fix",
    r"\blicensed person\b": "someone qualified",
    r"\b[Rr]eckon(?:s|ed|ing)?\b": "work out",
    r"\b[Mm]isfits?\b": "gap or error",
    r"\b[Ww]ander(?:s|ed|ing)?\b": "creep, drift",
    r"\b[Dd]rawer\b": "your tools",
    r"\b[Ll]evers?\b": "reach",
    r"\b[Dd]rawn (?:closed|together)\b": "pulled together, clamped shut",
    r"\bpast (?:its|their) life\b": "past its rated life",
    r"\b(?:is|are|stands?|has) kept$|\bKEPT\b": "no checks",
}
"""What was said before, and the word of today."""
AS_THEY_ARE = (
    r"take back",  # the old name of an act of a command, and the name of an act in doubt
    r"[\w.-]*[a-z][\w.*-]*",  # keys of file and records, kinds, states: written by programs
    r"[\w.\[\]-]+\.[\w.\[\]-]+",  # fields of JSON
    r"\[+[\w.]+\]+",  # tables of the shop file
    r"why void",  # a column of the table that is exported: spreadsheets know it
    r", hands=.*",  # what a check was told of its point, as older versions wrote it
    r"panel, frame, carcase, drawer, .*",  # sorts of joints
)
"""Whole texts that stay."""
OF_OTHER_THINGS = (
    r"\(lever in the shop file\)|\bpoint\.lever\b|\blever=|\blever_angle\b",  # a key of the file
    r"\bkey \(lever, |\bmachine\.point, lever, ",  # the same, as an example
    r"(?:dial or|slanted|angle of the|angle of a|over 60 degrees a|indicator's|or) lever\b",
    r"\blever (?:indicator|about|along)\b",  # of an indicator
    r"then the lever\b",  # of a machine
    r"wander\b(?= is null)",  # a field of JSON
)
"""What is called so for another reason; all that is around it is read."""


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
    for path in sorted(PACKAGE.rglob("*.py")):
        yield from ((str(path.relative_to(PACKAGE)), one) for one in said(path))
    for path in sorted((PACKAGE / "handbook").glob("*.txt")):
        yield path.name, path.read_text(encoding="utf-8")


def outdated(text: str) -> list[str]:
    """Give the words of a text that were replaced."""
    if (
        not _ANY.search(text)
        or any(re.fullmatch(one, text) for one in AS_THEY_ARE)
        or _IS_SQL.search(text)
    ):
        return []
    for other in OF_OTHER_THINGS:
        text = re.sub(other, "", text)
    return [word for old, word in REPLACED.items() if re.search(old, text)]


_ANY = re.compile("|".join(REPLACED))
_IS_SQL = re.compile(r"\b(?:SELECT|FROM entries|ON entries|WHERE|AND i\.|<> 'void')")


def test_no_room_says_a_word_that_was_replaced() -> None:
    """In screens, commands, help, errors and reports, and in what they are made of."""
    found = [(name, text[:70], old) for name, text in texts() if (old := outdated(text))]
    assert found == []


def test_a_word_that_was_replaced_would_be_found() -> None:
    for words in (
        "1 to mend in it",
        "The misfit is 0.1 mm",
        "VOID",
        "in the drawer",
        "It wanders",
        "past its life",
    ):
        assert outdated(words), words


def test_no_line_of_a_working_says_a_word_that_was_replaced() -> None:
    """What is one word alone is no key there: a source is shown by its name."""
    said = {source.label for one in outcomes() for source in one.estimate.budget.sources}
    assert "reach" in said
    assert [one for one in said if outdated(f"Of it {one} is most.")] == []


def test_the_glossary_is_short_and_explains_each_word_once() -> None:
    assert 15 <= len(GLOSSARY) <= 25
    assert len(set(GLOSSARY.values())) == len(GLOSSARY)


def test_the_readme_tells_the_same_words() -> None:
    """Each in its row, none more; the program is where they are told first."""
    told = (PACKAGE.parent / "README.md").read_text(encoding="utf-8")
    table = told.partition("## The words\n")[2].partition("\n## ")[0]
    rows = [line.strip("| ").split(" | ") for line in table.splitlines() if line.startswith("|")]
    assert [tuple(row) for row in rows[2:]] == [*GLOSSARY.items()]
