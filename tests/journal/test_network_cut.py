"""The network is cut in the middle of a commit: what became of it is found out, recorded once.

What is sent for a commit, and that a session which is lost before it undoes all, is PostgreSQL's
documentation (55.7 message formats; COMMIT).
"""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import closing
from typing import get_args

import pytest

from shopboard.base.server_place import ServerPlace
from shopboard.journal import JournalCannotWrite, JournalLocked
from shopboard.journal.on_server import held_server
from tests.journal.helpers import check, opened
from tests.journal.network import Cut, Network, network
from tests.server import OWNER, database, the_server

CUTS: tuple[Cut, ...] = get_args(Cut)


@pytest.fixture
def name() -> Iterator[str]:
    with database() as name:
        yield name


@pytest.fixture
def wire() -> Iterator[Network]:
    with network(the_server().folder) as made:
        yield made


def over(wire: Network, name: str) -> ServerPlace:
    """Give the place of a journal as it is reached over the network."""
    return ServerPlace(f"postgresql://{OWNER}@127.0.0.1:{wire.port}/{name}")


@pytest.mark.parametrize("cut", CUTS[:2])
def test_a_commit_that_is_cut_is_recorded_once(wire: Network, name: str, cut: Cut) -> None:
    with closing(opened(over(wire, name))) as journal:
        journal.append([check()])
        answers = [check(n=1), check(n=2)]
        wire.cut = cut
        entries = journal.append(answers)
        assert wire.cut is None  # it was
        assert [one.seq for one in entries] == [2, 3]
        assert journal.append(answers) == entries
        assert (journal.count(), journal.verify()) == (3, None)


@pytest.mark.parametrize("cut", CUTS[:2])
def test_a_network_that_stays_away_leaves_it_uncertain_until_it_is_there_again(
    wire: Network, name: str, cut: Cut, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(held_server, "AGAIN_AFTER", 0.0)
    with closing(opened(over(wire, name))) as journal:
        journal.append([check()])
        answer = check(n=1)
        wire.cut, wire.goes_down = cut, True
        with pytest.raises(JournalCannotWrite, match="not certain that it was recorded"):
            journal.append([answer])
        wire.is_down = False
        assert journal.count() == (2 if cut == "unanswered" else 1)
        assert journal.append([answer])[0].seq == 2
        assert (journal.count(), journal.verify()) == (2, None)


@pytest.mark.parametrize("cut", CUTS[2:])
def test_a_line_that_falls_silent_at_the_commit_is_given_up_and_nothing_untrue_is_told(
    wire: Network, name: str, cut: Cut
) -> None:
    """The session that waits for its commit holds everybody up; it may yet come to it."""
    terms = {"wait_seconds": 0.2, "read_seconds": 0.2}
    with closing(opened(over(wire, name), **terms)) as journal:
        journal.append([check()])
        answer = check(n=1)
        wire.cut = cut
        begun = time.monotonic()
        if cut == "silent, unanswered":  # on a new line it is found
            assert journal.append([answer])[0].seq == 2
        else:
            with pytest.raises(JournalCannotWrite, match="not certain that it was recorded"):
                journal.append([answer])
            with closing(opened(the_server().place(name), **terms)) as other:
                with pytest.raises(JournalLocked):
                    other.append([check(n=2)])
                assert other.count() == 1
            wire.clear()
        assert time.monotonic() - begun < 10.0
        assert journal.append([answer])[0].seq == 2
        assert (journal.count(), journal.verify()) == (2, None)
