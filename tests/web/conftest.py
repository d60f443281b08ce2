"""A served shop, and a browser without a window; where there is no browser the test says so."""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from tests.web.serving import ServedShop

if TYPE_CHECKING:
    from playwright.sync_api import Browser

CHROMIUM = "/usr/bin/chromium"


@pytest.fixture
def served(tmp_path: Path) -> Iterator[ServedShop]:
    """A shop that is served while a test runs."""
    shop = ServedShop(tmp_path)
    shop.start()
    yield shop
    shop.stop()


@pytest.fixture(scope="module")
def only_asked(tmp_path_factory: pytest.TempPathFactory) -> Iterator[ServedShop]:
    """One for all tests of a file that record nothing there, and do not end it."""
    shop = ServedShop(tmp_path_factory.mktemp("served"))
    shop.start()
    yield shop
    shop.stop()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """Debian's own browser, driven by playwright."""
    if shutil.which(CHROMIUM) is None:
        pytest.skip(f"no browser at {CHROMIUM}: Debian's package chromium")
    sync = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    as_root = ["--no-sandbox"] if os.geteuid() == 0 else []  # it refuses to run with one as root
    with sync.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=as_root)
        yield browser
        browser.close()
