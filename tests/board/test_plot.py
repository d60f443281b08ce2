"""The picture of a point on the board, and the numbers behind it."""

from __future__ import annotations

import subprocess
import sys
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopboard.board.colours import styles_of
from shopboard.board.numbers_view import numbers_lines, numbers_rows
from shopboard.board.paint import plain, width_of
from shopboard.board.screens.plot import PlotScreen
from shopboard.reports.plot import plot_lines
from tests.board.conftest import Place
from tests.in_turn import part
from tests.reports.pictures import NOW, event, result, story
from tests.reports.story import Story, body

END = datetime(2031, 11, 25, 14, tzinfo=UTC)
SIZES = [(80, 24), (160, 48), (60, 20)]


@pytest.fixture
def years(place: Place) -> Place:
    """The sample shop's first point through five years: ten visits, the last ones close by."""
    told = Story(place.journal_file)
    with closing(told.journal):
        for n, days in enumerate((1800, 1500, 1200, 900, 700, 500, 300, 200, 60, 10)):
            told.at(END - timedelta(days=days))
            runs = [body(400_000 * n, 250_000, verdict="true" if n < 4 else "out")]
            if n == 5:
                runs.append(body(-100_000, 250_000, note="set with care"))
            entries = told.sitting("saw.blade", *runs)
            if n == 2:
                told.journal.void(entries[0].uid, "misread, or typed wrong")
            if n == 7:
                told.happened("saw", "blade changed")
    place.clock.now = END
    return place


@pytest.mark.parametrize("size", SIZES)
async def test_g_opens_the_picture_and_n_its_numbers(years: Place, size: tuple[int, int]) -> None:
    """At any size, and back again with the key that came."""
    async with years.open(*size) as board:
        text = await board.press("1", "1", "g")
        assert isinstance(board.app.screen, PlotScreen)
        assert "thou/ft" in text
        assert "└" in text
        assert "A blade changed" in text
        assert "[1 all]" in board.lines[0]
        text = await board.press("n")
        assert "error ± U" in text
        assert "1 of 12" in text
        assert "blade changed, check again" in text
        text = await board.press("enter")
        assert "└" in text
        await board.press("minus")
        assert not isinstance(board.app.screen, PlotScreen)


async def test_the_time_is_chosen_with_arrows_plus_and_digits(years: Place) -> None:
    """All, a year, a quarter, and round again; the numbers follow."""
    async with years.open() as board:
        await board.press("1", "1", "g")
        for key, chosen in (
            ("right", "[2 year]"),
            ("plus", "[3 quarter]"),
            ("add", "[1 all]"),
            ("left", "[3 quarter]"),
            ("2", "[2 year]"),
            ("9", "[2 year]"),
        ):
            await board.press(key)
            assert chosen in board.lines[0], key
        text = await board.press("n")
        assert "1 of 5" in text  # four results and what happened within the year
        text = await board.press("3")
        assert "1 of 2" in text
        text = await board.press("1", "n")
        assert "26 Nov 2026" not in text
        assert "21 Dec 2026 to 25 Nov 2031" in text


async def test_the_numbers_scroll_and_tell_all_of_the_chosen_one(years: Place) -> None:
    """Down to the oldest and no further; the voided one says why; w shows its working."""
    async with years.open() as board:
        await board.press("1", "1", "g", "n", *["down"] * 9)
        assert "10 of 12" in board.text
        assert board.says("WITHDRAWN: misread, or typed wrong")
        await board.press(*["down"] * 9)
        assert "12 of 12" in board.text
        text = await board.press(*["up"] * 6)
        assert "6 of 12" in text
        assert board.says("with Long square, Feeler set, 26 leaves")
        assert board.says("set with care")
        text = await board.press("w")
        assert "Why:" in text
        await board.press("minus")
        await board.press("up", "up", "up")
        text = await board.press("w")
        assert "choose a result" in text  # what happened has no working


async def test_a_point_never_checked_has_a_picture(place: Place) -> None:
    """Its tolerance; no numbers."""
    async with place.open() as board:
        text = await board.press("1", "1", "g")
        assert "░" in text
        text = await board.press("n", "down", "up")
        assert "No result yet" in text


async def test_what_is_recorded_meanwhile_appears(years: Place) -> None:
    async with years.open() as board:
        await board.press("1", "1", "g", "n")
        told = Story(years.journal_file, years.clock)
        with closing(told.journal):
            told.sitting("saw.blade", body(1, 1))
        text = await board.look()
        assert "1 of 13" in text


async def test_a_point_that_leaves_the_shop_file_keeps_its_picture(years: Place) -> None:
    """The tolerance goes, the results stay."""
    async with years.open() as board:
        await board.press("1", "1", "g")
        text = years.shop_file.read_text(encoding="utf-8")
        years.shop_file.write_text(
            text.replace('id = "blade"\nname', 'id = "other"\nname').replace('"blade"', '"other"'),
            encoding="utf-8",
        )
        text = await board.look()
        assert "thou/ft" in text


def test_nothing_of_it_is_loaded_with_the_point(tmp_path: Path) -> None:
    """The picture costs the start and the point's screen nothing."""
    code = (
        "import sys, shopboard.board.app, shopboard.board.screens.point;"
        "print(*[name for name in sys.modules if 'reports.plot' in name or 'numbers_view' in name])"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code],
        capture_output=True,
        text=True,
        check=True,
        cwd=Path(__file__).parents[2],
    )
    assert ran.stdout.strip() == ""


NUMBERS = st.lists(
    st.tuples(
        st.floats(0, 4000),
        st.floats(-300, 300),
        st.floats(0, 40),
        st.sampled_from(["true", "near", "out", "a later word"]),
        st.sampled_from([None, "wrong leaf", "x" * 200]),
        st.booleans(),
    ),
    max_size=60,
)


@given(NUMBERS, st.integers(60, 200), st.integers(17, 57), st.data())
@settings(max_examples=part(150), deadline=None)
def test_the_numbers_fill_their_room_and_show_the_cursor(
    told: list[tuple[float, float, float, str, str | None, bool]],
    width: int,
    room: int,
    data: st.DataObject,
) -> None:
    """Any table, any size, any row: no line wider, the chosen row in sight."""
    told.sort(key=lambda one: -one[0])
    records = [
        result(n, days, thou, u, verdict=verdict, void=void, clock_ok=ok)
        for n, (days, thou, u, verdict, void, ok) in enumerate(told, 1)
    ]
    trace = story(*records, events=[event(900, 1), event(901, 1, "knocked", undoes=False)])
    rows = numbers_rows(trace, NOW - timedelta(days=5000))
    assert len(rows) == len(records) + 2
    cursor = data.draw(st.integers(0, len(rows) - 1))
    for unit in ("inch", "mm"):
        lines = numbers_lines(rows, cursor, unit, (width, room))
        assert len(lines) <= room
        assert {width_of(line) for line in lines} == {width}
        assert {style for line in lines for _, style in line} <= set(styles_of("dark"))
        assert sum(plain(line).startswith("►") for line in lines) == 1


@given(NUMBERS, st.booleans())
@settings(max_examples=part(50), deadline=None)
def test_the_board_knows_every_style_of_the_picture(
    told: list[tuple[float, float, float, str, str | None, bool]], as_left: bool
) -> None:
    records = [
        result(n, days, thou, u, verdict=verdict, void=void, clock_ok=ok)
        for n, (days, thou, u, verdict, void, ok) in enumerate(told, 1)
    ]
    trace = story(*records, events=[event(900, 1), event(901, 1, "knocked", undoes=False)])
    lines = plot_lines(trace, "inch", NOW, (80, 21), plain=as_left)
    assert {style for line in lines for _, style in line} <= set(styles_of("dark"))


def test_a_row_of_numbers_is_what_was_recorded() -> None:
    """Date, run, method, error and uncertainty, verdict, tolerance then."""
    trace = story(result(1, 0, 12.34, 2.5, verdict="near", tolerance="9 thou/ft"))
    rows = numbers_rows(trace, NOW - timedelta(days=1))
    lines = [plain(line) for line in numbers_lines(rows, 0, "inch", (80, 21))]
    assert lines[0].split() == [
        "date", "run", "method", "error", "±", "U,", "thou/ft", "verdict", "tolerance",
    ]  # fmt: skip
    assert lines[1].split() == [
        "►", "1", "Jun", "2026", "as-found", "square", "+12.3", "±", "2.5", "≈", "borderline", "9",
        "thou/ft",
    ]  # fmt: skip
