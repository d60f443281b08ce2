"""What each command prints, as lines and as JSON."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

import pytest

from shopboard.commands import status_lines
from tests.cli.program import BLADE_TRUE, FENCE_OUT, FENCE_TRUE, Program


def states(program: Program) -> dict[str, str]:
    return {one["id"]: one["state"] for one in program("points", "--json").json["points"]}


def test_status_tells_every_machine_worst_first(program: Program) -> None:
    """State first, then the name with its id; a line for each point that is not true."""
    program.check("saw.blade", BLADE_TRUE)
    program.check("saw.fence", FENCE_TRUE)
    program.check("jointer.fence", FENCE_OUT)
    ran = program("status")
    first, point, second, coming = ran.out.splitlines()
    assert re.match(r"out +Jointer.* \(jointer\), checked just now$", first)
    assert re.match(r"  out +.*\(jointer\.fence\): ", point)
    assert re.match(r"true +Table saw \(saw\), checked just now$", second)
    assert re.match(r"next: adjust .*\(jointer\.fence\), \d+ min$", coming)


def test_status_counts_what_is_true_and_ends_where_the_terminal_does(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a terminal of 80 columns no line is longer; in a pipe each stays whole."""
    program.check("saw.blade", BLADE_TRUE)
    piped = program("status").out.splitlines()
    assert "  1 other true" in piped
    program("tag", "saw", "the riving knife is bent and a new one is ordered " * 3)
    monkeypatch.setenv("COLUMNS", "80")
    before = program("status").out
    assert max(map(len, before.splitlines())) > 80
    with monkeypatch.context() as on_terminal:
        on_terminal.setattr(status_lines, "on_terminal", lambda: True)
        told = program("status").out
    assert max(map(len, told.splitlines())) <= 80
    assert told.split() == before.split()


def test_status_as_json_tells_every_point(program: Program) -> None:
    """With the last result and why it stands as it does."""
    program.check("jointer.fence", FENCE_OUT)
    data = program("status", "--json").json
    assert data["schema"] == 1
    assert data["shop"] == "The old boathouse"
    assert data["all_true"] is False
    saw, jointer = data["machines"]
    assert (saw["id"], saw["state"], jointer["state"]) == ("saw", "unproven", "out")
    assert [one["id"] for one in saw["points"]] == ["saw.blade", "saw.fence"]
    assert saw["points"][0]["last"] is None
    assert saw["points"][0]["reason"] == "never checked"
    last = jointer["points"][0]["last"]
    assert last["verdict"] == "out"
    assert last["run"] == "as-found"
    assert datetime.fromisoformat(last["when"]).tzinfo is not None
    assert jointer["points"][0]["tolerance_used"] > 1
    assert jointer["points"][0]["probability"] == pytest.approx(0)


def test_the_exit_code_tells_whether_all_is_true_only_when_asked(program: Program) -> None:
    """1 with --exit-code while anything is not true, 0 when all is."""
    assert program("status").code == 0
    assert program("status", "--exit-code").code == 1
    program.check("saw.blade", BLADE_TRUE)
    program.check("saw.fence", FENCE_TRUE)
    assert program("status", "--exit-code", "--json").code == 1
    program.check("jointer.fence", FENCE_TRUE)
    assert program("status", "--exit-code").code == 0
    assert program("status", "--exit-code", "--json").json["all_true"] is True


def test_points_lists_what_can_be_checked(program: Program) -> None:
    """Id, state, ways of checking, tolerance, name; markup in a name is shown as it is."""
    rows = program("points", "--json").json["points"]
    assert rows[0] == {
        "id": "saw.blade",
        "state": "unproven",
        "checks": ["square"],
        "tolerance": "0.1 deg",
        "name": "Blade at 90",
    }
    plain = program("points").out
    assert len(plain.splitlines()) == 3
    assert "Rip fence [face]" in plain


def test_history_is_newest_first(program: Program) -> None:
    """With error, uncertainty, verdict; --limit keeps the newest."""
    program.check("jointer.fence", FENCE_OUT)
    program.check("jointer.fence", FENCE_TRUE)
    told = program.results("jointer.fence")
    assert [one["verdict"] for one in told] == ["true", "out"]
    assert told[0]["readings"]["square"] == "Square, 6 in"
    assert told[0]["tolerance"] == "0.2 deg"
    assert len(program.results("jointer.fence", "--limit", "1")) == 1
    plain = program("history", "jointer.fence").out.splitlines()
    assert "true" in plain[0]
    assert "+123.0 thou/ft" in plain[1]


def test_no_limit_breaks_the_history(program: Program) -> None:
    """More than a computer counts."""
    program.check("jointer.fence", FENCE_TRUE)
    ran = program("history", "jointer.fence", f"--limit={'9' * 30}", "--json")
    assert ran.code == 0
    assert len(ran.json["results"]) == 1


def test_a_point_without_results_has_an_empty_history(program: Program) -> None:
    ran = program("history", "jointer.fence")
    assert (ran.code, ran.out) == (0, "")


def test_a_result_is_taken_back_by_the_name_that_history_shows(program: Program) -> None:
    """It stays, marked with the reason; the state falls back to the one before."""
    program.check("jointer.fence", FENCE_TRUE)
    program.check("jointer.fence", FENCE_OUT)
    name = program("history", "jointer.fence").out.split()[0]
    assert program("void", "jointer.fence", name, "--reason", "  wrong\n leaf ").code == 0
    assert "WITHDRAWN: wrong leaf" in program("history", "jointer.fence").out
    assert program.results("jointer.fence")[0]["void"] == "wrong leaf"
    assert states(program)["jointer.fence"] == "true"
    again = program("void", "jointer.fence", name, "--reason", "once more")
    assert again.code == 2
    assert "already" in again.err


def test_as_found_and_as_left_of_one_check_have_names_of_their_own(program: Program) -> None:
    """Each can be withdrawn by what history shows of it."""
    answers = (
        f'unplugged = "plug out"\n{FENCE_OUT}next = "adjust"\n'
        f'[left]\nunplugged = "plug out"\n{FENCE_TRUE}'
    )
    program.check("saw.blade", answers)
    names = [line.split()[0] for line in program("history", "saw.blade").out.splitlines()]
    assert len(set(names)) == 2
    assert program("void", "saw.blade", names[0], "--reason", "x").code == 0
    assert [one["void"] for one in program.results("saw.blade")] == ["x", None]
    full = program.results("saw.blade")[1]["uid"]
    assert program("void", "saw.blade", full, "--reason", "y").code == 0


@pytest.mark.parametrize(
    ("uid", "reason", "says"),
    [
        ("", "x", "is empty"),
        ("zzz", "x", "no result begins"),
        ("%", "x", "no result begins"),
        (None, "", "--reason is empty"),
        (None, " \t ", "--reason is empty"),
        (None, "x" * 201, "1 to 200"),
        (None, "\x1b[2J", "plain words"),
        (None, "\u202eright to left", "plain words"),
        (None, "\udcff", "plain words"),
    ],
)
def test_a_void_without_a_result_or_a_reason_is_refused(
    program: Program, uid: str | None, reason: str, says: str
) -> None:
    """And nothing is withdrawn."""
    program.check("jointer.fence", FENCE_TRUE)
    program.check("jointer.fence", FENCE_TRUE)
    uid = program.results("jointer.fence")[0]["uid"] if uid is None else uid
    ran = program("void", "jointer.fence", uid, "--reason", reason)
    assert (ran.code, says in ran.err) == (2, True)
    assert all(one["void"] is None for one in program.results("jointer.fence"))


def test_what_happened_makes_due_what_it_undoes(program: Program) -> None:
    """The blade, and the fence that rests on it."""
    for point, answers in (("saw.blade", BLADE_TRUE), ("saw.fence", FENCE_TRUE)):
        program.check(point, answers)
    assert "nothing" in program("happened", "saw", "knocked").err
    ran = program("happened", "saw", " Blade  changed ")
    assert ran.code == 0
    assert "Blade at 90, Rip fence [face]" in ran.err
    assert states(program) == {
        "saw.blade": "due",
        "saw.fence": "due",
        "jointer.fence": "unproven",
    }


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("saww", "knocked"), "did you mean saw"),
        (("saw", "blade chnged"), "did you mean blade changed"),
        (("saw", "sneezed"), "knives turned"),
    ],
)
def test_what_cannot_have_happened_is_refused(
    program: Program, words: tuple[str, str], says: str
) -> None:
    """No such machine, no such happening; with what was probably meant."""
    ran = program("happened", *words)
    assert ran.code == 2
    assert says in ran.err


def test_proofread_says_how_the_file_is(program: Program) -> None:
    """All right with 0; every problem with its place and 3 otherwise; without a journal."""
    program.journal.unlink()
    good = program.bare("proofread", str(program.shop))
    assert good.code == 0
    assert "2 machines, 3 points" in good.err
    bad = program.write("bad.toml", program.shop.read_text().replace('"6 in"', '"-6 in"'))
    ran = program.bare("proofread", bad)
    assert ran.code == 3
    assert "bad.toml:" in ran.err
    assert not program.journal.exists()
    assert program("proofread").code == 0


def test_proofread_looks_through_files_of_projects(program: Program) -> None:
    """A problem in a file beside the shop file stands under that file's own path."""
    project = '[[project]]\nid = "chest"\nname = "Chest"\n'
    chest = Path(program.write("chest.toml", project))
    text = program.shop.read_text().replace("[shop]\n", '[shop]\nprojects = ["chest.toml"]\n')
    program.write("shop.toml", text)
    good = program.bare("proofread", str(program.shop))
    assert good.code == 0
    assert "3 points, 1 project." in good.err
    assert f"{chest}:1:1: warning: no joint in this project yet" in good.err
    chest.write_text(project + 'colour = "grey"\n', encoding="utf-8")
    bad = program.bare("proofread", str(program.shop))
    assert bad.code == 3
    assert f'{chest}:4:1: "colour" is not a key of [[project]]' in bad.err


def test_verify_looks_through_the_whole_journal(program: Program) -> None:
    """How many entries, and that each is as it was recorded."""
    program.journal.unlink()
    missing = program("verify")
    assert missing.code == 4
    assert not program.journal.exists()
    assert program("status", "--new-journal").code == 0
    program.check("jointer.fence", FENCE_TRUE)
    ran = program("verify")
    assert ran.code == 0
    assert "whole" in ran.err


def test_the_board_without_a_terminal_is_the_plain_status(program: Program) -> None:
    """`shopboard | less` shows lines, no full screen."""
    assert program().out == program("board").out == program("status").out


@pytest.mark.parametrize(("command", "name"), [("export", "CSV"), ("explain", "--schema")])
def test_the_help_of_a_command_keeps_capital_letters(
    program: Program, command: str, name: str
) -> None:
    first = program(command, "--help").out.split("\n\n")[1]
    assert name in first
    assert first[0].isupper()
