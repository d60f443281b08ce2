"""What no work of a prep day settles, each with what would. Pure."""

from __future__ import annotations

from typing import Literal

from shopboard.base.light_tuple import NamedTuple

TWICE = 2
"""Results of one point on one day: a third by the same hands and tools tells nothing new (common
practice, no source)."""


class StaysOpen(NamedTuple):
    """Something that stays open when the day's work is done."""

    sort: Literal["point", "machine", "cutter", "joint"]
    machine: str
    """Id of its machine; empty: it is a joint."""
    target: str
    """Full name of the point or the joint, id of the cutter or the machine."""
    where: str
    """Name of the machine, of a joint that of the project."""
    name: str
    """Name of the point, the cutter or the joint; empty: the whole machine."""
    why: str
    """How it stands."""
    remedy: str
    """What would settle it."""
    in_vain: bool = False
    """Of a joint: the tools at hand cannot prove it, whatever is checked. Where nothing is there
    that shows a cut of it, all else of it can be proven."""

    @property
    def what(self) -> str:
        """Name it, with its place."""
        return ", ".join(filter(None, (self.where, self.name)))

    @property
    def to_settle(self) -> str:
        """Say what would settle it, of a joint in whole sentences; empty: nothing here does."""
        if self.sort == "joint" and self.remedy:
            return f"{self.remedy[0].upper()}{self.remedy[1:].rstrip('.')}."
        return f"To settle it: {self.remedy.rstrip('.')}." if self.remedy else ""

    @property
    def words_here(self) -> str:
        """Say it where its place stands already."""
        named = f"{self.name}: " if self.name else ""
        return f"{named}{self.why.rstrip('.')}. {self.to_settle}".rstrip()

    @property
    def words(self) -> str:
        """Say it in two sentences."""
        return f"{self.what}: {self.why.rstrip('.')}. {self.to_settle}".rstrip()
