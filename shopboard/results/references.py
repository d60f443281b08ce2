"""The drawer as its own checks have proven it.

From the day that a square or a straightedge is proven, what was found of it
takes the place of the grade or limit that the shop file gives, until that
result is withdrawn. Results recorded before stay as they are.
"""

from __future__ import annotations

from collections.abc import Mapping

from shopboard.base.dates import day
from shopboard.checks import registry
from shopboard.journal import Store, kinds
from shopboard.metrology.instruments import PROVEN, Drawer, OtherTool, Square
from shopboard.results.record import CheckRecord, read_all
from shopboard.shop.model import Shop

NORMAL_K = 1.96
"""Coverage factor for 95 % with unlimited degrees of freedom."""

_LOOKED_AT = 60
"""Newest results of a point that are looked at; a check makes no more than this."""


def drawer_as_proven(shop: Shop, latest: Mapping[tuple[str, str], CheckRecord]) -> Drawer:
    """Give the drawer with what is proven of its squares and straightedges.

    Args:
        shop: the shop.
        latest: newest result that stands, by (machine, point).
    """
    proofs: dict[str, CheckRecord] = {}
    for point in shop.points.values():
        record = latest.get((point.machine, point.id))
        if not point.proves or record is None or not _proves(record, point.proves, shop):
            continue
        before = proofs.get(point.proves)
        if before is None or before.seq < record.seq:
            proofs[point.proves] = record
    if not proofs:
        return shop.drawer
    return shop.drawer._replace(
        squares=tuple(_square(one, proofs.get(one.id)) for one in shop.drawer.squares),
        others=tuple(_other(one, proofs.get(one.id)) for one in shop.drawer.others),
    )


def proven_drawer(shop: Shop, journal: Store, before: int | None = None) -> Drawer:
    """Give the drawer as the journal has it proven, by what was recorded before an entry.

    Raises:
        JournalError: when the journal cannot be read.
    """
    latest: dict[tuple[str, str], CheckRecord] = {}
    for point in shop.points.values():
        if point.proves:
            here = (point.machine, point.id)
            entries = journal.recent(kinds.CHECK.name, *here, limit=_LOOKED_AT, include_void=False)
            known = [one for one in entries if before is None or one.seq < before]
            latest.update((here, record) for record in read_all(known[:1]))
    return drawer_as_proven(shop, latest)


def proven_by(record: CheckRecord, shop: Shop) -> str:
    """Give the tool, by its id of today, that a result proves; empty when it proves none."""
    tool = record.readings.get("proves")
    return shop.tools_were.get(tool, tool) if isinstance(tool, str) else ""


def _proves(record: CheckRecord, tool: str, shop: Shop) -> bool:
    """Tell whether a result proves this very tool: the point may have proven another before."""
    drawer = shop.drawer
    if proven_by(record, shop) != tool or record.method not in registry.names():
        return False
    sort = registry.method(record.method).proves
    if sort == "square":
        return record.kind == "angle" and any(one.id == tool for one in drawer.squares)
    return sort == "straightedge" and record.kind == "length"


def _square(square: Square, proof: CheckRecord | None) -> Square:
    """Put the proven error in place of the grade.

    With few degrees of freedom k is above 1.96; the standard uncertainty is made so much wider
    that a later budget, which takes it as well known, keeps this proof's 95 %.
    """
    if proof is None:
        return square
    return square._replace(
        limit=0.0,
        known_error=proof.error,
        known_u=proof.expanded / NORMAL_K,
        source=f"{PROVEN} {day(proof.when)}",
    )


def _other(tool: OtherTool, proof: CheckRecord | None) -> OtherTool:
    """Let a straightedge be off by what was found of it and what was not known of that."""
    if proof is None or tool.kind != "straightedge":
        return tool
    return tool._replace(limit=abs(proof.error) + proof.expanded)
