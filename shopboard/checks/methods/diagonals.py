"""Diagonals: is a panel square? Two diagonals and all four sides.

sin(error) = (d1^2 - d2^2) / (4 width length) where opposite sides are equal;
where they are not, each corner is off by more or less than that, so the other
two sides are read as well. Plus: the marked corner, which d2 starts in, is
more than 90 degrees.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.advice import which_way
from shopboard.checks.asking import Pick, Reading, Taken
from shopboard.checks.job import Job
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do
from shopboard.metrology.panel import Panel
from shopboard.metrology.wording import both, small_move

MISFIT = 0.02
"""Diagonals that fit the sides no better than this share are misread."""

UNEQUAL = 20
"""Opposite sides that differ by more than their length over this are misread."""

TELLS = 1.0
"""Opposite sides that differ by more than this (mm) do so for certain: twice what a rule tells."""

_DRAWING = (
    "●════════════════════●",
    "║ ╲     length     ╱ ║   d2 from the marked corner",
    "║   ╲ d1        ╱    ║   d1 the other way",
    "║      ╲    ╱        ║ width",
    "║       ╱   ╲        ║",
    "║   ╱  d2      ╲     ║",
    "●════════════════════●",
    "◄ mark",
)


class Diagonals(MeasuredCheck):
    """The guided check."""

    name = "diagonals"
    title = "Diagonals of a panel"
    hands_near = False
    fields = (
        Field("d1", "length", "diagonal that misses the marked corner", reads="rule"),
        Field("d2", "length", "diagonal from the marked corner", reads="rule"),
        Field("width", "length", "side at the marked corner", reads="rule"),
        Field("length", "length", "other side at the marked corner", reads="rule"),
        Field("other_width", "length", "side opposite width", needed=False, reads="rule"),
        Field("other_length", "length", "side opposite length", needed=False, reads="rule"),
        Field("tolerance", "tolerance", "what the error may be", needed=False),
    )

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone; say what is taken for granted."""
        found = super().reckon(values)
        if "other_width" in values and "other_length" in values:
            return found
        note = "opposite sides are taken as equal: equal diagonals alone do not prove square"
        return replace(found, note=note)

    def cautions(self, job: Job) -> tuple[str, ...]:
        """Say what to take care of when cutting."""
        del job
        return ("Cutting a panel: guard on, riving knife in, the sheet held flat; get help.",)

    def to_do(self, job: Job) -> Sequence[Do]:
        """Cut a panel, mark a corner."""
        del job
        return (
            Do(
                key="cut",
                title="Cut a panel; mark a corner between two cuts.",
                lines=(
                    "The larger the finer. Opposite sides to the same stop.",
                    "Hook rule or tape at a full inch, the same way each time.",
                ),
                diagram=_DRAWING,
            ),
        )

    def asked(self, job: Job) -> Sequence[Reading | Pick]:
        """Read all six lengths."""
        del job
        return (
            Reading("d1", "How long is the diagonal that misses the mark?", "rule", above=50),
            Reading("d2", "How long is the diagonal from the mark?", "rule", above=50),
            Reading("width", "How wide is it at the mark?", "rule", above=30, size="width"),
            Reading("other_width", "How wide is it at the opposite side?", "rule", above=30),
            Reading("length", "How long is it at the mark?", "rule", above=30, size="length"),
            Reading("other_length", "How long is it at the opposite side?", "rule", above=30),
        )

    def refuse(self, values: Mapping[str, float], words: Mapping[str, str]) -> str:
        """Refuse lengths that make no panel."""
        del words
        if min(values.values()) <= 0:
            return "every length must be larger than 0"
        panel = _panel(values)
        pairs = (
            ("width", panel.width, panel.other_width),
            ("length", panel.length, panel.other_length),
        )
        for name, one, other in pairs:
            if abs(one - other) > max(one, other) / UNEQUAL:
                return f"{name} and other_{name}: opposite sides differ too much; read both again"
        if abs(panel.misfit) > MISFIT:
            word = "long" if panel.misfit > 0 else "short"
            return f"d1 and d2: they are too {word} for these sides; read all again"
        return ""

    def formula(self, values: Mapping[str, float], words: Mapping[str, str]) -> float:
        """Give the error of the marked corner."""
        del words
        return _panel(values).corner

    def formula_words(self, words: Mapping[str, str]) -> str:
        """Write the formula."""
        del words
        return (
            "error = asin((d1^2 - d2^2) / (4 width length)),"
            " and half of what opposite sides run apart"
        )

    def adds(self, values: Mapping[str, float], words: Mapping[str, str]) -> dict[str, object]:
        """Give skew and worst corner apart."""
        del words
        panel = _panel(values)
        return {
            "skew": value_json(panel.skew, "angle"),
            "worst_corner": value_json(panel.worst, "angle"),
        }

    def perfect(self, job: Job) -> tuple[Mapping[str, float], Mapping[str, str]]:
        """Give a true rectangle."""
        width, length = job.sizes.get("width", 600.0), job.sizes.get("length", 900.0)
        across = (width**2 + length**2) ** 0.5
        sides = {"width": width, "other_width": width, "length": length, "other_length": length}
        return {"d1": across, "d2": across, **sides}, {}

    def describe(self, job: Job, outcome: Outcome, taken: Taken) -> Outcome:
        """Say which way the corner is off, and whether the sides are equal."""
        panel = _panel(taken.values)
        apart = max(abs(panel.width - panel.other_width), abs(panel.length - panel.other_length))
        note = outcome.note
        if apart > TELLS:
            note = (
                f"Opposite sides differ by {small_move(apart, job.unit)}: equal diagonals would"
                f" not prove it square. The worst corner is off by {both(panel.worst, job.unit)}."
            )
        plus = job.geometry.light_at_top or "the marked corner is more than 90 degrees"
        minus = job.geometry.light_at_bottom or "the marked corner is less than 90 degrees"
        return replace(
            outcome,
            lean=which_way(outcome.estimate, "angle", job.unit, plus, minus),
            aims=("The marked corner must close.", "The marked corner must open."),
            note=note,
        )


def _panel(values: Mapping[str, float]) -> Panel:
    """Make the panel; sides that were not read are as their opposites."""
    width, length = values["width"], values["length"]
    return Panel(
        d1=values["d1"],
        d2=values["d2"],
        width=width,
        length=length,
        other_width=values.get("other_width", width),
        other_length=values.get("other_length", length),
    )


METHOD = Diagonals()
