"""Blade tension of a bandsaw: stretch between two marks, as the band is tensioned.

stress = modulus x stretch / distance of the marks. The tolerance is the range
that the maker of the band gives. A tension in pounds is the force in one
strand; the wheel carries two.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from shopboard.checks.asked import Chosen, Pick, Reading, Taken, TruePoint, Values
from shopboard.checks.contradiction import Contradiction, contradict
from shopboard.checks.drawn.canvas import AtStep, Lines
from shopboard.checks.drawn.dials import stretch
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.reckoning import Field
from shopboard.checks.report import value_json
from shopboard.checks.steps import Do, Step
from shopboard.checks.walk import Answers
from shopboard.metrology.adjuster import Screw
from shopboard.metrology.kind import Kind, measure
from shopboard.metrology.quantity import QuantityError, Unit
from shopboard.metrology.sources import NOTHING
from shopboard.metrology.tension import (
    STEEL_MPA,
    STEEL_WITHIN,
    parse_modulus,
    strand_force,
    stress,
)
from shopboard.metrology.uncertainty import Source
from shopboard.metrology.units import UNITS, by_unit, in_unit
from shopboard.metrology.wording import small_move

CLAMP_MM = 0.001
"""Standard uncertainty by which two clamps settle on a band: common practice, no source."""

MOST_STRAIN = 0.003
"""600 MPa, twice what any band is run at: more is a slip of the unit."""

SHORTEST_MARKS_MM = 20.0


class BladeTension(MeasuredCheck):
    """The guided check."""

    name = "blade-tension"
    takes_sizes = ("width", "thickness")
    title = "Blade tension by stretch"
    finds = "a band is tight enough, by how much it is stretched between two marks"
    signs = "it is the stress in the band, never below 0"
    tools = "indicator or calliper"
    minutes = 8.0
    farther = "clamps farther apart"
    kind: Kind = "stress"
    above_all = "Both clamps off the band; then turn it once round by hand."
    fields = (
        Field("stretch", "length", "how much longer it became", reads="indicator"),
        Field("over", "length", "between the two clamps", reads="rule"),
        Field("modulus", "points", "of the band: 29e6 psi (left out), 200 GPa", needed=False),
        Field("width", "length", "width of the band, without the teeth", needed=False),
        Field("thickness", "length", "thickness of the band", needed=False),
        Field("tolerance", "tolerance", "the maker's range: 15000 to 20000 psi", needed=False),
    )

    care = (
        "Plug out. A band under tension can leap off: gloves on, glasses on,"
        " doors shut while it is tightened.",
        "Never past what the makers of band and saw allow.",
    )
    steps = (
        Do(
            key="marks",
            title="Band slack, just straight: fix two clamps to its back.",
            lines=("As far apart as the tool reaches; set the tool to 0 between them.",),
        ),
        Do(
            key="tension",
            title="Tension the band as you mean to run it.",
            lines=("Doors shut while the wheel is raised. Leave the clamps alone.",),
            moves=True,
        ),
    )
    reads = (
        Reading(
            "over",
            "How far apart are the clamps?",
            "rule",
            above=SHORTEST_MARKS_MM,
            size="marks",
            true=127.0,
        ),
        Reading(
            "stretch",
            "How much longer is it between the clamps now?",
            "indicator",
            lines=(
                "[A thousandth of an inch in 5 inches is about 6000 psi"
                "|0.01 mm over 100 mm is about 20 MPa].",
            ),
            may_equal=True,
            at_most=20,
        ),
    )

    def take(self, job: CheckContext, answers: Answers, prefix: str, number: int) -> Step | Taken:
        """Leave the clamps where they are once the tension is set right: their 0 still holds."""
        if prefix.startswith("left") and prefix.count(".") == 1:
            answers = {**answers, f"{prefix}marks": "done", f"{prefix}tension": "done"}
        return super().take(job, answers, prefix, number)

    def asked(self, job: CheckContext) -> Sequence[Reading | Pick]:
        """How far apart, how much longer: by calliper where there is no indicator."""
        over, stretch = self.spoken(self.reads, job)
        if any(tool.kind == "indicator" for tool in job.drawer.others):
            return over, stretch
        return over, replace(stretch, tool="calliper")

    def sketch(self, job: CheckContext, seen: AtStep, size: int) -> Lines:
        """Draw band and clamps."""
        return stretch(seen, size)

    def refuse(self, values: Values, words: Chosen) -> Contradiction | None:
        """Refuse a modulus that is none, and a stretch that no band stands."""
        if "modulus" in words:
            try:
                parse_modulus(words["modulus"])
            except QuantityError as error:
                return contradict(f"modulus={words['modulus'][:60]}: {error}")
        if values["over"] < SHORTEST_MARKS_MM:
            return contradict("over: the clamps are too close together; set them farther apart")
        if values["stretch"] > MOST_STRAIN * values["over"]:
            found = self.formula(values, words)
            return contradict(
                f"stretch: [{measure(found, 'stress', 'inch')}|{measure(found, 'stress', 'mm')}]"
                " is more than"
                " any band can take; read it again",
                "over",
                "stretch",
            )
        if ("width" in values) != ("thickness" in values):
            return contradict("width and thickness go together: give both, or neither")
        return None

    def formula(self, values: Values, words: Chosen) -> float:
        """Give the stress, MPa."""
        modulus = parse_modulus(words["modulus"]) if "modulus" in words else STEEL_MPA
        return stress(values["stretch"], values["over"], modulus)

    def formula_words(self, words: Chosen) -> str:
        """Write the formula."""
        return f"stress = {words.get('modulus', '[29e6 psi|200 GPa]')} x stretch / over"

    def more(self, values: Values, words: Chosen) -> tuple[Source, ...]:
        """Add the modulus: it stays the same for one band, so it drops out of a change."""
        if "modulus" in words:
            return ()
        half = STEEL_WITHIN * self.formula(values, words)
        return (
            Source.within("modulus", "modulus of the steel", half, lasting=True, remedy=NOTHING),
        )

    def repeats_to(self, values: Values) -> float:
        """Give how well the clamps sit."""
        return stress(CLAMP_MM, values["over"])

    def perfect(self, job: CheckContext) -> TruePoint:
        """Give the middle of the maker's range."""
        values, words = super().perfect(job)
        middle = job.tolerance.middle if job.tolerance.kind == "stress" else 0.0
        return {**values, "stretch": max(middle, 0.0) / STEEL_MPA * values["over"]}, words

    def adds(self, values: Values, words: Chosen) -> dict[str, object]:
        """Give stress and strain, and the force where width and thickness are known."""
        found = self.formula(values, words)
        told: dict[str, object] = {
            "stress": value_json(found, "stress"),
            "strain": values["stretch"] / values["over"],
        }
        if "width" in values and "thickness" in values:
            force = strand_force(found, values["width"], values["thickness"])
            told["force_per_strand"] = _force_json(force)
            told["force_on_wheel"] = _force_json(2 * force)
        return told

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate named values alone."""
        outcome = super().reckon(values)
        note = "the force is that of one strand; the wheel carries two of them"
        return replace(outcome, note=note if "force_per_strand" in outcome.adds else "")

    def describe(self, job: CheckContext, outcome: Outcome, taken: Taken) -> Outcome:
        """Say whether it is in the maker's range, and the force per strand where it is known."""
        low, high = job.tolerance.low, job.tolerance.high
        found = outcome.estimate.error
        lean = (
            "slacker than the range"
            if found < low
            else "tighter than the range"
            if found > high
            else "within the range that the maker gives"
        )
        sizes = {name: job.sizes[name] for name in ("width", "thickness") if name in job.sizes}
        note = ""
        if len(sizes) == 2:
            force = strand_force(found, sizes["width"], sizes["thickness"])
            note = (
                f"Force per strand {_force(force, job.unit)};"
                f" the wheel carries two: {_force(2 * force, job.unit)}."
            )
        return replace(
            outcome,
            lean=lean,
            note=note,
            adds=self.adds({**taken.values, **(sizes if note else {})}, taken.words),
            moves=_moves(job, taken.values["stretch"], taken.values["over"]),
        )


def _moves(job: CheckContext, shown: float, over: float) -> tuple[str, ...]:
    """Say what the tool must show in the middle of the maker's range: no screw's pitch tells it."""
    wanted = job.tolerance.middle / STEEL_MPA * over
    more, screw = wanted > shown, job.adjuster if isinstance(job.adjuster, Screw) else None
    turn = "Tighten the band" if more else "Slacken the band"
    if screw is not None:
        clockwise = (screw.clockwise == "away") == more
        turn = f"Turn {screw.name} {'clockwise' if clockwise else 'anticlockwise'}"
    return (
        f"{turn} until the tool shows {small_move(wanted, job.unit)};"
        f" now it shows {small_move(shown, job.unit)}.",
        "Leave the clamps where they are, doors shut while you turn.",
    )


def _force_json(newton: float) -> dict[str, float]:
    return {name: UNITS[name].of(newton) for name in ("lbf", "N")}


def _force(newton: float, unit: Unit) -> str:
    return in_unit(newton, by_unit(unit, "lbf", "N"))


METHOD = BladeTension()
