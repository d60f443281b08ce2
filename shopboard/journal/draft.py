"""An entry made ready for recording: held against the limits, its body written as JSON."""

import json
from collections.abc import Mapping

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import harmless
from shopboard.journal.entry import BY, NewEntry
from shopboard.journal.errors import JournalError
from shopboard.journal.kinds import VOID
from shopboard.journal.schema import MAX_BODY, MAX_KIND, MAX_NAME, MAX_UID


class Draft(NamedTuple):
    """An entry whose every text is known to fit."""

    uid: str
    """The caller's name for it."""

    kind: str
    """What sort of entry it is."""

    machine: str
    """The machine, or empty."""

    point: str
    """The point, or empty."""

    refers: str
    """The uid of the entry it speaks of, or empty."""

    body: str
    """The body as JSON in one fixed form, so that equal bodies are equal texts."""


def draft(entry: NewEntry, by: str = "") -> Draft:
    """Make an entry ready.

    Args:
        entry: what is to be recorded.
        by: the name of the bench that records it, unless it holds one already; or empty.

    Raises:
        JournalError: when it cannot be recorded; its words say why.
    """
    _fits("uid", entry.uid, MAX_UID, may_be_empty=False)
    _fits("kind", entry.kind, MAX_KIND, may_be_empty=False)
    _fits("machine", entry.machine, MAX_NAME)
    _fits("point", entry.point, MAX_NAME)
    _fits("refers", entry.refers, MAX_UID)
    body = _json({BY: by, **entry.body} if by else entry.body)
    if entry.kind == VOID.name and not (entry.refers and VOID.of_body(entry.body).reason.strip()):
        raise unfit("a withdrawal must name an entry and give a reason")
    return Draft(entry.uid, entry.kind, entry.machine, entry.point, entry.refers, body)


def unfit(why: str) -> JournalError:
    """Give the error for an entry that cannot be recorded, whatever the state of the disk."""
    return JournalError(
        f"This cannot be recorded in the journal: {harmless(why)}.", "Nothing was recorded."
    )


def _fits(name: str, text: str, most: int, may_be_empty: bool = True) -> None:
    if len(text) > most:
        raise unfit(f"its {name} is longer than {most} characters")
    if not (text or may_be_empty):
        raise unfit(f"its {name} is empty")
    # SQLite's length() stops at NUL, and a lone surrogate has no place in UTF-8.
    if "\0" in text or not _encodes(text):
        raise unfit(f"its {name} holds a character that no text may hold")


def says_the_same(recorded: str, handed_in: str) -> bool:
    """Tell whether two bodies are the same but for the bench: any may hand an entry in again."""
    return recorded == handed_in or _without_bench(recorded) == _without_bench(handed_in)


def _without_bench(body: str) -> str:
    held = json.loads(body)
    if isinstance(held, dict):
        held.pop(BY, None)
    return json.dumps(held, sort_keys=True)  # as text: to Python 1 and true are equal


def _json(body: Mapping[str, object]) -> str:
    try:
        text = json.dumps(
            dict(body),
            ensure_ascii=False,
            allow_nan=False,
            sort_keys=True,
            separators=(",", ":"),
        )
    except (TypeError, ValueError, RecursionError) as error:
        raise unfit(f"its body is nothing that JSON can hold ({error})") from error
    if len(text) > MAX_BODY:
        raise unfit(f"its body is longer than {MAX_BODY} characters")
    if not _encodes(text):
        raise unfit("its body holds a character that no text may hold")
    return text


def _encodes(text: str) -> bool:
    try:
        text.encode("utf-8")
    except UnicodeEncodeError:
        return False
    return True
