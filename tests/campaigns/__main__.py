"""Runs a campaign from the command line, or lists them all."""

from __future__ import annotations

import argparse
import os
import sys
import tempfile
from pathlib import Path

import pytest

from tests.campaigns.frame import Campaign, named, names, outcomes
from tests.own_folders import SET_BY_USERS, own_folders


def main() -> int:
    """Give 0 where every try went well, 1 where one failed, 2 where it cannot run here."""
    parser = argparse.ArgumentParser(prog="python -m tests.campaigns", description=__doc__)
    parser.add_argument("name", nargs="?", choices=names(), help="without it: all, with counts")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, help="how many tries")
    parser.add_argument("--only", type=int, metavar="INDEX", help="this one try")
    asked = parser.parse_args()
    if asked.name is None:
        for name in names():
            campaign, about = named(name)
            _say(f"{name:18}{campaign.count:9,}  {about}")
        return 0
    campaign, _ = named(asked.name)
    count = campaign.count if asked.count is None else asked.count
    which = range(count) if asked.only is None else range(asked.only, asked.only + 1)
    with tempfile.TemporaryDirectory() as home:
        for word in SET_BY_USERS:
            os.environ.pop(word, None)
        os.environ.update(own_folders(Path(home)))
        return _run(asked.name, campaign, asked.seed, which)


def _run(name: str, campaign: Campaign, seed: int, which: range) -> int:
    tried = failed = 0
    code = 0
    try:
        for tried, failure in enumerate(outcomes(campaign, seed, which), 1):
            if failure is not None:
                failed += 1
                again = f"python -m tests.campaigns {name} --seed {seed} --only {failure.index}"
                _say(f"{name} {failure.index}: {failure.what.strip()}\nagain: {again}")
            if sys.stderr.isatty():
                sys.stderr.write(f"\r{tried:,} of {len(which):,}\r")
    except pytest.skip.Exception as reason:
        _say(f"{name}: cannot run here: {reason}")
        return 2
    except KeyboardInterrupt:
        code = 130
    _say(f"{name}: {tried} tried, seed {seed}, {failed} failed")
    return code or int(failed > 0)


def _say(line: str) -> None:
    sys.stdout.write(f"{line}\n")
    sys.stdout.flush()


if __name__ == "__main__":
    sys.exit(main())
