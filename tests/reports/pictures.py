"""Results to draw, and the eye that reads the drawn picture again."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from shopboard.base.painted import Line
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import Kind
from shopboard.metrology.spread import Spread
from shopboard.reports.trace import Trace, TraceEvent, trace_of
from shopboard.results.record import CheckRecord

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
MARKS = "█▒▞!"
TEN = Tolerance(-math.atan(10 / 12000), math.atan(10 / 12000), "10 thou/ft")


def result(
    seq: int,
    days_ago: float,
    thou: float,
    u: float = 0.0,
    *,
    kind: Kind = "angle",
    verdict: str = "true",
    run: str = "as-found",
    sitting: str = "",
    void: str | None = None,
    tolerance: str = "10 thou/ft",
    clock_ok: bool = True,
) -> CheckRecord:
    """A result so many days before `NOW`; an angle by its slope in thou/ft, else as it is."""
    error, expanded = (math.atan(one / 12000) if kind == "angle" else one for one in (thou, u))
    return CheckRecord(
        uid=f"{sitting or f'v{seq}'}-{seq}",
        seq=seq,
        when=NOW - timedelta(days=days_ago),
        machine="saw",
        point="blade",
        run=run,
        method="square",
        kind=kind,
        spread=Spread(error, (), expanded / 2),
        expanded=expanded,
        tolerance=tolerance,
        verdict=verdict,
        lean="",
        readings={},
        k=2.0,
        void=void,
        clock_ok=clock_ok,
    )


def event(
    seq: int, days_ago: float, what: str = "blade changed", undoes: bool = True
) -> TraceEvent:
    return TraceEvent(seq, NOW - timedelta(days=days_ago), what, undoes)


def story(
    *records: CheckRecord, events: Sequence[TraceEvent] = (), tolerance: Tolerance | None = TEN
) -> Trace:
    return trace_of(records, [], events, tolerance)


@dataclass
class Seen:
    """A drawn picture, as somebody reads it: by its axes and labels alone."""

    lines: Sequence[Line]

    def __post_init__(self) -> None:
        self.texts = ["".join(text for text, _ in line) for line in self.lines]
        self.floor = next(at for at, text in enumerate(self.texts) if "└" in text)
        self.edge = self.texts[self.floor].index("└")
        self.rows = [text[self.edge + 1 :] for text in self.texts[1 : self.floor]]
        self.columns = len(self.texts[self.floor]) - self.edge - 1

    def column(self, number: int) -> str:
        """The signs of a column from top to bottom."""
        return "".join(row[number] for row in self.rows)

    def marks(self, number: int) -> list[int]:
        """The rows of a column in which a result is marked."""
        return [row for row, sign in enumerate(self.column(number)) if sign in MARKS]

    def labels(self) -> dict[int, float]:
        """The round numbers at the rows; those of the limits, which are bold, left out."""
        found = {}
        for row, line in enumerate(self.lines[1 : self.floor]):
            text, style = line[0]
            if text.strip() and style == "dim":
                found[row] = float(text)
        return found

    def limits(self) -> list[int]:
        """The rows of the limits."""
        return [row for row, line in enumerate(self.lines[1 : self.floor]) if line[0][1] == "bold"]

    def scale(self) -> tuple[float, float]:
        """Value at the middle of the first row and height of a row, by two of the labels."""
        (first, top), *_, (last, bottom) = self.labels().items()
        cell = (top - bottom) / (last - first)
        return top + first * cell, cell
