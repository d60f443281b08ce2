"""Cutters from the command line: in plain words, as JSON, and every refusal in one sentence."""

from __future__ import annotations

from typing import Any

import pytest

from shopboard.journal import NewEntry, new_uid, open_journal
from tests.cli.program import BLADE_TRUE, FENCE_TRUE, SHOP, Program
from tests.cli.test_hostile import EVIL, EVIL_TOML, is_harmless
from tests.combination import SHOP as COMBINATION
from tests.journal.helpers import Clock
from tests.prep.test_lived_day import with_knives

CUTTERS = """\
[[machine.cutter]]
id = "rip"
name = "Rip blade"
where = "on the machine"
state = "sharp"
lasts = "20 hours"
sharpenings = 2
cost = 18.0
away = "10 days"

[[machine.cutter]]
id = "cross"
name = "Crosscut [blade]"
where = "on the shelf"
state = "dull"

"""


@pytest.fixture
def saw(program: Program) -> Program:
    """The shop of three points, with two blades for its saw."""
    head, jointer, tail = SHOP.rpartition('[[machine]]\nid = "jointer"')
    program.write("shop.toml", head + CUTTERS + jointer + tail)
    return program


def cutters(program: Program) -> dict[str, Any]:
    """How the cutters stand, by name."""
    machines = program("cutters", "--json").json["machines"]
    return {one["id"]: one for machine in machines for one in machine["cutters"]}


def test_the_list_says_where_how_sharp_and_what_to_see_to(saw: Program) -> None:
    ran = saw("cutters")
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0] == "Table saw"
    assert "saw.rip" in lines[1]
    assert "Rip blade: sharp, on the machine, 0 h of 20 h" in lines[1]
    assert "2 sharpenings left, 18.00 a sharpening, 0.90 per hour" in lines[2]
    assert "Crosscut [blade]: dull, on the shelf" in lines[3]
    assert lines[-1] == "  ! Crosscut [blade]: send it out now"
    assert saw("cutters", "saw").out == ran.out
    assert saw("cutters", "jointer").out == ""


def test_the_same_as_data(saw: Program) -> None:
    data = saw("cutters", "saw", "--json").json
    assert data["schema"] == 1
    (machine,) = data["machines"]
    assert (machine["id"], machine["under_way"]) == ("saw", None)
    rip, cross = machine["cutters"]
    assert rip["life"] == {"amount": 1200.0, "unit": "minutes", "times_dull": 0}
    assert rip["cost_per"] == {"cost": 0.9, "per": "hour of cutting"}
    assert (cross["life"], cross["cost_per"], cross["sent"]) == (None, None, None)
    look = machine["outlook"][0]
    assert (look["cutters"], look["pace"], look["sharp_until"]) == (["rip"], None, None)
    assert machine["outlook"][1]["see_to"][-1]["now"] is True


def test_a_change_is_recorded_whole_and_makes_due_what_it_undoes(saw: Program) -> None:
    saw.check("saw.blade", BLADE_TRUE)
    saw("cutter", "saw.cross", "sharpened")
    ran = saw("cutter", "saw.cross", "put", "on", "--came-off", "dull")
    assert ran.code == 0
    assert "Recorded: put on, blade changed." in ran.err
    assert "To check: Blade at 90, Rip fence [face]. First: Blade at 90." in ran.err
    assert "guards on; the maker's manual comes first" in ran.err
    found = cutters(saw)
    assert (found["saw.cross"]["where"], found["saw.cross"]["state"]) == ("on the machine", "sharp")
    assert (found["saw.rip"]["where"], found["saw.rip"]["state"]) == ("on the shelf", "dull")
    points = {one["id"]: one["state"] for one in saw("points", "--json").json["points"]}
    assert points["saw.blade"] == "due"
    ran = saw("cutter", "saw.rip", "take", "back", "--reason", "it was the other saw")
    assert ran.code == 0
    assert "and 2 more recorded with it" in ran.err
    assert cutters(saw)["saw.rip"]["where"] == "on the machine"
    assert {one["id"]: one["state"] for one in saw("points", "--json").json["points"]}[
        "saw.blade"
    ] == "true"


def test_taken_back_as_a_happening_it_is_taken_back_whole_too(saw: Program) -> None:
    on = ("cutter", "saw.cross", "put on", "--came-off", "dirty")
    assert saw(*on, "--went-on", "dull").code == 0
    assert saw("happened", "saw", "blade changed", "--withdraw", "a trial").code == 0
    assert cutters(saw)["saw.rip"]["where"] == "on the machine"


def test_the_way_to_the_sharpener_and_back(saw: Program) -> None:
    for words, where, left in (
        (("send", "out"), "at the sharpener", None),
        (("BACK", "--cost", "20"), "on the shelf", None),
    ):
        assert saw("cutter", "saw.cross", *words).code == 0
        found = cutters(saw)["saw.cross"]
        assert (found["where"], found["sharpenings_left"]) == (where, left)
    assert (found["state"], found["cost"]) == ("sharp", 20.0)


def test_a_note_is_kept_as_it_is_written(saw: Program) -> None:
    ran = saw("cutter", "saw.rip", "note", "tooth", "9", "NICKED")
    assert ran.code == 0
    assert cutters(saw)["saw.rip"]["note"] == "tooth 9 NICKED"
    assert "note: tooth 9 NICKED" in saw("cutters").out


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("saw.ripp", "dull"), "did you mean saw.rip?"),
        (("saw.rip", "dul"), "did you mean dull?"),
        (("saw.rip", "sharpen", "it"), "did you mean sharpened?"),
        (("saw.rip", "send", "out"), "it is on the machine: take it off first"),
        (("saw.rip", "back"), "not at the sharpener"),
        (("saw.rip", "turn"), "it has one edge"),
        (("saw.cross", "cleaned"), "cleaning does not make it sharp"),
        (("saw.cross", "put", "on"), "say how Rip blade came off: --came-off with one of: sharp"),
        (("saw.cross", "put", "on", "--came-off", "rusty"), "'rusty' is no state"),
        (("saw.cross", "sharpened", "--cost", "much"), "is not an amount of money"),
        (("saw.cross", "sharpened", "--cost", "99999999"), "between 0 and 1,000,000"),
        (("saw.rip", "dull", "--cost", "18"), "--cost does not go with dull"),
        (("saw.rip", "dull", "--came-off", "dull"), "--came-off does not go with dull"),
        (("saw.cross", "put", "on", "--came-off", "dull", "--cost", "18"), "not go with put on"),
        (("saw.cross", "sharpened", "--reason", "x"), "--reason goes with withdraw alone"),
        (("saw.rip", "note"), "write a few words"),
        (("saw.rip", "note", "x" * 201), "200 at the most"),
        (("saw.rip", "take", "back"), "there is no record of Rip blade"),
    ],
)
def test_what_cannot_be_is_refused_in_one_sentence(
    saw: Program, words: tuple[str, ...], says: str
) -> None:
    """And nothing is recorded."""
    before = cutters(saw)
    ran = saw("cutter", *words)
    assert ran.code == 2
    assert says in ran.err
    assert len(ran.err.splitlines()) == 1
    assert cutters(saw) == before


def test_a_machine_that_is_not_there_is_refused(saw: Program) -> None:
    assert "did you mean saw?" in saw("cutters", "sww").err


def test_a_change_under_way_on_the_board_is_told_and_not_disturbed(saw: Program) -> None:
    journal = open_journal(saw.journal, Clock())
    way = {"v": 1, "what": "step", "open": True, "n": 1, "kind": "blade", "act": "put on"}
    journal.append([NewEntry(new_uid(), "cutter", "saw", "", {**way, "cutter": "cross"})])
    journal.close()
    assert "blade change in progress" in saw("cutters").out
    assert saw("cutters", "--json").json["machines"][0]["under_way"] == "blade change"
    assert "BLADE CHANGE IN PROGRESS" in saw("status").out
    assert saw("status", "--json").json["machines"][0]["under_way"] == "blade change"
    ran = saw("cutter", "saw.rip", "dull")
    assert ran.code == 2
    assert "a blade change is in progress on this machine" in ran.err


@pytest.mark.parametrize(
    "words",
    [
        ("cutters", EVIL),
        ("cutter", EVIL, "dull"),
        ("cutter", "saw.rip", EVIL),
        ("cutter", "saw.rip", "note", EVIL),
        ("cutter", "saw.rip", "note", f"a {EVIL}"),
        ("cutter", "saw.cross", "put on", "--came-off", EVIL),
        ("cutter", "saw.cross", "sharpened", "--cost", EVIL),
        ("cutter", "saw.cross", "sharpened", "--cost", "१८"),
    ],
)
def test_evil_arguments_come_back_harmless(saw: Program, words: tuple[str, ...]) -> None:
    ran = saw(*words)
    assert ran.code == 2
    assert ran.err
    assert is_harmless(ran)


def test_evil_reasons_and_names_are_refused(saw: Program) -> None:
    saw("cutter", "saw.rip", "dull")
    ran = saw("cutter", "saw.rip", "take", "back", "--reason", EVIL)
    assert ran.code == 2
    assert is_harmless(ran)
    assert cutters(saw)["saw.rip"]["state"] == "dull"
    text = saw.shop.read_text().replace("Rip blade", f"Rip {EVIL_TOML}")
    saw.write("shop.toml", text)
    ran = saw("cutters")
    assert ran.code == 3
    assert is_harmless(ran)


def test_an_older_journal_is_shown_harmlessly(saw: Program) -> None:
    journal = open_journal(saw.journal, Clock())
    text = dict.fromkeys(("what", "note", "state", "where", "sent", "of"), EVIL)
    journal.append([NewEntry(new_uid(), "cutter", "saw", "rip", {"v": 9, **text})])
    journal.close()
    for words in (("cutters",), ("cutters", "--json"), ("status",)):
        ran = saw(*words)
        assert ran.code == 0
        assert is_harmless(ran)
    assert cutters(saw)["saw.rip"]["note"] == EVIL
    ran = saw("cutter", "saw.rip", "take", "back")
    assert ran.code == 0
    assert is_harmless(ran)


def test_the_help_names_every_act(saw: Program) -> None:
    ran = saw.bare("cutter", "--help")
    assert ran.code == 0
    said = " ".join(ran.out.split())
    for act in ("put on", "turn", "take off", "send out", "back", "worn out", "withdraw"):
        assert act in said
    assert "the board (c) walks you through one, plug and all" in said
    assert "cutters" in saw.bare("--help").out


def test_the_status_names_dull_cutters_and_leaves_the_exit_code_to_the_points(
    saw: Program,
) -> None:
    for point, answers in (
        ("saw.blade", BLADE_TRUE),
        ("saw.fence", FENCE_TRUE),
        ("jointer.fence", FENCE_TRUE),
    ):
        saw.check(point, answers)
    assert "cutter" not in saw("status").out
    saw("happened", "saw", "hours run", "22h")
    line = next(one for one in saw("status").out.splitlines() if one.endswith("(saw.rip)"))
    assert "sharp? past its rated life (22 h of 20 h)" in line
    saw("cutter", "saw.rip", "dull")
    line = next(one for one in saw("status").out.splitlines() if one.endswith("(saw.rip)"))
    assert ": dull (22 h of 20 h)" in line
    assert saw("status", "--exit-code").code == 0  # of the points, and of tags alone
    data = saw("status", "--json").json
    machine = next(one for one in data["machines"] if one["id"] == "saw")
    assert machine["dull"] == ["saw.rip"]
    assert machine["under_way"] is None
    states = {one["id"]: (one["state"], one["where"]) for one in machine["cutters"]}
    assert states == {
        "saw.rip": ("dull", "on the machine"),
        "saw.cross": ("dull", "on the shelf"),
    }
    assert machine["cutters"] == saw("cutters", "saw", "--json").json["machines"][0]["cutters"]
    assert data["all_true"] is True


def test_how_a_dirty_blade_goes_on_must_be_said(saw: Program) -> None:
    """Cleaned first, which is on record, or dirty all the same."""
    assert saw("cutter", "saw.cross", "sharpened").code == 0
    assert saw("cutter", "saw.cross", "dirty").code == 0
    on = ("cutter", "saw.cross", "put on", "--came-off", "sharp")
    ran = saw(*on)
    assert ran.code == 2
    assert "is recorded as dirty; say how it went on: --went-on cleaned or dirty" in ran.err
    assert "'dull' does not go with it" in saw(*on, "--went-on", "dull").err
    assert saw(*on, "--went-on", "cleaned").code == 0
    assert cutters(saw)["saw.cross"]["state"] == "sharp"
    assert "and 3 more recorded with it" in saw("cutter", "saw.cross", "take back").err
    assert cutters(saw)["saw.cross"]["state"] == "dirty"
    assert saw(*on, "--went-on", "dirty").code == 0
    found = cutters(saw)["saw.cross"]
    assert (found["where"], found["state"]) == ("on the machine", "dirty")
    ran = saw("cutter", "saw.rip", "put on", "--came-off", "dirty", "--went-on", "cleaned")
    assert "Rip blade is recorded as sharp" in ran.err


def test_each_program_line_names_it_once_and_knows_it_by_every_mode(
    program: Program,
) -> None:
    """`cutters` lists it with its own mode; the other mode alone lists it, too."""
    program.write("shop.toml", COMBINATION)
    lines = program("cutters").out.splitlines()
    assert sum("top.head" in line for line in lines) == 1
    assert any("cuts in Surfacing, Thicknessing" in line for line in lines)
    assert "Thicknessing" not in lines
    assert "Thicknessing" in program("cutters", "thick").out
    assert program("cutter", "thick.head", "turn", "--came-off", "dull").code == 0
    found = {
        machine["id"]: [(one["id"], one["edge"], one["serves"]) for one in machine["cutters"]]
        for machine in program("cutters", "--json").json["machines"]
    }
    head = [("top.head", 2, ["top", "thick"])]
    assert found == {"saw": [("saw.universal", 1, ["saw"])], "top": head, "thick": head}


def test_what_is_named_first_rests_on_nothing_that_is_open(program: Program) -> None:
    """A bed measured from a blade that nobody proved waits for that, as the plan has it."""
    text = with_knives("metric")
    told = 'undone_by = ["knives changed", "machine moved"]'
    assert text.count(told) == 1
    text = text.replace(told, f'rests_on = ["saw.blade"]\n{told[:-1]}, "knives turned"]')
    program.shop.write_text(text, encoding="utf-8")
    ran = program("cutter", "planer.knives", "turn", "--came-off", "dull")
    assert "To check: Bed to head. First: Blade at 90." in ran.err


def test_a_blade_changed_without_a_word_of_which_leads_to_where_that_is_told(saw: Program) -> None:
    """The cutters stand as before by it: nobody said which one went on."""
    told = saw("happened", "saw", "blade changed")
    assert 'Which one is on now: `shopboard cutter saw.CUTTER "put on"`.' in told.err
    assert "Which one" not in saw("happened", "saw", "knocked").err
    assert "Which one" not in saw("happened", "jointer", "knives changed").err, "it has none"


def test_the_only_check_is_named_once(program: Program) -> None:
    told = 'undone_by = ["knives changed", "machine moved"]'
    text = with_knives("metric").replace(told, f'{told[:-1]}, "knives turned"]', 1)
    program.shop.write_text(text, encoding="utf-8")
    ran = program("cutter", "planer.knives", "turn", "--came-off", "dull")
    assert "To check: Bed to head.\n" in ran.err
    assert "First: " not in ran.err
