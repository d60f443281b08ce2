"""A glue-up on hold: the person goes on all the same, with a reason; it stays their decision.

It never makes an answer a go. What held it up then stands beside it, and a mistake is withdrawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime

from shopboard.base.dates import day
from shopboard.base.light_tuple import NamedTuple
from shopboard.base.who import with_bench
from shopboard.journal import Entry, Store, kinds, new_uid
from shopboard.journal.kinds import GluedOnHold
from shopboard.prep.glue_up import GlueUpAnswer
from shopboard.shop.project import Joint, Project

REASONS = (
    "dry-fitted: it closes well enough",
    "it is planed or sanded to fit afterwards",
    "a gap as wide as that will do here",
    "a trial piece, not for the work itself",
)
"""Usual ones, to choose by a digit."""

TAKEN_BACK = "recorded by mistake"
"""Why a decision is withdrawn by a key."""

MOST = 100
"""Decisions of one joint that are read."""


class Decision(NamedTuple):
    """One glue-up on hold."""

    uid: str
    seq: int
    when: datetime
    why: str
    """The person's reason."""
    held: tuple[str, ...]
    """What held it up then."""
    taken_back: str | None = None
    """Why it was withdrawn; None while it stands."""
    by: str = ""
    """Name of the bench that recorded it; empty: it had none."""

    @property
    def words(self) -> str:
        """Say it: ``glued up on HOLD, Mon 7 Dec 2026: it closes``."""
        back = "" if self.taken_back is None else f"; WITHDRAWN: {self.taken_back}"
        return f"glued up on HOLD, {day(self.when)}: {with_bench(self.why, self.by)}{back}"


def decide(journal: Store, found: GlueUpAnswer, why: str, uid: str = "") -> Decision:
    """Record that a joint is glued up although it is on hold.

    Args:
        journal: the journal.
        found: the answer that it is decided against; one that holds.
        why: the person's reason, a few words.
        uid: name of its entry; empty: a new one.

    Raises:
        ValueError: when it is go: then there is nothing to decide.
        JournalError: when it cannot be recorded.
    """
    if found.go:
        raise ValueError("it is GO: nothing holds it up, and no reason is asked for")
    joint = found.joint
    held = tuple(one.words for one in found.reasons)
    sorts = tuple(one.sort for one in found.reasons)
    said = GluedOnHold(joint.project, joint.id, joint.name, why, held, sorts)
    written = journal.append([kinds.GLUE_UP.new(uid or new_uid(), said, point=joint.full_name)])
    return _read(written[0])


def decisions(journal: Store, joint: Joint) -> list[Decision]:
    """Give what was decided of a joint, the newest first, with what was withdrawn.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return [_read(one) for one in journal.recent(kinds.GLUE_UP.name, "", joint.full_name, MOST)]


def standing_decision(journal: Store, joint: Joint) -> Decision | None:
    """Give the newest decision of a joint that was not withdrawn; None: there is none.

    Raises:
        JournalError: when the journal cannot be read.
    """
    newest = journal.recent(kinds.GLUE_UP.name, "", joint.full_name, 1, include_void=False)
    return _read(newest[0]) if newest else None


def decided_between(
    journal: Store, joints: Iterable[Joint], after: int, upto: int
) -> list[tuple[Joint, Decision]]:
    """Give what was decided of some joints between two entries, in the order of recording.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = [
        (joint, _read(entry))
        for joint in joints
        for entry in journal.between(kinds.GLUE_UP.name, "", joint.full_name, after, upto, MOST)
    ]
    return sorted(found, key=lambda one: one[1].seq)


def decided_at(journal: Store, projects: Iterable[Project], machine: str) -> list[str]:
    """Say what was glued up on hold with work of a machine, the newest first.

    Args:
        journal: the records.
        projects: whose joints are looked at; of each the newest decision that stands.
        machine: id of the machine: one of its points shows in the joint.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = [
        (decided, f"{joint.name} ({project.name}) {decided.words}")
        for project in projects
        for joint in project.joints
        if any(name.partition(".")[0] == machine for name in joint.point_names)
        and (decided := standing_decision(journal, joint)) is not None
    ]
    return [words for _, words in sorted(found, key=lambda one: -one[0].seq)]


def _read(entry: Entry) -> Decision:
    said = kinds.GLUE_UP.read(entry)
    why = said.why or "no reason recorded"
    return Decision(entry.uid, entry.seq, entry.when, why, said.held, entry.void, entry.by)
