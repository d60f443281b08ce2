"""Snipe: how much deeper a planer cuts at the ends of a board, and how far in.

depth = thickness in the middle - thickness at the end. The error is the deeper
of the two; the leading end tells of the infeed table, the trailing end of the
outfeed table.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from typing import Literal

from shopboard.checks.advice import which_way
from shopboard.checks.asked import Chosen, Reading, Taken, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.lying import snipe
from shopboard.checks.job import CheckContext
from shopboard.checks.outcome import Outcome
from shopboard.checks.planed import PLANED_MM, PlanedBoard
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.kind import Kind
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import small_move

End = Literal["lead", "tail"]

_TABLES: dict[End, str] = {"lead": "infeed", "tail": "outfeed"}
"""The table whose outer end, standing too low, makes the snipe: common practice, no source."""

STEP_MM = 0.15
"""A step that a light along a straightedge cannot miss: six thou, common practice, no source."""

SHORTEST_REACH_MM = 6.0
"""A shorter snipe was not made by a table that droops: common practice, no source."""

THICKER_MM = 0.25
"""An end thicker than the middle by more than this is no snipe."""


def _thick(key: str, title: str) -> Reading:
    return Reading(key, title, "calliper", at_most=300, true=19.0)


def _reach(key: str, title: str) -> Reading:
    lines = ("From the end to where light stops; 0 when there is none.",)
    return Reading(key, title, "rule", lines, may_equal=True, at_most=1500, true=0.0)


class Snipe(PlanedBoard):
    """The guided check."""

    name = "snipe"
    title = "Snipe"
    finds = "the ends of a board come out no thinner than its middle"
    signs = "plus: an end is cut deeper than the middle; minus: the ends are thicker"
    tools = "calliper"
    minutes = 10.0
    widest_board = True
    kind: Kind = "length"
    fields = (
        Field("middle", "length", "thickness in the middle", reads="calliper"),
        Field("lead", "length", "thickness at the end fed first", reads="calliper"),
        Field("tail", "length", "thickness at the end fed last", reads="calliper"),
        Field("lead_length", "length", "how far it reaches in", needed=False, reads="rule"),
        Field("tail_length", "length", "how far it reaches in", needed=False, reads="rule"),
        Field("board", "length", "how long the board is", needed=False),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    takes_sizes = ("length",)
    steps = (
        Do(
            key="plane",
            title="Plane a long, flat board; mark the leading end.",
            lines=(
                "At least [3 ft|1 m] long, one light pass, fed as you always do.",
                "Straightedge on the face: light at an end is snipe.",
                "All three thicknesses along one line, as far from the same edge.",
            ),
        ),
    )

    reads = (
        _thick("middle", "How thick is it in the middle?"),
        _thick("lead", "How thick is it at the leading end?"),
        _thick("tail", "How thick is it at the trailing end?"),
        _reach("lead_length", "How far in does it reach, leading end?"),
        _reach("tail_length", "How far in does it reach, trailing end?"),
    )
    formula_is = "error = middle - end, at the deeper end"

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw the board, its ends as deep as they were read."""
        read = seen.values
        depths: dict[str, float] = {
            end: _depth(read, end) for end in _TABLES if {"middle", end} <= {*read}
        }
        return snipe(depths, seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse an end that is thicker than the middle, or a step that no snipe is."""
        for end in _TABLES:
            depth = _depth(values, end)
            if depth < -THICKER_MM:
                return contradict(
                    f"{end}: thicker than the middle, which is no snipe; read both again",
                    "middle",
                    end,
                )
            if depth > values["middle"] / 4:
                return contradict(
                    f"{end}: more than a quarter thinner than the middle; read both again",
                    "middle",
                    end,
                )
            reach = values.get(f"{end}_length")
            if reach == 0.0 and depth > STEP_MM:
                return contradict(
                    f"{end}_length: the {end} end is thinner than the middle, so it reaches in by"
                    " more than 0; read it again",
                    end,
                    f"{end}_length",
                )
        return _too_long(values, values.get("board", math.inf))

    def beyond_the_job(
        self, job: CheckContext, values: Values, words: Chosen
    ) -> Contradiction | None:
        """Refuse snipe that is longer than the shop file's board."""
        return _too_long(values, job.sizes.get("length", math.inf))

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the depth at the deeper end."""
        return _depth(values, _deeper(values))

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Stay at the end that is deeper, even where the other is nearly as deep."""
        end = _deeper(values)
        return lambda read: _depth(read, end)

    def repeats_to(self, values: Values) -> float:
        """Give how well two thicknesses repeat."""
        return math.sqrt(2) * PLANED_MM

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give depth and length at both ends."""
        depths: dict[str, object] = {
            f"{end}_depth": value_json(_depth(values, end), "length") for end in _TABLES
        }
        reaches = {
            name: value_json(values[name], "length")
            for name in ("lead_length", "tail_length")
            if name in values
        }
        return {"deeper_end": _deeper(values), **depths, **reaches}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end is sniped, and which table makes it."""
        end = _deeper(taken.values)
        word = "leading" if end == "lead" else "trailing"
        plus = f"the {word} end is cut deeper"
        minus = "the ends are thicker than the middle"
        table = f"The outer end of the {_TABLES[end]} table must"
        return replace(
            outcome,
            called="Snipe",
            lean=which_way(outcome.estimate, "length", job.unit, plus, minus),
            aims=(f"{table} come up.", f"{table} go down."),
            moves=_moves(job, taken.values, end),
        )


def _too_long(values: Values, board: float) -> Contradiction | None:
    """Refuse snipe from either end that reaches the middle, where it would not be seen at all."""
    for end in _TABLES:
        name = f"{end}_length"
        if values.get(name, 0.0) >= board / 2:
            return contradict(f"{name}: it is more than half of the board; read it again", name)
    return None


def _moves(job: CheckContext, values: Values, end: End) -> tuple[str, ...]:
    """Say how far to raise the outer end of the table that drooped.

    Over the snipe's length the board lay as the drooping table did: it stood up into the knives by
    the snipe's depth, so that the table drops by depth / length all along (plane geometry).
    """
    depth, reach = _depth(values, end), values.get(f"{end}_length", 0.0)
    way = "Raise" if depth > 0 else "Lower"
    again = "Head locked? Go half the way, plane another board, measure again."
    outer = f"{way} the outer end of the {_TABLES[end]} table"
    if reach < SHORTEST_REACH_MM or depth <= 0:
        return (f"{outer} a little.", again)
    each, words = by_unit(job.unit, (MM_PER_INCH, "inch"), (100.0, "100 mm"))
    by = small_move(depth / reach * each, job.unit)
    return (f"{outer} by about {by} for every {words} of that table's length.", again)


def _depth(values: Values, end: End) -> float:
    return values["middle"] - values[end]


def _deeper(values: Values) -> End:
    return "lead" if values["lead"] <= values["tail"] else "tail"


METHOD = Snipe()
