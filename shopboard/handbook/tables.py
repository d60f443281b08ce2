"""Tables of the help that are made from what the checks declare, and what each state means."""

from __future__ import annotations

from collections.abc import Iterator

from shopboard.checks import registry
from shopboard.checks.explained import explained
from shopboard.handbook.topics import HelpRow

STATES = {
    "true": "proven within its tolerance",
    "near": "measured; too close to call: the board says what would settle it",
    "out": "proven out of its tolerance",
    "due": "was true, but too old, upset since, or measured with a tool found bad; of a task: "
    "to be done",
    "waits": "measured true by itself, but what it depends on is not: check that first",
    "unproven": "never checked, or moved since, or upset while too close to call",
    "noted": "a note stands, with its date; it judges nothing",
    "kept": "no points to check (hand tools), and none of its tasks is due",
}
"""By the state's name on record: what it means."""


def method_tables() -> dict[str, list[HelpRow]]:
    """Give every way of checking with what it proves and takes, under where it is done."""
    tables: dict[str, list[HelpRow]] = {"at_the_machine": [], "by_a_cut": [], "of_tools": []}
    for name, table, words in _methods():
        tables[table].append(HelpRow(name, words))
    return tables


def _methods() -> Iterator[tuple[str, str, str]]:
    for name in registry.names():
        method, told = registry.method(name), explained(name)
        table = "of_tools" if told.proves else "at_the_machine" if method.hands_near else "by_a_cut"
        takes = "" if told.tools == "-" else f" ({told.tools})"
        yield name, table, f"{told.finds}{takes}"
