"""What to do next in the shop, the worst first. Pure.

First what is not to be used, then what is in progress, what a safety round found, the checks (the
worst point first, but each after the open ones that it rests on), dull cutters, tasks that are due.
The board, the commands and the page on the wall all list this.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection, Iterator, Mapping, Sequence
from types import MappingProxyType
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.base.text import counted, harmless
from shopboard.standing.model import MachineStanding, PointStanding, ShopStanding
from shopboard.standing.next_checks import by_name, worst_first
from shopboard.up_next.under_way import UnderWay
from shopboard.upkeep.cutter_words import blunt_word
from shopboard.upkeep.safety_record import RoundStanding, see_to

NextSort = Literal["tag", "going", "round", "point", "cutter", "task"]
"""What is not to be used, is in progress, is to be looked at again, checked, seen to, done."""

FIRST_FEW = 3
"""Checks that a shop in which nothing is checked begins with."""


class NextItem(NamedTuple):
    """One thing to do."""

    sort: NextSort
    machine: str
    """Id; empty: of the shop as a whole."""
    name: str
    """What it is there: full name of a point, id of a cutter or task."""
    what: str
    """What is to be done, with its name."""
    how: str = ""
    """How, or why."""
    state: str = ""
    """Of a point or a cutter; ``danger`` where a person may be hurt, ``due`` of what waits."""
    going: UnderWay | None = None
    """What is gone on with."""

    @property
    def full_name(self) -> str:
        """Give the name as commands take it: of a point, a cutter, a task, or a machine."""
        name = self.name.rpartition(".")[2]
        return ".".join(filter(None, (self.machine, name)))

    @property
    def words(self) -> str:
        """What is to be done, and how."""
        return _with_how(self.what, self.how)

    @property
    def said(self) -> str:
        """Give the words, and of what is gone on with since when and by whom."""
        return f"{self.words}{self._since}"

    @property
    def named(self) -> str:
        """Give the same, with its name as commands take it."""
        what = f"{self.what} ({self.full_name})" if self.full_name else self.what
        return f"{_with_how(what, self.how)}{self._since}"

    @property
    def _since(self) -> str:
        if self.going is None or not self.going.words:
            return ""
        return f"{', ' if self.going.point else ': '}{harmless(self.going.words)}"

    @property
    def key(self) -> str:
        """What tells it from every other one."""
        return f"{self.sort} {self.machine} {self.name}"


def _with_how(what: str, how: str) -> str:
    return f"{what}: {how}" if how else what


def is_fresh(standing: ShopStanding) -> bool:
    """Tell whether there are points and nothing is known of any yet."""
    points = [one for machine in standing.machines for one in machine.points]
    return bool(points) and all(
        one.record is None and one.state == "unproven" and not one.undone for one in points
    )


def next_items(
    standing: ShopStanding,
    going: Sequence[UnderWay],
    begin: Sequence[str] | None = None,
    settles: Mapping[str, str] = MappingProxyType({}),
) -> list[NextItem]:
    """Give what to do next.

    Args:
        standing: how the shop stands.
        going: what is in progress.
        begin: full names of the checks that a fresh shop begins with; None: not known yet.
        settles: what would settle a point where that is no further check, by its full name.
    """
    urgent = [*_tags(standing), *_going(going), *_rounds(standing)]
    begun = {one.point for one in going}
    first = _to_begin(standing, begin, begun) if is_fresh(standing) else []
    if first:
        return [*urgent, *map(_check, first[:FIRST_FEW])]
    return [
        *urgent,
        *(
            _check(one, settles.get(one.point.full_name, ""))
            for one in worst_first(standing)
            if one.point.full_name not in begun
        ),
        *(item for machine in standing.machines for item in _upkeep(machine)),
    ]


def _to_begin(
    standing: ShopStanding, begin: Sequence[str] | None, begun: Collection[str]
) -> list[PointStanding]:
    """Give what a fresh shop begins with and is not at yet; none where no check can be run."""
    found = by_name(standing)
    proving = sorted(standing.order, key=lambda name: not found[name].point.proves)
    names = proving if begin is None else begin
    return [found[name] for name in names if name in found and name not in begun]


def _tags(standing: ShopStanding) -> Iterator[NextItem]:
    for one in standing.tagged:
        words = harmless(see_to(one.machine.name, one.tag))
        yield NextItem("tag", one.machine.id, "", words, state="danger")


def _going(going: Sequence[UnderWay]) -> Iterator[NextItem]:
    for one in going:
        name = one.point or (one.task.task.id if one.task is not None else "")
        state = "due" if name else "danger"
        what = f"go on with {harmless(one.name)}"
        yield NextItem("going", one.machine, name, what, state=state, going=one)


def _rounds(standing: ShopStanding) -> Iterator[NextItem]:
    rounds = [("", standing.round), *((one.machine.id, one.round) for one in standing.machines)]
    for machine, about in rounds:
        if about is not None and about.wrong:
            yield NextItem("round", machine, "", "look again", _asked(about), "out")


def _asked(about: RoundStanding) -> str:
    return ", ".join(harmless(one.question.replace("-", " ")) for one in about.wrong)


def _check(one: PointStanding, settle: str = "") -> NextItem:
    what = f"{'settle' if settle else one.comes_first} {harmless(one.point.name)}"
    at = one.point.machine, one.point.full_name
    return NextItem("point", *at, what, harmless(settle), one.state)


def _upkeep(machine: MachineStanding) -> Iterator[NextItem]:
    ident = machine.machine.id
    going = machine.changing
    seen_to = () if going is None else (going.cutter, going.off)
    for one in machine.due_off:
        # of a head that serves two modes it is said once, and not of one that is being changed
        if one.machine != ident or one.cutter.id in seen_to:
            continue
        what, state = f"see to {harmless(one.cutter.name)}", "dull" if one.blunt else one.state
        yield NextItem("cutter", ident, one.cutter.id, what, blunt_word(one), state)
    for each in machine.to_do:
        if each.begun is None:
            what = harmless(each.task.name)
            yield NextItem("task", ident, each.task.id, what, state="due")


_SORTS: dict[NextSort, tuple[str, str]] = {
    "tag": ("tag", ""),
    "going": ("thing in progress", "things in progress"),
    "round": ("safety walk", ""),
    "point": ("check", ""),
    "cutter": ("cutter", ""),
    "task": ("task", ""),
}
"""What each is called where they are counted."""


def left_words(items: Sequence[NextItem]) -> str:
    """Count what is not named any more, by its sort: ``5 more checks and 1 task``."""
    many = Counter(one.sort for one in items)
    told = [counted(many[sort], *names) for sort, names in _SORTS.items() if many[sort]]
    told[:1] = [one.replace(" ", " more ", 1) for one in told[:1]]
    return " and ".join(filter(None, (", ".join(told[:-1]), *told[-1:])))
