"""What every campaign shares: tries that follow from seed and index, and the counting of them."""

from __future__ import annotations

import importlib
import pkgutil
import traceback
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass
from random import Random

import tests.campaigns

Try = Callable[[int], str | None]
"""Does the try of an index; gives what is wrong, or nothing. An exception is wrong, too."""


@dataclass(frozen=True, slots=True)
class Campaign:
    """What a module under `tests.campaigns` holds as its `CAMPAIGN`."""

    begin: Callable[[int], AbstractContextManager[Try]]
    """Makes ready, from the seed, what all tries share; clears it away at the end.

    Where this computer lacks what it takes it skips as a test does (`pytest.skip`, `need`).
    """

    count: int
    """How many tries, unless another number is asked for."""

    in_ci: int
    """How many of them CI takes, for a second or two; 0 where making ready takes longer."""


@dataclass(frozen=True, slots=True)
class Failure:
    """A try that went wrong."""

    index: int
    what: str


def names() -> list[str]:
    """Give the names of all campaigns: the modules beside this one that hold a `CAMPAIGN`."""
    found = (one.name for one in pkgutil.iter_modules(tests.campaigns.__path__))
    helps = ("frame", "__main__")
    return sorted(one for one in found if one not in helps and not one.startswith("test_"))


def named(name: str) -> tuple[Campaign, str]:
    """Give a campaign and the line that says what it does."""
    module = importlib.import_module(f"tests.campaigns.{name}")
    campaign: Campaign = module.CAMPAIGN
    return campaign, (module.__doc__ or "").splitlines()[0]


def chance(seed: int, index: int) -> Random:
    """Give the chance of one try: the same for the same seed and index, whatever came before."""
    return Random(f"{seed}:{index}")


def outcomes(campaign: Campaign, seed: int, which: Iterable[int]) -> Iterator[Failure | None]:
    """Do the tries of these indices, each by itself; give a failure or nothing for each."""
    with campaign.begin(seed) as attempt:
        for index in which:
            try:
                what = attempt(index)
            except Exception:  # noqa: BLE001 - whatever comes of a try is told with its index
                what = traceback.format_exc()
            yield Failure(index, what) if what else None


def failures(campaign: Campaign, seed: int, count: int) -> list[Failure]:
    """Do the first so many tries; give those that went wrong."""
    return [one for one in outcomes(campaign, seed, range(count)) if one is not None]
