"""What is asked while a shop is described: what a setting takes, ticks, a list to look over.

Every question knows by itself which texts answer it, as the steps of a check do. Each has an
answer that Enter alone gives.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopboard.base.text import first_unfit, harmless, plain_signs
from shopboard.checks.steps import AnswerError, Choice, Option, Step
from shopboard.metrology.quantity import Unit
from shopboard.metrology.wording import leaf
from shopboard.shop.problems import Problem
from shopboard.shop.report import RefusedError, Report, Spot
from shopboard.shop.table import Parser
from shopboard.writing.spelling import BETWEEN

NOTHING = "none"
"""Answer of ticks of which none is set."""

GO_ON = "as it stands"
"""Answer to a list that is looked over: nothing in it is to change."""

_BARE = re.compile(r"[\d.]+(?: *\d+/\d+)?|\d+/\d+")


@dataclass(frozen=True, kw_only=True)
class Typed(Step):
    """Something that a setting of the shop file takes, read by the kind of that setting."""

    kind: Parser[Any]
    unit: Unit
    """What a bare number means."""
    default: str
    """What Enter alone means."""
    behind: str = ""
    """The unit that a bare number is written with: ``mm``, ``min``."""
    tells: Callable[[Any], str] | None = None
    """Says how a value is understood; None: as it is typed."""
    because: Callable[[Any], str] | None = None
    """Says why a value will not do here; empty where it will."""

    def read(self, text: str) -> tuple[str, Any]:
        """Give what is typed, as it will be written, and its value.

        Raises:
            AnswerError: when the setting does not take it.
        """
        said = " ".join(text.split()) or self.default
        unfit = first_unfit(said)
        if unfit is not None:
            raise AnswerError(
                f"the character U+{ord(said[unfit]):04X} cannot be shown: leave it out"
            )
        if self.behind:
            said = plain_signs(said)
            said = f"{said} {self.behind}" if _BARE.fullmatch(said) else said
        report = Report()
        report.unit, report.unit_known = self.unit, True
        try:
            raw = parts(said) if BETWEEN in said and takes_several(self.kind) else said
            value = self.kind.read_alone(raw, Spot((), report))
        except RefusedError as refused:
            told = Problem(1, 1, refused.what, refused.allowed, refused.hint).sentence
            raise AnswerError(harmless(told)) from None
        why = self.because(value) if self.because else ""
        if why:
            raise AnswerError(f"{said}: {why}")
        return said, value

    def accept(self, text: str) -> str:
        """Take what the setting takes."""
        return self.read(text)[0]

    def echo(self, text: str) -> str:
        """Say what is understood by now, or what is wrong with it."""
        try:
            _, value = self.read(text)
        except AnswerError as error:
            return str(error)
        return self.tells(value) if self.tells else ""


def takes_several(kind: Parser[Any]) -> bool:
    """Tell whether a list of values may stand at a setting, too."""
    schema: Mapping[str, Any] = kind.allowed().schema
    return any(one.get("type") == "array" for one in schema.get("anyOf", ()))


def parts(said: str) -> list[str]:
    """Give the values of a list, as they are typed for a setting that takes several."""
    return [part for one in said.split(BETWEEN) if (part := one.strip())]


def told_length(unit: Unit) -> Callable[[Any], str]:
    """Give how a length is told back."""
    return lambda mm: leaf(mm, unit)


@dataclass(frozen=True, kw_only=True)
class Ticks(Step):
    """Any of several; the answer names those that are ticked."""

    options: tuple[Option, ...]
    ticked: tuple[str, ...] = ()
    """What Enter alone means."""
    beside: tuple[str, ...] = ()
    """What stands beside each, such as why it is not ticked; empty: nothing."""
    least: str = ""
    """What is said where none is ticked; empty: that will do."""

    @property
    def default(self) -> str:
        """The answer that Enter alone gives."""
        return as_ticks(self.ticked)

    def accept(self, text: str) -> str:
        """Take numbers from 1 or values, with commas or spaces between them."""
        said = plain_signs(text).strip()
        values = [one.value for one in self.options]
        chosen = {self._one(word, values) for word in _words(said or self.default, values)}
        if not chosen and self.least:
            raise AnswerError(self.least)
        return as_ticks([one for one in values if one in chosen])

    def _one(self, word: str, values: Sequence[str]) -> str:
        if word in values:
            return word
        if word.isascii() and word.isdigit() and len(word) < 3 and 1 <= int(word) <= len(values):
            return values[int(word) - 1]
        asked = f"numbers from 1 to {len(values)}, such as 1, 3, or {NOTHING}"
        raise AnswerError(f"{harmless(word[:40])!r} is none of these: write {asked}")


def _words(text: str, values: Sequence[str]) -> list[str]:
    """Give the words of an answer; a value may have a space in it."""
    if text == NOTHING:
        return []
    if "," in text or text in values:
        return [one.strip() for one in text.split(",") if one.strip()]
    return text.split()


def as_ticks(values: Sequence[str]) -> str:
    """Write what is ticked as one answer."""
    return ",".join(values) or NOTHING


def ticked(answer: str) -> list[str]:
    """Give what is ticked by an answer."""
    return [] if answer == NOTHING else answer.split(",")


@dataclass(frozen=True, kw_only=True)
class OneOf(Choice):
    """One of a few answers; more may stand beside each."""

    beside: tuple[str, ...] = ()
    """What stands beside each; empty: nothing."""


@dataclass(frozen=True, kw_only=True)
class Look(OneOf):
    """A list to look over: a number leads to what can be changed in that line, Enter goes on."""

    default: str | None = GO_ON

    def accept(self, text: str) -> str:
        """Take the number of a line; nothing goes on."""
        return GO_ON if text.strip() in ("", GO_ON) else super().accept(text)


Question = Typed | Ticks | OneOf
