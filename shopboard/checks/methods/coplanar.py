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
from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, far_above, unlikely
from shopboard.checks.drawn.canvas import FOUND, AtStep, Lines
from shopboard.checks.drawn.plans import tables_tilted, two_tables
from shopboard.checks.inputs import tool_of
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import EITHER, SIDE, MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field, ReckoningError, read_fields
from shopboard.checks.steps import Do
from shopboard.checks.surface import (
    EXACT_HEIGHTS,
    UNIT_FIELD,
    WITHIN_FIELD,
    of_heights,
    points_of,
)
from shopboard.checks.two_tables import SIDES, ask_side, mount_moves, planes_json, tables
from shopboard.checks.within_reach import to_either_side
from shopboard.metrology.form import FormError
from shopboard.metrology.instruments import RULE_WITHIN_MM
from shopboard.metrology.kind import measure
from shopboard.metrology.levelling import coplanarity
from shopboard.metrology.propagate import Input, steepest
from shopboard.metrology.sources import STRAIGHTEDGE
from shopboard.metrology.uncertainty import Source
from shopboard.metrology.wording import length

_INFEED = tuple(f"{side}_{at}" for side in SIDES for at in ("lip", "end"))
_LEAST_MM = 0.05
"""A gap of many times the next smaller one (or this, two thou) was probably misread."""

TABLE_WITHIN_MM = 0.25
"""No corner of a table that is fit to joint on lies so far off the plane of all four: common
practice, no source."""


class Coplanar(MeasuredCheck):
    """The guided check."""

    name = "coplanar"
    takes_sizes = ("mount_lip", "mounts_along", "mounts_across", "mount_pitch")
    title = "Jointer tables coplanar"
    finds = "both tables of a jointer lie in one plane, by how much the infeed table tilts"
    signs = (
        "plus: the infeed table's outer end hangs low, or it is low at the front; minus: its"
        " outer end stands high, or it is low at the back"
    )
    by_hand = (
        "pitch = atan(a / length), where length is from the lips to the outer stations, and a the"
        " mean of both lines: on each the gap at the outer station less that at the lip, less the"
        " gap on the outfeed table where its lip showed light, plus it where its outer end did."
        " Twist = atan(b / width), where width is between the lines, and b half of front less back:"
        " on each both gaps over the infeed table together, less the one on the outfeed table"
    )
    tools = "straightedge, leaves"
    minutes = 12.0
    fields = (
        Field("outfeed", "points", "outfeed stations, x along toward outfeed: x,y,z; x,y,z; ..."),
        Field("infeed", "points", "infeed stations: x,y,z; x,y,z; ..."),
        UNIT_FIELD,
        WITHIN_FIELD,
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )
    care = (
        "Plug out. Knives cut even at a standstill: keep hands off the head.",
        "Turn the head by its pulley or by a block of wood, never by a knife.",
    )
    steps = (
        Do(
            key="lower",
            title="Lower the infeed table by about [1/64 in|0.4 mm]; lock it.",
            lines=(
                "The straightedge must rest on the outfeed table alone.",
                "No knife may lift it: turn the head until none does, and wedge it.",
            ),
        ),
    )
    formula_is = "error = the larger of pitch and twist: infeed plane less outfeed plane"

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
        outfeed, infeed = stations

        def error_of(heights: Sequence[float]) -> float:
            moved = [(x, y, z) for (x, y, _), z in zip((*outfeed, *infeed), heights, strict=True)]
            worse = coplanarity(moved[: len(outfeed)], moved[len(outfeed) :]).worse
            return math.atan(worse)

        within = given.optional("within")
        exact = "" if within else f"{EXACT_HEIGHTS}; "
        return Outcome(
            method=self.name,
            estimate=of_heights(error_of, [z for *_, z in (*outfeed, *infeed)], within),
            tolerance=given.tolerance("tolerance"),
            working=(self.formula_is,),
            note=f"{exact}the step is the depth of cut, not an error",
            adds=planes_json(found),
        )

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """Ask where the stations are, then for the gaps under both lines."""
        reach = to_either_side(job)
        side = length(reach, job.unit) if math.isfinite(reach) else ""
        return (
            Reading(
                "length",
                "How far from the lips are the outer stations?",
                "rule",
                ("The same on both tables; as far out as it reaches.",),
                above=100,
                at_most=min(reach + RULE_WITHIN_MM, 10_000.0),
                too_large=f"the straightedge reaches only {side} to either side: take stations"
                " nearer to the lips, or a longer straightedge",
                size="length",
            ),
            Reading(
                "width",
                "How far apart are the front and back lines?",
                "rule",
                above=40,
                size="width",
            ),
            *(one for side in SIDES for one in ask_side(side)),
        )

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw both tables from above, the straightedge on its line; then how they lie."""
        if seen.at == FOUND:
            found = tables(seen.values, seen.words)
            return tables_tilted(*((found.along, found.across) if seen.way else (0.0, 0.0)), size)
        side, _, place = seen.at.partition("_")
        return two_tables(side if place else "", "out" if place == "light" else place, seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Doubt infeed gaps of which one is many times the others, and four on no plane."""
        gaps = {name: values[name] for name in _INFEED}
        wild = far_above(gaps, _LEAST_MM)
        if wild:
            side, _, at = wild.partition("_")
            where = "at the lip" if at == "lip" else "at the outer end"
            return unlikely(
                f"{side} line, infeed gap {where}: many times the others; read it again", wild
            )
        off = abs(gaps["front_lip"] - gaps["front_end"] - gaps["back_lip"] + gaps["back_end"]) / 4
        if off > TABLE_WITHIN_MM:
            return unlikely(
                "the four infeed gaps lie on no plane, as the corners of one table do;"
                " read all four again",
                *_INFEED,
            )
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the larger of pitch and twist, with its sign."""
        return math.atan(tables(values, words).worse)

    def open_about(self, job: CheckContext) -> float | None:
        """Give 0: pitch can be as much off one way as twist the other."""
        return 0.0

    def rival(self, job: CheckContext, taken: Taken) -> float:
        """Give the smaller of pitch and twist where it is off the other way."""
        found = tables(taken.values, taken.words)
        if found.along * found.across >= 0:
            return 0.0
        return math.atan(min(abs(found.along), abs(found.across)))

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give the formula with its corners, on the side of 0 where it was found.

        Where pitch and twist are alike but for their sign, a hair's breadth makes the one or the
        other the larger: the sign is open there, but not by how much the tables are off.
        """
        side = math.copysign(1.0, self.formula(values, words))
        return steepest(lambda read: side * abs(self.formula(read, words)), values)

    def own(self, job: CheckContext) -> Mapping[str, Input]:
        """Give the straightedge's own error at its three places, the same on both lines."""
        limit = tool_of(job, "straightedge").limit
        return {
            f"edge_{at}": Input(
                0.0, (Source.within(STRAIGHTEDGE, f"straightedge at {name}", limit, lasting=True),)
            )
            for at, name in (
                ("out", "the outfeed end"),
                ("lip", "the lips"),
                ("in", "the infeed end"),
            )
        }

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give pitch, twist, step and both planes."""
        return planes_json(tables(values, words))

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give tables in one plane, the infeed table lowered."""
        gap = 0.4
        sizes = {"length": job.sizes.get("length", 600.0), "width": job.sizes.get("width", 150.0)}
        gaps = {f"{side}_{at}": gap for side in SIDES for at in ("lip", "end")}
        out = {f"{side}_out": 0.0 for side in SIDES}
        return {**sizes, **gaps, **out}, {f"{side}_light": "none" for side in SIDES}

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which end or edge of the infeed table hangs, and which mounts to move."""
        found = tables(taken.values, taken.words)
        low, high = _PITCH if abs(found.along) >= abs(found.across) else _TWIST
        step = measure(abs(found.step), "length", job.unit)
        pitch, twist = (
            measure(math.atan(one), "angle", job.unit) for one in (found.along, found.across)
        )
        lean = which_way(outcome.estimate, "angle", job.unit, low[0], high[0])
        if outcome.adds.get(SIDE) == EITHER and abs(found.worse) > outcome.estimate.budget.expanded:
            one, other = _PITCH[found.along < 0][0], _TWIST[found.across < 0][0]
            lean = f"{one}, and {other}; it cannot be told which is more"
        return replace(
            outcome,
            lean=lean,
            aims=(low[1], high[1]),
            moves=mount_moves(job, found),
            note=f"Pitch {pitch}, twist {twist}; the step of {step} is the depth of cut.",
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
