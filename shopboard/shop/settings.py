"""A setting of the shop file is declared once, at the field of the model that holds it.

    lasts: Annotated[Life | None, LIFE] = None
    away_days: Annotated[int | None, DAYS, "away"] = None

That is the kind of value that stands there, its key where that is not the name of the field, and
what holds where it is left out; without that it must be there. A model imports the kinds for its
types alone, and nothing looks at them before a file is read: what was kept of a file is shown
without them.
"""

from __future__ import annotations

from functools import cache
from inspect import Parameter, signature
from typing import Any, TypeVar, get_args, get_type_hints

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop import (
    gauge_values,
    kinds,
    machine_values,
    measures,
    minutes,
    project_values,
    read_hours,
    upkeep_values,
)
from shopboard.shop.table import Parser, Table

Model = TypeVar("Model")

_KINDS: dict[str, object] = {
    name: value
    for module in (
        *(kinds, measures, minutes, machine_values, upkeep_values, project_values),
        *(read_hours, gauge_values),
    )
    for name, value in vars(module).items()
    if isinstance(value, Parser)
}
"""Every kind of value, by the name that a model declares it by."""


class ShopSetting(NamedTuple):
    """How a field of a model is read."""

    key: str
    kind: Parser[Any] | None
    """None: it is no setting, or declared by its reader."""
    default: object
    """What holds where it is left out; `...`: it must be there."""


@cache
def settings_of(model: type) -> dict[str, ShopSetting]:
    """Give what the fields of a model declare, by their names in order."""
    fields = signature(model).parameters.items()
    found = {}
    for name, one in fields:
        default = ... if one.default is Parameter.empty else one.default
        kind, key = (*_declared(model, name), name)[:2]
        found[name] = ShopSetting(key, kind, default)
    return found


def _declared(model: type, field: str) -> tuple[Any, ...]:
    """Give the kind of a field and, where it is another one, its key."""
    hint = model.__annotations__[field]
    words = getattr(hint, "__forward_arg__", hint)
    if not isinstance(words, str) or not words.startswith("Annotated["):
        return (None,)
    alone = type(field, (), {"__annotations__": {field: words}, "__module__": model.__module__})
    meant = get_type_hints(alone, None, _KINDS, include_extras=True)[field]
    kind, *key = meant.__metadata__
    if kind is kinds.ONE_OF:  # an empty word stands for what is left out
        kind = kinds.choice(*filter(None, get_args(meant.__origin__)))
    return (kind, *key)


def read_settings(t: Table, model: type, **given: object) -> dict[str, Any]:
    """Read the settings of a model, in the order of its fields.

    Args:
        t: the table.
        model: its fields declare them.
        given: fields that declare nothing, or not as they are to be read here: a value, or a
            function of what was read before, by field. For a model of a room that knows no shop
            file a `Parser`.
    """
    read: dict[str, Any] = {}
    for field, setting in settings_of(model).items():
        how = given.get(field, setting.kind)
        if isinstance(how, Parser):
            read[field] = t.take(setting.key, how, setting.default)
        elif callable(how):
            read[field] = how(read)
        elif field in given:
            read[field] = how
    return read


def read_as(t: Table, model: type[Model], **given: object) -> Model:
    """Read a whole model as `read_settings` does."""
    return model(**read_settings(t, model, **given))
