"""The ways to ask, short: each takes what is asked for and gives what the answer means."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from datetime import date
from typing import Any

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.steps import Option
from shopboard.describing.asked import GO_ON, Look, OneOf, Ticks, Typed, ticked, told_length
from shopboard.describing.talk import Asking, Talk
from shopboard.metrology.units import by_unit
from shopboard.shop.declared import sorts
from shopboard.shop.table import Parser


def kind_of(table: str, key: str) -> Parser[Any]:
    """Give the kind of value that the shop's reader takes for a setting."""
    kind = sorts()[table].keys[key].asked.kind
    if kind is None:
        raise LookupError(f"{table}.{key} is a table")
    return kind


def words(
    talk: Talk,
    key: str,
    title: str,
    setting: tuple[str, str],
    default: str,
    *lines: str,
    tells: Callable[[Any], str] | None = None,
    behind: str = "",
) -> Asking[str]:
    """Ask for what a setting takes: a name, a time, a thread."""
    told = yield Typed(
        key=key,
        title=title,
        lines=lines,
        kind=kind_of(*setting),
        unit=talk.unit,
        default=default,
        tells=tells,
        behind=behind,
    )
    return told.answer


def name(
    talk: Talk, key: str, title: str, setting: tuple[str, str], default: str, *lines: str
) -> Asking[str]:
    """Ask what something is called: a digit that was meant for a list before is no name."""
    told = yield Typed(
        key=key,
        title=title,
        lines=lines,
        kind=kind_of(*setting),
        unit=talk.unit,
        default=default,
        because=_no_name,
    )
    return told.answer


def _no_name(words: str) -> str:
    return "" if any(map(str.isalpha, words)) else "a name has a letter in it"


def length(
    talk: Talk,
    key: str,
    title: str,
    setting: tuple[str, str],
    default: str,
    *lines: str,
    because: Callable[[Any], str] | None = None,
) -> Asking[str]:
    """Ask for a length; a bare number takes the shop's unit."""
    told = yield Typed(
        key=key,
        title=title,
        lines=lines,
        kind=kind_of(*setting),
        unit=talk.unit,
        default=default,
        tells=told_length(talk.unit),
        behind=by_unit(talk.unit, "in", "mm"),
        because=because,
    )
    return told.answer


def choice(
    key: str,
    title: str,
    options: Mapping[str, str],
    default: str,
    *lines: str,
    beside: Sequence[str] = (),
) -> Asking[str]:
    """Ask for one of a few."""
    told = yield OneOf(
        key=key,
        title=title,
        lines=lines,
        options=tuple(Option(value, label) for value, label in options.items()),
        default=default,
        beside=tuple(beside),
    )
    return told.answer


_ANOTHER = "another"


def few(
    talk: Talk,
    key: str,
    title: str,
    setting: tuple[str, str],
    usual: Mapping[str, str],
    default: str,
    *lines: str,
    behind: str = "",
    typed: str = "",
) -> Asking[str]:
    """Ask for what a setting takes: one of the usual by its number, or another that is typed.

    Args:
        talk: what is known.
        key: of the question; of the one after it, `.other` stands behind it.
        title: what is asked.
        setting: table and key.
        usual: what is mostly there, and how it is said.
        default: what Enter takes; it is listed first where it is not among the usual.
        lines: said above the field for another.
        behind: the unit that a bare number is written with.
        typed: what Enter takes where another is typed; empty: the same as before.
    """
    listed = {**({} if default in usual else {default: default}), **usual}
    meant = {value.lower(): value for value in listed}  # answers are told apart without capitals
    options = {**{one: listed[meant[one]] for one in meant}, _ANOTHER: "another: type it"}
    found = yield from choice(key, title, options, default.lower())
    if found != _ANOTHER:
        return meant[found]
    return (
        yield from words(
            talk, f"{key}.other", title, setting, typed or default, *lines, behind=behind
        )
    )


def unit_behind(value: str) -> str:
    """Give the unit of a value, which a bare number typed in its place takes: ``hours``."""
    return re.sub(r"^[\d.,/ ]+", "", value)


def ticks(
    key: str,
    title: str,
    options: Mapping[str, str],
    *lines: str,
    set_already: Sequence[str] = (),
    beside: Mapping[str, str] | None = None,
    least: str = "",
) -> Asking[list[str]]:
    """Ask for any of several."""
    told = yield Ticks(
        key=key,
        title=title,
        lines=lines,
        options=tuple(Option(value, label) for value, label in options.items()),
        ticked=tuple(set_already),
        beside=tuple((beside or {}).get(one, "") for one in options),
        least=least,
    )
    return ticked(told.answer)


class Row(NamedTuple):
    """A line of a list that is looked over."""

    label: str
    taken: str
    """What is taken for it, unless it is changed."""
    change: Callable[[], Asking[None]]
    """Asks what is to be changed there."""


def look(
    key: str,
    title: str | Callable[[], str],
    rows: Callable[[], Mapping[str, Row]],
    *lines: str,
) -> Asking[date]:
    """Show what is taken, and let every line of it be changed; give the day when all was taken."""
    while True:
        shown = rows()
        told = yield Look(
            key=key,
            title=title if isinstance(title, str) else title(),
            lines=lines,
            options=tuple(Option(value, row.label) for value, row in shown.items()),
            beside=tuple(row.taken for row in shown.values()),
        )
        if told.answer == GO_ON:
            return told.day
        yield from shown[told.answer].change()
