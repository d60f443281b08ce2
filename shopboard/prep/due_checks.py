"""The checks that are due, each after what it rests on and after its machine's upkeep. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from functools import partial

from shopboard.base.state_words import state_word
from shopboard.checks import registry
from shopboard.checks.possible import cannot_be_run
from shopboard.prep.job_list import JobList, KnownNow
from shopboard.prep.open_points import ANOTHER_WAY, in_vain, open_point, with_dependents
from shopboard.prep.pieces import Piece, undone_by_change
from shopboard.prep.stays_open import StaysOpen
from shopboard.shop.machine import Point
from shopboard.shop.model import Shop
from shopboard.sittings.point_job import job_for
from shopboard.standing.model import PointStanding, ShopStanding
from shopboard.upkeep.undone import below


def measured_with(shop: Shop, tool: str) -> frozenset[str]:
    """Give the methods that take a tool of that sort: it is proven before they are used."""
    if any(square.id == tool for square in shop.drawer.squares):
        return registry.taking("square")
    others = [one for one in shop.drawer.others if one.id == tool]
    lies = any(one.kind == "straightedge" for one in others)
    return registry.taking("straightedge") if lies else frozenset()


def cannot_be_checked(shop: Shop, point: Point) -> str:
    """Say why a point cannot be checked at all; empty where it can."""
    return cannot_be_run(job_for(shop, point, None), point.checks)


def comes_back(one: PointStanding, standing: ShopStanding) -> bool:
    """Tell whether a point is true again by itself when what it rests on is found true as it is.

    So it is when it waits for a base: measuring it again cannot help. A base that is out or was
    set by a bad tool has to be set; then what rests on it is checked again.
    """
    root = standing.of_point(one.first) if one.state == "waits" else None
    record = one.record
    if root is None or record is None or root.doubted or root.state == "out":
        return False
    # the running of the machine may use it up as well
    return record.holds is None or record.holds.minutes is None


def add_checks(
    jobs: JobList, machines: Collection[str], undone: Mapping[str, tuple[str, ...]]
) -> None:
    """Put in the checks, each after what it rests on and after its machine's upkeep.

    Args:
        jobs: takes them.
        machines: ids of those that are checked.
        undone: by a point, the planned changes of cutter that undo it.
    """
    shop = jobs.present.shop
    chosen = _chosen(jobs, machines, undone)
    rank = _ranks(jobs.present.standing, chosen)
    bases = {name: below(shop.points[name], shop.points) & chosen.keys() for name in rank}
    bare = _with_cutter_off(shop, bases)
    proofs = _proofs(shop, bases)
    for name in rank:
        one = chosen[name]
        machine = one.point.machine
        after = {f"check {base}": 0.0 for base in sorted(bases[name], key=rank.__getitem__)}
        gates = undone.get(name, ()) if one.point.guards else _gates(jobs, machine, bases[name])
        after |= dict.fromkeys(gates, 0.0)
        if not one.point.proves:
            mine = {*one.point.checks}
            after |= {f"check {tool}": 0.0 for tool, uses in proofs.items() if uses & mine}
        bares = one.point.cutter_off
        if not bares and undone_by_change(one.point):
            after |= {f"check {other}": 0.0 for other in bare.get(machine, ())}
        changes = _undoing(jobs.present, one, undone)
        after |= dict.fromkeys(changes, 0.0)
        jobs.add(
            _check(jobs.present, one, changes)._replace(brought_by=undone.get(name, ())),
            tuple(after.items()),
            opens=machine if bares else "",
            closes=machine if bares else "",
        )
    _guards_first(jobs, chosen)


def _guards_first(jobs: JobList, chosen: Mapping[str, PointStanding]) -> None:
    """Let what guards a person be looked at before anything else is measured, or cut, there.

    It waits for no upkeep, only for the change of cutter that undoes it.
    """
    for name, one in chosen.items():
        if one.point.guards:
            for other, each in chosen.items():
                if each.point.machine == one.point.machine and not each.point.guards:
                    jobs.put_after(f"check {other}", f"check {name}")


def _gates(jobs: JobList, machine: str, bases: Collection[str]) -> Sequence[str]:
    """Give the upkeep that a check waits for; none where a base of the same machine does.

    The one in hand waits for no upkeep.
    """
    points, in_hand = jobs.present.shop.points, jobs.present.in_hand
    waits = any(points[base].machine == machine and base != in_hand for base in bases)
    return () if waits else jobs.gates.get(machine, ())


def _undoing(
    present: KnownNow, one: PointStanding, undone: Mapping[str, tuple[str, ...]]
) -> tuple[str, ...]:
    """Give the planned changes that undo a check, where it is not due anyway."""
    name = one.point.full_name
    return () if one.is_open or name in present.to_check else undone.get(name, ())


def _chosen(
    jobs: JobList, machines: Collection[str], undone: Collection[str]
) -> dict[str, PointStanding]:
    """Choose what is checked of what is due; say of the rest why not, and what stays open."""
    present = jobs.present
    cannot_run = present.cannot_run or partial(cannot_be_checked, present.shop)
    chosen: dict[str, PointStanding] = {}
    opens: dict[str, StaysOpen] = {}
    back: list[PointStanding] = []
    enough: list[PointStanding] = []
    sure = {*undone, present.in_hand}
    for one in _due(present, machines, undone):
        point, name = one.point, one.point.full_name
        if why := cannot_run(point):
            why = f"cannot be checked: {why}"
            opens[name] = open_point(present, one, why, ANOTHER_WAY)
        elif name in sure:
            chosen[name] = one
        elif name in (present.needed or ()) and name not in present.to_check:
            enough.append(one)
        elif comes_back(one, present.standing):
            back.append(one)
        elif found := in_vain(present, one):
            opens[name] = found
        else:
            chosen[name] = one
    jobs.left_out += _good_enough(present, enough)
    waiting = [one for one in back if one.first not in chosen]
    jobs.stays_open += with_dependents(present, opens, waiting)
    if again := [one.point.name for one in back if one.first in chosen]:
        rest = "it depends" if len(again) == 1 else "they depend"
        jobs.left_out.append(f"True again once what {rest} on is: {', '.join(again)}.")
    return chosen


def _good_enough(present: KnownNow, points: Sequence[PointStanding]) -> Iterator[str]:
    """Name what is not true and does for the project all the same."""
    names = [
        f"{present.shop.machines_by_id[one.point.machine].name}: {one.point.name}"
        for one in points
        if one.point.full_name not in present.not_enough
    ]
    if names:
        yield f"Not true, but good enough for this project: {', '.join(names)}."


def _due(
    present: KnownNow, machines: Collection[str], undone: Collection[str]
) -> Iterator[PointStanding]:
    """Give what on these machines is not as it should be, will be undone, or is asked for.

    So it gives what was begun, however it stands: it is finished before its machine is left.
    """
    needed = present.needed or ()
    used = {name.partition(".")[0] for name in needed}
    wanted, asked = {*needed, present.in_hand}, {*undone, *present.to_check, present.in_hand}
    for name, point in present.shop.points.items():
        if point.machine not in machines:
            continue
        # a riving knife shows in no joint: it is looked at behind each blade that goes on; and what
        # a machine does to the wood shows in none where it only takes it to thickness
        shows = point.shows_in or point.machine not in used
        beside = name in undone and (point.guards or not shows)
        beside = beside or point.machine in present.runs_on
        if present.needed is not None and name not in wanted and not beside:
            continue
        one = present.standing.of_point(name)
        if one is not None and (one.is_open or name in asked):
            yield one


def _ranks(standing: ShopStanding, chosen: Collection[str]) -> dict[str, int]:
    """Give the checks in the order in which the board names them, each with its place."""
    order = dict.fromkeys((*(name for name in standing.order if name in chosen), *chosen))
    return {name: at for at, name in enumerate(order)}


def _with_cutter_off(shop: Shop, bases: Mapping[str, Collection[str]]) -> dict[str, list[str]]:
    """Give, by machine, the checks with the cutter off: they come before what they undo.

    One that itself rests on what it undoes cannot come before all of that.
    """
    bare: dict[str, list[str]] = {}
    for name, under in bases.items():
        point = shop.points[name]
        if point.cutter_off and not any(undone_by_change(shop.points[base]) for base in under):
            bare.setdefault(point.machine, []).append(name)
    return bare


def _proofs(shop: Shop, bases: Mapping[str, Collection[str]]) -> dict[str, frozenset[str]]:
    """Give the checks that prove a tool, each with the methods that wait for it.

    One that rests on what is measured cannot come before all that is.
    """
    return {
        name: uses
        for name, under in bases.items()
        if (uses := measured_with(shop, shop.points[name].proves))
        and all(shop.points[base].proves for base in under)
    }


def _check(present: KnownNow, one: PointStanding, changes: tuple[str, ...]) -> Piece:
    point = one.point
    why = ": ".join(filter(None, (state_word(one.state), one.reason)))
    found = present.settles(point.full_name)
    if found is not None and found.how and found.at_hand:
        why = f"{why}; {found.how}"
    why = present.to_check.get(point.full_name) or why
    if changes:
        why = "the change of cutter undoes it"
    if point.full_name == present.in_hand:
        why = f"in progress; {why}" if one.is_open else "in progress"
    can_be_set = one.state == "out" and not point.proves  # a square or straightedge stays as it is
    words = f"adjust {point.name}, check it" if can_be_set else f"check {point.name}"
    return Piece(
        f"check {point.full_name}",
        "check",
        point.machine,
        point.name,
        present.minutes(point),
        words,
        why,
        point.full_name,
        begun=point.full_name == present.in_hand,
        undone_by=changes,
    )
