"""`shopboard round`, `shopboard tag`, and what they leave in status and checks."""

from __future__ import annotations

import pytest

from tests.cli.program import BLADE_TRUE, FENCE_TRUE, Program

QUESTIONS = """
[[machine.safety]]
id = "guard"
ask = "Look at the guard."
wanted = "on"
others = ["off", "binds"]
"""


def lines(*typed: str) -> str:
    return "".join(f"{line}\n" for line in typed)


@pytest.fixture
def shop(program: Program) -> Program:
    """Of which the saw has a cutter near; guard and shop are asked in words of their own."""
    text = program.shop.read_text("utf-8")
    door = '[[safety]]\nid = "door"\nask = "The door?"\nwanted = "opens"\nothers = "sticks"\n\n'
    ids = ["extinguisher", "way-out", "first-aid", "glasses-and-muffs", "oily-rags", "cords"]
    text = text.replace(
        'unit = "inch"\n', f'unit = "inch"\nnot_asked = {[*ids, "floor"]}\n\n{door}'
    )
    machine = '[[machine]]\nid = "jointer"'
    text = text.replace(machine, QUESTIONS + "\n" + machine)
    saw = 'name = "Table saw"\n'
    text = text.replace(saw, f'{saw}not_asked = ["cutter", "stop-button"]\n')
    program.write("shop.toml", text)
    return program


PLUG = "the plug is out, where I can see it"


def test_a_round_of_shop_and_machines_line_by_line(shop: Program) -> None:
    """The shop first, then every machine with a cutter; nothing is called by more than it is."""
    ran = shop("round", typed=lines("opens", "1", "off", "go on"))
    assert ran.code == 0
    assert "1 of 1. The door?" in ran.out
    assert "The old boathouse: 1 of 1 answered, 1 in order." in ran.out
    assert "1 of 2. Isolate it and wait" in ran.out
    assert "Not right. Guard: off." in ran.out
    assert "Should be: on." in ran.out
    assert "Table saw: 2 of 2 answered, 1 in order. Not right: guard, off." in ran.out
    assert "Jointer" not in ran.out
    listed = shop("round", "--list").out.splitlines()
    assert listed[0].split(None, 1) == ["shop", "done just now, 1 in order"]
    assert listed[1].split(None, 1) == ["saw", "done just now, 1 problem: guard, off"]
    assert len(listed) == 2
    assert "safe" not in ran.out.replace("safety", "")


def test_it_goes_on_where_it_was_left_and_leaves_out_what_is_walked(shop: Program) -> None:
    left = shop("round", typed=lines("opens", "1"))
    assert "goes on with it" in left.err
    again = shop("round", typed=lines("binds", "back", "on"))
    assert "The door?" not in again.out
    assert "Going on at question 2" in again.err
    assert "2 of 2 answered, 2 in order." in again.out
    assert shop("round").out == ""


def test_one_machine_is_walked_when_named(shop: Program) -> None:
    for _ in range(2):  # the second time anew
        ran = shop("round", "saw", typed=lines(PLUG, "on"))
        assert "2 of 2 answered, 2 in order." in ran.out
    assert shop("round", "--list").out.splitlines()[0].split(None, 1)[1] == "not done yet"


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("9",), "there is no answer 9 here: press 1 to 3"),
        (("",), "! type 1 to 3"),
        (("\x1b[2J",), "! type 1 to 3"),
        (("back",), "this is the first question"),
        (("1" * 5000,), "no answer"),
    ],
)
def test_what_is_no_answer_is_refused_and_the_question_stays(
    shop: Program, typed: tuple[str, ...], says: str
) -> None:
    ran = shop("round", "saw", typed=lines(*typed))
    assert says in ran.err
    assert "\x1b" not in ran.err
    assert ran.out.count("Isolate it") == 2


@pytest.mark.parametrize(
    ("machine", "says"),
    [("saww", "did you mean saw"), ("jointer", "no cutter of jointer is told; [[machine.cutter]]")],
)
def test_what_has_no_round_is_refused(shop: Program, machine: str, says: str) -> None:
    ran = shop("round", machine)
    assert (ran.code, says in ran.err) == (2, True)


def test_an_answer_can_tag_the_machine(shop: Program) -> None:
    shop("round", "saw", typed=lines("1", "off", "1"))
    told = shop("status").out
    assert told.startswith("DO NOT USE ")
    assert "guard, off" in told
    assert "safety walk: done just now, 1 problem: guard, off" in told


def test_a_tag_is_put_up_shown_and_cleared(program: Program) -> None:
    ran = program("tag", "jointer", "the guard", "is  off")
    assert (ran.code, "DO NOT USE" in ran.err) == (0, True)
    first, why = program("status").out.splitlines()[:2]
    assert first.startswith("DO NOT USE ")
    assert "(jointer)" in first
    assert "the guard is off" in why
    assert "DO NOT USE: the guard is off" in program("tag", "jointer").out
    assert program("tag", "jointer", "--clear", "guard back on").code == 0
    assert "DO NOT USE" not in program("status").out
    told = program("tag", "jointer").out.splitlines()
    assert told[0].endswith("cleared: guard back on")
    assert told[1].endswith("DO NOT USE: the guard is off")
    assert program("tag", "saw").out == ""


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("jointerr", "x"), "did you mean jointer"),
        (("jointer", ""), "a value is empty"),
        (("jointer", "x" * 201), "201 characters"),
        (("jointer", "\x1b[2J"), "U+001B"),
        (("jointer", "--clear", "x"), "not tagged"),
        (("jointer", "x", "--clear", "y"), "not both"),
        (("jointer", "--clear", " "), "--clear is empty"),
    ],
)
def test_what_cannot_be_tagged_or_cleared_is_refused(
    program: Program, words: tuple[str, ...], says: str
) -> None:
    ran = program("tag", *words)
    assert (ran.code, says in ran.err) == (2, True)
    assert "\x1b" not in ran.err
    assert program("status", "--json").json["machines"][1]["tag"] is None


def test_a_tagged_machine_makes_the_exit_code_1_though_all_is_true(program: Program) -> None:
    for point, answers in (
        *(("saw.blade", BLADE_TRUE), ("saw.fence", FENCE_TRUE), ("jointer.fence", FENCE_TRUE)),
    ):
        program.check(point, answers)
    assert program("status", "--exit-code").code == 0
    program("tag", "saw", "taken apart")
    for words in (("status", "--exit-code"), ("status", "--exit-code", "--json")):
        assert program(*words).code == 1
    assert program("status").code == 0
    data = program("status", "--json").json
    assert data["all_true"] is True
    assert [one["tag"] for one in data["machines"]] == ["taken apart", None]
    program("tag", "saw", "--clear", "put together")
    assert program("status", "--exit-code").code == 0


def test_status_as_json_tells_the_rounds(shop: Program) -> None:
    assert shop("status", "--json").json["safety_round"] is None
    shop("round", typed=lines("sticks", "", "1", "off", "go on"))
    data = shop("status", "--json").json
    assert data["safety_round"]["answered"] == data["safety_round"]["of"] == 1
    saw = data["machines"][0]["safety_round"]
    assert (saw["finished"], saw["answered"], saw["of"]) == (True, 2, 2)
    (wrong,) = saw["not_as_wanted"]
    assert (wrong["question"], wrong["answer"], wrong["when"]) == ("guard", "off", saw["when"])
    assert data["machines"][1]["safety_round"] is None
    assert "daily safety walk of the shop: done just now, 1 problem" in shop("status").out


def test_a_plain_check_of_a_tagged_machine_begins_with_its_words(program: Program) -> None:
    program("tag", "jointer", "the [guard] is off")
    ran = program("check", "jointer.fence", typed=lines("1", ""))
    assert "This machine is tagged DO NOT USE: the [guard] is off" in ran.out
    assert ran.out.index("I have read it") < ran.out.index("Take square and leaves")


def test_a_file_of_answers_must_say_that_the_tag_was_read(program: Program) -> None:
    """It is never assumed; and while there is no tag, there is nothing to read."""
    read = f'tagged = "read"\n{FENCE_TRUE}'
    assert "did not ask for it" in program.check("jointer.fence", read).err
    program("tag", "jointer", "taken apart")
    for more in ((), ("--no-record",)):
        ran = program.check("jointer.fence", FENCE_TRUE, *more)
        assert ran.code == 2
        assert "tagged is missing: This machine is tagged DO NOT USE: taken apart" in ran.err
    assert (
        "not an answer here" in program.check("jointer.fence", f'tagged = "ok"\n{FENCE_TRUE}').err
    )
    assert program("history", "jointer.fence").out == ""
    assert program.check("jointer.fence", read).code == 0
    (kept,) = program("history", "jointer.fence", "--json").json["results"]
    assert kept["verdict"] == "true"


def test_a_tag_without_its_machine_asks_for_the_machine_alone(program: Program) -> None:
    ran = program("tag")
    assert ran.code == 2
    assert ran.err.rstrip().endswith("required: MACHINE")


def test_a_machine_that_is_tagged_already_says_so_and_all_its_tags_are_told(
    program: Program,
) -> None:
    program("tag", "jointer", "odd noise")
    ran = program("tag", "jointer", "smells hot")
    assert "tagged DO NOT USE for this, too. On it already: odd noise." in ran.err
    both = "2 tags: smells hot; odd noise"
    assert f"why: {both}" in program("status").out
    assert program("tag", "jointer").out.startswith(f"DO NOT USE now: {both}.")
    (told,) = (one for one in program("status", "--json").json["machines"] if one["tag"])
    assert (told["tag"], told["tags"]) == (both, ["smells hot", "odd noise"])
    ran = program("tag", "jointer", "--clear", "new bearings")
    assert "2 tags are cleared: smells hot; odd noise." in ran.err
    took = "cleared: new bearings; took off 2 tags: smells hot; odd noise"
    assert took in program("tag", "jointer").out
    assert "DO NOT USE" not in program("status").out
