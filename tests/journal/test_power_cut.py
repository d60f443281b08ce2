"""The cut of the campaign (`tests/campaigns/power_cuts.py`) is a real one."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.campaigns.frame import chance
from tests.campaigns.power_cuts import said_until_cut
from tests.journal.disk import loop_disk
from tests.journal.helpers import uids

pytestmark = pytest.mark.root

CUTS = 12


def test_a_writer_that_does_not_wait_for_the_disk_loses_entries(tmp_path: Path) -> None:
    with loop_disk(tmp_path) as disk, disk.mounted():
        for cut in range(CUTS):
            said = said_until_cut(disk, chance(1, cut), cut * 10_000_000, "--unsafe")
            disk.power_again()
            if said - set(uids(disk.mount_point / "journal")):
                return
    pytest.fail("the harness cuts no power: not one unsafe entry was lost")
