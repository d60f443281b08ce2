"""The disks of `tests/campaigns/torn_writes.py` are torn where nothing was waited for."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopboard.journal import JournalError
from tests.campaigns.frame import chance
from tests.campaigns.torn_writes import hold, put
from tests.journal.helpers import need
from tests.journal.torn import cut, recorded_steps


def test_a_writer_that_does_not_wait_for_the_disk_loses_entries(path: Path, tmp_path: Path) -> None:
    need("strace")
    place = tmp_path / "shop" / path.name
    place.parent.mkdir()
    steps = recorded_steps(place, 10, 0, "--unsafe")
    for index in range(20):
        files, said = cut(steps, chance(1, index))
        put(place, files)
        try:
            hold(place, said)
        except (AssertionError, JournalError):
            return
    pytest.fail("nothing is torn: not one unsafe entry was lost")
