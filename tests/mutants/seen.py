"""A plugin of pytest: which test runs which function of the package, and how long each takes."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Iterator
from pathlib import Path
from types import CodeType, FrameType

import pytest

WRITTEN_TO = "SHOPBOARD_SEEN_BY"


class Seen:
    """Listens to every call while a test runs."""

    def __init__(self, package: Path) -> None:
        self._package = str(package) + os.sep
        self._codes: set[CodeType] = set()
        self._failed: set[str] = set()
        self.tests: dict[str, tuple[float, list[str]]] = {}
        """By test: its seconds, and ``file:function`` of all that it ran."""

    def _called(self, frame: FrameType, event: str, _: object) -> None:
        self._codes.add(frame.f_code)

    @pytest.hookimpl(hookwrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        """Note what runs within a test and its fixtures."""
        self._codes.clear()
        begun = time.perf_counter()
        sys.settrace(self._called)
        yield
        sys.settrace(None)
        here = {
            f"{code.co_filename.removeprefix(self._package)}:{code.co_qualname.split('.')[0]}"
            for code in self._codes
            if code.co_filename.startswith(self._package)
        }
        self.tests[item.nodeid] = (time.perf_counter() - begun, sorted(here))

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Note what does not pass: it tells nothing."""
        if not report.passed:
            self._failed.add(report.nodeid)

    def pytest_sessionfinish(self) -> None:
        """Write it all down."""
        self.tests = {one: ran for one, ran in self.tests.items() if one not in self._failed}
        Path(os.environ[WRITTEN_TO]).write_text(json.dumps(self.tests), encoding="utf-8")


def pytest_configure(config: pytest.Config) -> None:
    """Begin to listen."""
    config.pluginmanager.register(Seen(Path.cwd()), "seen")
