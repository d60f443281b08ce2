"""Questions that take one line of typing: how much, on which day, or a few words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import TYPE_CHECKING, TypeAlias

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.state_words import state_word
from shopboard.board.field import MINUS_ONCE_MORE, FieldSort
from shopboard.checks.steps import Words
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.metrology.quantity import QuantityError, Unit
from shopboard.metrology.units import by_unit
from shopboard.results.record import CheckRecord
from shopboard.upkeep.moment import MomentError, read_moment
from shopboard.upkeep.uses import parse_use, question, use_words

if TYPE_CHECKING:
    from shopboard.prep.time_had import TimeHad

AnswerRead: TypeAlias = "str | float | datetime | TimeHad"


class Prompt(NamedTuple):
    """What is asked, and how an answer is read."""

    title: str
    lines: tuple[str, ...]
    read: Callable[[str], AnswerRead]
    """Raises QuantityError, AnswerError or MomentError, with the reason."""
    echo: Callable[[str], str]
    """Says what is understood by now."""
    sort: FieldSort = "number"
    """What is typed."""


def amount_of(what: str, unit: Unit) -> Prompt:
    """Ask how much a machine was used."""
    asked = question(what, unit)

    def echo(text: str) -> str:
        if text == "-":
            return MINUS_ONCE_MORE
        try:
            return use_words(what, parse_use(what, text, unit), unit) if text.strip() else ""
        except QuantityError as error:
            return str(error)

    sort: FieldSort = by_unit(unit, inch="number", mm="decimal")
    return Prompt(*asked, lambda text: parse_use(what, text, unit), echo, sort)


WORDS = Prompt(
    "What is the note?",
    ("A few words; no check is affected.",),
    read=Words(key="note", title="").accept,
    echo=lambda _: "",
    sort="words",
)


def day_until(now: datetime) -> Prompt:
    """Ask for the day of something that is said later."""

    def read(text: str) -> datetime:
        return read_moment(text, now).when

    def echo(text: str) -> str:
        try:
            return day(read(text)) if text.strip() else ""
        except MomentError as error:
            return str(error)

    lines = ("A day: 2026-05-01, or 2 for two days ago.", "It counts from when it is recorded.")
    return Prompt("On which day was it?", lines, read, echo, "day")


def about_result(record: CheckRecord, unit: Unit) -> Prompt:
    """Ask for a note about a result."""
    found = record.lean
    if record.kind not in YES_NO_WORDS:
        error = record.words(unit)
        found = f"{error}, {state_word(record.verdict)}"
    lines = [f"{day(record.when)}, {record.run}: {found}."]
    if record.remark:
        lines.append(f"Noted so far: {record.remark}. A new note replaces it.")
    return WORDS._replace(title="What is the note about this result?", lines=tuple(lines))
