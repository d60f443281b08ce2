"""A check to fill in by pencil: every step, every caution, and a sum that a pencil gets right."""

from __future__ import annotations

import math
import re
from contextlib import closing
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import NamedTuple

import pytest

from shopboard.checks import registry
from shopboard.checks.blank import questions
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.steps import Caution
from shopboard.metrology.units import UNITS
from shopboard.open_shop import OpenShop
from shopboard.reports.blank_check import BlankCheck, blank_check
from shopboard.reports.blank_html import BlankSheet, blank_html
from shopboard.reports.blank_text import blank_text
from shopboard.reports.paper import PAPERS, PaperName
from shopboard.shop.machine import Point
from shopboard.sittings.point_job import job_for
from tests.in_turn import in_turn
from tests.journal.helpers import Clock
from tests.reports.sheets import Page, printed_lines, room_on
from tests.two_shops import SHOPS


def opened(shop: str, folder: Path, clock: Clock) -> OpenShop:
    file = folder / "shop.toml"
    file.write_text(SHOPS[shop], encoding="utf-8")
    return OpenShop(file, folder / "journal.sqlite3", clock)


class Each(NamedTuple):
    """A point of a shop with one of its methods."""

    job: CheckContext
    name: str
    one: BlankCheck


@lru_cache
def one_of_each_method(shop: str) -> list[Each]:
    """Give a point of the shop for each method that it uses, with the sheet for it."""
    found: dict[str, Point] = {}
    with (
        TemporaryDirectory() as folder,
        closing(opened(shop, Path(folder), Clock())) as open_shop,
    ):
        for point in open_shop.shop.points.values():
            for name in point.checks:
                found.setdefault(name, point)
        jobs = {name: job_for(open_shop.shop, found[name], open_shop.journal) for name in found}
        return [
            Each(job, name, blank_check(job, found[name].full_name, name))
            for name, job in jobs.items()
        ]


def said(one: BlankCheck, folder_now: Clock, paper: PaperName = "a4") -> tuple[str, str, str]:
    """Give the page, its words, and the plain lines."""
    sheet = BlankSheet("The shop", "The machine", folder_now(), (one,))
    text = blank_html(sheet, PAPERS[paper])
    words = " ".join(re.sub(r"<[^>]+>", " ", text.partition("<body>")[2]).split())
    return text, words, " ".join(" ".join(blank_text(sheet)).split())


def plain(words: str) -> str:
    """Give words as HTML shows them in its source."""
    return " ".join(
        words.replace("&", "&amp;").replace("'", "&#x27;").replace('"', "&quot;").split()
    )


@pytest.mark.parametrize("shop", SHOPS)
def test_every_caution_comes_first_and_whole(shop: str, clock: Clock) -> None:
    """Of every method that the shop uses; on the page, and in plain lines."""
    for job, name, one in one_of_each_method(shop):
        assert not one.cannot
        asked = [each.step for each in questions(registry.method(name), job)]
        cautions = [s for s in asked if isinstance(s, Caution) or s.key.endswith("care")]
        assert (not (job.cutter_near and registry.method(name).hands_near)) or cautions
        _, page, lines = said(one, clock)
        for step in cautions:
            for words in (step.title, *step.lines):
                assert plain(words) in page
                assert " ".join(words.split()) in lines
        first = next((i for i, step in enumerate(one.steps) if not step.is_caution), 0)
        assert not any(step.is_caution for step in one.steps[first:])
        assert "licensed practice come first" in page
        assert "licensed practice come first" in lines


@pytest.mark.parametrize("shop", SHOPS)
def test_every_reading_has_a_line_for_found_and_left(shop: str, clock: Clock) -> None:
    """Nothing is cut, nothing speaks of a keyboard, and each question of the board is there."""
    for _, _, one in one_of_each_method(shop):
        text, page, lines = said(one, clock)
        Page(text)
        blanks = sum(
            len(step.blanks) or bool(step.ticks) for step in one.steps if not step.is_caution
        )
        results = 2 if one.has_result else 0
        assert text.count('<span class="line">') == 2 * blanks + results + 1
        assert "…" not in page + lines
        assert not re.search(r"\bEnter\b|\btype each|\bType\b", page)
        assert plain(one.tolerance) in page
        assert set(re.findall(r"#[0-9a-f]{3,6}\b", text.partition("</style>")[0])) == {
            "#000",
            "#fff",
        }


@pytest.mark.parametrize(("shop", "paper"), in_turn([*SHOPS], [*PAPERS]))
def test_a_point_prints_on_one_page(shop: str, paper: PaperName, clock: Clock) -> None:
    """However many leaves it takes: the letters are as large as that allows, 7.5 pt at the least.

    Counted line by line. (Laid out by a page engine in a wide typeface, each took one page.)
    """
    width, height = room_on(paper, lying=False)
    for _, name, one in one_of_each_method(shop):
        (size,) = re.findall(r"font-size: ([\d.]+)pt; }\n</style>", said(one, clock, paper)[0])
        points = float(size)
        line = points / 72 * 25.4 * 1.25
        total = 30.0  # headings, names, the last words
        for step in (*one.steps, *one.correction, *one.close):
            told = " ".join((step.title, *step.lines, *step.ticks))
            beside = 3 if step.is_caution else 6 + 2 * 33 + 6
            rows = printed_lines([told], width - beside, points, bold=False)
            total += max(rows * line, len(step.blanks) * 5.5, 4.5) + 1.4
        for words in (*one.sums, *one.turning):
            total += printed_lines([words], width, points, bold=False) * line + 0.7
        assert total <= height, name


def test_the_small_angle_rule_is_that_of_the_units(tmp_path: Path, clock: Clock) -> None:
    """atan(x) is x to 1 in 10 000 up to 1 degree (tan x = x + x³/3: any table of series)."""
    assert abs(math.degrees(1) / 57.3 - 1) < 1e-3
    for sign, factor in (("thou/ft", 12_000), ("mm/m", 1000)):
        (unit,) = [one for one in UNITS.values() if one.sign == sign]
        for degrees in (0.01, 0.1, 1.0):
            ratio = math.tan(math.radians(degrees))
            assert unit.of(math.atan(ratio)) == pytest.approx(factor * ratio, rel=2e-4)
    with closing(opened("metric", tmp_path, clock)) as open_shop:
        point = open_shop.shop.points["saw.blade"]
        one = blank_check(job_for(open_shop.shop, point, None), "saw.blade", "square")
    assert any("times 1000 it is mm/m" in words for words in one.sums)
    assert not any("thou" in words for words in one.sums)


def test_what_is_true_by_hand_keeps_the_guard_band(tmp_path: Path, clock: Clock) -> None:
    """JCGM 106:2012, 8.3.3: the limit less 1.645 standard uncertainties, at 95 % on one side."""
    with closing(opened("sample", tmp_path, clock)) as open_shop:
        point = open_shop.shop.points["saw.blade"]
        job = job_for(open_shop.shop, point, None)
        one = blank_check(job, "saw.blade", "square")
        best = registry.method("square").best(job)
    (words,) = [one for one in one.sums if "Call it true" in one]
    low, high = (float(found) for found in re.findall(r"([+-][\d.]+) thou/ft", words))
    u = best.budget.expanded / best.budget.k
    limit = math.tan(job.tolerance.high) * 12_000
    assert high == pytest.approx(limit - 1.645 * math.tan(u) * 12_000, abs=0.6)
    assert low == -high


def test_how_far_to_turn_is_told_by_the_error(tmp_path: Path, clock: Clock) -> None:
    """The screw of the saw: its advance over its arm is the angle of a turn (plain geometry)."""
    with closing(opened("sample", tmp_path, clock)) as open_shop:
        point = open_shop.shop.points["saw.blade"]
        job = job_for(open_shop.shop, point, None)
        one = blank_check(job, "saw.blade", "square")
    screw = job.adjuster
    assert screw is not None
    rows = [
        re.match(r"([+-][\d.]+) thou/ft: .*?(clockwise|anticlockwise) (\d+)°", words)
        for words in one.turning
    ]
    found = [row.groups() for row in rows if row]
    assert len(found) >= 4
    for error, _, degrees in found:
        move = abs(float(error)) / 12_000 * screw.arm  # type: ignore[union-attr]
        turned = int(degrees) / 360 * screw.pitch  # type: ignore[union-attr]
        assert turned == pytest.approx(move, rel=0.05)
    assert {way for error, way, _ in found if error[0] == "+"} != {
        way for error, way, _ in found if error[0] == "-"
    }


def test_a_shop_without_the_tool_is_told_so(tmp_path: Path, clock: Clock) -> None:
    with closing(opened("metric", tmp_path, clock)) as open_shop:
        job = job_for(open_shop.shop, open_shop.shop.points["saw.blade"], None)
    bare = job._replace(drawer=job.drawer._replace(squares=()))
    with pytest.raises(NotPossibleError):
        questions(registry.method("square"), bare)
    one = blank_check(bare, "saw.blade", "square")
    assert one.cannot
    assert plain(one.cannot) in said(one, clock)[1]
