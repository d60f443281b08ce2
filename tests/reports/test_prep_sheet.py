"""The plan of a day on one page: for whole shops, for sixty pieces, for hostile names."""

from __future__ import annotations

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
from shopboard.prep.at_risk import LeftPiece
from shopboard.prep.begun_day import PrepDay
from shopboard.prep.day import Planner
from shopboard.prep.pieces import Piece
from shopboard.prep.plan import DayPlan, PlanLine
from shopboard.reports.paper import PAPERS, PaperName
from shopboard.reports.prep_sheet import COLUMNS, MOST, SIZES, prep_sheet
from shopboard.shop.machine import Machine
from shopboard.shop.model import Shop
from shopboard.shop.project import Project
from tests.builders import DRAWER
from tests.in_turn import part
from tests.journal.helpers import Clock
from tests.reports.sheets import Page, points_of, printed_lines, room_on, rows_mm
from tests.two_shops import SHOPS
from tests.whole_shop import WHOLE_SHOP

NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)
A4 = PAPERS["a4"]
SHOP = Shop("The old boathouse", "inch", (Machine("saw", "Table saw"),), DRAWER)


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


def height(text: str, paper: PaperName = "a4") -> float:
    """Give the height of the page's content, mm, counted line by line."""
    page, width = Page(text), room_on(paper, lying=False)[0]
    around = 8.5 / 72 * 25.4 * 1.25
    words = [printed_lines([one], width, 8.5, bold=False) for one in page.words["p"]]
    notes = [printed_lines([one], width - 5, 8.5, bold=False) for one in page.words.get("li", ())]
    parts = {
        "heading": 15 / 72 * 25.4 * 1.2,
        "words": sum(words) * around + 2.0 * len(words),
        "notes": sum(notes) * around + (2.0 if notes else 0.0),
        "table": rows_mm(text, width, 1.6, 0.6, 1.2) + 4.0 + 0.6,
        "heads": points_of(text) * 1.2 / 72 * 25.4 + 0.6,
    }
    return sum(parts.values())


def fits(text: str, paper: PaperName = "a4") -> bool:
    """Tell whether a page holds it."""
    return height(text, paper) <= room_on(paper, lying=False)[1]


def test_the_columns_fill_the_width() -> None:
    assert sum(share for _, share in COLUMNS) == 100


def test_a_shop_with_more_than_a_page_is_counted_on_it(tmp_path: Path, clock: Clock) -> None:
    """All of it unproven: more than there is room for, and the rest is counted."""
    with closing(OpenShop(WHOLE_SHOP, tmp_path / "journal.sqlite3", clock)) as open_shop:
        plan = Planner(open_shop).plan()
        text = prep_sheet(plan, open_shop.shop, A4)
    assert len(plan.lines) > MOST
    page = Page(text)
    assert page.rows[-1] == [[f"and {len(plan.lines) - MOST} more"]]
    assert fits(text)
    names = {one.name for one in open_shop.shop.machines}
    assert all(row[2][0] in names for row in page.rows[:-1])


@pytest.mark.parametrize("text", SHOPS.values(), ids=SHOPS)
def test_each_shop_has_all_of_its_day_on_the_page(tmp_path: Path, clock: Clock, text: str) -> None:
    """The sample, a metric one and one around a combination machine: a row for each line."""
    path = tmp_path / "shop.toml"
    path.write_text(text, encoding="utf-8")
    with closing(OpenShop(path, tmp_path / "journal.sqlite3", clock)) as open_shop:
        plan = Planner(open_shop).plan()
        sheet = prep_sheet(plan, open_shop.shop, A4)
    names = [one.name for one in open_shop.shop.machines]
    assert plan.lines
    assert fits(sheet)
    shown = [row[2][0] for row in Page(sheet).rows if len(row) > 2 and row[2][0] in names]
    machines = {one.id: one.name for one in open_shop.shop.machines}
    assert shown[: len(plan.lines)] == [machines[line.piece.machine] for line in plan.lines]


@pytest.mark.parametrize("count", [1, 12, 30, 59, 60, 61, 200])
def test_any_number_of_pieces_takes_one_page(count: int) -> None:
    notes = tuple("Not for this project: as long a sentence as can be. " * 6 for _ in range(9))
    text = prep_sheet(plan_of(count, left_out=notes), SHOP, A4)
    rows = Page(text).rows
    assert len(rows) == min(count, MOST) + (count > MOST)
    if count > MOST:
        assert rows[-1] == [[f"and {count - MOST} more"]]
    assert fits(text)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("count", "letters"), [(1, 82), (12, 82), (30, 82), (60, 49)])
def test_no_work_is_cut_while_there_is_room(count: int, letters: int, paper: PaperName) -> None:
    """A long sentence goes on in the next line, for as long as the page holds it."""
    long = "Clean and wax the table, both wings and the fence, and buff off what is left of it"
    long = long[:letters]
    text = prep_sheet(plan_of(count, long), SHOP, PAPERS[paper])
    rows = Page(text).rows
    assert [row[3][0] for row in rows] == [long] * count
    assert fits(text, paper)


def test_letters_are_large_while_there_is_room_and_stay_readable() -> None:
    """Six points and a half are the least: smaller is not read in print (from memory)."""
    assert points_of(prep_sheet(plan_of(5), SHOP, A4)) == max(SIZES)
    assert min(SIZES) >= 6.5


def test_the_page_is_that_of_the_paper() -> None:
    """CSS Paged Media 3, 7.1: the page size by name, and which way it lies."""
    for paper, name in (("a4", "A4"), ("letter", "letter")):
        text = prep_sheet(plan_of(3), SHOP, PAPERS[paper])  # type: ignore[index]
        assert f"@page {{ size: {name} portrait; margin: 10mm; }}" in text
        assert set(re.findall(r"#[0-9a-f]{3,6}", text)) == {"#000", "#fff"}


def test_a_row_says_when_where_what_how_long_and_until_when() -> None:
    piece = Piece("t", "task", "saw", "Wax the table", 6, "Wipe clean", steps=(1, 2), of=3, wait=10)
    line = PlanLine(piece, NOW + timedelta(minutes=5), NOW + timedelta(minutes=11), change=5.0)
    day = PrepDay("d", 1, NOW, "chest", finish=NOW)
    plan = DayPlan((line,), NOW + timedelta(minutes=21), NOW, day, Project("chest", "Chest"))
    page = Page(prep_sheet(plan, SHOP, A4))
    (row,) = page.rows
    assert [cell[0] for cell in row] == [
        "□",
        "8:00",  # with the change-over
        "Table saw",
        "5 min change-over, then Wipe clean (1-2 of 3: Wax the table)",
        "6",
        "8:21",
    ]
    assert page.words["h1"] == ["Prep day for Chest"]
    assert "Begun 8:00; done by 8:21, 21 min later than planned; 11 min of work." in " ".join(
        page.words["p"]
    )


def test_more_than_a_day_s_work_is_said() -> None:
    shop = replace(SHOP, projects=(Project("chest", "Chest"),))
    long, short = (
        " ".join(Page(prep_sheet(plan_of(count), shop, A4)).words["p"]) for count in (101, 100)
    )
    assert "10 h 6 min of work. More than one day's work: naming a project plans only" in long
    assert "More than one day" not in short


def test_nothing_left_to_do() -> None:
    assert Page(prep_sheet(plan_of(0), SHOP, A4)).rows == [[["nothing is left to do"]]]


def test_what_does_not_fit_is_on_the_page_with_its_minutes_and_its_risk() -> None:
    left = LeftPiece(Piece("x", "check", "saw", "Fence", 12, "check Fence"), "stays due: knocked")
    held = "HOLD for Top: 12 min of checks more."
    page = Page(prep_sheet(plan_of(1, left=(left,), holds=(held,)), SHOP, A4))
    texts = [[cell[0] for cell in row] for row in page.rows]
    assert texts[1] == ["□", "left", "Table saw", "check Fence (stays due: knocked)", "12", ""]
    assert f"Not in your time: 1 job, 12 min. {held}" in " ".join(page.words["p"])
    only = Page(prep_sheet(plan_of(0, left=(left,)), SHOP, A4))
    assert len(only.rows) == 1
    assert fits(prep_sheet(plan_of(30, left=(left,) * 40), SHOP, A4))


@given(st.text(min_size=1, max_size=300))
@settings(max_examples=part(80), deadline=None)
def test_any_words_are_escaped_and_kept_on_their_line(words: str) -> None:
    text = prep_sheet(plan_of(3, words, left_out=(words,)), SHOP, A4)
    page = Page(text)  # closes in order: nothing was markup
    assert "script" not in page.tags
    assert all(first_unfit(line) is None for line in text.split("\n"))
    assert fits(text)


def test_nothing_is_loaded_from_elsewhere() -> None:
    page = Page(prep_sheet(plan_of(3), SHOP, A4))
    assert not {"script", "link", "img", "iframe"} & set(page.tags)
    assert not [value for name, value in page.attributes if name in ("src", "href")]
