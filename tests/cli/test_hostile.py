"""Text that would drive the terminal, arguments that make no sense, pipes that close."""

from __future__ import annotations

import os
import sys
from contextlib import closing
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopboard.base.text import first_unfit
from shopboard.commands.arguments import COMMANDS
from shopboard.journal import NewEntry, new_uid, open_journal
from tests.cli.program import FENCE_TRUE, Program, Ran, process
from tests.in_turn import part
from tests.journal.helpers import Clock, opened

EVIL = "\x1b]0;owned\x07\x9b31m\u202eevil\u200b\ufeff"
EVIL_TOML = "\\u001b]0;owned\\u0007\\u009b31m\\u202eevil"


def is_harmless(ran: Ran) -> bool:
    """Whether no line holds a character that a terminal obeys or cannot show."""
    lines = [*ran.out.split("\n"), *ran.err.split("\n")]
    return all(first_unfit(line) is None for line in lines)


@pytest.mark.parametrize(
    "words",
    [
        [EVIL],
        ["status", f"--{EVIL}"],
        ["check", EVIL],
        ["check", "saw.blade", "--method", EVIL],
        ["check", "saw.blade", "--answers", EVIL],
        ["history", EVIL],
        ["history", "saw.blade", "--limit", EVIL],
        ["void", "saw.blade", EVIL, "--reason", "x"],
        ["cutters", EVIL],
        ["cutter", EVIL, "dull"],
        ["happened", EVIL, "knocked"],
        ["happened", "saw", EVIL],
        ["proofread", EVIL],
        ["reckon", EVIL],
        ["reckon", "angle", EVIL],
        ["reckon", "square", f"goes={EVIL}"],
        ["reckon", "square", f"{EVIL}=1in"],
        ["reckon", "square", EVIL],
    ],
)
def test_evil_arguments_come_back_harmless(program: Program, words: list[str]) -> None:
    """Escapes, C1 controls, bidi, zero width: shown as code points, never obeyed."""
    ran = program(*words)
    assert ran.code in (2, 3)
    assert ran.err
    assert is_harmless(ran)


@pytest.mark.parametrize("option", ["--shop", "--journal"])
def test_evil_paths_come_back_harmless(program: Program, option: str) -> None:
    """The name of a file may hold anything."""
    other = {"--shop": "--journal", "--journal": "--shop"}[option]
    place = str(program.shop if other == "--shop" else program.journal)
    ran = program.bare("status", option, f"/dev/null/{EVIL}\n", other, place)
    assert ran.code in (3, 4, 6)
    assert is_harmless(ran)


@pytest.mark.parametrize(
    "answers",
    [
        f'light = "{EVIL_TOML}"\n',
        f'"{EVIL_TOML}" = "top"\n{FENCE_TRUE}',
        f'light = "top"\ngoes = "{EVIL_TOML}"\n',
        f'tools = "{EVIL_TOML}"\n',
        f'light = "{EVIL}"\n',
        '"two\\nlines" = "x"\nlight = "none"\nboth = "neither"\n',
    ],
)
def test_evil_answers_come_back_harmless(program: Program, answers: str) -> None:
    """Refused, with nothing of it raw."""
    ran = program.check("jointer.fence", answers)
    assert ran.code == 2
    assert is_harmless(ran)


def test_an_older_journal_is_shown_harmlessly(program: Program) -> None:
    """Whatever an earlier program let through: lines and JSON alike; markup literally."""
    program.check("jointer.fence", FENCE_TRUE)
    journal = open_journal(program.journal, Clock())
    (entry,) = journal.recent("check", "jointer", "fence")
    body = {**entry.body, "lean": f"[red]{EVIL}[/red]", "note": EVIL, "verdict": EVIL}
    journal.append([NewEntry(new_uid(), "check", "jointer", "fence", body)])
    journal.void(entry.uid, EVIL)
    journal.close()
    plain, data = program("history", "jointer.fence"), program("history", "jointer.fence", "--json")
    assert is_harmless(plain)
    assert is_harmless(data)
    assert "[red]" in plain.out
    assert data.json["results"][0]["note"] == EVIL  # nothing is lost in JSON
    assert data.json["results"][1]["void"] == EVIL
    for words in (("status",), ("status", "--json"), ("points",)):
        ran = program(*words)
        assert ran.code == 0
        assert is_harmless(ran)


TOKENS = st.one_of(
    st.sampled_from([*COMMANDS, "saw.blade", "jointer.fence", "saw", "knocked", "square", "angle"]),
    st.sampled_from(["--json", "--exit-code", "--limit", "--answers", "--method", "--no-record"]),
    st.sampled_from(
        ["--reason", "--shop", "--journal", "--help", "--version", "-h", "--", "-", ""]
    ),
    st.sampled_from(
        ["goes=.01in", "refused=.02in", "lever=6in", "light=top", "5thou/ft", "3", "-1"]
    ),
    st.sampled_from(["shop.toml", "answers.toml", ".", "nowhere", "--shop=shop.toml", "--limit=2"]),
    st.text(max_size=6),
)


@given(st.lists(TOKENS, max_size=7))
@settings(
    max_examples=part(150),
    deadline=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
)
def test_no_arguments_at_all_make_it_fall(program: Program, words: list[str]) -> None:
    """Any list of likely and unlikely words: a documented code, harmless words, no traceback."""
    os.chdir(program.folder)
    program.write("answers.toml", FENCE_TRUE)
    os.environ["SHOPBOARD_SHOP"] = str(program.shop)
    os.environ["SHOPBOARD_JOURNAL"] = str(program.journal)
    ran = program.bare(*words, typed="1\nback\n\n")
    assert ran.code in range(7)
    assert is_harmless(ran)
    assert ran.code == 0 or ran.err or ran.code == 1


@pytest.fixture(autouse=True)
def _places(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Put folder and environment back after the test that changes them."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.delenv("SHOPBOARD_SHOP", raising=False)
    monkeypatch.delenv("SHOPBOARD_JOURNAL", raising=False)


def test_shop_and_journal_are_named_before_or_after_the_command_or_by_environment(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The option outweighs the environment."""
    places = ("--shop", str(program.shop), "--journal", str(program.journal))
    wanted = program("points").out
    assert program.bare(*places, "points").out == wanted
    assert program.bare("points", *places).out == wanted
    assert program.bare(f"--shop={program.shop}", "points", *places[2:]).out == wanted
    monkeypatch.setenv("SHOPBOARD_SHOP", str(program.shop))
    monkeypatch.setenv("SHOPBOARD_JOURNAL", str(program.journal))
    assert program.bare("points").out == wanted
    monkeypatch.setenv("SHOPBOARD_SHOP", "nowhere.toml")
    assert program.bare("points").code == 3
    assert program.bare("points", *places[:2]).out == wanted


def test_without_any_place_the_platforms_folders_are_used(
    program: Program, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Here: nothing is there yet, and the message says where the shop file goes."""
    ran = program.bare("status")
    assert ran.code == 3
    assert "shop.toml" in ran.err
    assert str(tmp_path) not in ran.err


def run(program: Program, *words: str) -> list[str]:
    return [*words, "--shop", str(program.shop), "--journal", str(program.journal)]


@pytest.mark.skipif(sys.platform == "win32", reason="Windows has no such pipes")
@pytest.mark.parametrize("words", [["points"], ["--help"], ["reckon", "angle", "5thou/ft"]])
def test_a_pipe_that_closes_is_no_error(program: Program, words: list[str]) -> None:
    """`| head -1`: silent, and 0."""
    read, write = os.pipe()
    os.close(read)
    ran = process(*(run(program, *words) if words == ["points"] else words), stdout=write)
    os.close(write)
    assert (ran.returncode, ran.stderr) == (0, b"")


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
@pytest.mark.parametrize("words", [("happened", "saw", "knocked"), ("verify",), ("tag", "saw")])
def test_words_that_nobody_can_read_make_nothing_fail(
    program: Program, words: tuple[str, ...]
) -> None:
    """`2> file` on a full disk: what was done was done, and the exit code says so."""
    assert program("happened", "saw", "blade changed").code == 0
    with Path("/dev/full").open("wb") as full:
        ran = process(*run(program, *words), stderr=full)
    assert ran.returncode == 0
    with closing(opened(program.journal)) as journal:
        assert journal.count() >= (3 if words[0] == "happened" else 2)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs /dev/full")
def test_a_full_disk_under_the_output_is_told(program: Program) -> None:
    """`> file` on a full disk: 6, in words."""
    with Path("/dev/full").open("wb") as full:
        ran = process(*run(program, "points"), stdout=full)
    assert ran.returncode == 6
    assert b"disk is full" in ran.stderr
    assert len(ran.stderr.splitlines()) == 1


@pytest.mark.skipif(sys.platform == "win32", reason="needs a POSIX shell")
def test_closed_standard_streams_are_no_error(program: Program) -> None:
    """`<&- >&-`, as some job schedulers start programs."""
    for number in (0, 1, 2):
        ran = process(*run(program, "check", "jointer.fence"), preexec_fn=lambda: os.close(number))  # noqa: B023
        assert ran.returncode == 0
        assert b"Traceback" not in ran.stderr


def test_a_terminal_that_knows_only_ascii_still_gets_everything(program: Program) -> None:
    """The drawing in plain characters, the rest with question marks, JSON escaped."""
    env = {"PYTHONIOENCODING": "ascii"}
    ran = process(*run(program, "check", "jointer.fence"), env=env, stdin=None, input=b"\n\n")
    assert ran.returncode == 0
    assert ran.stdout.isascii()
    assert b"outfeed table" in ran.stdout
    data = process("reckon", "angle", "5thou/ft", "--json", env=env)
    assert b"\\u2032" in data.stdout


def test_the_program_is_a_module(program: Program) -> None:
    """`python -m shopboard` is the same program."""
    ran = process(*run(program, "points", "--json"))
    assert ran.returncode == 0
    assert b"saw.blade" in ran.stdout
