"""The table of a long journal: it begins at once, and few of its rows are held at a time."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.commands import export
from shopboard.journal import Entry, NewEntry, Store, open_journal
from shopboard.open_shop import OpenShop
from tests.bench.filling import POINTS, fill_journal, write_shop
from tests.in_turn import few


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    """Two machines and 4,000 entries: 500 results and some; the last machine is gone from the file.

    Of one point the only result was withdrawn.
    """
    write_shop(tmp_path / "shop.toml", 2)
    fill_journal(tmp_path / "journal.db", 3, 4000)
    with closing(open_journal(tmp_path / "journal.db", lambda: datetime.now(UTC))) as journal:
        like = journal.recent("check", "m1", "fence", 1)[0]
        journal.append([NewEntry("only", "check", "m1", "lost", like.body)])
        journal.void("only", "by mistake")
    return tmp_path


def _plainly(journal: Store, machine: str) -> list[str]:
    return [one.uid for one in reversed(journal.machine_entries("check", machine, 10_000))]


@pytest.mark.parametrize("page", few([7, 1, 5000, 100], 2))
def test_every_result_comes_once_in_its_order(
    shop: Path, page: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(export, "_PAGE", page)
    with closing(OpenShop(shop / "shop.toml", shop / "journal.db")) as open_shop:
        found = [(one.machine, one.uid) for one in export._records(open_shop, "all", [])]
        expected = [
            (name, uid) for name in ("m1", "m2", "m3") for uid in _plainly(open_shop.journal, name)
        ]
        assert len(expected) > 400
        assert ("m1", "only") in expected
        assert found == expected
        one = [record.uid for record in export._records(open_shop, "m1.lost", [])]
        assert one == ["only"]


def test_few_results_are_held_at_a_time(shop: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(export, "_PAGE", 20)
    with closing(OpenShop(shop / "shop.toml", shop / "journal.db")) as open_shop:
        journal, asked = open_shop.journal, list[int]()
        between = journal.between

        def counted(
            kind: str, machine: str, point: str, after: int, upto: int, limit: int = 200
        ) -> Sequence[Entry]:
            found = between(kind, machine, point, after, upto, limit)
            asked.append(len(found))
            return found

        monkeypatch.setattr(journal, "between", counted)
        found = list(export._oldest_first(journal, "m1", POINTS))
        assert len(found) > 150
        assert max(asked) <= 21
        assert len(asked) < len(found)


def test_the_headings_come_before_the_rest_is_read(shop: Path) -> None:
    command = [sys.executable, "-m", "shopboard", "--shop", str(shop / "shop.toml")]
    command += ["--journal", str(shop / "journal.db"), "export", "all", "--csv"]
    with subprocess.Popen(command, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        first = process.stdout.readline()
        process.stdout.close()  # as `head -1` does
        assert process.wait(60) == 0
    assert first.startswith(b"result,")
