"""Coplanar: do a jointer's two tables lie in one plane?

A straightedge rests on the outfeed table and reaches over the infeed table,
once along the front and once along the back. The gaps under it give a plane
for each table; the difference of the two is pitch along the machine and twist
across it. The step at the lips is the depth of cut, not an error.

The error is the larger of pitch and twist, with its sign, and not the two in
one: each spoils work in its own way (pitch bows a jointed edge, twist winds a
face), each is set right by other mounts, and a tolerance is given for either.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken, tool_of
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields
from shopboard.checks.steps import Do
from shopboard.checks.surface import UNIT_FIELD, points_of
from shopboard.checks.two_tables import SIDES, ask_side, mount_moves, planes_json, tables
from shopboard.metrology.form import FormError
from shopboard.metrology.kind import measure
from shopboard.metrology.levelling import coplanarity
from shopboard.metrology.propagate import Input, steepest
from shopboard.metrology.uncertainty import Budget, Estimate, Source

_FROM_ABOVE = (
    "   ┌──────────────┐▒▒┌──────────────┐  back: fence",
    "   │   infeed     │▒▒│   outfeed    │",
    "   │■            ■│▒▒│■            ■│  front",
    "   └──────────────┘▒▒└──────────────┘",
    "   outer end     lips      outer end",
    "   (from above; ■ leaf here, in front, then at the back)",
)
WILD = 10.0
"""A gap of so many times the next smaller one (or a quarter millimetre) was misread."""
_LEAST_MM = 0.25


class Coplanar(MeasuredCheck):
    """The guided check."""

    name = "coplanar"
    title = "Jointer tables coplanar"
    fields = (
        Field("outfeed", "points", "outfeed stations, x along toward outfeed: x,y,z; x,y,z; ..."),
        Field("infeed", "points", "infeed stations: x,y,z; x,y,z; ..."),
        UNIT_FIELD,
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate typed stations alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        given = read_fields(self.fields, values)
        columns = ("x", "y", "z")
        stations = [points_of(given, name, columns) for name in ("outfeed", "infeed")]
        try:
            found = coplanarity(*stations)
        except FormError as error:
            raise ReckoningError([f"outfeed or infeed: {error}"]) from None
        return Outcome(
            method=self.name,
            estimate=Estimate(math.atan(found.worse), Budget(())),
            tolerance=given.tolerance("tolerance"),
            working=(self.formula_words({}),),
            note="the heights are taken as exact; the step is the depth of cut, not an error",
            adds=planes_json(found),
        )

    def to_do(self, job: Job) -> Sequence[Do]:
        """Lower the infeed table."""
        del job
        return (
            Do(
                key="lower",
                title="Lower the infeed table by about 1/64 in; lock it.",
                lines=(
                    "The straightedge must rest on the outfeed table alone.",
                    "No knife may lift it: turn the head by a block of wood, not by hand.",
                ),
                diagram=_FROM_ABOVE,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Ask where the stations are, then for the gaps under both lines."""
        del job
        return (
            Reading(
                "length",
                "How far from the lips are the outer stations?",
                "rule",
                ("Alike on both tables; as far out as it reaches.",),
                above=100,
                size="length",
            ),
            Reading(
                "width", "How far apart are front and back line?", "rule", above=40, size="width"
            ),
            *(one for side in SIDES for one in ask_side(side)),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse infeed gaps of which one is out of all reason beside the others."""
        del words
        names = [f"{side}_{at}" for side in SIDES for at in ("lip", "end")]
        gaps = sorted((values[name], name) for name in names)
        if gaps[-1][0] > WILD * max(gaps[-2][0], _LEAST_MM):
            side, _, at = gaps[-1][1].partition("_")
            where = "at the lip" if at == "lip" else "at the outer end"
            return f"{side} line, infeed gap {where}: over ten times the others; read it again"
        return ""

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the larger of pitch and twist, with its sign."""
        return math.atan(tables(values, words).worse)

    def near(
        self, values: Mapping[str, float], words: Mapping[str, str]
    ) -> Callable[[Mapping[str, float]], float]:
        """Give the formula with its corners."""
        return steepest(lambda read: self.formula(read, words), values)

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return "error = the larger of pitch and twist: infeed plane less outfeed plane"

    def own(self, job: Job) -> Mapping[str, Input]:
        """Give the straightedge's own error at its three places, the same on both lines."""
        limit = tool_of(job, "straightedge").limit
        return {
            f"edge_{at}": Input(
                0.0, (Source.within(f"straightedge at {name}", limit, lasting=True),)
            )
            for at, name in (
                ("out", "the outfeed end"),
                ("lip", "the lips"),
                ("in", "the infeed end"),
            )
        }

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give pitch, twist, step and both planes."""
        return planes_json(tables(values, words))

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give tables in one plane, the infeed table lowered."""
        gap = 0.4
        sizes = {"length": job.sizes.get("length", 600.0), "width": job.sizes.get("width", 150.0)}
        gaps = {f"{side}_{at}": gap for side in SIDES for at in ("lip", "end")}
        out = {f"{side}_out": 0.0 for side in SIDES}
        return {**sizes, **gaps, **out}, {f"{side}_light": "none" for side in SIDES}

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end or edge of the infeed table hangs, and which mounts to move."""
        found = tables(taken.values, taken.words)
        low, high = _PITCH if abs(found.along) >= abs(found.across) else _TWIST
        step = measure(abs(found.step), "length", job.unit)
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, low[0], high[0]),
            aims=(low[1], high[1]),
            moves=mount_moves(job, found),
            note=f"The step at the lips, {step}, is the depth of cut, not an error.",
        )


_PITCH = (
    ("the infeed table's outer end hangs low", "Raise the infeed table's outer end."),
    ("the infeed table's outer end stands high", "Lower the infeed table's outer end."),
)
_TWIST = (
    ("the infeed table is low at the front", "Raise the front of the infeed table."),
    ("the infeed table is low at the back", "Raise the back of the infeed table."),
)
"""For a positive and a negative error: what it is, what must move."""


METHOD = Coplanar()
