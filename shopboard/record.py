"""A check's result as the journal keeps it, and back.

Lengths are whole nanometres and angles whole nanoradians, so that nothing
drifts by being read and written; what was known of the error is kept in full,
so that a verdict can be worked out again when the tolerance changes.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from shopboard.metrology.conformity import Tolerance, Verdict, probability_within, verdict
from shopboard.metrology.spread import Spread

if TYPE_CHECKING:
    from shopboard.checks.outcome import Outcome
    from shopboard.journal import Entry

VERSION = 1
_NANO = 1e9


class UnreadableError(ValueError):
    """An entry of kind ``check`` that this program cannot read."""


@dataclass(frozen=True)
class CheckRecord:
    """One recorded result."""

    uid: str
    seq: int
    when: datetime
    machine: str
    point: str
    run: str
    """``as-found`` or ``as-left``."""
    method: str
    spread: Spread
    """What was known of the error, rad."""
    expanded: float
    """Expanded uncertainty, 95 %, rad."""
    tolerance: str
    """The tolerance at the time, as the shop file said it."""
    verdict: str
    """The verdict at the time."""
    lean: str
    """Which way it leaned, in words."""
    readings: Mapping[str, object]
    budget: tuple[tuple[str, float], ...] = ()
    """Sources of uncertainty with their standard uncertainty, rad."""
    k: float = 0.0
    """Coverage factor."""
    working: tuple[str, ...] = ()
    """The formula with its numbers, as it was shown."""
    note: str = ""
    void: str | None = None
    """Why it was taken back, or None."""
    clock_ok: bool = True

    @property
    def error(self) -> float:
        """Signed error, rad."""
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
        return shown / 1e6 if isinstance(shown, int) and shown > 0 else None


def check_body(outcome: Outcome, run: str, lean: str) -> dict[str, object]:
    """Give the body of a ``check`` entry."""
    estimate, tolerance = outcome.estimate, outcome.tolerance
    spread, budget = estimate.spread, estimate.budget
    return {
        "v": VERSION,
        "method": outcome.method,
        "run": run,
        "error_nrad": _nrad(spread.centre),
        "even_nrad": [_nrad(half) for half in spread.even],
        "sigma_nrad": _nrad(spread.sigma),
        "expanded_nrad": _nrad(budget.expanded),
        "k": round(budget.k, 4),
        "dof": round(budget.dof, 1) if math.isfinite(budget.dof) else None,
        "budget": [[source.name, _nrad(source.u)] for source in budget.sources],
        "tolerance": None
        if tolerance is None
        else {
            "typed": tolerance.typed,
            "low_nrad": _nrad(tolerance.low),
            "high_nrad": _nrad(tolerance.high),
        },
        "level": outcome.level,
        "probability": outcome.probability,
        "verdict": outcome.verdict,
        "lean": lean,
        "note": outcome.note,
        "working": list(outcome.working),
        "readings": dict(outcome.readings),
    }


def _nrad(rad: float) -> int:
    return round(rad * _NANO)


def read_check(entry: Entry) -> CheckRecord:
    """Read a ``check`` entry.

    Raises:
        UnreadableError: when its body is of a later version or not what was written.
    """
    body = entry.body
    if body.get("v") != VERSION:
        raise UnreadableError(f"entry {entry.seq} is of a later version")
    try:
        tolerance = body.get("tolerance")
        readings = body.get("readings")
        even = body["even_nrad"]
        return CheckRecord(
            uid=entry.uid,
            seq=entry.seq,
            when=entry.when,
            machine=entry.machine,
            point=entry.point,
            run=str(body["run"]),
            method=str(body["method"]),
            spread=Spread(
                _rad(body["error_nrad"]),
                tuple(_rad(half) for half in even) if isinstance(even, list) else (),
                _rad(body["sigma_nrad"]),
            ),
            expanded=_rad(body["expanded_nrad"]),
            tolerance=str(tolerance["typed"]) if isinstance(tolerance, dict) else "",
            verdict=str(body["verdict"]),
            lean=str(body["lean"]),
            readings=readings if isinstance(readings, dict) else {},
            budget=_pairs(body.get("budget")),
            k=_factor(body.get("k")),
            working=_texts(body.get("working")),
            note=str(body.get("note", "")),
            void=entry.void,
            clock_ok=entry.clock_ok,
        )
    except (KeyError, TypeError, ValueError) as error:
        raise UnreadableError(f"entry {entry.seq} is not a check's result: {error}") from None


def _rad(value: object) -> float:
    if not isinstance(value, int):
        raise TypeError("a whole number belongs here")
    return value / _NANO


def _factor(value: object) -> float:
    return float(value) if isinstance(value, int | float) else 0.0


def _texts(value: object) -> tuple[str, ...]:
    return tuple(str(one) for one in value) if isinstance(value, list) else ()


def _pairs(value: object) -> tuple[tuple[str, float], ...]:
    if not isinstance(value, list):
        return ()
    return tuple((str(name), _rad(u)) for name, u in value)


def read_all(entries: list[Entry]) -> list[CheckRecord]:
    """Read those entries that can be read, in their order."""
    found = []
    for entry in entries:
        try:
            found.append(read_check(entry))
        except UnreadableError:
            continue  # a later program's entry: kept in the journal, of no use to this one
    return found
