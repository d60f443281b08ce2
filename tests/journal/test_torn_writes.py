"""A power cut in the middle of a write: every disk that it could leave is a journal."""

from __future__ import annotations

import random
from pathlib import Path

from tests.journal.helpers import need, uids
from tests.journal.torn import Step, cut, recorded_steps

STATES = 250


def test_no_torn_write_takes_an_acknowledged_entry(path: Path, tmp_path: Path) -> None:
    """Whatever sectors are missing, the journal opens, is whole, and holds what was said."""
    need("strace")
    steps = recorded_steps(path, 30)
    assert sum(step.kind == "said" for step in steps) == 30
    found = [_found_after(steps, random.Random(seed), tmp_path) for seed in range(STATES)]
    assert sum(number > 0 for number in found) > STATES / 2


def test_a_cut_while_the_journal_is_made_leaves_a_path_that_works(
    path: Path, tmp_path: Path
) -> None:
    """The very first writes may be torn too: the next start makes the journal anew."""
    need("strace")
    steps = recorded_steps(path, 1)
    made = next(n for n, step in enumerate(steps) if (step.kind, step.file) == ("wait", str(path)))
    for seed in range(60):
        assert _found_after(steps, random.Random(seed), tmp_path, made) == 0


def _found_after(
    steps: list[Step], chance: random.Random, folder: Path, length: int | None = None
) -> int:
    """Build a disk that a cut could leave, hold it against what was said, and count its entries."""
    place = folder / "after"
    place.mkdir(exist_ok=True)
    for rest in place.iterdir():
        rest.unlink()
    files, said = cut(steps, chance, length)
    for name, content in files.items():
        (place / Path(name).name).write_bytes(content)
    there = uids(place / "shop.journal")
    assert said <= set(there)
    assert len(said) <= len(there) <= len(said) + 1
    return len(there)
