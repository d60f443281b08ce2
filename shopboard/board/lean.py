"""Textual without the parts that no board ever shows: a tenth of the wait for the first picture.

Textual (8.2.8) imports its palette of commands, with a dozen widgets, whether or not an
application has one, and asyncio imports what encrypted connections need.
"""

from __future__ import annotations

import sys
from importlib import import_module
from types import ModuleType

_PALETTE, _ENCRYPTION = "textual.command", "ssl"


def import_textual() -> None:
    """Import Textual; whole, where it was imported already or does not do without."""
    if "textual" in sys.modules:
        return
    before = set(sys.modules)
    sys.modules[_PALETTE] = _Unused(_PALETTE)
    if _ENCRYPTION not in sys.modules:
        # None: as if Python had been built without it, which asyncio provides for
        sys.modules[_ENCRYPTION] = None  # type: ignore[assignment]
    try:
        import_module("textual.app")
    except Exception:  # noqa: BLE001 - a later Textual may use at import what an earlier did not
        for name in set(sys.modules) - before:
            if name.partition(".")[0] == "textual":
                del sys.modules[name]
    finally:
        for name in (_PALETTE, _ENCRYPTION):
            if name not in before:
                sys.modules.pop(name, None)  # who asks for it later gets the real one


class _Unused(ModuleType):
    """A module that has every name, and nothing under any."""

    def __getattr__(self, name: str) -> type:
        if name.startswith("__"):
            raise AttributeError(name)
        return type(name, (), {})
