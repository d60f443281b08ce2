"""A list is in large letters where a window would be nearly empty with small ones."""

from __future__ import annotations

import pytest

from shopboard.board.glyphs import big
from shopboard.board.large_list import LargeRow, large_list
from shopboard.board.paint import Line, plain, width_of
from shopboard.board.rounds_view import RoundPlace, places_lines
from tests.board.test_number_pad import lines_of, place_of, reach
from tests.board.test_views import NOW
from tests.in_turn import in_turn

HEAD: list[Line] = [(("  Which?", "bold"),), ()]
NAMES = ["Bench saw", "Jointer", "Wide planer", "Drill"]


def rows(count: int) -> list[LargeRow]:
    return [
        LargeRow(f"{NAMES[at % 4]} {at}", (f"= state {at}", "due"), ((f"why {at}", "dim"),))
        for at in range(count)
    ]


@pytest.mark.parametrize("size", [(110, 31), (160, 45), (240, 64)])
@pytest.mark.parametrize("count", [1, 4, 5, 9, 12, 30])
def test_it_is_large_where_all_or_nine_of_it_fit_and_says_what_is_out_of_sight(
    count: int, size: tuple[int, int]
) -> None:
    """A line takes three rows, one below, and a free one."""
    fits = 2 + 5 * count <= size[1] or 2 + 5 * min(count, 9) + 1 <= size[1]
    for cursor in range(count):
        lines = large_list(rows(count), cursor, HEAD, size)
        assert bool(lines) == fits
        if not fits:
            continue
        assert len(lines) <= size[1]
        assert {width_of(line) for line in lines} == {size[0]}
        text = [plain(line) for line in lines]
        digit = big(str(cursor % 9 + 1))
        here = [
            f"{one:<7}{row}"
            for one, row in zip(digit, big(f"{NAMES[cursor % 4]} {cursor}"), strict=True)
        ]
        at = next(at for at, row in enumerate(text) if f"►{here[1]}".replace("►", "► ") in row)
        assert here[0] in text[at - 1]
        assert here[2] in text[at + 1]
        assert f"= state {cursor}" in text[at]
        assert f"why {cursor}" in text[at + 2]
        assert {style for row in lines[at - 1 : at + 2] for _, style in row} <= {f"bar@={cursor}"}
        seen = sum(f"why {one}" in row.split("@")[0] for one in range(count) for row in text
                   if row.strip() == f"why {one}")  # fmt: skip
        hidden = count - seen
        assert (f"{hidden} more" in text[-1] or "▲" in text[-1]) if hidden else True


def test_a_long_name_takes_two_rows_and_one_that_has_no_room_or_form_leaves_all_small() -> None:
    """One small among large ones would look as if it did not count."""

    def drawn(*names: str) -> list[str]:
        made = [LargeRow(one, ("due", "due")) for one in names]
        return [plain(line) for line in large_list(made, 1, HEAD, (160, 45))]

    long = "Jointer, 8 inches: swap both knives for the sharp set"
    text = drawn("Cut; sweep", long, "Lathe [2]")
    for words in (
        "CUT; SWEEP",
        "JOINTER, 8 INCHES: SWAP BOTH KNIVES",
        "FOR THE SHARP SET",
        "LATHE [2]",
    ):
        assert any(big(words)[0].rstrip() in row for row in text), words
    assert drawn("Lathe", long * 2) == []
    assert drawn("Lathe", "Böhm saw") == []


@pytest.mark.parametrize(
    ("way", "turn"), in_turn(["tasks", "rounds", "projects", "joints", "cutters"], [1, 2, 3])
)
async def test_a_screen_that_lists_does_so_large_and_a_click_on_any_row_of_it_counts(
    way: str, turn: int
) -> None:
    async with place_of(way, turn).open(240, 67) as board:
        screen = await reach(board, way)
        keys = [hit.key for line in lines_of(screen)[1:-2] for hit in line]
        first = [key for key in keys if key.startswith("=")][:3]
        assert first == ["=0"] * 3
        await board.resize(80, 24)
        assert "█" not in board.text


def test_places_of_a_walk_that_have_numbers_past_nine_stay_small() -> None:
    """Its digits choose by number, and a click on the tenth is none of the first."""
    for count in (9, 10, 14):
        places = [RoundPlace(f"m{at}", f"Saw {at}", None) for at in range(1, count + 1)]
        text = "\n".join(plain(line) for line in places_lines(places, 0, NOW, (240, 64)))
        assert (f"{count} Saw {count}" in text) == (count > 9)
