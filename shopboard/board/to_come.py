"""The projects of the shop file in the order in which they are listed, and which are finished."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from shopboard.base.light_tuple import NamedTuple
from shopboard.open_shop import OpenShop
from shopboard.prep.last_project import finished_days, to_come_first
from shopboard.prep.needs_words import date_words
from shopboard.shop.project import Project

NO_PROJECT = "there is no project in the shop file: e on the board adds one"
"""Said where one is asked for."""


class ToCome(NamedTuple):
    """Projects, those to come before the finished ones."""

    projects: tuple[Project, ...]
    over: Mapping[str, date]
    """On which day those were finished that are, by id."""

    def after(self, name: str) -> str:
        """Give the id behind one; before the first and behind the last stands an empty one."""
        names = ["", *(one.id for one in self.projects)]
        at = names.index(name) if name in names else 0
        return names[(at + 1) % len(names)]

    def finished_words(self, name: str) -> str:
        """Say that a project was finished; empty where it is still to come."""
        day = self.over.get(name)
        return f"That project was finished on {date_words(day)}." if day is not None else ""


def to_come(open_shop: OpenShop) -> ToCome:
    """Give the projects of a shop; kept until shop or journal change.

    Raises:
        JournalError: when the journal cannot be read.
    """
    kept: dict[str, ToCome] = open_shop.kept("projects to come")
    if not kept:
        asked = (open_shop.journal, open_shop.shop)
        kept[""] = ToCome(to_come_first(*asked), finished_days(*asked))
    return kept[""]
