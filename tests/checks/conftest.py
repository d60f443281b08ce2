"""Fixtures of the checks' tests: the program, for what `reckon` prints."""

from __future__ import annotations

from tests.cli.conftest import program

__all__ = ["program"]
