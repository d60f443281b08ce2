"""Whole acts of the journal that anything may befall: what lies there before, and what must after.

Each is run as a program of its own, in a folder; `after` holds whatever the program said and
whatever it left against what was there, and tells whether the act took place.
"""

from __future__ import annotations

import shutil
import sys
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from shopboard.journal import errors
from shopboard.journal.backup import back_up
from shopboard.journal.copies import keep_one
from tests.journal.calls import Outcome
from tests.journal.helpers import filled, plainly, uids, writer_command
from tests.journal.programs import BACK_UP, BRING_UP, KEEP, NO_LINKS, RESTORE, SALVAGE

ROLLBACK = b"what a power cut left" * 100
"""Stands for the rollback file beside a journal that does not open."""

PROBE = str(Path(__file__).with_name("probe.py"))

_ERRORS = tuple(name for name in vars(errors) if name.startswith("Journal"))


class Act(NamedTuple):
    """An act, and what it needs."""

    ready: Callable[[Path], None]
    """Puts into an empty folder what lies there before."""
    command: Callable[[Path], list[str]]
    """Gives the program that does it in such a folder."""
    after: Callable[[Path, Outcome], bool]
    """Holds the folder against what the program said; tells whether the act took place."""


def journal_in(folder: Path) -> Path:
    """Give the place of the journal in the folder of an act."""
    return folder / "journal"


def _code(code: str, *names: str) -> Callable[[Path], list[str]]:
    return lambda folder: [sys.executable, "-B", "-c", code, *(str(folder / one) for one in names)]


def _nothing(_folder: Path) -> None:
    """Put nothing there."""


def _forty(folder: Path) -> None:
    filled(journal_in(folder), 40)


def _forty_and_a_copy_of_twenty(folder: Path) -> None:
    filled(journal_in(folder), 20)
    back_up(journal_in(folder), folder / "copy")
    filled(journal_in(folder), 20)


def _one_of_twenty_is_damaged(folder: Path) -> None:
    filled(journal_in(folder), 20)
    data = bytearray(journal_in(folder).read_bytes())
    data[data.index(b"xxx") + 50] ^= 1
    (folder / "broken").write_bytes(data)
    journal_in(folder).unlink()


def _does_not_open(folder: Path) -> None:
    filled(journal_in(folder), 20)
    back_up(journal_in(folder), folder / "copy")
    data = journal_in(folder).read_bytes()
    (folder / "before").write_bytes(bytes(100) + data[100:])
    shutil.copyfile(folder / "before", journal_in(folder))
    rollback_of(journal_in(folder)).write_bytes(ROLLBACK)


def rollback_of(path: Path) -> Path:
    """Give the rollback file that belongs to a journal."""
    return Path(f"{path}-journal")


def _has_work(path: Path) -> bool:
    rollback = rollback_of(path)
    return rollback.exists() and rollback.stat().st_size > 0


def _recorded(folder: Path, outcome: Outcome) -> bool:
    """Nothing that was said is missing or doubled, and at most one more is there."""
    said = [line for line in outcome.said if line.startswith("u")]
    there = uids(journal_in(folder))
    new = [uid for uid in there if uid.startswith("u") and len(uid) < 3]
    assert len(there) - len(new) in (0, 40), f"of the older entries {len(there) - len(new)} stand"
    assert len(new) == len(set(new)), f"doubled: {new}"
    assert set(said) <= set(new), f"said {said}, there {new}"
    if outcome.code < 0:
        assert len(new) <= len(said) + 1, f"said {said}, there {new}"
    refused = [line for line in outcome.said if not line.startswith("u")]
    assert not [line for line in refused if "JournalDamaged" in line], refused
    assert outcome.code <= 0, outcome.error
    if outcome.code == 0 and not refused:
        assert len(said) == 5, outcome.said
    return len(new) == 5


def _with_forty_before(folder: Path, outcome: Outcome) -> bool:
    done = _recorded(folder, outcome)
    assert len(uids(journal_in(folder))) >= 40
    return done


def _refused_in_words(outcome: Outcome, *, done: bool, sound: bool = True) -> None:
    """Hold that what went wrong was said on one line as an error of the journal, and is true."""
    if outcome.code <= 0:
        return
    last = outcome.error.strip().splitlines()[-1]
    assert last.startswith(tuple(f"shopboard.journal.errors.{one}: " for one in _ERRORS)), last
    assert not sound or "JournalDamaged" not in last, last
    for untrue in ("as it was", "Nothing was") if done else ("is there and whole",):
        assert untrue not in last, last


def _copied(folder: Path, outcome: Outcome) -> bool:
    """The name leads to the old copy or to the new one, whole."""
    assert len(uids(journal_in(folder))) == 40
    entries = len(uids(folder / "copy"))
    assert entries in (20, 40), entries
    _refused_in_words(outcome, done=entries == 40)
    if outcome.code == 0:
        assert entries == 40, "it said that it copied"
    if outcome.code >= 0:
        assert not [one.name for one in folder.iterdir() if ".part" in one.name]
    return entries == 40


def aside_of(path: Path) -> list[Path]:
    """Give the files that were kept aside of a journal."""
    found = path.parent.glob(f"{path.name}.before*")
    return [one for one in found if not one.name.endswith("-journal")]


def _is_between_names(folder: Path, outcome: Outcome) -> bool:
    """Tell whether the journal is only aside, as it is for a moment where no file has two names."""
    if journal_in(folder).exists():
        return False
    (kept,) = aside_of(journal_in(folder))
    if outcome.code >= 0:
        assert f"{kept} to {journal_in(folder)}" in outcome.error, outcome.error
    return True


def _restored(folder: Path, outcome: Outcome) -> bool:
    """The path leads to the old file or to the new one; then the old one is kept, whole."""
    path = journal_in(folder)
    assert not _has_work(path)
    if _is_between_names(folder, outcome):
        assert [len(uids(one)) for one in aside_of(path)] == [40]
        return False
    entries = len(uids(path))
    assert entries in (20, 40), entries
    _refused_in_words(outcome, done=entries == 20)
    if outcome.code == 0:
        assert entries == 20, "it said that it restored"
    if entries == 20:
        assert [len(uids(one)) for one in aside_of(path)] == [40], "the old file is not kept"
    return entries == 20


def _restored_over_a_broken_one(folder: Path, outcome: Outcome) -> bool:
    """The rollback file of a file that does not open: never beside the new one, never lost."""
    path, broken = journal_in(folder), (folder / "before").read_bytes()
    kept = [one.read_bytes() for one in folder.glob("journal.before*-journal")]
    between = _is_between_names(folder, outcome)
    new = not between and path.read_bytes() != broken
    if not between:
        _refused_in_words(outcome, done=new)
    if outcome.code == 0:
        assert new, "it said that it restored"
    if new or between:
        assert not _has_work(path)
        assert [one.read_bytes() for one in aside_of(path)] == [broken]
        assert kept == [ROLLBACK]
    elif not _has_work(path):
        assert kept == [ROLLBACK]
    if outcome.code > 0 and not new and not between:
        away = f"-journal to {rollback_of(path)}"
        assert _has_work(path) or away in outcome.error, outcome.error
    return new and len(uids(path)) == 20


def _kept(folder: Path, outcome: Outcome) -> bool:
    """Every copy that bears a name is whole, and none is gone before there is a newer one."""
    entries = sorted(len(uids(one)) for one in (folder / "copies").glob("*.sqlite3"))
    assert entries in ([20], [20, 40], [40]), entries
    assert len(uids(journal_in(folder))) == 40
    done = 40 in entries
    _refused_in_words(outcome, done=done)
    assert done or outcome.code != 0, "it said that it made a copy"
    return done


def _a_copy_of_twenty_by_age(folder: Path) -> None:
    copies = folder / "copies"
    copies.mkdir()
    filled(journal_in(folder), 20)
    keep_one(journal_in(folder), copies, datetime(2026, 6, 2, 8, 0, tzinfo=UTC))
    filled(journal_in(folder), 20)


def _brought_up(folder: Path, outcome: Outcome) -> bool:
    """The journal is of the old form or of the new one, and of the new only beside a copy."""
    path = journal_in(folder)
    assert len(uids(path)) == 40
    with closing(plainly(path)) as db:
        form = int(db.execute("PRAGMA user_version").fetchone()[0])
    copy = folder / "journal.before-v2"
    assert form == 1 or copy.exists()
    if copy.exists():
        assert len(uids(copy)) == 40
    if outcome.code > 0:
        last = outcome.error.strip().splitlines()[-1]
        assert last.startswith("shopboard.journal.errors.Journal"), last
        assert "JournalDamaged" not in last, last
    assert form == 2 or outcome.code != 0
    return form == 2


def _looked_through(folder: Path, outcome: Outcome) -> bool:
    """A file that is whole is never called damaged, whatever the disk does."""
    assert outcome.code <= 0, outcome.error
    assert "amage" not in "".join(outcome.said), outcome.said
    there = len(uids(journal_in(folder)))
    assert there in (40, 41)
    assert there == 41 or "append ok" not in outcome.said
    return there == 41


def _salvaged(folder: Path, outcome: Outcome) -> bool:
    """A whole new journal, or none."""
    assert (folder / "broken").exists()
    target = folder / "new"
    assert target.exists() or outcome.code != 0, "it said that it salvaged"
    if target.exists():
        assert len(uids(target)) == 20, "19 entries, and the one that tells of it"
    _refused_in_words(outcome, done=target.exists(), sound=False)
    return target.exists()


def _writer(folder: Path) -> list[str]:
    return writer_command(journal_in(folder), 0, 5, "--retry")


ACTS = {
    "record": Act(_forty, _writer, _with_forty_before),
    "begin": Act(_nothing, _writer, _recorded),
    "back up": Act(_forty_and_a_copy_of_twenty, _code(BACK_UP, "journal", "copy"), _copied),
    "restore": Act(_forty_and_a_copy_of_twenty, _code(RESTORE, "copy", "journal"), _restored),
    "restore where there are no links": Act(
        _forty_and_a_copy_of_twenty, _code(NO_LINKS + RESTORE, "copy", "journal"), _restored
    ),
    "restore over a broken one": Act(
        _does_not_open, _code(RESTORE, "copy", "journal"), _restored_over_a_broken_one
    ),
    "restore over a broken one where there are no links": Act(
        _does_not_open, _code(NO_LINKS + RESTORE, "copy", "journal"), _restored_over_a_broken_one
    ),
    "keep a copy by age": Act(_a_copy_of_twenty_by_age, _code(KEEP, "journal", "copies"), _kept),
    "bring up to a newer form": Act(_forty, _code(BRING_UP, "journal"), _brought_up),
    "look through": Act(
        _forty,
        lambda folder: [sys.executable, "-B", PROBE, str(journal_in(folder))],
        _looked_through,
    ),
    "salvage": Act(_one_of_twenty_is_damaged, _code(SALVAGE, "broken", "new"), _salvaged),
    "salvage where there are no links": Act(
        _one_of_twenty_is_damaged, _code(NO_LINKS + SALVAGE, "broken", "new"), _salvaged
    ),
}
