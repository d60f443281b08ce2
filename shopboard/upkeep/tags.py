"""Tags: a machine that is not to be used says so until somebody clears it, with a reason.

A tag goes up at once; it comes down by a deliberate act. Both are recorded. Each tag stands by
itself until it is taken off (`standing_tags`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopboard.base.who import same_name
from shopboard.checks.correction_steps import MANUAL
from shopboard.checks.steps import AnswerError, Caution, Option, Words
from shopboard.journal import Entry, NewEntry, Store, kinds, new_uid
from shopboard.journal.kinds import Tagged
from shopboard.upkeep.safety_record import (
    DO_NOT_USE,
    LOST,
    is_unsure,
    lost_tags,
    may_carry,
    tag_words,
)
from shopboard.upkeep.standing_tags import in_one, standing_tags

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopboard.shop.model import Shop

REASONS = (
    "a guard is off or damaged",
    "the stop button does not stop it",
    "the cutter is loose or damaged",
    "plug, cord or switch is damaged",
    "odd noise or vibration",
    "it is in pieces",
    "waiting for a part",
)
"""Why a machine is tagged, for the digits."""

CLEARED = (
    "fixed and tested",
    "the part is fitted and tested",
    "put back together and tested",
    "the tag was a mistake",
)
"""Why a tag is cleared, for the digits."""

LONGEST = 200
"""Characters of a reason."""


def read_reason(text: str) -> str:
    """Give the words of a reason as they are kept.

    Raises:
        AnswerError: when there are none, too many, or some that cannot be shown.
    """
    return Words(key="why", title="").accept(" ".join(text.split()))


def joined(tag: str, more: str) -> str:
    """Put words on a tag; what it may carry and nobody knows stays behind them, as far as it fits.

    A tag that is known stands by itself beside them.
    """
    if not is_unsure(tag) or more in tag:
        return more
    both = f"{more}; {tag}"
    return both if len(both) <= LONGEST else f"{both[: LONGEST - 1].rstrip()}…"


def tag_entry(machine_id: str, why: str, uid: str = "") -> NewEntry:
    """Put together the entry that tags a machine, to be recorded with others at once."""
    return kinds.TAG.new(uid or new_uid(), Tagged(out_of_use=True, why=why), machine_id)


def record_tag(machine_id: str, why: str, journal: Store, uid: str = "") -> Entry:
    """Tag a machine as not to be used, by an entry of that name, if one is given.

    Raises:
        AnswerError: when the reason cannot be one.
        JournalError: when it cannot be recorded.
    """
    return journal.append([tag_entry(machine_id, read_reason(why), uid)])[0]


def why_not_off(shop: Shop, who: str) -> str:
    """Say why a bench of that name, or of none, takes no tag off in a shop; empty: it may."""
    may = shop.tags_off_by
    if not may or any(same_name(one, who) for one in may):
        return ""
    listed = f"{', '.join(may[:-1])} or {may[-1]}" if may[1:] else may[0]
    this = f"this is {who}" if who else "this bench has no name: `shopboard who NAME` gives it one"
    return f"only {listed} takes a tag off here; {this}"


_NAMED = 500
"""A clearing names so many tags at the most; what is older than the newest of them goes, too."""


def clear_tag(
    machine_id: str,
    reason: str,
    journal: Store,
    uid: str = "",
    why_not: str = "",
    looked_at: Sequence[str] | None = None,
) -> Entry:
    """Clear the tag of a machine, by an entry of that name, if one is given.

    What comes while that is recorded is not taken off.

    Args:
        machine_id: the machine.
        reason: what was done about it.
        journal: the journal.
        uid: name of the entry; empty: a new one.
        why_not: what `why_not_off` says.
        looked_at: uids of the tags that were shown, which are taken off; None: all that stand now.

    Raises:
        AnswerError: when the reason cannot be one, there is no tag, or this bench may not.
        JournalError: when it cannot be recorded.
    """
    words = read_reason(reason)
    if not standing_tag(machine_id, journal):
        raise AnswerError("it is not tagged")
    if why_not:
        raise AnswerError(why_not)
    stand = standing_tags(machine_id, journal)
    taken = [one for one in stand if looked_at is None or one.uid in looked_at]
    if stand and not taken:
        raise AnswerError("there is another tag on it by now; look at it")
    off = {one.uid: tag_words(one) for one in taken[:_NAMED]}
    said = Tagged(out_of_use=False, why=words, off=off)
    return journal.append([kinds.TAG.new(uid or new_uid(), said, machine_id)])[0]


def newest_tags(machine_id: str, journal: Store, limit: int = 6) -> list[Entry]:
    """Give tags and clearings of a machine that stand, newest first.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return journal.recent(kinds.TAG.name, machine_id, "", limit, include_void=False)


def standing_tag(machine_id: str, journal: Store) -> str:
    """Give why a machine is not to be used now; empty while it may be.

    Where the journal is damaged, it may be the tag that is lost.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if stand := standing_tags(machine_id, journal):
        return in_one(stand)
    newest = next(iter(newest_tags(machine_id, journal, 1)), None)
    damage, seq = journal.damage, newest.seq if newest is not None else 0
    if damage is not None and damage.shakes(seq):
        return may_carry(damage.why)
    lost = lost_tags(journal)
    return may_carry(LOST) if seq < max(lost.get(machine_id, 0), lost.get("", 0)) else ""


def tagged_by(machine_id: str, journal: Store) -> str | None:
    """Name the bench that put the newest tag on a machine; None where none is on record.

    Raises:
        JournalError: when the journal cannot be read.
    """
    stand = standing_tags(machine_id, journal)
    return (stand[0].by or None) if stand else None


TAG_STEP = "tagged"
"""Key of the step that shows a tag before a check."""


def tag_caution(why: str) -> Caution:
    """Show a tag's words before hands go to the machine."""
    title = f"This machine is tagged {DO_NOT_USE}: {why}"
    first = "A check leaves the tag on. Start the machine only if the words on its tag allow it."
    if is_unsure(why):
        title = f"{DO_NOT_USE}: {why}"
        first = "Look at it. Start it only if it carries none, or if the words on its tag allow it."
    return Caution(
        key=TAG_STEP,
        title=title,
        lines=(first, MANUAL),
        options=(Option("read", "I have read it"),),
    )
