"""What is recorded of a machine as a whole: what happened, a tag."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime

from shopboard.base.dates import told_time
from shopboard.base.light_tuple import NamedTuple
from shopboard.journal.entry import Entry
from shopboard.journal.kinds.row import (
    Body,
    EntryKind,
    amount_in,
    noted,
    number_in,
    on_day,
    text_in,
    texts_in,
)


class WhatHappened(NamedTuple):
    """What happened to a machine, or in the whole shop."""

    what: str
    amount: float | None = None
    """What is counted, of this use alone: minutes, cuts, mm, projects; None: nothing is."""
    total: float | None = None
    """The same of all that stood by then, this among it; None: nothing is counted."""
    note: str = ""
    on: datetime | None = None
    """When it happened, where that was said later."""
    project: str = ""
    """Id of the project that was finished; empty: not told."""
    machines: tuple[str, ...] | None = None
    """Ids of the machines that it ran on, for which it counts; None: not told, for every one."""
    not_on: Mapping[str, float] = {}
    """By machine, how many of the total did not run it, this one among them; of none missing."""

    @property
    def spared(self) -> frozenset[str]:
        """Ids of the machines that it did not run."""
        return frozenset() if self.machines is None else frozenset(self.not_on) - {*self.machines}


def _happened(value: WhatHappened) -> Body:
    counted = {"amount": value.amount, "total": value.total}
    told = {key: one for key, one in counted.items() if one is not None}
    of: dict[str, object] = {"project": value.project} if value.project else {}
    of |= {} if value.machines is None else {"machines": [*value.machines]}
    of |= {"not_on": dict(value.not_on)} if value.not_on else {}
    return {"v": 1, "what": value.what, **told, **noted(value.note), **on_day(value.on), **of}


def _read_happened(body: Body) -> WhatHappened:
    return WhatHappened(
        text_in(body.get("what")),
        amount_in(body.get("amount")),
        number_in(body["total"]) if "total" in body else None,
        text_in(body.get("note")),
        told_time(body.get("on")),
        text_in(body.get("project")),
        texts_in(body["machines"]) if "machines" in body else None,
        _amounts_in(body.get("not_on")),
    )


def _amounts_in(value: object) -> dict[str, float]:
    """Give amounts by id from a body."""
    found = value.items() if isinstance(value, dict) else ()
    return {str(ident): number_in(one) for ident, one in found}


def renamed(entry: Entry, names: Mapping[str, str]) -> Entry:
    """Give what happened with the machines that it tells of under their ids of today.

    Args:
        entry: of this kind.
        names: ids of today by the old ones.
    """
    said = HAPPENING.read(entry)
    if said.machines is None and not said.not_on:
        return entry
    not_on = {names.get(one, one): amount for one, amount in said.not_on.items()}
    machines = said.machines and tuple(names.get(one, one) for one in said.machines)
    return HAPPENING.said_in(entry, said._replace(machines=machines, not_on=not_on))


HAPPENING = EntryKind(
    name="happening",
    write=_happened,
    of_body=_read_happened,
    point="happening",
    follows_renames=False,
    undoes=True,
    lost="its machine",
    at_machine=True,
    gathered="its place",
    look_back="happening",
    retired="its machine",
    export=False,
    status=True,
    voidable=True,
)


class Tagged(NamedTuple):
    """A machine is not to be used, or may be again."""

    out_of_use: bool
    why: str
    off: Mapping[str, str] | None = None
    """What a clearing takes off: words by uid of the tag. None: it is a tag, or takes off all."""


def _tagged(value: Tagged) -> Body:
    body: dict[str, object] = {"v": 1, "out_of_use": value.out_of_use, "why": value.why}
    if value.off is not None:
        body["off"] = [{"uid": uid, "why": why} for uid, why in value.off.items()]
    return body


def _read_tagged(body: Body) -> Tagged:
    off = body.get("off")
    out_of_use, why = body.get("out_of_use") is True, text_in(body.get("why"))
    if not isinstance(off, list):
        return Tagged(out_of_use, why)
    named = [one for one in off if isinstance(one, dict)]
    return Tagged(
        out_of_use, why, {text_in(one.get("uid")): text_in(one.get("why")) for one in named}
    )


TAG = EntryKind(
    name="tag",
    write=_tagged,
    of_body=_read_tagged,
    point="nothing",
    follows_renames=False,
    undoes=False,
    lost="nothing",
    at_machine=False,
    gathered="its place",
    look_back="",
    retired="its machine",
    export=False,
    status=True,
    voidable=False,
)
