"""A drawing that is made when somebody looks at it: of a way that is only walked, nobody does."""

from __future__ import annotations

from collections.abc import Callable
from functools import cached_property


class Drawing:
    """The drawing of a step in both sizes; two that look alike are alike."""

    def __init__(self, draw: Callable[[int], tuple[str, ...]]) -> None:
        """Keep how it is drawn at size 1 or 2; what it is drawn from must not change any more."""
        self._draw = draw

    @cached_property
    def small(self) -> tuple[str, ...]:
        """At most 34 columns and 9 rows, and its view."""
        return self._draw(1)

    @cached_property
    def large(self) -> tuple[str, ...]:
        """Twice as large, for where there is room."""
        return self._draw(2)

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, Drawing):
            return NotImplemented
        return (self.small, self.large) == (other.small, other.large)

    def __hash__(self) -> int:
        return hash(self.small)
