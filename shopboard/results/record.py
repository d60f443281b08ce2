"""A check's result as the journal keeps it, and back.

Values are whole numbers of a small unit (nanoradians, nanometres, pascals), so
that nothing drifts by being read and written; what was known of the error is
kept in full, so that a verdict can be worked out again when the tolerance changes.
"""

import math
from collections.abc import Mapping
from datetime import datetime
from typing import TYPE_CHECKING, NamedTuple

from shopboard.base.dates import age
from shopboard.metrology.conformity import Tolerance, Verdict, probability_within, verdict
from shopboard.metrology.kind import RECORD_UNITS, Kind
from shopboard.metrology.spread import Spread
from shopboard.results.old_words import source_called
from shopboard.shop.renames import MEASURED_ON

if TYPE_CHECKING:
    from shopboard.checks.outcome import Outcome
    from shopboard.journal import Entry

VERSION = 1
_FARTHEST = 10**9
"""nm; no screw advances a metre per turn."""

_LONGEST = 100_000
"""Days, or hours of running, that a result can be said to hold: more was never written."""


class UnreadableRecordError(ValueError):
    """An entry of kind ``check`` that this program cannot read."""


class Holds(NamedTuple):
    """How long its point's wander lets a result be believed, by what was known on its day."""

    days: int | None
    """None: not limited by the calendar."""
    minutes: int | None
    """Of the machine running; None: not limited by that."""
    total_minutes: float
    """Minutes that the machine had run in all when the result was taken."""
    why: str
    """How the point wanders, in words."""


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
    """Why it was taken back, or None."""
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


def check_body(outcome: "Outcome", run: str, holds: Holds | None = None) -> dict[str, object]:
    """Give the body of a ``check`` entry."""
    estimate, tolerance = outcome.estimate, outcome.tolerance
    spread, budget = estimate.spread, estimate.budget
    unit, per_unit = RECORD_UNITS[outcome.kind]

    def whole(value: float) -> int:
        return round(value * per_unit)

    body: dict[str, object] = {
        "v": VERSION,
        "method": outcome.method,
        "run": run,
        "kind": outcome.kind,
        "unit": unit,
        "error": whole(spread.centre),
        "even": [whole(half) for half in spread.even],
        "sigma": whole(spread.sigma),
        **({"size": True} if spread.size else {}),
        "expanded": whole(budget.expanded),
        "u_of_change": whole(budget.u_repeat),
        "k": round(budget.k, 4),
        "dof": round(budget.dof, 1) if math.isfinite(budget.dof) else None,
        "budget": [[source.label, whole(source.u)] for source in budget.sources],
        "budget_ids": [source.id for source in budget.sources],
        "tolerance": None
        if tolerance is None
        else {
            "typed": tolerance.typed,
            "low": whole(tolerance.low),
            "high": whole(tolerance.high),
        },
        "level": outcome.level,
        "probability": outcome.probability,
        "verdict": outcome.verdict,
        "lean": outcome.lean,
        "note": outcome.note,
        "working": list(outcome.working),
        "readings": dict(outcome.readings),
    }
    return with_holds(body, holds)


def with_holds(body: dict[str, object], holds: Holds | None) -> dict[str, object]:
    """Put how long a result holds into its body; as it is, where nothing limits that."""
    return body if holds is None else {**body, "holds": holds._asdict()}


def read_check(entry: "Entry") -> CheckRecord:
    """Read a ``check`` entry.

    Raises:
        UnreadableError: when its body is of a later version or not what was written.
    """
    body = entry.body
    if body.get("v") != VERSION:
        raise UnreadableRecordError(f"entry {entry.seq} is of a later version")
    try:
        kind = _kind(body["kind"])
        per_unit = RECORD_UNITS[kind][1]
        tolerance = body.get("tolerance")
        readings = body.get("readings")
        even = body["even"]
        return CheckRecord(
            uid=entry.uid,
            seq=entry.seq,
            when=entry.when,
            machine=entry.machine,
            point=entry.point,
            run=str(body["run"]),
            method=str(body["method"]),
            kind=kind,
            spread=Spread(
                _value(body["error"], per_unit),
                tuple(_value(half, per_unit) for half in even) if isinstance(even, list) else (),
                _value(body["sigma"], per_unit),
                size=body.get("size") is True,
            ),
            expanded=_value(body["expanded"], per_unit),
            tolerance=str(tolerance["typed"]) if isinstance(tolerance, dict) else "",
            verdict="noted" if kind == "note" else str(body["verdict"]),  # once it said "true"
            lean=str(body["lean"]),
            readings=readings if isinstance(readings, dict) else {},
            budget=_budget(body.get("budget"), body.get("budget_ids"), per_unit),
            k=_factor(body.get("k")),
            working=_texts(body.get("working")),
            note=str(body.get("note", "")),
            void=entry.void,
            clock_ok=entry.clock_ok,
            u_repeat=_value(body["u_of_change"], per_unit) if "u_of_change" in body else None,
            holds=_holds(body["holds"]) if "holds" in body else None,
            measured_on=str(body.get(MEASURED_ON, "")),
        )
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise UnreadableRecordError(f"entry {entry.seq} is not a check's result: {error}") from None


def _value(value: object, per_unit: float) -> float:
    if not isinstance(value, int):
        raise TypeError("a whole number belongs here")
    return value / per_unit


def _holds(value: object) -> Holds | None:
    """Read how long a result holds; None where it says nothing that can be used."""
    if not isinstance(value, dict):
        return None
    days, minutes = _whole(value.get("days"), _LONGEST), _whole(value.get("minutes"), _LONGEST * 60)
    total = value.get("total_minutes")
    if (days is None and minutes is None) or not isinstance(total, int | float):
        return None
    if not 0 <= total < 1e12:
        return None
    return Holds(days, minutes, float(total), str(value.get("why", "")))


def _whole(value: object, most: int) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int):
        return None
    return value if 0 < value <= most else None


def _kind(value: object) -> Kind:
    for kind in RECORD_UNITS:
        if kind == value:
            return kind
    raise ValueError(f"no such kind of value: {value}")


def _factor(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _texts(value: object) -> tuple[str, ...]:
    return tuple(str(one) for one in value) if isinstance(value, list) else ()


def _budget(value: object, ids: object, per_unit: float) -> tuple[KeptSource, ...]:
    """Read the sources; a record of before they had identities is known by its words."""
    if not isinstance(value, list):
        return ()
    pairs = [(str(label), _value(u, per_unit)) for label, u in value]
    if not isinstance(ids, list) or len(ids) != len(pairs):
        ids = [source_called(label) for label, _ in pairs]
    return tuple(KeptSource(str(one), label, u) for one, (label, u) in zip(ids, pairs, strict=True))


def read_all(entries: "list[Entry]") -> list[CheckRecord]:
    """Read those entries that can be read, in their order."""
    found = []
    for entry in entries:
        try:
            found.append(read_check(entry))
        except UnreadableRecordError:
            continue  # a later program's entry: kept in the journal, of no use to this one
    return found
