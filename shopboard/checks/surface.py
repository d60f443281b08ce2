"""What straightness and flatness share: a straightedge, typed points, the form in every unit."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from shopboard.checks.asked import Chosen, Values
from shopboard.checks.inputs import own_bow
from shopboard.checks.job import CheckContext
from shopboard.checks.measured import MeasuredCheck
from shopboard.checks.outcome import Outcome
from shopboard.checks.points import parse_points
from shopboard.checks.reckoning import Field, Given, ReckoningError, read_fields
from shopboard.checks.report import value_json
from shopboard.checks.within_reach import with_straightedges_of
from shopboard.metrology.form import FormError, Points
from shopboard.metrology.kind import Kind
from shopboard.metrology.propagate import Input, even, propagate, steepest
from shopboard.metrology.quantity import QuantityError
from shopboard.metrology.sources import HEIGHTS
from shopboard.metrology.uncertainty import Budget, Estimate, Source
from shopboard.metrology.zone import minimum_zone

UNIT_FIELD = Field(
    "unit", "points", "unit of bare numbers, one for all or one a column: in,in,thou", needed=False
)
WITHIN_FIELD = Field(
    "within", "length", "half-width within which each height is known", needed=False
)
EXACT_HEIGHTS = "the heights are taken as exact"
SURFACE_FIELDS = (
    Field("points", "points", "places and heights: x,y,z; x,y,z; ..."),
    UNIT_FIELD,
    WITHIN_FIELD,
    Field("tolerance", "tolerance", "what the error may be", needed=False),
)
"""Names of the values that `reckon` takes."""


def points_of(given: Given, name: str, columns: Sequence[str]) -> tuple[tuple[float, ...], ...]:
    """Read a named list of points, mm.

    Raises:
        ReckoningError: with the reason.
    """
    try:
        units = given.word("unit") if given.has("unit") else ""
        return parse_points(given.word(name), columns, units)
    except QuantityError as error:
        raise ReckoningError([f"{name}: {error}"]) from None


def reckon_surface(
    method: str,
    values: Mapping[str, str],
    columns: Sequence[str],
    adds: Callable[[Points], dict[str, object]],
) -> Outcome:
    """Evaluate typed points: the error is the minimum zone.

    Raises:
        ReckoningError: with one sentence per wrong or missing name.
    """
    given = read_fields(SURFACE_FIELDS, values)
    points = points_of(given, "points", columns)
    try:
        more = adds(points)
    except FormError as error:
        raise ReckoningError([f"points: {error}"]) from None
    within = given.optional("within")
    places = [tuple(point[:-1]) for point in points]

    def zone(heights: Sequence[float]) -> float:
        together = zip(places, heights, strict=True)
        return minimum_zone([(*place, height) for place, height in together])

    found = of_heights(zone, [point[-1] for point in points], within)
    return Outcome(
        method=method,
        estimate=found._replace(size=True),
        tolerance=given.tolerance("tolerance"),
        kind="length",
        note="" if within else EXACT_HEIGHTS,
        working=("error = minimum zone: the narrowest band that holds every point",),
        adds=more,
    )


def of_heights(
    error_of: Callable[[Sequence[float]], float], heights: Sequence[float], within: float
) -> Estimate:
    """Evaluate heights (mm), each of which is known within plus or minus `within`.

    Args:
        error_of: gives the error from the heights; it may have corners.
        heights: as they were typed.
        within: mm; 0 where they are exact.
    """
    if not within:
        return Estimate(error_of(heights), Budget(()))
    inputs = {f"{at}": even(height, HEIGHTS, "height", within) for at, height in enumerate(heights)}
    near = steepest(
        lambda read: error_of(tuple(read.values())),
        {name: one.value for name, one in inputs.items()},
    )
    u = propagate(near, inputs).budget.u
    return Estimate(error_of(heights), Budget((Source(HEIGHTS, "heights of the points", u),)))


def length_json(mm: float) -> dict[str, object]:
    """Give a length, mm, in every unit."""
    return value_json(mm, "length")


class SurfaceCheck(MeasuredCheck):
    """Base of the checks of a surface by a straightedge: the error is a minimum zone."""

    kind: Kind = "length"
    is_size = True
    fields = SURFACE_FIELDS
    columns: tuple[str, ...] = ()
    """What a typed point consists of, its height last."""
    what = ""
    """What the straightedge must be as long as."""

    def across(self, job: CheckContext) -> float:
        """Give how long that is, mm; 0 where the shop file does not tell."""
        raise NotImplementedError

    def forms(self, points: Points) -> dict[str, object]:
        """Give the form of typed points by every evaluation, ready for JSON."""
        raise NotImplementedError

    def reckon(self, values: Mapping[str, str]) -> Outcome:
        """Evaluate typed points alone.

        Raises:
            ReckoningError: with one sentence per wrong or missing name.
        """
        return reckon_surface(self.name, values, self.columns, self.forms)

    def near(self, values: Values, words: Chosen) -> Callable[[Values], float]:
        """Give the formula with its corners."""
        return steepest(lambda read: self.formula(read, words), values)

    def fit(self, job: CheckContext) -> CheckContext:
        """Take a straightedge that is long enough."""
        return with_straightedges_of(job, self.across(job), self.what)

    def own(self, job: CheckContext) -> Mapping[str, Input]:
        """Give the straightedge's own bow: it is the same wherever it is laid."""
        return {"bow": own_bow(job)}
