"""What is recorded of a check's result: whole numbers of a small unit, so that nothing drifts."""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.entry import Entry
from shopboard.journal.kinds.row import (
    Body,
    EntryKind,
    UnreadableBodyError,
    amount_in,
    text_in,
    texts_in,
)
from shopboard.metrology.kind import RECORD_UNITS, Kind

_LONGEST = 100_000
"""Days, or hours of running, that a result can be said to hold: more was never written."""

_MEASURED_ON = "measured_on"
"""Put into a result on reading, where its point has come from another machine since."""


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


class KeptTolerance(NamedTuple):
    """The tolerance of the day, in the unit of the error."""

    typed: str
    """As the shop file said it."""
    low: int | None
    high: int | None


class KeptResult(NamedTuple):
    """A result; error and all that is said of it in the whole unit of its kind (`RECORD_UNITS`)."""

    method: str
    run: str
    """``as-found`` or ``as-left``."""
    kind: Kind
    error: int
    even: tuple[int, ...]
    """Half-widths of even distributions about the error."""
    sigma: int
    """Standard deviation of the normal one."""
    expanded: int
    """Expanded uncertainty, 95 %."""
    verdict: str | None
    """None: there was no tolerance to judge it by."""
    lean: str
    """Which way it leaned, in words."""
    size: bool = False
    """Only how far it goes is known, not which way."""
    u_repeat: int | None = None
    """Part of the standard uncertainty that a second reading does not share; None: not told."""
    k: float = 0.0
    """Coverage factor; 0: not told."""
    dof: float | None = None
    """Degrees of freedom; None: endless, or not told."""
    budget: tuple[tuple[str, int], ...] = ()
    """Sources of uncertainty in words, each with its standard uncertainty."""
    budget_ids: tuple[str, ...] | None = None
    """What each of them is (`metrology.sources`); None: recorded before they had identities."""
    tolerance: KeptTolerance | None = None
    level: float | None = None
    """Probability at which it counted as proven."""
    probability: float | None = None
    """That it was within its tolerance."""
    note: str = ""
    working: tuple[str, ...] = ()
    """The formula with its numbers, line by line."""
    readings: Mapping[str, object] = {}
    """What was read and with what, with units in the names."""
    holds: Holds | None = None
    """None: as long as the shop file says."""
    measured_on: str = ""
    """Never recorded: id of the machine that its point was on then, where it has moved since."""


def _kept(value: KeptResult) -> Body:
    tolerance, holds, ids = value.tolerance, value.holds, value.budget_ids
    return {
        "v": 1,
        "method": value.method,
        "run": value.run,
        "kind": value.kind,
        "unit": RECORD_UNITS[value.kind][0],
        "error": value.error,
        "even": list(value.even),
        "sigma": value.sigma,
        **({"size": True} if value.size else {}),
        "expanded": value.expanded,
        **({} if value.u_repeat is None else {"u_of_change": value.u_repeat}),
        "k": value.k,
        "dof": value.dof,
        "budget": [list(source) for source in value.budget],
        **({} if ids is None else {"budget_ids": list(ids)}),
        "tolerance": None if tolerance is None else tolerance._asdict(),
        "level": value.level,
        "probability": value.probability,
        "verdict": value.verdict,
        "lean": value.lean,
        "note": value.note,
        "working": list(value.working),
        "readings": dict(value.readings),
        **({} if holds is None else {"holds": holds._asdict()}),
    }


def _read_kept(body: Body) -> KeptResult:
    if body.get("v") != 1:
        raise UnreadableBodyError("of a later version")
    try:
        return _result(body)
    except (KeyError, TypeError, ValueError, OverflowError) as error:
        raise UnreadableBodyError(f"not a check's result: {error}") from None


def _result(body: Body) -> KeptResult:
    """Read a result; by places, not by names: thousands are read at once."""
    get, kind, even, readings = body.get, _kind(body["kind"]), body["even"], body.get("readings")
    k, budget = get("k"), get("budget")
    return KeptResult(
        str(body["method"]),
        str(body["run"]),
        kind,
        _whole(body["error"]),
        tuple([_whole(half) for half in even]) if isinstance(even, list) else (),
        _whole(body["sigma"]),
        _whole(body["expanded"]),
        _verdict(kind, body["verdict"] if kind != "note" else ""),
        str(body["lean"]),
        get("size") is True,
        _whole(body["u_of_change"]) if "u_of_change" in body else None,
        float(k) if isinstance(k, int | float) else 0.0,
        amount_in(get("dof")),
        tuple([(str(label), _whole(u)) for label, u in budget]) if isinstance(budget, list) else (),
        _ids(get("budget_ids"), budget),
        _tolerance(get("tolerance")),
        amount_in(get("level")),
        amount_in(get("probability")),
        text_in(get("note")),
        texts_in(get("working")),
        readings if isinstance(readings, dict) else {},
        _holds(body["holds"]) if "holds" in body else None,
        text_in(get(_MEASURED_ON)),
    )


def _whole(value: object) -> int:
    if not isinstance(value, int):
        raise TypeError("a whole number belongs here")
    return value


def _verdict(kind: object, value: object) -> str | None:
    if kind == "note":
        return "noted"  # once it said "true"
    return None if value is None else str(value)


def _kind(value: object) -> Kind:
    if value in RECORD_UNITS:
        return value
    raise ValueError(f"no such kind of value: {value}")


def _ids(value: object, sources: object) -> tuple[str, ...] | None:
    whole = isinstance(value, list) and isinstance(sources, list) and len(value) == len(sources)
    return texts_in(value) if whole else None


def _tolerance(value: object) -> KeptTolerance | None:
    if not isinstance(value, dict):
        return None
    low, high = value.get("low"), value.get("high")
    return KeptTolerance(
        str(value["typed"]),
        low if isinstance(low, int) else None,
        high if isinstance(high, int) else None,
    )


def _holds(value: object) -> Holds | None:
    """Read how long a result holds; None where it says nothing that can be used."""
    if not isinstance(value, dict):
        return None
    days, minutes = _at_most(value.get("days"), 1), _at_most(value.get("minutes"), 60)
    total = value.get("total_minutes")
    if (days is None and minutes is None) or not isinstance(total, int | float):
        return None
    if not 0 <= total < 1e12:
        return None
    return Holds(days, minutes, float(total), text_in(value.get("why")))


def _at_most(value: object, times: int) -> int | None:
    if isinstance(value, bool) or not isinstance(value, int):
        return None
    return value if 0 < value <= _LONGEST * times else None


def verdict_in(body: Body) -> str:
    """Give what was judged, also of a result that cannot be read."""
    return _verdict(body.get("kind"), body.get("verdict")) or ""


def measured_on(entry: Entry, machine: str) -> Entry:
    """Give a result whose point has come from another machine since: id of that, as of today."""
    return entry._replace(body={**entry.body, _MEASURED_ON: machine})


CHECK = EntryKind(
    name="check",
    write=_kept,
    of_body=_read_kept,
    point="point",
    follows_renames=True,
    undoes=False,
    lost="its point",
    at_machine=False,
    gathered="its place",
    look_back="result",
    retired="its point",
    export=True,
    status=True,
    voidable=True,
)
