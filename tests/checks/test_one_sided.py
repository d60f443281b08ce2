"""What is a size, such as run-out, is never below 0: its tolerance limits it on one side."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from shopboard.checks import registry
from shopboard.checks.ranking import rank
from shopboard.checks.report import outcome_lines
from shopboard.metrology.conformity import Tolerance
from shopboard.reports.plot import plot_lines
from shopboard.reports.trace import gather_trace
from shopboard.shop.reader import read_shop_text
from tests import two_shops
from tests.checks import machines
from tests.reports.story import Story, body

METRIC = (
    two_shops.METRIC
    + """
[[machine]]
id = "lathe"
name = "Lathe"
kind = "lathe"

[[machine.point]]
id = "spindle"
name = "Spindle runs true"
check = "runout"
tolerance = "0.5 mm"
"""
)


@pytest.mark.parametrize("name", registry.names())
def test_a_method_says_whether_it_measures_a_size(name: str) -> None:
    """As what it finds says: a point that was never checked is told the same tolerance."""
    method = registry.method(name)
    job = machines.dial_job(Tolerance(-1, 1, "1", method.kind))
    for one in rank(job, (name,)):
        if one.best is not None:
            assert one.best.size is method.is_size


def test_in_plain_lines_its_tolerance_is_at_most_and_it_has_no_sign() -> None:
    """0.725 mm of run-out, of 0.5 mm allowed."""
    limits = Tolerance(-0.5, 0.5, "0.5 mm", "length")
    outcome = machines.fed(
        machines.measured("runout"), machines.dial_job(limits), {"low": 0.0, "high": 0.725}
    )
    lines = dict(one.split(None, 1) for one in outcome_lines(replace(outcome, adds={}), "mm"))
    assert lines["tolerance"] == "at most 0.5 mm"
    assert lines["run-out"].startswith("0.72")
    assert lines["verdict"].startswith("out")
    assert not [line for line in outcome.working if "+" in line]


def test_the_picture_draws_no_limit_below_0(tmp_path: Path) -> None:
    """Nor calls out what no run-out can be."""
    shop = read_shop_text(METRIC, known_checks=registry.names()).shop
    told = Story(tmp_path / "journal.sqlite3")
    with closing(told.journal):
        told.at(datetime(2026, 5, 1, 12, tzinfo=UTC))
        found = body(
            300_000, 400_000, method="runout", kind="length", unit="nm", size=True, verdict="near"
        )
        told.sitting("lathe.spindle", found)
        trace = gather_trace(shop, "lathe.spindle", told.journal)
    now = datetime(2026, 6, 1, 12, tzinfo=UTC)
    lines = ["".join(text for text, _ in one) for one in plot_lines(trace, "mm", now, (80, 24))]
    edges = [line.partition("┤")[0].strip() for line in lines if "┤" in line]
    assert "0.5" in edges
    assert not [one for one in edges if one.startswith(("-", "+"))]
    (nought,) = (at for at, line in enumerate(lines) if line.strip().startswith(("0┤", "0.0┤")))
    assert "░" not in "".join(lines[nought : nought + 3]).partition("└")[0]
