"""Reading the tolerance of a point, and whether its checks measure what it limits."""

from __future__ import annotations

from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.kind import KINDS, YES_NO_WORDS, Kind
from shopboard.metrology.limits import is_bare
from shopboard.metrology.quantity import Unit
from shopboard.metrology.units import MM_PER_INCH, UNITS, by_unit
from shopboard.metrology.wording import own_words
from shopboard.shop.measures import TOLERANCE
from shopboard.shop.problems import shorten
from shopboard.shop.report import Fault
from shopboard.shop.table import Table

_WIDEST_BARE = MM_PER_INCH / 4
"""mm, either way; a wider tolerance says its unit. Nobody allows that much (common practice, no
source), but 1 in inches is what 1 thou looks like."""
SAID_CHECKS: dict[str, Kind] = {"go-no-go": "yes or no", "note": "note", "seating": "yes or no"}
"""Checks whose result is something said: there is no tolerance to write. They are named here
since the board reads the shop file before it asks the methods what they measure."""


def read_tolerance(t: Table, checks: tuple[str, ...]) -> Tolerance:
    """Read the tolerance; it must be of the kind that every check of the point measures."""
    kinds = {name: facts.kind for name, facts in t.report.facts.items()}
    kinds = {"square": "angle", **SAID_CHECKS, **kinds}
    kind = kinds.get(checks[0]) if checks else None
    if kind in YES_NO_WORDS:
        if t.take("tolerance", TOLERANCE, None) is not None:
            t.refuse("tolerance", f"a tolerance where the check is a {kind}", "leave it out")
        tolerance = Tolerance(-0.5, 0.5, YES_NO_WORDS[kind][0], kind)
    else:
        tolerance = t.take("tolerance", TOLERANCE)
    written = "tolerance" in t.raw and not t.report.has_error((*t.path, "tolerance"))
    told = set[Kind]()
    for index, name in enumerate(checks):
        if kinds.get(name, tolerance.kind) != tolerance.kind and (written or kind in YES_NO_WORDS):
            if kinds[name] in told:
                continue  # the same, of another check
            told.add(kinds[name])
            spot = "tolerance" if index == 0 else "check"
            t.report.add(Fault((*t.path, spot), *_unfit(t, name, kinds[name], tolerance.kind)))
    if written:
        _refuse_wide(t, tolerance)
    return tolerance


def _unfit(t: Table, check: str, measures: Kind, found: Kind) -> tuple[str, ...]:
    """Say that a tolerance is of another kind than a check measures, or has no unit."""
    said = t.raw.get("tolerance", "")
    if measures not in YES_NO_WORDS and is_bare(str(said)):
        return _no_unit(said, measures, t.report.unit)
    return _other_kind(check, measures, found, t.report.unit)


def _refuse_wide(t: Table, tolerance: Tolerance) -> None:
    """Refuse a number without a unit that is no tolerance in inches or mm: thou was meant."""
    said, is_length = t.raw["tolerance"], tolerance.kind == "length" and t.report.unit_known
    if is_length and is_bare(str(said)) and max(tolerance.high, -tolerance.low) > _WIDEST_BARE:
        hint = by_unit(t.report.unit, f'did you mean "{said} thou"?', "")
        wanted = own_words(KINDS["length"].example, t.report.unit)
        t.refuse("tolerance", f"{shorten(said)} is {tolerance.typed}, out of range", wanted, hint)


def _no_unit(said: object, kind: Kind, unit: Unit) -> tuple[str, str, str]:
    """Say that a number without a unit, which would be a length, is no value of another kind."""
    row = KINDS[kind]
    sign = "deg" if kind == "angle" else UNITS[by_unit(unit, row.inch, row.mm)].sign
    what = f"{shorten(said)} has no unit of {row.one.split()[-1]}"
    return what, own_words(row.example, unit), f'did you mean "{said} {sign}"?'


def _other_kind(check: str, measures: Kind, found: Kind, unit: Unit) -> tuple[str, str]:
    """Say that a check measures something else than the tolerance limits, and what to write."""
    what = f"{KINDS[found].one} where the check {check} measures {KINDS[measures].one}"
    if measures in YES_NO_WORDS:
        what = f"{KINDS[found].one} where the check {check} is {KINDS[measures].one}"
    return what, own_words(KINDS[measures].example, unit)
