"""A plugin of pytest: which test runs which function of the package, and how long each takes.

Each function tells it by a first line of its own, put in when its module is loaded: to listen to
every call that Python makes takes several times as long.
"""

from __future__ import annotations

import ast
import builtins
import json
import os
import time
from collections.abc import Iterator
from importlib.machinery import SourceFileLoader
from pathlib import Path
from typing import Any

import pytest

WRITTEN_TO = "SHOPBOARD_SEEN_BY"
TELLS = "_function_runs_"
"""What a function calls; among the builtins, so that every module has it."""

Ran = dict[str, tuple[float, list[str]]]
"""By test: its seconds, and ``file:function`` of all that it ran."""


def telling(source: bytes, file: str) -> ast.Module:
    """Give a module whose functions tell that they run: each as the outermost one around it."""
    tree = ast.parse(source)
    for outer in tree.body:
        if not isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            continue
        for one in ast.walk(outer):
            if isinstance(one, ast.FunctionDef | ast.AsyncFunctionDef):
                told = ast.parse(f"{TELLS}({f'{file}:{outer.name}'!r})").body[0]
                one.body.insert(0 if ast.get_docstring(one) is None else 1, told)
    return ast.fix_missing_locations(tree)


class Seen:
    """Hears what runs while a test does."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._runs: set[str] = set()
        self._failed: set[str] = set()
        self._tests: Ran = {}

    def listen(self) -> None:
        """Have every module of the package tell, that is loaded from now on."""
        setattr(builtins, TELLS, self._runs.add)
        package, folder = str(self._folder / "shopboard") + os.sep, str(self._folder) + os.sep
        usual = SourceFileLoader.source_to_code

        def source_to_code(
            loader: SourceFileLoader, data: Any, path: Any, *, _optimize: int = -1
        ) -> Any:
            if str(path).startswith(package):
                data = telling(data, str(path).removeprefix(folder))
            return usual(loader, data, path, _optimize=_optimize)

        SourceFileLoader.source_to_code = source_to_code  # type: ignore[assignment,method-assign]

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note what runs within a test and its fixtures."""
        self._runs.clear()
        begun = time.perf_counter()
        yield
        self._tests[item.nodeid] = (time.perf_counter() - begun, sorted(self._runs))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what does not pass: it tells nothing."""
        if not report.passed:
            self._failed.add(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        """Write it all down: what passes, and the names of what does not."""
        passed = {one: ran for one, ran in self._tests.items() if one not in self._failed}
        text = json.dumps([passed, sorted(self._failed)])
        Path(os.environ[WRITTEN_TO]).write_text(text, encoding="utf-8")


def pytest_load_initial_conftests(early_config: pytest.Config) -> None:
    """Begin to listen, before anything of the package is loaded."""
    seen = Seen(Path.cwd())
    seen.listen()
    early_config.pluginmanager.register(seen, "seen")
