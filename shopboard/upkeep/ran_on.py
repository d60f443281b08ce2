"""Which machines a project ran on: as it tells itself, and as was recorded while it was made.

Joints do not name every machine: a planer takes all stock to its thickness and shows in none. So a
project may say what else it runs on, use since the project before tells more, and a machine that
no joint can tell of (hand tools, a dust collector) counts as run, but for a bench on which tools
are proven and nothing else. A person has the last word.
"""

from __future__ import annotations

from typing import Literal

from shopboard.journal import Store
from shopboard.journal.kinds import HAPPENING
from shopboard.shop.machine import PROJECT_FINISHED, USES, Machine
from shopboard.shop.model import Shop
from shopboard.shop.project import Project

WhyRan = Literal[
    "no joint tells of it", "use recorded", "by its joints", "as the shop file says", "as you say"
]
"""What tells of a machine that it ran; the first one tells only that nothing says it did not."""


def ran_on(
    shop: Shop, journal: Store, project: Project | None, named: str = ""
) -> dict[str, WhyRan] | None:
    """Tell which machines a project ran on that is finished now.

    Args:
        shop: the shop.
        journal: where use since the project before is looked up.
        project: the project; None: one that is not in the shop file.
        named: id of the machine at which it was said to be finished; empty: none.

    Returns:
        Ids in the order of the shop file, each with why; None where nothing tells of any: it may
        have run on every one.

    Raises:
        JournalError: when the journal cannot be read.
    """
    if project is None or not project.machines:
        return None
    ends = journal.recent(HAPPENING.name, "", PROJECT_FINISHED, 1, include_void=False)
    used = used_between(shop, journal, ends[0].seq if ends else 0, journal.last_seq())
    whys: dict[str, WhyRan] = {
        **{one.id: "no joint tells of it" for one in can_run(shop) if not _shows(one)},
        **dict.fromkeys(used, "use recorded"),
        **dict.fromkeys(project.machines, "by its joints"),
        **dict.fromkeys(project.also_on, "as the shop file says"),
        named: "as you say",
    }
    return {one.id: whys[one.id] for one in shop.machines if one.id in whys}


def can_run(shop: Shop) -> tuple[Machine, ...]:
    """Give the machines that work can run on: not a bench on which tools are proven alone."""
    return tuple(
        one
        for one in shop.machines
        if one.tasks
        or one.cutters
        or not all(point.proves for point in one.points)
        or not one.points
    )


def _shows(machine: Machine) -> bool:
    """Tell whether a joint can tell of a machine: some point of it shows in a cut."""
    return any(point.shows_in for point in machine.points)


def used_between(shop: Shop, journal: Store, after: int, upto: int) -> list[str]:
    """Give the ids of the machines of which use was recorded between two entries, by number.

    Raises:
        JournalError: when the journal cannot be read.
    """
    return [one.id for one in shop.machines if last_use(journal, one.id, upto) > after]


def last_use(journal: Store, machine: str, upto: int) -> int:
    """Give the number of the newest entry up to one that tells of a machine's use; 0: none.

    Raises:
        JournalError: when the journal cannot be read.
    """
    found = (
        one for use in USES for one in journal.between(HAPPENING.name, machine, use, 0, upto, 20)
    )
    return max((one.seq for one in found if one.void is None), default=0)
