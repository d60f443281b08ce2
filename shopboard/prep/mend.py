"""What would make a misfit as small as wanted: which points to set right, checked in which way.

Pure. A point that is set right and checked once more leaves open what its check leaves open of a
perfect point; the others stay as they are.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from functools import partial
from itertools import combinations

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks.further import SORTS, WaySort
from shopboard.prep.joint_fit import JointFit
from shopboard.prep.present import ErrorKnown

Minutes = Callable[..., float]
"""How long the check of a point takes, minutes, by its full name and, where told, the method."""


def minutes_for(points: Iterable[str], chosen: Mapping[str, MendOption], minutes: Minutes) -> float:
    """Give how long checks take, each by the method that is chosen for it; else by the usual."""
    methods = {name: one.method for name, one in chosen.items() if one.method}
    return sum(minutes(one, methods[one]) if one in methods else minutes(one) for one in points)


class MendOption(NamedTuple):
    """One way to check a point, with what it leaves open once the point is set right."""

    fresh: ErrorKnown
    """What is then known of its error on the day that is asked about."""
    sort: WaySort = "tools"
    method: str = ""
    """Empty: as it was checked last."""
    how: str = ""
    """What it takes beyond the check itself, in words; empty: nothing."""
    at_hand: bool = True
    """Whether it can be done there and then."""
    first: tuple[str, ...] = ()
    """Full names of points to check before it."""
    first_name: str = ""
    """Machine and name of the first of those."""
    aim: float = 0.0
    """The error that the point is set to, rad or mm."""
    finer: str = ""
    """What would make it finer most of all, in words; empty: not worked out."""

    @property
    def trouble(self) -> int:
        """The rank of what it takes, the least trouble first; as it was checked last, least."""
        return SORTS.index(self.sort) + 1 if self.method else 0


Options = Callable[[str], Sequence[MendOption]]
"""The ways to check a point, by its full name, in order of least trouble."""


class Mend(NamedTuple):
    """What would do, and for which points, what makes most of it first."""

    chosen: Mapping[str, MendOption]

    @property
    def at_hand(self) -> bool:
        """Whether all of it can be done there and then."""
        return all(one.at_hand for one in self.chosen.values())

    @property
    def points(self) -> tuple[str, ...]:
        """Full names of the points to check, in that order."""
        names = (name for one, option in self.chosen.items() for name in (*option.first, one))
        return tuple(dict.fromkeys(names))


class Parts:
    """A misfit as a sum over its points."""

    def __init__(self, fit: JointFit, level: float) -> None:
        """Take a misfit.

        Args:
            fit: it.
            level: probability with which the error of each point is not passed.
        """
        self.level = level
        self._terms: dict[str, list[Callable[[float], float]]] = {}
        for term, share in zip(fit.effect.terms, fit.shares, strict=True):
            if share.point and not share.cancels:
                self._terms.setdefault(share.point, []).append(term.work)
        self.now: dict[str, float | None] = dict.fromkeys(self._terms)
        for name in self._terms:
            mine = [one.at_most for one in fit.shares if one.point == name and not one.cancels]
            known = [one for one in mine if one is not None]
            self.now[name] = sum(known) if len(known) == len(mine) else None

    def made_by(self, name: str, size: float) -> float:
        """Give what an error of that size makes of the misfit, mm."""
        return sum(work(size) for work in self._terms[name])

    def fresh(self, name: str, option: MendOption) -> float:
        """Give what a point still makes once it is set right and checked in a way, mm."""
        return self.made_by(name, option.fresh.bound(self.level))


def find_mend(fit: JointFit, level: float, options: Options, minutes: Minutes) -> Mend | None:
    """Find what takes least trouble, and of that what takes least time.

    Points of which nothing is known are checked in any case. An effect has few points: every choice
    is tried; of very many, those come first that gain most in a minute.

    Args:
        fit: the misfit; something is wanted of it.
        level: probability with which the error of each point is not passed.
        options: the ways to check a point.
        minutes: how long a check takes.

    Returns:
        None where nothing that is known of would do.
    """
    if fit.limit is None:
        return Mend({})
    parts, limit = Parts(fit, level), fit.limit.most
    found = {name: options(name) for name in parts.now}
    troubles = sorted({(not one.at_hand, one.trouble) for each in found.values() for one in each})
    for most in troubles:
        best = {
            name: min(
                (one for one in each if (not one.at_hand, one.trouble) <= most),
                key=partial(parts.fresh, name),
                default=None,
            )
            for name, each in found.items()
        }
        chosen = _fewest(parts, limit, best, minutes)
        if chosen is not None:
            return Mend(_eased(parts, limit, chosen, found))
    return None


def least(fit: JointFit, level: float, options: Options, *, at_hand: bool = True) -> float | None:
    """Give the smallest misfit that can be proven, mm; None: a point cannot be checked at all."""
    parts = Parts(fit, level)
    total = 0.0
    for name, now in parts.now.items():
        ways = [one for one in options(name) if one.at_hand or not at_hand]
        sizes = [parts.fresh(name, one) for one in ways]
        sizes += [] if now is None else [now]
        if not sizes:
            return None
        total += min(sizes)
    return total


def _fewest(
    parts: Parts, limit: float, best: Mapping[str, MendOption | None], minutes: Minutes
) -> dict[str, MendOption] | None:
    """Choose the points whose checks take least time and do."""
    must = [name for name, now in parts.now.items() if now is None]
    may = [name for name, now in parts.now.items() if now is not None and best[name] is not None]
    if any(best[name] is None for name in must):
        return None
    found = []
    for more in _choices(parts, may, best, minutes):
        chosen = {name: one for name in (*must, *more) if (one := best[name]) is not None}
        if _total(parts, chosen) <= limit:
            took = minutes_for(Mend(chosen).points, chosen, minutes)
            found.append((took, len(more), list(chosen)))
    if not found:
        return None
    names = min(found, key=lambda each: each[:2])[2]
    names.sort(key=lambda name: -(parts.now[name] or 0.0))
    return {name: one for name in names if (one := best[name]) is not None}


_TRIED = 10
"""Points of which every choice is tried: more than a thousand choices take too long."""


def _choices(
    parts: Parts, may: Sequence[str], best: Mapping[str, MendOption | None], minutes: Minutes
) -> Iterator[tuple[str, ...]]:
    """Give the choices of points that are tried, the fewest first."""
    if len(may) <= _TRIED:
        for number in range(len(may) + 1):
            yield from combinations(may, number)
        return
    gains = {
        name: ((parts.now[name] or 0.0) - parts.fresh(name, one)) / max(minutes(name), 1.0)
        for name in may
        if (one := best[name]) is not None
    }
    order = sorted(gains, key=lambda name: -gains[name])
    for number in range(len(order) + 1):
        yield tuple(order[:number])


def _eased(
    parts: Parts,
    limit: float,
    chosen: Mapping[str, MendOption],
    found: Mapping[str, Sequence[MendOption]],
) -> dict[str, MendOption]:
    """Take the way of least trouble for each point that still does."""
    eased = dict(chosen)
    for name in chosen:
        for one in sorted(found[name], key=lambda one: (not one.at_hand, one.trouble)):
            if _total(parts, {**eased, name: one}) <= limit:
                eased[name] = one
                break
    return eased


def _total(parts: Parts, chosen: Mapping[str, MendOption]) -> float:
    """Give the misfit that is not passed once these are set right and the others left, mm."""
    total = 0.0
    for name, now in parts.now.items():
        if name in chosen:
            total += parts.fresh(name, chosen[name])
        else:
            total += now if now is not None else 0.0
    return total
