"""What a method asks for, as data: values that are read with a tool, words that are picked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from shopboard.metrology.propagate import Input

Values = Mapping[str, float]
"""What was read, by its key: mm, rad, s."""

Chosen = Mapping[str, str]
"""What was picked, by its key."""

TruePoint = tuple[Values, Chosen]
"""What is read and picked at a point that is true."""

ToolKind = Literal["calliper", "indicator", "straightedge", "leaves", "rule", "count", "watch"]


@dataclass(frozen=True)
class Reading:
    """One value that is read and typed."""

    key: str
    """Name of its answer: ``front``."""
    title: str
    """What to do, one short sentence."""
    tool: ToolKind
    lines: tuple[str, ...] = ()
    above: float = 0.0
    """The value must be larger than this (mm, s or a count), or equal where `may_equal`."""
    may_equal: bool = False
    at_most: float = 10_000.0
    too_large: str = ""
    """What to do where the value is larger than that, in place of a plain limit."""
    size: str = ""
    """Name of the shop file's size that Enter alone takes."""
    closed_if: tuple[str, str] = ("", "")
    """(key of a pick, its value): then no leaf goes at either end, and the gap is 0, give or take
    the thinnest leaf. For tool ``leaves`` only."""
    only_if: tuple[str, tuple[str, ...]] = ("", ())
    """(key of a pick, its values): asked for only then."""
    touches: bool = False
    """Where the thinnest leaf won't go it touches: the gap is 0, give or take that leaf."""
    true: float | None = None
    """What it is at a point without error, where the shop file gives no such size; None: it is not
    read there, or the method says what it is."""

    @property
    def answers(self) -> tuple[str, ...]:
        """Names of the answers that it is made from: two leaves make a gap."""
        if self.tool == "leaves":
            return f"{self.key}.goes", f"{self.key}.refused"
        return (self.key,)

    def closed(self, words: Chosen) -> bool:
        """Tell whether a pick has said that there is no gap."""
        pick, value = self.closed_if
        return bool(pick) and words.get(pick) == value


@dataclass(frozen=True)
class Pick:
    """One of a few words, such as which end is wider."""

    key: str
    title: str
    options: tuple[tuple[str, str], ...]
    """(value, label)."""
    lines: tuple[str, ...] = ()
    usual: str | None = None
    """The value that Enter alone means, and that a file of answers need not give."""
    true: str = ""
    """What is picked at a point without error."""

    @property
    def answers(self) -> tuple[str, ...]:
        """Name of its answer."""
        return (self.key,)


@dataclass(frozen=True)
class Taken:
    """Every reading of one set."""

    inputs: Mapping[str, Input]
    """Lengths mm, times s, with what makes them uncertain."""
    words: Chosen
    """What was picked."""
    remarks: tuple[str, ...] = ()
    """What must stay on record beside the readings, such as one that was read again."""

    @property
    def values(self) -> dict[str, float]:
        """The readings without their uncertainty."""
        return {name: one.value for name, one in self.inputs.items()}


def answer_names(asked: Sequence[Reading | Pick]) -> tuple[str, ...]:
    """Give the names of every answer that is asked for."""
    return tuple(name for one in asked for name in one.answers)
