"""The first few tries of every campaign; and that the frame counts and tells what fails."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest

from tests.campaigns import __main__ as command
from tests.campaigns.frame import Campaign, Failure, Try, chance, failures, named, names

SEED = 20260601


@pytest.mark.parametrize("name", [name for name in names() if named(name)[0].in_ci])
def test_a_slice_of_each_campaign_fails_nowhere(name: str) -> None:
    campaign, about = named(name)
    assert about
    assert campaign.in_ci < campaign.count
    assert failures(campaign, SEED, campaign.in_ci) == []


@contextmanager
def _thirds(seed: int) -> Iterator[Try]:
    def attempt(index: int) -> str | None:
        if index == 5:
            raise OSError("no such leaf")
        return f"drawn {chance(seed, index).randrange(10**9)}" if index % 3 == 2 else None

    yield attempt


THIRDS = Campaign(_thirds, 9, 3)


def test_what_goes_wrong_is_told_by_its_index_and_the_rest_goes_on() -> None:
    found = failures(THIRDS, 7, 9)
    assert [one.index for one in found] == [2, 5, 8]
    assert "OSError: no such leaf" in found[1].what
    assert found[2] == Failure(8, f"drawn {chance(7, 8).randrange(10**9)}")
    assert failures(THIRDS, 7, 9) == found
    assert failures(THIRDS, 8, 9)[0] != found[0]


def test_the_command_ends_with_the_count_and_says_how_to_see_it_again(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    assert command._run("thirds", THIRDS, 7, range(9)) == 1
    lines = capsys.readouterr().out.splitlines()
    assert lines[-1] == "thirds: 9 tried, seed 7, 3 failed"
    assert lines[1] == "again: python -m tests.campaigns thirds --seed 7 --only 2"
    assert command._run("thirds", THIRDS, 7, range(2, 3)) == 1
    assert capsys.readouterr().out.splitlines()[0] == lines[0]
    assert command._run("thirds", THIRDS, 7, range(2)) == 0


def test_the_command_says_plainly_what_is_missing(capsys: pytest.CaptureFixture[str]) -> None:
    @contextmanager
    def unable(_seed: int) -> Iterator[Try]:
        pytest.skip("not installed: a rope")
        yield lambda _index: None

    assert command._run("rope", Campaign(unable, 9, 3), 1, range(9)) == 2
    assert capsys.readouterr().out == "rope: cannot run here: not installed: a rope\n"
