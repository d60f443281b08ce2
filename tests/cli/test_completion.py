"""Completion and manual page: real shells complete, groff reads, and nothing is left out."""

from __future__ import annotations

import builtins
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from shopboard.commands.arguments import COMMANDS, command_parser
from shopboard.commands.completion import SHELLS
from shopboard.handbook.topics import TOPICS
from tests.cli.program import BLADE_TRUE, Program
from tests.test_imports import PACKAGE

BASH = """
source {script}
COMP_WORDS=({words})
COMP_CWORD=$((${{#COMP_WORDS[@]}} - 1))
COMP_LINE="${{COMP_WORDS[*]}}"
COMP_POINT=${{#COMP_LINE}}
function=$(complete -p shopboard | sed 's/.*-F \\([^ ]*\\).*/\\1/')
$function shopboard "${{COMP_WORDS[COMP_CWORD]}}" "${{COMP_WORDS[COMP_CWORD-1]}}" 2>/dev/null
printf '%s\\n' "${{COMPREPLY[@]}}"
"""


FILES = {"SHOPBOARD_SHOP": "shop.toml", "SHOPBOARD_JOURNAL": "journal.sqlite3"}


def has(shell: str) -> pytest.MarkDecorator:
    return pytest.mark.skipif(shutil.which(shell) is None, reason=f"{shell} is not installed")


def ran(*words: str, cwd: Path) -> subprocess.CompletedProcess[str]:
    return subprocess.run(words, capture_output=True, text=True, check=True, cwd=cwd, timeout=60)


@has("bash")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("shopboard sta", {"status"}),
        ("shopboard wi", {"withdraw"}),
        ("shopboard status --js", {"--json"}),
        ("shopboard sheet --pa", {"--paper"}),
        ("shopboard sheet saw --paper ''", {"a4", "letter"}),
        ("shopboard completion ''", {*SHELLS}),
        ("shopboard help gl", {"glue-up", "glueup"}),
        ("shopboard --shop my_sh", {"my_shop.toml"}),
        ("shopboard frobni", {""}),
    ],
)
def test_bash_completes(program: Program, tmp_path: Path, words: str, offered: set[str]) -> None:
    """By the script as bash itself runs it: commands, options, choices, topics, files."""
    script = tmp_path / "shopboard.bash"
    script.write_text(program.bare("completion", "bash").out, encoding="utf-8")
    (tmp_path / "my_shop.toml").touch()
    done = ran("bash", "-c", BASH.format(script=script, words=words), cwd=tmp_path)
    assert {one.strip() for one in done.stdout.split("\n")[:-1]} == offered


@has("bash")
@pytest.mark.parametrize(
    ("words", "offered"),
    [
        ("shopboard check saw.b", {"saw.blade"}),
        ("shopboard sheet ''", {"saw", "jointer"}),
    ],
)
def test_bash_completes_the_ids_of_the_shop(
    program: Program,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    words: str,
    offered: set[str],
) -> None:
    """Of the shop file that the board would open, asked for when they are wanted."""
    script = tmp_path / "shopboard.bash"
    script.write_text(program.bare("completion", "bash").out, encoding="utf-8")
    program.check("saw.blade", BLADE_TRUE)
    here = "".join(f"export {name}={tmp_path / file}\n" for name, file in FILES.items())
    run = f'shopboard() {{ {sys.executable} -m shopboard "$@"; }}\n'
    monkeypatch.setenv("PYTHONPATH", str(PACKAGE.parent))
    done = ran("bash", "-c", here + run + BASH.format(script=script, words=words), cwd=tmp_path)
    assert {one.strip() for one in done.stdout.split("\n")[:-1]} == offered


@has("bash")
def test_bash_offers_every_command(program: Program, tmp_path: Path) -> None:
    script = tmp_path / "shopboard.bash"
    script.write_text(program.bare("completion", "bash").out, encoding="utf-8")
    done = ran("bash", "-c", BASH.format(script=script, words="shopboard ''"), cwd=tmp_path)
    assert {*COMMANDS} <= {one.strip() for one in done.stdout.split("\n")}


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_other_shells_read_theirs(program: Program, tmp_path: Path, shell: str) -> None:
    """Each names every command; where the shell is there, it finds no error in it."""
    text = program.bare("completion", shell).out
    assert all(re.search(rf"\b{name}\b", text) for name in COMMANDS)
    if shutil.which(shell):
        script = tmp_path / "script"
        script.write_text(text, encoding="utf-8")
        ran(shell, "-n", str(script), cwd=tmp_path)


def test_without_the_library_it_is_said_how_to_get_it(
    program: Program, monkeypatch: pytest.MonkeyPatch
) -> None:
    real = builtins.__import__

    def without(name: str, *more: Any) -> Any:
        if name == "shtab":
            raise ImportError(name)
        return real(name, *more)

    monkeypatch.setattr(builtins, "__import__", without)
    done = program.bare("completion", "bash")
    assert (done.code, done.out) == (2, "")
    assert ".venv/bin/pip install '.[completion]'" in done.err


def test_the_manual_names_every_command_option_and_topic(program: Program) -> None:
    page = program.bare("man").out.replace("\\-", "-").replace("\\e", "\\")
    for name in COMMANDS:
        assert f"\n.SS {name}\n" in page
        for action in command_parser(name)._actions:
            if action.help and "--shop" not in action.option_strings:
                told = [one for one in action.option_strings if one != "--take-back"]
                assert all(one in page for one in told)  # that is the older name of --withdraw
    assert all(f"shopboard help {topic}" in page for topic in TOPICS)
    for section in ("EXAMPLES", "ENVIRONMENT", "EXIT CODES"):
        assert f"\n.SH {section}\n" in page


@has("groff")
def test_groff_reads_the_manual_without_a_warning(program: Program, tmp_path: Path) -> None:
    """Groff -ww: every warning is told."""
    (tmp_path / "shopboard.1").write_text(program.bare("man").out, encoding="utf-8")
    done = ran("groff", "-man", "-ww", "-Tutf8", "-Kutf8", "shopboard.1", cwd=tmp_path)
    assert done.stderr == ""
    assert len(done.stdout.split("\n")) > 300
