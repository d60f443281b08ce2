"""The plan of a day on one page: for the sample shop, for sixty pieces, for hostile names."""

from __future__ import annotations

import math
import re
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.open_shop import OpenShop
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.day import Planner
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.reports.prep_sheet import (
    COLUMNS,
    MARGIN_MM,
    MOST,
    PAGE_MM,
    letters,
    prep_sheet,
    row_mm,
)
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from tests.builders import DRAWER
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.reports.sheets import Page
from tests.whole_shop import WHOLE_SHOP

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
A4, LETTER = (210.0, 297.0), (215.9, 279.4)
"""mm: ISO 216 and ANSI/ASME Y14.1."""
SHOP = Shop("The old boathouse", "inch", (Machine("saw", "Table saw"),), DRAWER)
LETTER_WIDTH = 0.55
"""Width of a letter on average, in letter heights: wider than usual typefaces have it."""


def plan_of(count: int, words: str = "Blade at 90", **more: Any) -> DayPlan:
    lines = tuple(
        PlanLine(
            Piece(f"p{n}", "check", "saw", words, 6, words),
            NOW + timedelta(minutes=6 * n),
            NOW + timedelta(minutes=6 * n + 6),
        )
        for n in range(count)
    )
    return DayPlan(lines, NOW + timedelta(minutes=6 * count), NOW)._replace(**more)


def height(text: str) -> float:
    """Give the height of the page's content, mm: each row is one line, it cannot wrap."""
    page = Page(text)
    assert "white-space: nowrap; overflow: hidden" in text
    size = float(re.search(r"hidden; font-size: ([\d.]+)pt", text)[1])  # type: ignore[index]
    around = 8.5 / 72 * 25.4 * 1.25
    a_line = PAGE_MM[0] / (8.5 / 72 * 25.4 * LETTER_WIDTH)
    words = sum(math.ceil(len(one) / a_line) for one in page.words["p"])
    notes = len(page.words.get("li", ()))
    parts = {
        "heading": 15 / 72 * 25.4 * 1.2,
        "words": words * around + 2.0 * len(page.words["p"]),
        "notes": notes * around + (2.0 if notes else 0.0),
        "table": (len(page.rows) + 1) * row_mm(size) + 4.0 + 0.6,
    }
    return sum(parts.values())


def test_the_page_fits_both_papers() -> None:
    for paper in (A4, LETTER):
        assert paper[0] - 2 * MARGIN_MM >= PAGE_MM[0]
        assert paper[1] - 2 * MARGIN_MM >= PAGE_MM[1]
    assert sum(share for _, share in COLUMNS) == 100


def test_the_sample_shop_takes_one_page(tmp_path: Path, clock: Clock) -> None:
    """All of it unproven: more than there is room for, and the rest is counted."""
    with closing(OpenShop(WHOLE_SHOP, tmp_path / "journal.sqlite3", clock)) as open_shop:
        plan = Planner(open_shop).plan()
        text = prep_sheet(plan, open_shop.shop)
    assert len(plan.lines) > MOST
    page = Page(text)
    assert page.rows[-1] == [[f"and {len(plan.lines) - MOST} more"]]
    assert height(text) <= PAGE_MM[1]
    names = {one.name for one in open_shop.shop.machines}
    assert all(row[2][0] in names for row in page.rows[:-1])


@pytest.mark.parametrize("count", [1, 12, 30, 59, 60, 61, 200])
def test_any_number_of_pieces_takes_one_page(count: int) -> None:
    notes = tuple("Not for this project: as long a sentence as can be. " * 6 for _ in range(9))
    text = prep_sheet(plan_of(count, left_out=notes), SHOP)
    rows = Page(text).rows
    assert len(rows) == min(count, MOST) + (count > MOST)
    if count > MOST:
        assert rows[-1] == [[f"and {count - MOST} more"]]
    assert height(text) <= PAGE_MM[1]


def test_letters_stay_readable() -> None:
    """Seven points are the least that print is read in (common practice, no source)."""
    assert letters(MOST + 1) >= 7.0
    assert letters(5) == 10.0


def test_a_row_says_when_where_what_how_long_and_until_when() -> None:
    piece = Piece("t", "task", "saw", "Wax the table", 6, "Wipe clean", steps=(1, 2), of=3, wait=10)
    line = PlanLine(piece, NOW + timedelta(minutes=5), NOW + timedelta(minutes=11), change=5.0)
    day = PrepDay("d", 1, NOW, "chest", finish=NOW)
    plan = DayPlan((line,), NOW + timedelta(minutes=21), NOW, day, Project("chest", "Chest"))
    page = Page(prep_sheet(plan, SHOP))
    (row,) = page.rows
    assert [cell[0] for cell in row] == [
        "□",
        "8:00",  # with the change-over
        "Table saw",
        "5 min change-over, then Wipe clean (1-2 of 3: Wa…",
        "6",
        "8:21",
    ]
    assert page.words["h1"] == ["Prep day for Chest"]
    assert "Begun 8:00; done by 8:21, 21 min later than first said; 11 min of work." in " ".join(
        page.words["p"]
    )


def test_more_than_a_day_s_work_is_said() -> None:
    shop = replace(SHOP, projects=(Project("chest", "Chest"),))
    long, short = (
        " ".join(Page(prep_sheet(plan_of(count), shop)).words["p"]) for count in (101, 100)
    )
    assert "10 h 6 min of work. More than one day's work: naming a project plans only" in long
    assert "More than one day" not in short


def test_nothing_left_to_do() -> None:
    assert Page(prep_sheet(plan_of(0), SHOP)).rows == [[["nothing is left to do"]]]


@given(st.text(min_size=1, max_size=300))
@settings(max_examples=part(80), deadline=None)
def test_any_words_are_escaped_and_kept_on_their_line(words: str) -> None:
    text = prep_sheet(plan_of(3, words, left_out=(words,)), SHOP)
    page = Page(text)  # closes in order: nothing was markup
    assert "script" not in page.tags
    assert all(first_unfit(line) is None for line in text.split("\n"))
    assert height(text) <= PAGE_MM[1]


def test_nothing_is_loaded_from_elsewhere() -> None:
    page = Page(prep_sheet(plan_of(3), SHOP))
    assert not {"script", "link", "img", "iframe"} & set(page.tags)
    assert not [value for name, value in page.attributes if name in ("src", "href")]
