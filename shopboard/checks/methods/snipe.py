"""Snipe: how much deeper a planer cuts at the ends of a board, and how far in.

depth = thickness in the middle - thickness at the end. The error is the deeper
of the two; the leading end tells of the infeed table, the trailing end of the
outfeed table.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Literal

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken
from shopboard.checks.cutting import AT_THE_PLANER, PLANED_MM
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.kind import Kind

End = Literal["lead", "tail"]

_TABLES: dict[End, str] = {"lead": "infeed", "tail": "outfeed"}
"""The table whose outer end, standing too low, makes the snipe: common practice, no source."""

THICKER_MM = 0.25
"""An end thicker than the middle by more than this is no snipe."""

_DRAWING = (
    "      ▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄▄",
    "▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒   middle",
    "▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒▒",
    "tail                      lead   (fed this way, far too deep)",
)


class Snipe(MeasuredCheck):
    """The guided check."""

    name = "snipe"
    title = "Snipe"
    kind: Kind = "length"
    hands_near = False
    fields = (
        Field("middle", "length", "thickness in the middle", reads="calliper"),
        Field("lead", "length", "thickness at the end fed first", reads="calliper"),
        Field("tail", "length", "thickness at the end fed last", reads="calliper"),
        Field("lead_length", "length", "how far it reaches in", needed=False, reads="rule"),
        Field("tail_length", "length", "how far it reaches in", needed=False, reads="rule"),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Say what to take care of at the planer."""
        del job
        return AT_THE_PLANER

    def to_do(self, job: Job) -> Sequence[Do]:
        """Plane a long board."""
        del job
        return (
            Do(
                key="plane",
                title="Plane a long, flat board; mark the leading end.",
                lines=(
                    "At least 3 ft (1 m), one light pass, fed as you always do.",
                    "Straightedge on the face: light at an end is snipe.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Three thicknesses, two lengths."""
        del job
        reach = ("From the end to where light stops; 0 when there is none.",)
        return (
            Reading("middle", "How thick is it in the middle?", "calliper", at_most=300),
            Reading("lead", "How thick is it at the leading end?", "calliper", at_most=300),
            Reading("tail", "How thick is it at the trailing end?", "calliper", at_most=300),
            _reach("lead_length", "How far in does it reach, leading end?", reach),
            _reach("tail_length", "How far in does it reach, trailing end?", reach),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse an end that is thicker than the middle, or a step that no snipe is."""
        del words
        for end in _TABLES:
            depth = _depth(values, end)
            if depth < -THICKER_MM:
                return f"{end}: thicker than the middle, which is no snipe; read both again"
            if depth > values["middle"] / 4:
                return f"{end}: more than a quarter thinner than the middle; read both again"
        return ""

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the depth at the deeper end."""
        del words
        return _depth(values, _deeper(values))

    def near(
        self, values: Mapping[str, float], words: Mapping[str, str]
    ) -> Callable[[Mapping[str, float]], float]:
        """Stay at the end that is deeper, even where the other is nearly as deep."""
        del words
        end = _deeper(values)
        return lambda read: _depth(read, end)

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return "error = middle - end, at the deeper end"

    def repeats_to(self, values: Mapping[str, float]) -> float:
        """Give how well two thicknesses repeat."""
        del values
        return math.sqrt(2) * PLANED_MM

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give depth and length at both ends."""
        del words
        depths: dict[str, object] = {
            f"{end}_depth": value_json(_depth(values, end), "length") for end in _TABLES
        }
        reaches = {
            name: value_json(values[name], "length")
            for name in ("lead_length", "tail_length")
            if name in values
        }
        return {"deeper_end": _deeper(values), **depths, **reaches}

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a board without snipe."""
        del job
        lengths = {"lead_length": 0.0, "tail_length": 0.0}
        return {"middle": 19.0, "lead": 19.0, "tail": 19.0, **lengths}, {}

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end is sniped, and which table makes it."""
        end = _deeper(taken.values)
        word = "leading" if end == "lead" else "trailing"
        plus = f"the {word} end is cut deeper"
        minus = "the ends are thicker than the middle"
        table = f"The outer end of the {_TABLES[end]} table must"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "length", job.unit, plus, minus),
            aims=(f"{table} come up.", f"{table} go down."),
        )


def _reach(key: str, title: str, lines: tuple[str, ...]) -> Reading:
    return Reading(key, title, "rule", lines, may_equal=True, at_most=1500)


def _depth(values: Mapping[str, float], end: End) -> float:
    return values["middle"] - values[end]


def _deeper(values: Mapping[str, float]) -> End:
    return "lead" if values["lead"] <= values["tail"] else "tail"


METHOD = Snipe()
