"""Which points and machines of a shop are to show what, chosen by what they are, never by name."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Sequence

from shopboard.base.light_tuple import NamedTuple
from shopboard.metrology.kind import YES_NO_WORDS
from shopboard.shop.machine import CHANGED_BY, TURNED, Machine, Point
from shopboard.shop.model import Shop
from shopboard.shop.project import Joint, Project
from shopboard.upkeep.undone import below

_LONG_DAYS = 600
_SHORT_DAYS = 200
"""A point that is checked about twice a year shows in two years how it drifts."""


class Roles(NamedTuple):
    """Who plays what; None where the shop has nobody for it."""

    project: Project | None = None
    """It begins in a few days."""
    go: Joint | None = None
    """One of its joints is ready to be glued up."""
    ready: frozenset[str] = frozenset()
    """Points that this takes, with all that they rest on."""
    out: Point | None = None
    near: Point | None = None
    drifts: Point | None = None
    unproven: Point | None = None
    """Nobody got round to it."""
    overdue: Point | None = None
    tagged: Machine | None = None
    """Its tag stands."""
    mended: Machine | None = None
    """It was tagged once, and put right."""


Suits = Callable[[Point], bool]


def casts(shop: Shop) -> list[Roles]:
    """Give ways to hand out the parts, one for each joint that may be ready, the likeliest first.

    Best is one that leaves others to be held up, by a point that bears another; then one that takes
    few points.
    """
    project = next((one for one in shop.projects if one.joints), None)
    found = [_cast(shop, project, one) for one in (project.joints if project else ())]
    held = {name for one in (project.joints if project else ()) for name in one.point_names}
    base = _that_bear(shop)

    def rank(roles: Roles) -> tuple[bool, bool, int]:
        out = roles.out.full_name if roles.out else ""
        return out not in held, out not in base, len(roles.ready)

    return sorted((one for one in found if one.ready), key=rank) or [_cast(shop, project, None)]


def _that_bear(shop: Shop) -> set[str]:
    return {name for one in shop.points.values() for name in one.rests_on}


def _cast(shop: Shop, project: Project | None, go: Joint | None) -> Roles:
    """Give the parts where one joint is to be ready."""
    ready = _all_below(shop, go.point_names) if go else frozenset[str]()
    held = {name for one in (project.joints if project else ()) for name in one.point_names}
    base = _that_bear(shop)
    points = [one for one in shop.points.values() if one.full_name not in ready]
    cast = _Cast()
    out = cast.first(points, *_can_be_out(held, base))
    elsewhere = [one for one in points if out is None or one.machine != out.machine]
    near = cast.first(elsewhere or points, _is_angle, _is_measured)
    quiet = [one for one in points[::-1] if one.full_name not in base | held and not one.proves]
    unproven = cast.first(quiet, lambda one: not _is_note(one))
    bears = out is not None and out.full_name in base
    overdue = cast.first(points, *_can_be_overdue(set[str]() if bears else base))
    drifts = cast.first([*points, *shop.points.values()], *_CAN_DRIFT)
    tagged, mended = _to_tag(shop, ready, [out, near, drifts, overdue])
    return Roles(project, go, ready, out, near, drifts, unproven, overdue, tagged, mended)


class _Cast:
    """Gives each part to one point."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def first(self, among: Sequence[Point], *ways: Suits) -> Point | None:
        """Give the first point that fits, in the first way that any does."""
        free = [one for one in among if one.full_name not in self._taken]
        found = next((one for fits in ways for one in free if fits(one)), None)
        if found is not None:
            self._taken.add(found.full_name)
        return found


def _can_be_out(held: Collection[str], base: Collection[str]) -> tuple[Suits, ...]:
    """Give who can be out: what holds a joint up, bears others and can be set, above all."""
    return (
        lambda one: one.full_name in held and one.full_name in base and _is_set(one),
        lambda one: one.full_name in held and _is_set(one),
        lambda one: one.full_name in held and _is_measured(one),
        _is_set,
        _is_measured,
    )


def _can_be_overdue(base: Collection[str]) -> tuple[Suits, ...]:
    """Give who can be overdue: one that bears others, which wait for it then, before all."""
    return (
        lambda one: _comes_round(one) and one.full_name in base,
        _comes_round,
    )


def _all_below(shop: Shop, names: Iterable[str]) -> frozenset[str]:
    found = {name for name in names if name in shop.points}
    return frozenset(found.union(*(below(shop.points[name], shop.points) for name in found)))


def _to_tag(
    shop: Shop, ready: frozenset[str], parts: Sequence[Point | None]
) -> tuple[Machine | None, Machine | None]:
    """Give a machine to be tagged, apart from what is ready and from the parts, and another one."""
    cut = [one for one in shop.machines if one.cuts]
    used = {name.partition(".")[0] for name in ready}
    free = [one for one in cut if one.points and not _beside(shop, one, used)]
    busy = {one.machine for one in parts if one is not None}
    idle = (one for one in free if not _beside(shop, one, busy))
    tagged = next(idle, free[-1] if free else None)
    others = [one for one in cut if one is not tagged]
    return tagged, others[-1] if others else None


def _beside(shop: Shop, machine: Machine, used: Collection[str]) -> bool:
    """Tell whether it is one of those machines, or shares a body with one."""
    return any(one.id in used for one in shop.modes_beside(machine.id))


def _is_angle(one: Point) -> bool:
    return one.tolerance.kind == "angle" and not one.proves


def _is_set(one: Point) -> bool:
    return one.adjuster is not None and _is_angle(one)


def _is_measured(one: Point) -> bool:
    return one.tolerance.kind not in YES_NO_WORDS and not one.proves


def _is_note(one: Point) -> bool:
    return one.tolerance.kind == "note"


def _comes_round(one: Point) -> bool:
    """Tell whether it is checked more than once in two years, and says more than a note."""
    return one.every_days is not None and one.every_days < _LONG_DAYS and not _is_note(one)


def _is_often(one: Point) -> bool:
    return one.every_days is not None and one.every_days <= _SHORT_DAYS


def _is_calm(one: Point) -> bool:
    """Tell whether no change of a cutter moves it: that would hide a creep."""
    return not {*one.undone_by} & {*CHANGED_BY.values(), TURNED}


_CAN_DRIFT: tuple[Suits, ...] = (
    lambda one: _is_set(one) and _is_often(one) and _is_calm(one),
    lambda one: _is_angle(one) and _is_often(one) and _is_calm(one),
    lambda one: _is_set(one) and _is_often(one),
    lambda one: _is_angle(one) and _is_often(one),
    _is_angle,
    _is_measured,
)
"""Who can show a drift: what is set now and then, and read often."""
