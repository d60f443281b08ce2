"""Which project is finished, told by its id on the command line."""

from __future__ import annotations

import json

import pytest

from tests.cli.program import Program
from tests.prep.workshop import SHOP

FINISHED = ("happened", "shop", "project finished")


@pytest.fixture
def loft(program: Program) -> Program:
    """A small workshop with a project, which is cut on its saw."""
    program.write("shop.toml", SHOP)
    return program


def test_it_is_recorded_with_its_name(loft: Program) -> None:
    ran = loft(*FINISHED, "chest")
    assert ran.code == 0
    assert "Recorded: project finished, Blanket chest, ran on Table saw; counted as run" in ran.err
    assert loft(*FINISHED).err.startswith("Recorded: project finished, for every machine.")


def test_what_is_only_supposed_to_have_run_is_said_to_be(loft: Program) -> None:
    """It was said to have run, of machines that no joint tells of, and nobody was asked."""
    told = " ".join(loft(*FINISHED, "chest").err.split())
    assert "counted as run, too, as no joint tells: Jointer, Hand tools (where that" in told
    assert "--ran" in told
    said = loft(*FINISHED, "chest", "--ran", "saw, jointer").err
    assert "ran on Table saw, Jointer." in said
    assert "counted" not in said


BENCH = """
[[machine]]
id = "bench"
name = "Bench"

[[machine.point]]
id = "square"
name = "Square proven"
check = "square-flip"
proves = "square"
tolerance = "4 thou/ft"
"""


def test_the_machine_that_is_named_ran_and_a_bench_where_tools_are_proven_did_not(
    loft: Program,
) -> None:
    """Cut on the saw by its joints; the jointer shows in none of them once its fence says so."""
    fence = 'name = "Jointer fence"\nshows_in = "edge angle"'
    loft.write("shop.toml", SHOP.replace('name = "Jointer fence"', fence) + BENCH)
    told = loft(*FINISHED, "chest").err
    assert "ran on Table saw; counted as run, too, as no joint tells: Hand tools (" in told
    told = loft("happened", "jointer", "project finished", "chest").err
    assert "ran on Table saw, Jointer; counted as run, too, as no joint tells: Hand" in told
    told = loft("happened", "bench", "project finished", "chest", "--ran", "saw").err
    assert "ran on Table saw." in told


def test_what_falls_due_by_a_project_is_told_of_every_machine(loft: Program) -> None:
    """Whichever machine is named: without a project it counts for all of them."""
    text = SHOP.replace('every = "2 weeks"', 'every = "1 project"')
    loft.write("shop.toml", text.replace('every = "8 hours"', 'every = "1 project"'))
    for task in ("jointer.dust", "edges.hone"):
        loft("done", task)
    told = loft("happened", "jointer", "project finished").err
    assert told.startswith("Recorded: project finished, for every machine.")
    assert "Empty the chip bag (Jointer)" in told
    assert "Hone the gouges (Hand tools)" in told


def test_one_that_is_finished_again_says_so(loft: Program) -> None:
    assert "again" not in loft(*FINISHED, "chest").err
    assert "Blanket chest, again (before: " in loft(*FINISHED, "chest").err


def test_one_that_is_not_there_is_refused_with_what_was_meant(loft: Program) -> None:
    ran = loft(*FINISHED, "chst")
    assert (ran.code, "did you mean chest" in ran.err) == (2, True)


def test_the_same_uid_for_another_project_is_refused(loft: Program) -> None:
    uid = ("--uid", "0123456789abcdef0123456789abcdef")
    assert loft(*FINISHED, "chest", *uid).code == 0
    assert "Nothing new" in loft(*FINISHED, "chest", *uid).err
    assert loft(*FINISHED, *uid).code == 2


def test_the_newest_is_withdrawn_without_its_name(loft: Program) -> None:
    loft(*FINISHED, "chest")
    ran = loft(*FINISHED, "chest", "--withdraw", "not yet")
    assert (ran.code, "the newest is withdrawn" in ran.err) == (2, True)
    assert "Withdrawn" in loft(*FINISHED, "--withdraw", "not yet").err


def reason(loft: Program, name: str) -> str:
    """Why a task is due, or when it will be."""
    told = json.loads(loft("status", "--json").out)
    (found,) = (one for each in told["machines"] for one in each["tasks"] if one["id"] == name)
    return str(found["reason"])


def test_which_machines_ran_is_said_by_their_ids(loft: Program) -> None:
    """A task counts the projects that its machine ran in alone."""
    loft.write("shop.toml", SHOP.replace('every = "2 weeks"', 'every = "1 project"'))
    loft("done", "jointer.dust")
    ran = loft(*FINISHED, "chest", "--ran", "saw, edges")
    assert "Recorded: project finished, Blanket chest, ran on Table saw, Hand tools." in ran.err
    assert reason(loft, "jointer.dust").endswith("due in 1 project")
    assert loft(*FINISHED, "--ran", "none").err.startswith(
        "Recorded: project finished, ran on no machine."
    )
    assert reason(loft, "jointer.dust").endswith("due in 1 project")
    loft(*FINISHED, "--ran", "jointer")
    assert reason(loft, "jointer.dust") == "used in 1 project since, every 1 project"
    loft(*FINISHED, "--withdraw", "not yet")
    assert reason(loft, "jointer.dust").endswith("due in 1 project")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((*FINISHED, "--ran", "swa"), "did you mean saw"),
        ((*FINISHED, "--ran", ","), "--ran names no machine"),
        (("happened", "saw", "knocked", "--ran", "saw"), "--ran is of a finished project"),
        ((*FINISHED, "--ran", "saw", "--withdraw", "not yet"), "does not go with --withdraw"),
    ],
)
def test_what_cannot_have_run_is_refused_in_a_sentence(
    loft: Program, words: tuple[str, ...], said: str
) -> None:
    loft(*FINISHED)
    ran = loft(*words)
    assert (ran.code, said in ran.err) == (2, True)


def test_the_same_uid_with_other_machines_is_refused(loft: Program) -> None:
    uid = ("--uid", "0123456789abcdef0123456789abcdef")
    assert loft(*FINISHED, "--ran", "saw", *uid).code == 0
    assert "Nothing new" in loft(*FINISHED, "--ran", "saw", *uid).err
    assert loft(*FINISHED, "--ran", "jointer", *uid).code == 2
