"""`still sharp` answers `sharp? past its life`; turned knives show their next edge on record."""

from __future__ import annotations

import pytest

from shopboard.upkeep.cutters import LOOK_AGAIN
from tests.cli.program import Program
from tests.shop_head import head

KNIVES = (
    '[[machine.cutter]]\nid = "head"\nname = "Knives"\nkind = "knives"\nedges = 3\n'
    'where = "on the machine"\nstate = "sharp"\nlasts = "10 hours"\n'
)
POINT = (
    '[[machine.point]]\nid = "{id}"\nname = "{id}"\ncheck = "square"\ndatum = "bed"\n'
    'face = "{id}"\nlever = "100 mm"\ntolerance = "2 mm/m"\nundone_by = ["knives turned"]\n'
)
TOP = head("The net loft").replace('"inch"', '"mm"')
METRIC = (
    f'{TOP}[[machine]]\nid = "planer"\nname = "Planer"\nkind = "planer"\n'
    + POINT.format(id="bed")
    + KNIVES
)
COMBI = (
    f'{TOP}[[machine]]\nid = "jointer"\nname = "Jointer"\nkind = "jointer"\nbody = "one"\n'
    'change = "5 min"\n' + POINT.format(id="fence") + KNIVES + 'serves = "planer"\n'
    '[[machine]]\nid = "planer"\nname = "Planer"\nkind = "planer"\nbody = "one"\n'
    'change = "5 min"\n' + POINT.format(id="bed")
)
SHOPS = {"planer.head": METRIC, "jointer.head": COMBI}


def edge(program: Program, name: str) -> int:
    machines = program("cutters", name.partition(".")[0], "--json").json["machines"]
    return int(machines[0]["cutters"][0]["edge"])


@pytest.mark.parametrize("name", SHOPS)
def test_knives_said_to_be_turned_show_their_next_edge_with_its_use_anew(
    program: Program, name: str
) -> None:
    """Also where it is said at the mode that they serve; both go back together."""
    program.write("shop.toml", SHOPS[name])
    program("happened", "planer", "hours run", "9h")
    assert "9 h of 10 h" in program("cutters", "planer").out
    ran = program("happened", "planer", "knives turned")
    assert "Recorded: knives turned, Knives: edge 2 of 3." in ran.err
    assert edge(program, name) == 2
    assert "9 h" not in program("cutters", "planer").out
    program("happened", "planer", "knives turned", "--take-back", "by mistake")
    assert edge(program, name) == 1
    assert "9 h of 10 h" in program("cutters", "planer").out


@pytest.mark.parametrize("name", SHOPS)
def test_the_record_has_no_fourth_edge(program: Program, name: str) -> None:
    program.write("shop.toml", SHOPS[name])
    for shown in (2, 3, 3):
        ran = program("happened", "planer", "knives turned")
        assert edge(program, name) == shown
    assert "Knives: still recorded as edge 3 of 3: correct that at its cutters" in ran.err


@pytest.mark.parametrize("name", SHOPS)
def test_a_turning_told_of_a_day_before_the_newest_edge_turns_no_further(
    program: Program, name: str
) -> None:
    """Those that show now came later; told of a day when nothing had changed since, it counts."""
    program.write("shop.toml", SHOPS[name])
    program("happened", "planer", "knives turned", "--on", "yesterday")
    assert edge(program, name) == 2
    ran = program("happened", "planer", "knives turned", "--on", "yesterday")
    assert edge(program, name) == 2
    assert "still recorded as edge 2 of 3: correct that at its cutters" in ran.err


def test_turned_as_a_change_of_the_cutter_counts_once(program: Program) -> None:
    program.write("shop.toml", METRIC)
    program("cutter", "planer.head", "turn", "--came-off", "dull")
    assert edge(program, "planer.head") == 2


@pytest.mark.parametrize("name", SHOPS)
def test_still_sharp_settles_the_question_until_a_quarter_of_its_life_later(
    program: Program, name: str
) -> None:
    program.write("shop.toml", SHOPS[name])
    assert program("cutter", name, "still", "sharp").code != 0  # nobody asks
    program("happened", "planer", "hours run", "11h")
    assert "sharp? past its rated life" in program("status").out
    assert program("cutter", name, "still", "sharp").code == 0
    for command in ("status", "cutters", "tasks", "prep"):
        assert "past its rated life" not in program(command).out
    data = program("cutters", name.partition(".")[0], "--json").json["machines"][0]["cutters"][0]
    assert data["state"] == "sharp"
    assert data["past_life"] is True
    program("happened", "planer", "hours run", "2h")
    assert "past its rated life" not in program("status").out
    program("happened", "planer", "hours run", "1h")  # 3 h since it was looked at
    assert LOOK_AGAIN * 10 <= 3
    assert "sharp? past its rated life" in program("status").out
    program("cutter", name, "still", "sharp")
    assert "past its rated life" not in program("status").out
    program("cutter", name, "take", "back", "--reason", "misread")
    assert "sharp? past its rated life" in program("status").out


def test_found_dull_it_is_dull_and_the_life_it_had_is_learnt(program: Program) -> None:
    """11 h and 3 h: what an answer did not end."""
    program.write("shop.toml", METRIC)
    program("happened", "planer", "hours run", "11h")
    program("cutter", "planer.head", "still", "sharp")
    program("happened", "planer", "hours run", "3h")
    program("cutter", "planer.head", "dull")
    assert "dull, edge 1 of 3, on the machine, 14 h of 10 h" in program("cutters", "planer").out
    assert program("cutter", "planer.head", "still", "sharp").code != 0


def test_a_count_taken_back_takes_nothing_from_the_answer(program: Program) -> None:
    """10 of the 21 h were wrong: it was looked at after 11 h, and is asked about at 14 h."""
    program.write("shop.toml", METRIC)
    program("happened", "planer", "hours run", "11h")
    program("happened", "planer", "hours run", "10h")
    program("cutter", "planer.head", "still", "sharp")
    program("happened", "planer", "hours run", "10h", "--take-back", "by mistake")
    assert "past its rated life" not in program("status").out
    program("happened", "planer", "hours run", "3h")
    assert "sharp? past its rated life" in program("status").out
