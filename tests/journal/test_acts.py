"""Every act of the journal, killed or its power cut at calls spread over it: before, or done."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.campaigns.power_cuts import cut_act
from tests.in_turn import ALL
from tests.journal.acts import ACTS
from tests.journal.calls import CHANGES, killed_at
from tests.journal.disk import loop_disk
from tests.journal.helpers import need
from tests.journal.strikes import Strike, strikes


def spread(name: str, place: Path, number: int) -> list[Strike]:
    """Give so many calls of an act, the first and the last that change anything among them."""
    need("strace")
    found = [one for one in strikes(place, name) if one.call.name in CHANGES]
    return [found[round(which * (len(found) - 1) / (number - 1))] for which in range(number)]


@pytest.mark.parametrize("name", ACTS)
def test_killed_at_any_call_it_is_as_before_or_done(name: str, tmp_path: Path) -> None:
    seen = set()
    for which, strike in enumerate(spread(name, tmp_path, 10 if ALL else 3)):
        folder = tmp_path / f"{which}"
        strike.set_up(folder)
        outcome = killed_at(strike.command(folder), folder, strike.call)
        assert outcome.code < 0
        seen.add(strike.hold(folder, outcome, "killed"))
    assert seen == {False, True}


@pytest.mark.root
@pytest.mark.parametrize("name", ["back up", "restore", "salvage"])
def test_its_power_cut_at_any_call_it_is_as_before_or_done(name: str, tmp_path: Path) -> None:
    with loop_disk(tmp_path) as disk, disk.mounted():
        seen = {cut_act(disk, strike) for strike in spread(name, tmp_path, 7 if ALL else 3)}
    assert seen == {False, True}
