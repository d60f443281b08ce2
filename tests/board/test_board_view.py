"""What a glance at the board must tell, on every size and whatever stands in it.

Rules of the board itself; where a number is of the trade or of the eye its source is beside it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import cycle

import pytest

from shopboard.base.locations import sample_path
from shopboard.base.state_words import state_word
from shopboard.board.board_view import (
    NARROWEST,
    PaneGrid,
    called,
    grid,
    panes,
    place_of,
    shop_grid,
    shop_line,
)
from shopboard.board.glyphs import STATE_MARKS, STATE_PICTURES, TAG_PICTURE, big, sign, sign_width
from shopboard.board.hits import hits_of
from shopboard.board.next_list import next_lines
from shopboard.board.paint import Line, plain, width_of
from shopboard.board.pane_view import fits_large, name_sign, pane, plate_width
from shopboard.checks import registry
from shopboard.shop.machine import Machine
from shopboard.shop.reader import read_shop_text
from shopboard.shop.short_names import LONGEST_SHORT, short_names
from shopboard.standing.judge import shop_standing
from shopboard.standing.model import (
    RANKS,
    WORST_FIRST,
    MachineStanding,
    Past,
    PointStanding,
    ShopStanding,
    State,
)
from shopboard.standing.next_checks import worst_first
from shopboard.up_next.items import is_fresh, next_items
from tests.board.test_views import NOW, WORDS, machine_standing
from tests.two_shops import METRIC, SHOPS

SIZES = [(80, 24), (120, 36), (160, 48), (240, 67)]
WHY = "the guard is off and the stop button sticks"
MADE_UP = {
    "one": 1,
    "nine": 9,
    "twelve": 12,
    "fifty": 50,
}
"""Shops of so many machines."""
ALL = [*SHOPS, *MADE_UP]


def shop_of(name: str) -> ShopStanding:
    """Give a shop in which nothing is checked yet."""
    if name in MADE_UP:
        names = cycle(("Table saw", "Jointer, 10 inches", "Router table", "Oil stones and strops"))
        return ShopStanding(
            tuple(
                machine_standing(n, "unproven", next(names), points=n % 6)
                for n in range(1, MADE_UP[name] + 1)
            )
        )
    text = sample_path().read_text("utf-8") if name == "sample" else SHOPS[name]
    read = read_shop_text(text, "shop.toml", registry.names(), registry.facts())
    return shop_standing(read.shop, Past(), NOW)


def with_states(standing: ShopStanding, states: Sequence[State], tags: int = 0) -> ShopStanding:
    """Let its points stand so by turns; tag every so many machines."""
    turn = cycle(states)

    def point(one: PointStanding) -> PointStanding:
        state = next(turn)
        return one._replace(state=state, reason=WORDS[state], used=2.17)

    def machine(at: int, one: MachineStanding) -> MachineStanding:
        points = tuple(map(point, one.points))
        worst = min((each.state for each in points), key=lambda each: RANKS[each], default=None)
        tag = WHY if tags and at % tags == 0 else ""
        return one._replace(points=points, state=worst or one.state, tag=tag)

    machines = tuple(machine(at, one) for at, one in enumerate(standing.machines))
    order = tuple(each.point.full_name for one in machines for each in one.points if each.to_check)
    return standing._replace(machines=machines, order=order)


MIXED: tuple[State, ...] = (*WORST_FIRST, "true", "true")


def drawn(
    standing: ShopStanding, size: tuple[int, int], on: str = ""
) -> tuple[PaneGrid, list[Line]]:
    """Draw the panes of a page, and what is to be done next."""
    width, room = size[0], size[1] - 3
    on = on or standing.machines[0].machine.id
    body = panes(standing, on, NOW, width, room, fresh=is_fresh(standing))
    below = next_lines(
        next_items(standing, ()), None, called(standing, on), {}, (width, room - len(body))
    )
    assert len(body) + len(below) <= room
    assert all(width_of(line) <= width for line in (*body, *below))
    return shop_grid(standing, width, room), [*body, *below]


def each_pane(
    standing: ShopStanding, size: tuple[int, int]
) -> list[tuple[MachineStanding, list[Line]]]:
    """Draw the pane of each machine, on whichever page it is."""
    look = shop_grid(standing, size[0], size[1] - 3).look
    found = []
    for one in standing.machines:
        name = called(standing, one.machine.id)[one.machine.id]
        found.append((one, pane(one, name, False, NOW, look)))
    return found


def words(lines: Sequence[Line]) -> str:
    """Give the words of lines, whatever row they stand in."""
    return " ".join(" ".join(plain(line) for line in lines).split())


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ALL)
def test_every_machine_keeps_its_place_however_all_stand(name: str, size: tuple[int, int]) -> None:
    """A hand learns where a machine is: states, tags and what is in progress move none."""
    shop = shop_of(name)
    width, room = size[0], size[1] - 3
    stands = (
        with_states(shop, ("true",)),
        with_states(shop, MIXED, 2),
        with_states(shop, ("out",), 1),
    )
    lay = shop_grid(shop, width, room)
    assert all(shop_grid(one, width, room) == lay for one in stands)
    for page in range(lay.pages):
        first = shop.machines[page * lay.on_a_page].machine.id
        places = []
        for standing in stands:
            lines = panes(standing, first, NOW, width, room, here=False)
            names = called(standing, first)
            found = {}
            for at, one in enumerate(standing.machines[page * lay.on_a_page :][: lay.on_a_page]):
                row, column = divmod(at, lay.columns)
                top = plain(lines[row * lay.look.height])[column * lay.look.width :]
                digit, short = names[one.machine.id]
                if lay.look.large and fits_large((digit, short), lay.look.width - 2):
                    assert top[1:].startswith(
                        name_sign((digit, short), lay.look.tall)[0].rstrip()[:6]
                    )
                elif not lay.look.large:
                    assert top[1:].startswith(f"{digit or ' '} {short}")
                found[one.machine.id] = (row, column)
            places.append(found)
        assert places[0] == places[1] == places[2]


def in_red_letters(told: str, lines: Sequence[Line]) -> bool:
    """Whether all of it stands in large letters, two rows of them at the most."""
    red = ["".join(text for text, style in line if style == "danger") for line in lines]
    middle = [row.strip() for row in red]
    parts = told.split()
    ways = [(" ".join(parts[:at]), " ".join(parts[at:])) for at in range(1, len(parts) + 1)]
    return any(all(big(one)[1].strip() in middle for one in way if one) for way in ways)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ALL)
def test_what_is_red_is_always_in_sight(name: str, size: tuple[int, int]) -> None:
    """On its pane with the whole reason; of a machine on another page its name."""
    standing = with_states(shop_of(name), MIXED, 3)
    lay = shop_grid(standing, size[0], size[1] - 3)
    for one, lines in each_pane(standing, size):
        if one.tag:
            red = words([tuple(p for p in line if p[1] == "danger") for line in lines])
            assert WHY in red or in_red_letters(WHY, lines)
            tall = lay.look.tall
            head = sign("DO NOT USE", TAG_PICTURE, tall)[2] if lay.look.large else "DO NOT USE"
            assert any(head in plain(line) for line in lines)
    for page in range(lay.pages):
        first = page * lay.on_a_page
        on = standing.machines[first].machine.id
        text = words(drawn(standing, size, on)[1])
        here = {one.machine.id for one in standing.machines[first : first + lay.on_a_page]}
        hidden = [one for one in standing.tagged if one.machine.id not in here]
        names = called(standing, on)
        assert all(names[one.machine.id][1] in text for one in hidden) or "more" in text


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ALL)
def test_no_word_is_cut_where_a_row_of_its_pane_is_free(name: str, size: tuple[int, int]) -> None:
    standing = with_states(shop_of(name), MIXED, 4)
    for _, lines in each_pane(standing, size):
        rows = [plain(line).strip() for line in lines]
        if any("…" in row for row in rows[1:]):
            below = rows[4:] if len(rows) > 8 and not rows[0][:1].isdigit() else rows[1:]
            assert all(below)


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", ALL)
def test_only_what_is_not_right_is_listed(name: str, size: tuple[int, int]) -> None:
    """What is true is a count; a tagged machine says nothing of it and shows no green."""
    standing = with_states(shop_of(name), MIXED, 4)
    for one, lines in each_pane(standing, size):
        text, styles = words(lines), {style for line in lines for _, style in line}
        true = sum(each.state == "true" for each in one.points)
        if one.tag:
            assert not re.search(r"all \d+ true|others? true|1 true$", text)
            assert not styles & {"true", "waits", "waits bar", "kept"}
            continue
        assert (
            f"{true} other" in text
            or f"all {true} true" in text
            or f"{true} true" in text
            or not true
        )
        listed = [each for each in one.points if each.is_open]
        shown = [
            each
            for each in listed
            if f"{STATE_MARKS[each.state]} {each.point.name.split()[0]}" in text
        ]
        assert len(shown) == len(listed) or " more" in text


@pytest.mark.parametrize("width", range(60, 241, 5))
@pytest.mark.parametrize(
    "name", ["The tide mill", "A shop of a name that is as long as a name may be, sixty letters"]
)
def test_no_count_of_the_shop_is_ever_cut(name: str, width: int) -> None:
    """In words or, where those have no room, by their marks."""
    standing = with_states(shop_of("fifty"), MIXED, 3)
    text = plain(shop_line(name, standing, NOW, width, fresh=False))
    assert width_of(((text, ""),)) == width
    for state in WORST_FIRST:
        count = standing.count(state)
        assert f"{count} {state_word(state)}" in text or f"{STATE_MARKS[state]} {count}" in text
    assert f"{len(standing.tagged)} DO NOT USE" in text or f"╳ {len(standing.tagged)}" in text


@pytest.mark.parametrize(("machines", "size", "pages"), [
    (9, (80, 24), 1), (12, (80, 24), 2), (12, (120, 36), 1), (50, (240, 67), 1), (1, (80, 24), 1),
])  # fmt: skip
def test_nine_machines_are_whole_on_the_smallest_window(
    machines: int, size: tuple[int, int], pages: int
) -> None:
    lay = grid(machines, size[0], size[1] - 3)
    assert lay.pages == pages
    assert lay.look.width >= NARROWEST
    assert lay.look.height >= 5
    assert lay.room_below >= 3
    assert pages == 1 or lay.on_a_page == 9  # each on the page has a digit


@pytest.mark.parametrize(
    ("size", "large"), [((80, 24), False), ((100, 30), False), ((160, 48), True), ((240, 67), True)]
)
def test_letters_are_as_large_as_the_grid_asks_for(size: tuple[int, int], large: bool) -> None:
    """A letter is read where it has 1/300 of the distance (common practice, no source).

    On a screen 300 mm high a letter of one row, 0.7 of it, has 8.7 mm at 24 rows and 7 mm at 30,
    but 4.4 mm at 48; three rows of 48 have 18 mm.
    """
    rows = size[1]
    assert (300 / rows * 0.7 >= 2000 / 300) == (not large)
    for machines in range(1, 10):
        lay = grid(machines, size[0], rows - 3)
        assert lay.look.large == large
        assert not large or lay.look.width - 2 >= plate_width()
        assert lay.pages == 1


@pytest.mark.parametrize("size", [(120, 36), (160, 48), (240, 67)], ids=str)
@pytest.mark.parametrize("machines", range(1, 10))
def test_name_and_state_stand_together_however_wide_the_window_is(
    machines: int, size: tuple[int, int]
) -> None:
    """Seen: three machines at 240x67 had their names at the left and their states at the right."""
    standing = with_states(shop_of("fifty"), ("out",))
    standing = standing._replace(machines=standing.machines[:machines])
    lay = shop_grid(standing, size[0], size[1] - 3)
    assert lay.look.width <= 100 or machines < 3
    longest = max(len(name_sign(each)[0]) for each in called(standing, "").values())
    for one, (_, line, *_) in each_pane(standing, size):
        filled = [at for at, (_, style) in enumerate(line) if style == "out bar"]
        assert bool(filled) == (lay.look.level and bool(one.points))
        assert not filled or width_of(line[: filled[0]]) <= 1 + longest


@pytest.mark.parametrize("name", ALL)
def test_letters_grow_with_the_room(name: str) -> None:
    """Tall ones where words have room below all the same; the pane's own lines are not lost."""
    standing = with_states(shop_of(name), MIXED)
    lay = shop_grid(standing, 240, 67 - 3)
    assert lay.look.tall == (len(standing.machines) <= 6)
    for one, lines in each_pane(standing, (240, 67)):
        first = min(
            (p for p in one.points if p.is_open), key=lambda p: RANKS[p.state], default=None
        )
        assert first is None or first.point.name in words(lines)


def test_minutes_stand_right_after_the_longest_words() -> None:
    """Seen: at 240 columns they stood 200 columns from what they belong to."""
    standing = with_states(shop_of("sample"), MIXED)
    items = next_items(standing, ())[:5]
    minutes = {one.key: f"{9 + at} min" for at, one in enumerate(items[1:])}
    lines = next_lines(items, 1, called(standing, ""), minutes, (240, 8))
    ends = {plain(line).rstrip().rfind(" min") for line in lines[1:]}
    assert len(ends) == 1
    assert ends.pop() < 19 + 2 + 3 + max(len(one.words) for one in items) + len("13 min")
    (here,) = [line for line in lines if "►" in plain(line)]
    assert {style.partition("@")[0] for _, style in here[1:]} == {"bar"}  # without a hole


def test_what_is_not_true_is_a_filled_bar_and_what_is_true_is_not() -> None:
    """Told without colour: by word, mark, picture, and whether it is filled."""
    for size in ((80, 24), (160, 48)):
        seen = set()
        for state in WORST_FIRST:
            standing = ShopStanding((machine_standing(1, state),))
            ((_, lines),) = each_pane(standing, size)
            filled = {style for line in lines for _, style in line if style.endswith("bar")}
            assert bool(filled) == (state not in ("true", "noted"))
            assert not filled or any(f"{state} bar" == one for one in filled)
            seen.add("\n".join(map(plain, lines[:7])))
            if size == (80, 24):
                word = state_word(state)
                told = word if state in ("true", "noted") else word.upper()
                assert f"{STATE_MARKS[state]}  {told}" in plain(lines[0])
        assert len(seen) == len(WORST_FIRST)


def test_a_mark_stands_off_from_its_word_and_nought_from_the_letter() -> None:
    """Seen: /OUT and ODUE were read; O and 0 were one sign."""
    assert big("0") != big("O")
    assert big("0", tall=True) != big("O", tall=True)
    assert len({big(char) for char in "0ODQ8"}) == 5
    for state, picture in STATE_PICTURES.items():
        for row in sign(state_word(state), picture)[:3]:
            assert row[5:8] == "   "


@pytest.mark.parametrize("size", SIZES, ids=str)
@pytest.mark.parametrize("name", list(SHOPS))
def test_a_shop_in_which_nothing_is_checked_says_so_once(name: str, size: tuple[int, int]) -> None:
    """No wall of one word; it leads to three checks, the tools first that others go by."""
    standing = shop_of(name)
    assert is_fresh(standing)
    _, lines = drawn(standing, size)
    top = plain(shop_line("The tide mill", standing, NOW, size[0], fresh=True))
    assert f"{top} {words(lines)}".count("nothing checked yet") == 1
    assert "UNPROVEN" not in words(lines)
    assert "never checked" not in words(lines)
    items = next_items(standing, ())
    assert len(items) == min(3, len(standing.order))
    proving = [one for one in standing.machines for each in one.points if each.point.proves]
    assert not proving or items[0].machine == proving[0].machine.id
    known = next_items(standing, (), [standing.order[-1]])
    assert [one.name for one in known] == [standing.order[-1]]


def test_the_worst_comes_next_but_each_after_what_it_rests_on() -> None:
    """A fence that is out is set only after the slot that it is measured from is known."""
    shop = with_states(shop_of("sample"), ("true",))
    saw = shop.of_machine("saw")
    assert saw is not None
    states: dict[str, State] = {"blade": "due", "fence-line": "out", "blade-slot": "unproven"}
    points = tuple(one._replace(state=states.get(one.point.id, "true")) for one in saw.points)
    machines = tuple(one._replace(points=points) if one is saw else one for one in shop.machines)
    order = tuple(one.point.full_name for one in points if one.is_open)
    ids = [one.point.id for one in worst_first(shop._replace(machines=machines, order=order))]
    assert ids == ["blade-slot", "fence-line", "blade"]


def test_short_names_are_told_or_made_and_no_two_are_the_same_where_that_can_be() -> None:
    machines = [
        Machine("a", "Table saw", "table saw"),
        Machine("b", "Mitre saw", "mitre saw"),
        Machine("c", "Jointer, 10 inches"),
        Machine("d", "Drill press", "drill press"),
        Machine("e", "Saw for veneers"),
        Machine("f", "Bandsaw for resawing alone", short="Resaw"),
        Machine("g", "木工機械の大きな名前"),
        Machine("h", "X"),
    ]
    assert short_names([Machine("o", "Slot mortiser")]) == ("MORTISER",)
    scroll = [Machine("s", "Scroll saw"), Machine("t", "Table saw", "table saw")]
    assert short_names(scroll) == ("SCROLL", "SAW")
    made = short_names(machines)
    assert made[:6] == ("SAW", "MITRE", "JOINTER", "DRILL", "VENEERS", "RESAW")
    assert all(1 <= len(one) <= LONGEST_SHORT for one in made)
    assert len(set(made)) == len(made)


def test_the_cursor_is_on_one_thing_and_its_bar_has_no_hole() -> None:
    """On a pane, or on a line of what is next: from the mark to the end of the line."""
    standing = with_states(shop_of("sample"), MIXED, 3)
    items, names = next_items(standing, ()), called(standing, "saw")
    minutes = {items[0].key: "5 min"}
    for at in range(len(items)):
        lines = next_lines(items, at, names, minutes, (80, 3))
        (here,) = [line for line in lines if "►" in plain(line)]
        styles = [style.partition("@")[0] for _, style in here]
        assert set(styles[1:]) == {"bar"}
        assert width_of(here) == 80
    assert place_of(standing, "nothing") == 0


def test_a_short_name_that_is_written_in_the_shop_file_is_the_one_that_is_shown() -> None:
    told = METRIC.replace('name = "Sliding saw"', 'name = "Sliding saw"\nshort = "Slider"')
    read = read_shop_text(told, "shop.toml", registry.names(), registry.facts())
    assert short_names(read.shop.machines)[0] == "SLIDER"


@pytest.mark.parametrize("word", ["", "A", "0 TABLE SAW", "MW I1", "x-y.z", "€"])
def test_a_sign_is_as_wide_as_it_is_said_to_be(word: str) -> None:
    for picture in ((), *STATE_PICTURES.values(), TAG_PICTURE):
        assert {len(row) for row in sign(word, picture)} == {sign_width(word, picture)}


@pytest.mark.parametrize("count", [1, 3, 6])
@pytest.mark.parametrize(("width", "room"), [(80, 24), (160, 12), (240, 30)])
def test_what_is_next_is_large_where_all_of_it_has_room(count: int, width: int, room: int) -> None:
    """Read from two metres on a wide window; what it says, and what a click does, is the same."""
    standing = with_states(shop_of("one"), MIXED, 0)
    items = next_items(standing, ())[:count]
    names, minutes = called(standing, ""), {one.key: "7 min" for one in items}
    lines = next_lines(items, 0, names, minutes, (width, room))
    text = "\n".join(plain(line) for line in lines)
    large = width >= 160 and 4 * len(items) <= room
    assert len(lines) <= room
    for at, one in enumerate(items):
        digit, short = names[one.machine]
        assert all(row in text for row in big(f"{short}: {one.words}".split()[0])) == large
        assert all(row in text for row in big(digit)) == large
        assert (one.words in text) != large
        hits = {hit.key for line in lines for hit in hits_of(line)}
        assert f"#{len(names) + at}" in hits
    assert text.count("7 min") == len(items)
    assert "NEXT" in text
