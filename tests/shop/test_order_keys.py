"""What is done before what on a machine, said by keys of the shop file and never by its words."""

from __future__ import annotations

import pytest

from shopboard.shop.machine import Machine
from tests.shop.texts import SHOP, load, problems_of

ORDERED = """
[[machine.task]]
id = "wax"
name = "Wachsen"
leaves = "wax"
steps = [
    { do = "Abwaschen", leaves = "dirt" },
    "Wachs auftragen, wait 10 min",
    "Auspolieren",
]

[[machine.task]]
id = "bath"
name = "Führungen waschen"
leaves = "nothing"
before = ["wax", "knives"]
steps = ["Ausbauen", { do = "In die Wanne", wait = "20 min", off_machine = true }]

[[machine.cutter]]
id = "knives"
name = "Messer"
where = "on the machine"
state = "dull"
kind = "knives"
before = "wax"

[[machine.cutter]]
id = "bit"
name = "Bohrer"
where = "on the machine"
state = "dull"
kind = "bit"
leaves = "dirt"
"""


def machine(text: str = ORDERED) -> Machine:
    return load(SHOP + text).shop.machines[0]


def test_what_each_step_leaves_is_read() -> None:
    wax, bath = machine().tasks
    assert [wax.left_by(number) for number in (1, 2, 3)] == ["dirt", "wax", "wax"]
    assert [bath.left_by(number) for number in (1, 2)] == ["nothing", "nothing"]
    assert [one.off_machine for one in bath.steps] == [False, True]


def test_a_step_off_the_machine_leaves_nothing_on_it() -> None:
    text = ORDERED.replace('leaves = "nothing"\nbefore', 'leaves = "dirt"\nbefore')
    assert [machine(text).tasks[1].left_by(number) for number in (1, 2)] == ["dirt", "nothing"]


def test_knives_leave_dirt_by_their_kind_and_others_where_it_is_said() -> None:
    """The head is cleaned when knives are changed (common practice, no source)."""
    assert [one.makes_dirt for one in machine().cutters] == [True, True]
    plain = ORDERED.replace('kind = "knives"', 'kind = "blade"').replace(
        '"bit"\nleaves = "dirt"', '"bit"'
    )
    assert [one.makes_dirt for one in machine(plain).cutters] == [False, False]
    clean = ORDERED.replace('kind = "knives"', 'kind = "knives"\nleaves = "nothing"')
    assert [one.makes_dirt for one in machine(clean).cutters] == [False, True]


def test_what_comes_before_what_is_read() -> None:
    here = machine()
    assert [one.before for one in here.tasks] == [(), ("wax", "knives")]
    assert [one.before for one in here.cutters] == [("wax",), ()]


@pytest.mark.parametrize(
    ("old", "new", "what", "allowed"),
    [
        (
            '"wax", "knives"]',
            '"wax", "knifes"]',
            "there is no task or cutter knifes on this machine",
            "tasks and cutters: wax, knives, bit",
        ),
        (
            'before = "wax"',
            'before = "bit"',
            "there is no task bit on this machine",
            "tasks: wax, bath",
        ),
        (
            'before = "wax"',
            'before = "bath"',
            "knives before bath before knives: a circle",
            "leave one",
        ),
        ('["wax", "knives"]', '"bath"', "bath before bath: a circle", "leave one of them out"),
        (
            'leaves = "wax"\nsteps',
            'leaves = "wax"\nbefore = "bath"\nsteps',
            "bath before wax before bath: a circle",
            "leave one of them out",
        ),
        (
            'leaves = "wax"\nsteps',
            'leaves = "wax"\nundoes = "bath"\nsteps',
            "bath before wax before bath: a circle",
            "leave one of them out",
        ),
        ('leaves = "dirt" }', 'leaves = "mud" }', "mud", "nothing or dirt or wax"),
        ("off_machine = true", 'off_machine = "yes"', "true or false", "without quotes"),
        ('"bit"\nleaves = "dirt"', '"bit"\nleaves = "wax"', "wax", "nothing or dirt"),
    ],
)
def test_what_cannot_be_meant_is_refused(old: str, new: str, what: str, allowed: str) -> None:
    assert old in ORDERED
    problem = problems_of(SHOP + ORDERED.replace(old, new, 1))[0]
    said = f"{problem.what}; {problem.allowed}; {problem.hint}".replace('"', "")
    assert what in said
    assert allowed in said


MODES = """
[[machine]]
id = "over"
name = "Oben"
body = "Kombi"

[[machine.task]]
id = "wax"
name = "Wachsen"
leaves = "wax"
before = "under.rollers"

[[machine.cutter]]
id = "knives"
name = "Messer"
where = "on the machine"
state = "dull"
kind = "knives"
before = ["wax", "under.rollers"]

[[machine]]
id = "under"
name = "Unten"
body = "Kombi"

[[machine.task]]
id = "rollers"
name = "Walzen putzen"

[[machine.task]]
id = "bed"
name = "Bett wachsen"
before = ["over.knives", "over.wax"]
"""


def test_what_comes_before_what_reaches_other_modes_and_machines() -> None:
    over, under = load(SHOP + MODES).shop.machines[1:]
    assert over.tasks[0].before == ("under.rollers",)
    assert over.cutters[0].before == ("wax", "under.rollers")
    assert under.tasks[1].before == ("over.knives", "over.wax")


@pytest.mark.parametrize(
    ("old", "new", "what", "allowed"),
    [
        (
            'before = "under.rollers"',
            'before = "under.bed"',
            "bed before over.knives before over.wax before bed: a circle",
            "leave one of them out",
        ),
        (
            'before = "under.rollers"',
            'before = "under.roller"',
            "there is no task or cutter roller on under",
            "tasks and cutters: under.rollers, under.bed",
        ),
        (
            '"under.rollers"]',
            '"over.waxx"]',
            "there is no task waxx on this machine",
            "tasks: wax",
        ),
        ('"over.wax"]', '"top.wax"]', "there is no task or cutter wax on top", ""),
        ('"over.wax"]', '"over.wax.1"]', "over.wax.1", "cannot be an id"),
    ],
)
def test_what_cannot_be_meant_elsewhere_is_refused(
    old: str, new: str, what: str, allowed: str
) -> None:
    assert old in MODES
    problem = problems_of(SHOP + MODES.replace(old, new, 1))[0]
    said = f"{problem.what}; {problem.allowed}; {problem.hint}".replace('"', "")
    assert what in said
    assert allowed in said
