"""What is wrong with a value by itself, told where it is typed and not at the end."""

from __future__ import annotations

from collections.abc import Sequence

from shopboard.checks.registry import facts, names
from shopboard.metrology.units import Unit
from shopboard.shop.declared import sorts
from shopboard.shop.problems import Problem
from shopboard.shop.report import RefusedError, Report, Spot
from shopboard.writing.meant import readings


def refused_alone(table: str, key: str, words: Sequence[str], unit: Unit) -> str:
    """Say why words cannot stand at a key, whatever stands beside it; empty: they may."""
    kind, why = sorts()[table].keys[key].asked.kind, ""
    if kind is None:
        return ""
    found = readings(words)
    if kind.allowed().schema.get("type") == "string":  # never told to put it in quotes: it is typed
        found.sort(key=lambda one: not isinstance(one.value, str))
    for one in found:
        report = Report(names(), facts())
        report.unit, report.unit_known = unit, True
        try:
            kind.read_alone(one.value, Spot((key,), report))
        except RefusedError as no:
            why = why or Problem(1, 1, no.what, no.allowed, no.hint).sentence
        else:
            return ""
    return why
