"""`NamedTuple` as of `typing`, made in less than half of the time: a start makes a hundred of them.

That of `typing` compiles each annotation when the class is made, which nothing
here needs: whoever reads them asks `typing.get_type_hints`, which does it then.
"""

from __future__ import annotations

from collections import namedtuple
from typing import TYPE_CHECKING

__all__ = ["NamedTuple"]

if TYPE_CHECKING:
    from typing import NamedTuple
else:
    _MADE = {"__annotations__", "__module__", "__qualname__"}

    class _Made(type):
        """Makes of a class with annotated fields a tuple with names, and its methods."""

        def __new__(cls, name, bases, space):
            if not bases:
                return super().__new__(cls, name, bases, space)
            fields = space.get("__annotations__", {})
            defaults = [space[one] for one in fields if one in space]
            made = namedtuple(name, fields, defaults=defaults, module=space["__module__"])
            made.__annotations__ = fields
            made.__qualname__ = space["__qualname__"]
            for key, value in space.items():
                if key not in fields and key not in _MADE:
                    setattr(made, key, value)
            return made

    class NamedTuple(metaclass=_Made):
        """What a class of named fields is made from."""
