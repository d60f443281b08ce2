"""What was worked out is kept for as long as what it was worked out of stays as it is."""

from collections.abc import Callable
from typing import Any, TypeVar

_Found = TypeVar("_Found")


class WorkedOut:
    """Values by their names, each with what it holds of."""

    def __init__(self) -> None:
        self._found: dict[str, tuple[object, Any]] = {}

    def kept(self, name: str, of: object, work: Callable[[], _Found]) -> _Found:
        """Give a value; it is worked out when it is first asked for, and anew of anything else.

        Args:
            name: tells it from every other.
            of: what it follows from, or the numbers of that; compared with ``==``.
            work: works it out. Where that fails, what was known before stays.
        """
        if self.known(name, of) is None:
            self._found[name] = (of, work())
        found: _Found = self._found[name][1]
        return found

    def known(self, name: str, of: object) -> Any | None:
        """Give a value that is at hand; None: it would have to be worked out."""
        before = self._found.get(name)
        return before[1] if before is not None and before[0] == of else None
