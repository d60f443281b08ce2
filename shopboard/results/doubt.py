"""A tool found bad casts doubt back: results worked out anew by what is now known of it.

A result says what its square or straightedge was taken as. The next proof of that tool says what
it was by then; where the two do not agree, the tool was off, or went off, at a time that nothing
tells, and anything from what was assumed to what was found may have been so. A result of before
the last proof that found the tool good is not touched. A square turned over cancels its error.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.kind import measure
from shopboard.metrology.sources import SQUARE, SQUARE_PROVEN, TOOL_OF
from shopboard.metrology.spread import Spread
from shopboard.results.record import CheckRecord, KeptSource
from shopboard.results.references import NORMAL_K, proven_by
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop

Proofs = Mapping[str, Sequence[CheckRecord]]
"""The results that stand and prove a tool, oldest first, by the tool's id."""

NO_MATTER = 0.25
"""What a tool was off by matters to a verdict that it leaves as it is once it takes so much of the
tolerance's half-width: that is as fine as a check reads."""

BY_STRAIGHTEDGE = frozenset({"straightness", "flatness", "coplanar"})
"""Methods that always lay a straightedge on: as they declare, but no first picture waits for that.
"""

_ALIKE = 0.01


class Doubt(NamedTuple):
    """What is now known of a result's tool says of the result."""

    record: CheckRecord
    """The result, worked out anew."""
    words: str
    """With what it was measured and what was found of that."""
    cast: bool
    """Whether it cannot be gone by any longer."""


class _Off(NamedTuple):
    """What a tool was taken as, or found as, in the unit of the result's error."""

    middle: float
    half: float


def doubt_of(record: CheckRecord, point: Point, shop: Shop, proofs: Proofs) -> Doubt | None:
    """Work a result out anew by what is now known of its tool; None where that changes nothing.

    Args:
        record: the newest result of a point that stands.
        point: the point, for its tolerance.
        shop: the shop.
        proofs: what stands of the proofs of its tools.
    """
    if record.readings.get("proves"):
        return None
    tools = dict.fromkeys((*proofs, *(one.id for one in shop.drawer.squares)))
    found: Doubt | None = None
    for tool in tools:
        of_tool = proofs.get(tool, ())
        used = _used(record, tool, _sort(tool, of_tool, shop), shop)
        one = _by_tool(record, tool, used, of_tool, point, shop) if used else None
        if one is not None and (found is None or (one.cast and not found.cast)):
            found = one
    return found


def proofs_of(proofs: Sequence[CheckRecord], shop: Shop) -> Proofs:
    """Sort what was found of tools by the ids that they have today."""
    found: dict[str, list[CheckRecord]] = {}
    for one in proofs:
        found.setdefault(proven_by(one, shop), []).append(one)
    return found


def may_be_doubted(record: CheckRecord, proofs: Proofs) -> bool:
    """Tell at no cost whether `doubt_of` has anything to look at."""
    return bool(proofs) or _certified(record)


def _certified(record: CheckRecord) -> bool:
    return any(one.id == SQUARE_PROVEN for one in record.budget)


def _sort(tool: str, proofs: Sequence[CheckRecord], shop: Shop) -> str:
    if any(one.id == tool for one in shop.drawer.squares):
        return "square"
    return "square" if proofs and proofs[-1].kind == "angle" else "straightedge"


def _names(shop: Shop, sort: str) -> dict[str, str]:
    """Give the drawer's tools of a sort: their names by id."""
    if sort == "square":
        return {one.id: one.name for one in shop.drawer.squares}
    return {one.id: one.name for one in shop.drawer.others if one.kind == sort}


def _used(record: CheckRecord, tool: str, sort: str, shop: Shop) -> str:
    """Say how sure it is that a result was measured with a tool: with, perhaps with; empty: not.

    Records of before the tools' ids were kept name a square, or the sort alone.
    """
    if not _took(record, sort):
        return ""
    ids = record.readings.get("tool_ids")
    if isinstance(ids, list):
        today = (shop.tools_were.get(one, one) for one in map(str, ids))
        return "measured with" if tool in today else ""
    told = record.readings.get("tools")
    named = [record.readings.get("square"), *(told if isinstance(told, list) else [])]
    names = _names(shop, sort)
    if names.get(tool) in named:
        return "measured with"
    if any(name in named for one, name in names.items() if one != tool):
        return ""
    alone = [*names] == [tool] and not isinstance(named[0], str)
    return "measured with" if alone else "perhaps measured with"


def _took(record: CheckRecord, sort: str) -> bool:
    """Tell whether a result goes by a tool of a sort, and its error is not cancelled."""
    if record.method == "square":
        is_angle = record.kind == "angle"
        return is_angle and sort == "square" and not record.readings.get("turned_gap_nm")
    if sort == "straightedge" and record.method in BY_STRAIGHTEDGE:
        return True
    return bool(_sources(record, sort))


def _sources(record: CheckRecord, sort: str) -> list[float]:
    """Give the half-widths of what a tool of a sort left uncertain, in the error's unit."""
    return [
        one.u * math.sqrt(3)
        for one in record.budget
        if TOOL_OF.get(one.id) == sort and one.id != SQUARE_PROVEN and one.u > 0
    ]


def _by_tool(
    record: CheckRecord,
    tool: str,
    used: str,
    proofs: Sequence[CheckRecord],
    point: Point,
    shop: Shop,
) -> Doubt | None:
    sort = _sort(tool, proofs, shop)
    name = _names(shop, sort).get(tool) or _name_then(record, sort) or tool
    before = [one for one in proofs if one.seq < record.seq]
    proof = next((one for one in proofs if one.seq > record.seq and one.run != "as-left"), None)
    if record.method != "square":
        return _of_size(record, f"{used} {name}", sort, before, proof, point, shop, tool)
    taken = _taken_as(record)
    anew: Doubt | None = None
    known = _known_of(tool, before, shop) if before or _certified(record) else None
    if known is not None and abs(known.middle - taken.middle) > known.half + taken.half:
        off = measure(abs(taken.middle), "angle", shop.unit)
        which = f"taken as {off} out, a figure that no longer applies"
        if before:
            which = f"not as it was proven on {day(before[-1].when)}"
        reworked = _with(record, taken, known)
        changed = _verdict(reworked, point, shop) != _verdict(record, point, shop)
        anew = Doubt(reworked, f"{used} {name}, {which}", changed)
        record, taken = reworked, known
    if proof is None or abs(proof.error - taken.middle) <= proof.expanded + taken.half:
        return anew  # as good as it was taken for, as far as the proof can tell
    low = min(taken.middle - taken.half, proof.error - proof.expanded)
    high = max(taken.middle + taken.half, proof.error + proof.expanded)
    reworked = _with(record, taken, _Off((low + high) / 2, (high - low) / 2))
    off_by = abs(proof.error - taken.middle)
    words = f"{used} {name}, {_found(proof, taken.middle, shop)}"
    return Doubt(reworked, words, _matters(record, reworked, proof, off_by, point, shop))


def _of_size(
    record: CheckRecord,
    used: str,
    sort: str,
    before: Sequence[CheckRecord],
    proof: CheckRecord | None,
    point: Point,
    shop: Shop,
    tool: str,
) -> Doubt | None:
    """Work out anew what goes by how far a tool may be off, whichever way."""
    parts = _sources(record, sort)
    most = _most_taken(tool, before, shop)
    if record.kind == "angle" and sort == "square" and parts:
        most = 2 * parts[0]  # an edge pair carries half of it
    if proof is None or (most is not None and abs(proof.error) - proof.expanded <= most):
        return None
    words = f"{used}, {_found(proof, 0.0, shop)}"
    if not most or not parts:
        return Doubt(record, words, cast=proof.verdict == "out" or most is not None)
    ratio = (abs(proof.error) + proof.expanded) / most
    reworked = _widened(record, parts, [one * ratio for one in parts])
    off_by = (ratio - 1) * max(parts)
    return Doubt(reworked, words, _matters(record, reworked, proof, off_by, point, shop))


def _matters(
    record: CheckRecord,
    reworked: CheckRecord,
    proof: CheckRecord,
    off_by: float,
    point: Point,
    shop: Shop,
) -> bool:
    """Tell whether a tool that was found off at a time nobody knows leaves a result in doubt."""
    changed = _verdict(reworked, point, shop) != _verdict(record, point, shop)
    return changed or proof.verdict == "out" or off_by > NO_MATTER * point.tolerance.half_width


def _verdict(record: CheckRecord, point: Point, shop: Shop) -> str:
    return record.verdict_for(point.tolerance, shop.proof_level)[0]


def _found(proof: CheckRecord, taken: float, shop: Shop) -> str:
    """Say what was found of a tool, and when."""
    if abs(taken) > proof.expanded:
        change = measure(abs(proof.error - taken), proof.kind, shop.unit)
        return f"found changed by {change} on {day(proof.when)}"
    return f"found {measure(abs(proof.error), proof.kind, shop.unit)} out on {day(proof.when)}"


def _name_then(record: CheckRecord, sort: str) -> str:
    """Give the name by which a result knew its tool."""
    name = record.readings.get(sort)
    return name if isinstance(name, str) else ""


def _taken_as(record: CheckRecord) -> _Off:
    """Give what a result by square and feeler took its square's own error as: its record tells."""
    by_id = {one.id: one.u for one in record.budget}
    half = by_id.get(SQUARE, 0.0) * math.sqrt(3) + by_id.get(SQUARE_PROVEN, 0.0) * NORMAL_K
    gap, lever = record.readings.get("gap_nm"), record.readings.get("lever_nm")
    if not (isinstance(gap, list) and len(gap) == 2 and isinstance(lever, int) and lever > 0):
        return _Off(0.0, half)
    low, high = gap
    if not (isinstance(low, int) and isinstance(high, int)):
        return _Off(0.0, half)
    return _Off(math.atan2((low + high) / 2, lever) - record.error, half)


def _known_of(tool: str, before: Sequence[CheckRecord], shop: Shop) -> _Off | None:
    """Give what is now known of a square at a time: its proof of before, else the shop file's."""
    if before:
        return _Off(before[-1].error, before[-1].expanded)
    for one in shop.drawer.squares:
        if one.id == tool:
            return _Off(one.known_error, one.limit + NORMAL_K * one.known_u)
    return None


def _most_taken(tool: str, before: Sequence[CheckRecord], shop: Shop) -> float | None:
    """Give what a tool was taken to be off by at most; None where the file no longer has it."""
    if before:
        return abs(before[-1].error) + before[-1].expanded
    limits = [one.limit for one in shop.drawer.others if one.id == tool]
    return limits[0] if limits else None


def _with(record: CheckRecord, taken: _Off, known: _Off) -> CheckRecord:
    """Work a reading by square and feeler out with another error of its square."""
    by_id = {one.id: one.u for one in record.budget}
    was = by_id.get(SQUARE, 0.0) * math.sqrt(3)
    from shopboard.metrology.square import own_error  # not needed before a tool is proven

    own = own_error(known.half)
    certified = by_id.get(SQUARE_PROVEN, 0.0)
    spread, u = record.spread, math.sqrt(max(record.u**2 - certified**2, 0.0))
    rest = record._replace(
        spread=spread._replace(
            centre=spread.centre + taken.middle - known.middle,
            sigma=math.sqrt(max(spread.sigma**2 - certified**2, 0.0)),
        ),
        expanded=(record.k or NORMAL_K) * u,
        budget=(
            *(one for one in record.budget if one.id not in (SQUARE, SQUARE_PROVEN)),
            KeptSource(own.id, own.name, own.u),
        ),
    )
    return _widened(rest, [was] if was else [], [known.half])


def _widened(record: CheckRecord, old: Sequence[float], new: Sequence[float]) -> CheckRecord:
    """Put other half-widths into the place of those that a tool left uncertain."""
    spread = record.spread
    even = list(spread.even)
    removed = 0.0
    for half in old:
        nearest = min(even, key=lambda one: abs(one - half), default=math.inf)
        if math.isclose(nearest, half, rel_tol=_ALIKE, abs_tol=2e-9):
            even.remove(nearest)
            removed += nearest**2 / 3
    u = math.sqrt(max(record.u**2 - removed, 0.0) + sum(half**2 / 3 for half in new))
    return record._replace(
        spread=Spread(spread.centre, (*even, *new), spread.sigma, size=spread.size),
        expanded=(record.k or NORMAL_K) * u,
    )
