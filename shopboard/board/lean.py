"""Textual without the parts that no board ever shows: a tenth of the wait for the first picture.

Textual (8.2.8) imports its palette of commands, with a dozen widgets, its notices and tables,
whether or not an application has any, and asyncio imports what encrypted connections need. Both
import parts of Python's own library that nothing uses before something fails or is copied: those
are read when they are first used.
"""

from __future__ import annotations

import sys
from importlib import import_module
from importlib.util import find_spec, module_from_spec
from threading import RLock
from types import ModuleType

_UNUSED = ("textual.command", "textual.widgets._toast", "rich.table")
"""Modules that no board uses: it has no palette, and its screens take in no notice of Textual's."""
_ENCRYPTION = "ssl"

_LATER: dict[str, tuple[str, ...]] = {
    "difflib": ("get_close_matches",),
    "ipaddress": (),
    "linecache": (),
    "locale": (),
    "mimetypes": (),
    "shutil": (),
    "tempfile": ("TemporaryFile", "gettempdir"),
    "textwrap": (),
    "tokenize": (),
    "uuid": ("uuid4",),
}
"""Modules of Python's own that are imported at the start, and not used; of some a function is
taken out meanwhile."""


def import_textual() -> None:
    """Import Textual; whole, where it was imported already or does not do without."""
    if "textual" in sys.modules:
        return
    before = set(sys.modules)
    for name in _LATER:
        if name not in before:
            _leave_for_later(name)
    for name in _UNUSED:
        sys.modules.setdefault(name, _Unused(name))
    if _ENCRYPTION not in sys.modules:
        # None: as if Python had been built without it, which asyncio provides for
        sys.modules[_ENCRYPTION] = None  # type: ignore[assignment]
    try:
        import_module("textual.app")
        # what would add a place for notices to each screen, and is told not to
        import_module("textual.screen").Screen._extend_compose  # noqa: B018, SLF001
    except Exception:  # noqa: BLE001 - a later Textual may use at import what an earlier did not
        for name in set(sys.modules) - before:
            if name.partition(".")[0] in ("textual", "rich"):
                del sys.modules[name]
    finally:
        for name in (*_UNUSED, _ENCRYPTION):
            if name not in before:
                sys.modules.pop(name, None)  # who asks for it later gets the real one


def _leave_for_later(name: str) -> None:
    """Have a module read when something of it is first asked for."""
    spec = find_spec(name)
    if spec is not None and spec.loader is not None:
        module = module_from_spec(spec)
        module.__class__ = _Later
        sys.modules[name] = module


_reading = RLock()


class _Later(ModuleType):
    """A module that nothing has been read of yet; it becomes the module itself."""

    def __getattr__(self, name: str) -> object:
        """Read the module, and give what was asked for; a function may wait until it is called."""
        if name.startswith("__"):
            raise AttributeError(name)
        if name in _LATER[self.__name__]:
            return lambda *given, **named: getattr(_read(self, name), name)(*given, **named)
        return getattr(_read(self, name), name)


def _read(module: ModuleType, name: str) -> ModuleType:
    """Read a module that was left for later, for the sake of a name in it."""
    with _reading:  # another thread waits until all of it is there
        if type(module) is _Later:
            spec = module.__spec__
            if spec is None or spec.loader is None or "is read" in vars(module):
                raise AttributeError(name)  # asked by itself, while it is being read
            vars(module)["is read"] = True
            spec.loader.exec_module(module)
            del vars(module)["is read"]
            object.__setattr__(module, "__class__", ModuleType)
    return module


class _Unused(ModuleType):
    """A module that has every name, and nothing under any."""

    def __getattr__(self, name: str) -> type:
        if name.startswith("__"):
            raise AttributeError(name)
        return type(name, (), {})
