"""Changes the code a little, many times, and asks the tests of its own room whether they see it.

Each mutant is drawn by the seed. It runs against the tests that call its function, the quickest
first, in a copy of the project; one that no test sees is printed, with what it was.
"""

from __future__ import annotations

import argparse
import hashlib
import json
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

import platformdirs

from tests.mutants.seen import WRITTEN_TO, Ran
from tests.mutants.sites import Mutant, mutants_of

TOP = Path(__file__).parents[2]
USUAL = ("metrology", "checks", "prep", "journal", "standing")
"""Rooms that are looked at when none is named."""

HALL = "hall"
"""The modules that are in no room."""

MOST_SECONDS = 40.0
"""Of tests for one mutant."""

ALIKE = Path(__file__).with_name("alike.txt")
"""Mutants that change nothing that can be seen, a line each: what it is, and why."""


UNCHANGED = Mutant("shopboard/__init__.py", 0, "", 0, 0, "", "", "")


def rooms() -> dict[str, tuple[str, str]]:
    """Give of each room its modules and its own tests; one without a folder has those of none."""
    found = {HALL: ("*.py", "tests/test_*.py")}
    for one in sorted((TOP / "shopboard").iterdir()):
        if (one / "__init__.py").exists():
            own = f"tests/{one.name}" if (TOP / "tests" / one.name).exists() else "tests/test_*.py"
            found[one.name] = (f"{one.name}/**/*.py", own)
    return found


class Timed(NamedTuple):
    """One test of a room."""

    seconds: float
    name: str
    runs: frozenset[str]
    """``file:function`` of all that it calls."""


def tests_of(room: str, folder: Path, only: str) -> list[Timed]:
    """Run the tests of a room, or `only` these, once and unchanged; give what each runs.

    What was found is kept in the cache folder, by file of tests, while the package and the file
    stay as they are.
    """
    own = rooms()[room][1]
    chosen = [one for path in folder.glob(only or own) for one in (path, *path.rglob("*.py"))]
    files = {one for one in chosen if one.name.startswith("test_") and one.is_file()}
    helpers = {*folder.glob(f"{own}/**/*.py"), *folder.glob("tests/*.py")}
    helpers = {one for one in helpers if not one.name.startswith("test_")}
    begun = hashlib.sha256()
    for one in sorted({*helpers, *(folder / "shopboard").rglob("*.py")}):
        begun.update(one.read_bytes())
    kept = platformdirs.user_cache_path("shopboard-mutants")
    kept.mkdir(parents=True, exist_ok=True)
    kept_as: dict[str, Path] = {}
    found: Ran = {}
    for one in sorted(files):
        told = begun.copy()
        told.update(f"{one.relative_to(folder)}\n".encode() + one.read_bytes())
        kept_as[str(one.relative_to(folder))] = kept / f"{told.hexdigest()}.json"
    missing = [name for name, place in kept_as.items() if not place.exists()]
    new, failed = _run_and_listen(missing, folder) if missing else ({}, [])
    found.update(new)
    for name in missing:
        if not any(one.startswith(f"{name}::") for one in failed):
            of_file = {test: ran for test, ran in new.items() if test.startswith(f"{name}::")}
            kept_as[name].write_text(json.dumps(of_file), encoding="utf-8")
    for place in (kept_as[name] for name in kept_as if name not in missing):
        found.update(json.loads(place.read_text(encoding="utf-8")))
    return sorted(Timed(taken, name, frozenset(runs)) for name, (taken, runs) in found.items())


def _run_and_listen(files: list[str], folder: Path) -> tuple[Ran, list[str]]:
    """Run files of tests; give what each test that passes runs, and which do not pass."""
    seen = folder.parent / "seen.json"
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider"]
    command += ["-p", "tests.mutants.seen", "-m", "not root", *files]
    env = {**os.environ, WRITTEN_TO: str(seen), "PYTHONPATH": str(folder)}
    subprocess.run(command, cwd=folder, env=env, check=False, stdout=subprocess.DEVNULL)
    passed, failed = json.loads(seen.read_text(encoding="utf-8"))
    return passed, failed


def concerned(mutant: Mutant, tests: Sequence[Timed]) -> list[Timed]:
    """Give the tests that run a mutant's function; where it is in none, all, its module's first.

    What is only read, such as a limit or a row of a table, is seen by whoever goes by it.
    """
    where = f"{mutant.file}:{mutant.function}"
    found = [one for one in tests if where in one.runs] if mutant.function else []
    if not found:
        here = f"{mutant.file}:"
        found = sorted(tests, key=lambda test: not any(one.startswith(here) for one in test.runs))
    chosen, left = [], MOST_SECONDS
    for one in found:
        left -= one.seconds
        chosen.append(one)
        if left < 0:
            break
    return chosen


def is_seen(mutant: Mutant, tests: Sequence[Timed], folder: Path) -> bool:
    """Tell whether a test fails with a mutant; also where it hangs."""
    path = folder / mutant.file
    source, was = path.read_bytes(), path.stat()
    path.write_bytes(mutant.applied(source))
    child = os.fork()
    if child == 0:
        _run_tests([one.name for one in tests], folder)
    try:
        return _ended(child, 30 + 4 * sum(one.seconds for one in tests)) != 0
    finally:
        path.write_bytes(source)
        os.utime(path, ns=(was.st_atime_ns, was.st_mtime_ns))  # what was compiled of it counts


def _run_tests(names: Sequence[str], folder: Path) -> None:
    """Run tests in a process of their own, which has the large libraries already."""
    code = 1
    try:
        os.setsid()
        os.chdir(folder)
        os.environ["PYTHONPATH"] = str(folder)  # of the programs that a test starts
        nowhere = os.open(os.devnull, os.O_RDWR)
        for number in range(3):
            os.dup2(nowhere, number)
        sys.path[:] = [str(folder), *(one for one in sys.path if Path(one or ".") != TOP)]
        for name in [one for one in sys.modules if one.partition(".")[0] in ("tests", "shopboard")]:
            del sys.modules[name]
        import pytest

        code = int(pytest.main(["-x", "-q", "-p", "no:cacheprovider", *names]))
    finally:
        os._exit(code)


def _ended(child: int, seconds: float) -> int:
    """Wait for a process; give its status, 1 where it took too long."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        pid, status = os.waitpid(child, os.WNOHANG)
        if pid:
            return os.waitstatus_to_exitcode(status)
        time.sleep(0.02)
    os.killpg(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return 1


def alike() -> set[str]:
    """Give the mutants that change nothing that can be seen."""
    lines = ALIKE.read_text(encoding="utf-8").splitlines() if ALIKE.exists() else []
    return {line.rpartition(" # ")[0].strip() for line in lines}


def gone(known: set[str]) -> list[str]:
    """Give what is listed and is no mutant any more: it counts again, unless it is mended."""
    every = (one for path in (TOP / "shopboard").rglob("*.py") for one in mutants_of(TOP, path))
    return sorted(known - {one.key for one in every})


def main() -> int:
    """Give 0 where at least nine of ten were seen in every room."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutants", description=__doc__)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=500)
    known_rooms = rooms()
    usual = [one for one in USUAL if one in known_rooms]
    parser.add_argument("--room", choices=known_rooms, nargs="+", default=usual)
    parser.add_argument("--file", default="", help="only of files with this in their name")
    parser.add_argument("--tests", default="", help="only these: tests/checks/test_f*.py")
    asked = parser.parse_args()
    import numpy  # noqa: F401, ICN001  loaded once, before the forks
    import pytest  # noqa: F401
    import scipy.stats  # noqa: F401

    os.environ["PYTHONDONTWRITEBYTECODE"] = "1"
    sys.dont_write_bytecode = True
    pool = {
        room: [
            one
            for path in sorted((TOP / "shopboard").glob(known_rooms[room][0]))
            if asked.file in str(path.relative_to(TOP))
            for one in mutants_of(TOP, path)
        ]
        for room in asked.room
    }
    total, rng = sum(map(len, pool.values())), random.Random(asked.seed)
    known, all_well = alike(), True
    for key in gone(known):
        sys.stderr.write(f"alike.txt: the code no longer reads so: {key}\n")
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "project"
        for part in ("shopboard", "tests"):
            shutil.copytree(TOP / part, folder / part, ignore=shutil.ignore_patterns("__pycache__"))
        for part in ("pyproject.toml", "sample_shop.toml", "README.md", "DEVELOPERS.md"):
            shutil.copy(TOP / part, folder / part)
        for room, mutants in pool.items():
            drawn = rng.sample(
                mutants, min(len(mutants), round(asked.count * len(mutants) / total))
            )
            same = sum(one.key in known for one in drawn)
            drawn = [one for one in drawn if one.key not in known]
            tests, missed = tests_of(room, folder, asked.tests), 0
            first = {one.name.partition("::")[0]: one for one in reversed(tests)}  # the quickest
            sys.dont_write_bytecode = False  # of what is unchanged: compiled once for all mutants
            if first and is_seen(UNCHANGED, sorted(first.values()), folder):
                sys.exit(f"{room}: its tests fail without a change, too")
            sys.dont_write_bytecode = True
            for number, mutant in enumerate(drawn, 1):
                against = concerned(mutant, tests)
                if not against or not is_seen(mutant, against, folder):
                    missed += 1
                    sys.stdout.write(f"not seen: {mutant}  ({len(against)} tests)\n")
                    sys.stdout.flush()
                sys.stderr.write(f"\r{room}: {number} of {len(drawn)}, {missed} not seen ")
            share = 1 - missed / max(len(drawn), 1)
            all_well &= share >= 0.9
            sys.stdout.write(f"{room}: {len(drawn)} mutants, {share:.0%} seen; {same} alike\n")
            sys.stdout.flush()
    return 0 if all_well else 1


if __name__ == "__main__":
    sys.exit(main())
