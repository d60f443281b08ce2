"""Hints at the place in the shop file where `was` would give records their new name."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path as FilePath

from shopboard.base.light_tuple import NamedTuple
from shopboard.shop.files import UnreadableFileError, decode, read_bytes
from shopboard.shop.locate import locate
from shopboard.shop.model import Shop
from shopboard.shop.problems import Problem
from shopboard.shop.report import Fault, Path
from shopboard.upkeep.retired import Retired, RetiredSort


class Hint(NamedTuple):
    """A name that probably changed."""

    retired: Retired
    problem: Problem


def hint_words(one: Retired) -> tuple[str, str]:
    """Give what was noticed, and what to write when the guess is right."""
    guess = f"did it become {one.became}? {one.remedy}"
    return f"records of {one.about} are not in the file", guess


def rename_hints(shop_file: FilePath, shop: Shop, retired: Sequence[Retired]) -> tuple[Hint, ...]:
    """Give a warning for everything retired that has a likely successor, at the id of that.

    Args:
        shop_file: path of the file that the shop was read from; it is read again for the places.
        shop: the shop.
        retired: what is on record under names that are not in the file.
    """
    likely = {hint_words(one)[0]: one for one in retired if one.became}
    if not likely:
        return ()
    paths: dict[tuple[RetiredSort, str], Path] = {}
    for i, machine in enumerate(shop.machines):
        paths["point", machine.id] = ("machine", i, "id")
        for j, point in enumerate(machine.points):
            paths["point", point.full_name] = ("machine", i, "point", j, "id")
        for j, task in enumerate(machine.tasks):
            paths["task", f"{machine.id}.{task.id}"] = ("machine", i, "task", j, "id")
        for j, cutter in enumerate(machine.cutters):
            paths["cutter", f"{machine.id}.{cutter.id}"] = ("machine", i, "cutter", j, "id")
    findings = [
        Fault(paths[one.sort, one.became], what, hint=hint_words(one)[1], severity="warning")
        for what, one in likely.items()
    ]
    try:
        text = decode(read_bytes(shop_file)[0])
    except UnreadableFileError:
        return ()  # it is being written; the next look finds it
    return tuple(Hint(likely[problem.what], problem) for problem in locate(findings, text))
