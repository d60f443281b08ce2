"""What a check of a point can prove at best, and what would prove more: in order of least trouble.

The same check with the finest tools at hand, over a wider test board, with a longer lever, with the
square turned over, by another method of the point, with a tool proven first, with a finer square.
Each is worked out as the check itself would: as what a perfect point would be measured as.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Literal

from shopboard.base.light_tuple import NamedTuple
from shopboard.checks import registry
from shopboard.checks.asked import Reading, Taken
from shopboard.checks.contradiction import Contradiction
from shopboard.checks.inputs import input_of
from shopboard.checks.job import CheckContext, NotPossibleError
from shopboard.checks.measured import MeasuredCheck
from shopboard.metrology.instruments import Square, grade_limit
from shopboard.metrology.quantity import Unit
from shopboard.metrology.square import ReadingError
from shopboard.metrology.uncertainty import Estimate
from shopboard.metrology.units import MM_PER_INCH, by_unit
from shopboard.metrology.wording import length

WaySort = Literal["tools", "board", "lever", "turn", "method", "proof", "finer square"]
"""What is done otherwise, the least trouble first."""

SORTS: tuple[WaySort, ...] = ("tools", "board", "lever", "turn", "method", "proof", "finer square")

_WIDER = (1.5, 2.0)
"""Times as wide a test board, or as long a lever, as the shop file's: more is hardly to be had."""

FINER = 0.95
"""A way that leaves more than this part open of what another leaves is no finer."""

SHAPES = {"length": "long", "width": "wide", "thickness": "thick"}


class Proof(NamedTuple):
    """How well a square of the drawer that is not proven yet could be."""

    tool: str
    """Id of the square."""
    point: str
    """Full name of the point that proves it."""
    best: Estimate


class Way(NamedTuple):
    """One way to check a point, and what it can prove at best."""

    sort: WaySort
    method: str
    best: Estimate
    """What a perfect point would be measured as."""
    how: str
    """What it takes, to stand behind ``check it``: ``by five cuts``; empty: nothing but that."""
    at_hand: bool
    """Whether it can be done there and then; else the shop file, the place or the drawer has to be
    changed first."""
    needs: tuple[str, ...] = ()
    """Full names of points to check before it: those that prove its tools."""


def ways(
    job: CheckContext, methods: Sequence[str], proofs: Sequence[Proof] = ()
) -> tuple[Way, ...]:
    """Give the ways to check a point, in order of least trouble.

    Args:
        job: the point.
        methods: those that the shop file names, in its order.
        proofs: what squares of the drawer can be proven as that are not proven yet.
    """
    found = [way for at, name in enumerate(methods) for way in _ways(job, name, at, proofs)]
    return tuple(sorted(found, key=lambda one: SORTS.index(one.sort)))


def _ways(job: CheckContext, name: str, at: int, proofs: Sequence[Proof]) -> Iterator[Way]:
    plain = _best(job, name)
    if plain is None:
        return
    by = f"by {registry.method(name).title.lower()}"
    how = by if at else ""
    yield Way("method" if at else "tools", name, plain, how, at_hand=True)
    for wider, board in _over_boards(job, name, plain):
        words = f"{how} {board}".strip()
        yield Way("method" if at else "board", name, wider, words, at_hand=True)
    if name != "square":
        return
    geometry = job.geometry
    longest = max((one.length for one in job.drawer.squares), default=0.0)
    for times in _WIDER:
        lever = min(longest, _whole(times * geometry.lever, job.unit))
        best = _best(job._replace(geometry=geometry._replace(lever=lever)), name)
        if best is not None and lever > geometry.lever and _smaller(best, plain):
            words = f"with a reach of {length(lever, job.unit)} where there is room for it"
            yield Way("lever", name, best, f"{words} (lever in the shop file)", at_hand=False)
    if geometry.turn == "no":
        best = _best(job._replace(geometry=geometry._replace(turn="other side")), name)
        if best is not None and _smaller(best, plain):
            words = "with the square turned over, where the face has another side (turn in the"
            yield Way("turn", name, best, f"{words} shop file)", at_hand=False)
    yield from _other_squares(job, name, plain, proofs)


def _over_boards(job: CheckContext, name: str, plain: Estimate) -> Iterator[tuple[Estimate, str]]:
    """Give what wider test boards would prove better, with their words."""
    for times in _WIDER:
        for size, mm in _test_board(job, name).items():
            wider = _whole(mm * times, job.unit)
            best = _best(job._replace(sizes={**job.sizes, size: wider}), name)
            if best is not None and _smaller(best, plain):
                yield best, f"over a test board {length(wider, job.unit)} {SHAPES[size]} or more"


def _other_squares(
    job: CheckContext, name: str, plain: Estimate, proofs: Sequence[Proof]
) -> Iterator[Way]:
    """Give the ways with a square that is proven first, and with one of the finest grade."""
    drawer = job.drawer
    for proof in proofs:
        squares = tuple(
            one._replace(limit=0.0, known_error=0.0, known_u=proof.best.budget.u)
            if one.id == proof.tool
            else one
            for one in drawer.squares
        )
        best = _best(job._replace(drawer=drawer._replace(squares=squares)), name)
        if best is not None and _smaller(best, plain):
            tool = next(one.name for one in drawer.squares if one.id == proof.tool)
            yield Way("proof", name, best, f"with {tool}", at_hand=True, needs=(proof.point,))
    blade = max((one.length for one in drawer.squares), default=0.0)
    if blade:
        finest = Square("finest", "Square", blade, grade_limit("00", blade) / blade)
        squares = (*drawer.squares, finest)
        best = _best(job._replace(drawer=drawer._replace(squares=squares)), name)
        if best is not None and _smaller(best, plain):
            yield Way("finer square", name, best, "with a square of grade 00", at_hand=False)


def _best(job: CheckContext, name: str) -> Estimate | None:
    """Give what a point that is set right is measured as; None where the method cannot be run.

    Set to nought: leaves tell less of that than of a point that shows a gap within its tolerance.
    """
    method = registry.method(name)
    if method.kind != job.tolerance.kind:
        return None
    try:
        return method.best(job) if job.tolerance.middle else method.set_right(job)
    except (NotPossibleError, ReadingError, ValueError):
        return None


def _smaller(one: Estimate, other: Estimate) -> bool:
    return one.budget.u < FINER * other.budget.u


def _test_board(job: CheckContext, name: str) -> dict[str, float]:
    """Give the sizes of a method's test board that are asked at the check, mm.

    A board that the tools do not reach over is left out.
    """
    method = registry.method(name)
    if not isinstance(method, MeasuredCheck) or method.hands_near or method.widest_board:
        return {}
    values, words = method.perfect(job)
    usual = {one.why for one in _refused(method, job, values, words)}
    found = {}
    for one in method.asked(job):
        if not isinstance(one, Reading) or one.size not in SHAPES or one.key not in values:
            continue
        mm = values[one.key]
        wider = {**values, one.key: _WIDER[-1] * mm}
        sized = job._replace(sizes={**job.sizes, one.size: wider[one.key]})
        refused = {each.why for each in _refused(method, sized, wider, words)}
        if wider[one.key] <= one.at_most and refused <= usual:
            found[one.size] = mm
    return found


def _refused(
    method: MeasuredCheck, job: CheckContext, values: Mapping[str, float], words: Mapping[str, str]
) -> list[Contradiction]:
    """Give what the check would refuse of readings."""
    inputs = {
        one.key: input_of(job, one, values[one.key], words)
        for one in method.asked(job)
        if isinstance(one, Reading) and one.key in values
    }
    return method.contradictions(job, Taken(inputs, words))


def _whole(mm: float, unit: Unit) -> float:
    """Round a length up to whole inches or centimetres."""
    step = by_unit(unit, MM_PER_INCH, 10.0)
    return step * -(-mm // step)
