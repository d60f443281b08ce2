"""A check's result as the journal keeps it, and back.

Values are whole numbers of a small unit (nanoradians, nanometres, pascals), so
that nothing drifts by being read and written; what was known of the error is
kept in full, so that a verdict can be worked out again when the tolerance changes.
"""

import math
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.base.dates import age
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal import kinds
from shopboard.journal.kinds import Holds as Holds
from shopboard.journal.kinds import KeptResult, KeptTolerance
from shopboard.metrology.conformity import Tolerance, Verdict, probability_within, verdict
from shopboard.metrology.kind import KINDS, RECORD_UNITS, Kind, measure_to
from shopboard.metrology.spread import Spread
from shopboard.metrology.units import Unit
from shopboard.results.old_tolerance import tolerance_said

if TYPE_CHECKING:
    from shopboard.checks.outcome import Outcome
    from shopboard.journal import Entry

_FARTHEST = 10**9
"""nm; no screw advances a metre per turn."""


class UnreadableRecordError(ValueError):
    """An entry of kind ``check`` that this program cannot read."""


class KeptSource(NamedTuple):
    """One source of uncertainty of a recorded result."""

    id: str
    """What it is (`metrology.sources`); empty where its record does not tell."""
    label: str
    """As a person reads it."""
    u: float
    """Standard uncertainty, in the unit of the error."""


class CheckRecord(NamedTuple):
    """One recorded result."""

    uid: str
    seq: int
    when: datetime
    machine: str
    point: str
    run: str
    """``as-found`` or ``as-left``."""
    method: str
    kind: Kind
    """What sort of value the error is."""
    spread: Spread
    """What was known of the error."""
    expanded: float
    """Expanded uncertainty, 95 %."""
    tolerance: str
    """The tolerance at the time, as the shop file said it."""
    verdict: str
    """The verdict at the time."""
    lean: str
    """Which way it leaned, in words."""
    readings: Mapping[str, object]
    budget: tuple[KeptSource, ...] = ()
    """Sources of uncertainty."""
    k: float = 0.0
    """Coverage factor."""
    working: tuple[str, ...] = ()
    """The formula with its numbers, as it was shown."""
    note: str = ""
    void: str | None = None
    """Why it was withdrawn, or None."""
    clock_ok: bool = True
    u_repeat: float | None = None
    """Part of the standard uncertainty that a second reading with the same tools does not share;
    None: not on record."""
    remark: str = ""
    """What a person noted about it since, the newest such note."""
    holds: Holds | None = None
    """How long its point's wander lets it be believed; None: as long as the shop file says."""
    measured_on: str = ""
    """Id of the machine that its point was on then; empty: that on which it is today."""
    by: str = ""
    """Name of the bench or device that recorded it; empty: it had none."""

    def age(self, now: datetime, did: str = "") -> str:
        """Write how old it is, after what was done: ``checked 12 days ago``."""
        return age(self.when, now, did, clock_ok=self.clock_ok)

    @property
    def u(self) -> float:
        """Combined standard uncertainty of the error."""
        return self.expanded / self.k if self.k > 0 else self.spread.u

    @property
    def error(self) -> float:
        """Signed error."""
        return self.spread.centre

    @property
    def has_way(self) -> bool:
        """Whether its error goes one way or the other: a run-out, a time or a stress does not."""
        return KINDS[self.kind].departs and not self.spread.size

    def words(self, unit: Unit) -> str:
        """Write its error in the shop's unit, to two digits of its uncertainty."""
        return measure_to(self.error, self.expanded, self.kind, unit, signed=self.has_way)

    def verdict_for(self, tolerance: Tolerance, level: float) -> tuple[Verdict, float]:
        """Judge the error against a tolerance of today: verdict and probability."""
        probability = probability_within(self.spread, tolerance)
        return verdict(probability, level), probability

    @property
    def mm_per_turn(self) -> float | None:
        """What the screw was seen to do before this run, mm per turn; None when not told."""
        screw = self.readings.get("screw")
        shown = screw.get("nm_per_turn") if isinstance(screw, dict) else None
        return shown / 1e6 if isinstance(shown, int) and 0 < shown < _FARTHEST else None


def kept_result(outcome: "Outcome", run: str, holds: Holds | None = None) -> KeptResult:
    """Give what is recorded of a result."""
    estimate, tolerance = outcome.estimate, outcome.tolerance
    spread, budget = estimate.spread, estimate.budget
    per_unit = RECORD_UNITS[outcome.kind][1]

    def whole(value: float) -> int:
        return round(value * per_unit)

    return KeptResult(
        method=outcome.method,
        run=run,
        kind=outcome.kind,
        error=whole(spread.centre),
        even=tuple(whole(half) for half in spread.even),
        sigma=whole(spread.sigma),
        size=spread.size,
        expanded=whole(budget.expanded),
        u_repeat=whole(budget.u_repeat),
        k=round(budget.k, 4),
        dof=round(budget.dof, 1) if math.isfinite(budget.dof) else None,
        budget=tuple((source.label, whole(source.u)) for source in budget.sources),
        budget_ids=tuple(source.id for source in budget.sources),
        tolerance=None
        if tolerance is None
        else KeptTolerance(tolerance.typed, whole(tolerance.low), whole(tolerance.high)),
        level=outcome.level,
        probability=outcome.probability,
        verdict=outcome.verdict,
        lean=outcome.lean,
        note=outcome.note,
        working=tuple(outcome.working),
        readings=outcome.readings,
        holds=holds,
    )


def read_check(entry: "Entry") -> CheckRecord:
    """Read a ``check`` entry.

    Raises:
        UnreadableRecordError: when its body is of a later version or not what was written.
    """
    try:
        kept = kinds.CHECK.read(entry)
        per_unit = RECORD_UNITS[kept.kind][1]
        return CheckRecord(
            entry.uid,
            entry.seq,
            entry.when,
            entry.machine,
            entry.point,
            kept.run,
            kept.method,
            kept.kind,
            Spread(
                kept.error / per_unit,
                tuple([half / per_unit for half in kept.even]),
                kept.sigma / per_unit,
                size=kept.size,
            ),
            kept.expanded / per_unit,
            tolerance_said(kept, per_unit),
            str(kept.verdict),
            kept.lean,
            kept.readings,
            _budget(kept, per_unit),
            kept.k,
            kept.working,
            kept.note,
            entry.void,
            entry.clock_ok,
            None if kept.u_repeat is None else kept.u_repeat / per_unit,
            holds=kept.holds,
            measured_on=kept.measured_on,
            by=entry.by,
        )
    except (kinds.UnreadableBodyError, OverflowError) as error:
        raise UnreadableRecordError(f"entry {entry.seq} is {error}") from None


def _budget(kept: KeptResult, per_unit: float) -> tuple[KeptSource, ...]:
    """Give the sources; a record of before they had identities is known by its words."""
    ids = kept.budget_ids
    if ids is None:
        from shopboard.results.old_words import source_called  # for records of before alone

        ids = tuple(source_called(label) for label, _ in kept.budget)
    sources = zip(ids, kept.budget, strict=True)
    return tuple([KeptSource(one, label, u / per_unit) for one, (label, u) in sources])


def read_all(entries: "list[Entry]") -> list[CheckRecord]:
    """Read those entries that can be read, in their order."""
    found = []
    for entry in entries:
        try:
            found.append(read_check(entry))
        except UnreadableRecordError:
            continue  # a later program's entry: kept in the journal, of no use to this one
    return found
