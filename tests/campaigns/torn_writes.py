"""A power cut tears writes: each sector not waited for may be there or not; twice over."""

from __future__ import annotations

import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random

from tests.campaigns.frame import Campaign, Try, chance
from tests.journal.helpers import need, uids
from tests.journal.torn import Step, cut, made_at, recorded_steps


def put(path: Path, files: dict[str, bytearray]) -> None:
    """Put the files of a disk beside the journal, and nothing else."""
    for rest in path.parent.iterdir():
        rest.unlink()
    for name, content in files.items():
        Path(name).write_bytes(content)


def hold(path: Path, said: set[str]) -> None:
    """Hold what comes back against what was said."""
    there = uids(path)
    assert said <= set(there), f"said and not there: {said - set(there)}"
    assert len(there) == len(set(there)) <= len(said) + 1, f"never said: {set(there) - said}"


def tear(steps: list[Step], draw: Random, path: Path) -> None:
    """Cut the power of a recording, in some tries of the making, in some of the next start, too."""
    length = made_at(steps, str(path)) if draw.random() < 0.2 else None
    files, said = cut(steps, draw, length)
    put(path, files)
    if draw.random() < 0.05:
        further = recorded_steps(path, 2, start=1000)
        files, more = cut(further, draw, before=files)
        said |= more
        put(path, files)
    hold(path, said)


@contextmanager
def torn(seed: int) -> Iterator[Try]:
    """Tear a recording in most tries, the making of the journal in some, a recovery in others."""
    need("strace")
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "shop" / "journal"
        path.parent.mkdir()
        steps = recorded_steps(path, 30)
        assert sum(step.kind == "said" for step in steps) == 30
        yield lambda index: tear(steps, chance(seed, index), path)


CAMPAIGN = Campaign(torn, count=10_000, in_ci=150)
