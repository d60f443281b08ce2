"""One thing, one name: nobody has to ask which of two is meant."""

from __future__ import annotations

import ast
from collections import defaultdict
from collections.abc import Iterator
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "shopboard"


def named(tree: ast.Module) -> Iterator[str]:
    """Give the classes of a module, and the other names that it gives to types."""
    for one in tree.body:
        if isinstance(one, ast.ClassDef):
            yield one.name
        elif isinstance(one, ast.Assign):
            names = [each.id for each in one.targets if isinstance(each, ast.Name)]
            yield from (name for name in names if name[0].isupper() and not name.isupper())


def test_no_two_classes_and_no_two_types_have_one_name() -> None:
    where: dict[str, list[str]] = defaultdict(list)
    for path in sorted(PACKAGE.rglob("*.py")):
        for name in named(ast.parse(path.read_text(encoding="utf-8"))):
            where[name].append(path.relative_to(PACKAGE).as_posix())
    assert len(where) > 300
    assert {name: files for name, files in where.items() if len(files) > 1} == {}
