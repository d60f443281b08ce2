"""The program as a person or a script runs it, on a shop of three points."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

from shopboard.cli import main
from shopboard.journal import open_journal
from shopboard.open_shop import utc_now

SHOP = """\
[shop]
name = "The old boathouse"
unit = "inch"

[[drawer.square]]
id = "square-6"
name = "Square, 6 in"
length = "6 in"
grade = "0"

[[drawer.feeler]]
id = "leaves"
name = "Feeler set"
leaves = [".0015 in", ".002 in", ".003 in", ".004 in", ".006 in", ".008 in", ".010 in", ".012 in",
    ".015 in", ".020 in"]

[[machine]]
id = "saw"
name = "Table saw"

[[machine.point]]
id = "blade"
name = "Blade at 90"
check = "square"
datum = "table"
face = "blade plate"
lever = "6 in"
turn = "other side"
light_at_top = "the blade leans out"
light_at_bottom = "the blade leans in"
tolerance = "0.1 deg"
undone_by = ["blade changed"]
cutter_near = true
lock = "the tilt lock"

[machine.point.adjuster]
kind = "screw"
name = "the stop screw"
thread = "1/4-20"
arm = "18 in"
clockwise = "toward"

[[machine.point]]
id = "fence"
name = "Rip fence [face]"
check = "square"
datum = "table"
face = "fence face"
lever = "4 in"
tolerance = "0.2 deg"
rests_on = ["blade"]

[[machine]]
id = "jointer"
name = "Jointer"

[[machine.point]]
id = "fence"
name = "Fence at 90"
check = "square"
datum = "outfeed table"
face = "fence"
lever = "4 in"
tolerance = "0.2 deg"
"""

FENCE_TRUE = 'light = "none"\nboth = "neither"\n'
FENCE_OUT = 'light = "top"\ngoes = ".040"\nrefused = ".042"\n'
BLADE_TRUE = f'unplugged = "plug out"\n{FENCE_TRUE}'


@dataclass(frozen=True)
class Ran:
    """What a run printed, and its exit code."""

    code: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """What was printed, as data; the forms that JSON knows not (NaN) are refused."""
        return json.loads(self.out, parse_constant=lambda name: pytest.fail(f"{name} in JSON"))


@dataclass(frozen=True)
class Program:
    """The program at a shop and a journal of its own."""

    folder: Path
    capsys: pytest.CaptureFixture[str]
    monkeypatch: pytest.MonkeyPatch

    def __post_init__(self) -> None:
        """Begin the journal: the program makes none at a place that is named."""
        open_journal(self.journal, utc_now).close()

    @property
    def shop(self) -> Path:
        return self.folder / "shop.toml"

    @property
    def journal(self) -> Path:
        return self.folder / "journal.sqlite3"

    def bare(self, *words: str, typed: str = "") -> Ran:
        """Run with exactly these words; `typed` is what stands on standard input."""
        self.monkeypatch.setattr(sys, "stdin", io.StringIO(typed))
        self.capsys.readouterr()
        code = main(words)
        said = self.capsys.readouterr()
        assert "Traceback" not in said.out + said.err
        return Ran(code, said.out, said.err)

    def __call__(self, *words: str, typed: str = "") -> Ran:
        """Run on this shop and journal."""
        places = ("--shop", str(self.shop), "--journal", str(self.journal))
        return self.bare(*words, *places, typed=typed)

    def write(self, name: str, text: str) -> str:
        """Put a file into the folder; give its path."""
        path = self.folder / name
        path.write_text(text, encoding="utf-8")
        return str(path)

    def results(self, point: str, *more: str) -> Any:
        """The results of a point as JSON tells them, newest first."""
        return self("history", point, *more, "--json").json["results"]

    def check(self, point: str, answers: str, *more: str) -> Ran:
        """Run a check from a file of answers."""
        return self("check", point, "--answers", self.write("answers.toml", answers), *more)


def process(*words: str, **more: Any) -> subprocess.CompletedProcess[bytes]:
    """Run the program as a process of its own."""
    root = Path(__file__).parents[2]
    env = {**os.environ, "PYTHONPATH": str(root), **more.pop("env", {})}
    command = [sys.executable, "-m", "shopboard", *words]
    more.setdefault("stdout", subprocess.PIPE)
    more.setdefault("stdin", subprocess.DEVNULL)
    more.setdefault("stderr", subprocess.PIPE)
    return subprocess.run(command, env=env, timeout=60, check=False, **more)
