"""What a guided check can ask: a caution, a thing to do, a choice, a number, words, a finding.

Every step knows by itself which texts answer it, so that a screen, a plain
line and a file of answers are judged alike. An answer is kept as the text that
`accept` gives back.
"""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Literal, TypeVar

from shopboard.base.text import first_unfit, harmless, plain_signs
from shopboard.checks.drawing import Drawing
from shopboard.checks.outcome import Outcome
from shopboard.metrology.number import NoNumberError
from shopboard.metrology.quantity import (
    QuantityError,
    Unit,
    parse_length,
    parse_number,
)
from shopboard.metrology.thread import parse_turns
from shopboard.metrology.units import by_unit
from shopboard.metrology.wording import turns


class AnswerError(ValueError):
    """An answer that cannot be taken: what is wrong with it, and what would do."""


class NoSuchAnswerError(AnswerError):
    """What is typed is none of the answers to a choice."""

    def __init__(self, words: str, numbers: str) -> None:
        super().__init__(words)
        self.numbers = numbers
        """Which numbers answer it, to who sees them before the answers."""


@dataclass(frozen=True)
class Option:
    """One of the answers to a choice."""

    value: str
    """What is recorded, and what a file of answers says: ``top``."""
    label: str
    """What the person reads: ``Light at the top``."""
    also: str = ""
    """Another word for it, where the bench has one: ``tip``, of a square that lies flat."""

    @property
    def word(self) -> str:
        """The word that is offered for it."""
        return self.also or self.value


@dataclass(frozen=True, kw_only=True)
class Step:
    """What every step has."""

    key: str
    """Name of its answer, one of a kind within the check."""
    title: str
    """One short imperative sentence."""
    lines: tuple[str, ...] = ()
    """A few more, if needed."""
    drawing: Drawing | None = None
    """Of the point, as far as the answers tell how it is."""
    big: str = ""
    """What must be read from two metres: the leaves to try and where, how far to turn."""
    count: str = ""
    """Where it stands among its like: ``leaf 4, at most 2 more``; empty: that is not known."""
    known: str = ""
    """What is known so far, on one line."""
    unasked: str | None = None
    """Answer that a file of answers need not give; None: it must be given."""
    assumed: str | None = None
    """Answer that is taken without asking; only a file of answers may say otherwise."""
    implied_by: tuple[tuple[str, str], ...] = ()
    """(other key, answer): a file that answers the other key answers this step too."""

    @property
    def diagram(self) -> tuple[str, ...]:
        """The drawing line by line: at most 34 columns and 9 rows, and its view."""
        return self.drawing.small if self.drawing else ()

    @property
    def large(self) -> tuple[str, ...]:
        """The same drawing twice as large, for where there is room."""
        return self.drawing.large if self.drawing else ()

    def accept(self, text: str) -> str:
        """Give the answer as it is kept.

        Raises:
            AnswerError: when the text does not answer this step.
        """
        raise NotImplementedError


StepT = TypeVar("StepT", bound=Step)


@dataclass(frozen=True, kw_only=True)
class Do(Step):
    """Something to do; any answer but a no says that it is done."""

    unasked: str | None = "done"
    moves: bool = False
    """Doing it moves what is measured: earlier results of the point no longer hold."""

    def accept(self, text: str) -> str:
        """Take anything that is not a no."""
        if text.strip().lower() in ("no", "n"):
            raise AnswerError("this must be done before the check goes on")
        return "done"


@dataclass(frozen=True, kw_only=True)
class Choice(Step):
    """One of a few answers, by number, by value or by the start of its label."""

    options: tuple[Option, ...]
    default: str | None = None
    """What Enter alone means; None: Enter alone is no answer."""
    so_far: Outcome | None = None
    """What the readings so far come to, where there are any to decide by."""

    def accept(self, text: str) -> str:
        """Take a number from 1, or a value."""
        said = " ".join(plain_signs(text).split()).lower()
        if not said and self.default is not None:
            return self.default
        short = len(said) <= 2  # a held key's thousand digits are no number of an option
        if short and said.isascii() and said.isdigit() and 1 <= int(said) <= len(self.options):
            return self.options[int(said) - 1].value
        for option in self.options:
            if said in (option.value, option.also or option.value):
                return option.value
        if said.isascii() and said.isdigit():
            last = f" to {len(self.options)}" if len(self.options) > 1 else ""
            raise AnswerError(f"there is no answer {said[:9]} here: press 1{last}")
        allowed = ", ".join(option.word for option in self.options)
        near = difflib.get_close_matches(said, [one.word for one in self.options], 1, 0.6)
        hint = f"; did you mean {near[0]}?" if near else ""
        shown = harmless(text.strip()[:40])
        raise NoSuchAnswerError(
            f"{shown!r} is not an answer here; it can be {allowed}{hint}", f"{self.numbers}{hint}"
        )

    @property
    def numbers(self) -> str:
        """Say which numbers answer it, to who sees them before the answers."""
        one, *others = self.options
        return f"type 1 to {len(self.options)}" if others else f"type 1: {one.label}"


@dataclass(frozen=True, kw_only=True)
class Caution(Choice):
    """A state of the machine that must be so before hands go near; it is never assumed."""


SLACK = 1e-6
"""Answers closer than this (mm or turns) are the same: 12 thou is 0.012 in in spite of rounding."""


@dataclass(frozen=True, kw_only=True)
class Number(Step):
    """A length, or turns of a screw."""

    unit: Unit
    """What a bare number means."""
    is_turns: bool = False
    plain: Literal["", "count", "s"] = ""
    """A number without a unit of length: a count, or seconds."""
    above: float = 0.0
    """The answer must be larger than this (mm or turns), or equal where `may_equal`."""
    may_equal: bool = False
    at_most: float = 1e6
    """mm or turns."""
    too_small: str = "it must be larger than 0"
    too_large: str = "that is too large"
    default: str | None = None

    def value(self, text: str) -> float:
        """Give the answer as mm or turns."""
        if self.plain:
            return parse_number(text)
        return parse_turns(text) if self.is_turns else parse_length(text, self.unit).mm

    def accept(self, text: str) -> str:
        """Take a number with or without its unit; gives it back with its unit."""
        said = plain_signs(text).strip() or self.default or ""
        try:
            value = self.value(said)
        except QuantityError as error:
            raise AnswerError(self._no_number(said, error)) from None
        said = said.replace(",", ".")  # a number is written with one mark, however it was typed
        if value < self.above + (-SLACK if self.may_equal else SLACK):
            raise AnswerError(f"{self.with_unit(said)}: {self.too_small}{self._as_thou(said)}")
        if value > self.at_most + SLACK:
            raise AnswerError(f"{self.with_unit(said)}: {self.too_large}{self._as_thou(said)}")
        return said if self.is_turns or self.plain else self.with_unit(said)

    def _no_number(self, said: str, error: QuantityError) -> str:
        """Say what is wanted where words are typed; else why it is no such number."""
        if not said[:1].isalpha() or not isinstance(error, NoNumberError):
            return str(error)
        shown = harmless(said[:40])
        nothing = self.may_equal and self.above <= 0 and not self.is_turns
        zero = "; for none write 0" if nothing else ""
        return f"{shown!r} is not a number{zero}"

    def _as_thou(self, said: str) -> str:
        """Offer thou for a bare number that is far too large in inches, either side of zero."""
        bare = said.removeprefix("-").replace(".", "", 1).isdigit()
        if self.is_turns or self.plain or not bare or by_unit(self.unit, inch=False, mm=True):
            return ""
        fits = self.above < self.value(f"{said} thou") <= self.at_most
        return f"; did you mean {said} thou?" if fits else ""

    def with_unit(self, said: str) -> str:
        """Write what is typed with the unit that it is taken in."""
        if self.is_turns:
            amount = parse_turns(said)
            return turns(amount) if amount > 0 else said
        if self.plain:
            bare = self.plain == "s" and said[-1:].isdigit()
            return f"{said} s" if bare else said
        try:
            parse_length(said)
        except QuantityError:
            return f"{said} {by_unit(self.unit, 'in', 'mm')}"
        return said


LONGEST_WORDS = 200
"""Characters of a note: it is read on a board, not in a book."""


@dataclass(frozen=True, kw_only=True)
class Words(Step):
    """A few plain words on one line."""

    default: str | None = None
    """What Enter alone means; None: something must be written."""

    def accept(self, text: str) -> str:
        """Take words that can be shown as they are."""
        said = text.strip() or self.default or ""
        if not said:
            raise AnswerError("write a few words")
        if not any(char.isalpha() for char in said):  # a digit that was meant as an answer
            raise AnswerError(f"{harmless(said[:20])} alone says nothing later: write a few words")
        if len(said) > LONGEST_WORDS:
            raise AnswerError(f"{len(said)} characters; a note has {LONGEST_WORDS} at the most")
        unfit = first_unfit(said)
        if unfit is not None:
            code = f"U+{ord(said[unfit]):04X}"
            raise AnswerError(f"a note is plain words on one line, without the character {code}")
        return said


@dataclass(frozen=True, kw_only=True)
class Finding(Step):
    """A result; taking it records it."""

    outcome: Outcome
    run: str
    """``as-found``, or ``as-left`` after a correction."""
    unasked: str | None = "record"

    def accept(self, text: str) -> str:
        """Take anything that is not a no."""
        if text.strip().lower() in ("no", "n"):
            raise AnswerError("go back one step to change the reading, or leave the check")
        return "record"
