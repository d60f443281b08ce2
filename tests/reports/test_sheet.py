"""The inspection sheet: every number as it is in the journal, safe, and on one page."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopboard.base.state_words import state_word
from shopboard.base.text import first_unfit
from shopboard.journal import Entry
from shopboard.metrology.conformity import Tolerance
from shopboard.metrology.quantity import Unit
from shopboard.reports.paper import PAPERS, PaperName
from shopboard.reports.sheet import Sheet, gather_rows, why_out_of_use
from shopboard.reports.sheet_html import sheet_html
from shopboard.reports.sheet_text import sheet_text
from shopboard.shop.model import Shop
from shopboard.standing.gather import gather
from shopboard.standing.judge import shop_standing
from tests.builders import make_point, make_shop
from tests.in_turn import part
from tests.journal.helpers import Clock, voided
from tests.reports.sheets import Page, printed_height, room_on
from tests.reports.story import Story, body

A4 = PAPERS["a4"]
NOW = datetime(2026, 6, 1, 8, tzinfo=UTC)

CONVERT: dict[tuple[str, str], tuple[str, Callable[[int], float]]] = {
    ("angle", "inch"): ("thou/ft", lambda n: math.tan(n / 1e9) * 12000),
    ("angle", "mm"): ("mm/m", lambda n: math.tan(n / 1e9) * 1000),
    ("length", "inch"): ("thou", lambda n: n / 25400),
    ("length", "mm"): ("mm", lambda n: n / 1e6),
}
"""Unit and value from the whole numbers of the journal."""


@pytest.fixture
def told(tmp_path: Path) -> Iterator[Story]:
    story = Story(tmp_path / "journal.sqlite3")
    with closing(story.journal):
        yield story


def made(shop: Shop, story: Story, **more: Any) -> Sheet:
    """The sheet of the saw, as the command puts it together."""
    machine = shop_standing(shop, gather(story.journal), story.clock()).of_machine("saw")
    assert machine is not None
    rows = gather_rows(machine, story.journal)
    return Sheet(shop.name, "Saw", shop.unit, NOW, rows, shop.proof_level, **more)


def is_shown(text: str, exact: float) -> bool:
    """Tell whether a printed number is the exact one to the digits that it has."""
    decimals = len(text.partition(".")[2])
    return abs(float(text) - exact) <= 0.5 * 10.0**-decimals * (1 + 1e-9)


def holds(cell: list[str], entry: Entry | None, kind: str, unit: Unit) -> None:
    """Compare a cell of error, U, k and verdict with the entry's whole numbers."""
    if entry is None:
        assert cell == ["–"]
        return
    symbol, convert = CONVERT[kind, unit]
    match = re.fullmatch(r"([+-]?[\d.]+)(?: ± ([\d.]+))? (\S+)", cell[0])
    assert match, cell
    told = entry.body
    error, expanded, k = told["error"], told["expanded"], told["k"]
    assert isinstance(error, int)
    assert isinstance(expanded, int)
    assert is_shown(match[1], convert(error))
    assert is_shown(match[2] or "0.0000", convert(expanded))  # what is exact has no ±
    assert match[3] == symbol
    assert cell[1] == f"k = {k:.2f}, {state_word(str(told['verdict']))}"


VISIT = st.lists(
    st.tuples(
        st.integers(-5_000_000, 5_000_000),
        st.integers(0, 900_000),
        st.sampled_from([1.96, 2.0, 2.26, 4.3]),
        st.sampled_from(["true", "near", "out"]),
        st.booleans(),
    ),
    min_size=1,
    max_size=3,
)
POINTS_OF_TIME = st.lists(
    st.tuples(st.sampled_from(["p0", "p1", "p2"]), VISIT, st.booleans()), max_size=8
)


@given(POINTS_OF_TIME, st.sampled_from(["angle", "length"]), st.sampled_from(["inch", "mm"]))
@settings(
    max_examples=part(60),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_every_number_is_that_of_the_journal(
    tmp_path_factory: pytest.TempPathFactory,
    visits: list[tuple[str, list[tuple[int, int, float, str, bool]], bool]],
    kind: str,
    unit: Unit,
) -> None:
    """Random years: the sheet is read back and held against the entries, point by point."""
    limits = Tolerance(-0.1, 0.1, "3.5 of 7", kind)  # type: ignore[arg-type]
    shop = make_shop(
        *(
            make_point(f"saw.p{n}", tolerance=limits, undone_by=("knocked",))._replace(
                name=f"Point {n}"
            )
            for n in range(3)
        ),
        unit=unit,
    )
    story = Story(tmp_path_factory.mktemp("years") / "journal.sqlite3", Clock())
    newest: dict[str, tuple[Entry | None, Entry | None]] = {}
    since: dict[str, int] = {}
    with closing(story.journal):
        for point, runs, knocked in visits:
            story.clock.pass_by(days=3)
            bodies = [
                body(error, u, kind=kind, unit="nrad" if kind == "angle" else "nm", k=k, verdict=v)
                for error, u, k, v, _ in runs
            ]
            entries = story.sitting(f"saw.{point}", *bodies)
            for entry, (*_, void) in zip(entries, runs, strict=True):
                if void:
                    story.journal.void(entry.uid, "wrong leaf")
            stand = [e for e, (*_, void) in zip(entries, runs, strict=True) if not void]
            if stand:
                firsts = [one for one in stand if one.body["run"] == "as-found"]
                lasts = [one for one in stand if one.body["run"] == "as-left"]
                newest[point] = (firsts[0] if firsts else None, lasts[-1] if lasts else None)
                since[point] = 0
            if knocked:
                story.happened("saw", "knocked")
                since = {name: count + 1 for name, count in since.items()}
        page = Page(sheet_html(made(shop, story), A4))
    assert [row[0][0] for row in page.rows] == ["Point 0", "Point 1", "Point 2"]
    for number, row in enumerate(page.rows):
        found, left = newest.get(f"p{number}", (None, None))
        last = left or found
        assert " ".join(row[2]).endswith("(3.5 of 7)")
        holds(row[3], found, kind, unit)
        holds(row[4], left, kind, unit)
        if last is None:
            taken_back = any(name == f"p{number}" for name, runs, _ in visits if runs)
            why = "not checked since its result was withdrawn" if taken_back else "never checked"
            assert row[5:] == [["no result"], ["–"], ["unproven", why]]
            continue
        local = last.when.astimezone()
        assert row[5] == [state_word(str(last.body["verdict"]))]
        assert row[6] == [f"{local.day} {local:%b} {local.year}", f"{local:%H:%M}"]
        assert row[1] == ["Long square, Feeler set, 26 leaves"]
        count = since[f"p{number}"]
        told = " ".join(row[7][1:])
        assert ("knocked" in told) == (count > 0)
        assert ("more" in told) == (count > 1)
        if count > 1:
            assert f"and {count - 1} more" in told


def test_it_says_what_it_is_of(told: Story) -> None:
    """Shop, machine, date, who, how sure; a line to sign on."""
    shop = make_shop(make_point("saw.blade"), proof_level=0.99)
    text = sheet_html(made(shop, told, who="A person & co"), A4)
    page = Page(text)
    assert page.words["title"] == page.words["h1"] == ["Inspection sheet: Saw"]
    words = " ".join(page.words["p"] + page.words["b"])
    for said in ("The old boathouse", "Printed 1 Jun 2026", "A person & co", "99.0 %", "Signature"):
        assert said in words
    assert page.tags.count("span") == 2
    assert (
        Page(sheet_html(made(shop, told), A4)).tags.count("span") == 3
    )  # a line for the name, too


def test_it_needs_nothing_and_runs_nothing(told: Story) -> None:
    """No script, no picture, no address; the right page; black on white."""
    text = sheet_html(made(make_shop(make_point("saw.blade")), told), A4)
    page = Page(text)
    assert text.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert not {"script", "link", "img", "iframe", "object", "embed"} & set(page.tags)
    assert not {"src", "href", "onload"} & {name for name, _ in page.attributes}
    assert "url(" not in text
    assert "@import" not in text
    assert "://" not in text
    assert "@page { size: A4 landscape; margin: 10mm; }" in text
    colours = set(re.findall(r"#[0-9a-f]{3,6}", text))
    assert colours == {"#000", "#fff"}


EVIL = "</td><script>alert(1)</script>&amp;\"'\x1b[2J\u202e"


@pytest.mark.parametrize("count", [1, 9])
def test_what_was_found_is_not_cut_while_there_is_room(told: Story, count: int) -> None:
    """A number cut in half tells nothing; the fewer the points, the larger the letters."""
    lean = "no error detectable, ± 7.0 thou/ft"
    points = [make_point(f"saw.p{n}") for n in range(count)]
    for one in points:
        told.sitting(one.full_name, body(0, 400_000, lean=lean))
    text = sheet_html(made(make_shop(*points), told), A4)
    assert all(row[5] == ["true", lean] for row in Page(text).rows)
    assert "…" not in text
    if count == 1:
        assert "th, td { font-size: 10pt; }" in text


def test_plain_lines_say_the_same(told: Story) -> None:
    """For a printer without a browser: every text of every cell, in 78 columns, nothing cut."""
    points = [make_point(f"saw.p{n}") for n in range(3)]
    told.sitting("saw.p0", body(-25_123_456, 712_345, lean="leans left " * 11))
    sheet = made(make_shop(*points), told, out_of_use="guard is off " * 9)
    lines = list(sheet_text(sheet))
    assert max(map(len, lines)) <= 78
    told_ = " ".join(" ".join(lines).split())
    page = Page(sheet_html(sheet, A4))
    for text in [cell for row in page.rows for lines_ in row for cell in lines_ if cell != "–"]:
        assert " ".join(text.split()) in told_
    assert f"DO NOT USE: {' '.join(('guard is off ' * 9).split())}" in told_


@pytest.mark.parametrize(
    "where", ["name", "typed", "lean", "verdict", "tool", "what", "who", "why"]
)
def test_text_stays_text(told: Story, where: str) -> None:
    """From the shop file, the journal or the command line: shown as it is written, never acting."""
    limits = Tolerance(-0.1, 0.1, EVIL if where == "typed" else "0.1 deg")
    point = make_point("saw.blade", tolerance=limits)
    point = point._replace(name=EVIL if where == "name" else "Blade")
    more: dict[str, Any] = {"lean": EVIL} if where == "lean" else {}
    more |= {"verdict": EVIL} if where == "verdict" else {}
    more |= {"readings": {"square": EVIL}} if where == "tool" else {}
    told.sitting("saw.blade", body(1, 1, **more))
    told.happened("saw", EVIL if where == "what" else "knocked")
    text = sheet_html(
        made(
            make_shop(point),
            told,
            who=EVIL if where == "who" else "",
            out_of_use=EVIL if where == "why" else "",
        ),
        A4,
    )
    page = Page(text)
    assert "script" not in page.tags
    assert all(first_unfit(line) is None for line in text.split("\n"))
    shown = " ".join([*(" ".join(cell) for row in page.rows for cell in row)])
    shown += " ".join(one for words in page.words.values() for one in words)
    assert "</td><script>" in shown


def test_a_machine_out_of_use_says_so(told: Story) -> None:
    """The newest tag counts; one that clears it, or that was withdrawn, does not."""
    from shopboard.journal import NewEntry, new_uid

    def tag(**told_: object) -> str:
        new = NewEntry(new_uid(), "tag", "saw", "", {"v": 1, **told_})
        return told.journal.append([new])[0].uid

    assert why_out_of_use("saw", told.journal) == ""
    tag(out_of_use=True, why="switch burnt")
    assert why_out_of_use("saw", told.journal) == "switch burnt"
    cleared = tag(out_of_use=False, why="")
    assert why_out_of_use("saw", told.journal) == ""
    voided(told.journal, cleared, "by mistake")
    why = why_out_of_use("saw", told.journal)
    page = Page(sheet_html(made(make_shop(make_point("saw.blade")), told, out_of_use=why), A4))
    assert "DO NOT USE: switch burnt" in page.words["p"]


def test_a_point_set_and_not_measured_since_is_not_true_today(told: Story) -> None:
    """The verdict is that of the day; how it stands today is beside it."""
    (entry,) = told.sitting("saw.blade", body(1, 1))
    told.moved(entry)
    (row,) = Page(sheet_html(made(make_shop(make_point("saw.blade")), told), A4)).rows
    assert row[5][0] == "true"
    assert row[7][0] == "unproven"
    assert row[7][1].startswith("moved on ")


def words(count: int, wide: bool = False) -> str:
    return (("幅木の" if wide else "Wide brass stock of the old ") * 40)[:count].strip()


@pytest.mark.parametrize("count", [4, 6, 7, 8, 9, 12])
@pytest.mark.parametrize("wide", [False, True])
@pytest.mark.parametrize("paper", PAPERS)
def test_up_to_twelve_points_print_on_one_page(
    told: Story, paper: PaperName, wide: bool, count: int
) -> None:
    """With the longest texts that the shop file allows, on A4 and on Letter.

    Counted line by line with letters wider than usual ones.
    """
    typed = "-12.345 to 123.456 thou over 123 in, give"
    limits = Tolerance(-0.1, 0.1, typed)
    points = [
        make_point(f"saw.p{n}", tolerance=limits, undone_by=("knocked",))._replace(
            name=words(60, wide)
        )
        for n in range(count)
    ]
    tools = {"square": words(60, wide), "feelers": words(60, wide)}
    long = body(
        -25_123_456, 712_345, lean=words(120, wide), method="three-straightedges", readings=tools
    )
    for n in range(count):
        told.sitting(f"saw.p{n}", long, long)
    for _ in range(3):
        told.clock.now += timedelta(hours=1)
        told.happened("saw", "knocked")
    decided = (words(300, wide), words(300, wide))
    sheet = made(make_shop(*points), told, out_of_use=words(400, wide), on_hold=decided)
    text = sheet_html(sheet, PAPERS[paper])
    assert len(Page(text).rows) == count
    width, height = room_on(paper, lying=True)
    assert printed_height(text, width) <= height
