"""A shop's life, entry by entry: checks, moves, happenings, tasks, voids, and a clock that errs."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from typing import NamedTuple

from hypothesis import strategies as st

from shopboard.checks import registry
from shopboard.journal import NewEntry, SqliteJournal, Store
from shopboard.shop.machine import HAPPENINGS, Cutter, Point, Task
from shopboard.shop.model import Shop
from tests.builders import check_body, make_point, make_shop
from tests.journal.helpers import Clock

EARLIEST, LATEST = datetime(1970, 1, 1, tzinfo=UTC), datetime(2099, 12, 31, tzinfo=UTC)
"""Where a clock stands that has lost its battery, and one that somebody set in a hurry."""

READING = {"refused": "0.030in", "lever": "6in", "light": "top", "tolerance": "0.1deg"}
BODIES = [
    check_body(registry.method("square").reckon({"goes": goes, **READING}), "as-found")
    for goes in ("0.001in", "0.025in")
]
"""Of a result that proves nothing, and of one that is out."""

TRUE_BODY = check_body(
    registry.method("square").reckon(
        {"goes": "0.001in", "refused": "0.0015in", "lever": "6in", "light": "top",
         "tolerance": "0.1deg"}
    ),
    "as-found",
)  # fmt: skip

POINTS = ("saw.blade", "saw.fence", "planer.bed", "jointer.fence")
"""The fence of the saw rests on its blade."""


def shop_of(was: Mapping[str, tuple[str, ...]] | None = None) -> Shop:
    """A shop of three machines with a task and a cutter each, and the points of POINTS.

    Args:
        was: old ids, by the id of a machine, a task or a cutter, or by a point's full name.
    """
    old = was or {}
    made: list[Point] = []
    for name in POINTS:
        undone = ("knocked", "blade changed")
        point = make_point(
            name, undone_by=undone, every_days=30, every="30 days", was=old.get(name, ())
        )
        made.append(point)
    made[1] = made[1]._replace(rests_on=(POINTS[0],))
    shop = make_shop(*made)
    machines = tuple(
        one._replace(
            tasks=(Task("wax", "Wax", every_days=28, was=old.get("wax", ())),),
            cutters=(
                Cutter("rip", "Rip blade", "on the machine", "sharp", was=old.get("rip", ())),
            ),
            was=old.get(one.id, ()),
        )
        for one in shop.machines
    )
    return replace(shop, machines=machines)


class Act(NamedTuple):
    """Something that is recorded."""

    what: str
    where: int
    """Which point of POINTS, or whose machine."""
    which: int
    """Which body, happening, or entry to void."""
    hours: float
    """That pass before it."""
    back: float = 0.0
    """Days that the clock is set back, or forth, before it."""


ACTS = st.builds(
    Act,
    what=st.sampled_from(
        ("check", "check", "check", "moved", "happening", "task", "cutter", "tag", "void",
         "begin", "end")
    ),
    where=st.integers(0, len(POINTS) - 1),
    which=st.integers(0, 11),
    hours=st.floats(0, 24 * 20, allow_nan=False),
    back=st.just(0.0),
)  # fmt: skip

LIVES = st.lists(ACTS, min_size=1, max_size=30)

ERRING = st.lists(
    st.builds(
        Act,
        what=st.sampled_from(["check", "moved", "happening", "void"]),
        where=st.integers(0, len(POINTS) - 1),
        which=st.integers(0, 11),
        hours=st.floats(0, 24 * 20, allow_nan=False),
        back=st.sampled_from([0.0, 0.0, 0.0, 0.001, 5.0, -400.0, 400.0, 20_000.0]),
    ),
    min_size=1,
    max_size=25,
)
"""Lives with a clock that is set back and forth."""


def entry(act: Act, number: int, points: Sequence[str], opened: list[str]) -> NewEntry | None:
    """Give the entry of an act; None when there is nothing to end.

    Args:
        act: the act.
        number: of the entry, for its uid.
        points: full names, in the order of POINTS; of any others, tasks and cutters have
            their old names, too.
        opened: uids of visits that are open; changed.
    """
    machine, _, point = points[act.where].partition(".")
    uid = f"entry-{number}"
    if act.what == "check":
        body = [*BODIES, TRUE_BODY, TRUE_BODY][act.which % 4]
        return NewEntry(uid, "check", machine, point, body)
    if act.what == "happening":
        what = HAPPENINGS[act.which % len(HAPPENINGS)]
        return NewEntry(uid, "happening", machine, what, {"v": 1, "what": what, "total": number})
    if act.what == "task":
        task = "wax" if points is POINTS else "waxing"
        return NewEntry(uid, "task", machine, task, {"v": 1, "minutes": 0, "projects": 0})
    if act.what == "cutter":
        cutter = "rip" if points is POINTS else "ripper"
        return NewEntry(uid, "cutter", machine, cutter, {"v": 1, "state": "dull"})
    if act.what == "tag":
        body = {"v": 1, "out_of_use": act.which % 2 == 0, "why": "no guard"}
        return NewEntry(uid, "tag", machine, "", body)
    if act.what == "begin":
        opened.append(uid)
        return NewEntry(uid, "begin", machine, point, {"v": 1, "method": "square"})
    if act.what == "end":
        if not opened:
            return None
        return NewEntry(uid, "end", machine, point, {"v": 1}, opened.pop(act.which % len(opened)))
    return NewEntry(uid, "moved", machine, point, {"v": 1})


def live(
    journal: SqliteJournal,
    clock: Clock,
    acts: Sequence[Act],
    names_at: Callable[[int], Sequence[str]] = lambda _: POINTS,
    after_each: Callable[[Store], None] = lambda _: None,
) -> None:
    """Record a life.

    Args:
        journal: where.
        clock: its clock.
        acts: what is recorded.
        names_at: full names, in the order of POINTS, by the number of the act.
        after_each: called after every entry.
    """
    opened: list[str] = []
    voided: set[str] = set()
    made: list[str] = []
    for number, act in enumerate(acts):
        clock.pass_by(hours=act.hours, days=-act.back)
        clock.now = min(max(clock.now, EARLIEST), LATEST)
        if act.what == "void":
            left = [uid for uid in made if uid not in voided]
            if not left:
                continue
            uid = left[act.which % len(left)]
            voided.add(uid)
            target = journal.get(uid)
            assert target is not None
            body = {"v": 1, "reason": "by mistake"}
            place = (target.machine, target.point)
            journal.append([NewEntry(f"entry-{number}", "void", *place, body, uid)])
        else:
            new = entry(act, number, names_at(number), opened)
            if new is None:
                continue
            made.append(new.uid)
            journal.append([new])
        after_each(journal)
